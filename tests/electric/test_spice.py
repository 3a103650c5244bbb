"""The netlist: pinned as a whole, names, what is left out, nothing that escapes a comment."""

from __future__ import annotations

import subprocess
import sys

from harnessdoc.electric import (
    Battery, Circuit, Contact, Diode, Fuse, Lamp, PullUp, Relay, Resistor, Supply, node_names, spice,
)

CIRCUIT = Circuit((
    Battery("G1", "G1.+", "G1.-", 12.6, 0.02),
    Supply("A1", "G1.+", "G1.-", 14.2, 0.01, 90.0),
    Fuse("F1", "G1.+", "X1.30", 0.0077, 10.0, 0.109),
    Lamp("H4", "X1.30", "G1.-", 2.0, 12.0),
    PullUp("U1 input", "E1.5", "G1.-", 5.0, 4700.0),
    Diode("D1", "E1.5", "K1.85"),
    Resistor("77", "cut", "away", 0.03),
), "G1.-", (Relay("K1", "X1.30", "K1.85", 85.0, 6.9, 1.2, (Contact("X1.30", "K1.87", "K1.87a", 0.0015),)),))

NETLIST = r"""the charge lamp, key on run
* Laws of the elements, not results. Diodes at 27 C. Relays in the state found:
*   relay "K1" pulled in
* Node 0 is "G1.-". The other nodes:
*   n_g1__ = "G1.+"
*   n_x1_30 = "X1.30"
*   n_e1_5 = "E1.5"
*   n_k1_85 = "K1.85"
*   n_k1_87 = "K1.87"
* Elements (the first letter of a line is its kind):
*   g1 = "G1"
*   a1 = "A1"
*   f1 = "F1"
*   h4 = "H4"
*   u1_input = "U1 input"
*   d1 = "D1"
*   k1 = "K1"
*   k1_contact_0 = "K1 contact 0"
* Left out, as nothing ties it to node 0: node "cut"
* Left out, as nothing ties it to node 0: node "away"
* Left out with it: element "77"
vg1 i_g1 0 dc 12.6
rg1 n_g1__ i_g1 0.02
ba1 n_g1__ 0 i = (0.5 * ((14.2 - v(n_g1__)) / 0.01 - sqrt(((14.2 - v(n_g1__)) / 0.01 - 90.0) * ((14.2 - v(n_g1__)) / 0.01 - 90.0) + 0.81) + 90.00449988750563)) > 0 ? -(0.5 * ((14.2 - v(n_g1__)) / 0.01 - sqrt(((14.2 - v(n_g1__)) / 0.01 - 90.0) * ((14.2 - v(n_g1__)) / 0.01 - 90.0) + 0.81) + 90.00449988750563)) : -(0.5 * ((14.2 - v(n_g1__)) / 0.01 - sqrt(((14.2 - v(n_g1__)) / 0.01 - 90.0) * ((14.2 - v(n_g1__)) / 0.01 - 90.0) + 0.81) + 90.00449988750563)) / (1 - (0.5 * ((14.2 - v(n_g1__)) / 0.01 - sqrt(((14.2 - v(n_g1__)) / 0.01 - 90.0) * ((14.2 - v(n_g1__)) / 0.01 - 90.0) + 0.81) + 90.00449988750563)) / 0.001)
bf1 n_g1__ n_x1_30 i = v(n_g1__,n_x1_30) / (0.0077 + 0.0063999999999999994 * v(n_g1__,n_x1_30) * v(n_g1__,n_x1_30) / (0.011881 + v(n_g1__,n_x1_30) * v(n_g1__,n_x1_30)))
bh4 n_x1_30 0 i = 0.013888888888888888 * v(n_x1_30) * exp(-0.22499999999999998 * ln(v(n_x1_30) * v(n_x1_30) / 144.0 + 1.5982286310484043e-05))
vu1_input i_u1_input 0 dc 5.0
ru1_input n_e1_5 i_u1_input 4700.0
dd1 n_e1_5 n_k1_85 diode1
rk1 n_x1_30 n_k1_85 85.0
rk1_contact_0 n_x1_30 n_k1_87 0.0015
.model diode1 d(is=5e-09 n=1.7 rs=0.04)
.options reltol=1e-9 abstol=1e-12 vntol=1e-9 gmin=1e-12 itl1=1000 temp=27 tnom=27
.op
.end
"""


def test_the_whole_netlist():
    assert spice(CIRCUIT, {"K1": True}, "the charge lamp, key on run") == NETLIST


def test_where_one_way_supplies_begin_is_in_it_where_it_is_asked_for():
    start = {"G1.+": 13.98765, "G1.-": 0.0, "X1.30": 13.9}
    lines = spice(CIRCUIT, {"K1": True}, "the charge lamp, key on run", start).splitlines()
    assert [line for line in lines if line not in NETLIST.splitlines()] == [".nodeset v(n_g1__)=13.988"]


def test_the_state_of_the_relay_is_in_it():
    text = spice(CIRCUIT, {}, "x")
    assert '*   relay "K1" dropped out\n' in text
    assert "rk1_contact_0 n_x1_30 n_k1_87a 0.0015\n" in text


def test_names_that_fall_together_stay_apart():
    circuit = Circuit((Resistor("a.b", "x.1", "gnd", 1.0), Resistor("A_B", "X_1", "gnd", 1.0), Resistor("a b", "0", "gnd", 1.0),
                       Resistor("a-b", "grün", "gnd", 1.0), Resistor("a_b_2", "gr_n", "gnd", 1.0)), "gnd")
    assert node_names(circuit, {}) == {"gnd": "0", "x.1": "n_x_1", "X_1": "n_x_1_2", "0": "n_0", "grün": "n_gr_n", "gr_n": "n_gr_n_2"}
    cards = [line.split()[0] for line in spice(circuit, {}, "x").splitlines() if line.startswith("r")]
    assert cards == ["ra_b", "ra_b_2", "ra_b_3", "ra_b_4", "ra_b_2_2"]


def test_no_name_leaves_its_comment():
    circuit = Circuit((Resistor("r\n.include /x", "n\r\n.end", "gnd\u2028+", 1.0),), "gnd\u2028+")
    lines = spice(circuit, {}, "title\n.include /y\n\u00e4").splitlines()
    assert lines[0] == "title .include /y"
    assert [line for line in lines if line.startswith(".")] == [
        ".options reltol=1e-9 abstol=1e-12 vntol=1e-9 gmin=1e-12 itl1=1000 temp=27 tnom=27", ".op", ".end"]
    assert all(line.isascii() for line in lines)
    assert spice(circuit, {}, "\n").splitlines()[0] == "circuit"


def test_a_part_between_a_point_and_itself_is_left_out():
    circuit = Circuit((Resistor("r", "a", "gnd", 1.0), Lamp("loop", "gnd", "gnd", 5.0, 12.0)), "gnd")
    assert "loop" not in spice(circuit, {}, "x")


def test_the_same_bytes_under_another_hash():
    code = ("from electric.random_circuits import random_states; from harnessdoc.electric import spice, settle; "
            "c = random_states(5, 120)[0]; s = settle(c, {}); print(spice(c, s.relay_states, 'x'), s, list(s.voltages.items()))")
    outputs = {subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                              env={"PYTHONHASHSEED": seed, "PYTHONPATH": "tests:."}).stdout for seed in "123"}
    assert len(outputs) == 1 and len(outputs.pop()) > 5000
