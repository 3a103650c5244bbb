"""Fuses: what lies behind them, overload and far-end short against sums worked by hand, and the short against the solver."""

from __future__ import annotations

from random import Random

import pytest
from judgement.judged import judged, verdict
from operation.operated import BATTERY

from harnessdoc.electric import Battery, Circuit, Fuse, Resistor, solve
from harnessdoc.findings import Severity
from harnessdoc.judgement.judge import Judgement
from harnessdoc.operation.operate import Operation
from harnessdoc.judgement.protection import Protection

LONG = f"""\
title: a pump at the end of a long thin wire
wire-type: PVC 85 C
devices:
  {BATTERY}
  M1: {{title: pump, terminals: [1, 2], between: [M1.1, M1.2], motor: {{running: 5 A at 12 V}}}}
fuses:
  F1: {{rating: 15 A, type: blade, resistance: 4 mohm, drop: 90 mV}}
wires:
  1: {{from: G1.+, to: F1.1, size: 2.5 mm2, length: 300 mm}}
  2: {{from: F1.2, to: M1.1, size: 0.5 mm2, length: 6 m}}
  3: {{from: M1.2, to: G1.-, size: 0.5 mm2, length: 6 m}}
"""
TERMINAL, EYELET = 0.0025, 0.0002
"""data/factors.csv, in ohm: a fuse's socket, a device's stud."""
WARM = (234.5 + 85) / (234.5 + 20)
"""Copper at 85 C against 20 C."""


def the(judgement: Judgement, part: str) -> Protection:
    return next(one for one in judgement.protections if one.part == part)


# ------------------------------------------------------------------- worked by hand

def test_the_short_of_six_metres_and_back_of_half_a_square_is_the_sum_worked_by_hand() -> None:
    _, judgement = judged(LONG)
    f1 = the(judgement, "F1")
    short = f1.short
    assert short is not None
    to_fuse = 0.3 * 0.00760 * WARM + EYELET + TERMINAL      # 2.5 mm2: 7.60 mohm/m at 20 C
    out = 6 * 0.0371 * WARM + TERMINAL + EYELET             # 0.5 mm2: 37.1 mohm/m
    back = 6 * 0.0371 * WARM + EYELET + EYELET
    fuse = 0.090 / 15
    assert (short.source_ohm, short.to_fuse_ohm, short.fuse_ohm, short.out_ohm, short.back_ohm) == pytest.approx((0.010, to_fuse, fuse, out, back))
    amps = 12.0 / (0.010 + to_fuse + fuse + out + back)     # 12 V / 0.584 ohm
    assert short.current_a == pytest.approx(amps) and short.share == pytest.approx(amps / 15)
    assert (short.far, short.back_by) == ("M1.1", "the return of pump")
    said = verdict(f1.verdicts, "far-end short")
    assert (said.holds, said.severity) == (False, Severity.HAZARD)
    assert "= 584 mohm) = 20.6 A, 1.37 x 15 A: opens within 600 s" in said.words


def test_the_wire_alone_lets_some_thirty_amps_through() -> None:
    # A figure reckoned with by hand, 30 A, not one of a source.
    _, judgement = judged(LONG)
    short = the(judgement, "F1").short
    assert short is not None
    # It is 12 V over 12 m of pure copper, 17.24 mohm mm2/m, cold; ours are the largest ohms a cable may have, and the wire is warm.
    wires = (short.out_ohm - TERMINAL - EYELET + short.back_ohm - 2 * EYELET) / WARM
    assert 12.0 / (wires * 17.241 / (37.1 * 0.5)) == pytest.approx(29.0, abs=0.05)
    assert 12.0 / wires == pytest.approx(26.95, abs=0.01)


