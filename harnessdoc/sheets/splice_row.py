"""How one member of a splice is drawn: its line with the dot, its label, its far end, and what differs from before.

Takes a pen, a Context, a Row, the columns of its block and where its line meets the
bar; draws it. A member that is gone has a dashed narrow line that ends short of the
bar and has no dot, with all of its words struck through.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..drawing.flag_notes import draw_some, some_width
from ..drawing.lettering import cut, text_width
from ..drawing.pen import Pen
from ..drawing.record import THIN, WIDE
from ..drawing.revision_marks import HIGH, SIDE, draw_struck, draw_triangle
from ..drawing.swatch import draw_swatch
from .change_marks import STRUCK, cloud_box, cloud_text, draw_struck_lines
from .context import Context, SheetRef, swatch_letters
from .splice_block import DATA, GAP, LINE, SWATCH, Columns, Row, RowMarks
from .splice_fields import CAPTION
from .splice_marks import DROP, FAR_APART, FLAGS, TRIANGLE, label_rise, letters_room, struck_rise

DOT = 1.2
NO_MARKS = RowMarks()
BOX_MOST = 24.0
"""An empty box for a far end is no wider than this, mm."""
LABEL_BESIDE = GAP / 2 - 0.05
"""Clouds round the columns of a label reach no further to the sides than this, so that two of them stay apart."""
SHORT = 6.0
"""So far from the bar the line of a member that is gone ends, mm."""
GONE_DASH = (2.0, 1.5)


def draw_row(pen: Pen, context: Context, row: Row, columns: Columns, bar: float, y: float, side: int) -> None:
    """One wire at height y, to the left (-1) or right (1) of the bar."""
    end = bar + side * (columns.label + 1.5 * GAP)
    x = bar + GAP if side > 0 else bar - GAP - columns.label
    far = end + side * GAP / 2
    if row.marks:
        far += side * FAR_APART
        draw_triangle(pen, far if side > 0 else far - SIDE, y - TRIANGLE - HIGH, context.since.letter if context.since else "")
    if row.marks and row.marks.gone:
        pen.line(end, y, bar + side * SHORT, y, THIN, dash=GONE_DASH, tag=f"gone:{row.wire.id}")
        _draw_gone(pen, row, columns, x, far, y, side)
        return
    pen.line(end, y, bar, y, WIDE, tag=f"wire:{row.wire.id}")
    pen.dot(bar, y, DOT, tag=f"wire:{row.wire.id}")
    if row.flags:
        beside = FAR_APART + SIDE + GAP / 2 if row.marks else 0.0
        room = columns.far - beside
        draw_some(pen, far + beside if side > 0 else far - beside - some_width(row.flags, room), y - FLAGS, row.flags, room)
    _draw_label(pen, row, columns, x, y)
    _draw_far(pen, context, row, far, y, side, columns)


def _draw_label(pen: Pen, row: Row, columns: Columns, x: float, y: float) -> None:
    """Number, size and colour over the line, the circuit and the source's colour letters under it."""
    wire, marks, tag = row.wire, row.marks or NO_MARKS, f"wire:{row.wire.id}"
    base = y - 1.5 - label_rise(row)
    for place, line in enumerate(row.number):
        pen.text(x, base - _apart(row, place), line, DATA, weight="bold", tag=tag)
    at = x + columns.number + GAP
    _text_or_box(pen, at, base, str(wire.size) if wire.size else "", columns.size, tag)
    letters = at + columns.size + GAP
    _text_or_box(pen, letters, base, row.letters, columns.letters, tag)
    under = y + 1.3 + DATA + (DROP if "circuit" in marks.clouds else 0.0)
    if row.beside:
        pen.text(letters, under, cut(row.beside, letters_room(columns), DATA), DATA, tag=tag)
    draw_swatch(pen, letters + columns.letters + GAP, base + 0.4 - SWATCH[1], *SWATCH, swatch_letters(wire.colour), tag="swatch")
    for place, line in enumerate(row.circuit):
        pen.text(x, under + place * LINE, line, DATA, tag=tag)
    if row.marks:
        _mark_label(pen, row, row.marks, columns, x, base, under)


