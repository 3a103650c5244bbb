"""The bundle at full size on a board, and the pages of paper that make it up.

Takes the trees of a bundle and a paper; gives a Board: the bundle placed, its trunk straight
and its branches at angles, and the tiles that have ink, each a window on the board. Of
several boards the one is taken that has few pages, is not high and has few cuts: a branch that
finds no place beside the others is drawn apart, below, joined by a letter. All in mm of board,
which are mm as built.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from ..drawing.page import FIELD_LETTERS, Paper
from ..drawing.record import Area
from .bundle_layout import PAD_X, RING, STUB, Cut, Run, Sheetful, Spot, lay_out_bundle
from .bundle_tree import Tree
from .plane import Segment, crosses_box

OVERLAP = 10.0
"""Two neighbouring pages show so much of the board both."""
SIDE, HEAD, FOOT = 12.0, 20.0, 12.0
"""From the edges of the paper to the window: left and right, above, below."""
HEIGHTS = (700.0, 1000.0, 1400.0, 2000.0, 2800.0, 4000.0, 6000.0, 9000.0)
"""Heights of boards that are tried."""
CLEARANCES = (60.0, 35.0)
"""Between lines of the bundle that do not meet."""
CUT, METRE = 3, 10
"""A side of a cut, and a metre of the board's height, weigh as much as so many pages more."""
SHIFTS = 8
"""The grid of pages is tried in so many places across and down."""
MARK = 3.0
"""What stands on a line of the bundle reaches so far beside it."""