def test_overload_is_the_lowest_gate_against_what_the_weakest_wire_bears() -> None:
    _, judgement = judged(LONG)
    f1 = the(judgement, "F1")
    # 0.5 mm2 is thinner than 18 AWG: the supplier's 11 A, which is not more than the 15 A of 18 AWG at 80 C.
    assert (f1.weakest, f1.allowed_a) == ("2", 11.0)
    assert f1.overload and (f1.overload.passes_a, f1.overload.borne_a) == pytest.approx((1.35 * 15, 1.45 * 11))
    said = verdict(f1.verdicts, "overload")
    assert (said.holds, said.severity) == (False, Severity.HAZARD)
    assert said.words.startswith("for long it lets through 1.35 x 15 A = 20.25 A, wire 2, 0.5 mm², bears 1.45 x 11 A = 15.95 A (the 1.45 from memory); it allows 11 A")


def test_what_is_suggested_holds_when_it_is_done() -> None:
    _, judgement = judged(LONG)
    (words,) = the(judgement, "F1").suggestions
    assert words.startswith("1.5 mm² for wire 2 (0.5 mm²), 3 (0.5 mm²): 1.35 x 15 A = 20.25 A of 1.45 x 20 A = 29 A; short 55.6 A, 3.7 x 15 A")
    _, mended = judged(LONG.replace("0.5 mm2", "1.5 mm2"))
    short = the(mended, "F1").short
    assert short is not None and short.current_a == pytest.approx(55.6, abs=0.05)
    assert [one.holds for one in the(mended, "F1").verdicts if one.about in ("overload", "far-end short")] == [True, True]
    # One size less does not hold.
    _, short_of_it = judged(LONG.replace("0.5 mm2", "1.25 mm2"))
    assert verdict(the(short_of_it, "F1").verdicts, "far-end short").holds is False


def test_a_smaller_fuse_is_suggested_that_still_carries_the_load() -> None:
    _, judgement = judged(LONG.replace("5 A at 12 V", "2 A at 12 V"))
    fuse, wires = the(judgement, "F1").suggestions
    # 20.7 A are 2.76 x 7.5 A, and 4.1 x 5 A; 2 A are 40 % of 5 A.
    assert fuse.startswith("a fuse of 5 A: 1.35 x 5 A = 6.75 A of 1.45 x 11 A = 15.95 A; short ")
    _, mended = judged(LONG.replace("5 A at 12 V", "2 A at 12 V").replace("rating: 15 A, type: blade, resistance: 4 mohm, drop: 90 mV", "rating: 5 A, type: blade"))
    assert [one.holds for one in the(mended, "F1").verdicts if one.about in ("overload", "far-end short", "load")] == [True, True, True]
    assert wires.startswith("1.5 mm²")


@pytest.mark.parametrize("length, severity", [("1 m", None), ("2.1 m", None), ("2.3 m", Severity.MALFUNCTION), ("4 m", Severity.MALFUNCTION), ("4.1 m", Severity.HAZARD)])
def test_between_three_and_a_half_and_two_times_the_rating_a_short_is_slow_and_below_a_hazard(length: str, severity: Severity | None) -> None:
    _, judgement = judged(LONG.replace("6 m", length))
    f1 = the(judgement, "F1")
    short = f1.short
    assert short is not None
    assert verdict(f1.verdicts, "far-end short").severity is severity
    assert severity is (None if short.share >= 3.5 else Severity.MALFUNCTION if short.share >= 2 else Severity.HAZARD)


def test_a_fuse_without_gates_gets_no_verdict_on_the_time_and_says_so() -> None:
    _, judgement = judged(LONG.replace("type: blade", "type: midi"))
    said = verdict(the(judgement, "F1").verdicts, "far-end short")
    assert (said.holds, said.severity) == (None, None) and "no opening times are known of midi fuses: its maker's sheet decides" in said.words
    # 15 A before 11 A: no more than half as much again.
    assert verdict(the(judgement, "F1").verdicts, "overload").holds is None
    _, judgement = judged(LONG.replace("type: blade", "type: midi").replace("15 A", "17 A"))
    assert verdict(the(judgement, "F1").verdicts, "overload").severity is Severity.HAZARD


