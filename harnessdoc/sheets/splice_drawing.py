"""How the block of one splice is drawn: head, fields, diagram.

Takes a pen, a Context, a Block and the part of it that stands on this page; draws it
and returns its lowest edge. How the lines are to be read stands in ``splices.py``.
"""

from __future__ import annotations

from ..drawing.lettering import Weight, cut, text_width
from ..drawing.pen import Pen
from ..drawing.record import THIN, WIDE, Area
from ..drawing.swatch import draw_swatch
from ..model.harness import Splice
from .context import Context, SheetRef, swatch_letters
from .splice_block import DATA, GAP, LINE, SWATCH, Block, Columns, Heading, Part, Row
from .splice_fields import CAPTION, draw_fields, fields_above, fields_below, fields_height, title_lines

BAR = 1.2
"""Width in mm of the upright line that stands for the splice; no other line is as wide."""
DOT = 1.2
TITLE = 3.5
HEAD = 9.5
LEAST = 18.0
"""Height of a diagram without members."""
AFTER = 2.0
CONTINUES = 4.0
"""Height of the line that says a block continues, mm."""
JOIN_MOST = 50.0
"""Room for the number of a join beside the id, mm."""


def height_above(context: Context, block: Block, width: float) -> float:
    """Height of all that stands above the diagram of a block, in mm."""
    return HEAD + LINE * len(_title(block.splice, width)[1]) + fields_height(fields_above(context, block), width)


def height_below(context: Context, block: Block, width: float) -> float:
    """Height of the fields below the diagram, in mm."""
    return sum(fields_height(row, width) for row in fields_below(context, block))


def diagram_height(part: Part) -> float:
    """Height of the diagram with the free space below it, in mm; 0 for a part that holds only the fields below."""
    return max(LEAST, part.height) + AFTER if part.first or part.left or part.right else 0.0


def draw_part(pen: Pen, context: Context, block: Block, part: Part, area: Area, y: float) -> float:
    """What of a block stands on this page, from y on; returns its lowest edge."""
    y = _draw_head(pen, block.splice, part, area, y)
    if part.first:
        y = draw_fields(pen, area, y, fields_above(context, block))
    if height := diagram_height(part):
        _draw_diagram(pen, context, block, part, Area(area.x, y, area.w, height))
    y += height
    if not part.last:
        pen.text(area.x, y + DATA, f"{cut(block.splice.id, 80.0, DATA)} continues on the next page", DATA, tag="note")
        return y + CONTINUES
    for row in fields_below(context, block):
        y = draw_fields(pen, area, y, row)
    return y


def _fitted(text: str, room: float, weight: Weight) -> tuple[str, float, float]:
    """A text, the largest height it fits with, and its width."""
    height = next((h for h in (TITLE, DATA, CAPTION) if text_width(text, h, weight) <= room), CAPTION)
    text = cut(text, room, height, weight)
    return text, height, text_width(text, height, weight)


def _title(splice: Splice, width: float) -> tuple[str, tuple[str, ...]]:
    used = _fitted(splice.id, width - JOIN_MOST, "bold")[2] + 4.0
    return title_lines(splice.title, width - JOIN_MOST - used, width, TITLE)


def _draw_head(pen: Pen, splice: Splice, part: Part, area: Area, y: float) -> float:
    tag = f"splice:{splice.id}"
    pen.line(area.x, y, area.right, y, WIDE, tag=tag)
    base = y + 6.0
    name, height, used = _fitted(splice.id, area.w - JOIN_MOST, "bold")
    pen.text(area.x, base, name, height, weight="bold", tag=tag)
    if not part.first:
        pen.text(area.right, base, "continued", DATA, "end", tag="note")
        return y + HEAD
    beside, below = _title(splice, area.w)
    if splice.join:
        join, tall, wide = _fitted(f"join {splice.join}", JOIN_MOST - 8.0, "bold")
        pen.rect(area.right - wide - 4.0, y + 1.4, wide + 4.0, 6.2, WIDE, tag=tag)
        pen.text(area.right - 2.0, y + 4.5 + tall / 2, join, tall, "end", "bold", tag=tag)
    pen.text(area.x + used + 4.0, base, beside, TITLE, tag=tag)
    for place, line in enumerate(below):
        pen.text(area.x, base + 4.8 + place * LINE, line, DATA, tag=tag)
    return y + HEAD + LINE * len(below)


