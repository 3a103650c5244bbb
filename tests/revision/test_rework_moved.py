"""Grounds and splices that sit elsewhere, what is never extended, fuses, terminals, cables and coverings in the steps of a rework."""

from __future__ import annotations

import pytest
from revision.two_versions import BENCH, compared, edited

from harnessdoc.revision.compare import Comparison
from harnessdoc.revision.parts_needed import parts_needed
from harnessdoc.revision.rework import rework
from harnessdoc.revision.steps import Phase

GROUND = "G1: {place: P2, stud: M6, metal: body, terminal: eyelet M6}"
SPLICE = "SP1: {at: 400 mm from P1 toward P2, method: crimp splice, sleeve: sleeve 4, shrink: tube 6}"


def told(comparison: Comparison, *phases: Phase) -> list[tuple[str, str, str]]:
    return [(step.at, step.wire, step.words) for step in rework(comparison).steps if step.phase in phases]


def test_a_ground_on_other_metal_is_unbolted_made_ready_and_bolted_again() -> None:
    comparison = compared((GROUND, GROUND.replace("body", "frame")))
    assert told(comparison, Phase.DE_PIN, Phase.MOUNT, Phase.CUT, Phase.PIN) == [
        ("G1", "w6", "unbolt the eyelet from the ground"), ("G1", "", "make the stud ready, bare to the metal: metal: was body, now frame"), ("G1", "w6", "bolt it on bare metal, seal it")]
    assert ("X2.8", "", "to G1, through w6") in told(comparison, Phase.TEST)


def test_another_stud_takes_another_eyelet() -> None:
    other = compared((GROUND, "G1: {place: P2, stud: M8, metal: body, terminal: eyelet M8}"))
    assert told(other, Phase.PIN) == [("G1", "w6", "cut off its eyelet M6, crimp on a new eyelet M8, bolt it on bare metal, seal it")]
    same = compared((GROUND, GROUND.replace("stud: M6", "stud: M8")))
    assert [(line.kind, line.part) for line in parts_needed(same)] == [("terminal", "eyelet for stud M8, not stated which")]


def test_a_ground_farther_away_takes_another_wire() -> None:
    comparison = compared((GROUND, GROUND.replace("P2", "P3")))
    assert [(wire, words.partition(":")[0]) for _, wire, words in told(comparison, Phase.CUT)] == [
        ("", "open the coverings"), ("w6", "take it out of the bundle"), ("w6", "X2.8 to G1")]
    assert not [words for _, _, words in told(comparison, Phase.FIT) if "reaches" in words]


def test_a_splice_that_moves_takes_longer_wires_and_cuts_back_the_others() -> None:
    comparison = compared((SPLICE, SPLICE.replace("400 mm", "600 mm")))
    cut = told(comparison, Phase.CUT)
    assert ("", "w4", "pull it back to splice SP1, cut it to 460 mm, 200 mm to stock, strip it") in cut
    assert [words.partition(":")[0] for _, wire, words in cut if wire == "w3"] == ["take it out of the bundle", "X1.3 to splice SP1"]
    assert [(at, words.partition(":")[0]) for at, _, words in told(comparison, Phase.SPLICE)] == [("SP1", "join w3, w4, w5")]


@pytest.mark.parametrize(("wire", "more", "end"), [
    pytest.param("size: 1 mm2, colour: RD}", "", "replace it or extend it", id="any wire"),
    pytest.param("size: 10 mm2, colour: RD}", "", "replace it", id="thick"),
    pytest.param("size: 1 mm2, colour: RD, circuit: fuel pump}", "", "replace it", id="by its circuit"),
    pytest.param("size: 1 mm2, colour: RD}", ", signal: starter-control", "replace it", id="by a signal on its copper"),
])
def test_what_is_never_extended(wire: str, more: str, end: str) -> None:
    text = edited(BENCH, ("size: 1 mm2, colour: RD}", wire), ("X1.1: {function: lamp}", f"X1.1: {{function: lamp{more}}}"))
    words = next(words for _, name, words in told(compared(("length: 1000 mm", "length: 1100 mm"), text=text), Phase.FIT) if name == "w1")
    assert words == f"see that it reaches from X1.1 to X2.1: was 1100 mm, now 1200 mm; if not, {end}"


