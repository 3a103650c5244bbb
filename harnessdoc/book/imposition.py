"""Pages set out on sheets of paper that are printed on both sides and folded into a booklet.

Takes the pages in reading order, each a recorded drawing of one size; gives the sides of the sheets, front and back in turn,
each two pages wide. Where the stack is folded in the middle and stapled, the pages follow each other. A side is turned over
about its short edge. Of more sheets than MOST_IN_FOLD the booklet has several folds of about equal thickness, which lie on each other:
a thicker stack does not lie flat and its inner pages stand out (common practice: 15 sheets of 80 g/m2).

The number of a page stands below its frame on the outer side, what the printer must know in the middle below the left one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from ..drawing.page import BOOKLET_MARGIN
from ..drawing.record import BLACK, Arc, Circle, Drawing, Line, Link, Mark, Point, Polyline, Rect, Text, bounds

PAGES_A_SHEET = 4
MOST_IN_FOLD = 15
NUMBER, NOTE = 3.5, 2.5
NUMBER_TAG, NOTE_TAG = "page number", "for the printer"
NUMBER_BASE = 6.0
"""From the lower edge of a page up to the baseline of its number, mm."""


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a sheet; ``left``, ``right``: indices of the pages that stand on it, from 0."""

    fold: int
    sheet: int
    is_front: bool
    left: int
    right: int


