"""What is held, on or live unasked, as it is and with a ground or a fuse opened: boundaries, look-alikes, what each finding carries, and who tells what."""

from __future__ import annotations

import textwrap

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.rules.page import sections_of
from harnessdoc.rules.registry import RULES
from harnessdoc.steps import load

from .edited import edited, found

RUNS_ON, BACK, UNASKED, GROUND, FUSE = CODES = "engine-runs-on", "output-feeds-back", "load-on-unasked", "sneak-when-ground-opens", "sneak-when-fuse-opens"
DRAIN = "parasitic-drain"


def codes(code: str, *changes: tuple[str, str]) -> list[str]:
    """The codes of these rules and of the drain that are found in an edited example."""
    return [finding.code for finding in edited(code, *changes).findings if finding.code in (*CODES, DRAIN)]


def one(code: str, *changes: tuple[str, str]) -> Finding:
    (finding,) = found(code, *changes)
    return finding


def line_of(code: str, finding: Finding) -> str:
    """The line of the example at which it stands."""
    (rule,) = (rule for rule in RULES if code == rule.CODE)
    return textwrap.dedent(sections_of(rule)["Example that fails"]).splitlines()[finding.place.line - 1].strip()


def wire(number: int | str, a: str, b: str, circuit: str = "", colour: str = "GN") -> str:
    return f"  {number}: {{from: {a}, to: {b}, size: 1 mm2, colour: {colour}, type: TXL, length: 500 mm{f', circuit: {circuit}' if circuit else ''}}}\n"


# ------------------------------------------------------------------------------------- what each carries

CARRIED = [
    (RUNS_ON, "K1: {title: main relay", ("K1", "A1", "wire 10", "H1", "wire 9", "wire 7", "wire 8", "wire 5"), "off, running", "8.56 V", "1.20 V", Severity.HAZARD),
    (BACK, "X1.3: {function: fan relay", ("X1.3", "wire 7", "X1.1", "U1"), "off, stopped", "129 mA", "1.0 mA", Severity.HAZARD),
    (UNASKED, "M1: {title: fan", ("M1", "circuit fan", "G1", "wire 5", "F2", "wire 6", "K1", "wire 7", "wire 8"), "off, stopped", "4.11 A", "400 mA", Severity.DAMAGE),
    (GROUND, "GB2: {metal", ("GB2", "H1", "H3", "G1", "wire 5", "F2", "wire 6", "S2", "wire 7", "H2", "wire 11", "wire 10", "wire 3", "wire 4", "wire 8", "GB3"),
     "off, stopped, S2 pressed", "286 mA", "125 mA", Severity.DAMAGE),
]


@pytest.mark.parametrize(("code", "line", "at", "state", "value", "limit", "severity"), CARRIED, ids=CODES[:4])
def test_place_things_state_value_and_limit(code, line, at, state, value, limit, severity):
    finding = one(code)
    assert line_of(code, finding).startswith(line)
    assert (finding.at, finding.state, finding.value, finding.limit, finding.severity) == (at, state, value, limit, severity)
    assert finding.value in finding.message and f"'{finding.state}'" in finding.message


@pytest.mark.parametrize(("code", "at"), [(code, at) for code, _, things, *_ in CARRIED for at in (things[0], things[1])])
def test_a_waiver_that_names_a_thing_takes_it_off_the_list(code, at):
    waiver = ("wires:\n", f"waivers:\n  - {{at: {at}, code: {code}, reason: known and borne, date: 2026-09-14}}\nwires:\n")
    loaded = edited(code, waiver)
    assert [finding.code for finding in loaded.findings if finding.code in CODES] == [] and [waived.finding.code for waived in loaded.waived] == [code]


@pytest.mark.parametrize("code", CODES)
def test_nothing_is_told_where_the_circuit_is_not_solved(code):
    (rule,) = (rule for rule in RULES if code == rule.CODE)
    text = textwrap.dedent(sections_of(rule)["Example that fails"]) + "\n"
    assert [finding for finding in load("heron.yaml", {"heron.yaml": text}, solve=False).findings if finding.code in CODES] == []


