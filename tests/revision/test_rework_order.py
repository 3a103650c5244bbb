"""What is in which phase of a rework, what knowledge alone asks for, and what the meter is put on."""

from __future__ import annotations

import pytest
from revision.two_versions import BENCH, compared, edited, version

from harnessdoc.revision.compare import Comparison, compare
from harnessdoc.revision.follows import LabelChange
from harnessdoc.revision.parts_needed import parts_needed
from harnessdoc.revision.rework import rework
from harnessdoc.revision.steps import Phase

BOX = edited(BENCH, ("B1: {place: P1}", "B1: {place: P1, lid: [[F1, gap]], bars: {30: [F1.1]}}"))
FAN = (("lid: [[F1, gap]], bars: {30: [F1.1]}", "lid: [[F1, F2], [K1, gap]], bars: {30: [F1.1, F2.1]}"),
       ("    fuses:\n", "    relays:\n      K1: {box: B1, contacts: make, coil: 90 ohm, suppression: diode, type: mini}\n    fuses:\n      F2: {box: B1, rating: 30 A, type: maxi}\n"),
       ("    connectors:\n", "    connectors:\n      X9: {title: fan plug, place: P2}\n"),
       ("    wires:\n", "    wires:\n      n1: {from: B1.30, to: X3.1, size: 4 mm2}\n      n2: {from: F2.2, to: K1.30, size: 4 mm2, colour: RD}\n      n3: {from: K1.87, to: X9.1, size: 4 mm2, circuit: fan}\n"))


def told(comparison: Comparison, *phases: Phase) -> list[tuple[str, str, str]]:
    return [(step.at, step.wire, step.words) for step in rework(comparison).steps if step.phase in phases]


def phases_of(comparison: Comparison) -> list[Phase]:
    return list(dict.fromkeys(step.phase for step in rework(comparison).steps))


def place_of(comparison: Comparison, phase: Phase, at: str) -> int:
    return next(number for number, step in enumerate(rework(comparison).steps) if step.phase is phase and step.at == at)


# ------------------------------------------------------------------------------- order

def test_a_position_is_in_its_box_before_its_wire_and_its_fuse_comes_after_the_tests() -> None:
    comparison = compared(*FAN, text=BOX)
    places = [place_of(comparison, phase, at) for phase, at in ((Phase.MOUNT, "B1"), (Phase.PIN, "F2.2"), (Phase.TEST, "F2.2"), (Phase.PLUG_IN, "F2"))]
    assert places == sorted(places)
    assert told(comparison, Phase.MOUNT) == [
        ("X9", "", "fit it, fan plug, at P2"), ("B1", "", "change it so: F2 and K1 new on the lid; F2.1 on bar 30")]
    assert told(comparison, Phase.PLUG_IN) == [
        ("X9", "", "plug it in, till it locks"), ("X3", "", "plug it in again, till it locks"), ("F2", "", "fit it, fuse, 30 A, maxi, in box B1"),
        ("F1", "", "push the fuse in again"), ("K1", "", "fit it, relay, mini, contacts make, coil 90 ohm, suppression diode, in box B1"),
        ("", "", "every test passed: negative on last; read the fault codes again; try fan")]


def test_new_copper_on_a_bar_is_measured() -> None:
    tests = [(step.at, step.words, step.proof) for step in rework(compared(*FAN[:2], text=BOX)).steps if step.phase is Phase.TEST]
    assert tests == [("F2.1", "to F1.1, through B1.30", "rings")]


def test_what_goes_for_good_is_pulled_once() -> None:
    comparison = compare(version(edited(BOX, *FAN)), version(BOX))
    assert [words for at, _, words in told(comparison, *Phase) if at == "F2"] == ["pull the fuse out of box B1; it does not come back"]
    assert [words for at, _, words in told(comparison, *Phase) if at == "K1"] == ["pull the relay out of box B1; it does not come back"]
    assert [words for at, _, words in told(comparison, *Phase) if at == "X9"] == ["unplug it; it does not come back"]
    assert "F2" not in [at for at, _, _ in told(comparison, Phase.PLUG_IN)]


