"""Tables: column heads, rows that grow, rules, and the split over pages.

Takes columns and rows of cells; ``lay_out`` breaks the texts and reckons the
heights once, ``paginate`` says which rows stand on which page, ``draw_table``
draws those rows with the column heads above them. All lengths in mm. Data is
2.5 mm high, column heads 1.8 mm; the row pitch is at least 5 mm, with a wide rule
after every five rows so that an eye keeps its line across the page.

A cell is a text (``str``), a ``LinkText``, a tuple of these (one a line), an
``EmptyBox`` to be filled by hand, or a ``Cell`` that draws itself. A row is a
sequence of cells, or a ``Band``: one text across all columns.

Where a table shows what changed, a line of a cell may be ``Struck``, a cell
``Clouded``, and a ``Mark`` puts the revision triangle in the row. ``Flags`` are a line of
a cell: the numbers of notes about the row.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from harnessdoc.drawing.flag_notes import Flags, broken_flags, draw_flags, flags_width
from harnessdoc.drawing.lettering import Weight, cut, text_width, wrap
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import THIN, WIDE, Anchor
from harnessdoc.drawing.revision_marks import BULGE, HIGH, SIDE, draw_cloud, draw_struck, draw_triangle

PAD = 1.0
"""Free space left and right of a cell's text."""
HEAD = 1.8
LINE = 1.6
"""From baseline to baseline, in heights of capitals."""
MAX_LINES = 20
"""A cell has no more lines than this; the last then ends in "…" (a page holds such a row)."""
CONTINUED = " (continued)"
"""After the heading under which a page goes on."""
GROUP = 5
"""Rows between two wide rules."""
BOX_HEIGHT = 3.4
"""Of an empty box that is a line among others."""
MARK_WIDTH = SIDE + 2 * PAD
"""The column of revision triangles."""
WORD_WIDTH = 6.0
"""What the longest word left of a triangle needs besides."""
MARKED_PITCH = HIGH + 2 * PAD
"""The least height of a row with a triangle; a cloud round one line of text then touches neither accents nor tails."""
CLOUD_INSET = WIDE / 2
"""Between the middle of a table's rule and a cloud: the bows never lie on the rule."""
CLOUD_PAD = 0.5
"""Free space left and right of a text in a cloud, beyond PAD, in which alone a cloud lies."""
assert CLOUD_INSET + BULGE + THIN < PAD


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head, and either ``width_mm`` or a ``weight`` of the width that is left."""

    head: str
    width_mm: float | None = None
    weight: float = 1.0
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True)
class LinkText:
    """A text that leads to the sheet named ``target``."""

    text: str
    target: str


@dataclass(frozen=True, slots=True)
class EmptyBox:
    """A box to be filled by hand, as wide as its column."""

    tag: str = ""


@dataclass(frozen=True, slots=True)
class Struck:
    """A text that no longer holds: a line through it."""

    text: str


@dataclass(frozen=True, slots=True)
class Mark:
    """The revision triangle of a row, with its ``letter`` ("": none); left of it ``word``, where the whole row is "new" or "gone"."""

    letter: str
    word: str = ""


def mark_width(mark: Mark) -> float:
    """The width of the column that a mark needs."""
    return MARK_WIDTH + (WORD_WIDTH if mark.word else 0.0)


@dataclass(frozen=True, slots=True)
class Clouded:
    """A cell with a cloud round it, what differs from the version before: ``parts`` one under another, what it said then struck."""

    parts: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell that draws itself: ``draw(pen, x, y, w, h)`` gets the space inside the padding.

    The column is never narrower, the row never lower than ``min_width`` and
    ``min_height``; ``clouded``: with a cloud round it.
    """

    draw: Callable[[Pen, float, float, float, float], None]
    min_width: float = 0.0
    min_height: float = 0.0
    clouded: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """A row of one text across all columns: a heading (bold), or a remark.

    Where it differs from the version before ``mark`` is its triangle, and what it said
    then is ``was``; the text of a band that is gone is "".
    """

    text: str
    weight: Weight = "bold"
    was: str = ""
    mark: Mark | None = None


