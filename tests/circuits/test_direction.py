"""Directions: current flows down in every wire, and what no current reaches hangs from its unit."""

from __future__ import annotations

import pytest

from harnessdoc.circuits.direction import LOAD, WIRE
from harnessdoc.model.harness import Kind

from .made import LARGE, described, of_example

LAMP = """
    supply: 12 V
    devices:
      G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V}}
      H1: {title: lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}
    grounds: {GB1: {title: wing, metal: body}}
    wires:
      1: {from: H1.1, to: G1.+, size: 1 mm2}
      2: {from: GB1, to: H1.2, size: 1 mm2}
      3: {from: GB1, to: G1.-, size: 1 mm2}
"""


def below(made, wire: str) -> str:
    strands, directions, _ = made
    return directions.ends(strands.all[wire])[1]


def test_current_flows_down_whichever_way_a_wire_is_written():
    made = described(LAMP)
    assert [below(made, wire) for wire in "123"] == ["H1.1", "GB1", "GB1"]


def test_potentials_are_those_of_a_voltage_divider():
    """By hand: conductances in series (Ohm), the leak is a ten-thousandth of the load."""
    _, directions, _ = described(LAMP)
    current = 1 / (1 / WIRE + 1 / LOAD + 1 / WIRE)
    assert directions.volts["H1.1"] == pytest.approx(1 - current / WIRE, abs=1e-5)
    assert directions.volts["H1.2"] == pytest.approx(current / WIRE, abs=1e-5)


@pytest.mark.parametrize("name", LARGE)
def test_every_ground_is_the_lower_end_of_what_comes_from_no_ground(name):
    strands, directions, _ = of_example(name)
    for id, strand in strands.all.items():
        upper, lower = directions.ends(strand)
        if Kind.GROUND in (strands.kind(strand.a), strands.kind(strand.b)):
            assert strands.kind(lower) is Kind.GROUND, id


@pytest.mark.parametrize("name", LARGE)
def test_fuses_are_fed_from_above_at_their_supply_terminal(name):
    """But for the fuse of the Heron's second battery, which is charged backward through it."""
    strands, directions, _ = of_example(name)
    fuses = [part.id for part in strands.harness.parts.values() if part.kind == "fuse" and all(strands.at.get(f"{part.id}.{end}") for end in "12")]
    turned = [fuse for fuse in fuses if directions.is_above(f"{fuse}.2", f"{fuse}.1")]
    assert fuses and [fuse.rpartition("/")[2] for fuse in turned] == (["F21"] if "heron" in name else [])


HANGS = ("N1", "N2", "N5", "N6", "N7", "U2", "U3")
"""Sensors, throttle and pedal of the Linnet all of whose wires end at its control unit."""


@pytest.mark.parametrize("device", HANGS)
def test_what_belongs_to_one_unit_hangs_below_it(device):
    strands, directions, _ = of_example("linnet")
    ids = [id for address in strands.of_owner[device] for id in strands.at[address]]
    assert ids and all(strands.owner(directions.ends(strands.all[id])[1]) == device for id in ids)


def test_a_sensor_with_a_feed_of_its_own_gives_to_the_unit():
    assert [below(of_example("linnet"), wire) for wire in ("351", "352", "353")] == ["E2.13", "E2.37", "E2.38"]


@pytest.mark.parametrize("name", LARGE)
def test_no_two_addresses_have_one_rank(name):
    strands, directions, _ = of_example(name)
    assert len(set(directions.rank.values())) == len(directions.rank) >= len(strands.harness.contacts)