def test_an_oil_pressure_switch_at_rest_does_not_hide_it():
    """At rest, with low pressure, it shunts the node to ground; while the engine turns the oil has pressure and it is open."""
    oil = (("devices:\n", "devices:\n  S9: {title: oil pressure switch, terminals: [1, case], closes: {low pressure: [[S9.1, S9.case]]}, rest: low pressure}\n"
            "  R9: {title: oil lamp, terminals: [1, 2], between: [R9.1, R9.2], lamp: 10 W at 12 V}\n"),
           ("wires:\n", "wires:\n" + wire(30, "S1", "R9.1") + wire(31, "R9.2", "S9.1") + wire(32, "S9.case", "G1.-")))
    assert one(RUNS_ON, *oil).state == "off, running, S9 open"
    assert found(RUNS_ON, *oil, ("low pressure: [[", "pressed: [["), ("rest: low pressure", "rest: pressed")) == []        # a switch that the engine does not move


@pytest.mark.parametrize(("code", "told"), [(RUNS_ON, True), (BACK, True), (UNASKED, True), (GROUND, False), (FUSE, False)])
def test_without_the_sweep_what_is_as_it_is_is_told_all_the_same(code, told):
    (rule,) = (rule for rule in RULES if code == rule.CODE)
    text = textwrap.dedent(sections_of(rule)["Example that fails"]) + "\n"
    assert [finding.code for finding in load("heron.yaml", {"heron.yaml": text}, sweep=False).findings if finding.code in CODES] == ([code] if told else [])


# ------------------------------------------------------------------------------------- the engine runs on

PLAIN_COIL = ("suppression: resistor, part: mini relay 40 A", "coil: 85 ohm, contacts: make, type: mini, suppression: none")


@pytest.mark.parametrize(("ohm", "words"), [
    # 14 V x 85 / (85 + ohm): 3 V at 312 ohm, 1.2 V at 906 ohm
    ("305 ohm", "relay K1 is held in"), ("320 ohm", "relay K1 may be held in"), ("895 ohm", "relay K1 may be held in"), ("920 ohm", None),
])
def test_held_for_sure_or_perhaps_or_let_go(ohm, words):
    changes = (PLAIN_COIL, ("lamp: 2 W at 12 V", f"load: {ohm}"))
    if words is None:
        assert found(RUNS_ON, *changes) == []
    else:
        assert f"the engine runs on: {words} (" in one(RUNS_ON, *changes).message


def test_the_diode_is_put_at_the_charge_terminal_whichever_way_its_wire_is_written():
    assert "into wire 10, anode (A) to H1.2, cathode (K) to A1.L" in one(RUNS_ON).do
    assert "into wire 10, anode (A) to H1.2, cathode (K) to A1.L" in one(RUNS_ON, ("from: H1.2, to: A1.L", "from: A1.L, to: H1.2")).do


LATCH = (("  9: {from: S1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}\n  10: {from: H1.2, to: A1.L, size: 1 mm2, colour: WH, type: TXL, length: 500 mm}\n",
          wire(9, "S1", "K1.87") + wire(10, "F3.2", "K1.30") + wire(11, "G1.+", "F3.1")), ("  F2: {", "  F3: {rating: 5 A, type: blade}\n  F2: {"))


def test_a_relay_that_holds_itself_past_the_key_switch_is_told_and_no_diode_into_the_battery():
    finding = one(RUNS_ON, *LATCH)
    assert {"wire 10", "F3", "K1"} <= set(finding.at)
    assert "diode" not in finding.do and "through the key switch only" in finding.do


def test_a_relay_that_is_in_with_the_engine_still_too_does_not_run_on():
    """Its coil on the battery, nothing said of it: the drain tells."""
    changes = (("from: S1, to: K1.86", "from: F1.2, to: K1.86"), ("F1.2, to: Q1.30", "F2.2, to: Q1.30"), ("F2.2, to: A1.B", "G1.+, to: A1.B"))
    assert codes(RUNS_ON, *changes) == [DRAIN]


# ------------------------------------------------------------------------------------- fed back through an output

def test_the_pin_must_be_said_to_have_the_diode_and_its_supply_to_be_switched():
    assert codes(BACK, (", diode: to supply", "")) == []
    assert codes(BACK, ("from: Q1.15, to: X1.1", "from: S1, to: X1.1"), ("draws: 1 A", "draws: 10 mA")) == []       # its supply is always live