CellText = str | LinkText
CellLine = CellText | Struck | EmptyBox | Flags
CellContent = CellLine | tuple[CellLine, ...] | Cell | Mark | Clouded
Row = Sequence[CellContent] | Band


@dataclass(frozen=True, slots=True)
class _Laid:
    """A row ready to draw: its height, for each cell its lines or the cell itself, which have a cloud, and the mark of a band."""

    height: float
    cells: tuple[tuple[CellLine, ...] | EmptyBox | Cell | Mark, ...]
    band: Weight | None = None
    clouded: tuple[bool, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """A table whose texts are broken; ``width`` and ``head_height`` in mm; is_whole: it begins where all of it fits."""

    columns: tuple[Column, ...]
    widths: tuple[float, ...]
    heads: tuple[tuple[str, ...], ...]
    rows: tuple[_Laid, ...]
    head_height: float
    text_height: float
    tag: str
    is_whole: bool = False

    @property
    def width(self) -> float:
        return sum(self.widths)

    def height(self, start: int, stop: int) -> float:
        """Height of the rows start..stop with the column heads, and the heading they stand under on an earlier page, in mm."""
        above = self.continued(start)
        return self.head_height + (above.height if above else 0.0) + sum(row.height for row in self.rows[start:stop])

    def continued(self, start: int) -> _Laid | None:
        """The heading under which a page goes on that begins with row ``start``; None where it begins with one, or there is none."""
        if not 0 < start < len(self.rows) or self.rows[start].band == "bold":
            return None
        above = next((row for row in reversed(self.rows[:start]) if row.band == "bold"), None)
        if above is None:
            return None
        lines = [line for line in above.cells[0] if isinstance(line, str)]
        pitch = above.height - (len(above.cells[0]) - 1) * LINE * self.text_height
        # In one line, whatever it took: who reads on knows it already.
        room = self.width - 2 * PAD - text_width(CONTINUED, self.text_height, "bold")
        return _lay_band(Band(cut(" ".join(lines), room, self.text_height, "bold") + CONTINUED), self.width, pitch, self.text_height) if lines else None


def lay_out(
    columns: Sequence[Column],
    rows: Sequence[Row],
    width: float,
    *,
    pitch: float = 5.5,
    text_height: float = 2.5,
    tag: str = "table",
    is_whole: bool = False,
) -> Layout:
    """Reckons a table of ``width`` mm. Raises ValueError where the columns are wider than that
    or a row has not one cell a column: both are faults of the caller, not of the user's file.
    """
    widths = _widths(columns, rows, width)
    heads = tuple(
        tuple(wrap(column.head, w - 2 * PAD, HEAD, "bold"))
        for column, w in zip(columns, widths, strict=True)
    )
    most = max(len(lines) for lines in heads)
    head_height = max(pitch, 2 * PAD + HEAD * (1 + LINE * (most - 1)))
    laid = tuple(_lay_row(row, widths, width, pitch, text_height) for row in rows)
    return Layout(tuple(columns), widths, heads, laid, head_height, text_height, tag, is_whole)


def _widths(columns: Sequence[Column], rows: Sequence[Row], width: float) -> tuple[float, ...]:
    least = [column.width_mm or 0.0 for column in columns]
    for row in rows:
        if isinstance(row, Band):
            continue
        if len(row) != len(columns):
            raise ValueError(f"a row of {len(row)} cells in a table of {len(columns)} columns")
        for index, cell in enumerate(row):
            if isinstance(cell, Cell):
                least[index] = max(least[index], cell.min_width + 2 * PAD)
    weights = [column.weight if column.width_mm is None else 0.0 for column in columns]
    fixed = sum(w for w, weight in zip(least, weights, strict=True) if not weight)
    room = width - fixed
    share = room / sum(weights) if any(weights) else 0.0
    widths = tuple(
        share * weight if weight else w for w, weight in zip(least, weights, strict=True)
    )
    if sum(widths) > width + 1e-6 or min(widths) <= 2 * PAD:
        raise ValueError(f"columns of {[round(w, 1) for w in widths]} mm in {width:.1f} mm")
    return widths


def _lay_row(
    row: Row, widths: Sequence[float], width: float, pitch: float, height: float
) -> _Laid:
    if isinstance(row, Band):
        return _lay_band(row, width, pitch, height)
    tall = pitch
    cells: list[tuple[CellLine, ...] | EmptyBox | Cell | Mark] = []
    clouded: list[bool] = []
    for cell, w in zip(row, widths, strict=True):
        cloud = isinstance(cell, Clouded) or (isinstance(cell, Cell) and cell.clouded)
        clouded.append(cloud)
        if isinstance(cell, Cell):
            tall = max(tall, cell.min_height + 2 * PAD)
            cells.append(cell)
        elif isinstance(cell, Mark):
            tall = max(tall, MARKED_PITCH)
            cells.append(cell)
        elif isinstance(cell, EmptyBox):
            cells.append(cell)
        else:
            lines = _lines(cell.parts if isinstance(cell, Clouded) else cell, w - 2 * (PAD + CLOUD_PAD if cloud else PAD), height)
            tall = max(tall, _row_height(len(lines), max(pitch, MARKED_PITCH) if cloud else pitch, height))
            cells.append(lines)
    return _Laid(tall, tuple(cells), clouded=tuple(clouded))


def _lay_band(band: Band, width: float, pitch: float, height: float) -> _Laid:
    if band.mark is None:
        lines = _capped(_broken(band.text, width - 2 * PAD, height, band.weight))
        return _Laid(_row_height(len(lines), pitch, height), (lines,), band.weight)
    room = width - mark_width(band.mark) - 2 * (PAD + CLOUD_PAD)
    now = _broken(band.text, room, height, band.weight) if band.text else []
    was = [Struck(text) for text in _broken(band.was, room, height)] if band.was else []
    lines = _capped([*now, *was])
    return _Laid(_row_height(len(lines), max(pitch, MARKED_PITCH), height), (lines,), band.weight, (bool(now),), band.mark)


def _row_height(lines: int, pitch: float, height: float) -> float:
    return pitch + max(0, lines - 1) * LINE * height


def _lines(cell: CellLine | tuple[CellLine, ...], room: float, height: float) -> tuple[CellLine, ...]:
    """The lines of a text cell, no wider than ``room`` and no more than MAX_LINES."""
    lines: list[CellLine] = []
    for part in cell if isinstance(cell, tuple) else (cell,):
        if isinstance(part, EmptyBox):
            lines.append(part)
        elif isinstance(part, Flags):
            lines += broken_flags(part, room)
        elif isinstance(part, LinkText | Struck):
            lines += [replace(part, text=t) for t in _broken(part.text, room, height)]
        else:
            lines += _broken(part, room, height)
    return _capped(lines)


def _capped(lines: Sequence[CellLine]) -> tuple[CellLine, ...]:
    if len(lines) > MAX_LINES:
        return (*lines[: MAX_LINES - 1], "…")
    return tuple(lines)


def _broken(text: str, room: float, height: float, weight: Weight = "regular") -> list[str]:
    """Lines of a text; a code point's box wider than the column is cut, as nothing else helps."""
    return [cut(line, room, height, weight) for line in wrap(text, room, height, weight)]


def paginate(layout: Layout, first: float, others: float) -> list[tuple[int, int]]:
    """The rows (start, stop) of each page: ``first`` mm of height on the first, ``others`` on the rest.

    Column heads are reckoned in. A page takes at least one row. A heading is not left
    alone at the foot of a page, a remark not alone at the head of one: the row before it
    goes along. A table without rows gives one empty page.
    """
    pages: list[tuple[int, int]] = []
    start, count = 0, len(layout.rows)
    room = first
    while start < count:
        used, stop = layout.height(start, start), start
        while stop < count and (stop == start or used + layout.rows[stop].height <= room + 1e-6):
            used += layout.rows[stop].height
            stop += 1
        if stop < count:
            stop = _before_remarks(layout.rows, start, stop)
            if stop - start > 1 and layout.rows[stop - 1].band == "bold":
                stop -= 1
        pages.append((start, stop))
        start, room = stop, others
    return pages or [(0, 0)]


def _before_remarks(rows: Sequence[_Laid], start: int, stop: int) -> int:
    """Where to end a page that would end at ``stop``: before the row that the remarks after it are below of, unless the page had nothing left."""
    end = stop
    while end - start > 1 and rows[end].band == "regular":
        end -= 1
    return stop if rows[end].band == "regular" else end


def draw_table(
    pen: Pen, x: float, y: float, layout: Layout, start: int = 0, stop: int | None = None
) -> float:
    """Draws the column heads and the rows start..stop from x, y on; returns y of the last rule."""
    above = layout.continued(start)
    rows = (*([above] if above else ()), *layout.rows[start:stop])
    right, tag = x + layout.width, layout.tag
    edges = [x]
    for w in layout.widths:
        edges.append(edges[-1] + w)
    _draw_heads(pen, edges, y, layout)
    top = y
    y += layout.head_height
    pen.line(x, y, right, y, WIDE, tag=tag)
    segments: list[tuple[float, float]] = [(top, y)]
    in_group = 0
    for index, row in enumerate(rows):
        last = index == len(rows) - 1
        if row.band is not None:
            _draw_band(pen, x, right, y, row, layout)
            in_group = 0
        else:
            for cell, clouded, column, left, w in zip(
                row.cells, row.clouded, layout.columns, edges, layout.widths, strict=False
            ):
                more = CLOUD_PAD if clouded and not isinstance(cell, Cell) else 0.0
                _draw_cell(pen, cell, column, left + more, w - 2 * more, y, row, layout)
                if clouded:
                    _draw_cloud(pen, left, left + w, y, row)
            in_group += 1
            segments.append((y, y + row.height))
        y += row.height
        wide = last or in_group == GROUP
        in_group = 0 if wide else in_group
        pen.line(x, y, right, y, WIDE if wide else THIN, tag=tag)
    pen.line(x, top, right, top, WIDE, tag=tag)
    for side in (x, right):
        pen.line(side, top, side, y, WIDE, tag=tag)
    for edge in edges[1:-1]:
        for first, end in _joined(segments):
            pen.line(edge, first, edge, end, THIN, tag=tag)
    return y


def _joined(segments: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Segments that meet made one, so that a rule is one line and not forty."""
    whole: list[tuple[float, float]] = []
    for first, end in segments:
        if whole and abs(whole[-1][1] - first) < 1e-6:
            whole[-1] = (whole[-1][0], end)
        else:
            whole.append((first, end))
    return whole


def _draw_heads(pen: Pen, edges: Sequence[float], y: float, layout: Layout) -> None:
    for lines, column, left, w in zip(
        layout.heads, layout.columns, edges, layout.widths, strict=False
    ):
        tall = HEAD * (1 + LINE * (len(lines) - 1))
        baseline = y + (layout.head_height - tall) / 2 + HEAD
        for line in lines:
            pen.text(
                _anchored(left, w, column.anchor), baseline, line, HEAD, column.anchor, "bold",
                tag=layout.tag,
            )  # fmt: skip
            baseline += HEAD * LINE


def _anchored(left: float, width: float, anchor: Anchor) -> float:
    return {"start": left + PAD, "middle": left + width / 2, "end": left + width - PAD}[anchor]


def _draw_cell(
    pen: Pen,
    cell: tuple[CellLine, ...] | EmptyBox | Cell | Mark,
    column: Column,
    left: float,
    width: float,
    y: float,
    row: _Laid,
    layout: Layout,
) -> None:
    if isinstance(cell, EmptyBox):
        pen.rect(left + PAD, y + 0.9, width - 2 * PAD, row.height - 1.8, THIN, tag=cell.tag)
    elif isinstance(cell, Cell):
        cell.draw(pen, left + PAD, y + PAD, width - 2 * PAD, row.height - 2 * PAD)
    elif isinstance(cell, Mark):
        _draw_mark(pen, left + width, y, row, cell)
    else:
        _draw_lines(pen, left, width, y, row, cell, column.anchor, "regular", layout)


def _draw_band(pen: Pen, x: float, right: float, y: float, row: _Laid, layout: Layout) -> None:
    more = CLOUD_PAD if row.mark else 0.0
    _draw_lines(pen, x + more, right - x - more, y, row, row.cells[0], "start", row.band, layout)
    if row.mark is not None:
        _draw_mark(pen, right, y, row, row.mark)
        if row.clouded[0]:
            _draw_cloud(pen, x, right - mark_width(row.mark), y, row)


def _draw_mark(pen: Pen, right: float, y: float, row: _Laid, mark: Mark) -> None:
    """The triangle of a row at the right edge of the table, its word left of it."""
    left = right - PAD - SIDE
    draw_triangle(pen, left, y + (row.height - HIGH) / 2, mark.letter)
    if mark.word:
        pen.text(left, y + (row.height + HEAD) / 2, mark.word, HEAD, "end", "bold", tag="revision")


def _draw_cloud(pen: Pen, left: float, right: float, y: float, row: _Laid) -> None:
    draw_cloud(pen, left + CLOUD_INSET, y + CLOUD_INSET, right - left - 2 * CLOUD_INSET, row.height - 2 * CLOUD_INSET)


def _draw_lines(
    pen: Pen,
    left: float,
    width: float,
    y: float,
    row: _Laid,
    lines: tuple[CellLine, ...],
    anchor: Anchor,
    weight: Weight,
    layout: Layout,
) -> None:
    """The lines of a cell, the block of them centred in the row's height."""
    height = layout.text_height
    pitch = LINE * height
    baseline = y + (row.height - height - pitch * (len(lines) - 1)) / 2 + height
    x = _anchored(left, width, anchor)
    for line in lines:
        if isinstance(line, EmptyBox):
            pen.rect(left + PAD, baseline - (height + BOX_HEIGHT) / 2, width - 2 * PAD, BOX_HEIGHT, THIN, tag=line.tag)
        elif isinstance(line, Flags):
            back = {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * flags_width(line)
            draw_flags(pen, x - back, baseline - height / 2, line)
        else:
            _draw_line(pen, x, baseline, line, anchor, weight, layout)
        baseline += pitch


def _draw_line(pen: Pen, x: float, baseline: float, line: CellText | Struck, anchor: Anchor, weight: Weight, layout: Layout) -> None:
    height = layout.text_height
    text = line if isinstance(line, str) else line.text
    if isinstance(line, Struck):
        back = {"start": 0.0, "middle": text_width(text, height) / 2, "end": text_width(text, height)}[anchor]
        draw_struck(pen, x - back, baseline, text, height)
        return
    pen.text(x, baseline, text, height, anchor, weight, tag=layout.tag)
    if isinstance(line, LinkText) and text:
        length = text_width(text, height, weight)
        back = {"start": 0.0, "middle": length / 2, "end": length}[anchor]
        above = baseline - height - (LINE * height - height) / 2
        pen.link(x - back, above, length, LINE * height, line.target, tag=layout.tag)
