"""Flags of findings on the sheets: beside every row and head a finding lies at, and nowhere else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from sheets.checks import assert_tidy, inside_frame
from sheets.contexts import context_of, ref_of, with_flags
from sheets.marked_contexts import edited, since_context
from sheets.pinout_rows import table_rows
from sheets.read_splices import read_splices
from sheets.revision_reader import struck, triangles

from harnessdoc.drawing.flag_notes import number_drawn
from harnessdoc.drawing.record import Drawing, Polyline, Text, bounds
from harnessdoc.findings import Finding, Place, Severity
from harnessdoc.sheets.box import draw_box
from harnessdoc.sheets.check import draw_check
from harnessdoc.sheets.context import Context, SheetKind, SheetRef
from harnessdoc.sheets.cut_list import draw_cut_list
from harnessdoc.sheets.flags import numbered, numbers_at, sheets_of_thing
from harnessdoc.sheets.fuses import draw_fuses
from harnessdoc.sheets.grounds import draw_grounds
from harnessdoc.sheets.labels import draw_labels
from harnessdoc.sheets.pinout import draw_pinout
from harnessdoc.sheets.relay import draw_relays
from harnessdoc.sheets.splice_places import draw_splice_places
from harnessdoc.sheets.splices import draw_splices

papers = pytest.mark.parametrize("paper", ["a4", "a5", "letter"])
HARNESS = """
    title: Bench loom
    places:
      P: {title: here}
      Q: {title: there}
    connectors:
      X1: {title: plug, face: [[1..5]], view: mating face, half: plug, housing: H, place: P}
      X2: {title: other plug, face: [[1..3]], view: mating face, half: plug, housing: H, place: Q}
      X3: {title: in line, face: [[1, 2]], view: mating face, half: plug, housing: H, place: P}
      X4: {title: in line, face: [[1, 2]], view: mating face, half: socket, housing: H, place: P, mates: X3}
    segments:
      T1: {from: P, to: Q, length: 500 mm, covering: tape}
    grounds:
      G1: {title: wing, metal: body, stud: M6, place: P, terminal: eyelet M6}
    boxes:
      B1: {title: fuse box, place: P, lid: [[F1, F2, K1]]}
    fuses:
      F1: {box: B1, rating: 10 A, type: blade, feeds: pump}
      F2: {box: B1, rating: 15 A, type: blade, feeds: horn}
    relays:
      K1: {box: B1, contacts: make, rating: 30 A, type: micro, feeds: pump, suppression: none, commanded-by: key, coil: 90 ohm}
    splices:
      S1: {title: joint, at: 100 mm from P toward Q, method: crimp splice}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BN, type: PVC 85 C}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BN, type: PVC 85 C}
      3: {from: S1, to: X2.1, size: 1 mm2, colour: BN, type: PVC 85 C}
      4: {from: X1.3, to: G1, size: 1 mm2, colour: BK, type: PVC 85 C, note: as found}
      8: {from: X1.5, to: G1, size: 1 mm2, colour: BK, type: PVC 85 C}
      5: {from: F1.2, to: X2.2, size: 1 mm2, colour: RD, type: PVC 85 C}
      6: {from: X4.1, to: X2.3, size: 1 mm2, colour: GN, type: PVC 85 C}
      7: {from: X3.1, to: X1.4, size: 1 mm2, colour: GN, type: PVC 85 C}