def test_what_enters_a_unit_whose_supply_is_there_is_no_feed_back():
    """Its supply comes through 3 ohm, so that its rail is 2.4 V lower than the coil's: some current enters past the diode, but the unit is awake by right."""
    low = (("from: Q1.15, to: X1.1", "from: R1.2, to: X1.1"), ("relays:\n", "resistors:\n  R1: {value: 3 ohm}\nrelays:\n"), ("  6: {from: S1", wire(8, "S1", "R1.1", colour="RD") + "  6: {from: S1"))
    operation = edited(BACK, *low).operation
    assert operation.solved["off, stopped"].solution.currents["X1.3 diode to supply"] > 5e-3
    assert found(BACK, *low) == []


@pytest.mark.parametrize(("ohm", "tells"), [("11 kohm", True), ("14 kohm", False)])
def test_a_milliampere_may_leak(ohm, tells):
    """12.6 V through the coil and the resistor, less the diode: 1.06 mA and 0.84 mA."""
    more = (("from: K1.85, to: X1.3", "from: K1.85, to: R1.1"), ("relays:\n", f"resistors:\n  R1: {{value: {ohm}}}\nrelays:\n"), ("  6: {from: S1", wire(8, "R1.2", "X1.3", colour="BU") + "  6: {from: S1"))
    assert bool(found(BACK, *more)) is tells


def test_a_relay_held_in_by_an_output_is_told_here_and_not_as_the_engine_running_on():
    """An output drives high from the constant feed of its unit into the ignition node, on which the relay hangs."""
    text = (
        "devices:\n"
        '  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\n'
        "  A1: {terminals: [B, case], between: [A1.B, A1.case], alternator: {voltage: 14 V}}\n"
        "  Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}\n"
        "  U1: {title: control unit, connectors: [X1]}\n"
        "connectors:\n  X1: {face: [[1..4]], view: mating face}\n"
        "cavities:\n  X1.1: {function: supply, signal: feed-constant, draws: 5 mA}\n  X1.2: {function: ground, signal: ground-power}\n"
        "  X1.3: {function: fan, signal: output-high, on-resistance: 0.5 ohm, commanded: with engine}\n"
        "fuses:\n  F1: {rating: 5 A, type: blade}\n  F2: {rating: 60 A, type: midi}\n"
        "relays:\n  K1: {title: main relay, suppression: resistor, part: mini relay 40 A}\nsplices:\n  S1: {}\n  S2: {}\nwires:\n"
        + wire(1, "G1.+", "F1.1") + wire(2, "F1.2", "S1") + wire(3, "S1", "Q1.30") + wire(4, "S1", "X1.1") + wire(5, "X1.2", "G1.-", colour="BK")
        + wire(6, "Q1.15", "S2") + wire(7, "S2", "K1.86") + wire(8, "K1.85", "G1.-", colour="BK") + wire(9, "X1.3", "S2")
        + wire(10, "G1.+", "F2.1") + wire(11, "F2.2", "A1.B") + wire(12, "A1.case", "G1.-", colour="BK"))
    loaded = load("heron.yaml", {"heron.yaml": text})
    assert not loaded.has_errors, loaded.findings
    (finding,) = (finding for finding in loaded.findings if finding.code in CODES)
    assert finding.code == BACK and finding.message.startswith("fed back through an output: relay K1 is held in (") and finding.state == "off, running"
    assert "diode in series with the coil, anode at the coil, cathode at the control unit" in finding.do


# ------------------------------------------------------------------------------------- on unasked

DIRECT = (("  7: {from: K1.87a, to: M1.1", "  9: {from: K1.87a, to: open, size: 1 mm2, colour: BU, type: TXL, length: 500 mm}\n  7: {from: F2.2, to: M1.1"),
          ("from: F2.2, to: K1.30", "from: open, to: K1.30"))
"""The fan past the relay, on its fuse."""


@pytest.mark.parametrize(("says", "told"), [("hot: [run]", [UNASKED]), ("hot: [always]", [DRAIN]), ("title: fan", [DRAIN])])
def test_what_may_be_on_and_what_nobody_speaks_of_is_left_to_the_drain(says, told):
    assert codes(UNASKED, *DIRECT, ("hot: [run]", says)) == told


def test_what_is_told_here_is_no_drain_and_the_rest_of_the_drain_is():
    assert codes(UNASKED) == [UNASKED]
    radio = (("  M1:", "  R1: {title: radio, terminals: [1, 2], between: [R1.1, R1.2], load: 0.2 A at 12 V}\n  M1:"), ("  F1: {", "  F3: {rating: 5 A, type: blade}\n  F1: {"),
             ("  7: {from", wire(9, "G1.+", "F3.1", colour="RD") + wire(10, "F3.2", "R1.1", colour="RD") + wire(11, "R1.2", "G1.-", colour="BK") + "  7: {from"))
    (drain,) = (finding for finding in edited(UNASKED, *radio).findings if finding.code == DRAIN)
    assert "M1" not in drain.message and "R1" in drain.at and "M1" not in drain.at


