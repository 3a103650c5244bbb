"""Captions and values of a sheet's subject, in one or more columns of lines.

Takes fields, each a caption and one or more items; draws the captions small and the
values beside them. What is not known is an empty box to be filled by hand. A value that
differs from the version before (a ``Clouded`` item) has a cloud, the old one struck
through below it and the revision triangle beside it; so has a title. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.revision_marks import SIDE, draw_struck, draw_triangle
from ..drawing.table import PAD, Clouded, EmptyBox, Struck
from .change_marks import DATA, DOWN, STRUCK, UP, cloud_box, cloud_text
from .stacks import BOX_HEIGHT, HEAD, LINE, Item, break_item, draw_item, natural_width

ID, TITLE = 5.0, 3.5
TITLE_LINE = 6.0
ABOVE = 1.0
"""Between what stands above and the id, which is taller than other lines."""
CAPTION_WIDTH = 20.0
BOX_WIDTH = 28.0
"""An empty box to be filled by hand."""
FIELD_LINES = 3
"""Lines that one item of a field may take."""

CLOUD_ROOM = UP + 0.8 - LINE
"""Between the line above and a value with a cloud, more than between two lines."""
TITLE_CLOUD_ROOM = 2.0
TRIANGLE_APART = 1.8
CHANGED_LINE = 6.5
"""Height of the line under a title that says what it was."""

Field = tuple[str, Sequence[Item]]


@dataclass(frozen=True, slots=True)
class Renamed:
    """How a subject's id and title differ from the version before: ``was_name`` and ``was_title`` as they were, both None for a new subject."""

    name: str
    title: str
    was_name: str | None
    was_title: str | None
    letter: str

    @property
    def words(self) -> Iterator[tuple[str, str]]:
        """What stands under the title: words and what is struck through behind them."""
        if self.was_name is None:
            yield "new", ""
            return
        if self.was_name != self.name:
            yield "id was", self.was_name
        if self.was_title != self.title:
            yield ("title was", self.was_title) if self.was_title else ("title was not stated", "")



def title_height(name: str, title: str, width: float, renamed: Renamed | None = None) -> float:
    """Height of an id with its title, and with what they were where they are ``renamed``."""
    return ABOVE + ID + len(_titles(name, title, width)[2]) * TITLE_LINE + 2.0 + (TITLE_CLOUD_ROOM + CHANGED_LINE if renamed else 0.0)


def draw_title(pen: Pen, x: float, y: float, name: str, title: str, width: float, tag: str, renamed: Renamed | None = None) -> float:
    """Draws an id large and its title beside it, or below where it is long; returns y below."""
    shown, beside, below = _titles(name, title, width)
    y += ABOVE + ID + (TITLE_CLOUD_ROOM if renamed else 0.0)
    top = y
    wide = pen.text(x, y, shown, ID, weight="bold", tag=tag)
    pen.text(x + wide + 3.0, y, beside, TITLE, weight="bold", tag=tag)
    for line in below:
        y += TITLE_LINE
        pen.text(x, y, line, TITLE, weight="bold", tag=tag)
    return _draw_renamed(pen, x, top, y, renamed, wide, beside, below, width) if renamed else y + 2.0


def _draw_renamed(pen: Pen, x: float, top: float, low: float, renamed: Renamed, wide: float, beside: str, below: list[str], width: float) -> float:
    """Clouds round an id and a title that differ, and under them the triangle with what they were; returns y below."""
    if renamed.name != renamed.was_name:
        cloud_text(pen, x, top, wide, height=ID)
    if renamed.was_name is not None and renamed.title != renamed.was_title and beside:
        cloud_text(pen, x + wide + 3.0, top, text_width(beside, TITLE, "bold"), height=TITLE)
    draw_triangle(pen, x, low + 2.4, renamed.letter)
    at, base = x + SIDE + TRIANGLE_APART, low + 2.4 + 3.7
    for words, was in renamed.words:
        room = x + width - at - text_width(words, DATA) - TRIANGLE_APART
        if room < 0:
            break
        at += pen.text(at, base, words, DATA, tag="changed") + TRIANGLE_APART
        at += draw_struck(pen, at, base, cut(was, room, DATA), DATA) + 2 * TRIANGLE_APART
    return low + 2.0 + CHANGED_LINE