"""
Draw = Callable[[Context, SheetRef], tuple[Drawing, ...]]


def finding(number: int, *at: str, severity: Severity = Severity.MALFUNCTION) -> Finding:
    return Finding(f"code-{number}", severity, f"message {number}", Place("harness.yaml", number, 1), at=at)


def flagged_context(*at: tuple[str, ...], paper: str = "a4") -> Context:
    """The context with one finding for each group of things, numbered from 1 in that order."""
    return with_flags(replace(context_of(HARNESS, paper=paper), findings=tuple(finding(number, *names) for number, names in enumerate(at, start=1))))


def flags(pages: tuple[Drawing, ...]) -> list[tuple[int, str]]:
    """The number in every hexagon, and the text it stands nearest below, or right, of."""
    found = []
    for page in pages:
        for mark in page.marks:
            if isinstance(mark, Polyline) and len(mark.points) == 6:
                left, top, right, bottom = bounds(mark)
                number = next(text for text in page.marks if isinstance(text, Text) and left < text.start()[0] < right and top < text.y < bottom)
                assert int(number.text) == number_drawn(mark.tag)
                others = [text for text in inside_frame(page) if text is not number and text.y <= bottom and text.start()[0] <= left + 1.5 and not any(
                    isinstance(other, Polyline) and len(other.points) == 6 and bounds(other)[0] < text.start()[0] < bounds(other)[2] and bounds(other)[1] < text.y < bounds(other)[3] for other in page.marks)]
                found.append((int(number.text), min(others, key=lambda text: (abs(top - text.y) + abs(left - text.start()[0])), default=number).text))
    return found


def pages_of(context: Context, draw: Draw, kind: SheetKind, subject: str = "") -> tuple[Drawing, ...]:
    ref = next(sheet for sheet in context.sheets if sheet.kind is kind and (not subject or subject in sheet.subjects))
    pages = draw(context, ref)
    for page in pages:
        assert_tidy(page)
    return pages


def test_numbers_are_those_of_the_list_worst_first_and_an_error_has_none() -> None:
    found = (finding(1, "a"), finding(2, "b", "a", severity=Severity.HAZARD), finding(3, "c", severity=Severity.ERROR), finding(4, "a", severity=Severity.ADVICE))
    assert [one.code for one in numbered(found)] == ["code-2", "code-1", "code-4"]
    assert numbers_at(found) == {"b": (1,), "a": (1, 2, 3)}


@papers
def test_a_wire_has_its_flag_wherever_it_has_a_row(paper: str) -> None:
    context = flagged_context(("wire 1",), paper=paper)
    assert flags(pages_of(context, draw_pinout, SheetKind.PINOUT, "X1")) == [(1, "1")]
    assert flags(pages_of(context, draw_pinout, SheetKind.PINOUT, "X2")) == []
    assert flags(pages_of(context, draw_cut_list, SheetKind.CUT_LIST)) == [(1, "1")]
    assert flags(pages_of(context, draw_labels, SheetKind.LABELS)) == [(1, "1")]
    assert set(flags(pages_of(context, draw_check, SheetKind.CHECK))) == {(1, "X1.1 → 7")}, "the paths from X1.1 on"
    assert len(flags(pages_of(context, draw_splices, SheetKind.SPLICES))) == 1


@papers
def test_a_cavity_a_fuse_and_a_ground_with_their_wires(paper: str) -> None:
    context = flagged_context(("X1.3",), ("F1",), ("wire 4", "G1"), ("wire 5",), paper=paper)
    assert flags(pages_of(context, draw_pinout, SheetKind.PINOUT, "X1")) == [(1, "3"), (3, "3")]
    fuses = flags(pages_of(context, draw_fuses, SheetKind.FUSES))
    assert [number for number, _ in fuses] == [2, 4, 2, 4] and fuses[0][1] == fuses[2][1] == "F1", "at the fuse and its wire in the chart, and again in the list"
    assert flags(pages_of(context, draw_grounds, SheetKind.GROUNDS)) == [(3, "G1"), (3, "4")], "its own row, and that of the wire; not the other wires"
    assert flags(pages_of(context, draw_pinout, SheetKind.PINOUT, "X2")) == [(4, "2")]


@papers
def test_a_position_of_the_lid_has_its_flags_beside_its_id_and_its_row_has_them(paper: str) -> None:
    pages = pages_of(flagged_context(("F1",), ("K1",), paper=paper), draw_box, SheetKind.BOX)
    assert sorted(flags(pages)) == [(1, "F1"), (1, "F1"), (2, "K1"), (2, "K1 → 12")]


@papers
def test_heads_name_the_findings_of_what_a_sheet_is_about(paper: str) -> None:
    context = flagged_context(("X1",), ("B1",), ("K1",), ("S1",), paper=paper)
    for number, draw, kind in ((1, draw_pinout, SheetKind.PINOUT), (2, draw_box, SheetKind.BOX), (3, draw_relays, SheetKind.RELAYS)):
        pages = pages_of(context, draw, kind)
        caption = next(text for text in inside_frame(pages[0]) if text.text == "Findings")
        level = [int(text.text) for text in inside_frame(pages[0]) if abs(text.y - caption.y) < 1.0 and 19 < text.x - caption.x < 26]
        assert level == [number] and (number in dict(flags(pages)))
    assert [number for number, _ in flags(pages_of(context, draw_splices, SheetKind.SPLICES))] == [4]
    places = replace(context.sheets[0], kind=SheetKind.SPLICE_PLACES, name="splice-places")
    assert flags(draw_splice_places(context, places)) == [(4, "S1")]


def test_segments_and_points_have_theirs_in_the_tables_of_them() -> None:
    context = flagged_context(("segment T1",), ("place P",))
    assert flags(pages_of(context, draw_cut_list, SheetKind.CUT_LIST)) == [(1, "T1")]
    assert flags(draw_splice_places(context, replace(context.sheets[0], kind=SheetKind.SPLICE_PLACES))) == [(2, "P")]


def test_two_mated_halves_in_one_table_are_flagged_for_either() -> None:
    context = flagged_context(("X3.1",), ("wire 6",), ("X4.2",))
    ref = replace(ref_of(context, SheetKind.PINOUT), subjects=("X3", "X4"))
    pages = draw_pinout(context, ref)
    for page in pages:
        assert_tidy(page)
    assert flags(pages) == [(1, "1"), (2, "1")], "an empty cavity has no row"


def test_no_finding_no_flag() -> None:
    context = with_flags(replace(context_of(HARNESS), findings=()))
    for draw, kind in ((draw_fuses, SheetKind.FUSES), (draw_cut_list, SheetKind.CUT_LIST), (draw_splices, SheetKind.SPLICES)):
        assert flags(pages_of(context, draw, kind)) == []


def test_a_reader_takes_no_flag_for_a_cavity_a_wire_or_a_far_end() -> None:
    everything = tuple(sorted({*context_of(HARNESS).harness.contacts, *(f"wire {number}" for number in range(1, 8)), "S1", "X1", "F1"}))
    plain, context = context_of(HARNESS), flagged_context(*([everything] * 12))
    ref = ref_of(plain, SheetKind.SPLICES)
    assert read_splices(draw_splices(context, ref)) == read_splices(draw_splices(plain, ref)) != {}
    ref = ref_of(plain, SheetKind.PINOUT)
    assert table_rows(draw_pinout(context, ref), "Cavity") == table_rows(draw_pinout(plain, ref), "Cavity") != []


@papers
def test_flags_are_no_difference_from_the_version_before_and_stand_beside_its_marks(paper: str) -> None:
    new = edited(HARNESS, ("size: 1 mm2, colour: BK", "size: 2 mm2, colour: BK"), ("  1: {from: X1.1, to: S1, size: 1 mm2", "  1: {from: X1.1, to: S1, size: 2 mm2"))
    marked = since_context(HARNESS, new, paper=paper)
    context = with_flags(replace(marked, findings=(finding(1, "wire 4", "X1.3", "S1"), finding(2, "wire 1", "wire 2"))))
    context = replace(context, since=replace(context.since, before=with_flags(replace(context.since.before, findings=(finding(7, "wire 3"), finding(8, "X1.3"), finding(9, "wire 1"))))))
    for draw, kind in ((draw_pinout, SheetKind.PINOUT), (draw_grounds, SheetKind.GROUNDS), (draw_cut_list, SheetKind.CUT_LIST), (draw_splices, SheetKind.SPLICES)):
        plain, pages = (draw(one, ref_of(one, kind)) for one in (marked, context))
        for page in pages:
            assert_tidy(page)
        assert sum(len(triangles(page)) for page in pages) == sum(len(triangles(page)) for page in plain) > 0
        assert [text for page in pages for text in struck(page)] == [text for page in plain for text in struck(page)]
        assert {number for number, _ in flags(pages)} == ({1} if kind is SheetKind.GROUNDS else {1, 2}), "the numbers of the new list"


def test_the_sheets_of_a_thing() -> None:
    context = context_of(HARNESS)

    def kinds(name: str) -> list[str]:
        return [sheet.title if sheet.kind is SheetKind.PINOUT else sheet.kind.value for sheet in sheets_of_thing(context, name)]

    assert kinds("wire 4") == ["X1", "Grounds", "Cut list"] and kinds("X1.3") == ["X1"] and kinds("G1") == ["Grounds"]
    assert kinds("segment T1") == kinds("cable C9") == ["Cut list"] and kinds("S1") == ["Splices"]
    assert kinds("wire 99") == kinds("description") == kinds("circuit nobody") == []
