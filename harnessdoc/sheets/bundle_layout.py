"""The bundle straightened on paper, every length to scale.

Takes the trees of a bundle, a scale and the room on a page; gives pages of placed
pieces. A piece is a trunk along the page with branches that leave it at an angle,
straight and to scale. A trunk longer than the page goes on in the next piece; a
branch that would come too close to another is drawn as a piece of its own. The two
sides of such a cut bear the same letter in a ring. Directions mean nothing; but which
branch is placed before which, and the side it is tried on first, hang on the order of
the file and on how the tree branches, on no length, so that in a later version with other
lengths a branch is looked for where it was.

All lengths in mm of paper but where a name says otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import cos, radians, sin

from ..drawing.record import Area
from .bundle_tree import Node, Step, Tree
from .plane import Segment, box_of, distance

RING = 2.6
"""Radius of the ring with the letter of a cut."""
NEAR = 1.5
"""Between a point and the ring of a cut, at least."""
STUB = 6.0
STUBS = (STUB, 2 * STUB, 3 * STUB, 4.5 * STUB)
"""Lengths of the line to the ring of a branch that is drawn elsewhere, the first that fits; it is not to scale."""
STUB_CLEAR = 2 * RING + 0.8
"""Between the line to such a ring and other lines: room for two rings."""
APART_DEG, STUB_APART_DEG = 30, 25
"""Between lines that leave one point."""
TURNS = (90, -90, 60, -60, 120, -120, 45, -45, 135, -135, 30, -30, 150, -150)
STUB_TURNS = (*TURNS, 75, -75, 105, -105, 20, -20, 160, -160)
MOST_BRANCHES = 5
"""Of more branches at one point, the rest is drawn elsewhere, so that the cut finds room."""
PAD_X, PAD_Y = 14.0, 9.0
"""Kept free round a piece for its labels."""


Hang = tuple[Step, float, float, float]
"""The first step of a branch, where it leaves the line it hangs on, and the angle of that line."""


@dataclass(frozen=True, slots=True)
class Run:
    """A straight stretch of a segment: ``from_mm`` to ``to_mm`` of the segment as built, and where it lies on paper."""

    segment: str
    from_mm: float
    to_mm: float
    x1: float
    y1: float
    x2: float
    y2: float
    known: bool


@dataclass(frozen=True, slots=True)
class Spot:
    """A point of the bundle on paper; ``on`` the letter of a cut here whose ring found no place; ``copy``: see bundle_tree.Node; ``is_again``: branches that found no room where the point stands go on from it here."""

    point: str
    x: float
    y: float
    on: str = ""
    copy: int = 0
    is_again: bool = False


@dataclass(frozen=True, slots=True)
class Cut:
    """Where the drawing is interrupted: the ring's centre, and the line to it that has no length (x1, y1 its end)."""

    letter: str
    x: float
    y: float
    x1: float
    y1: float


@dataclass(frozen=True, slots=True)
class Sheetful:
    """What stands on one page, placed; ``strokes`` are the runs that lie in one straight line, and the lines to rings, whole; ``tops`` where each shelf of pieces begins."""

    runs: tuple[Run, ...]
    spots: tuple[Spot, ...]
    cuts: tuple[Cut, ...]
    strokes: tuple[Segment, ...]
    tops: tuple[float, ...] = ()


@dataclass(slots=True)
class _Piece:
    """A piece while it is built; ``strokes`` are whole straight lines, ``out`` the directions taken at each node."""

    runs: list[Run] = field(default_factory=list)
    spots: list[Spot] = field(default_factory=list)
    cuts: list[Cut] = field(default_factory=list)
    strokes: list[Segment] = field(default_factory=list)
    out: dict[Node, list[float]] = field(default_factory=dict)

    def bounds(self) -> tuple[float, float, float, float]:
        boxes = [(cut.x - RING, cut.y - RING, cut.x + RING, cut.y + RING) for cut in self.cuts] + [box_of(stroke) for stroke in self.strokes]
        return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)


@dataclass(slots=True)
class _Letters:
    """Letters for cuts: A to Z, then A2 and so on."""

    used: int = 0

    def next(self) -> str:
        row, letter = divmod(self.used, 26)
        self.used += 1
        return chr(ord("A") + letter) + (str(row + 1) if row else "")


def lay_out_bundle(trees: Sequence[Tree], per_mm: float, area: Area, clear: float, pad: float = PAD_Y) -> list[Sheetful]:
    """Pages for the trees at ``per_mm`` mm of paper a mm of bundle, each within ``area``.

    Lines of the bundle that do not meet stay ``clear`` mm apart; the larger that is,
    the more branches are drawn as pieces of their own, and the more room labels find; ``pad`` mm are free above and below a piece.
    """
    letters = _Letters()
    pieces = [piece for tree in trees for piece in _pieces(tree, per_mm, area, clear, letters, pad)]
    return list(_pages(pieces, area, pad))


