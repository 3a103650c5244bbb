"""The harness layout at full size, on pages that are put together to a board to build the harness on.

Takes a Context and the reference of the sheet; gives its pages: first a map of the pages, then
those of the board that have ink (``layout_board.py``). Each page has crop marks where its own
part of the board ends, the names of its neighbours, and a bar of 100 mm to be measured
before anything is built. A book on small paper has its board on A4. This sheet is in no book.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from ..drawing.lettering import cut, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, WIDE, Area, Drawing
from .bundle_drawing import BUNDLE, NOTE
from .bundle_labels import DATA
from .bundle_layout import Run, Sheetful
from .bundle_tree import bundle_trees
from .context import Context, SheetRef
from .layout_board import HEAD, OVERLAP, SIDE, Board, Tile, contains, make_board, seen_through
from .layout_drawing import draw_layout_page
from .layout_labels import LayoutLabels
from .layout_map import LayoutPage, Told, dress, moved
from .list_cells import listed

BOARD_PAPERS = ("a4", "letter")
"""Papers that a board is printed on."""
CHECK_BAR = 100.0
"""Length of the bar that is measured on the print, mm."""
CROP = 4.0
"""Length of a crop mark."""
EDGE = 2.0
"""Kept free between the window and what stands outside it."""
NUMBERS_APART = 5.0
"""Columns and rows nearer than this on the map are not all numbered."""
SCRAP = 60.0
"""A run shorter than this has no label where another page has more of its segment."""
INSIDE = 1.0
"""Labels keep this far from the edge of the window."""


def draw_layout_1to1(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The map of the pages, then the pages in rows from the top left; a harness without segments has no such sheet."""
    if context.options.paper not in BOARD_PAPERS:
        context = replace(context, options=replace(context.options, paper=BOARD_PAPERS[0]))
    board = make_board(bundle_trees(context.harness, context.geometry), context.paper)
    words, told, count = LayoutLabels(context), Told(), len(board.tiles) + 1
    named = {(tile.row, tile.column): tile.name for tile in board.tiles}
    seen = [seen_through(board.page, tile) for tile in board.tiles]
    longest: dict[str, float] = {}
    for page in seen:
        for run in page.runs:
            longest[run.segment] = max(longest.get(run.segment, 0.0), run.to_mm - run.from_mm)
    pages = [_dressed(context, tile, page, words, told, lambda run: run.to_mm - run.from_mm >= min(SCRAP, longest[run.segment])) for tile, page in zip(board.tiles, seen)]
    drawings = [_draw_map(context, ref, board, count)]
    for number, (tile, page) in enumerate(zip(board.tiles, pages), start=2):
        drawings.append(_draw_tile(context, ref, board, tile, page, named, number, count))
    return tuple(drawings)


def _dressed(context: Context, tile: Tile, seen: Sheetful, words: LayoutLabels, told: Told, is_told: Callable[[Run], bool]) -> LayoutPage:
    """What a tile shows with the labels of what lies in its own part, in mm of paper."""
    window = Area(INSIDE, INSIDE, tile.window.w - 2 * INSIDE, tile.window.h - 2 * INSIDE)
    own = Area(tile.core.x - tile.window.x, tile.core.y - tile.window.y, tile.core.w, tile.core.h)
    told.splices.clear()
    page = dress(context, words, seen, window, told, False, lambda x, y: contains(own, x, y), is_told, is_measured=True)
    assert page is not None
    return moved(page, SIDE, HEAD)


def _draw_tile(context: Context, ref: SheetRef, board: Board, tile: Tile, page: LayoutPage, named: Mapping[tuple[int, int], str], number: int, count: int) -> Drawing:
    paper = context.paper
    pen = Pen(*((paper.height_mm, paper.width_mm) if board.is_wide else (paper.width_mm, paper.height_mm)))
    window = Area(SIDE, HEAD, tile.window.w, tile.window.h)
    draw_layout_page(pen, context, page)
    _draw_crop_marks(pen, window)
    for (down, across), (x, y) in {(0, -1): (window.x - EDGE, window.y + window.h / 2), (0, 1): (window.right + EDGE, window.y + window.h / 2),
                                   (-1, 0): (window.x + window.w / 2, window.y - EDGE), (1, 0): (window.x + window.w / 2, window.bottom + EDGE + DATA)}.items():
        name = named.get((tile.row + down, tile.column + across))
        if name:
            pen.text(x, y + (DATA / 2 if across else 0.0), name, DATA, {-1: "end", 0: "middle", 1: "start"}[across], tag="neighbour")
    _draw_tile_head(pen, context, ref, tile, page, number, count)
    return pen.drawing()


def _draw_tile_head(pen: Pen, context: Context, ref: SheetRef, tile: Tile, page: LayoutPage, number: int, count: int) -> None:
    """Which page it is, of what, and the bar to be measured."""
    right = pen.width_mm - SIDE
    bar, base = right - CHECK_BAR, 11.0
    pen.line(bar, base, right, base, WIDE, tag="check bar")
    for step in range(11):
        pen.line(bar + step * 10.0, base - (2.4 if step in (0, 5, 10) else 1.4), bar + step * 10.0, base, THIN, tag="check bar tick")
    pen.text(bar, base + 1.2 + NOTE, "100 mm. Print without scaling, and measure this.", NOTE, tag="note")
    room = bar - SIDE - 6.0
    wide = pen.text(SIDE, base, tile.name, 5.0, weight="bold", tag="tile")
    log = context.harness.log
    made = ", ".join(filter(None, (f"revision {log[-1].revision}" if log else "", log[-1].date if log else "")))
    pen.text(SIDE + wide + 3.0, base - 3.8, cut(f"{ref.title}, {ref.kind.value.lower()}", room - wide - 3.0, DATA, "bold"), DATA, weight="bold", tag="note")
    pen.text(SIDE + wide + 3.0, base, cut(f"page {number} of {count}{', ' + made if made else ''}", room - wide - 3.0, DATA), DATA, tag="note")
    nameless = sum(place is None for place in page.places)
    if nameless:
        pen.text(SIDE, base + 1.2 + NOTE, f"{nameless} names find no room here: see the harness layout.", NOTE, tag="note")


