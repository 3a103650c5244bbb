"""The changes in a reader's lines."""

from __future__ import annotations

import pytest
from revision.two_versions import BENCH, compared, version

from harnessdoc.revision.changes import ChangeKind, Thing
from harnessdoc.revision.compare import Comparison, compare
from harnessdoc.revision.lines import lines_of

MOVED = (("w1: {from: X1.1,", "w1: {from: X1.5,"), ("X1.1: {function: lamp}", "X1.5: {function: lamp}"))


def texts_of(comparison: Comparison) -> list[str]:
    lines = lines_of(comparison)
    told = [id(change) for line in lines for change in line.changes]
    assert sorted(told) == sorted(map(id, comparison.changes)), "every change in one line"
    return [line.text for line in lines]


@pytest.mark.parametrize(("edits", "text"), [
    pytest.param(MOVED, "wire w1 moved: was X1.1, now X1.5 (lamp)", id="what is said of the cavity goes along"),
    pytest.param((*MOVED, ("to: X2.1, size: 1 mm2, colour: RD", "to: X2.1, size: 1.5 mm2, colour: OG")),
                 "wire w1 moved: was X1.1, now X1.5 (lamp); resized: was 1 mm², now 1.5 mm²; recoloured: was RD, now OG", id="all changes of one wire"),
    pytest.param((("w4: {from: SP1, ", "w4: {from: X1.7, "),), "wire w4 unspliced: was splice SP1, now X1.7", id="out of a splice"),
    pytest.param((("w6: {from: X2.8, to: G1, ", "w6: {from: X2.8, to: SP1, "),), "wire w6 spliced: was G1, now splice SP1", id="into a splice"),
    pytest.param((("w2: {from: X1.2, ", "w2: {from: SP1, "),), "wire w2 spliced: was X1.2 (pump), now splice SP1", id="what the cavity left is for"),
    pytest.param((("w6: {from: X2.8, to: G1, ", "w6: {from: X2.8, to: unknown, "),), "wire w6, far end no longer known: was G1, now unknown", id="no longer known"),
    pytest.param((("to: G1,   size: 1 mm2, colour: BK}", "to: G1,   size: 1 mm2, colour: BK, note: chafed}"),), "wire w6, note: was none, now chafed", id="text"),
    pytest.param((("      w6: {from: X2.8, to: G1,   size: 1 mm2, colour: BK}\n", ""),), "wire w6 removed: was X2.8 to G1, 1 mm² BK", id="a wire gone"),
    pytest.param((("    wires:\n", "    wires:\n      w9: {from: X3.1, to: SP1, size: 1 mm2, colour: GN}\n"),), "wire w9 added: X3.1 to splice SP1, 1 mm² GN", id="a wire come"),
    pytest.param((("rating: 10 A", "rating: 15 A"),), "fuse F1, rating: was 10 A, now 15 A", id="a fuse"),
    pytest.param((("500 mm, covering: tape", "600 mm, covering: conduit"),), "segment T2, length: was 500 mm, now 600 mm; covering: was tape, now conduit", id="a segment"),
    pytest.param((("colour: BK}", "colour: BK, length: 90 mm}"),), "wire w6 re-lengthened: was not measured, now 90 mm", id="a length"),
    pytest.param((("X1.1: {function: lamp}", "X1.1: {function: lamp, crimp: double}"),), "cavity X1.1, crimp: was single, now double", id="a crimp"),
    pytest.param((("X3: {place: P3,", "X3: {place: P3, seal: none,"),), "connector X3, 8 cavities (1..8), seal: was not stated, now none", id="none"),
    pytest.param((("X3: {place: P3,", "X3: {title: pump plug, place: P3,"),), "connector X3, title: was none, now pump plug", id="a title"),
])
def test_one_thing_is_one_line(edits: tuple[tuple[str, str], ...], text: str) -> None:
    assert texts_of(compared(*edits)) == [text]


def test_a_renamed_wire_says_why() -> None:
    text, = texts_of(compared(("w6: {", "w66: {")))
    assert text.startswith("wire w66 renamed: was w6, now w66 (")


def test_all_wires_of_a_connector_that_went_to_another_one_are_one_line() -> None:
    edits = [(f"from: X1.{cavity},", f"from: X3.{cavity},") for cavity in (1, 2, 3)] + [(f"X1.{cavity}: ", f"X3.{cavity}: ") for cavity in (1, 2)]
    comparison = compared(*edits)
    assert texts_of(comparison) == ["all 3 wires of X1 (unit plug) went to X3, cavity for cavity: 1..3 → 1..3"]
    line, = lines_of(comparison)
    assert (line.thing, line.id, line.what, [(told.change, told.was, told.now) for told in line.told]) == (
        Thing.CONNECTOR, "X3", "all 3 wires of X1 (unit plug)", [("re-ended", "X1 (unit plug)", "X3: 1..3 → 1..3")])


def test_all_wires_that_moved_within_their_connector_are_one_line() -> None:
    edits = [(f"from: X1.{was},", f"from: X1.{now},") for was, now in ((1, 6), (2, 7), (3, 4))]
    assert "all 3 wires of X1 (unit plug) moved within it: 1 → 6, 2 → 7, 3 → 4" in texts_of(compared(*edits))


def test_where_one_wire_stays_the_others_stand_alone() -> None:
    edits = [(f"from: X1.{cavity},", f"from: X3.{cavity},") for cavity in (1, 2)]
    assert [text for text in texts_of(compared(*edits)) if text.startswith("wire")] == [
        "wire w1 re-ended: was X1.1 (lamp), now X3.1", "wire w2 re-ended: was X1.2 (pump), now X3.2"]


def test_one_key_of_many_cavities_is_one_line() -> None:
    assert texts_of(compared(("terminal: pin 1.5", "terminal: pin 1.0"))) == ["connector X1, 8 cavities (1..8), terminal: was pin 1.5, now pin 1.0"]


def test_a_connector_comes_with_its_cavities() -> None:
    comparison = compared(("    cavities:\n", "    cavities:\n      X9.1: {function: horn}\n      X9.2: {function: bell}\n"),
                          ("    connectors:\n", "    connectors:\n      X9: {title: horn plug, face: [[1, 2]], view: mating face}\n"))
    assert texts_of(comparison) == ["connector X9 added: horn plug, 2 cavities described"]
    back = compare(comparison.new, comparison.old)
    assert texts_of(back) == ["connector X9 removed: was horn plug, 2 cavities described"]


def test_place_is_that_of_the_new_version_or_where_it_stood() -> None:
    comparison = compared(("      w6: {from: X2.8, to: G1,   size: 1 mm2, colour: BK}\n", ""), ("w7: {from: F1.2, to: X2.5,", "w7: {from: F1.2, to: X2.6,"))
    lines = lines_of(comparison)
    assert [(line.kinds, line.id) for line in lines] == [((ChangeKind.REMOVED,), "w6"), ((ChangeKind.MOVED,), "w7")]
    was, now = (BENCH.splitlines().index(next(line for line in BENCH.splitlines() if line.startswith(f"      {wire}:"))) + 1 for wire in ("w6", "w7"))
    assert [line.place and line.place.line for line in lines] == [was, now - 1]


def test_nothing_changed_has_no_line() -> None:
    assert lines_of(compare(version(BENCH), version(BENCH))) == ()
