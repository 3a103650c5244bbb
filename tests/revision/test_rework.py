"""The steps of a rework."""

from __future__ import annotations

import pytest
from revision.two_versions import BENCH, compared, edited, version

from harnessdoc.revision.compare import Comparison, compare
from harnessdoc.revision.rework import rework
from harnessdoc.revision.steps import Phase, Step
from harnessdoc.revision.steps_around import AIRBAG
from harnessdoc.revision.work import find_work

MOVED = (("w1: {from: X1.1,", "w1: {from: X1.5,"), ("X1.1: {function: lamp}", "X1.5: {function: lamp}"))
OUT_OF_SPLICE = (("w4: {from: SP1, ", "w4: {from: X1.7, "),)
REMOVED = (("      w5: {from: SP1,  to: X2.4, size: 1 mm2, colour: GN}\n", ""),)


def steps_of(comparison: Comparison, *phases: Phase) -> list[tuple[str, str, str]]:
    """Where, wire and what to do, of some phases."""
    return [(step.at, step.wire, step.words) for step in rework(comparison).steps if step.phase in phases]


def meter_of(comparison: Comparison) -> list[tuple[str, str, str]]:
    """From, words and proof of every test with a meter."""
    return [(step.at, step.words, step.proof) for step in rework(comparison).steps if step.phase is Phase.TEST and step.proof]


def test_a_wire_moved_within_its_connector_is_not_cut() -> None:
    assert [(step.phase.value, step.at, step.wire, step.terminal, step.seal, step.words, step.proof) for step in rework(compared(*MOVED)).steps] == [
        ("Battery off", "", "", "", "", "read the fault codes, note the radio code; negative off first", ""),
        ("Unplug", "X1", "", "", "", "unplug it from U1 (control unit)", ""),
        ("Unplug", "X2", "", "", "", "unplug it; for the tests", ""),
        ("De-pin", "X1.1", "w1", "pin 1.5", "seal A", "free its lock, draw it out", ""),
        ("Pin", "X1.1", "", "", "", "close the empty cavity: plug A", ""),
        ("Pin", "X1.5", "w1", "pin 1.5", "seal A", "take the plug out (plug A), push it in till it locks, pull to try (was X1.1)", "rings: X1.5 to X2.1"),
        ("Label", "X2.1", "w1", "", "", "take off: w1 | 1 mm² RD | to X1.1; put on: w1 | 1 mm² RD | to X1.5", ""),
        ("Test", "X1.5", "", "", "", "to X2.1, through w1", "rings"),
        ("Plug in", "X1", "", "", "", "plug it in again, till it locks", ""),
        ("Plug in", "X2", "", "", "", "plug it in again, till it locks", ""),
        ("Plug in", "", "", "", "", "every test passed: negative on last; read the fault codes again", ""),
    ]


def test_another_terminal_in_the_new_cavity_is_crimped_on() -> None:
    steps = steps_of(compared(MOVED[0], ("X1.1: {function: lamp}", "X1.5: {function: lamp, terminal: pin 2.8}")), Phase.PIN)
    assert steps[-1][2] == "cut off its pin 1.5, take the plug out (plug A), crimp on a new pin 2.8, with seal A, push it in till it locks, pull to try (was X1.1)"


@pytest.mark.parametrize(("edit", "why"), [
    pytest.param(("to: X2.1, size: 1 mm2", "to: X2.1, size: 1.5 mm2"), "size was 1 mm², now 1.5 mm²", id="another size"),
    pytest.param(("to: X2.1, size: 1 mm2, colour: RD", "to: X2.1, size: 1 mm2, colour: OG"), "colour was RD, now OG", id="another colour"),
    pytest.param(("colour: RD}", "colour: RD, type: TXL}"), "type was PVC 85 C, now TXL 125 C", id="another insulation"),
])
def test_another_wire_is_cut_and_pinned_at_both_ends(edit: tuple[str, str], why: str) -> None:
    comparison = compared(edit)
    assert steps_of(comparison, Phase.DE_PIN) == [("X1.1", "w1", "free its lock, draw it out"), ("X2.1", "w1", "free its lock, draw it out")]
    assert steps_of(comparison, Phase.CUT) == [
        ("", "", "open the coverings: T1 (tape)"), ("", "w1", "take it out of the bundle: X1.1 to X2.1, through T1, 1100 mm, to stock"), ("", "w1", f"X1.1 to X2.1: cut to 1100 mm, finished 1100 mm, lay it through T1 ({why})")]
    assert [at for at, _, _ in steps_of(comparison, Phase.PIN)] == ["X1.1", "X2.1"]
    assert [at for at, _, _ in steps_of(comparison, Phase.LABEL)] == ["X1.1", "X2.1"]


