"""How the block of one splice is drawn: head, fields, diagram.

Takes a pen, a Context, a Block and the part of it that stands on this page; draws it
and returns its lowest edge. How the lines are to be read stands in ``splices.py``.
"""

from __future__ import annotations

from ..drawing.flag_notes import draw_some, some_width
from ..drawing.lettering import Weight, cut, text_width
from ..drawing.pen import Pen
from ..drawing.record import WIDE, Area
from ..drawing.revision_marks import SIDE, draw_struck, draw_triangle
from ..model.harness import Splice
from .change_marks import cloud_box, cloud_text
from .context import Context
from .flags import flags_at
from .splice_block import DATA, GAP, LINE, Block, Heading, Part, Row
from .splice_fields import CAPTION, Field, draw_fields, fields_above, fields_below, fields_height, title_lines, with_changes
from .splice_marks import HEADING_STRUCK
from .splice_row import draw_row

BAR = 1.2
"""Width in mm of the upright line that stands for the splice; no other line is as wide."""
TITLE = 3.5
CHANGED_HEAD = 7.0
"""Height of the line under a head that bears the triangle and what no longer holds."""
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
    return HEAD + LINE * len(_title(block.splice, width)[1]) + (CHANGED_HEAD if _head_differs(block) else 0.0) + fields_height(_above(context, block), width)


def height_below(context: Context, block: Block, width: float) -> float:
    """Height of the fields below the diagram, in mm."""
    return sum(fields_height(row, width) for row in _below(context, block))


def _above(context: Context, block: Block) -> tuple[Field, ...]:
    """The fields above the diagram, with what they said in the version before."""
    now = fields_above(context, block)
    return with_changes(now, fields_above(context.since.before, block.before)) if block.before and context.since else now


def _below(context: Context, block: Block) -> tuple[tuple[Field, ...], ...]:
    """The rows of fields below it, likewise; what only the version before said stands in the last."""
    now = fields_below(context, block)
    if not (block.before and context.since):
        return now
    before = [field for row in fields_below(context.since.before, block.before) for field in row]
    captions = {field.caption for row in now for field in row}
    rows = tuple(with_changes(row, [field for field in before if field.caption in {one.caption for one in row}]) for row in now)
    gone = with_changes((), [field for field in before if field.caption not in captions])
    return (*rows, gone) if gone else rows


def diagram_height(part: Part) -> float:
    """Height of the diagram with the free space below it, in mm; 0 for a part that holds only the fields below."""
    return max(LEAST, part.height) + AFTER if part.first or part.left or part.right else 0.0


def draw_part(pen: Pen, context: Context, block: Block, part: Part, area: Area, y: float) -> float:
    """What of a block stands on this page, from y on; returns its lowest edge."""
    y = _draw_head(pen, context, block, part, area, y)
    if part.first:
        y = draw_fields(pen, area, y, _above(context, block), _letter(context))
    if height := diagram_height(part):
        _draw_diagram(pen, context, block, part, Area(area.x, y, area.w, height))
    y += height
    if not part.last:
        pen.text(area.x, y + DATA, f"{cut(block.splice.id, 80.0, DATA)} continues on the next page", DATA, tag="note")
        return y + CONTINUES
    for row in _below(context, block):
        y = draw_fields(pen, area, y, row, _letter(context))
    return y


def _fitted(text: str, room: float, weight: Weight) -> tuple[str, float, float]:
    """A text, the largest height it fits with, and its width."""
    height = next((h for h in (TITLE, DATA, CAPTION) if text_width(text, h, weight) <= room), CAPTION)
    text = cut(text, room, height, weight)
    return text, height, text_width(text, height, weight)


def _title(splice: Splice, width: float) -> tuple[str, tuple[str, ...]]:
    used = _fitted(splice.id, width - JOIN_MOST, "bold")[2] + 4.0
    return title_lines(splice.title, width - JOIN_MOST - used, width, TITLE)


def _letter(context: Context) -> str:
    return context.since.letter if context.since else ""


def _head_differs(block: Block) -> bool:
    """True where the splice is new, or its id, title or join is another than before."""
    return block.new or block.before is not None and _named(block.splice) != _named(block.before.splice)


def _named(splice: Splice) -> tuple[str, str, str]:
    return splice.id, splice.title, splice.join


