"""A page of a circuit diagram that does not fit its paper: its wires in words, so that nothing is printed in the fold, over the foot or beyond the frame.

Takes a pen, the CircuitBook and a page; draws the page where it fits, else what it lacks and a line for each of its wires. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from ..circuits.draw_page import draw_page
from ..circuits.figure import PITCH, TEXT
from ..circuits.printed import Printed
from ..circuits.strands import Strand
from ..drawing.lettering import cut, wrap
from ..drawing.page import FOLD_CLEAR
from ..drawing.pen import Pen
from ..drawing.record import Drawing, Text
from .circuit_pages import CircuitBook, CircuitPage

UNFIT_TAG = "unfit"
BETWEEN = 4.0
"""Between columns."""
COLUMN = 80.0
"""A column is about as wide."""


def draw_or_list(pen: Pen, book: CircuitBook, page: CircuitPage) -> None:
    """The diagram, or its wires where it does not fit."""
    area, is_spread = page.area, book.context.paper.booklet == "spread"
    widths = [area.w / 2 - FOLD_CLEAR] * 2 if is_spread else [area.w]
    lefts = [area.x, area.x + area.w / 2 + FOLD_CLEAR] if is_spread else [area.x]
    if page.lacks_mm == 0.0:
        draw_page(pen, page.graph, page.placed, area.x, area.y, [(left, left + width) for left, width in zip(lefts, widths, strict=True)])
        return
    said = wrap(unfit_words(page), widths[0], TEXT, "bold")
    for number, line in enumerate(said):
        pen.text(lefts[0], area.y + TEXT + number * PITCH, line, TEXT, weight="bold", tag=UNFIT_TAG)
    top = area.y + (len(said) + 1) * PITCH + TEXT
    rows = max(1, int((area.bottom - top) / PITCH))
    columns = []
    for left, width in zip(lefts, widths, strict=True):
        count = max(1, round(width / COLUMN))
        each = (width - (count - 1) * BETWEEN) / count
        columns += [(left + number * (each + BETWEEN), each) for number in range(count)]
    lines = list(_lines(book, page, min(width for _, width in columns)))
    if len(lines) > rows * len(columns):
        lines = [*lines[: rows * len(columns) - 1], "and more: the cut list has every wire"]
    for number, line in enumerate(lines):
        column, row = divmod(number, rows)
        pen.text(columns[column][0], top + row * PITCH, cut(line, columns[column][1], TEXT), TEXT, tag=UNFIT_TAG)


def unfit_words(page: CircuitPage) -> str:
    """What a page lacks, in words."""
    right, down = (ceil(over) for over in page.placed.over_mm)
    lacking = [f"{over} mm more {which} than the {has:.0f} mm there are" for over, which, has in ((right, "across", page.area.w), (down, "down", page.area.h)) if over]
    return f"This diagram needs {' and '.join(lacking)}. Its wires:"


def unfit_on(page: Drawing) -> str:
    """The words of a page that shows wires instead of a diagram, "" for any other."""
    return " ".join(mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == UNFIT_TAG and mark.weight == "bold")


def _lines(book: CircuitBook, page: CircuitPage, width: float) -> Iterator[str]:
    """Wire by wire: number, size, colour, and its ends."""
    printed = Printed(book.context.harness, book.context.convention)
    for id in page.graph.strands:
        strand: Strand = book.strands.all[id]
        label = " ".join(piece.text for piece in printed.label(strand.wire) if piece.text) if strand.wire is not None else "joined inside"
        yield from wrap(f"{label}: {strand.a} to {strand.b}", width, TEXT)