def test_a_wire_that_is_too_short_says_both_lengths() -> None:
    assert steps_of(compared(("w6: {from: X2.8, to: G1, ", "w6: {from: X2.8, to: G2, ")), Phase.DE_PIN, Phase.CUT, Phase.PIN) == [
        ("X2.8", "w6", "free its lock, draw it out"),
        ("G1", "w6", "unbolt the eyelet from the ground"),
        ("", "", "open the coverings: T2 (tape)"),
        ("", "w6", "take it out of the bundle: X2.8 to G1, 100 mm, to stock"),
        ("", "w6", "X2.8 to G2: cut to 600 mm, finished 600 mm, lay it through T2 (the old one has 100 mm, 600 mm is wanted; or extend it by 500 mm and leave its other end)"),
        ("X2.8", "w6", "slide its label on, crimp on pin 2.8, push it in till it locks, pull to try"),
        ("G2", "w6", "slide its label on, crimp on eyelet M6, bolt it on bare metal, seal it"),
    ]


def test_a_wire_that_is_long_enough_stays() -> None:
    comparison = compared(("w6: {from: X2.8, to: G2, ", "w6: {from: X2.8, to: G1, "), text=edited(BENCH, ("w6: {from: X2.8, to: G1, ", "w6: {from: X2.8, to: G2, ")))
    assert steps_of(comparison, Phase.DE_PIN, Phase.CUT, Phase.PIN) == [
        ("G2", "w6", "unbolt the eyelet from the ground"), ("", "", "open the coverings: T2 (tape)"), ("", "w6", "it is 500 mm longer than it must be: lay the rest in a loop and tie it"), ("G1", "w6", "bolt it on bare metal, seal it (was G2)")]


def test_a_wire_out_of_a_splice_opens_it_and_makes_it_anew() -> None:
    comparison = compared(*OUT_OF_SPLICE)
    assert ("SP1", "", "open the splice, or cut it out; out comes w4; in stays w3, w5") in steps_of(comparison, Phase.CUT)
    step, = [step for step in rework(comparison).steps if step.phase is Phase.SPLICE]
    assert (step.at, step.terminal, step.seal, step.words, step.proof) == ("SP1", "sleeve 4", "tube 6", "join w3, w5: crimp splice, sleeve 4; heat-shrink tube 6 on first, shrink it after", "rings: X1.3 to X2.4")
    assert ("X1.3", "to X2.3", "must not ring") in meter_of(comparison)


def test_the_last_wire_of_a_splice_is_sealed() -> None:
    comparison = compared(*REMOVED, ("      w4: {from: SP1,  to: X2.3, size: 1 mm2, colour: GN}\n", ""))
    assert steps_of(comparison, Phase.SPLICE) == [("SP1", "w3", "nothing is left to join it to: seal its end")]


def test_a_splice_that_is_gone_is_cut_out() -> None:
    text = edited(BENCH, *REMOVED, ("to: SP1,  size", "to: X2.3, size"), ("      w4: {from: SP1,  to: X2.3, size: 1 mm2, colour: GN}\n", ""))
    comparison = compare(version(BENCH), version(text.replace("      SP1: {at: 400 mm from P1 toward P2, method: crimp splice, sleeve: sleeve 4, shrink: tube 6}\n", "      SP9: {}\n")
                                                 .replace("    wires:\n", "    wires:\n      w8: {from: X3.7, to: SP9}\n      w9: {from: X3.8, to: SP9}\n")))
    assert ("SP1", "", "cut the splice out: w3, w4, w5 came together there") in steps_of(comparison, Phase.CUT)
    assert steps_of(comparison, Phase.SPLICE) == [("SP9", "", "join w8, w9: method not known; no heat-shrink proposed: to which side its wires leave is not known")]