def _draw_head(pen: Pen, context: Context, block: Block, part: Part, area: Area, y: float) -> float:
    splice, tag = block.splice, f"splice:{block.splice.id}"
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
    _draw_flags(pen, context, splice, area.right - (wide + 6.0 if splice.join else 0.0), JOIN_MOST - (wide + 8.0 if splice.join else 2.0), y + 4.5)
    pen.text(area.x + used + 4.0, base, beside, TITLE, tag=tag)
    for place, line in enumerate(below):
        pen.text(area.x, base + 4.8 + place * LINE, line, DATA, tag=tag)
    if block.before is not None:
        was = block.before.splice
        if splice.id != was.id:
            cloud_text(pen, area.x, base, used, height=height)
        if splice.title != was.title and beside:
            cloud_text(pen, area.x + used + 4.0, base, text_width(beside, TITLE), height=TITLE)
        elif splice.title != was.title and below:
            cloud_text(pen, area.x, base + 4.8, max(text_width(line, DATA) for line in below), len(below))
        if splice.join != was.join and splice.join:
            cloud_box(pen, area.right - wide - 4.0, y + 1.4, wide + 4.0, 6.2)
    y += HEAD + LINE * len(below)
    return _draw_changed_head(pen, context, block, area, y) if _head_differs(block) else y


def _draw_flags(pen: Pen, context: Context, splice: Splice, right: float, room: float, middle: float) -> None:
    """The flags of a splice, ending at ``right``."""
    if flags := flags_at(context, (splice.id,)):
        draw_some(pen, right - some_width(flags, room), middle, flags, room)


def _draw_changed_head(pen: Pen, context: Context, block: Block, area: Area, y: float) -> float:
    """Under the head of a splice that is new or named otherwise than before: the triangle, and what no longer holds."""
    draw_triangle(pen, area.x, y, _letter(context))
    x, base, right = area.x + SIDE + 2.0, y + 4.2, area.right
    if block.before is None:
        width = pen.text(x, base, "new splice", DATA, tag="changed")
        cloud_text(pen, x, base, width)
        return y + CHANGED_HEAD
    now, was = _named(block.splice), _named(block.before.splice)
    for what, new, old in zip(("id", "title", "join"), now, was, strict=True):
        if new == old or x > right - 20.0:
            continue
        x += pen.text(x, base, f"{what} was", DATA, tag="changed") + 1.5
        x += draw_struck(pen, x, base, cut(old, min(right - x, area.w / 2), DATA), DATA) if old else pen.text(x, base, "not stated", DATA, tag="changed")
        x += 4.0
    return y + CHANGED_HEAD


def _draw_diagram(pen: Pen, context: Context, block: Block, part: Part, area: Area) -> None:
    bar, tag = area.x + area.w / 2, f"splice:{block.splice.id}"
    levels = [y for item, y in (*part.left, *part.right) if isinstance(item, Row) and not (item.marks and item.marks.gone)]
    top, bottom = (min(levels) - 2.5, max(levels) + 2.5) if levels else (LEAST - 10.0, LEAST - 2.0)
    if levels or part.first:
        pen.line(bar, area.y + top, bar, area.y + bottom, BAR, tag=tag)
    for side, items in ((-1, part.left), (1, part.right)):
        for item, level in items:
            if isinstance(item, Heading):
                _draw_heading(pen, context, item, area, area.y + level, side, tag)
            else:
                draw_row(pen, context, item, block.columns, bar, area.y + level, side)


def _draw_heading(pen: Pen, context: Context, heading: Heading, area: Area, y: float, side: int, tag: str) -> None:
    """The side that the rows below leave to; where its copper differs from before a cloud round it, the old copper over it and the triangle."""
    if not heading.was:
        pen.text(area.x if side < 0 else area.right, y - 1.2, heading.text, CAPTION, "start" if side < 0 else "end", "bold", tag=tag)
        return
    width, base = text_width(heading.text, CAPTION, "bold"), y - 2.0
    x = area.x if side < 0 else area.right - width
    pen.text(x, base, heading.text, CAPTION, weight="bold", tag=tag)
    cloud_text(pen, x, base, width, height=CAPTION)
    height = DATA if text_width(heading.was, DATA) <= area.w / 2 - GAP else CAPTION
    old = text_width(heading.was, height)
    draw_struck(pen, x if side < 0 else area.right - old, base - HEADING_STRUCK, heading.was, height)
    draw_triangle(pen, x + width + 2.0 if side < 0 else x - SIDE - 2.0, base - 3.4, context.since.letter if context.since else "")
