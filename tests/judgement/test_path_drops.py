"""The path of the current, what is lost along it, and the verdicts against the limits of the trade."""

from __future__ import annotations

from itertools import pairwise

import pytest
from judgement.judged import judged, verdict
from operation.operated import BATTERY, LINNET

from harnessdoc import steps
from harnessdoc.findings import Severity
from harnessdoc.judgement.drops import COUNTED, Drop, drops
from harnessdoc.judgement.judge import Judgement, judge
from harnessdoc.operation.operate import Operation
from harnessdoc.judgement.path import path_of
from harnessdoc.judgement.wires import carried_in

LAMP = f"""\
title: a lamp
wire-type: PVC 85 C
devices:
  {BATTERY}
  S1: {{terminals: [1, 2], closes: {{on: [[S1.1, S1.2]]}}}}
  E1: {{title: reading lamp, terminals: [1, 2], between: [E1.1, E1.2], lamp: 24 W at 12 V}}
fuses:
  F1: {{rating: 10 A, type: blade, resistance: 7 mohm, drop: 109 mV}}
grounds:
  GB1: {{metal: body}}
  GB2: {{metal: body}}
wires:
  1: {{from: G1.+, to: F1.1, size: 2.5 mm2, length: 1 m}}
  2: {{from: F1.2, to: S1.1, size: 0.5 mm2, length: 2 m}}
  3: {{from: S1.2, to: E1.1, size: 0.5 mm2, length: 2 m}}
  4: {{from: E1.2, to: GB1, size: 0.5 mm2, length: 500 mm}}
  5: {{from: GB2, to: G1.-, size: 10 mm2, length: 500 mm}}
"""
LIT = "off, stopped, S1 on"


@pytest.fixture(scope="module")
def linnet() -> Operation:
    operation = steps.load(LINNET).operation
    assert operation is not None
    return operation


def of(judgement: Judgement, load: str) -> Drop:
    return next(drop for drop in judgement.drops if drop.load == load)


# ------------------------------------------------------------------------------- paths

def test_the_path_of_a_lamp_step_by_step() -> None:
    operation, _ = judged(LAMP)
    (load,) = operation.wiring.loads
    path = path_of(operation, operation.solved[LIT], load)
    assert path is not None and path.source == "battery G1"
    assert [(step.words, step.from_, step.to) for step in path.steps] == [
        ("wire 1", "G1.+", "F1.1"), ("fuse F1", "F1.1", "F1.2"), ("wire 2", "F1.2", "S1.1"), ("switch S1", "S1.1", "S1.2"), ("wire 3", "S1.2", "E1.1"),
        ("reading lamp", "E1.1", "E1.2"), ("wire 4", "E1.2", "GB1"), ("GB1 on body", "GB1", ""), ("GB2 on body", "", "GB2"), ("wire 5", "GB2", "G1.-")]
    # 0.5 mm2: 37.1 mohm/m, at 30 C (234.5 + 30) / 254.5 of that; a stud at each end 0.2 mohm.
    wire = path.steps[4]
    assert wire.drop_v / wire.current_a == pytest.approx(2 * 0.0371 * 264.5 / 254.5 + 0.0004)
    assert path_of(operation, operation.solved["off, stopped"], load) is None


def test_a_battery_that_is_charged_is_passed_and_gives_nothing() -> None:
    """A lamp between the two batteries of a row: the alternator over both feeds it through the upper one."""
    operation, _ = judged("""\
supply: 24 V
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}
  G2: {terminals: ["+", "-"], between: [G2.+, G2.-], battery: {emf: 12.6 V, resistance: 10 mohm}}
  A1: {terminals: [B, E], between: [A1.B, A1.E], alternator: {voltage: 28 V}}
  E1: {title: tapped lamp, terminals: [1, 2], between: [E1.1, E1.2], lamp: 5 W at 12 V}
wires:
  1: {from: G1.+, to: G2.-, size: 25 mm2, length: 100 mm}
  2: {from: A1.B, to: G2.+, size: 25 mm2, length: 100 mm}
  3: {from: A1.E, to: G1.-, size: 25 mm2, length: 100 mm}
  4: {from: G1.+, to: E1.1, size: 1 mm2, length: 100 mm}
  5: {from: E1.2, to: G1.-, size: 1 mm2, length: 100 mm}
""")
    load = next(load for load in operation.wiring.loads if load.id == "E1")
    solved = next(solved for name, solved in operation.solved.items() if "running" in name)
    path = path_of(operation, solved, load)
    assert path is not None and path.source == "alternator A1"
    assert [step.words for step in path.feed] == ["wire 2", "battery G2", "wire 1", "wire 4"]


