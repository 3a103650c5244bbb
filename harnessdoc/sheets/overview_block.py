"""A block of the overview: what it says, how large it is, how it is drawn.

Takes a Context and a block; gives its rows, its size for a width that it may take, and draws it. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area
from ..overview.blocks import Block
from ..overview.dot import Size
from .context import Context

TEXT = 2.5
PITCH = 3.9
NARROWEST = 12.0
INSIDE = 1.2
"""Between the edge of a block and its words."""
EDGE = 0.35
BROKEN = (2.0, 1.0)
SIGN = 4.0
"""Room left of a ground's words for its sign."""
ROUNDING = 0.1
"""So that what just fits is not cut."""
BEHIND, BEFORE_SHEET = 1.2, 1.5
"""Between an id and the name behind it, and from words to the number of the sheet."""
GROUNDS = 30.0
"""Words about grounds up to this width stand on one line."""
UNDER_HEAD = 0.8
"""From the words of a head to the line below it, and from that to the first row."""


@dataclass(frozen=True, slots=True)
class Row:
    """A member: its id, its name, the number of its sheet."""

    id: str
    title: str
    sheet: str


@dataclass(frozen=True, slots=True)
class Said:
    """What a block says: the system it stands for ("": none) and how many wires lie within, its rows, and the lines about its grounds."""

    system: str
    within: str
    rows: tuple[Row, ...]
    grounds: tuple[str, ...]
    size: Size


def said_by(context: Context, block: Block, widest: float, highest: float) -> Said:
    """What a block says where it may be ``widest`` wide and ``highest`` high; members that find no room are counted."""
    rows, grounds = tuple(_rows(context, block)), _ground_words(block)
    system, within = _head(block)
    head = text_width(system, TEXT, "bold") + (BEFORE_SHEET + text_width(within, TEXT) if within else 0.0)
    around = 2 * INSIDE + ROUNDING + (SIGN if block.kind == "ground" else 0.0)
    # the words about grounds wrap; the block is made wider for few of them alone
    wide = min(widest, max(NARROWEST, around + max([head, min(GROUNDS, SIGN + text_width(grounds, TEXT)), *map(_width, rows)])))
    lines = tuple(wrap(grounds, wide - 2 * INSIDE - SIGN, TEXT)) if grounds else ()
    around_rows = len(lines) * PITCH + 2 * INSIDE + (PITCH + UNDER_HEAD if system or within else 0.0)
    if around_rows + len(rows) * PITCH > highest:
        shown = max(1, int((highest - around_rows) // PITCH) - 1)
        rows = (*rows[:shown], Row(f"and {len(rows) - shown} more", "", ""))
    high = around_rows + len(rows) * PITCH
    return Said(system, within, rows, lines, (wide, high))


def _head(block: Block) -> tuple[str, str]:
    return block.system or ("grounds" if block.within else ""), f"{len(block.within)} within" if block.within else ""


def _ground_words(block: Block) -> str:
    return f"{len(block.grounded)} to {', '.join(block.grounds)}" if block.grounded else ""


def _rows(context: Context, block: Block) -> Iterator[Row]:
    harness = context.harness
    for id in block.members:
        thing = next(things[id] for things in (harness.devices, harness.boxes, harness.connectors, harness.parts, harness.grounds) if id in things)
        ref = context.sheet_of.get(id)
        yield Row(id, thing.title, str(ref.number) if ref else "")


def _width(row: Row) -> float:
    return text_width(row.id, TEXT, "bold") + (BEHIND + text_width(row.title, TEXT) if row.title else 0.0) + (BEFORE_SHEET + text_width(row.sheet, TEXT) if row.sheet else 0.0)


def bases(said: Said, high: float) -> list[float]:
    """The baselines of the rows below the top of the block; what it is higher than it need be is shared above and below them."""
    top = INSIDE + (PITCH + UNDER_HEAD if said.system or said.within else 0.0) + (high - said.size[1]) / 2
    return [top + row * PITCH + (PITCH + TEXT) / 2 for row in range(len(said.rows) + len(said.grounds))]


def draw_block(pen: Pen, block: Block, said: Said, area: Area, parted: bool) -> None:
    """The block; ``parted``: it has links on another page too."""
    tag = f"block:{block.id}"
    pen.rect(area.x, area.y, area.w, area.h, EDGE, dash=BROKEN if parted else (), tag=tag)
    if block.kind == "halves":
        for side in (area.x + 0.8, area.right - 0.8):
            pen.line(side, area.y, side, area.bottom, THIN, tag=tag)
    left, right = area.x + INSIDE, area.right - INSIDE
    if block.kind == "ground":
        _draw_sign(pen, left + 1.5, area.y + area.h / 2, tag)
        left += SIGN
    if said.system or said.within:
        base = area.y + INSIDE + (PITCH + TEXT) / 2 - 0.4
        room = right - left - (text_width(said.within, TEXT) + BEFORE_SHEET if said.within else 0.0)
        pen.text(left, base, cut(said.system, room, TEXT, "bold"), TEXT, weight="bold", tag=tag)
        pen.text(right, base, said.within, TEXT, "end", tag=tag)
        level = area.y + INSIDE + PITCH + UNDER_HEAD / 2
        pen.line(area.x, level, area.right, level, THIN, tag=tag)
    levels = bases(said, area.h)
    for row, base in zip(said.rows, levels, strict=False):
        _draw_row(pen, row, left, right, area.y + base, tag)
    if said.grounds:
        _draw_sign(pen, left + 1.5, area.y + levels[len(said.rows)] - TEXT / 2 + 0.6, tag)
    for line, base in zip(said.grounds, levels[len(said.rows):], strict=True):
        pen.text(left + SIGN, area.y + base, line, TEXT, tag=f"grounds:{block.id}")


def _draw_row(pen: Pen, row: Row, left: float, right: float, base: float, tag: str) -> None:
    if row.sheet:
        pen.text(right, base, row.sheet, TEXT, "end", tag=tag)
        right -= text_width(row.sheet, TEXT) + BEFORE_SHEET
    wide = pen.text(left, base, cut(row.id, right - left, TEXT, "bold"), TEXT, weight="bold", tag=tag)
    if row.title and (room := right - left - wide - BEHIND) > 4.0:
        pen.text(left + wide + BEHIND, base, cut(row.title, room, TEXT), TEXT, tag=tag)


def _draw_sign(pen: Pen, x: float, y: float, tag: str) -> None:
    """A small ground sign beside the numbers of grounds."""
    pen.line(x, y - 2.0, x, y - 0.4, THIN, tag=tag)
    for step, half in enumerate((1.5, 1.0, 0.5)):
        pen.line(x - half, y - 0.4 + step * 0.8, x + half, y - 0.4 + step * 0.8, THIN, tag=tag)