@dataclass(frozen=True, slots=True)
class Tile:
    """A page: its row from the top and column from the left, both from 0; ``core`` is the part of the board that is its own, ``window`` what it shows."""

    row: int
    column: int
    core: Area
    window: Area

    @property
    def name(self) -> str:
        """``C4``: row and column."""
        letters = FIELD_LETTERS[self.row % len(FIELD_LETTERS)] * (1 + self.row // len(FIELD_LETTERS))
        return f"{letters}{self.column + 1}"


@dataclass(frozen=True, slots=True)
class Board:
    """``page``: the whole bundle; ``is_wide``: the paper lies; ``tiles`` in rows."""

    page: Sheetful
    is_wide: bool
    tiles: tuple[Tile, ...]

    @property
    def height(self) -> float:
        """From the highest to the lowest line."""
        return max(max(line[1], line[3]) for line in self.page.strokes) - min(min(line[1], line[3]) for line in self.page.strokes)

    @property
    def cuts(self) -> int:
        return len(self.page.cuts) + sum(bool(spot.on) for spot in self.page.spots)


def make_board(trees: Sequence[Tree], paper: Paper) -> Board:
    """The best of the boards that hold the longest trunk in one piece."""
    trunks = (tree.chain(tree.children[tree.root][0]) for tree in trees)
    long = max(sum(step.edge.length_mm for step in trunk) for trunk in trunks) + 4 * (PAD_X + RING) + STUB
    boards = []
    for height, clear in product(HEIGHTS, CLEARANCES):
        page = _one_page(lay_out_bundle(trees, 1.0, Area(0.0, 0.0, long, height), clear), height)
        boards.append(min((_tiled(page, paper, is_wide) for is_wide in (True, False)), key=lambda board: len(board.tiles)))
    return min(boards, key=lambda board: len(board.tiles) + CUT * board.cuts + METRE * board.height / 1000)


def window_size(paper: Paper, is_wide: bool) -> tuple[float, float]:
    """Width and height of what a page shows of the board."""
    width, height = (paper.height_mm, paper.width_mm) if is_wide else (paper.width_mm, paper.height_mm)
    return width - 2 * SIDE, height - HEAD - FOOT


def seen_through(page: Sheetful, tile: Tile) -> Sheetful:
    """What a tile shows, moved so that its window begins at 0, 0: runs cut off at the edges, points and rings that lie in the window."""
    window, dx, dy = tile.window, -tile.window.x, -tile.window.y
    runs = [replace(run, x1=run.x1 + dx, y1=run.y1 + dy, x2=run.x2 + dx, y2=run.y2 + dy) for run in _clipped_runs(page.runs, window)]
    strokes = [(x1 + dx, y1 + dy, x2 + dx, y2 + dy) for stroke in page.strokes if (at := clip(stroke, window)) for x1, y1, x2, y2 in [_part(stroke, *at)]]
    cuts = []
    for one in page.cuts:
        if contains(window, one.x, one.y) and (at := clip((one.x1, one.y1, one.x, one.y), window)):
            x1, y1, _, _ = _part((one.x1, one.y1, one.x, one.y), *at)
            cuts.append(Cut(one.letter, one.x + dx, one.y + dy, x1 + dx, y1 + dy))
    spots = [Spot(spot.point, spot.x + dx, spot.y + dy, spot.on, spot.copy) for spot in page.spots if contains(window, spot.x, spot.y)]
    return Sheetful(tuple(runs), tuple(spots), tuple(cuts), tuple(strokes))


def contains(area: Area, x: float, y: float) -> bool:
    """True for a point of an area; of the edges the left and the upper belong to it."""
    return area.x <= x < area.right and area.y <= y < area.bottom


def clip(line: Segment, area: Area) -> tuple[float, float] | None:
    """From which to which share a line lies in an area (Liang and Barsky); None where it does not."""
    x1, y1, x2, y2 = line
    enter, leave = 0.0, 1.0
    for start, step, low, high in ((x1, x2 - x1, area.x, area.right), (y1, y2 - y1, area.y, area.bottom)):
        if step == 0:
            if not low <= start <= high:
                return None
            continue
        first, second = sorted(((low - start) / step, (high - start) / step))
        enter, leave = max(enter, first), min(leave, second)
    return (enter, leave) if enter < leave else None


def _part(line: Segment, enter: float, leave: float) -> Segment:
    x1, y1, x2, y2 = line
    return x1 + enter * (x2 - x1), y1 + enter * (y2 - y1), x1 + leave * (x2 - x1), y1 + leave * (y2 - y1)


def _clipped_runs(runs: Sequence[Run], window: Area) -> Iterator[Run]:
    for run in runs:
        at = clip((run.x1, run.y1, run.x2, run.y2), window)
        if at:
            x1, y1, x2, y2 = _part((run.x1, run.y1, run.x2, run.y2), *at)
            long = run.to_mm - run.from_mm
            yield replace(run, x1=x1, y1=y1, x2=x2, y2=y2, from_mm=run.from_mm + at[0] * long, to_mm=run.from_mm + at[1] * long)


def _one_page(pages: Sequence[Sheetful], height: float) -> Sheetful:
    """Several pages one under another."""
    runs, spots, cuts, strokes = [], [], [], []
    for number, page in enumerate(pages):
        dy = number * height
        runs += [replace(run, y1=run.y1 + dy, y2=run.y2 + dy) for run in page.runs]
        spots += [replace(spot, y=spot.y + dy) for spot in page.spots]
        cuts += [replace(one, y=one.y + dy, y1=one.y1 + dy) for one in page.cuts]
        strokes += [(x1, y1 + dy, x2, y2 + dy) for x1, y1, x2, y2 in page.strokes]
    return Sheetful(tuple(runs), tuple(spots), tuple(cuts), tuple(strokes))


def _tiled(page: Sheetful, paper: Paper, is_wide: bool) -> Board:
    """The grid in the place where fewest pages have ink; of equals that where lines keep farthest from the edges."""
    width, height = (size - OVERLAP for size in window_size(paper, is_wide))
    left, top = min(min(s[0], s[2]) for s in page.strokes), min(min(s[1], s[3]) for s in page.strokes)
    best: dict[tuple[int, int], None] | None = None
    at = (left, top)
    for across, down in product(range(SHIFTS), range(SHIFTS)):
        x, y = left - (0.1 + 0.8 * across / SHIFTS) * width, top - (0.1 + 0.8 * down / SHIFTS) * height
        found = dict.fromkeys(cell for stroke in page.strokes for cell in _cells(stroke, x, y, width, height))
        if best is None or len(found) < len(best):
            best, at = found, (x, y)
    cells = sorted(best or {})
    first_row, first_column = min(row for row, _ in cells), min(column for _, column in cells)
    tiles = []
    for row, column in cells:
        core = Area(at[0] + column * width, at[1] + row * height, width, height)
        window = Area(core.x - OVERLAP / 2, core.y - OVERLAP / 2, width + OVERLAP, height + OVERLAP)
        tiles.append(Tile(row - first_row, column - first_column, core, window))
    return Board(page, is_wide, tuple(tiles))


def _cells(stroke: Segment, x: float, y: float, width: float, height: float) -> Iterator[tuple[int, int]]:
    """Row and column of every cell that a line and what stands on it reach."""
    x1, y1, x2, y2 = stroke
    rows = range(int((min(y1, y2) - MARK - y) // height), int((max(y1, y2) + MARK - y) // height) + 1)
    columns = range(int((min(x1, x2) - MARK - x) // width), int((max(x1, x2) + MARK - x) // width) + 1)
    for row, column in product(rows, columns):
        left, top = x + column * width, y + row * height
        if crosses_box(stroke, (left - MARK, top - MARK, left + width + MARK, top + height + MARK)):
            yield row, column