def test_along_every_path_of_the_linnet_the_volts_only_fall_and_add_up_to_the_source(linnet: Operation) -> None:
    count = 0
    for solved in linnet.solved.values():
        assert solved.solution is not None
        for load in linnet.wiring.loads:
            path = path_of(linnet, solved, load)
            if path is None:
                continue
            count += 1
            source = next(element for element in solved.circuit.elements_in(solved.solution.relay_states) if element.id == path.source)
            assert path.steps[0].from_node == source.a
            assert all(before.to_node == after.from_node and before.to_v == after.from_v for before, after in pairwise(path.steps))
            assert all(step.drop_v > 0 for step in path.steps)
            assert sum(step.drop_v for step in path.steps) == pytest.approx(solved.solution.across(source.a, path.steps[-1].to_node))
            assert path.steps[-1].to_node == source.b or any(
                element.b == path.steps[-1].to_node and solved.solution.currents[element.id] < 0 for element in solved.circuit.elements)
    assert count > 100


def test_the_path_takes_the_branch_that_brings_most() -> None:
    # Two wires side by side from fuse to lamp, one of them four times as thick.
    beside = LAMP.replace("  3: {from: S1.2, to: E1.1, size: 0.5 mm2, length: 2 m}\n",
                          "  3: {from: S1.2, to: E1.1, size: 0.5 mm2, length: 2 m}\n  33: {from: S1.2, to: E1.1, size: 2 mm2, length: 2 m}\n")
    operation, _ = judged(beside)
    path = path_of(operation, operation.solved[LIT], operation.wiring.loads[0])
    assert path is not None and "wire 33" in [step.words for step in path.steps] and "wire 3" not in [step.words for step in path.steps]


# ------------------------------------------------------------------------------- drops

def test_the_drop_of_a_lamp_is_judged_by_the_line_and_by_the_whole() -> None:
    operation, judgement = judged(LAMP)
    drop = of(judgement, "E1")
    path = drop.path
    assert path is not None and (drop.state, drop.feed_from, drop.return_to) == (LIT, "G1.+", "G1.-")
    assert drop.feed_v == pytest.approx(sum(step.drop_v for step in path.feed)) and drop.return_v == pytest.approx(sum(step.drop_v for step in path.back))
    # Above 15 W: 0.5 V for the line from the switch to the lamp, 0.9 V for all (data/drop_limits.csv).
    feed, total = verdict(drop.verdicts, "feed"), verdict(drop.verdicts, "feed and return")
    assert feed.words.startswith(f"feed from switch S1 {path.feed[-1].drop_v:.2f} V at 2.0") and feed.holds and total.holds
    assert "at most 0.9 V" in total.words


@pytest.mark.parametrize("length, holds, severity", [("1 m", True, None), ("9 m", False, Severity.ADVICE), ("30 m", False, Severity.MALFUNCTION)])
def test_a_drop_beyond_its_limit_is_advice_and_beyond_twice_a_malfunction(length: str, holds: bool, severity: Severity | None) -> None:
    _, judgement = judged(LAMP.replace("2: {from: F1.2, to: S1.1, size: 0.5 mm2, length: 2 m}", f"2: {{from: F1.2, to: S1.1, size: 0.5 mm2, length: {length}}}"))
    drop = of(judgement, "E1")
    total = verdict(drop.verdicts, "feed and return")
    assert (total.holds, total.severity) == (holds, severity)
    assert holds is (drop.total_v <= 0.9) and (severity is Severity.MALFUNCTION) is (drop.total_v > 1.8)