def test_in_a_24_v_system_the_lowest_source_is_24_v() -> None:
    _, judgement = judged("supply: 24 V\n" + LONG.replace("12.6 V", "25.2 V"))
    short = the(judgement, "F1").short
    assert short is not None and short.source_v == 24.0


def test_without_a_battery_nothing_is_said_of_a_short() -> None:
    _, judgement = judged(LONG.replace("battery: {emf: 12.6 V, resistance: 10 mohm}", "test-supply: {voltage: 12 V, limit: 20 A}"))
    f1 = the(judgement, "F1")
    assert f1.short is None and verdict(f1.verdicts, "far-end short").words == "no battery is described: what a short would draw is not known"
    assert verdict(f1.verdicts, "overload").holds is False


def test_a_length_that_is_not_known_leaves_the_short_unjudged() -> None:
    _, judgement = judged(LONG.replace("2: {from: F1.2, to: M1.1, size: 0.5 mm2, length: 6 m}", "2: {from: F1.2, to: M1.1, size: 0.5 mm2}"))
    f1 = the(judgement, "F1")
    said = verdict(f1.verdicts, "far-end short")
    assert said.holds is None and said.words.startswith("size or length of wire 2 is not known; with what stands in for them ")
    assert f1.unsure == ("2",) and verdict(f1.verdicts, "overload").holds is False


def test_the_distance_from_the_source_is_advice() -> None:
    _, far = judged(LONG)
    said = verdict(the(far, "F1").verdicts, "distance")
    assert (the(far, "F1").distance_mm, said.severity) == (300.0, Severity.ADVICE)
    _, near = judged(LONG.replace("300 mm", "178 mm"))
    assert verdict(the(near, "F1").verdicts, "distance").holds is True


def test_the_table_is_the_one_the_description_names() -> None:
    _, judgement = judged("ampacity: AC 43.13-1B\n" + LONG.replace("PVC 85 C", "XLPE 125 C").replace("0.5 mm2", "1.25 mm2"))
    # AC 43.13-1B table 11-9: 1.25 mm2 takes the row of 16 AWG, 2,426 cmil = 1.229 mm2; 105 C column, 7 A.
    assert the(judgement, "F1").allowed_a == 7.0
    _, judgement = judged(LONG.replace("PVC 85 C", "XLPE 125 C").replace("0.5 mm2", "1.25 mm2"))
    # 33 CFR 183.425 table 5: the row of 18 AWG, 125 C column, 30 C: 25 A.
    assert the(judgement, "F1").allowed_a == 25.0


# ----------------------------------------------------------------------- load and rating

def test_a_load_above_the_rating_and_one_above_four_fifths() -> None:
    thick = LONG.replace("0.5 mm2", "2.5 mm2").replace("6 m", "4 m")
    for taken, severity in (("11 A", None), ("14 A", Severity.ADVICE), ("18 A", Severity.MALFUNCTION)):
        _, judgement = judged(thick.replace("5 A at 12 V", f"{taken} at 12 V"))
        assert verdict(the(judgement, "F1").verdicts, "load").severity is severity, taken
    # Only a larger one carries 18 A: 25 A, by the rule of 80 %; the 2.5 mm2 bear it: 1.35 x 25 = 33.75 of 1.45 x 25 = 36.25 A.
    assert the(judgement, "F1").suggestions[0].startswith("a fuse of 25 A: 1.35 x 25 A = 33.75 A of 1.45 x 25 A = 36.25 A")


# ------------------------------------------------------------------------- what lies behind

