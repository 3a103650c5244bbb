"""The overview: devices, boxes, mated halves and grounds as blocks, one line a group of wires with its count.

Takes a Context and the reference of the sheet; gives its pages. One page is what a reader wants, so things are folded to
blocks no more than it takes to have all on one (``overview/blocks.py``): first those of one place and system with the same neighbours, then those with the same neighbours, then the wires to
ground are told in the blocks, then the small things of each system are one block. What does not fit then is split by systems;
a block that has links on another page too has a broken edge. Graphviz places the blocks, in the pinned package
(``overview/dot.py``), and they are pressed together to the page (``overview/press.py``); without it the page says so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import inf

from ..drawing.lettering import text_width, wrap
from ..drawing.pen import Pen
from ..drawing.record import WIDE, Area, Drawing, Point
from ..overview.blocks import FOLDS, Fold, Link, Overview, overview_of
from ..overview.columns import columns_of
from ..overview.dot import NoEngine, Places, Size, dot_text, place
from ..overview.press import APART, crossings, in_turn, pressed
from .context import Context, SheetRef
from .flow import free_area
from .overview_block import PITCH, TEXT, Said, draw_block, said_by
from .overview_counts import number_places
from .overview_marks import draw_overview_marks

WIDEST = (66.0, 46.0, 40.0, 36.0)
"""How wide blocks may be; names are cut where the last does not hold them."""
LINE = WIDE
LINES_BELOW = 3
MOST_COLUMNS = 6
TANGLED = 0.5
"""Where more lines than this share of them cross each other, things are folded more."""
MOST_LINKS = 60
"""More lines on a page always cross too often to be followed (seen: 75 lines, 70 crossings): such a way to fold is not tried."""
FILLED = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7)
"""How much of a column blocks may fill: lines that pass it take room there."""
READ = "A number at a line: so many wires. Wires that meet at a splice are counted to the ground, the box or the thing where most of them go. A sheet's number stands behind what it shows."
READ_HALVES = "Double sides: two halves of a connector."
READ_PARTED = "Broken edge: more of its wires are on another page."
READ_GROUNDS = "Beside a ground sign: so many wires from the block to these grounds."
READ_WITHIN = "Within: wires between things of the block."
READ_SHARED: Mapping[Fold, str] = {
    "same": "Things in one block: of one place and system, tied to the same things.",
    "alike": "Things in one block: tied to the same things, grounds apart.",
    "grounded": "Things in one block: tied to the same things, grounds apart.",
    "systems": "Things in one block: of the system above them, or tied to the same things, grounds apart.",
}
"""Why things share a block."""


@dataclass(frozen=True, slots=True)
class _Page:
    """``numbers``: the middle of the number at each link, which all lie clear unless ``is_crowded``."""

    overview: Overview
    said: Mapping[str, Said]
    places: Places
    numbers: tuple[Point, ...]
    is_crowded: bool

    @property
    def is_clear(self) -> bool:
        """True where lines can be followed and every number is seen to be whose it is."""
        return not self.is_crowded and crossings(self.places) <= TANGLED * len(self.overview.links)


def draw_overview(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of the overview; one that names what is missing where the engine is not there."""
    try:
        return _drawn(context, ref)
    except NoEngine as fault:
        # the sheet keeps its page and its number: what is installed must not change the other sheets
        return (_in_words(context, ref, f"Not drawn: {fault}."),)


def _in_words(context: Context, ref: SheetRef, words: str) -> Drawing:
    """A page that says why there is no drawing."""
    pen, area = context.page(ref, 1, 1, "landscape")
    for row, line in enumerate(wrap(words, area.w, TEXT)):
        pen.text(area.x, area.y + TEXT + row * PITCH, line, TEXT, tag="words")
    return pen.drawing()


def overview_dot(context: Context) -> str:
    """The whole overview in the DOT language, folded least, each block as large as the sheet draws it."""
    whole = overview_of(context.harness)
    said = {id: said_by(context, block, WIDEST[0], inf) for id, block in whole.blocks.items()}
    labels = {id: "\n".join(f"{row.id} {row.title}".rstrip() for row in one.rows) for id, one in said.items()}
    return dot_text(whole, {id: one.size for id, one in said.items()}, labels)


