"""The lid of a fuse and relay box: its positions as they are looked at.

Takes a box and the room; draws a frame for every position with its id and, where there
is room, the rating and what it feeds: of a fuse the colour in words and as a field, of a
relay its name and its terminals. A spare position is hatched. The view stands
below in words. A position that differs from the version before has a cloud, inside its
frame where that has room; what it was stands in a table below. Where a position is gone
and nothing has taken its place, that is dashed, with the old id struck through. All
lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import floor

from ..drawing.flag_notes import FLAG_HIGH, draw_flags, draw_some, flag_width, flags_width
from ..drawing.lettering import cut, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, WIDE, Area
from ..drawing.revision_marks import SIDE, draw_cloud, draw_struck, draw_triangle
from ..drawing.swatch import draw_swatch
from ..model.harness import Box, Part
from ..trade.fuses import fuse_colour
from .context import Context
from .flags import flags_at, names_at

LID_SIDE = "lid side"
ID = RATING = SMALL = 2.5
SMALL_LINE = 3.62
PAD = 1.2
CLOUD_PAD = 2.3
"""From a frame to the text where a cloud stands between."""
CLOUD_INSIDE = 7.0
"""A frame at least so high and wide has its cloud inside."""
CLOUD_OUT = 0.75
"""How far a cloud round a smaller frame stands out of it."""
CELL_WIDTH_MOST, CELL_HEIGHT_MOST = 36.0, 20.3
CELL_HEIGHT_LEAST = 5.0
SHARE = 0.6
"""Of the height of a page that a lid may take."""
MARGIN = 1.6
UNDER = 6.5
FLAGS_ABOVE = 1.0
"""Between the text above and the flags at the foot of a position, which have no room beside its id; where they find none there either the table below has them."""
HATCH = 1.8
"""Distance of the lines that hatch a spare position."""
TINT, TINT_DOWN = (6.0, 2.5), 0.1
"""Width and height of the field of a fuse's colour, and how much lower than a line of words it stands."""
TINTS = {"black": "BK", "grey": "GY", "violet": "VT", "pink": "PK", "brown": "BN", "red": "RD", "blue": "BU", "yellow": "YE", "green": "GN", "orange": "OG", "white": "WH",
         "tan": "TAN", "natural": "NAT"}
"""Colour of a fuse in words -> the letters of its swatch; blue-green has none, and makers' brown or tan has not one."""
GONE_DASH = (1.5, 1.0)
RATING_BOX = (11.0, 3.5)
"""An empty box for a rating that is no longer known."""


@dataclass(frozen=True, slots=True)
class LidMarks:
    """What of a lid differs from the version before.

    ``changed``: positions that differ or are new; ``unrated``: those of them that had a rating and have none;
    ``gone``: (row, place along it), both from 0, that hold nothing now -> the position that was there.
    """

    changed: frozenset[str] = frozenset()
    unrated: frozenset[str] = frozenset()
    gone: Mapping[tuple[int, int], str] = field(default_factory=dict)


def lid_height(box: Box, page: float) -> float:
    """The height a lid takes on a page of free height ``page``, the words below it included."""
    return _cell_height(box, page) * len(box.lid) + 2 * MARGIN + UNDER


def draw_lid(pen: Pen, context: Context, box: Box, x: float, y: float, width: float, page: float, marks: LidMarks = LidMarks()) -> None:
    """Draws the lid in the middle of ``width``, with the ``marks`` of what differs from the version before."""
    columns = max(map(len, box.lid))
    cell_w, cell_h = min(CELL_WIDTH_MOST, (width - 2 * MARGIN) / columns), _cell_height(box, page)
    wide, high = columns * cell_w + 2 * MARGIN, len(box.lid) * cell_h + 2 * MARGIN
    left = x + (width - wide) / 2
    tag = f"box:{box.id}"
    pen.rect(left, y, wide, high, WIDE, tag=tag)
    for down in range(len(box.lid)):
        for along in range(columns):
            position = box.lid[down][along] if along < len(box.lid[down]) else None
            cell = Area(left + MARGIN + along * cell_w + 0.4, y + MARGIN + down * cell_h + 0.4, cell_w - 0.8, cell_h - 0.8)
            if position:
                _draw_position(pen, context, box, position, cell, marks)
            elif (down, along) in marks.gone:
                _draw_gone(pen, marks.gone[down, along], cell)
    view = box.lid_view or LID_SIDE
    words = f"seen from the {view}" if view == LID_SIDE else f"seen: {view}"
    has_marks = bool(marks.changed or marks.gone)
    room = width - 2 * (SIDE + 2.0) if has_marks else width
    words += "; hatched: spare" + ("; dashed: no longer there" if marks.gone else "")
    pen.text(x + width / 2, y + high + 1.5 + ID, cut(words, room, ID), ID, "middle", tag=tag)
    if has_marks and context.since:
        draw_triangle(pen, max(x, left), y + high + 0.8, context.since.letter)


def _cell_height(box: Box, page: float) -> float:
    rows, around = len(box.lid), 2 * MARGIN + UNDER
    wanted = max(CELL_HEIGHT_LEAST, min(CELL_HEIGHT_MOST, (SHARE * page - around) / rows))
    return min(wanted, (page - around) / rows)