def _pieces(tree: Tree, per_mm: float, area: Area, clear: float, letters: _Letters, pad: float) -> Iterator[_Piece]:
    width, tall = area.w - 2 * PAD_X - 4 * RING - STUB, area.h / 2 - pad
    waiting: list[tuple[str, Node, tuple[Step, ...]]] = [("", tree.root, tree.children[tree.root])]
    for letter, node, steps in waiting:
        trunk, others = tree.chain(steps[0]), steps[1:]
        piece, x = _Piece(), 0.0
        if letter:
            piece.cuts.append(Cut(letter, -STUB - RING, 0.0, 0.0, 0.0))
        piece.out[node] = [0.0, 180.0]
        piece.spots.append(Spot(node[0], 0.0, 0.0, copy=node[1], is_again=bool(letter)))
        hangs = [(step, 0.0, 0.0, 0.0) for step in others]
        begin = -STUB - 2 * RING if letter else 0.0
        for step in trunk:
            done, length = 0.0, step.edge.length_mm * per_mm
            while x + length - done > width + 1e-6:
                # Neither ring of a cut may cover the point before or behind it.
                taken = max(NEAR, min(width - x, length - done - 2 * RING))
                _add_run(piece, step, done, done + taken, x, 0.0, 0.0, per_mm)
                cut = letters.next()
                piece.cuts.append(Cut(cut, x + taken + RING, 0.0, x + taken, 0.0))
                yield from _finish(piece, tree, hangs, begin, x + taken + 2 * RING, tall, per_mm, clear, letters, waiting)
                piece, hangs, x, begin, done = _Piece(), [], 0.0, -2 * RING, done + taken
                piece.cuts.append(Cut(cut, -RING, 0.0, 0.0, 0.0))
            _add_run(piece, step, done, length, x, 0.0, 0.0, per_mm)
            x += length - done
            piece.spots.append(Spot(step.end[0], x, 0.0, copy=step.end[1]))
            piece.out[step.end] = [0.0, 180.0]
            hangs += [(branch, x, 0.0, 0.0) for branch in tree.children[step.end][1:]]
        yield from _finish(piece, tree, hangs, begin, x, tall, per_mm, clear, letters, waiting)


def _finish(piece: _Piece, tree: Tree, hangs: list[Hang], begin: float, end: float, tall: float, per_mm: float, clear: float, letters: _Letters, waiting: list) -> Iterator[_Piece]:
    """Hang the branches, that with the most segments first, on a trunk that is drawn; what finds no room is put to ``waiting``."""
    piece.strokes.insert(0, (begin, 0.0, end, 0.0))
    limits = (-PAD_X, -tall, max(end, 60.0) + PAD_X, tall)
    lost: dict[Node, list[Step]] = {}
    at: dict[Node, tuple[float, float, float]] = {}
    sides = _sides(hangs)
    hangs = sorted(hangs, key=lambda hang: -hang[0].count)
    for step, x, y, angle in hangs:
        at[step.start] = (x, y, angle)
        chain = tree.chain(step)
        length = sum(one.edge.length_mm for one in chain) * per_mm
        turn = None
        if len(piece.out[step.start]) - 2 < MOST_BRANCHES:
            turns = sorted(TURNS, key=lambda t: (abs(abs(t) - 90), abs(t), (t > 0) != sides[step.end]))
            turn = next((t for t in turns if _fits(piece, step.start, x, y, angle + t, length, clear, APART_DEG, limits)), None)
        if turn is None:
            lost.setdefault(step.start, []).append(step)
            continue
        more = _hang(piece, tree, chain, x, y, angle + turn, per_mm)
        sides |= _sides(more)
        hangs += more
    for node, steps in lost.items():
        x, y, angle = at[node]
        letter = letters.next()
        ways = ((long, t) for long in STUBS for t in STUB_TURNS if _fits(piece, node, x, y, angle + t, long + 2 * RING, STUB_CLEAR, STUB_APART_DEG, limits))
        long, turn = next(ways, (0.0, 0))
        waiting.append((letter, node, tuple(steps)))
        if not turn:
            piece.spots = [replace(spot, on=letter) if (spot.x, spot.y) == (x, y) else spot for spot in piece.spots]
            continue
        dx, dy = cos(radians(angle + turn)), sin(radians(angle + turn))
        piece.cuts.append(Cut(letter, x + (long + RING) * dx, y + (long + RING) * dy, x, y))
        piece.strokes.append((x, y, x + (long + 2 * RING) * dx, y + (long + 2 * RING) * dy))
        piece.out[node].append(angle + turn)
    yield piece


def _sides(hangs: Sequence[Hang]) -> dict[Node, bool]:
    """End of each branch of a line -> True where it is tried at positive angles first: in turn along the line and at each of its nodes."""
    at_node: dict[Node, bool] = {}
    sides = {}
    for step, *_ in hangs:
        at_node[step.start] = not at_node[step.start] if step.start in at_node else len(at_node) % 2 == 0
        sides[step.end] = at_node[step.start]
    return sides