def _draw_crop_marks(pen: Pen, window: Area) -> None:
    """Outside the window, in line with the edges of the page's own part of the board."""
    half = OVERLAP / 2
    for x in (window.x + half, window.right - half):
        pen.line(x, window.y - EDGE / 2 - CROP, x, window.y - EDGE / 2, THIN, tag="crop")
        pen.line(x, window.bottom + EDGE / 2, x, window.bottom + EDGE / 2 + CROP, THIN, tag="crop")
    for y in (window.y + half, window.bottom - half):
        pen.line(window.x - EDGE / 2 - CROP, y, window.x - EDGE / 2, y, THIN, tag="crop")
        pen.line(window.right + EDGE / 2, y, window.right + EDGE / 2 + CROP, y, THIN, tag="crop")


# -------------------------------------------------------------------------- the map of the pages

def _draw_map(context: Context, ref: SheetRef, board: Board, count: int) -> Drawing:
    """The board made small, with the part of each page, and how the pages are put together."""
    pen, area = context.page(ref, 1, count, "landscape")
    lines = wrap(" ".join(_words(context, board)), area.w, DATA)
    for place, line in enumerate(lines):
        pen.text(area.x, area.y + DATA + place * 4.0, line, DATA, tag="note")
    top = area.y + 4.0 * len(lines) + 8.0
    room = Area(area.x + 8.0, top, area.w - 8.0, area.bottom - top)
    left, high = min(tile.core.x for tile in board.tiles), min(tile.core.y for tile in board.tiles)
    right, low = max(tile.core.right for tile in board.tiles), max(tile.core.bottom for tile in board.tiles)
    small = min(room.w / (right - left), room.h / (low - high))

    def on_paper(x: float, y: float) -> tuple[float, float]:
        return room.x + (x - left) * small, room.y + (y - high) * small

    for tile in board.tiles:
        x, y = on_paper(tile.core.x, tile.core.y)
        pen.rect(x, y, tile.core.w * small, tile.core.h * small, THIN, tag=f"tile:{tile.name}")
    for run in board.page.runs:
        pen.line(*on_paper(run.x1, run.y1), *on_paper(run.x2, run.y2), BUNDLE, tag="bundle")
    _number(pen, board, room, small)
    return pen.drawing()


def _number(pen: Pen, board: Board, room: Area, small: float) -> None:
    """Letters of the rows at the left, numbers of the columns above; not all where they would run together."""
    tile = board.tiles[0]
    wide, tall = tile.core.w * small, tile.core.h * small
    columns, rows = 1 + max(tile.column for tile in board.tiles), 1 + max(tile.row for tile in board.tiles)
    for column in range(columns):
        if _shown(column, wide):
            pen.text(room.x + (column + 0.5) * wide, room.y - 1.2, str(column + 1), DATA, "middle", tag="map")
    for row in range(rows):
        if _shown(row, tall):
            name = Tile(row, 0, tile.core, tile.window).name.rstrip("1234567890")
            pen.text(room.x - 1.2, room.y + (row + 0.5) * tall + DATA / 2, name, DATA, "end", tag="map")


def _shown(number: int, pitch: float) -> bool:
    if pitch >= NUMBERS_APART:
        return True
    every = next((step for step in (2, 5, 10, 20, 50) if step * pitch >= NUMBERS_APART), 100)
    return number == 0 or (number + 1) % every == 0


def _unplaced(context: Context, board: Board) -> Iterator[str]:
    """What is drawn on a segment at a place that nothing says."""
    segments = [context.harness.segments[run.segment] for run in board.page.runs]
    for words, is_there in (("grommets (two bars)", any(one.grommet_mm is not None for one in segments)), ("clips (small boxes)", any(one.clips for one in segments)),
                            ("what is near (triangles)", any(one.near for one in segments))):
        if is_there:
            yield words


def _words(context: Context, board: Board) -> list[str]:
    pages, size = len(board.tiles), f"{context.paper.name} {'landscape' if board.is_wide else 'portrait'}"
    words = [f"{pages} {'page' if pages == 1 else 'pages'} of {size} make up the board; where no bundle runs there is none.",
             f"Print without scaling and measure the bar of 100 mm. Two pages show {OVERLAP:g} mm of the board both: cut one at its crop marks, lay mark on mark, and glue.",
             "A page is named after its row and column; the names of its neighbours stand at its edges.",
             "Lengths along the bundle are full size; the angles of branches mean nothing."]
    if unplaced := list(_unplaced(context, board)):
        words.append(f"Where they sit on their segment is not described, measure them on the vehicle: {listed(unplaced)}.")
    if board.cuts:
        words.append("Where a branch found no place beside the others it is drawn apart: the same letter twice is one place.")
    if any(not run.known for run in board.page.runs):
        words.append("Dashed bundle: length not known, drawn 200 mm long.")
    return words
