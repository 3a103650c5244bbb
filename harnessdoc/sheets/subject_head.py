"""Captions and values of a sheet's subject, in one or more columns of lines.

Takes fields, each a caption and one or more items; draws the captions small and the
values beside them. What is not known is an empty box to be filled by hand. All lengths
in mm.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.table import EmptyBox
from .stacks import HEAD, LINE, Item, break_item, draw_item

ID, TITLE = 5.0, 3.5
TITLE_LINE = 6.0
ABOVE = 1.0
"""Between what stands above and the id, which is taller than other lines."""
CAPTION_WIDTH = 20.0
BOX_WIDTH = 28.0
"""An empty box to be filled by hand."""
FIELD_LINES = 3
"""Lines that one item of a field may take."""

Field = tuple[str, Sequence[Item]]


def title_height(name: str, title: str, width: float) -> float:
    """Height of an id with its title."""
    return ABOVE + ID + len(_titles(name, title, width)[2]) * TITLE_LINE + 2.0


def draw_title(pen: Pen, x: float, y: float, name: str, title: str, width: float, tag: str) -> float:
    """Draws an id large and its title beside it, or below where it is long; returns y below."""
    shown, beside, below = _titles(name, title, width)
    y += ABOVE + ID
    wide = pen.text(x, y, shown, ID, weight="bold", tag=tag)
    pen.text(x + wide + 3.0, y, beside, TITLE, weight="bold", tag=tag)
    for line in below:
        y += TITLE_LINE
        pen.text(x, y, line, TITLE, weight="bold", tag=tag)
    return y + 2.0


def _titles(name: str, title: str, width: float) -> tuple[str, str, list[str]]:
    """The id, the title that stands beside it or "", and the lines of the title below it."""
    shown = cut(name, width, ID, "bold")
    if text_width(title, TITLE, "bold") <= width - text_width(shown, ID, "bold") - 3.0:
        return shown, title, []
    lines = wrap(title, width, TITLE, "bold")
    return shown, "", lines if len(lines) < 3 else [lines[0], cut(" ".join(lines[1:]), width, TITLE, "bold")]


def fields_height(fields: Sequence[Field], width: float) -> float:
    """Height of fields in ``width``."""
    return sum(len(items) for _, items in _broken(fields, width)) * LINE + 1.0


def draw_fields(pen: Pen, x: float, y: float, fields: Sequence[Field], width: float, tag: str) -> None:
    """Draws fields one under another."""
    y += LINE
    for caption, items in _broken(fields, width):
        pen.text(x, y, cut(caption, CAPTION_WIDTH - 1.0, HEAD), HEAD, tag=tag)
        for item in items:
            room = width - CAPTION_WIDTH
            draw_item(pen, x + CAPTION_WIDTH, y, min(BOX_WIDTH, room) if isinstance(item, EmptyBox) else room, item)
            y += LINE


def _broken(fields: Sequence[Field], width: float) -> list[tuple[str, list[Item]]]:
    return [(caption, [line for item in items for line in break_item(item, width - CAPTION_WIDTH, FIELD_LINES)]) for caption, items in fields]