def test_another_fuse_is_pulled_for_the_tests_and_the_right_one_fitted_after_them() -> None:
    comparison = compared(("rating: 10 A", "rating: 15 A"), ("w7: {from: F1.2, to: X2.5,", "w7: {from: F1.2, to: X2.6,"))
    assert [(step.phase, step.words) for step in rework(comparison).steps if step.at == "F1"] == [
        (Phase.UNPLUG, "pull the fuse out of box B1; for the tests"), (Phase.PLUG_IN, "fit another: rating was 10 A, now 15 A; larger: will every wire behind it bear it? At its terminals: w7 1 mm²")]


def test_only_what_was_unplugged_is_plugged_in_again() -> None:
    comparison = compared(("500 mm, covering: tape", "500 mm, covering: conduit"))
    assert phases_of(comparison) == [Phase.BATTERY, Phase.FIT, Phase.PLUG_IN]
    assert told(comparison, Phase.PLUG_IN) == [("", "", "every test passed: negative on last; read the fault codes again")]


# -------------------------------------------------------------------------------- tests

def test_a_new_wire_is_measured_against_the_body_unless_it_is_grounded() -> None:
    wires = "      n1: {from: X1.5, to: X2.6, size: 1 mm2}\n      n2: {from: X1.6, to: G1, size: 1 mm2}\n"
    comparison = compared(("    wires:\n", f"    wires:\n{wires}"))
    assert [(step.at, step.proof) for step in rework(comparison).steps if step.words == "to bare metal"] == [("X1.5", "must not ring")]


def test_all_that_hangs_on_a_copper_that_must_not_ring_is_out() -> None:
    """A fuse left in would lead the meter on."""
    text = edited(BOX, ("bars: {30: [F1.1]}", "bars: {30: [F1.1, F2.1]}"), ("    fuses:\n", "    fuses:\n      F2: {box: B1}\n"), ("    devices:\n", "    devices:\n      BAT: {terminals: [+]}\n"),
                  ("    wires:\n", "    wires:\n      b1: {from: BAT.+, to: B1.30, size: 6 mm2}\n"))
    assert [at for at, _, _ in told(compared(("size: 6 mm2", "size: 10 mm2"), text=text), Phase.UNPLUG)] == ["F2", "F1"]


def test_of_neighbours_one_is_bare() -> None:
    """The fuse on X2.5 is less than the plug on X3.4; what is on X2.2 is out anyway."""
    text = edited(BENCH, ("w5: {from: SP1,  to: X2.4,", "w5: {from: SP1,  to: X3.4,"))
    comparison = compared(("w4: {from: SP1,  to: X2.3,", "w4: {from: SP1,  to: X2.6,"), text=text)
    assert [(step.at, step.words) for step in rework(comparison).steps if step.proof == "must not ring"] == [("X2", "neighbours 2/6, 5/6")]
    assert [at for at, _, _ in told(comparison, Phase.UNPLUG)] == ["X1", "X2", "F1"]


# ---------------------------------------------------------------------- knowledge alone

UNKNOWN_END = edited(BENCH, ("    cavities:\n", "    cavities:\n      X2.1: {crimp: double}\n"), ("    wires:\n", "    wires:\n      w8: {from: X3.1, to: unknown, size: 1 mm2, colour: GY}\n"))
FOUND = ("w8: {from: X3.1, to: unknown,", "w8: {from: X3.1, to: X2.1,")
"""Wire 8 leads to where w1 ends."""


def test_a_far_end_that_was_found_is_measured_and_labelled_at_both_ends() -> None:
    comparison = compared(FOUND, text=UNKNOWN_END)
    assert phases_of(comparison) == [Phase.BATTERY, Phase.UNPLUG, Phase.LABEL, Phase.TEST, Phase.PLUG_IN]
    assert [(step.at, step.words, step.proof) for step in rework(comparison).steps if step.phase is Phase.TEST] == [("X3.1", "to X2.1, through w8", "rings")]
    assert told(comparison, Phase.LABEL) == [
        ("X2.1", "w8", "put on: w8 | 1 mm² GY | to X3.1"), ("X3.1", "w8", "take off: w8 | 1 mm² GY | to ?; put on: w8 | 1 mm² GY | to X2.1")]
    assert comparison.follows.labels == (
        LabelChange("w8", "X3.1", "w8 | 1 mm² GY | to ?", "w8 | 1 mm² GY | to X2.1"), LabelChange("w8", "X2.1", "", "w8 | 1 mm² GY | to X3.1"))
    assert parts_needed(comparison) == ()