def _titles(name: str, title: str, width: float) -> tuple[str, str, list[str]]:
    """The id, the title that stands beside it or "", and the lines of the title below it."""
    shown = cut(name, width, ID, "bold")
    if text_width(title, TITLE, "bold") <= width - text_width(shown, ID, "bold") - 3.0:
        return shown, title, []
    lines = wrap(title, width, TITLE, "bold")
    return shown, "", lines if len(lines) < 3 else [lines[0], cut(" ".join(lines[1:]), width, TITLE, "bold")]


@dataclass(frozen=True, slots=True)
class _Line:
    """One item of a field: its baseline below the top of all fields, the caption before it, and the triangle's room right of it taken off."""

    item: Item
    base: float
    caption: str = ""


@dataclass(frozen=True, slots=True)
class _Laid:
    """A field laid out; ``clouded`` of its lines, from the first on, stand in a cloud; ``is_changed``: it has a triangle."""

    lines: tuple[_Line, ...]
    clouded: int
    is_changed: bool


def fields_height(fields: Sequence[Field], width: float) -> float:
    """Height of fields in ``width``."""
    return _lay_fields(fields, width)[1] + 1.0


def draw_fields(pen: Pen, x: float, y: float, fields: Sequence[Field], width: float, tag: str, letter: str = "") -> None:
    """Draws fields one under another; ``letter``: of the revision, in the triangle beside what differs."""
    room = width - CAPTION_WIDTH
    for field in _lay_fields(fields, width)[0]:
        for line in field.lines:
            pen.text(x, y + line.base, cut(line.caption, CAPTION_WIDTH - 1.0, HEAD), HEAD, tag=tag)
            draw_item(pen, x + CAPTION_WIDTH, y + line.base, min(BOX_WIDTH, room) if isinstance(line.item, EmptyBox) else room, line.item)
        if field.is_changed:
            _mark_field(pen, x + CAPTION_WIDTH, y, field, room, letter)


def _mark_field(pen: Pen, x: float, y: float, field: _Laid, room: float, letter: str) -> None:
    """The cloud round a value and the triangle beside it."""
    first, new = field.lines[0], [line.item for line in field.lines[:field.clouded]]
    wide = max(min(BOX_WIDTH, room) if isinstance(item, EmptyBox) else natural_width(item) - 2 * PAD for item in new or [first.item])
    if new and isinstance(first.item, EmptyBox):
        cloud_box(pen, x, y + first.base - (DATA + BOX_HEIGHT) / 2, wide, BOX_HEIGHT)
    elif new:
        cloud_text(pen, x, y + first.base, wide, len(new))
    draw_triangle(pen, x + wide + TRIANGLE_APART, y + first.base - DATA - 0.6, letter)


def _lay_fields(fields: Sequence[Field], width: float) -> tuple[list[_Laid], float]:
    """Fields with the baselines of their lines, and the lowest baseline with what hangs below it."""
    room = width - CAPTION_WIDTH
    laid: list[_Laid] = []
    base = 0.0
    for caption, items in fields:
        is_changed = any(isinstance(item, Clouded) for item in items)
        pieces = [piece for item in items for piece in break_item(item, room - (SIDE + TRIANGLE_APART if is_changed else 0.0), FIELD_LINES)]
        clouded = sum(not isinstance(piece, Struck) for piece in pieces) if is_changed else 0
        base += CLOUD_ROOM if is_changed else 0.0
        lines = []
        for place, piece in enumerate(pieces):
            base += STRUCK if 0 < place == clouded else LINE
            lines.append(_Line(piece, base, "" if place else caption))
        base += DOWN - 0.4 if is_changed and len(pieces) <= clouded else 0.0
        laid.append(_Laid(tuple(lines), clouded, is_changed))
    return laid, base