def test_a_wire_too_short_in_a_fuel_circuit_is_replaced_only() -> None:
    text = edited(BENCH, ("to: G1,   size: 1 mm2, colour: BK}", "to: G1,   size: 1 mm2, colour: BK, circuit: fuel pump}"))
    assert not any("extend" in words for _, _, words in told(compared(("w6: {from: X2.8, to: G1, ", "w6: {from: X2.8, to: G2, "), text=text), *Phase))


def test_a_smaller_fuse_asks_nothing() -> None:
    assert ("F1", "", "fit another: rating was 10 A, now 5 A") in told(compared(("rating: 10 A", "rating: 5 A")), Phase.PLUG_IN)


@pytest.mark.parametrize(("fuse", "off", "out", "back"), [
    pytest.param("F1: {box: B1, rating: 10 A, type: midi}", "undo the nuts, take the fuse off", "undo the nut, take the eyelet off", "bolt the fuse on again: clean, tight", id="by its type"),
    pytest.param("F1: {place: P1, rating: 10 A}", "undo the nuts, take the fuse off", "undo the nut, take the eyelet off", "bolt the fuse on again: clean, tight", id="outside a box"),
    pytest.param("F1: {place: P1, rating: 10 A, type: blade}", "pull the fuse", "free its lock, pull it out of the socket", "push the fuse in again", id="blade in a holder"),
])
def test_how_a_fuse_is_held(fuse: str, off: str, out: str, back: str) -> None:
    comparison = compared(("to: X2.5, size: 1 mm2", "to: X2.5, size: 2 mm2"), text=edited(BENCH, ("F1: {box: B1, rating: 10 A, type: blade}", fuse)))
    assert ("F1", "", off) in told(comparison, Phase.UNPLUG)
    assert ("F1.2", "w7", out) in told(comparison, Phase.DE_PIN)
    assert ("F1", "", back) in told(comparison, Phase.PLUG_IN)


def test_new_terminals_take_new_seals() -> None:
    assert [(line.kind, line.part, line.quantity) for line in parts_needed(compared(("terminal: pin 1.5", "terminal: pin 1.0")))] == [("terminal", "pin 1.0", 3), ("seal", "seal A", 3)]


@pytest.mark.parametrize(("splice", "size", "words", "parts"), [
    pytest.param("{at: 400 mm from P1 toward P2, method: crimp splice, shrink: tube 6}", "120 mm2", "no sleeve proposed: none in the tables takes 240.00 mm²: split the splice, or solder it; heat-shrink tube 6 on first, shrink it after",
                 [("crimp sleeve", "crimp sleeve, not stated which"), ("heat-shrink", "tube 6")], id="no sleeve"),
    pytest.param("{at: 400 mm from P1 toward P2, method: solder}", "1 mm2", "no heat-shrink proposed", [("heat-shrink", "heat-shrink, not stated which")], id="no tube"),
])
def test_a_splice_for_which_no_part_fits_says_so(splice: str, size: str, words: str, parts: list[tuple[str, str]]) -> None:
    text = edited(BENCH, ("    splices:\n", f"    splices:\n      SP2: {splice}\n"))
    wires = f"      n1: {{from: X1.5, to: SP2, size: 120 mm2}}\n      n2: {{from: SP2, to: X2.6, size: {size}}}\n"
    comparison = compared(("    wires:\n", "    wires:\n" + wires), text=text)
    assert words in told(comparison, Phase.SPLICE)[0][2]
    assert [(line.kind, line.part) for line in parts_needed(comparison) if line.where == ("SP2",)] == parts


def test_a_new_connector_takes_a_housing_nobody_stated() -> None:
    comparison = compared(("    connectors:\n", "    connectors:\n      X40: {place: P2}\n      X41: {place: P2, housing: none}\n"))
    assert [(line.kind, line.part, line.where) for line in parts_needed(comparison)] == [("housing", "housing, not stated which", ("X40",))]


def test_coverings_and_grommets_are_opened_and_closed() -> None:
    text = edited(BENCH, ("length: 1000 mm, covering: tape", "length: 1000 mm, covering: tape, grommet: 30 mm"))
    comparison = compared(("to: X2.1, size: 1 mm2", "to: X2.1, size: 2 mm2"), text=text)
    assert told(comparison, Phase.CUT)[0] == ("", "", "open the coverings: T1 (tape, grommet 30 mm)")
    assert ("", "", "cover again what was opened: T1 (tape, grommet 30 mm)") in told(comparison, Phase.FIT)