def test_the_copper_of_a_wire_whose_far_end_was_found_is_joined() -> None:
    assert [sorted(map(sorted, merged.parts)) for merged in compared(FOUND, text=UNKNOWN_END).follows.merged] == [[["X1.1", "X2.1"], ["X3.1"]]]
    new_wire = compared(("      w8: {from: X3.1, to: unknown, size: 1 mm2, colour: GY}\n", "      w9: {from: X3.2, to: X2.1}\n"), text=UNKNOWN_END)
    assert new_wire.follows.merged == ()


def test_a_far_end_that_is_no_longer_known_parts_no_copper_for_the_meter() -> None:
    comparison = compare(version(edited(UNKNOWN_END, FOUND)), version(edited(UNKNOWN_END, ("w2: {from: X1.2,", "w2: {from: X1.5,"))))
    assert comparison.follows.parted != ()
    tests = [(step.at, step.words) for step in rework(comparison).steps if step.phase is Phase.TEST]
    assert ("X1.5", "to X2.2, through w2") in tests and not any("X3.1" in f"{at} {words}" for at, words in tests)


def test_no_label_is_at_an_end_nobody_has_found() -> None:
    come = compared(("    wires:\n", "    wires:\n      w8: {from: X3.1, to: unknown}\n"))
    gone = compare(come.new, come.old)
    assert [(label.was, label.now) for comparison in (come, gone) for label in comparison.follows.labels] == [("", "w8 | to ?"), ("w8 | to ?", "")]
    assert told(come, Phase.LABEL) == [("X3.1", "w8", "slid on before the crimp: w8 | to ?")]


def test_no_label_is_put_on_a_wire_of_an_airbag_circuit() -> None:
    text = edited(UNKNOWN_END, ("X1.1: {function: lamp}", "X1.1: {function: lamp, signal: airbag}"))
    assert rework(compared(FOUND, text=text)).steps == ()


def test_a_segment_that_was_measured_anew_asks_for_a_look_and_buys_nothing() -> None:
    comparison = compared(("length: 1000 mm", "length: 1040 mm"))
    assert phases_of(comparison) == [Phase.FIT]
    assert all(words.startswith("see that it reaches from ") for _, _, words in told(comparison, Phase.FIT))
    assert parts_needed(comparison) == ()
    assert rework(compared(("length: 1000 mm", "length: 960 mm"))).steps == ()


def test_an_allowance_that_was_corrected_asks_for_nothing() -> None:
    assert rework(compared(("    wire-type", "    allowances: {end: 80 mm}\n    wire-type"))).steps == ()


@pytest.mark.parametrize(("before", "after", "words"), [
    pytest.param("", "length: 1900 mm", [], id="measured the first time"),
    pytest.param("length: 1900 mm", "length: 1950 mm", ["see that it reaches from X1.1 to X2.1: was 1900 mm, now 1950 mm; if not, replace it or extend it"], id="longer"),
    pytest.param("length: 1900 mm", "length: 1850 mm", [], id="shorter"),
])
def test_a_wire_that_was_measured_anew(before: str, after: str, words: list[str]) -> None:
    text = edited(BENCH, ("colour: RD}", f"colour: RD, {before}}}" if before else "colour: RD }"))
    comparison = compared(("colour: RD, " + before if before else "colour: RD ", f"colour: RD, {after}"), text=text)
    assert [step[2] for step in told(comparison, *Phase)] == words


# ------------------------------------------------------------------------ cut, lay, join