def sides(count: int, most: int = MOST_IN_FOLD) -> tuple[Side, ...]:
    """Which pages stand where, of ``count`` pages, a multiple of 4; folds and sheets counted from 1. Raises ValueError for another count."""
    if count % PAGES_A_SHEET:
        raise ValueError(f"{count} pages do not fill sheets of {PAGES_A_SHEET}")
    found: list[Side] = []
    sheets = count // PAGES_A_SHEET
    folds = -(-sheets // most)
    first = 0
    for fold in range(1, folds + 1):
        mine = sheets // folds + (fold <= sheets % folds)
        last = first + PAGES_A_SHEET * mine - 1
        for sheet in range(mine):
            low, high = first + 2 * sheet, last - 2 * sheet
            found.append(Side(fold, sheet + 1, True, high, low))
            found.append(Side(fold, sheet + 1, False, low + 1, high - 1))
        first = last + 1
    return tuple(found)


def imposed(pages: Sequence[Drawing], most: int = MOST_IN_FOLD) -> tuple[Drawing, ...]:
    """The sides with their pages drawn; ``pages``: as many as fill whole sheets."""
    places = sides(len(pages), most)
    sheets = {fold: sum(side.fold == fold and side.is_front for side in places) for fold in {side.fold for side in places}}
    return tuple(_side(pages[side.left], pages[side.right], _words(side, len(sheets), sheets[side.fold])) for side in places)


def _words(side: Side, folds: int, sheets: int) -> str:
    fold = f"Fold {side.fold} of {folds}, sheet" if folds > 1 else "Sheet"
    return f"{fold} {side.sheet} of {sheets}, {'front' if side.is_front else 'back'}: flip on the short edge"


def _side(left: Drawing, right: Drawing, words: str) -> Drawing:
    note = Text(left.width_mm / 2, left.height_mm - NUMBER_BASE, words, NOTE, "middle", "regular", False, BLACK, NOTE_TAG)
    marks = [*left.marks, *moved(right.marks, left.width_mm), note]
    # links lead to pages of another file
    return Drawing(left.width_mm + right.width_mm, left.height_mm, tuple(mark for mark in marks if not isinstance(mark, Link)), tuple(dict.fromkeys((*left.missing, *right.missing))))


def numbered(page: Drawing, number: int) -> Drawing:
    """A page with its number below its outer corner: the odd ones lie right of the fold."""
    x, anchor = (page.width_mm - BOOKLET_MARGIN, "end") if number % 2 else (BOOKLET_MARGIN, "start")
    return replace(page, marks=(*page.marks, Text(x, page.height_mm - NUMBER_BASE, str(number), NUMBER, anchor, "bold", False, BLACK, NUMBER_TAG)))


# ------------------------------------------------------------------------------ two pages of one drawing

def halves(spread: Drawing) -> tuple[Drawing, Drawing]:
    """The left and the right page of a drawing over both; lines and outlines that cross the fold are cut there."""
    middle = spread.width_mm / 2
    left = tuple(piece for mark in spread.marks for piece in _within(mark, 0.0, middle))
    right = tuple(piece for mark in spread.marks for piece in _within(mark, middle, spread.width_mm))
    return (Drawing(middle, spread.height_mm, left, spread.missing), Drawing(middle, spread.height_mm, tuple(moved(right, -middle)), spread.missing))


def _within(mark: Mark, low: float, high: float) -> Iterator[Mark]:
    """What of a mark lies between two x: all of it, its cut lines, or nothing. A text, circle or arc is never cut: its middle says where it is."""
    x1, _, x2, _ = bounds(mark)
    half = getattr(mark, "width", 0.0) / 2
    if low <= x1 + half and x2 - half <= high:
        yield mark
    elif x2 - half <= low or high <= x1 + half:
        return
    elif isinstance(mark, Line):
        (a, b), = _runs(((mark.x1, mark.y1), (mark.x2, mark.y2)), low, high)
        yield replace(mark, x1=a[0], y1=a[1], x2=b[0], y2=b[1])
    elif isinstance(mark, (Polyline, Rect)):
        points, is_closed = (mark.points, mark.closed) if isinstance(mark, Polyline) else (_corners(mark), True)
        line = (*points, points[0]) if is_closed else points
        if mark.fill is not None:
            yield Polyline(tuple(_clipped(points, low, high)), 0.0, mark.fill, True, (), mark.tag)
        if mark.width:
            for run in _runs(line, low, high):
                yield Polyline(tuple(run), mark.width, None, False, mark.dash, mark.tag)
    elif low <= (x1 + x2) / 2 < high:
        yield mark


def _corners(rect: Rect) -> tuple[Point, ...]:
    return (rect.x, rect.y), (rect.x + rect.w, rect.y), (rect.x + rect.w, rect.y + rect.h), (rect.x, rect.y + rect.h)


def _runs(points: Sequence[Point], low: float, high: float) -> Iterator[list[Point]]:
    """The stretches of a line that lie between two x."""
    run: list[Point] = []
    for (ax, ay), (bx, by) in zip(points, points[1:], strict=False):
        if max(ax, bx) <= low and ax != bx or min(ax, bx) >= high and ax != bx or ax == bx and not low < ax < high:
            ends = None
        else:
            ends = tuple((at, ay if ay == by else ay + (by - ay) * (at - ax) / (bx - ax)) for at in (min(max(ax, low), high), min(max(bx, low), high))) if ax != bx else ((ax, ay), (bx, by))
        if run and (ends is None or run[-1] != ends[0]):
            yield run
            run = []
        if ends:
            run = [*(run or [ends[0]]), ends[1]]
    if run:
        yield run


def _clipped(points: Sequence[Point], low: float, high: float) -> list[Point]:
    """A filled outline cut at two x (after Sutherland and Hodgman)."""
    for at, sign in ((low, 1), (high, -1)):
        kept: list[Point] = []
        for (ax, ay), (bx, by) in zip(points, (*points[1:], points[0]), strict=True):
            if sign * ax >= sign * at:
                kept.append((ax, ay))
            if (sign * ax - sign * at) * (sign * bx - sign * at) < 0:
                kept.append((at, ay + (by - ay) * (at - ax) / (bx - ax)))
        points = kept
    return list(points)


def moved(marks: Iterable[Mark], dx: float) -> Iterator[Mark]:
    """Marks so many mm further right."""
    for mark in marks:
        match mark:
            case Line():
                yield replace(mark, x1=mark.x1 + dx, x2=mark.x2 + dx)
            case Polyline():
                yield replace(mark, points=tuple((x + dx, y) for x, y in mark.points))
            case Circle() | Arc():
                yield replace(mark, cx=mark.cx + dx)
            case _:
                yield replace(mark, x=mark.x + dx)
