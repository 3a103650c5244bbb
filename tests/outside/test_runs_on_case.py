"""The engine that runs on through its charge lamp: the numbers of the trade, asked of the rule, and what the rule prints."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import load

NUMBERS = ("worked example of the trade, key off and engine running: 14 V at the charge terminal, 65 ohm into a coil of 85 ohm leave 7.9 V, 560 ohm leave 1.8 V, "
           "with 3 ohm beside the coil 0.6 V; a relay maker guarantees release at 1.2 V; that one lets go at about 3 V is from memory")
CASE = "a run-on described in the trade: just over 5 V on the ignition node with the key off, the relay stays in"


def told(lamp: str, beside: str = "", diode: str = "") -> list[Finding]:
    """What is found of a relay on the ignition node; ``beside``: a load there too; ``diode``: its terminal towards the lamp, and that towards the alternator."""
    near, far = diode.split() if diode else ("", "")
    wires = ["G1.+ F1.1", "F1.2 Q1.30", "G1.+ F2.1", "F2.2 A1.B", "A1.case G1.-", "Q1.15 S1", "S1 K1.86", "K1.85 G1.-", "S1 H1.1"]
    wires += [f"H1.2 {near}", f"{far} A1.L"] if diode else ["H1.2 A1.L"]
    wires += ["S1 R9.1", "R9.2 G1.-"] if beside else []
    text = ("devices:\n"
            '  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\n'
            "  A1: {terminals: [B, L, case], between: [A1.B, A1.case], alternator: {voltage: 14 V, charge-lamp: A1.L}}\n"
            "  Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}\n"
            f"  H1: {{title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], {lamp}}}\n"
            + (f"  R9: {{title: old ignition coil, terminals: [1, 2], between: [R9.1, R9.2], {beside}}}\n" if beside else "")
            + ("diodes:\n  D1: {}\n" if diode else "") + "fuses:\n  F1: {rating: 10 A, type: blade}\n  F2: {rating: 60 A, type: midi}\n"
            "relays:\n  K1: {title: main relay, coil: 85 ohm, contacts: make, type: mini, suppression: none}\nsplices:\n  S1: {title: ignition node}\nwires:\n"
            + "".join(f"  {number}: {{from: {a}, to: {b}, size: 2 mm2, colour: GN, type: TXL, length: 500 mm}}\n" for number, (a, b) in enumerate(map(str.split, wires), 1)))
    loaded = load("car.yaml", {"car.yaml": text})
    assert loaded.operation is not None and not loaded.has_errors
    return [finding for finding in loaded.findings if finding.code == "engine-runs-on"]


@pytest.mark.outside(NUMBERS)
@pytest.mark.parametrize(("lamp", "volts", "words"), [("load: 65 ohm", 7.9, "relay K1 is held in"), ("load: 560 ohm", 1.8, "relay K1 may be held in")])
def test_the_relay_is_held_or_may_be(lamp: str, volts: float, words: str) -> None:
    (finding,) = told(lamp)
    assert f"the engine runs on: {words} ({finding.value}) in state 'off, running'" in finding.message
    assert float(finding.value.removesuffix(" V")) == pytest.approx(volts, abs=0.05)
    assert (finding.limit, finding.state, finding.at[0], finding.severity) == ("1.20 V", "off, running", "K1", Severity.HAZARD)


@pytest.mark.outside(NUMBERS)
def test_the_old_coil_on_the_node_let_it_go() -> None:
    assert told("load: 65 ohm", beside="load: 3 ohm") == []


@pytest.mark.outside(NUMBERS)
def test_the_diode_that_is_named_lets_it_go_and_the_other_way_round_it_does_not() -> None:
    (finding,) = told("load: 65 ohm")
    assert "a diode into wire 10, anode (A) to H1.2, cathode (K) to A1.L" in finding.do
    assert told("load: 65 ohm", diode="D1.A D1.K") == []
    assert told("load: 65 ohm", diode="D1.K D1.A") != []


@pytest.mark.outside(CASE)
def test_just_over_five_volts_hold_it() -> None:
    (finding,) = told("load: 150 ohm")
    assert 5.0 < float(finding.value.removesuffix(" V")) < 5.2 and "is held in" in finding.message