def test_a_removed_wire_is_taken_out_and_needs_no_label() -> None:
    comparison = compared(("      w2: {from: X1.2, to: X2.2, size: 1 mm2, colour: BU}\n", ""))
    assert steps_of(comparison, Phase.DE_PIN, Phase.CUT, Phase.PIN, Phase.LABEL) == [
        ("X1.2", "w2", "free its lock, draw it out"), ("X2.2", "w2", "free its lock, draw it out"),
        ("", "", "open the coverings: T1 (tape)"), ("", "w2", "take it out of the bundle: X1.2 to X2.2, through T1, 1100 mm, to stock"), ("X1.2", "", "close the empty cavity: plug A")]


def test_another_terminal_at_many_cavities_is_one_step() -> None:
    comparison = compared(("terminal: pin 1.5", "terminal: pin 1.0"))
    assert steps_of(comparison, Phase.DE_PIN, Phase.CUT, Phase.PIN) == [
        ("X1", "", "new terminals at 1..3: was pin 1.5, now pin 1.0; take each out, cut its terminal off (a crimp's length is lost), crimp the new one on, with a new seal, put it in again, pull to try")]
    assert [(at, words) for at, words, proof in meter_of(comparison) if proof == "rings"] == [
        ("X1.1", "to X2.1, through w1"), ("X1.2", "to X2.2, through w2"), ("X1.3", "to X2.3, through w3, SP1, w4"), ("X1.3", "to X2.4, through w3, SP1, w5")]


def test_another_housing_is_one_step_and_all_that_went_over_is_measured() -> None:
    text = edited(BENCH, ("X2: {title: lamp plug,", "X2: {title: lamp plug, housing: grey,"))
    comparison = compared(("housing: grey", "housing: black"), text=text)
    assert steps_of(comparison, Phase.PIN) == [("X2", "", "change the housing, housing was grey, now black; terminals over one by one: 1..5, 8")]
    assert [(at, words) for at, words, _ in meter_of(comparison)] == [
        ("X1.1", "to X2.1, through w1"), ("X1.2", "to X2.2, through w2"), ("X1.3", "to X2.3, through w3, SP1, w4"), ("X1.3", "to X2.4, through w3, SP1, w5"),
        ("X2.5", "to F1.2, through w7"), ("X2.8", "to G1, through w6"), ("X2", "neighbours 1/2, 1/5, 2/3, 4/8")]


@pytest.mark.parametrize(("edits", "phase", "at", "words"), [
    pytest.param((("rating: 10 A", "rating: 15 A"),), Phase.PLUG_IN, "F1", "fit another: rating was 10 A, now 15 A; larger: will every wire behind it bear it? At its terminals: w7 1 mm²", id="a fuse"),
    pytest.param((("F1: {box: B1,", "F1: {box: B2,"), ("      B1: {place: P1}\n", "      B1: {place: P1}\n      B2: {place: P2}\n")), Phase.PLUG_IN, "F1", "move it: box: was B1, now B2", id="a fuse in another box"),
    pytest.param((("    fuses:\n", "    fuses:\n      F2: {box: B1, rating: 5 A, type: blade}\n"),), Phase.PLUG_IN, "F2", "fit it, fuse, 5 A, blade, in box B1", id="a fuse come"),
    pytest.param((("500 mm, covering: tape", "500 mm, covering: conduit"),), Phase.FIT, "T2", "cover and lay it so: covering: was tape, now conduit", id="covering"),
    pytest.param((("X3: {place: P3,", "X3: {place: P2,"),), Phase.FIT, "X3", "lead it there: place: was P3, now P2", id="place"),
    pytest.param((("stud: M6, metal: body, terminal: eyelet M6}\n      G2", "stud: M8, metal: body, terminal: eyelet M6}\n      G2"),), Phase.MOUNT, "G1", "make the stud ready, bare to the metal: stud: was M6, now M8", id="stud"),
    pytest.param((("X1.2: {function: pump}", "X1.2: {function: pump}\n      X1.8: {plug: plug B}"),), Phase.FIT, "X1.8", "close the empty cavity: was plug A, now plug B", id="plug"),
])
def test_what_is_fitted(edits: tuple[tuple[str, str], ...], phase: Phase, at: str, words: str) -> None:
    assert (at, "", words) in steps_of(compared(*edits), phase)


