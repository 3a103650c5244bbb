"""The lid of a fuse and relay box: its positions as they are looked at.

Takes a box and the room; draws a frame for every position with its id and, where there
is room, the rating and what it feeds. A spare position is hatched. The view stands
below in words. All lengths in mm.
"""

from __future__ import annotations

from math import floor

from ..drawing.lettering import cut, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, WIDE, Area
from ..model.harness import Box, Part
from .context import Context

LID_SIDE = "lid side"
ID, RATING, SMALL = 2.5, 2.5, 1.8
SMALL_LINE = 2.9
PAD = 1.2
CELL_WIDTH_MOST, CELL_HEIGHT_MOST = 36.0, 15.0
CELL_HEIGHT_LEAST = 5.0
SHARE = 0.6
"""Of the height of a page that a lid may take."""
MARGIN = 2.0
UNDER = 6.5
HATCH = 1.8
"""Distance of the lines that hatch a spare position."""


def lid_height(box: Box, page: float) -> float:
    """The height a lid takes on a page of free height ``page``, the words below it included."""
    return _cell_height(box, page) * len(box.lid) + 2 * MARGIN + UNDER


def draw_lid(pen: Pen, context: Context, box: Box, x: float, y: float, width: float, page: float) -> None:
    """Draws the lid in the middle of ``width``."""
    columns = max(map(len, box.lid))
    cell_w, cell_h = min(CELL_WIDTH_MOST, (width - 2 * MARGIN) / columns), _cell_height(box, page)
    wide, high = columns * cell_w + 2 * MARGIN, len(box.lid) * cell_h + 2 * MARGIN
    left = x + (width - wide) / 2
    tag = f"box:{box.id}"
    pen.rect(left, y, wide, high, WIDE, tag=tag)
    for down, row in enumerate(box.lid):
        for along, position in enumerate(row):
            if position:
                cell = Area(left + MARGIN + along * cell_w + 0.4, y + MARGIN + down * cell_h + 0.4, cell_w - 0.8, cell_h - 0.8)
                _draw_position(pen, context, box, position, cell)
    view = box.lid_view or LID_SIDE
    words = f"seen from the {view}" if view == LID_SIDE else f"seen: {view}"
    pen.text(x + width / 2, y + high + 1.5 + ID, cut(f"{words}; hatched: spare", width, ID), ID, "middle", tag=tag)


def _cell_height(box: Box, page: float) -> float:
    rows, around = len(box.lid), 2 * MARGIN + UNDER
    wanted = max(CELL_HEIGHT_LEAST, min(CELL_HEIGHT_MOST, (SHARE * page - around) / rows))
    return min(wanted, (page - around) / rows)


def _draw_position(pen: Pen, context: Context, box: Box, position: str, cell: Area) -> None:
    """One position: id, rating and what it feeds as far as there is room; the rest of a spare one is hatched."""
    tag = f"position:{position}"
    part = context.harness.parts.get(position)
    spare = position in box.spare
    pen.rect(cell.x, cell.y, cell.w, cell.h, THIN if spare else WIDE, tag=tag)
    room = cell.w - 2 * PAD
    if cell.h <= ID or room <= ID:
        return
    y = cell.y + min(PAD, (cell.h - ID) / 2) + ID
    wide = pen.text(cell.x + PAD, y, cut(position, room, ID, "bold"), ID, weight="bold", tag=tag)
    if spare:
        _hatch(pen, Area(cell.x, y + PAD, cell.w, cell.bottom - y - PAD), tag)
        return
    if part is None:
        return
    rating = _rating(part)
    beside = room - wide - 2.0
    if rating and pen.text_width(rating, RATING) <= beside:
        pen.text(cell.right - PAD, y, rating, RATING, "end", tag=tag)
    elif rating and cell.bottom - y >= RATING + 2 * PAD:
        y += RATING + PAD
        pen.text(cell.x + PAD, y, cut(rating, room, RATING), RATING, tag=tag)
    lines = max(0, floor((cell.bottom - y - PAD) / SMALL_LINE))
    words = wrap(part.feeds or part.title, room, SMALL)
    if len(words) > lines:
        words = [*words[: lines - 1], cut(" ".join(words[lines - 1 : lines + 1]), room, SMALL)] if lines else []
    for line in words:
        y += SMALL_LINE
        pen.text(cell.x + PAD, y, cut(line, room, SMALL), SMALL, tag=tag)


def _rating(part: Part) -> str:
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
