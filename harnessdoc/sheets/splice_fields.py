"""Rows of fields: a small caption over its value, or over an empty box where it is not known.

Takes fields with their share of the width; gives their height and draws them. What
a splice's block says above its diagram and below it is told here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area
from .context import Context
from .splice_block import DATA, LINE, Block
from .splice_words import copper_words, place_words, shrink_words, sleeve_words

CAPTION = 1.8
FIRST = 6.0
"""From the top of a field to the baseline of its value."""
BELOW = 2.5
BOX, BOX_BELOW = 4.6, 1.5
"""Height of an empty box, and how far it reaches below the baseline."""
BETWEEN = 3.0
MOST_LINES = 3


@dataclass(frozen=True, slots=True)
class Field:
    """``value`` None: an empty box; ``share`` of the row's width, or of the sum of shares where that is above 1."""

    caption: str
    value: str | None
    share: float


def fields_above(context: Context, block: Block) -> tuple[Field, ...]:
    """Where the splice sits and how it is made, with room for the name of who made it."""
    splice = block.splice
    place = place_words(context.harness, context.geometry, splice, context.options.units)
    return Field("Place along the bundle", place, 0.5), Field("Method", splice.method or None, 0.24), Field("Made and pull-tested by", None, 0.26)


def fields_below(context: Context, block: Block) -> tuple[tuple[Field, ...], ...]:
    """Copper, sleeve and heat-shrink; in a second row what was noted, where anything was."""
    splice, station = block.splice, block.station
    first = (
        Field("Copper in all", copper_words(block.wires, splice.members_unknown), 0.19), Field("Crimp sleeve", sleeve_words(splice, station), 0.4),
        Field("Heat-shrink", shrink_words(splice, station), 0.41),
    )
    second = [Field(caption, text, 0.36) for caption, text in (("Evidence", splice.evidence), ("Note", splice.note)) if text]
    second += [Field("Further members, not found yet", None, 0.28)] if splice.members_unknown else []
    return (first, tuple(second)) if second else (first,)


def fields_height(row: Sequence[Field], width: float) -> float:
    """Height of a row, in mm."""
    return FIRST + BELOW + LINE * (max(len(_lines(field.value, room)) for field, _, room in _columns(row, width)) - 1)


def draw_fields(pen: Pen, area: Area, y: float, row: Sequence[Field]) -> float:
    """Draws a row from y on; returns its lowest edge."""
    for field, x, room in _columns(row, area.w):
        pen.text(area.x + x, y + CAPTION, cut(field.caption, room, CAPTION, "bold"), CAPTION, weight="bold", tag="field")
        if field.value is None:
            pen.rect(area.x + x, y + FIRST + BOX_BELOW - BOX, min(room, 42.0), BOX, THIN, tag="to fill")
        for place, line in enumerate(_lines(field.value, room)):
            pen.text(area.x + x, y + FIRST + place * LINE, line, DATA, tag="field")
    return y + fields_height(row, area.w)


def title_lines(title: str, beside_width: float, width: float, height: float) -> tuple[str, tuple[str, ...]]:
    """A title beside an id where it fits there, ``height`` mm high; else none there, and at most two lines below."""
    if text_width(title, height) <= beside_width:
        return title, ()
    lines = wrap(title, width, DATA)
    return "", tuple(lines) if len(lines) <= 2 else (lines[0], cut(" ".join(lines[1:]), width, DATA))


def _columns(row: Sequence[Field], width: float) -> Iterator[tuple[Field, float, float]]:
    """Each field with its x and the width of its text."""
    total = max(1.0, sum(field.share for field in row))
    x = 0.0
    for field in row:
        yield field, x, width * field.share / total - BETWEEN
        x += width * field.share / total


def _lines(value: str | None, room: float) -> list[str]:
    lines = wrap(value or "", room, DATA)
    return lines if len(lines) <= MOST_LINES else [*lines[:MOST_LINES - 1], cut(" ".join(lines[MOST_LINES - 1:]), room, DATA)]
