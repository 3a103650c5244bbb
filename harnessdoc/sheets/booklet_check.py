"""The check sheet of the booklet: what a meter shows beside the road, step by step.

Takes a Context and the reference of the sheet; gives its pages. What is done once or on the bench (what must ring, what must not, first power), the
questions no program answers and the boxes to fill in are on the check sheet of the book.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..drawing.record import Drawing
from .cautions import caution_lines
from .check_readings import reading_blocks
from .context import Context, SheetRef
from .flow import Words, free_area
from .marking import Draft, marked_pages


def has_readings(context: Context) -> bool:
    """Whether there is anything to measure: the circuit is solved."""
    return next(reading_blocks(context, free_area(context.paper, "portrait").w, to_fill=False), None) is not None


def draw_booklet_check(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Volts and ohms to expect."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, _: SheetRef) -> Iterator[Draft]:
    for line in caution_lines(context, context.harness.contacts):
        yield Words(line, "bold", tag="caution")
    yield from reading_blocks(context, free_area(context.paper, "portrait").w, to_fill=False)