def test_wires_that_may_not_reach_any_more_are_named() -> None:
    comparison = compared(("length: 1000 mm", "length: 1100 mm"))
    assert steps_of(comparison, Phase.FIT)[0] == ("", "w1", "see that it reaches from X1.1 to X2.1: was 1100 mm, now 1200 mm; if not, replace it or extend it")
    assert steps_of(comparison, Phase.CUT) == []


@pytest.mark.parametrize("edits", [
    pytest.param((("X1.1: {function: lamp}", "X1.1: {function: horn, signal: output-low}"),), id="use"),
    pytest.param((("colour: BN}", "colour: BN, note: chafed}"),), id="text"),
    pytest.param((("colour: RD}", "colour: RD, length: 1900 mm}"),), id="a length measured"),
    pytest.param((("B1: {place: P1}", "B1: {place: P1, lid: [[F1]]}"),), id="a lid written down"),
])
def test_what_needs_no_hands_has_no_step(edits: tuple[tuple[str, str], ...]) -> None:
    assert rework(compared(*edits)).steps == ()


def test_what_became_known_wants_labels_only() -> None:
    comparison = compared(("size: unknown", "size: 1 mm2"), text=edited(BENCH, ("to: X2.1, size: 1 mm2", "to: X2.1, size: unknown")))
    assert [(step.phase, step.at) for step in rework(comparison).steps] == [(Phase.LABEL, "X1.1"), (Phase.LABEL, "X2.1")]


@pytest.mark.parametrize(("before", "after"), [
    pytest.param((), (("X1.1: {function: lamp}", "X1.1: {function: lamp, signal: airbag}"),), id="as the new version knows"),
    pytest.param((("X1.1: {function: lamp}", "X1.1: {function: lamp, signal: airbag}"),), (), id="as the old version knew"),
])
def test_an_airbag_circuit_is_left_alone(before: tuple[tuple[str, str], ...], after: tuple[tuple[str, str], ...]) -> None:
    comparison = compared(*after, ("w1: {from: X1.1,", "w1: {from: X1.5,"), text=edited(BENCH, *before))
    assert [(step.phase, step.wire, step.words) for step in rework(comparison).steps] == [(Phase.LEAVE, "w1", AIRBAG)]


def test_no_test_touches_an_airbag_circuit() -> None:
    comparison = compared(("w2: {from: X1.2, to: X2.2,", "w2: {from: X1.5, to: X2.2,"), text=edited(BENCH, ("X1.1: {function: lamp}", "X1.1: {function: lamp, signal: airbag}")))
    assert steps_of(comparison, Phase.UNPLUG) == [("X1", "", "unplug it from U1 (control unit); it holds an airbag circuit: only as the vehicle's own book says"),
                                                   ("X2", "", "unplug it; for the tests; it holds an airbag circuit: only as the vehicle's own book says")]
    assert not any("X1.1" in f"{at} {words}" or "1/" in words for at, words, _ in meter_of(comparison))


def test_no_test_says_that_an_airbag_circuit_parted() -> None:
    text = edited(BENCH, ("X1.1: {function: lamp}", "X1.1: {function: lamp, signal: airbag}"), ("connectors: [X1]}", "connectors: [X1], links: [[X1.1, X1.2]]}"))
    comparison = compared((", links: [[X1.1, X1.2]]}", "}"), ("w6: {from: X2.8, ", "w6: {from: X2.7, "), text=text)
    assert comparison.follows.parted
    assert meter_of(comparison) == [("X2.7", "to G1, through w6", "rings"), ("X2", "neighbours 3/7", "must not ring")]


def test_ends_are_paired_whichever_way_the_wire_is_written() -> None:
    comparison = compared(("w1: {from: X1.1, to: X2.1, size: 1 mm2", "w1: {from: X2.1, to: X1.1, size: 1.5 mm2"))
    job, = find_work(comparison).wires
    assert [(end.was, end.now) for end in job.ends] == [("X2.1", "X2.1"), ("X1.1", "X1.1")]


def test_cavities_are_counted_up_connector_by_connector() -> None:
    wires = "".join(f"      n{cavity}: {{from: X9.{cavity}, to: X2.{at}}}\n" for cavity, at in ((10, 6), (2, 7)))
    comparison = compared(("    wires:\n", f"    wires:\n{wires}"), ("    cavities:\n", "    cavities:\n      X9.1: {function: horn}\n"), ("    connectors:\n", "    connectors:\n      X9: {}\n"))
    assert [at for at, _, _ in steps_of(comparison, Phase.PIN)] == ["X9.2", "X9.10", "X2.6", "X2.7"]
    assert steps_of(comparison, Phase.UNPLUG) == [("X2", "", "unplug it")]      # X9 was not there before