BRANCHED = f"""\
title: branches, contacts, a second fuse
wire-type: PVC 85 C
devices:
  {BATTERY}
  S1: {{terminals: [1, 2, 3], closes: {{left: [[S1.1, S1.2]], right: [[S1.1, S1.3]]}}}}
  E1: {{terminals: [1, 2], between: [E1.1, E1.2], lamp: 5 W at 12 V}}
  E2: {{terminals: [1, 2], between: [E2.1, E2.2], lamp: 5 W at 12 V}}
  M1: {{terminals: [1, 2], between: [M1.1, M1.2], motor: {{running: 5 A at 12 V}}}}
fuses:
  F1: {{rating: 15 A, type: blade}}
  F2: {{rating: 5 A, type: blade}}
relays:
  K1: {{contacts: changeover, coil: 90 ohm}}
splices:
  SP1: {{}}
grounds:
  GB1: {{metal: body}}
  GB2: {{metal: body}}
wires:
  1: {{from: G1.+, to: F1.1, size: 6 mm2, length: 150 mm}}
  2: {{from: F1.2, to: SP1, size: 2.5 mm2, length: 1 m}}
  3: {{from: SP1, to: S1.1, size: 1.5 mm2, length: 1 m}}
  4: {{from: S1.2, to: E1.1, size: 1 mm2, length: 1 m}}
  5: {{from: S1.3, to: F2.1, size: 0.75 mm2, length: 1 m}}
  6: {{from: F2.2, to: E2.1, size: 0.35 mm2, length: 1 m}}
  7: {{from: E1.2, to: GB1, size: 0.5 mm2, length: 1 m}}
  8: {{from: E2.2, to: GB1, size: 0.5 mm2, length: 1 m}}
  9: {{from: SP1, to: K1.87, size: 2.5 mm2, length: 1 m}}
  10: {{from: K1.30, to: M1.1, size: 2.5 mm2, length: 1 m}}
  11: {{from: K1.87a, to: GB2, size: 0.5 mm2, length: 1 m}}
  12: {{from: M1.2, to: GB2, size: 2.5 mm2, length: 1 m}}
  13: {{from: SP1, to: K1.86, size: 0.75 mm2, length: 1 m}}
  14: {{from: K1.85, to: GB1, size: 0.35 mm2, length: 1 m}}
  15: {{from: GB1, to: G1.-, size: 10 mm2, length: 300 mm}}
  16: {{from: SP1, to: unknown, size: 0.75 mm2}}
"""


def test_behind_a_fuse_lies_all_up_to_loads_coils_and_other_fuses_in_any_position_of_the_contacts() -> None:
    _, judgement = judged(BRANCHED)
    f1, f2 = the(judgement, "F1"), the(judgement, "F2")
    assert f1.behind == ("2", "3", "4", "5", "9", "10", "13", "16") and f1.unsure == ("16",)
    assert f2.behind == ("6",)
    assert (f1.fed, f2.fed) == ("F1.1", "F2.1")
    # K1 joins 30 with 87 or with 87a, never 87 with 87a: wire 11 is never fed.
    assert "11" not in f1.behind
    # 0.75 mm2 are the thinnest: the supplier's 14 A.
    assert (f1.weakest, f1.allowed_a) == ("5", 14.0)
    # Beside it the handbook's 5 A for 20 AWG, 1,216 cmil = 0.616 mm2.
    assert f1.handbook and f1.handbook.value == 5
    # 0.35 mm2 is in no table, nor in the handbook's, whose 22 AWG has 755 cmil = 0.383 mm2: no verdict.
    assert f2.allowed_a is None and f2.handbook is None
    assert verdict(f2.verdicts, "overload").holds is None and verdict(f2.verdicts, "overload").words == "wire 6: 0.35 mm² is thinner than 18 AWG, the first row of 33 CFR 183.425"
    # F2 is not the first after the source.
    assert f2.distance_mm is None and f1.distance_mm == 150.0


def test_the_terminal_that_is_fed_is_found_not_assumed() -> None:
    turned = BRANCHED.replace("to: F1.1", "to: F1.x").replace("from: F1.2", "from: F1.1").replace("to: F1.x", "to: F1.2")
    _, judgement = judged(turned)
    assert the(judgement, "F1").fed == "F1.2" and the(judgement, "F1").behind == the(judged(BRANCHED)[1], "F1").behind


