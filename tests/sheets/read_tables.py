"""Reads the tables of a page back from its marks: rules and texts, never tags.

A table is what stands between two upright wide rules that begin and end together; its rows are parted by level rules, its cells by
upright ones. The first row has the heads; a row without upright rules is a band across the table.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sheets.checks import inside_frame

from harnessdoc.drawing.record import WIDE, Drawing, Line, Rect, Text

NEAR = 0.05


@dataclass(frozen=True, slots=True)
class Cell:
    """lines: the texts from top to bottom, those of one height from left to right as one; boxes: how many frames to fill by hand, or swatches."""

    lines: tuple[str, ...]
    marks: tuple[Text, ...]
    boxes: int

    @property
    def text(self) -> str:
        return " ".join(self.lines)


@dataclass(frozen=True, slots=True)
class Row:
    """band: the text of a row across the table, else ""; cells: head -> cell (of a column without a head: "")."""

    band: str
    cells: dict[str, Cell]

    def __getitem__(self, head: str) -> str:
        return self.cells[head].text


@dataclass(frozen=True, slots=True)
class Table:
    heads: tuple[str, ...]
    rows: tuple[Row, ...]


def tables(pages: Iterable[Drawing]) -> list[Table]:
    """Every table of some pages, in order; a table that goes on over a page is one a page."""
    return [table for page in pages for table in _tables_of(page)]


def table_with(pages: Iterable[Drawing], *heads: str) -> list[Row]:
    """The rows of all tables that have these heads, one after the other."""
    return [row for table in tables(pages) if set(heads) <= set(table.heads) for row in table.rows]


def _tables_of(page: Drawing) -> Iterator[Table]:
    lines = [mark for mark in page.marks if isinstance(mark, Line)]
    upright = [line for line in lines if abs(line.x1 - line.x2) < NEAR]
    level = [line for line in lines if abs(line.y1 - line.y2) < NEAR]
    sides = sorted((line for line in upright if line.width == WIDE), key=lambda line: (line.y1, line.x1))
    for left, right in zip(sides, sides[1:], strict=False):
        if abs(left.y1 - right.y1) > NEAR or abs(left.y2 - right.y2) > NEAR or right.x1 - left.x1 < 20:
            continue
        rules = sorted({round(line.y1, 3) for line in level if abs(line.x1 - left.x1) < NEAR and abs(line.x2 - right.x1) < NEAR and left.y1 - NEAR < line.y1 < left.y2 + NEAR})
        inner = [line for line in upright if left.x1 + NEAR < line.x1 < right.x1 - NEAR and all(any(abs(y - rule) < NEAR for rule in rules) for y in (line.y1, line.y2))]
        rows = [list(_cells(page, left.x1, right.x1, inner, top, bottom)) for top, bottom in zip(rules, rules[1:], strict=False)]
        heads = tuple(cell.text for cell in rows[0])
        yield Table(heads, tuple(Row(row[0].text, {}) if len(row) == 1 < len(heads) else Row("", dict(zip(heads, row, strict=True))) for row in rows[1:]))


def _cells(page: Drawing, left: float, right: float, inner: list[Line], top: float, bottom: float) -> Iterator[Cell]:
    middle = (top + bottom) / 2
    edges = [left, *sorted({round(line.x1, 3) for line in inner if line.y1 < middle < line.y2}), right]
    for start, end in zip(edges, edges[1:], strict=False):
        here = [text for text in inside_frame(page) if start < text.start()[0] < end and top < text.y < bottom]
        boxes = sum(isinstance(mark, Rect) and start < mark.x < end and top < mark.y < bottom and mark.width > 0 for mark in page.marks)
        by_height: dict[float, list[Text]] = {}
        for text in sorted(here, key=lambda text: (round(text.y, 2), text.start()[0])):
            by_height.setdefault(round(text.y, 2), []).append(text)
        yield Cell(tuple(" ".join(text.text for text in level) for level in by_height.values()), tuple(here), boxes)