def test_a_load_in_series_with_another_is_not_judged() -> None:
    series = LAMP.replace("fuses:", "  E2: {title: lamp behind it, terminals: [1, 2], between: [E2.1, E2.2], lamp: 24 W at 12 V}\nfuses:").replace(
        "4: {from: E1.2, to: GB1,", "14: {from: E1.2, to: E2.1, size: 0.5 mm2, length: 500 mm}\n  4: {from: E2.2, to: GB1,")
    _, judgement = judged(series)
    assert [one.words for one in of(judgement, "E1").verdicts] == ["in series with lamp behind it: what it gets is shared, not lost"]


def test_what_is_lost_inside_devices_is_not_counted_and_told(linnet: Operation) -> None:
    for drop in drops(linnet):
        if drop.path is not None:
            inside = {step.words for step in (*drop.path.feed, *drop.path.back) if step.kind not in COUNTED}
            assert {words for words, _ in drop.not_counted} <= inside
    armature = next(drop for drop in drops(linnet) if drop.load == "M1 armature")
    # Measured at terminal 30 of the starter, before the contact of its solenoid.
    solved = linnet.solved[armature.state]
    shown = linnet.read(solved, ["G1.+", "M1.30", "M1.case"])
    assert armature.feed_v == pytest.approx(shown["G1.+"] - shown["M1.30"], abs=1e-5) and armature.return_v == pytest.approx(shown["M1.case"], abs=1e-5)  # type: ignore[operator]
    assert [limit.kind for limit in armature.limits] == ["starter-main", "starter-return"]
    assert [limit.kind for limit in next(drop for drop in drops(linnet) if drop.load == "M1 solenoid").limits] == ["starter-control"]


def test_while_the_alternator_gives_the_drop_is_still_measured_from_the_battery_post(linnet: Operation) -> None:
    fan = next(drop for drop in drops(linnet) if drop.load == "M2")
    shown = linnet.read(linnet.solved[fan.state], ["G1.+", "X22.1"])
    assert fan.path is not None and fan.path.source == "alternator A1" and fan.feed_from == "G1.+"
    assert fan.feed_v == pytest.approx(shown["G1.+"] - shown["X22.1"], abs=1e-5)  # type: ignore[operator]


def test_what_a_control_unit_feeds_has_no_limit(linnet: Operation) -> None:
    tracks = next(drop for drop in drops(linnet) if drop.load == "U2 tracks")
    assert tracks.limits == () and tracks.path is not None and tracks.path.source == "5 V of U1"


def test_the_main_cable_of_the_alternator(linnet: Operation) -> None:
    drop = next(drop for drop in drops(linnet) if drop.load == "A1")
    solved = linnet.solved[drop.state]
    shown = linnet.read(solved, ["A1.B+", "A1.case", "G1.+", "GB3"])
    assert drop.feed_v == pytest.approx(shown["A1.B+"] - shown["G1.+"], abs=1e-5)  # type: ignore[operator]
    # The body is one stud of 0.2 mohm away from GB3.
    assert drop.return_v == pytest.approx(shown["GB3"] - shown["A1.case"], abs=0.01)  # type: ignore[operator]
    assert drop.current_a == max(-one.solution.currents.get("alternator A1", 0.0) for one in linnet.solved.values() if one.solution)


# ------------------------------------------------------------------------------- wires

def test_what_a_wire_carries_loses_and_may_carry() -> None:
    operation, judgement = judged(LAMP.replace("24 W", "240 W"))
    wire = judgement.wires["3"]
    assert wire.carried is not None and wire.carried.state == LIT
    amps, ohm = wire.carried.current_a, 2 * 0.0371 * 264.5 / 254.5 + 0.0004
    assert (wire.drop_v, wire.power_w) == pytest.approx((amps * ohm, amps * amps * ohm))
    # The supplier's 11 A for 0.5 mm2: more flows.
    assert amps > 11 and (wire.verdict.holds, wire.verdict.severity) == (False, Severity.HAZARD)
    assert wire.verdict.words.startswith(f"{amps:.1f} A ({LIT}) through 0.5 mm²; allows 11 A (")
    # The circular's formula, from the ambient of 30 C to the 85 C the insulation stands: 30 + 55 root(I / 11).
    assert wire.conductor_c is not None and wire.conductor_c.value == pytest.approx(30 + 55 * (amps / 11) ** 0.5)
    assert "by the circular's formula" in wire.verdict.words
    (carried,) = [one for one in carried_in(operation, operation.solved[LIT]) if one.wire == "3"]
    assert (carried.current_a, carried.drop_v, carried.power_w) == pytest.approx((amps, wire.drop_v, wire.power_w))