def test_the_relay_of_the_contact_is_named_in_what_to_do():
    assert "circuit fan is to be live in run only: feed K1.30 from the switched supply, or lead the load to K1.87 instead of K1.87a" == one(UNASKED).do
    assert "part what it passes on the path above" in one(UNASKED, *DIRECT).do


def test_loads_of_one_circuit_are_one_finding_and_those_of_two_are_two():
    second = (("  M1:", "  M2: {title: second fan, terminals: [1, 2], between: [M2.1, M2.2], motor: 1 A at 12 V}\n  M1:"), ("fuses:\n", "splices:\n  SP1: {method: solder}\nfuses:\n"),
              ("from: K1.87a, to: M1.1", "from: K1.87a, to: SP1"), ("  8: {from", wire(9, "SP1", "M1.1", "fan", "BU") + wire(10, "SP1", "M2.1", "fan", "BU") + wire(11, "M2.2", "G1.-", colour="BK") + "  8: {from"))
    finding = one(UNASKED, *second)
    assert {"M1", "M2"} <= set(finding.at) and finding.message.count(" is on (") == 2
    assert len(found(UNASKED, *second, (wire(10, "SP1", "M2.1", "fan", "BU"), wire(10, "SP1", "M2.1", "blower", "BU")), ("  fan: {hot: [run]}", "  fan: {hot: [run]}\n  blower: {hot: [run]}"))) == 2


COIL = (("from: Q1.15, to: K1.86, size: 1 mm2, colour: GN, type: TXL, length: 500 mm", "from: F1.2, to: K1.86, size: 1 mm2, colour: GN, type: TXL, length: 500 mm, circuit: fan"),
        ("from: F1.2, to: Q1.30", "from: F2.2, to: Q1.30"), ("from: F2.2, to: K1.30", "from: Q1.15, to: K1.30"))


def test_a_coil_that_is_fed_against_hot_is_one_finding_and_no_engine_that_runs_on():
    """The relay is in whatever the key does: the engine has no part in it, and a diode none in the way out."""
    assert codes(UNASKED, *COIL) == [UNASKED]
    finding = one(UNASKED, *COIL)
    assert "circuit fan is live (" in finding.message and "relay K1 is held in (" in finding.message and {"K1", "circuit fan"} <= set(finding.at)


# ------------------------------------------------------------------------------------- with a ground opened

def test_a_second_wire_from_where_they_meet_to_the_other_ground_is_named_and_mends_it():
    finding = one(GROUND)
    assert finding.do == "a second wire from SP1 to a ground of its own, GB3; or a ground of its own for each that meets there"
    assert found(GROUND, ("  12: {from: SP1", wire(13, "SP1", "GB3", colour="BK") + "  12: {from: SP1")) == []


def test_what_only_goes_out_is_no_finding():
    assert found(GROUND, (wire(4, "S1.2", "H3.1", colour="GY"), wire(4, "S1.2", "open", colour="GY")), (wire(8, "H3.2", "GB3", colour="BK"), "")) == []


@pytest.mark.parametrize(("watts", "tells"), [("3.2 W", True), ("1.5 W", True), ("40 W", False)])
def test_three_tenths_of_a_lamp_is_on(watts, tells):
    """The stop lamp feeds both: of a large side lamp it is too little to glow, of a small one enough."""
    names = {thing for finding in found(GROUND, ("between: [H3.1, H3.2], lamp: 5 W", f"between: [H3.1, H3.2], lamp: {watts}")) for thing in finding.at[:3]}
    assert ("H3" in names) is tells


