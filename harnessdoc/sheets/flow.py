"""Text and tables set one under another over as many pages as they take.

Takes the blocks of a sheet in order (headings, words, tables, drawn pieces); gives
its pages. What the lists and front sheets have in common: a heading never stands
alone at the foot of a page, a table goes on under its column heads on the next.
All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from ..drawing.flag_notes import BETWEEN, Flags, draw_some, some_width
from ..drawing.lettering import Weight, cut, wrap
from ..drawing.page import Orientation, Paper, TitleBlock, new_page
from ..drawing.pen import Pen
from ..drawing.record import Area, Drawing
from ..drawing.revision_marks import HIGH, draw_struck, draw_triangle
from ..drawing.table import MARK_WIDTH, Layout, Mark, draw_table, paginate
from .context import Context, SheetRef

DATA = 2.5
HEADING = 3.5
LINE = 1.7
"""From baseline to baseline of running text, in heights of capitals."""
AFTER = 5.0
"""Free space below a table or a drawn piece."""
AFTER_WORDS = 3.0
AFTER_HEADING = 2.5
FEW_LINES = 3
"""Words of no more lines than this stay with what follows them, where a heading stands over them."""
FLAGS_SHARE = 0.4
"""Of the width of a heading that its flags take at most."""
BEFORE_HEADING = 2.0
"""Free space above a heading that is not at the top of a page."""

Draw = Callable[[Pen, float, float], None]
"""Draws a piece whose top left corner is x, y."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading over what follows, with the flags of the findings at what it is about behind it; cut where it is wider than the page."""

    text: str
    flags: Flags | None = None


@dataclass(frozen=True, slots=True)
class Words:
    """Running text, broken at the width of the page; ``tag`` as for marks.

    Where it differs from the version before ``mark`` is its triangle, left of it, and what
    was said then is ``was``, struck through below; of a text that is gone ``text`` is "".
    """

    text: str
    weight: Weight = "regular"
    height: float = DATA
    tag: str = "words"
    was: str = ""
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class Drawn:
    """A piece that draws itself and is never split."""

    height: float
    draw: Draw


Block = Heading | Words | Drawn | Layout
"""A Layout is a table, made by ``drawing.table.lay_out``."""


@dataclass(frozen=True, slots=True)
class _Piece:
    """Part of a block that stands on one page: its height, the free space below, and how it is drawn."""

    height: float
    below: float
    draw: Draw


def free_area(paper: Paper, orientation: Orientation) -> Area:
    """The area of a page that blocks are set in."""
    return new_page(paper, TitleBlock("", "", ""), orientation)[1]


def set_pages(context: Context, ref: SheetRef, blocks: Sequence[Block], orientation: Orientation = "portrait", before: int = 0) -> tuple[Drawing, ...]:
    """The pages of a sheet that is made of ``blocks``; at least one. before: so many other pages of the sheet stand before them."""
    area = free_area(context.paper, orientation)
    pages = _paged(blocks, area)
    drawings = []
    for number, page in enumerate(pages, start=before + 1):
        pen, area = context.page(ref, number, before + len(pages), orientation)
        for piece, y in page:
            piece.draw(pen, area.x, area.y + y)
        drawings.append(pen.drawing())
    return tuple(drawings)


def height_of(blocks: Sequence[Block], area: Area) -> float:
    """The height that blocks take on a page without an end, in mm."""
    endless = Area(area.x, area.y, area.w, float("inf"))
    return max((y + piece.height for piece, y in _paged(blocks, endless)[0]), default=0.0)


def _paged(blocks: Sequence[Block], area: Area) -> list[list[tuple[_Piece, float]]]:
    """The pieces of each page with their distance from the top of it."""
    pages: list[list[tuple[_Piece, float]]] = [[]]
    y = 0.0
    for index, block in enumerate(blocks):
        least = _least(block, area.w)
        if isinstance(block, Heading):
            least += BEFORE_HEADING + _least_below(blocks[index + 1:], area.w)
        if pages[-1] and y + least > area.h:
            pages.append([])
            y = 0.0
        if pages[-1] and isinstance(block, Heading):
            y += BEFORE_HEADING
        for piece in _pieces(block, area, area.h - y):
            if pages[-1] and y + piece.height > area.h:
                pages.append([])
                y = 0.0
            pages[-1].append((piece, y))
            y += piece.height + piece.below
    return pages