def test_a_fuse_that_the_source_reaches_from_both_sides_is_not_judged() -> None:
    _, judgement = judged(BRANCHED + "  17: {from: G1.+, to: E2.1, size: 2.5 mm2, length: 1 m}\n")
    f2 = the(judgement, "F2")
    assert (f2.fed, f2.behind, [one.words for one in f2.verdicts]) == ("", (), ["the source reaches both its terminals: nothing is judged"])
    # A way round a fuse takes its branch from the fuse before it too.
    assert the(judgement, "F1").fed == ""


def test_a_fuse_that_nothing_feeds_is_not_judged() -> None:
    _, judgement = judged(BRANCHED.replace("  5: {from: S1.3, to: F2.1, size: 0.75 mm2, length: 1 m}\n", ""))
    assert [one.words for one in the(judgement, "F2").verdicts] == ["no source reaches it: nothing is judged"]


def test_a_diode_is_passed_forward_only() -> None:
    fed = BRANCHED.replace("relays:", "diodes:\n  D1: {}\nrelays:").replace("  4: {from: S1.2, to: E1.1,", "  4: {from: S1.2, to: D1.A, size: 1 mm2, length: 1 m}\n  24: {from: D1.K, to: E1.1,")
    _, judgement = judged(fed)
    assert {"4", "24"} <= set(the(judgement, "F1").behind)
    _, judgement = judged(fed.replace("D1.A", "D1.x").replace("D1.K", "D1.A").replace("D1.x", "D1.K"))
    assert "4" in the(judgement, "F1").behind and "24" not in the(judgement, "F1").behind


LINKED = f"""\
title: a fusible link before a fuse
wire-type: PVC 85 C
devices:
  {BATTERY}
  M1: {{terminals: [1, 2], between: [M1.1, M1.2], motor: {{running: 5 A at 12 V}}}}
fusible-links:
  FL1: {{size: 18 AWG}}
fuses:
  F1: {{rating: 15 A, type: blade}}
wires:
  1: {{from: G1.+, to: FL1.1, size: 10 AWG, length: 100 mm}}
  2: {{from: FL1.2, to: F1.1, size: 14 AWG, length: 1 m}}
  3: {{from: F1.2, to: M1.1, size: 14 AWG, length: 1 m}}
  4: {{from: M1.2, to: G1.-, size: 14 AWG, length: 1 m}}
"""


@pytest.mark.outside("trade rule, two sources: a fusible link is four AWG numbers smaller than its wire, 18 for 14")
def test_a_fusible_link_is_four_numbers_thinner_than_the_thinnest_wire_behind_it() -> None:
    _, judgement = judged(LINKED)
    said = verdict(the(judgement, "FL1").verdicts, "fusible link")
    assert (said.holds, the(judgement, "FL1").behind, the(judgement, "F1").behind) == (True, ("2",), ("3",))
    _, judgement = judged(LINKED.replace("18 AWG", "16 AWG"))
    said = verdict(the(judgement, "FL1").verdicts, "fusible link")
    assert (said.holds, said.severity) == (False, Severity.HAZARD) and said.words.endswith("18 AWG at most")


# ----------------------------------------------------------------------------- no fuse

def test_the_wires_that_no_fuse_protects_are_told_and_what_they_lead_to() -> None:
    _, judgement = judged(BRANCHED + "  17: {from: G1.+, to: E2.1, size: 2.5 mm2, length: 1 m}\n")
    told = {one.wire: (one.leads_to, one.loads, one.verdict.severity) for one in judgement.unprotected}
    assert told == {"1": (("fuse F1",), (), None), "6": (("fuse F2",), (), None), "17": (("fuse F2",), ("E2",), Severity.HAZARD)}