def _draw_diagram(pen: Pen, context: Context, block: Block, part: Part, area: Area) -> None:
    bar, tag = area.x + area.w / 2, f"splice:{block.splice.id}"
    levels = [y for item, y in (*part.left, *part.right) if isinstance(item, Row)]
    top, bottom = (min(levels) - 2.5, max(levels) + 2.5) if levels else (LEAST - 10.0, LEAST - 2.0)
    pen.line(bar, area.y + top, bar, area.y + bottom, BAR, tag=tag)
    for side, items in ((-1, part.left), (1, part.right)):
        for item, level in items:
            if isinstance(item, Heading):
                outer = area.x if side < 0 else area.right
                pen.text(outer, area.y + level - 1.2, item.text, CAPTION, "start" if side < 0 else "end", "bold", tag=tag)
            else:
                _draw_row(pen, context, item, block.columns, bar, area.y + level, side)


def _draw_row(pen: Pen, context: Context, row: Row, columns: Columns, bar: float, y: float, side: int) -> None:
    """One wire at height y, to the left (-1) or right (1) of the bar: line, dot, label and far end."""
    wire, tag = row.wire, f"wire:{row.wire.id}"
    end = bar + side * (columns.label + 1.5 * GAP)
    pen.line(end, y, bar, y, WIDE, tag=tag)
    pen.dot(bar, y, DOT, tag=tag)
    x = bar + GAP if side > 0 else bar - GAP - columns.label
    base = y - 1.5
    for place, line in enumerate(row.number):
        above = LINE * (len(row.number) - place) + 1.2 if row.apart else 0.0
        pen.text(x, base - above, line, DATA, weight="bold", tag=tag)
    at = x + columns.number + GAP
    _text_or_box(pen, at, base, str(wire.size) if wire.size else "", columns.size, tag)
    at += columns.size + GAP
    _text_or_box(pen, at, base, row.letters, columns.letters, tag)
    if row.beside:
        pen.text(at, y + 1.3 + DATA, cut(row.beside, columns.letters + GAP + SWATCH[0], DATA), DATA, tag=tag)
    draw_swatch(pen, at + columns.letters + GAP, y - 1.1 - SWATCH[1], *SWATCH, swatch_letters(wire.colour), tag="swatch")
    for place, line in enumerate(row.circuit):
        pen.text(x, y + 1.3 + DATA + place * LINE, line, DATA, tag=tag)
    _draw_far(pen, context, row, end + side * GAP / 2, y, side, columns)


def _text_or_box(pen: Pen, x: float, base: float, text: str, room: float, tag: str) -> None:
    if not text:
        pen.rect(x, base + 0.4 - SWATCH[1], room, SWATCH[1], THIN, tag="to fill")
        return
    height = DATA if text_width(text, DATA) <= room else CAPTION
    pen.text(x, base, cut(text, room, height), height, tag=tag)


def _draw_far(pen: Pen, context: Context, row: Row, x: float, y: float, side: int, columns: Columns) -> None:
    """The far end outside the line, its first line level with it; an empty box where it is not known."""
    if not row.far:
        width = min(columns.far, 24.0)
        pen.rect(x if side > 0 else x - width, y - 2.2, width, 4.4, THIN, tag="to fill")
    for place, (text, sheet, address) in enumerate(_far_texts(context, row, columns.far)):
        base = y + DATA / 2 + place * LINE
        width = pen.text(x, base, cut(text, columns.far, DATA), DATA, "start" if side > 0 else "end", tag=f"wire:{row.wire.id}")
        if sheet:
            pen.link(x if side > 0 else x - width, base - DATA - 0.7, width, LINE, sheet.name, tag=address)


def _far_texts(context: Context, row: Row, room: float) -> list[tuple[str, SheetRef | None, str]]:
    """The lines of a far end with the sheet each leads to and its address.

    A block keeps a line for a sheet number of four digits; a shorter one goes behind
    its address where it fits there, so that the two are read as one.
    """
    found: list[tuple[str, SheetRef | None, str]] = []
    for line in row.far:
        sheet = context.sheet_for(line.address) if line.address else None
        text = f"{line.text} → {sheet.number}".strip() if sheet else line.text
        if sheet and not line.text and found and text_width(f"{found[-1][0]} {text}", DATA) <= room:
            text = f"{found.pop()[0]} {text}"
        if text:
            found.append((text, sheet, line.address))
    return found