def test_each_ground_is_one_finding():
    """Two such groups of lamps, each with two grounds of its own."""
    group = tuple(line.replace("H1", "H4").replace("H2", "H5").replace("H3", "H6").replace("S2", "S4").replace("S1", "S3").replace("F2", "F4") for line in (
        "  S1: {title: tail lamp switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}\n", "  S2: {title: brake pedal switch, terminals: [1, 2], closes: {pressed: [[S2.1, S2.2]]}}\n",
        *(f"  H{number}: {{terminals: [1, 2], between: [H{number}.1, H{number}.2], lamp: {watts} W at 12 V}}\n" for number, watts in ((1, 5), (2, 21), (3, 5)))))
    more = (("grounds:\n", "".join(group) + "grounds:\n  GB4: {metal: battery}\n  GB5: {metal: battery}\n"), ("fuses:\n", "fuses:\n  F4: {rating: 7.5 A, type: blade}\n"), ("splices:\n", "splices:\n  SP2: {method: solder}\n"),
            ("  12: {from", wire(25, "G1.+", "F4.1", colour="RD") + wire(26, "F4.2", "S4.1", colour="RD") + wire(27, "S4.2", "H5.1") + wire(23, "S3.2", "H4.1", colour="GY") + wire(24, "S3.2", "H6.1", colour="GY")
             + wire(28, "H6.2", "GB5", colour="BK") + wire(20, "H4.2", "SP2", colour="BK") + wire(21, "H5.2", "SP2", colour="BK") + wire(22, "SP2", "GB4", colour="BK") + "  12: {from"))
    findings = found(GROUND, *more)
    assert [finding.at[0] for finding in findings] == ["GB4", "GB2"]       # as they stand in the description
    assert [{"H1", "H3"} <= set(finding.at) and "H4" not in finding.at for finding in findings] == [False, True]


# ------------------------------------------------------------------------------------- with a fuse out

def fused(hot: str | None = "start", fan: str = "87a", lamp: str = "87", feed: str = "F3.2") -> list[Finding]:
    """A changeover relay whose coil has a fuse of its own, a fan on one contact and a lamp on the other."""
    text = (
        "devices:\n"
        '  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\n'
        "  Q1: {title: master switch, terminals: [1, 2, 3], closes: {on: [[Q1.1, Q1.2], [Q1.1, Q1.3]]}}\n"
        "  M1: {title: fan, terminals: [1, 2], between: [M1.1, M1.2], motor: 4 A at 12 V}\n"
        "  H1: {title: lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}\n"
        + ("" if hot is None else f"circuits:\n  fan: {{hot: [{hot}]}}\n")
        + "fuses:\n  F1: {rating: 20 A, type: blade}\n  F2: {rating: 7.5 A, type: blade}\n  F3: {rating: 7.5 A, type: blade}\nsplices:\n  SP1: {method: solder}\n"
        "relays:\n  K1: {contacts: changeover, suppression: resistor, part: mini relay 40 A}\nwires:\n"
        + wire(1, "G1.+", "F1.1") + wire(2, "F1.2", "Q1.1") + wire(3, "Q1.2", "F2.1") + wire(4, "F2.2", "SP1") + wire(5, "SP1", "K1.86") + wire(6, "K1.85", "G1.-")
        + wire(7, "Q1.3", "F3.1") + wire(8, feed, "K1.30") + wire(9, f"K1.{fan}", "M1.1", "" if hot is None else "fan") + wire(10, "M1.2", "G1.-") + wire(11, f"K1.{lamp}", "H1.1") + wire(12, "H1.2", "G1.-"))
    loaded = load("heron.yaml", {"heron.yaml": text})
    assert not loaded.has_errors, loaded.findings
    return [finding for finding in loaded.findings if finding.code == FUSE]


def test_what_starts_when_the_fuse_of_a_coil_is_out():
    (finding,) = fused()
    assert finding.at == ("F2", "M1", "circuit fan", "G1", "wire 1", "F1", "wire 2", "Q1", "wire 7", "F3", "wire 8", "K1", "wire 9", "wire 10")
    assert (finding.severity, finding.state, finding.limit) == (Severity.MALFUNCTION, "off, stopped, Q1 on", "400 mA")
    assert finding.message.startswith(f"with F2 out fan M1 is on ({finding.value}) and circuit fan is live (") and 3.9 < float(finding.value.removesuffix(" A")) < 4.2
    assert finding.do == "lead the load to 87 of K1, or feed K1.30 from F2 too (at SP1)"


def test_either_way_out_that_is_named_mends_it():
    assert fused(fan="87", lamp="87a") == []
    assert fused(feed="SP1") == []


@pytest.mark.parametrize("hot", ["always", None])
def test_with_a_fuse_out_nothing_is_told_of_what_may_be_live(hot):
    assert fused(hot) == []


def test_the_lamp_that_only_goes_out_with_a_fuse_is_not_told():
    assert {name for finding in fused() for name in finding.at} & {"H1", "wire 11"} == set()