def test_the_main_cable_of_a_starter_goes_without_a_fuse() -> None:
    starter = ("M2: {terminals: [30, 50, case], loads: {solenoid: {between: [M2.50, M2.case], solenoid: {winding: 0.6 ohm}}, "
               "armature: {between: [M2.30, M2.case], motor: {running: 130 A at 10 V}, closed-by: solenoid}}}")
    _, judgement = judged(LONG.replace("fuses:", f"  {starter}\nfuses:") + "  9: {from: G1.+, to: M2.30, size: 25 mm2, length: 1 m}\n")
    told = {one.wire: one.verdict for one in judgement.unprotected}
    assert told["9"].severity is None and "the main cable of a starter goes without one" in told["9"].words


# ------------------------------------------------------------------- against the solver

def _shorted(operation: Operation, far: str, back: str) -> float:
    """The current of the battery at 12 V with 1 mohm from ``far`` to ``back``, by the solver; no load is connected, every wire as warm as it may get."""
    harness, elements = operation.wiring.harness, []
    state = operation.solved["on"]
    for element in (*state.circuit.elements_in({relay.id: True for relay in state.circuit.relays}), Resistor("short", far, back, 0.001)):
        if isinstance(element, Battery):
            element = Battery(element.id, element.a, element.b, 12.0, element.ohm)
        elif isinstance(element, Fuse):
            element = Resistor(element.id, element.a, element.b, element.drop_v / element.rating_a)
        elif element.id.startswith("wire "):
            wire = element.id.removeprefix("wire ")
            kind = harness.wires[wire].type
            assert kind and kind.temperature_c
            element = Resistor(element.id, element.a, element.b, operation.wiring.conductors[wire].ohm_at(kind.temperature_c))
        elif element.id.startswith("load ") or element.id in {relay.id for relay in state.circuit.relays}:
            continue
        elements.append(element)
    solution = solve(Circuit(tuple(elements), state.circuit.reference), {})
    return abs(solution.currents["battery G1"])  # type: ignore[union-attr]


def _tree(random: Random) -> str:
    """A fuse, a relay, and splices that branch at random; each end has a lamp with a wire back to a ground or to another lamp's ground."""
    lines = ["title: a tree", "wire-type: PVC 85 C", "devices:", f"  {BATTERY}", "  S1: {terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}"]
    lamps, wires, ends = random.randint(1, 5), [], ["K1.87"]
    length = lambda: f"length: {random.randint(100, 9000)} mm"  # noqa: E731
    size = lambda: f"size: {random.choice(('0.5', '0.75', '1', '1.5', '2.5'))} mm2"  # noqa: E731
    for n in range(1, lamps + 1):
        lines.append(f"  E{n}: {{terminals: [1, 2], between: [E{n}.1, E{n}.2], lamp: 5 W at 12 V}}")
        wires.append(f"{{from: {random.choice(ends)}, to: SP{n}, {size()}, {length()}}}")
        ends = [end for end in ends if end != "K1.87"] + [f"SP{n}"]
        wires += [f"{{from: SP{n}, to: E{n}.1, {size()}, {length()}}}", f"{{from: E{n}.2, to: GB{random.randint(1, n)}, {size()}, {length()}}}"]
    lines += ["fuses:", "  F1: {rating: 15 A, type: blade}", "  F2: {rating: 10 A, type: blade}", "relays:", "  K1: {contacts: make, coil: 90 ohm}", "splices:", *(f"  SP{n}: {{}}" for n in range(1, lamps + 1)),
              "grounds:", *(f"  GB{n}: {{metal: body}}" for n in range(1, lamps + 1)), "  GB9: {metal: body}"]
    wires += [f"{{from: G1.+, to: F1.1, {size()}, {length()}}}", f"{{from: F1.2, to: S1.1, {size()}, {length()}}}", f"{{from: S1.2, to: F2.1, {size()}, {length()}}}",
              f"{{from: F2.2, to: K1.30, {size()}, {length()}}}", f"{{from: G1.-, to: GB9, {size()}, {length()}}}"]
    return "\n".join((*lines, "states:", "  on: {switches: {S1: on}}", "wires:", *(f"  {n}: {wire}" for n, wire in enumerate(wires, 1)))) + "\n"