def _drawn(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    fold, pages = laid_overview(context)
    if not pages:
        return (_in_words(context, ref, "No wire joins two things."),)
    seen = Counter(id for page in pages for id in page.overview.blocks)
    drawings = []
    for number, page in enumerate(pages, start=1):
        pen, free = context.page(ref, number, len(pages), "landscape")
        parted = {id for id in page.overview.blocks if seen[id] > 1}
        dx, dy = free.x + (free.w - page.places.size[0]) / 2, free.y + max(0.0, (free.h - LINES_BELOW * PITCH - 2.0 - page.places.size[1]) / 2)
        numbers = _draw(pen, page, parted, dx, dy)
        for row, line in enumerate(wrap(" ".join(_read(page, fold, parted)), free.w, TEXT)):
            pen.text(free.x, free.bottom - (LINES_BELOW - 1 - row) * PITCH, line, TEXT, tag="foot")
        boxes = {id: Area(x + dx, y + dy, *page.places.sizes[id]) for id, (x, y) in page.places.blocks.items()}
        draw_overview_marks(pen, context, ref, page.overview, boxes, numbers, free, [one.overview for one in pages] if number == len(pages) else [])
        drawings.append(pen.drawing())
    return tuple(drawings)


def _read(page: _Page, fold: Fold, parted: Iterable[str]) -> Iterator[str]:
    """How the page is to be read, as far as it has what is read so."""
    blocks = page.overview.blocks.values()
    yield READ
    if any(len(block.members) > 1 and block.kind != "halves" for block in blocks):
        yield READ_SHARED[fold]
    if any(block.kind == "halves" for block in blocks):
        yield READ_HALVES
    if any(block.grounded for block in blocks):
        yield READ_GROUNDS
    if any(block.within for block in blocks):
        yield READ_WITHIN
    if any(parted):
        yield READ_PARTED


# ---------------------------------------------------------------------------- what is on which page

def laid_overview(context: Context) -> tuple[Fold, tuple[_Page, ...]]:
    """How strongly things are folded, and the pages. Raises NoEngine."""
    return context.kept("overview", lambda: _choose(context))


def _choose(context: Context) -> tuple[Fold, tuple[_Page, ...]]:
    """All on one page with things folded no more than that takes; else system after system, as many as fit on a page."""
    area = free_area(context.paper, "landscape")
    area = Area(area.x, area.y, area.w, area.h - LINES_BELOW * PITCH - 2.0)
    for fold in FOLDS:
        whole = overview_of(context.harness, fold)
        if not whole.blocks:
            return fold, ()
        if len(whole.links) > MOST_LINKS:
            continue
        page = _fit(context, whole, area)
        if page and page.is_clear:
            return fold, (page,)
    return fold, tuple(_split(context, whole, area))


def _split(context: Context, whole: Overview, area: Area) -> Iterator[_Page]:
    """Groups of links, each with what hangs at no link, on as few pages as hold them in their order; a group that alone is too large in halves."""
    linked = {end for link in whole.links for end in (link.upper, link.lower)}
    waiting: list[tuple[list[Link], list[str]]] = [(links, []) for links in _by_system(context, whole).values()] + [([], [id]) for id in whole.blocks if id not in linked]
    held: tuple[list[Link], list[str]] = [], []
    done: _Page | None = None
    while waiting:
        links, alone = waiting.pop(0)
        more = [*held[0], *links], [*held[1], *alone]
        page = _fit(context, whole.part(*more), area)
        if page and page.is_clear:
            held, done = more, page
        elif done:
            yield done
            held, done = ([], []), None
            waiting.insert(0, (links, alone))
        elif len(links) > 1:
            waiting[:0] = [(links[:len(links) // 2], []), (links[len(links) // 2:], [])]
        elif page:
            yield page
    if done:
        yield done


def _fit(context: Context, overview: Overview, area: Area) -> _Page | None:
    """Placed with blocks as wide as goes, in the columns that leave fewest crossings; not clear where no width makes it so; None where it does not fit."""
    second: _Page | None = None
    known: list[dict[str, Size]] = []
    for widest in WIDEST:
        said = {id: said_by(context, block, widest, area.h) for id, block in overview.blocks.items()}
        sizes = {id: one.size for id, one in said.items()}
        if sizes in known:
            continue
        known.append(sizes)
        heights = {id: size[1] + APART for id, size in sizes.items()}
        tried: list[tuple[int, int, int, _Page]] = []
        for columns in _columns(overview, heights, area.h):
            placed = place(overview, sizes, columns) or in_turn(overview, sizes, columns)
            places = pressed(overview, placed, sizes, columns, (area.w, area.h))
            if places:
                boxes = [(x, y, x + places.sizes[id][0], y + places.sizes[id][1]) for id, (x, y) in places.blocks.items()]
                numbers, over = number_places(places.lines, boxes, [(text_width(str(len(link.wires)), TEXT), TEXT) for link in overview.links])
                tried.append((over, crossings(places), len(tried), _Page(overview, said, places, tuple(numbers), over > 0)))
        if tried:
            best = min(tried)[3]
            if best.is_clear:
                return best
            if second is None or (second.is_crowded and not best.is_crowded):
                second = best
    return second


def _columns(overview: Overview, heights: Mapping[str, float], high: float) -> Iterator[dict[str, int]]:
    """Ways to share the blocks among columns, each once: fewer or more columns, each filled more or less."""
    known = []
    for count in range(1, MOST_COLUMNS + 1):
        for share in FILLED:
            columns = columns_of(overview, heights, count, high * share + APART)
            if columns is not None and columns not in known:
                known.append(columns)
                yield columns


def _by_system(context: Context, whole: Overview) -> dict[str, list[Link]]:
    """Links by the system that most of their wires belong to, in the order of the circuits."""
    harness = context.harness
    order = [circuit.system for circuit in harness.circuits.values()]
    found: dict[str, list[Link]] = {system: [] for system in (*order, "")}
    for link in whole.links:
        systems = Counter(circuit.system if (circuit := harness.circuits.get(harness.wires[wire].circuit)) else "" for wire in link.wires)
        found[max(systems, key=lambda system: systems[system])].append(link)
    return {system: links for system, links in found.items() if links}


# ---------------------------------------------------------------------------- how it is drawn

def _draw(pen: Pen, page: _Page, parted: Iterable[str], dx: float, dy: float) -> list[Area]:
    """Lines, their numbers, blocks; gives where the numbers stand."""
    places, parted = page.places, set(parted)
    stand = []
    for link, points, (x, y) in zip(page.overview.links, places.lines, page.numbers, strict=True):
        count = str(len(link.wires))
        tag = f"link:{link.upper}:{link.lower}"
        pen.polyline([(px + dx, py + dy) for px, py in points], LINE, tag=tag)
        pen.text(x + dx, y + dy + TEXT / 2, count, TEXT, "middle", tag=tag)
        wide = text_width(count, TEXT)
        stand.append(Area(x + dx - wide / 2, y + dy - TEXT / 2, wide, TEXT))
    for id, block in page.overview.blocks.items():
        x, y = places.blocks[id]
        draw_block(pen, block, page.said[id], Area(x + dx, y + dy, *places.sizes[id]), id in parted)
    return stand
