"""Rows of fields: a small caption over its value, or over an empty box where it is not known.

Takes fields with their share of the width; gives their height and draws them. What
a splice's block says above its diagram and below it is told here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area
from ..drawing.revision_marks import SIDE, draw_triangle
from .change_marks import STRUCK, cloud_box, cloud_text, draw_struck_lines, struck_lines
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
CLOUD_ROOM = 1.4
"""Between caption and value for the upper edge of a cloud."""
TRIANGLE_APART = 1.8
"""Between a value that differs from before and the triangle right of it."""


@dataclass(frozen=True, slots=True)
class Field:
    """``value`` None: an empty box; ``share`` of the row's width, or of the sum of shares where that is above 1.

    ``was``: what it said in the version before where that differs, "" where nothing stood there; None: no difference.
    ``blank``: what an empty box stands for, in words, to be struck through where the field is gone.
    """

    caption: str
    value: str | None
    share: float
    was: str | None = None
    blank: str = "not known"


def with_changes(now: Sequence[Field], before: Sequence[Field]) -> tuple[Field, ...]:
    """The fields of a row, each with what it said before; at its end those that only the version before had."""
    was = {field.caption: field for field in before}
    fields = [_with_change(field, was.pop(field.caption, None)) for field in now]
    return (*fields, *(replace(field, value="", was=field.value or field.blank) for field in was.values()))


def _with_change(field: Field, before: Field | None) -> Field:
    old = before.value if before else ""
    return field if field.value == old else replace(field, was=old or "")


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
    second += [Field("Further members, not found yet", None, 0.28, blank="more, not known")] if splice.members_unknown else []
    return (first, tuple(second)) if second else (first,)


def fields_height(row: Sequence[Field], width: float) -> float:
    """Height of a row, in mm."""
    return _first(row) + BELOW + max(_tall(field, room) for field, _, room in _columns(row, width))


def _first(row: Sequence[Field]) -> float:
    """From the top of a row to the baseline of its values, which stand lower where one has a cloud."""
    return FIRST + (CLOUD_ROOM if any(field.was is not None for field in row) else 0.0)


def _tall(field: Field, room: float) -> float:
    """From the first line of a value to its last, old values included."""
    now, old = _lines(field.value, room), _old(field, room)
    return LINE * (len(now) - 1) + (_apart(field) + LINE * (len(old) - 1) if old else 0.0)


def draw_fields(pen: Pen, area: Area, y: float, row: Sequence[Field], letter: str = "") -> float:
    """Draws a row from y on; returns its lowest edge. ``letter``: of the revision, for the triangle beside what differs."""
    base = y + _first(row)
    for field, x, room in _columns(row, area.w):
        pen.text(area.x + x, y + CAPTION, cut(field.caption, room, CAPTION, "bold"), CAPTION, weight="bold", tag="field")
        box = min(room, 42.0)
        if field.value is None:
            pen.rect(area.x + x, base + BOX_BELOW - BOX, box, BOX, THIN, tag="to fill")
        lines = _lines(field.value, room)
        for place, line in enumerate(lines):
            pen.text(area.x + x, base + place * LINE, line, DATA, tag="field")
        if field.was is None:
            continue
        old = _old(field, room)
        if field.value is None:
            cloud_box(pen, area.x + x, base + BOX_BELOW - BOX, box, BOX)
        elif field.value:
            cloud_text(pen, area.x + x, base, _widest(lines), len(lines))
        draw_struck_lines(pen, area.x + x, base + LINE * (len(lines) - 1) + _apart(field), old)
        beside = box if field.value is None else _widest(lines if field.value else old)
        draw_triangle(pen, area.x + x + beside + TRIANGLE_APART, base - DATA - 0.6, letter)
    return y + fields_height(row, area.w)


def _apart(field: Field) -> float:
    """From the baseline of a value to that of the old one below it; where no value stands, the old one takes its place."""
    return 0.0 if field.value == "" else STRUCK + (BOX_BELOW if field.value is None else 0.0)


def _widest(lines: Sequence[str]) -> float:
    return max((text_width(line, DATA) for line in lines), default=0.0)


def _old(field: Field, room: float) -> tuple[str, ...]:
    return struck_lines(field.was or "", room, MOST_LINES)


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
        yield field, x, width * field.share / total - BETWEEN - (SIDE + TRIANGLE_APART if field.was is not None else 0.0)
        x += width * field.share / total


def _lines(value: str | None, room: float) -> list[str]:
    lines = wrap(value or "", room, DATA)
    return lines if len(lines) <= MOST_LINES else [*lines[:MOST_LINES - 1], cut(" ".join(lines[MOST_LINES - 1:]), room, DATA)]