@pytest.mark.parametrize("seed", range(25))
def test_a_far_end_short_is_what_the_solver_finds_when_a_milliohm_is_put_there(seed: int) -> None:
    operation, judgement = judged(_tree(Random(seed)))
    short = the(judgement, "F2").short
    assert short is not None
    node = operation.wiring.nodes.of[short.far]
    back = {load.node_a: load.node_b for load in operation.wiring.loads}
    assert short.source_v / (short.loop_ohm + 0.001) == pytest.approx(_shorted(operation, node, back.get(node, "body metal")), rel=1e-9)
    # And no other lamp's end has a weaker one.
    others = [_shorted(operation, load.node_a, load.node_b) for load in operation.wiring.loads]
    assert short.source_v / (short.loop_ohm + 0.001) <= min(others) * (1 + 1e-9)


# ------------------------------------------------------------------------ what is easily lost

def test_a_longer_way_that_leaves_a_switch_free_goes_on_where_the_shorter_one_may_not() -> None:
    # SP2 is near through S1 left, and far over wire 23; behind S1 right lies wire 24, which only the far way can feed.
    two_ways = BRANCHED.replace("S1: {terminals: [1, 2, 3], closes: {left: [[S1.1, S1.2]], right: [[S1.1, S1.3]]}}",
                                "S1: {terminals: [1, 2, 3, 4, 5], closes: {left: [[S1.1, S1.2]], right: [[S1.1, S1.3], [S1.4, S1.5]]}}").replace(
        "  SP1: {}\n", "  SP1: {}\n  SP2: {}\n  SP3: {}\n").replace("  4: {from: S1.2, to: E1.1,", "  21: {from: S1.2, to: SP2, size: 1 mm2, length: 100 mm}\n  22: {from: SP2, to: S1.4, size: 1 mm2, length: 100 mm}\n"
        "  23: {from: SP1, to: SP2, size: 1 mm2, length: 9 m}\n  24: {from: S1.5, to: SP3, size: 1 mm2, length: 1 m}\n  4: {from: SP2, to: E1.1,")
    _, judgement = judged(two_ways)
    assert "24" in the(judgement, "F1").behind
    _, judgement = judged(two_ways.replace("  23: {from: SP1, to: SP2, size: 1 mm2, length: 9 m}\n", ""))
    assert "24" not in the(judgement, "F1").behind


def test_where_no_load_is_the_metal_with_the_most_ohms_leads_back() -> None:
    two_metals = LONG.replace("fuses:", "  S9: {terminals: [1, 2]}\ngrounds:\n  GB1: {metal: body}\n  GE1: {metal: engine}\nfuses:").replace("to: M1.1", "to: S9.1").replace("from: M1.2", "from: GB1")
    _, judgement = judged(two_metals + "  4: {from: GE1, to: G1.-, size: 10 mm2, length: 300 mm}\n")
    short = the(judgement, "F1").short
    assert short is not None and (short.far, short.back_by) == ("S9.1", "body metal")
    _, judgement = judged(two_metals.replace("3: {from: GB1,", "3: {from: GE1,") + "  4: {from: GB1, to: G1.-, size: 10 mm2, length: 300 mm}\n")
    short = the(judgement, "F1").short
    assert short is not None and short.back_by == "engine metal"


def test_an_airbag_circuit_is_not_judged() -> None:
    airbag = BRANCHED + "cavities:\n  E2.1: {signal: airbag}\n"
    operation, judgement = judged(airbag)
    f2 = the(judgement, "F2")
    assert [one.words for one in f2.verdicts] == ["airbag circuit: nothing is judged"] and f2.short is None
    assert (judgement.wires["6"].verdict.holds, judgement.wires["6"].verdict.words) == (None, "not solved: airbag circuit")
    assert not any("6" in one.behind for one in judgement.protections) and "E2" not in [drop.load for drop in judgement.drops]
    # Nor is what a relay joins to a fuse, where it is one.
    _, judgement = judged(BRANCHED + "cavities:\n  M1.1: {signal: airbag}\n")
    assert the(judgement, "F1").behind == ("2", "3", "4", "5", "9", "13", "16")