def test_phases_are_in_the_order_of_hands() -> None:
    comparison = compared(*OUT_OF_SPLICE, ("rating: 10 A", "rating: 15 A"))
    told = list(dict.fromkeys(step.phase for step in rework(comparison).steps))
    assert told == [Phase.BATTERY, Phase.UNPLUG, Phase.DE_PIN, Phase.CUT, Phase.SPLICE, Phase.PIN, Phase.FIT, Phase.LABEL, Phase.TEST, Phase.PLUG_IN]


def test_wires_that_changed_places_must_not_ring_crosswise() -> None:
    comparison = compared(("w1: {from: X1.1,", "w1: {from: X1.2,"), ("w2: {from: X1.2,", "w2: {from: X1.1,"))
    assert [test for test in meter_of(comparison) if test[2] == "must not ring"] == [
        ("X1.1", "to X2.1", "must not ring"), ("X1", "neighbours 1/2, 2/3", "must not ring")]


def test_lengths_in_the_readers_unit() -> None:
    step = next(step for step in rework(compared(("to: X2.1, size: 1 mm2", "to: X2.1, size: 1.5 mm2")), "in").steps if step.phase is Phase.CUT and step.wire)
    assert step.words == "take it out of the bundle: X1.1 to X2.1, through T1, 43.3 in, to stock"


def test_nothing_changed_nothing_to_do() -> None:
    assert rework(compare(version(BENCH), version(BENCH))).steps == ()


def test_a_cable_that_is_another_takes_its_cores_along() -> None:
    text = edited(BENCH, ("    splices:\n", "    cables:\n      C1: {part: foil 2}\n    splices:\n"), ("colour: RD}", "colour: RD, cable: C1}"), ("colour: BU}", "colour: BU, cable: C1}"))
    comparison = compared(("part: foil 2", "part: braid 2"), text=text)
    assert [(wire, words) for _, wire, words in steps_of(comparison, Phase.CUT)][3:] == [("", "cut the cable once, to 1100 mm; its cores: w1, w2"), *(
        (wire, f"{way}: core of cable C1, lay it through T1 (part was foil 2, now braid 2)") for wire, way in (("w1", "X1.1 to X2.1"), ("w2", "X1.2 to X2.2")))]


def test_a_wire_that_shares_its_terminal_leaves_the_other_to_be_crimped_anew() -> None:
    text = edited(BENCH, ("X1.2: {function: pump}", "X1.2: {function: pump}\n      X2.1: {crimp: double}"), ("to: X2.2,", "to: X2.1,"))
    comparison = compared(("w2: {from: X1.2, to: X2.1,", "w2: {from: X1.2, to: X2.6,"), ("      X2.1: {crimp: double}\n", ""), text=text)
    assert steps_of(comparison, Phase.DE_PIN) == [("X2.1", "w2", "free its lock, draw it out; w1 comes with it: cut the terminal they share off")]
    assert steps_of(comparison, Phase.PIN) == [("X2.1", "w1", "crimp on a new pin 2.8, push it in till it locks, pull to try"),
                                               ("X2.6", "w2", "crimp on a new pin 2.8, push it in till it locks, pull to try (was X2.1)")]
    assert ("X1.1", "to X2.1, through w1", "rings") in meter_of(comparison)


def test_steps_hold_the_wire_as_it_comes_out_and_as_it_goes_in() -> None:
    steps: tuple[Step, ...] = rework(compared(("to: X2.1, size: 1 mm2, colour: RD", "to: X2.1, size: 1.5 mm2, colour: OG"))).steps
    sizes = {(step.phase, str(step.size), step.colour.base.code if step.colour else "") for step in steps if step.wire}
    assert sizes == {(Phase.DE_PIN, "1 mm²", "RD"), (Phase.CUT, "1 mm²", "RD"), (Phase.CUT, "1.5 mm²", "OG"), (Phase.PIN, "1.5 mm²", "OG"), (Phase.LABEL, "1.5 mm²", "OG")}
