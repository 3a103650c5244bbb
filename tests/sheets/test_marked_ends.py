"""Far ends that one version lists and the other counts: what is struck is joined no longer."""

from __future__ import annotations

import pytest
from sheets.checks import assert_tidy
from sheets.contexts import ref_of
from sheets.marked_contexts import LETTER, since_context
from sheets.revision_reader import struck
from sheets.test_marking import cells, letters, rows

from harnessdoc.drawing.record import Drawing
from harnessdoc.sheets.box import draw_box
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.pinout import draw_pinout

HEAD = """
    connectors:
      A: {face: [[1..2]], view: wire side}
      B: {face: [[1..12]], view: wire side}
    splices: {S1: {}, S2: {}}
    wires:
      0: {from: A.1, to: S1, size: 1 mm2, colour: RD}
"""


def spliced(ends: str, *, splice: str = "S1", head: str = HEAD) -> str:
    """A wire from A.1 to a splice, from which a wire leads to each of some cavities of B (or ``unknown``)."""
    lines = [f"      {number}: {{from: {splice}, to: {end if end == 'unknown' else f'B.{end}'}, size: 1 mm2, colour: RD}}\n" for number, end in enumerate(ends.split(), start=1)]
    return head + "".join(lines)


def pages_of_a(old: str, new: str, **options: str) -> tuple[Drawing, ...]:
    context = since_context(old, new, **options)
    pages = draw_pinout(context, context.sheet_of["A"])
    for page in pages:
        assert_tidy(page)
    return pages


def said(old: str, new: str) -> tuple[list[str], list[str]]:
    """What stands in clouds in the table of A, and what is struck, without the numbers of sheets."""
    pages = pages_of_a(old, new)
    found = [cell.replace(" → 12", "").replace(" → 8", "").replace(" → 10", "") for cell in cells(pages)]
    return found, [text for page in pages for text in struck(page)]


@pytest.mark.parametrize("old, new, clouds, gone", [
    ("1 2 3", "1 2 3 4", ["S1 (4 ends) ~3 ends~"], ["3 ends"]),
    ("1", "1 2 3 4", ["S1 (4 ends) ~1 end~"], ["1 end"]),
    ("1 2 3 4", "1 2 3 4 5", ["S1 (5 ends) ~4 ends~"], ["4 ends"]),
    ("1 2 3 4 5", "1 2 3 4", ["S1 (4 ends) ~B.5~"], ["B.5"]),
    ("1 2 3", "1 2 4 5", ["S1 (4 ends) ~B.3~"], ["B.3"]),
    ("1 2 3 4", "1 2 3", [], ["B.4"]),
    ("1 2 3 4", "1 2 5", ["B.1 B.2 B.5 ~B.3 B.4~"], ["B.3", "B.4"]),
    ("1 2 3 4 5 6", "1 2", [], ["6 ends"]),
    ("1 2 unknown", "1 2 3 4", ["S1 (4 ends) ~3 ends~"], ["3 ends"]),
    ("1 2 3 unknown", "1 2 3", [], ["4 ends"]),
])
def test_only_what_is_joined_no_longer_is_struck_else_the_old_count(old: str, new: str, clouds: list[str], gone: list[str]) -> None:
    assert said(spliced(old), spliced(new)) == (clouds, gone)


def test_ends_under_another_name_are_still_joined() -> None:
    assert said(spliced("1 2 3"), spliced("1 2 3 4").replace("B: {", "BB: {").replace("B.", "BB.")) == (["S1 (4 ends) ~3 ends~"], ["3 ends"])
    assert said(spliced("1 2 3 4"), spliced("1 2 3").replace("B: {", "BB: {").replace("B.", "BB.")) == ([], ["B.4"])


def test_members_that_were_not_all_known() -> None:
    open_head = HEAD.replace("S1: {}", "S1: {members: [unknown]}")
    assert said(spliced("1 2 3 4", head=open_head), spliced("1 2 3 4")) == (["S1 (4 ends) ~4 ends, more unknown~"], ["4 ends, more unknown"])
    assert said(spliced("1 2 3", head=open_head), spliced("1 2 3 4")) == (["S1 (4 ends) ~3 ends, more unknown~"], ["3 ends, more unknown"])
    assert said(spliced("1 2 3 4"), spliced("1 2 3", head=open_head)) == ([], ["B.4"])


def test_a_wire_that_went_to_another_splice_has_the_old_one_struck() -> None:
    second = "".join(f"      {number + 10}: {{from: S2, to: B.{number}, size: 1 mm2, colour: RD}}\n" for number in (5, 6, 7, 8))
    old = spliced("1 2 3 4") + second
    assert said(old, old.replace("0: {from: A.1, to: S1,", "0: {from: A.1, to: S2,")) == (["S2 (4 ends) ~S1 (4 ends)~"], ["S1 (4 ends)"])
    assert said(old, old.replace("0: {from: A.1, to: S1,", "0: {from: A.1, to: B.2,").replace("2: {from: S1, to: B.2,", "2: {from: S1, to: B.9,")) == ([], ["B.1", "B.3", "B.4"])
    assert said(old, old.replace("0: {from: A.1, to: S1,", "0: {from: A.1, to: B.9,")) == (["B.9 ~S1 (4 ends)~"], ["S1 (4 ends)"])


def test_a_splice_with_nothing_behind_it_is_still_there() -> None:
    assert said(HEAD, spliced("1 2 3 4")) == (["S1 (4 ends) ~0 ends~"], ["0 ends"])
    assert said(spliced("1 2 3 4"), HEAD)[1] == ["4 ends"]


def test_the_row_has_its_triangle_and_no_word() -> None:
    pages = pages_of_a(spliced("1 2 3"), spliced("1 2 3 4"))
    assert letters(pages)[-1] == LETTER and not {"new", "gone"} & {word for row in rows(pages, "1") for word in row.split()}


def test_where_the_count_is_the_same_nothing_is_marked() -> None:
    assert said(spliced("1 2 3 4"), spliced("1 2 3 5")) == ([], [])


def test_what_feeds_a_fuse() -> None:
    head = HEAD + "      9: {from: S1, to: F1.1, size: 1 mm2, colour: RD}\n"
    head = head.replace("    splices:", "    boxes: {X: {lid: [[F1]]}}\n    fuses: {F1: {box: X}}\n    splices:")
    context = since_context(spliced("1 2", head=head), spliced("1 2 3", head=head))
    pages = draw_box(context, ref_of(context, SheetKind.BOX))
    assert [text for page in pages for text in struck(page)] == ["3 ends"]