def test_the_weakest_short_may_be_at_a_relay_coil() -> None:
    text = f"""
wire-type: PVC 85 C
devices:
  {BATTERY}
  M1: {{title: pump, terminals: [1, 2], between: [M1.1, M1.2], motor: {{running: 4 A at 12 V}}}}
relays:
  K1: {{suppression: none}}
splices:
  S10: {{}}
fuses:
  F1: {{rating: 15 A, type: blade}}
wires:
  1: {{from: G1.+, to: F1.1, size: 2.5 mm2, length: 100 mm}}
  2: {{from: F1.2, to: S10, size: 2.5 mm2, length: 100 mm}}
  3: {{from: S10, to: M1.1, size: 2.5 mm2, length: 1 m}}
  4: {{from: M1.2, to: G1.-, size: 2.5 mm2, length: 1 m}}
  5: {{from: S10, to: K1.86, size: 0.75 mm2, length: 6 m}}
  6: {{from: K1.85, to: G1.-, size: 0.75 mm2, length: 6 m}}
"""
    # 12 m of 0.75 mm² (24.7 mohm/m at 20 C, x 319.5/254.5 at 85 C) alone are 0.372 ohm: about 12 V / 0.4 ohm = 30 A, 2 x 15 A
    short = judged(text)[1].protections[0].short
    assert short.far == "K1.86" and short.back_by == "the return of the coil of K1"
    assert 12 * 24.7e-3 * 319.5 / 254.5 == pytest.approx(0.372, abs=0.001)
    assert short.current_a == pytest.approx(12 / (0.372 + 0.03), rel=0.05)


PULSED = f"""\
title: injectors behind a fuse that is too large
wire-type: PVC 85 C
devices:
  {BATTERY}
  Y1: {{title: injector, terminals: [1, 2], between: [Y1.1, Y1.2], solenoid: 14 ohm}}
  S1: {{terminals: [1, 2], closes: {{on: [[S1.1, S1.2]]}}}}
  M1: {{title: pump, terminals: [1, 2], between: [M1.1, M1.2], motor: 6 A at 12 V}}
circuits:
  injection: {{pulsed: true}}
splices:
  SP1: {{}}
fuses:
  F1: {{rating: 40 A, type: blade}}
wires:
  1: {{from: G1.+, to: F1.1, size: 6 mm2, length: 100 mm}}
  7: {{from: F1.2, to: SP1, size: 1 mm2, length: 100 mm}}
  2: {{from: SP1, to: Y1.1, size: 1 mm2, length: 1 m, circuit: injection}}
  3: {{from: Y1.2, to: G1.-, size: 1 mm2, length: 1 m, circuit: injection}}
"""
PUMP_TOO = "  4: {from: SP1, to: M1.1, size: 1 mm2, length: 1 m}\n  5: {from: M1.2, to: G1.-, size: 1 mm2, length: 1 m}\n"


@pytest.mark.parametrize("text, words", [
    (PULSED, "nothing says what it carries: injector (pulses, 14 ohm); hold the rating against that"),
    (PULSED + PUMP_TOO, "; add injector (pulses, 14 ohm)"),
    (PULSED.replace("from: SP1, to: Y1.1", "from: SP1, to: S1.1").replace("from: Y1.2, to: G1.-", "from: S1.2, to: open"), "nothing that draws is described behind it"),
])
def test_a_smaller_fuse_does_not_claim_a_current_that_was_not_solved(text: str, words: str) -> None:
    _, judgement = judged(text)
    fuse, *_ = the(judgement, "F1").suggestions
    assert fuse.startswith("a fuse of ") and fuse.endswith(words) and "0.0 mA" not in fuse
    assert ("carries 5.9 A" in fuse or "carries 6" in fuse) is (PUMP_TOO in text)