def _hang(piece: _Piece, tree: Tree, chain: list[Step], x: float, y: float, angle: float, per_mm: float) -> list[Hang]:
    """Draw a chain straight from x, y; gives the branches that hang on it in turn."""
    hangs = []
    start = (x, y)
    piece.out[chain[0].start].append(angle)
    for step in chain:
        length = step.edge.length_mm * per_mm
        _add_run(piece, step, 0.0, length, x, y, angle, per_mm)
        x, y = x + length * cos(radians(angle)), y + length * sin(radians(angle))
        piece.spots.append(Spot(step.end[0], x, y, copy=step.end[1]))
        piece.out[step.end] = [angle, angle + 180]
        hangs += [(branch, x, y, angle) for branch in tree.children[step.end][1:]]
    piece.strokes.append((*start, x, y))
    return hangs


def _add_run(piece: _Piece, step: Step, done: float, until: float, x: float, y: float, angle: float, per_mm: float) -> None:
    """A stretch of a step, ``done`` to ``until`` of its length on paper, from x, y on; kept in the direction of the segment."""
    x2, y2 = x + (until - done) * cos(radians(angle)), y + (until - done) * sin(radians(angle))
    edge = step.edge
    if step.start == edge.a:
        piece.runs.append(Run(edge.segment, done / per_mm, until / per_mm, x, y, x2, y2, edge.known))
    else:
        piece.runs.append(Run(edge.segment, edge.length_mm - until / per_mm, edge.length_mm - done / per_mm, x2, y2, x, y, edge.known))


def _fits(piece: _Piece, node: Node, x: float, y: float, angle: float, length: float, clear: float, apart: float, limits: tuple[float, float, float, float]) -> bool:
    """True where a line from a node keeps clear of all lines that do not meet it there, and apart from those that do."""
    if any(abs((angle - other + 180) % 360 - 180) < apart for other in piece.out[node]):
        return False
    line = (x, y, x + length * cos(radians(angle)), y + length * sin(radians(angle)))
    left, top, right, bottom = box_of(line)
    if left < limits[0] or top < limits[1] or right > limits[2] or bottom > limits[3]:
        return False
    near = (left - clear, top - clear, right + clear, bottom + clear)
    for stroke in piece.strokes:
        box = box_of(stroke)
        if box[0] > near[2] or box[2] < near[0] or box[1] > near[3] or box[3] < near[1]:
            continue
        if distance((x, y, x, y), stroke) > 1e-6 and distance(line, stroke) < clear:
            return False
    return True


@dataclass(slots=True)
class _Shelf:
    """Its height, its pieces with the left end of each, and where the last ends."""

    height: float
    pieces: list[tuple[_Piece, float]]
    end: float


def _pages(pieces: Sequence[_Piece], area: Area, pad: float) -> Iterator[Sheetful]:
    """Pieces in shelves from the top, each in the first that has room for it, else in one of its own on the first page that has; what is left of a page is shared between the shelves."""
    pages: list[list[_Shelf]] = []
    for piece in pieces:
        left, top, right, bottom = piece.bounds()
        width, height = right - left + 2 * PAD_X, bottom - top + 2 * pad
        page, shelf = next(((page, shelf) for page in pages for shelf in _room(page, width, height, area)), (None, None))
        if page is None:
            page = []
            pages.append(page)
        if shelf is None:
            page.append(_Shelf(height, [(piece, 0.0)], width))
        else:
            shelf.height = max(height, shelf.height)
            shelf.pieces.append((piece, shelf.end))
            shelf.end += width
    for page in pages:
        yield _sheetful(page, area)


def _room(page: Sequence[_Shelf], width: float, height: float, area: Area) -> Iterator[_Shelf | None]:
    """The shelves of a page that a piece goes on, which may grow for it; None for one of its own behind the last."""
    left = area.h - sum(shelf.height for shelf in page) + 1e-6
    yield from (shelf for shelf in page if shelf.end + width <= area.w + 1e-6 and height - shelf.height <= left)
    if height <= left:
        yield None


def _sheetful(shelves: Sequence[_Shelf], area: Area) -> Sheetful:
    share = max(0.0, area.h - sum(shelf.height for shelf in shelves)) / len(shelves)
    runs, spots, cuts, strokes, tops = [], [], [], [], []
    y = area.y
    for shelf in shelves:
        tops.append(y)
        for piece, x in shelf.pieces:
            left, top, _, bottom = piece.bounds()
            dx = area.x + x + PAD_X - left
            dy = y + (shelf.height + share - (bottom - top)) / 2 - top
            runs += [replace(r, x1=r.x1 + dx, y1=r.y1 + dy, x2=r.x2 + dx, y2=r.y2 + dy) for r in piece.runs]
            spots += [replace(s, x=s.x + dx, y=s.y + dy) for s in piece.spots]
            strokes += [(x1 + dx, y1 + dy, x2 + dx, y2 + dy) for x1, y1, x2, y2 in piece.strokes]
            cuts += [replace(c, x=c.x + dx, y=c.y + dy, x1=c.x1 + dx, y1=c.y1 + dy) for c in piece.cuts]
        y += shelf.height + share
    return Sheetful(tuple(runs), tuple(spots), tuple(cuts), tuple(strokes), tuple(tops))