def _mark_label(pen: Pen, row: Row, marks: RowMarks, columns: Columns, x: float, base: float, under: float) -> None:
    """The clouds round a label, and the old values over and under it."""
    size, letters = x + columns.number + GAP, x + columns.number + columns.size + 2 * GAP
    number = max(text_width(line, DATA, "bold") for line in row.number)
    if marks.new:
        cloud_text(pen, x, base - _apart(row, 0), max(columns.label, number))
        return
    if "number" in marks.clouds:
        cloud_text(pen, x, base - _apart(row, 0), number, len(row.number), beside=LABEL_BESIDE)
    if "size" in marks.clouds:
        cloud_text(pen, size, base, columns.size, beside=LABEL_BESIDE)
    if "letters" in marks.clouds:
        cloud_text(pen, letters, base, letters_room(columns), beside=LABEL_BESIDE)
    struck = base - struck_rise(row)
    for at, text, room in ((x, marks.was_number, columns.number), (size, marks.was_size, columns.size), (letters, marks.was_letters, letters_room(columns))):
        draw_struck(pen, at, struck, cut(text, room, DATA), DATA)
    lines = max(len(row.circuit), 1 if row.beside else 0)
    below = under + LINE * (lines - 1)
    if "circuit" in marks.clouds and row.circuit:
        cloud_text(pen, x, under, max(text_width(line, DATA) for line in row.circuit), len(row.circuit))
    old = (*marks.was_circuit, *([cut(marks.was_side, columns.label, DATA)] if marks.was_side else []))
    draw_struck_lines(pen, x, below + STRUCK, old)


def _apart(row: Row, place: int) -> float:
    """How high over the rest of the label a line of the number stands."""
    return LINE * (len(row.number) - place) + 1.2 if row.apart else 0.0


def _text_or_box(pen: Pen, x: float, base: float, text: str, room: float, tag: str) -> None:
    if not text:
        pen.rect(x, base + 0.4 - SWATCH[1], room, SWATCH[1], THIN, tag="to fill")
        return
    height = DATA if text_width(text, DATA) <= room else CAPTION
    pen.text(x, base, cut(text, room, height), height, tag=tag)


def _draw_far(pen: Pen, context: Context, row: Row, x: float, y: float, side: int, columns: Columns) -> None:
    """The far end outside the line, its first line level with it; an empty box where it is not known."""
    marks, base = row.marks or NO_MARKS, y + DATA / 2
    is_clouded = "far" in marks.clouds
    if not row.far:
        width = min(columns.far, BOX_MOST)
        left = x if side > 0 else x - width
        pen.rect(left, y - 2.2, width, 4.4, THIN, tag="to fill")
        if is_clouded:
            cloud_box(pen, left, y - 2.2, width, 4.4)
    widest, lines = 0.0, _far_texts(context, row, columns.far)
    for place, (text, sheet, address) in enumerate(lines):
        base = y + DATA / 2 + place * LINE
        width = pen.text(x, base, cut(text, columns.far, DATA), DATA, "start" if side > 0 else "end", tag=f"wire:{row.wire.id}")
        widest = max(widest, width)
        if sheet:
            pen.link(x if side > 0 else x - width, base - DATA - 0.7, width, LINE, sheet.name, tag=address)
    if is_clouded and lines:
        cloud_text(pen, x if side > 0 else x - widest, y + DATA / 2, widest, len(lines))
    _strike(pen, marks.was_far, x, base + STRUCK, side, columns.far)


def _strike(pen: Pen, lines: Sequence[str], x: float, base: float, side: int, room: float) -> None:
    """Old lines of a far end one under another, on the side of the bar where it stands."""
    for place, line in enumerate(lines):
        text = cut(line, room, DATA)
        draw_struck(pen, x if side > 0 else x - text_width(text, DATA), base + place * LINE, text, DATA)


def _draw_gone(pen: Pen, row: Row, columns: Columns, x: float, far: float, y: float, side: int) -> None:
    """The words of a member that is gone, all struck through."""
    base = y - 1.5 - label_rise(row)
    for place, line in enumerate(row.number):
        draw_struck(pen, x, base - _apart(row, place), cut(line, columns.label if row.apart else columns.number, DATA), DATA)
    at = x + columns.number + GAP
    draw_struck(pen, at, base, cut(str(row.wire.size or ""), columns.size, DATA), DATA)
    draw_struck(pen, at + columns.size + GAP, base, cut(row.letters, letters_room(columns), DATA), DATA)
    draw_struck_lines(pen, x, y + 1.3 + DATA, row.circuit)
    _strike(pen, [line.text for line in row.far if line.text], far, y + DATA / 2, side, columns.far)


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
