"""The lid of a box with what changed since the version before: positions that differ, are new, or are gone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sheets.checks import assert_tidy, texts
from sheets.marked_contexts import all_of, edited, since_context
from sheets.revision_reader import clouded, clouded_boxes, struck, triangles

from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.record import Drawing, Rect
from harnessdoc.sheets.box import draw_box

papers = pytest.mark.parametrize("paper", PAPERS)

BOX = """
    boxes:
      B1: {title: fuse box, place: left wing, lid: [[F1, F2, F3], [F4, F5, gap]], spare: [F5]}
    fuses:
      F1: {box: B1, rating: 10 A, type: blade, feeds: lamps}
      F2: {box: B1, rating: 15 A, type: blade, feeds: horn}
      F3: {box: B1, rating: 20 A, type: blade, feeds: pump}
      F4: {box: B1, rating: 5 A, type: blade, feeds: clock}
"""


def box(old: str, new: str, **options: str) -> tuple[Drawing, ...]:
    context = since_context(old, new, **options)
    return draw_box(context, context.sheet_of["B1"])


def marked_positions(pages: tuple[Drawing, ...]) -> set[str]:
    return {mark.tag.removeprefix("changed:") for page in pages for mark in page.marks if mark.tag.startswith("changed:")}


@pytest.mark.parametrize(("old", "new", "positions", "was"), [
    ("rating: 10 A", "rating: 7.5 A", {"F1"}, {"10 A"}), ("feeds: horn", "feeds: horns", {"F2"}, {"horn"}), ("[[F1, F2, F3]", "[[F2, F1, F3]", {"F1", "F2"}, {"row 1, place 1", "row 1, place 2"}),
    ("[F4, F5, gap]], spare: [F5]", "[F4, gap, F5]], spare: [F5]", {"F5"}, {"row 2, place 2"}), ("[F4, F5, gap]], spare: [F5]", "[F4, gap, gap]]", set(), {"row 2, place 2", "spare"}),
    ("[F4, F5, gap]], spare: [F5]", "[F4, F5, F6]], spare: [F5, F6]", {"F6"}, set()), ("view", "view", set(), set()),
])
def test_the_positions_that_differ(old: str, new: str, positions: set[str], was: set[str]) -> None:
    text = BOX if old != "view" else BOX + "      # view\n"
    pages = box(text, edited(text, (old, new)))
    assert marked_positions(pages) == positions
    assert was <= set(all_of(pages, struck))
    assert ("On the lid" in all_of(pages, texts)) == bool(positions or was)
    for page in pages:
        assert_tidy(page)


def test_a_position_that_is_gone_has_a_dashed_place() -> None:
    gone = edited(BOX, ("F2, F3], [F4, F5, gap]", "gap, F3], [F4, gap, F5]"), ("      F2: {box: B1, rating: 15 A, type: blade, feeds: horn}\n", ""))
    page = box(BOX, gone)[0]
    places = {mark.tag: mark for mark in page.marks if isinstance(mark, Rect) and mark.tag in ("gone:F2", "gone:F5", "position:F1", "position:F4")}
    assert places["gone:F2"].dash and places["gone:F5"].dash and not places["position:F1"].dash
    assert (places["gone:F2"].y, places["gone:F5"].y) == (places["position:F1"].y, places["position:F4"].y)
    assert {"F2", "F5"} <= set(struck(page)) & clouded(page)
    assert "seen from the lid side; hatched: spare; dashed: no longer there" in texts(page)
    assert triangles(page)
    # What something else has taken the place of is told in the table alone; and where the lid is seen from another side, all are.
    for new in (edited(BOX, ("F1, F2, F3]", "F1, F4, F3]"), ("[F4, F5, gap]", "[gap, F5, gap]")), edited(gone, ("spare: [F5]", "spare: [F5], lid-view: from below"))):
        assert "F2" not in set(struck(box(BOX, new)[0])) & clouded(box(BOX, new)[0])
    assert "dashed" not in " ".join(texts(box(BOX, edited(BOX, ("10 A", "15 A")))[0]))


def test_a_rating_that_is_no_longer_known_is_an_empty_box() -> None:
    page = box(BOX, edited(BOX, ("rating: 10 A", "rating: unknown")))[0]
    lid = next(mark for mark in page.marks if isinstance(mark, Rect) and mark.tag == "position:F1")
    boxes = [mark for mark in page.marks if isinstance(mark, Rect) and mark.tag == "to fill"]
    assert clouded_boxes(replace(page, marks=tuple(mark for mark in page.marks if not mark.tag.startswith("unknown:")))) == 1
    assert [one for one in boxes if lid.x < one.x and one.x + one.w < lid.x + lid.w and lid.y < one.y < lid.y + lid.h] == boxes and len(boxes) == 1
    assert not [mark for mark in box(BOX.replace("rating: 10 A", "rating: unknown"), BOX)[0].marks if mark.tag == "to fill"]


@papers
def test_a_crowded_lid_is_tidy(paper: str) -> None:
    rows = ", ".join("[" + ", ".join(f"F{row * 20 + n}" for n in range(1, 21)) + "]" for row in range(6))
    text = f"boxes:\n  B1:\n    lid: [{rows}]\nfuses:\n" + "\n".join(f"  F{n}: {{box: B1, rating: 10 A, type: blade, feeds: something long}}" for n in range(1, 121)) + "\n"
    pages = box(text, text.replace("rating: 10 A", "rating: 15 A"), paper=paper)
    assert len(marked_positions(pages)) == 120
    for page in pages:
        assert_tidy(page)
    fewer = text.replace("F7, ", "gap, ").replace("  F7: {box: B1, rating: 10 A, type: blade, feeds: something long}\n", "")
    page = box(text, fewer, paper=paper)[0]
    assert_tidy(page)
    assert [mark.dash for mark in page.marks if mark.tag == "gone:F7"]
