"""Feeds that meet, starter and pump without their controls, ends and pins that are open, suppressors, windings and straps: faults, look-alikes, silence."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import Loaded, load

EXAMPLES = Path(__file__).parents[3] / "examples"
LINNET = (EXAMPLES / "linnet" / "linnet.yaml").read_text("utf-8")
CODES = ("two-feeds-joined", "starter-without-interlock", "pump-runs-on", "live-end-open", "supply-pin-open", "ground-pin-open", "pull-in-winding-held", "suppressor-reversed",
         "strap-too-thin")
BATTERY = '  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\n'
KEY = "  S1: {title: key switch, terminals: [30, 15, 50], closes: {run: [[S1.30, S1.15]], start: [[S1.30, S1.15], [S1.30, S1.50]]}}\n"


def run(text: str, solve: bool = True) -> Loaded:
    loaded = load("heron.yaml", {"heron.yaml": text}, solve=solve)
    assert not loaded.has_errors, loaded.findings
    return loaded


def found(text: str, *codes: str, solve: bool = True) -> list[Finding]:
    return [finding for finding in run(text, solve).findings if finding.code in (codes or CODES)]


def lacks(text: str, code: str) -> list[tuple[str, ...]]:
    return [one.things for one in run(text).unasked if one.code == code]


def wires(*ends: str, size: str = "2.5 mm2") -> str:
    return "wires:\n" + "".join(f"  {number}: {{from: {end.split()[0]}, to: {end.split()[1]}, size: {size}, colour: GN, type: TXL, length: 300 mm}}\n" for number, end in enumerate(ends, 1))


def linnet(*edits: tuple[str, str]) -> str:
    """The Linnet with lines changed: (pattern, what stands for it)."""
    text = LINNET
    for pattern, replacement in edits:
        text, count = re.subn(pattern, replacement, text, flags=re.M)
        assert count == 1, pattern
    return text


@pytest.mark.parametrize("path", sorted(path for path in EXAMPLES.glob("*/*.yaml") if path.stem not in ("host", "donor")), ids=lambda path: path.stem)
@pytest.mark.parametrize("solve", [True, False])
def test_the_examples_have_nothing_of_this(path, solve):
    assert [finding for finding in load(path, solve=solve).findings if finding.code in CODES] == []


# ------------------------------------------------------------------ two feeds

FUSES = "fuses:\n  F1: {rating: 10 A, type: blade}\n  F2: {rating: 10 A, type: blade}\n"
LAMP = "  H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}\n"


def test_two_fuses_on_one_copper_and_through_a_load():
    text = f"devices:\n{BATTERY}{LAMP}{FUSES}" + wires("G1.+ F1.1", "G1.+ F2.1", "F1.2 H1.1", "F2.2 @", "H1.2 G1.-")
    (finding,) = found(text.replace("@", "H1.1"))
    assert finding.at == ("H1.1", "F1", "F2", "wire 3", "wire 4") and "wire 4" in finding.do
    second = "  H2: {terminals: [1, 2], between: [H2.1, H2.2], lamp: 21 W at 12 V}\n"
    assert found(text.replace(LAMP, LAMP + second).replace("@", "H2.1") + "  6: {from: H2.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}\n", "two-feeds-joined") == []


def test_two_fuses_that_are_written_the_wrong_way_round():
    text = f"devices:\n{BATTERY}{LAMP}{FUSES}" + wires("G1.+ F1.2", "G1.+ F2.1", "F1.1 H1.1", "F2.2 H1.1", "H1.2 G1.-")
    assert [finding.code for finding in found(text)] == ["two-feeds-joined"]


def test_fuses_in_series_and_at_both_ends_of_a_cable_between_two_batteries():
    assert found(f"devices:\n{BATTERY}{LAMP}{FUSES}" + wires("G1.+ F1.1", "F1.2 F2.1", "F2.2 H1.1", "H1.2 G1.-"), "two-feeds-joined") == []
    second = '  G2: {terminals: ["+", "-"], between: [G2.+, G2.-], battery: {}}\n'
    assert found(f"devices:\n{BATTERY}{second}{FUSES}" + wires("G1.+ F1.1", "F1.2 F2.2", "F2.1 G2.+", "G1.- G2.-"), "two-feeds-joined") == []


def test_a_feed_past_the_key():
    text = f"devices:\n{BATTERY}{KEY}{LAMP}{FUSES}" + wires("G1.+ F1.1", "F1.2 S1.30", "S1.15 H1.1", "H1.2 G1.-", "G1.+ F2.1", "F2.2 @")
    assert found(text.replace("@", "unknown"), "two-feeds-joined") == []
    (finding,) = found(text.replace("@", "H1.1"))
    assert finding.at[:3] == ("wire 3", "S1.15", "F2") and "past key switch S1" in finding.message


def test_two_switches_that_feed_one_lamp_are_no_fault():
    switches = "".join(f"  S{n}: {{title: door switch, terminals: [1, 2], closes: {{open door: [[S{n}.1, S{n}.2]]}}}}\n" for n in (5, 6))
    text = f"devices:\n{BATTERY}{LAMP}{switches}{FUSES}" + wires("G1.+ F1.1", "F1.2 S5.1", "G1.+ F2.1", "F2.2 S6.1", "S5.2 H1.1", "S6.2 H1.1", "H1.2 G1.-")
    assert found(text, "two-feeds-joined") == []


def test_cables_side_by_side_between_battery_and_alternator():
    alternator = "  A1: {terminals: [B+, case], between: [A1.B+, A1.case], alternator: {limit: 75 A}}\n"
    text = f"devices:\n{BATTERY}{alternator}{FUSES}" + wires("A1.B+ F1.1", "A1.B+ F2.1", "F1.2 G1.+", "F2.2 G1.+", "A1.case G1.-")
    assert found(text, "two-feeds-joined") == []


def test_a_switch_beside_the_key_is_no_fault():
    switch = "  S5: {title: test switch, terminals: [1, 2], closes: {on: [[S5.1, S5.2]]}}\n"
    text = f"devices:\n{BATTERY}{KEY}{LAMP}{switch}{FUSES}" + wires("G1.+ F1.1", "F1.2 S1.30", "S1.15 H1.1", "H1.2 G1.-", "G1.+ F2.1", "F2.2 S5.1", "S5.2 H1.1")
    assert found(text, "two-feeds-joined") == []


# ------------------------------------------------------------------ starter

INTERLOCK = (r"signal: interlock", "signal: switch-contact")
BRIDGED = ((r"^  504: .*$", "  504: {from: F22.2, to: X31.5, size: 0.5 mm2, colour: R-W, circuit: start command, type: PVC 85 C}"), (r"^  505: .*$", ""))


def test_the_linnet_keeps_two_interlocks_and_is_told_when_both_are_gone():
    ground = (r"to: K8.85,", "to: K8.85,"), (r"^  204: \{from: E1.13,", "  204: {from: GB1,")
    # the control unit commands the ground of the coil, but the contact of the clutch switch is left over
    (left,) = found(linnet(*BRIDGED), "starter-without-interlock")
    assert left.at[:3] == ("X26.1", "S3", "X26.2") and "K8" in left.at
    assert found(linnet(*ground), "starter-without-interlock") == []       # the clutch switch is in the feed
    (finding,) = found(linnet(*BRIDGED, *ground), "starter-without-interlock")
    assert finding.at[:3] == ("K8", "M1.50", "M1") and "wire 504" in finding.message and "K8.85 and ground" in finding.do


STARTER = "  M1: {title: starter, terminals: [50, case], between: [M1.50, M1.case], solenoid: 1 ohm}\n"
SAID = "cavities:\n  M1.50: {signal: starter-control}\n"


@pytest.mark.parametrize("title, told", [("clutch pedal switch", False), ("neutral switch", False), ("park/neutral switch", False), ("parking brake switch", True), ("start button", True)])
def test_an_interlock_is_known_by_its_title(title, told):
    switch = f"  S3: {{title: {title}, terminals: [1, 2], closes: {{down: [[S3.1, S3.2]]}}}}\n"
    text = f"devices:\n{BATTERY}{KEY}{STARTER}{switch}{SAID}{FUSES}" + wires("G1.+ F1.1", "F1.2 S1.30", "S1.50 S3.1", "S3.2 M1.50", "M1.case G1.-")
    assert [finding.code for finding in found(text, "starter-without-interlock")] == (["starter-without-interlock"] if told else [])


def test_a_relay_that_an_interlock_feeds_is_one():
    more = "  S3: {title: neutral switch, terminals: [1, 2], closes: {neutral: [[S3.1, S3.2]]}}\n"
    relay = "relays:\n  K1: {contacts: make, suppression: resistor, coil: 85 ohm, type: mini}\n"
    text = f"devices:\n{BATTERY}{KEY}{STARTER}{more}{SAID}{FUSES}{relay}" + wires("G1.+ F1.1", "F1.2 S1.30", "S1.50 K1.30", "K1.87 M1.50", "M1.case G1.-", "S1.50 K1.86", "K1.85 @", "S3.2 G1.-")
    assert found(text.replace("@", "S3.1"), "starter-without-interlock") == []
    assert len(found(text.replace("@", "G1.-"), "starter-without-interlock")) == 1


def test_an_interlock_in_the_ground_of_the_solenoid():
    more = "  S3: {title: neutral switch, terminals: [1, 2], closes: {neutral: [[S3.1, S3.2]]}}\n"
    text = f"devices:\n{BATTERY}{KEY}{STARTER}{more}{SAID}{FUSES}" + wires("G1.+ F1.1", "F1.2 S1.30", "S1.50 M1.50", "M1.case S3.1", "S3.2 G1.-")
    assert found(text, "starter-without-interlock") == []


def test_without_a_key_that_starts_it_is_not_asked():
    text = f"devices:\n{BATTERY}{STARTER}{SAID}{FUSES}" + wires("G1.+ F1.1", "F1.2 M1.50", "M1.case G1.-")
    assert found(text, "starter-without-interlock") == [] and lacks(text, "starter-without-interlock") == [()]


# ------------------------------------------------------------------ pump

def test_the_main_relay_of_the_control_unit_does_not_stop_the_pump():
    (finding,) = found(linnet((r"^  202: \{from: E1.12,", "  202: {from: GB1,")), "pump-runs-on")
    assert finding.at[0] == "M3" and "relay K2" in finding.message
    # its coil fed past the main relay as well, the output is what holds it
    assert found(LINNET, "pump-runs-on") == []


PUMP = "  M3: {title: fuel pump, terminals: [1, 2], between: [M3.1, M3.2], motor: 6 A at 12 V}\n"


@pytest.mark.parametrize("title, signal, told", [("crash switch", "crash-switch", False), ("oil pressure switch", "switch-contact", False), ("pump switch", "switch-contact", True),
                                                 ("boiler switch", "switch-contact", True)])
def test_what_stops_a_pump(title, signal, told):
    switch = f"  S9: {{title: {title}, terminals: [1, 2], closes: {{on: [[S9.1, S9.2]]}}, rest: on}}\n"
    said = f"cavities:\n  M3.1: {{signal: fuel-pump}}\n  S9.1: {{signal: {signal}}}\n"
    feed = f"devices:\n{BATTERY}{PUMP}{switch}{said}{FUSES}" + wires("G1.+ F1.1", "F1.2 S9.1", "S9.2 M3.1", "M3.2 G1.-")
    ground = f"devices:\n{BATTERY}{PUMP}{switch}{said}{FUSES}" + wires("G1.+ F1.1", "F1.2 M3.1", "M3.2 S9.1", "S9.2 G1.-")
    for text in (feed, ground):
        assert [finding.code for finding in found(text, "pump-runs-on")] == (["pump-runs-on"] if told else [])


def test_a_pump_without_a_source_is_not_asked():
    text = f"devices:\n{PUMP}cavities:\n  M3.1: {{signal: fuel-pump}}\n" + wires("M3.1 unknown")
    assert found(text, "pump-runs-on") == [] and lacks(text, "pump-runs-on") == [()]


# ------------------------------------------------------------------ open ends and pins

@pytest.mark.parametrize("end, dead", [("F1.2", "fuse F1 makes it dead"), ("G1.+", "nothing but the battery's clamp")])
def test_an_open_end_says_what_makes_it_dead(end, dead):
    (finding,) = found(f"devices:\n{BATTERY}{FUSES}" + wires("G1.+ F1.1", f"{end} open"), "live-end-open")
    assert dead in finding.message and finding.at[0] == "wire 2"


def test_an_open_end_behind_the_key_says_when():
    (finding,) = found(f"devices:\n{BATTERY}{KEY}{FUSES}" + wires("G1.+ F1.1", "F1.2 S1.30", "S1.15 open"), "live-end-open")
    assert "whenever S1 is at run or start" in finding.message


def test_an_open_end_may_be_written_first():
    (finding,) = found(f"devices:\n{BATTERY}{FUSES}" + wires("G1.+ F1.1", "open F1.2"), "live-end-open")
    assert finding.at == ("wire 2", "F1", "F1.2")


@pytest.mark.parametrize("end", ["F1.2 unknown", "G1.- open", "F2.2 open"])
def test_an_end_not_known_a_ground_and_a_dead_end_are_none(end):
    assert found(f"devices:\n{BATTERY}{FUSES}" + wires("G1.+ F1.1", end), "live-end-open") == []


UNIT = "  U1: {title: control unit, connectors: [E1]}\nconnectors:\n  E1: {face: [[1..6]], view: mating face}\n"
PINS = ("cavities:\n  E1.1: {signal: feed-constant, draws: 0.1 A}\n  E1.2: {signal: feed-switched, draws: 1 A}\n  E1.3: {signal: ground-power}\n  E1.4: {signal: ground-power}\n"
        "  E1.5: {signal: reference-5v}\n  E1.6: {signal: ground-sensor}\n")
ALL = ("G1.+ F1.1", "F1.2 E1.1", "G1.+ F2.1", "F2.2 E1.2", "E1.3 G1.-", "E1.4 G1.-")


def unit(*ends: str, more: str = "") -> list[tuple[str, tuple[str, ...]]]:
    return [(finding.code, finding.at) for finding in found(f"devices:\n{BATTERY}{UNIT}{PINS}{FUSES}{more}" + wires(*ends), "supply-pin-open", "ground-pin-open", "open-circuit")]


def test_each_pin_of_a_unit_is_asked_and_told_once():
    assert unit(*ALL) == []
    assert unit(*ALL[:3], *ALL[4:]) == [("supply-pin-open", ("E1.2", "U1"))]
    assert unit(*ALL[:5]) == [("ground-pin-open", ("E1.4", "U1"))]
    assert unit(*ALL[:4]) == [("ground-pin-open", ("E1.3", "E1.4", "U1"))]


def test_where_something_may_lie_nothing_is_said():
    assert unit(*ALL[:3], *ALL[4:], "E1.2 unknown") == []
    assert unit(*ALL[:5], "E1.4 S1", "S1 unknown", more="splices:\n  S1: {}\n") == []
    assert unit(*ALL[:5], "E1.4 S1", more="splices:\n  S1: {members: [unknown]}\n") == []


def test_without_battery_and_ground_nothing_is_asked():
    assert found(f"devices:\n{UNIT}{PINS}", "supply-pin-open", "ground-pin-open") == []


def test_sensors_on_one_ground_that_is_lost_are_one_finding():
    (finding,) = found(linnet((r"^  343: .*$", "")), "ground-pin-open", "open-circuit")
    assert finding.at == ("X16.2", "X17.3", "N6", "N7")


def test_a_sensor_without_its_reference():
    (finding,) = found(linnet((r"^  324: .*$", "")), "supply-pin-open", "open-circuit")
    assert finding.at == ("X12.1", "N2")


# ------------------------------------------------------------------ windings

def held(winding: str, end: str, more: str = "", state: str = "") -> list[Finding]:
    solenoid = f"  Y1: {{title: stop solenoid, terminals: [1, 2], between: [Y1.1, Y1.2], solenoid: {winding}}}\n"
    return found(f"devices:\n{BATTERY}{KEY}{solenoid}{more}{FUSES}{state}" + wires("G1.+ F1.1", "F1.2 S1.30", f"{end} Y1.1", "Y1.2 G1.-"), "pull-in-winding-held")


def test_a_pull_in_winding_in_run_in_start_and_without_a_limit():
    (finding,) = held("{winding: 1 ohm, at-most: 2 s}", "S1.15")
    assert (finding.state, finding.limit, finding.at) == ("run, stopped", "2 s", ("Y1", "Y1.1"))
    assert held("{winding: 1 ohm, at-most: 2 s}", "S1.50") == []
    assert held("1 ohm", "S1.15") == []


@pytest.mark.parametrize("ohm, told", [(1.1, True), (1.3, False)])
def test_a_winding_of_a_stop_solenoid_above_10_a_is_its_pull_in_winding(ohm, told):
    """12 V / 1.2 ohm = 10 A."""
    assert bool(held(f"{ohm} ohm", "S1.15", "cavities:\n  Y1.1: {signal: stop-solenoid}\n")) is told


def test_a_push_button_that_is_held_does_not_last_and_a_named_state_does():
    button = "  S7: {title: stop button, terminals: [1, 2], closes: {pressed: [[S7.1, S7.2]]}}\n"
    solenoid = "  Y1: {title: stop solenoid, terminals: [1, 2], between: [Y1.1, Y1.2], solenoid: {winding: 1 ohm, at-most: 2 s}}\n"
    text = f"devices:\n{BATTERY}{button}{solenoid}{FUSES}" + wires("G1.+ F1.1", "F1.2 S7.1", "S7.2 Y1.1", "Y1.2 G1.-")
    assert found(text, "pull-in-winding-held") == []
    (finding,) = found(text + "states:\n  stopping: {key: off, engine: running, switches: {S7: pressed}}\n", "pull-in-winding-held")
    assert finding.state == "stopping"


# ------------------------------------------------------------------ suppressors

def coil(plus: str, minus: str, suppression: str = "diode", pins: str = "") -> list[str]:
    relay = f"relays:\n  K1: {{contacts: make, suppression: {suppression}, coil: 85 ohm, type: mini}}\n"
    text = f"devices:\n{BATTERY}{UNIT}cavities:\n  E1.1: {{signal: output-relay-low}}\n{FUSES}{relay}" + wires("G1.+ F1.1", f"F1.2 {plus}", f"{minus} {pins or 'G1.-'}")
    return [finding.message for finding in found(text, "suppressor-reversed", solve=False)]


@pytest.mark.parametrize("pins", ["G1.-", "E1.1"])
def test_the_supply_comes_to_86(pins):
    assert coil("K1.86", "K1.85", pins=pins) == []
    assert len(coil("K1.85", "K1.86", pins=pins)) == 1
    assert coil("K1.85", "K1.86", "resistor", pins) == coil("K1.85", "K1.86", "none", pins) == []


@pytest.mark.parametrize("anode, told", [("Y6.2", False), ("Y6.1", True)])
def test_a_diode_across_a_clutch(anode, told):
    clutch = "  Y6: {title: compressor clutch, terminals: [1, 2], between: [Y6.1, Y6.2], coil: 3.4 ohm}\n"
    cathode = "Y6.1" if anode == "Y6.2" else "Y6.2"
    text = f"devices:\n{BATTERY}{clutch}diodes:\n  D1: {{}}\n{FUSES}" + wires("G1.+ F1.1", "F1.2 Y6.1", "Y6.2 G1.-", f"{anode} D1.A", f"{cathode} D1.K")
    findings = found(text, "suppressor-reversed", solve=False)
    assert [finding.at for finding in findings] == ([("D1", "Y6")] if told else [])


def test_a_diode_in_series_is_no_suppressor():
    text = f"devices:\n{BATTERY}{LAMP}diodes:\n  D1: {{}}\n{FUSES}" + wires("G1.+ F1.1", "F1.2 D1.A", "D1.K H1.1", "H1.2 G1.-")
    assert found(text, "suppressor-reversed") == []


def test_a_motor_that_turns_both_ways_has_no_plus_side():
    motor = "  M1: {terminals: [1, 2], between: [M1.1, M1.2], motor: 6 A at 12 V}\n"
    switch = "  S4: {terminals: [1, 2, 3, 4], closes: {up: [[S4.1, S4.3], [S4.2, S4.4]], down: [[S4.1, S4.4], [S4.2, S4.3]]}}\n"
    text = f"devices:\n{BATTERY}{motor}{switch}diodes:\n  D1: {{}}\n{FUSES}" + wires("G1.+ F1.1", "F1.2 S4.1", "S4.2 G1.-", "S4.3 M1.1", "S4.4 M1.2", "M1.1 D1.A", "M1.2 D1.K")
    assert found(text, "suppressor-reversed", solve=False) == []


# ------------------------------------------------------------------ straps

def straps_text(*straps: str) -> str:
    return (f'devices:\n{BATTERY}  M1: {{title: starter, terminals: [30, case]}}\ncavities:\n  M1.30: {{signal: starter-motor}}\n  M1.case: {{signal: ground-case, metal: engine}}\n'
            "grounds:\n  GE1: {metal: engine}\n  GE2: {metal: engine}\n  GB1: {metal: body}\n  GB2: {metal: body}\nwires:\n  1: {from: G1.+, to: M1.30, size: 25 mm2, colour: RD, type: TXL, length: 1 m}\n"
            + "".join(f"  {number}: {{from: {a}, to: {b}, size: {size}, colour: BK, type: TXL, length: 500 mm}}\n" for number, (a, b, size) in enumerate((strap.split(" ", 2) for strap in straps), 2)))


def strapped(*straps: str) -> list[tuple[str, ...]]:
    return [finding.at for finding in found(straps_text(*(f"{strap} mm2" for strap in straps)), "strap-too-thin")]


def test_a_strap_is_as_thick_as_the_cable():
    assert strapped("GE1 G1.- 25") == strapped("GE1 G1.- 20") == []
    assert strapped("GE1 G1.- 16") == [("wire 2", "M1", "wire 1")]


def test_the_thinnest_on_the_best_way_counts():
    assert strapped("GE1 GB1 10", "GB2 G1.- 25") == [("wire 2", "M1", "wire 1")]
    assert strapped("GE1 GB1 25", "GB2 G1.- 25", "GE2 G1.- 25") == []


def test_a_metal_the_starter_does_not_need_is_advice_as_its_strap_carries_the_starter_when_the_other_is_lost():
    (finding,) = found(straps_text("GE1 G1.- 25 mm2", "GB2 G1.- 10 mm2"), "strap-too-thin")
    assert (finding.severity, finding.at[0], finding.value, finding.limit) == (Severity.ADVICE, "wire 3", "10 mm²", "25 mm²")
    assert found(straps_text("GE1 G1.- 25 mm2", "GB2 G1.- 20 mm2"), "strap-too-thin") == []


def test_two_straps_side_by_side_count_together():
    assert strapped("GE1 G1.- 16", "GE1 G1.- 16") == []


def test_a_strap_of_unknown_size_is_asked_for():
    text = straps_text("GE1 G1.- unknown")
    assert found(text, "strap-too-thin") == [] and lacks(text, "strap-too-thin") == [("wire 2",)]
