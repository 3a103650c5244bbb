"""Box sheets: the lid, the fuses with what feeds them and what they feed, the bars."""

from __future__ import annotations

from pathlib import Path

import pytest
from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of
from sheets.pinout_rows import table_rows

from harnessdoc.drawing.record import Drawing, Line, Rect, Text
from harnessdoc.sheets.box import draw_box
from harnessdoc.sheets.context import Context

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"

HARNESS = """
    colours: IEC 60757
    connectors:
      X1: {title: loads, face: [[1..8]], view: wire side}
    boxes:
      B1:
        title: fuse box
        place: left wing
        lid: [[F2, F1, gap], [K1, F9, L1]]
        spare: [F9]
        bars: {30: [F1.1, F2.1, K1.30, X1.8]}
    fuses:
      F1: {box: B1, rating: 20 A, type: blade, feeds: pump}
      F2: {box: B1}
      F3: {box: B1, rating: 5 A, type: blade}
    fusible-links:
      L1: {box: B1, size: 3 mm2, feeds: all}
    relays:
      K1: {title: main relay, box: B1, rating: 30 A, commanded-by: key, feeds: F1}
    diodes:
      D1: {title: across, box: B1, rating: 1 A}
    wires:
      1: {from: F1.2, to: X1.1, size: 1.5 mm2, colour: RD/BK}
      2: {from: B1.30, to: X1.2, size: 6 mm2, colour: RD}
      3: {from: F3.1, to: X1.3, size: 1 mm2, colour: BK}
      4: {from: D1.A, to: X1.4, size: 1 mm2, colour: BK}
"""


def _pages(context: Context, box: str = "B1") -> tuple[Drawing, ...]:
    return draw_box(context, context.sheet_of[box])


def _rows(head: str, context: Context) -> dict[str, list[list[str]]]:
    return {row[0][0]: row for row in table_rows(_pages(context), head)}


def test_fuses_in_the_order_of_the_lid_then_the_rest() -> None:
    rows = _rows("Position", context_of(HARNESS))
    assert [name for name in rows if name[0] in "FL"] == ["F2", "F1", "L1", "F3"]
    assert rows["F1"] == [["F1", "20 A", "yellow", "blade", "pump", "bar", "B1.30 → 8", "1", "1.5 mm²", "RD/BK", "X1.1 → 7"]]
    assert rows["F3"] == [["F3", "5 A", "tan", "blade", "3", "X1.3 → 7"]]
    assert rows["L1"] == [["L1", "3 mm²", "fusible link", "all"]]
    assert rows["F2"] == [["F2", "bar", "B1.30 → 8"]]


def test_bars_name_all_they_join() -> None:
    row = _rows("Bar", context_of(HARNESS))["B1.30"]
    assert row == [["B1.30", "F1.1, F2.1, K1.30", "2", "6 mm²", "RD", "X1.2 → 7"], ["X1.8 → 7"]]


def test_relays_and_other_parts() -> None:
    context = context_of(HARNESS)
    assert _rows("Position", context)["K1 → 9"] == [["K1 → 9", "main relay", "30 A", "key", "F1"]]
    assert _rows("Part", context)["D1"][0] == ["D1", "across", "diode", "A", "4", "1 mm²", "BK", "X1.4 → 7"]


def test_a_bar_with_many_wires_loses_none() -> None:
    wires = "\n".join(f"      {n}: {{from: B1.30, to: X1.{n}, size: 1 mm2, colour: BK}}" for n in range(1, 61))
    fuses = ", ".join(f"F{n}.1" for n in range(1, 101))
    context = context_of(f"""
    connectors:
      X1: {{face: [[1..60]], view: wire side}}
    boxes:
      B1: {{bars: {{30: [{fuses}]}}}}
    fuses: {{{", ".join(f"F{n}: {{box: B1}}" for n in range(1, 101))}}}
    wires:
""" + wires, paper="a5")
    pages = _pages(context)
    said = [text for page in pages for text in texts(page)]
    assert [f"X1.{n} → 7" for n in range(1, 61) if f"X1.{n} → 7" not in said] == []
    joins = {name for text in said for name in text.split(", ")}
    assert {f"F{n}.1" for n in range(1, 101)} <= joins
    for page in pages:
        assert_tidy(page)


def _positions(page: Drawing) -> dict[str, Rect]:
    return {mark.tag.removeprefix("position:"): mark for mark in page.marks if isinstance(mark, Rect) and mark.tag.startswith("position:")}


def test_the_lid_as_it_is_looked_at() -> None:
    page = _pages(context_of(HARNESS))[0]
    at = _positions(page)
    assert set(at) == {"F1", "F2", "K1", "F9", "L1"}
    assert at["F2"].x < at["F1"].x
    assert at["F2"].y == at["F1"].y < at["K1"].y == at["F9"].y
    assert at["F1"].x == at["F9"].x
    assert at["L1"].x > at["F9"].x
    said = texts(page)
    assert "seen from the lid side; hatched: spare" in said
    level = [mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "position:F1"]
    assert level == ["F1", "20 A", "pump"]


def test_only_a_spare_position_is_hatched() -> None:
    page = _pages(context_of(HARNESS))[0]
    frame = _positions(page)["F9"]
    hatched = {mark.tag for mark in page.marks if isinstance(mark, Line) and mark.tag.startswith("position:")}
    assert hatched == {"position:F9"}
    for mark in page.marks:
        if isinstance(mark, Line) and mark.tag == "position:F9":
            assert frame.x - 0.001 <= min(mark.x1, mark.x2) < max(mark.x1, mark.x2) <= frame.x + frame.w + 0.001
            assert frame.y <= min(mark.y1, mark.y2) <= max(mark.y1, mark.y2) <= frame.y + frame.h + 0.001
    assert "F9" in texts(page)


def test_a_box_without_a_lid_says_so() -> None:
    page, = _pages(context_of("boxes: {B1: {title: empty}}"))
    assert "The layout of the lid is not in the description." in texts(page)
    assert_tidy(page)


def test_an_unknown_rating_is_a_box() -> None:
    tags = [mark.tag for page in _pages(context_of(HARNESS)) for mark in page.marks if isinstance(mark, Rect)]
    assert tags.count("unknown:rating") == 1


LONG = "a text that goes on and on, further than anybody would write on a label at the bench, " * 3
HARD = f"""
    title: {LONG!r}
    boxes:
      B1:
        title: {LONG!r}
        note: {LONG!r}
        lid-view: {LONG!r}
        lid: [{", ".join("[" + ", ".join(f"F{row * 24 + n}" for n in range(1, 25)) + "]" for row in range(12))}]
        spare: [{", ".join(f"F{n}" for n in range(2, 289))}]
    fuses:
      F1: {{box: B1, rating: 20 A, type: {LONG!r}, feeds: {LONG!r}}}
"""


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
@pytest.mark.parametrize("text", [HARNESS, HARD, LINNET.read_text(encoding="utf-8")], ids=["small", "hard", "linnet"])
def test_sheets_are_tidy(paper: str, text: str) -> None:
    context = context_of(text, paper=paper)
    for box in context.harness.boxes:
        for page in _pages(context, box):
            assert_tidy(page)