def test_a_wire_is_cut_back_for_a_splice() -> None:
    splice = "      SP2: {at: 900 mm from P1 toward P2, method: crimp splice}\n"
    comparison = compared(("w1: {from: X1.1, to: X2.1,", "w1: {from: X1.1, to: SP2,"), ("    splices:\n", f"    splices:\n{splice}"),
                          ("    wires:\n", "    wires:\n      n1: {from: SP2, to: X2.1, size: 1 mm2, colour: RD}\n      n2: {from: SP2, to: X3.1, size: 1 mm2, colour: RD}\n"))
    assert ("", "w1", "cut off its pin 2.8, pull it back to splice SP2, cut it to 960 mm, 140 mm to stock, strip it") in told(comparison, Phase.CUT)
    assert ("", "n2", "splice SP2 to X3.1: cut to 700 mm, finished 660 mm, lay it through T1, T2") in told(comparison, Phase.CUT)
    step, = [step for step in rework(comparison).steps if step.phase is Phase.SPLICE]
    assert (step.words, step.terminal, step.seal) == ("join n1, n2, w1: crimp splice, sleeve 3 to 5 mm² (proposed); heat-shrink 6/1.5 mm, 4:1, adhesive (proposed) on first, shrink it after", "sleeve 3 to 5 mm² (proposed)", "6/1.5 mm, 4:1, adhesive (proposed)")


@pytest.mark.parametrize(("splice", "size", "why"), [
    pytest.param("{at: 900 mm from P1 toward P2, method: solder}", "unknown", "the diameter of a wire is not known", id="a size"),
    pytest.param("{at: 900 mm from P1 toward P2, method: solder}", "120 mm2", "no tube in the tables passes 18.2 mm and grips 2.1 mm: split the splice, or use tape and sleeving", id="too thick"),
    pytest.param("{method: solder}", "1 mm2", "to which side its wires leave is not known", id="a place"),
    pytest.param("{at: 900 mm from P1 toward P2, method: solder, members: [unknown]}", "1 mm2", "not all wires in it are known", id="members"),
])
def test_why_no_heat_shrink_is_proposed(splice: str, size: str, why: str) -> None:
    comparison = compared(("    splices:\n", f"    splices:\n      SP2: {splice}\n"),
                          ("    wires:\n", f"    wires:\n      n1: {{from: X1.5, to: SP2, size: {size}}}\n      n2: {{from: SP2, to: X2.6, size: 1 mm2}}\n"))
    assert told(comparison, Phase.SPLICE) == [("SP2", "", f"join n1, n2: solder; no heat-shrink proposed: {why}")]


def test_a_wire_that_stays_and_goes_another_way_is_drawn_back() -> None:
    comparison = compared(("w6: {from: X2.8, to: G2, ", "w6: {from: X2.8, to: X1.8, "), ("length: 1000 mm", "length: 400 mm"),
                          text=edited(BENCH, ("w6: {from: X2.8, to: G1, ", "w6: {from: X2.8, to: G2, ")))
    assert told(comparison, Phase.CUT) == [("", "", "open the coverings: T1 (tape), T2 (tape)"), ("", "w6", "draw it back, lay it through T1; shorten it by 100 mm")]
    assert ("", "", "cover again what was opened: T1 (tape), T2 (tape)") in told(comparison, Phase.FIT)


def test_a_covering_that_is_another_is_not_put_on_again() -> None:
    comparison = compared(("to: X2.1, size: 1 mm2", "to: X2.1, size: 1.5 mm2"), ("1000 mm, covering: tape", "1000 mm, covering: conduit"))
    assert told(comparison, Phase.FIT) == [("T1", "", "cover and lay it so: covering: was tape, now conduit")]


def test_a_link_in_a_box_is_made_and_measured_there() -> None:
    comparison = compared(*FAN, text=BOX)
    assert ("", "n2", "F2.2 to K1.30: make the link in the box, measure it there") in told(comparison, Phase.CUT)
    assert [(part.kind, part.part, part.quantity, part.unit, part.where) for part in parts_needed(comparison) if part.part.endswith("at the box")] == [
        ("wire", "4 mm² PVC 85 C RD, link, measure at the box", 1, "piece", ("n2",))]
    back = compare(comparison.new, comparison.old)
    assert ("", "n2", "take the link out of the box: F2.2 to K1.30") in told(back, Phase.CUT)


def test_parts_say_what_they_are_and_terminals_nobody_stated_are_counted() -> None:
    comparison = compared(*FAN, text=BOX)
    lines = {part.kind: (part.part, part.quantity) for part in parts_needed(comparison) if part.kind in ("fuse", "relay") or part.part.endswith("stated which")}
    assert lines == {"terminal": ("terminal, not stated which", 5), "housing": ("housing, not stated which", 1), "fuse": ("30 A, maxi", 1), "relay": ("mini, contacts make, coil 90 ohm, suppression diode", 1)}