def _draw_position(pen: Pen, context: Context, box: Box, position: str, cell: Area, marks: LidMarks) -> None:
    """One position: id, rating and what it feeds as far as there is room; the rest of a spare one is hatched."""
    tag = f"position:{position}"
    part = context.harness.parts.get(position)
    spare = position in box.spare
    pen.rect(cell.x, cell.y, cell.w, cell.h, THIN if spare else WIDE, tag=tag)
    pad = _draw_cloud(pen, cell, f"changed:{position}") if position in marks.changed else PAD
    room = cell.w - 2 * pad
    if cell.h <= ID or room <= ID:
        return
    y = cell.y + min(pad, (cell.h - ID) / 2) + ID
    wide = pen.text(cell.x + pad, y, cut(position, room, ID, "bold"), ID, weight="bold", tag=tag)
    if spare:
        _hatch(pen, Area(cell.x, y + pad, cell.w, cell.bottom - y - pad), tag)
        return
    if part is None:
        return
    rating = rating_words(part)
    beside = room - wide - 2.0
    flags = flags_at(context, (position, *(name for terminal in part.terminals for name in names_at(context.harness, f"{position}.{terminal}"))))
    is_beside = flags is not None and position not in marks.unrated and flags_width(flags) + 2.0 + pen.text_width(rating, RATING) <= beside
    if flags and is_beside:
        draw_flags(pen, cell.x + pad + wide + 2.0, y - ID / 2, flags)
        beside -= flags_width(flags) + 2.0
    if position in marks.unrated and beside >= RATING_BOX[0]:
        pen.rect(cell.right - pad - RATING_BOX[0], y - (RATING + RATING_BOX[1]) / 2, *RATING_BOX, THIN, tag="to fill")
    if rating and pen.text_width(rating, RATING) <= beside:
        pen.text(cell.right - pad, y, rating, RATING, "end", tag=tag)
    elif rating and cell.bottom - y >= RATING + 2 * pad:
        y += RATING + pad
        pen.text(cell.x + pad, y, cut(rating, room, RATING), RATING, tag=tag)
    low = cell.bottom - pad
    if flags and not is_beside and low - y >= FLAG_HIGH + FLAGS_ABOVE and room >= flag_width(flags.numbers[0]):
        draw_some(pen, cell.x + pad, low - FLAG_HIGH / 2, flags, room)
        low -= FLAG_HIGH + FLAGS_ABOVE
    y = _draw_tint(pen, part, Area(cell.x + pad, y, room, low - y), f"colour:{position}")
    if part.kind == "relay" and low - y >= 2 * SMALL_LINE:
        pen.text(cell.x + pad, low, cut(f"pins {', '.join(part.terminals)}", room, SMALL), SMALL, tag=tag)
        low -= SMALL_LINE
    lines = max(0, floor((low - y) / SMALL_LINE))
    words = wrap(purpose(part), room, SMALL)
    if len(words) > lines:
        words = [*words[: lines - 1], cut(" ".join(words[lines - 1 : lines + 1]), room, SMALL)] if lines else []
    for line in words:
        y += SMALL_LINE
        pen.text(cell.x + pad, y, cut(line, room, SMALL), SMALL, tag=tag)


def _draw_tint(pen: Pen, part: Part, room: Area, tag: str) -> float:
    """The colour of a fuse below the baseline ``room.y``, where a line is left for what it feeds; the lowest baseline then."""
    colour = fuse_colour(part.type, part.rating.value) if part.kind == "fuse" and part.rating else None
    if colour is None or room.h < 2 * SMALL_LINE:
        return room.y
    base = room.y + SMALL_LINE + TINT_DOWN
    letters = TINTS.get(colour.words)
    beside = room.w - (TINT[0] + 1.0 if letters else 0.0)
    if letters and beside > 0:
        draw_swatch(pen, room.right - TINT[0], base - TINT[1] + 0.2, *TINT, (letters,), tag=tag)
    pen.text(room.x, base, cut(f"{colour.words} (makers differ)" if colour.varies else colour.words, beside, SMALL), SMALL, tag=tag)
    return base


def purpose(part: Part) -> str:
    """What a position says its part is for: of a relay the name first, since it is known by that."""
    return (part.title or part.feeds) if part.kind == "relay" else (part.feeds or part.title)


def _draw_cloud(pen: Pen, cell: Area, tag: str) -> float:
    """A cloud inside a frame that has room, else just outside it; returns how far the texts stand from the frame."""
    if min(cell.w, cell.h) >= CLOUD_INSIDE:
        draw_cloud(pen, cell.x + WIDE / 2, cell.y + WIDE / 2, cell.w - WIDE, cell.h - WIDE, tag=tag)
        return CLOUD_PAD
    draw_cloud(pen, cell.x - CLOUD_OUT, cell.y - CLOUD_OUT, cell.w + 2 * CLOUD_OUT, cell.h + 2 * CLOUD_OUT, tag=tag)
    return PAD


def _draw_gone(pen: Pen, old: str, cell: Area) -> None:
    """The place of a position that is gone: a dashed frame with a cloud, its id struck through."""
    tag = f"gone:{old}"
    pen.rect(cell.x, cell.y, cell.w, cell.h, THIN, dash=GONE_DASH, tag=tag)
    pad = _draw_cloud(pen, cell, "cloud")
    room = cell.w - 2 * pad
    if cell.h > ID and room > ID:
        draw_struck(pen, cell.x + pad, cell.y + min(pad, (cell.h - ID) / 2) + ID, cut(old, room, ID), ID)


def rating_words(part: Part) -> str:
    """What a position says of its part's rating; the size of a fusible link."""
    if part.rating:
        return part.rating.stated
    return str(part.size) if part.size else ""


def _hatch(pen: Pen, area: Area, tag: str) -> None:
    """Lines rising to the right over an area, ending on its edges."""
    if area.h <= 0:
        return
    offset = HATCH
    while offset < area.w + area.h:
        x1, y1 = area.x + min(offset, area.w), area.y + max(0.0, offset - area.w)
        x2, y2 = area.x + max(0.0, offset - area.h), area.y + min(offset, area.h)
        pen.line(x1, y1, x2, y2, THIN, tag=tag)
        offset += HATCH