def _least_below(blocks: Sequence[Block], width: float) -> float:
    """The height that must be left below a heading: a few words are no company for it, what they speak of must begin there too."""
    below, after = 0.0, AFTER_HEADING
    for number, block in enumerate(blocks):
        if number and isinstance(block, Heading):
            break
        below += after + _least(block, width)
        if not isinstance(block, Words) or len(_lines_of(block, width)) > FEW_LINES:
            break
        after = AFTER_WORDS
    return below


def _least(block: Block, width: float) -> float:
    """The height that must be left on a page for a block to begin there."""
    match block:
        case Heading():
            return HEADING
        case Words():
            return min(3, len(_lines_of(block, width))) * block.height * LINE + (HIGH if block.mark else 0.0)
        case Drawn():
            return block.height
        case Layout(is_whole=True):
            return block.height(0, len(block.rows))
        case Layout():
            first = 2 if block.rows and block.rows[0].band == "bold" else 1
            return block.height(0, first)


def _pieces(block: Block, area: Area, room: float) -> Iterator[_Piece]:
    """The pieces of a block, the first of which has ``room`` mm of height."""
    match block:
        case Heading():
            yield _Piece(HEADING, AFTER_HEADING, partial(_write_heading, block, area.w))
        case Words():
            lines = _lines_of(block, area.w)
            for number, line in enumerate(lines, start=1):
                mark = block.mark if number == 1 else None
                height = max(line.height, HIGH) if mark else line.height
                below = AFTER_WORDS if number == len(lines) else line.height * (LINE - 1)
                yield _Piece(height, below, partial(_write_line, line, mark, height, MARK_WIDTH if block.mark else 0.0))
        case Drawn():
            yield _Piece(block.height, AFTER, block.draw)
        case Layout():
            for start, stop in paginate(block, room, area.h):
                yield _Piece(block.height(start, stop), AFTER, partial(_table, block, start, stop))


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of running text."""

    text: str
    height: float
    weight: Weight
    tag: str
    struck: bool = False


def _lines_of(words: Words, width: float) -> list[_Line]:
    """The lines of running text with what was said before; none wider than ``width``, the triangle's room reckoned in."""
    room = width - MARK_WIDTH if words.mark else width
    lines = [] if words.mark and not words.text else [_Line(cut(line, room, words.height, words.weight), words.height, words.weight, words.tag)
                                                      for line in wrap(words.text, room, words.height, words.weight)]
    was = [_Line(cut(line, room, DATA), DATA, "regular", "struck", struck=True) for line in wrap(words.was, room, DATA)] if words.was else []
    return [*lines, *was]


def _write_line(line: _Line, mark: Mark | None, tall: float, indent: float, pen: Pen, x: float, y: float) -> None:
    """A line in the middle of ``tall`` mm, ``indent`` mm from x, with the triangle of its words where it is the first."""
    if mark is not None:
        draw_triangle(pen, x, y + (tall - HIGH) / 2, mark.letter)
    baseline = y + (tall + line.height) / 2
    if line.struck:
        draw_struck(pen, x + indent, baseline, line.text)
    else:
        pen.text(x + indent, baseline, line.text, line.height, weight=line.weight, tag=line.tag)


def _write_heading(heading: Heading, width: float, pen: Pen, x: float, y: float) -> None:
    flags, room = heading.flags, FLAGS_SHARE * width
    behind = some_width(flags, room) + 2 * BETWEEN if flags else 0.0
    used = pen.text(x, y + HEADING, cut(heading.text, width - behind, HEADING, "bold"), HEADING, weight="bold", tag="heading")
    if flags:
        draw_some(pen, x + used + 2 * BETWEEN, y + HEADING / 2, flags, room)


def _table(layout: Layout, start: int, stop: int, pen: Pen, x: float, y: float) -> None:
    draw_table(pen, x, y, layout, start, stop)