def test_the_factor_is_worked_in_the_words() -> None:
    _, judgement = judged(LAMP.replace("0.5 mm2", "0.85 mm2").replace("title: a lamp\n", "title: a lamp\nzones: {cabin: 40 C}\n"))
    # 33 CFR 183.425 table 5: 18 AWG, 80 C column, 15 A; above 30 C the factor of an engine space, 0.78 from memory.
    assert "allows 15 A x 0.78 = 11.7 A (33 CFR 183.425: 0.85 mm² takes the row of 18 AWG, 0.82 mm²; 85 C insulation takes the 80 C column" in judgement.wires["3"].verdict.words


def test_what_flows_while_cranking_is_shown_and_not_judged() -> None:
    loaded = steps.load(LINNET)
    assert loaded.operation is not None and loaded.geometry is not None
    judgement = judge(loaded.operation, loaded.geometry)
    assert judge(loaded.operation, loaded.geometry) is judgement      # made once
    main = judgement.wires["1"]
    assert main.carried is not None and main.carried.current_a < 1 and main.cranking is not None and main.cranking.current_a > 100
    assert main.verdict.holds is True and "for seconds while cranking" in main.verdict.words


def test_insulation_that_its_zone_is_too_hot_for() -> None:
    _, judgement = judged(LAMP.replace("title: a lamp\n", "title: a lamp\nzones: {cabin: 90 C}\n"))
    wire = judgement.wires["3"]
    assert wire.verdict.severity is Severity.DAMAGE and wire.verdict.words.startswith("85 C insulation in a zone of 90 C; ") and wire.conductor_c is None


def test_a_bundle_counts_the_wires_that_carry() -> None:
    bundled = LAMP.replace("title: a lamp\n", "title: a lamp\nampacity: ABYC E-11\n").replace("PVC 85 C", "XLPE 105 C").replace("0.5 mm2", "1.5 mm2").replace(
        "devices:\n", "segments:\n  T1: {from: P1, to: P2, length: 1 m}\ndevices:\n").replace("S1: {terminals", "S1: {place: P1, terminals").replace("E1: {title", "E1: {place: P2, title").replace(
        "GB1: {metal: body}", "GB1: {place: P1, metal: body}")
    bundled = bundled.replace("terminals: [1, 2], between: [E1.1", "terminals: [1, 2, 3], between: [E1.1") + "  8: {from: S1.1, to: E1.3, size: 1.5 mm2, length: 1 m}\n"
    _, judgement = judged(bundled)
    # In T1 lie wire 3 and wire 4, both with the current of the lamp; a wire that carries nothing does not count.
    assert (judgement.wires["3"].bundled, judgement.wires["4"].bundled, judgement.wires["2"].bundled) == (2, 2, 1)
    more = bundled.replace("  5: {from: GB2", "  6: {from: S1.2, to: E1.1, size: 1.5 mm2, length: 2 m}\n  7: {from: S1.1, to: GB9, size: 1.5 mm2, length: 1 m}\n  5: {from: GB2").replace(
        "  GB2: {metal: body}", "  GB2: {metal: body}\n  GB9: {place: P2}")
    _, judgement = judged(more.replace("7: {from: S1.1", "7: {from: E1.2"))
    # From three on 0.7 by ABYC E-11; 1.5 mm2 takes the row of 16 AWG, 25 A.
    assert judgement.wires["3"].bundled == 3
    assert judgement.wires["3"].allowed.current_a == pytest.approx(25 * 0.7)  # type: ignore[union-attr]
