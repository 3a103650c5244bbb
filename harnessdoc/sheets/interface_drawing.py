"""The circuit of an interface, drawn as the circuit diagrams are, in a frame under its table.

Takes a Context and the contacts of the interface's parts and splices; gives the piece for the sheet: these parts whole, every wire at
them, and of what the wires lead to the contact alone. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..circuits.figure import PITCH, TEXT
from ..circuits.page_graph import PageGraph, page_graph
from ..circuits.printed import Printed
from ..circuits.stubs import Cut
from ..diagram.placed import Placed
from ..drawing.lettering import wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area
from ..model.harness import Kind
from .circuit_marks import draw_clouds
from .circuit_pages import CircuitPage, circuit_book
from .circuit_words import hot_words
from .context import Context
from .flow import Drawn, free_area
from .unfit import draw_or_list

INSET = 3.0
"""From the frame to what is drawn in it."""
RULE = "Relays at rest. Dot: joined; crossing without a dot: not. At a wire: number, mm² or AWG, colour. Broken edge: shown by its contact alone."
LEAST, STEP = 40.0, 10.0
"""Heights that are tried: the least, and by how much more each time."""


def interface_drawing(context: Context, title: str, addresses: Sequence[str]) -> Iterator[Drawn]:
    """One piece with ``title`` above it, as high as its circuit needs; none where no wire is at the contacts."""
    book = circuit_book(context)
    strands = book.strands
    ids = [id for id in strands.all if strands.all[id].a in addresses or strands.all[id].b in addresses]
    if not ids:
        return
    own = {strands.owner(address) for address in addresses}
    stubs = {end: end for end in book.ends(ids) if strands.kind(end) not in (None, Kind.SPLICE, Kind.BAR, Kind.GROUND) and end not in strands.mate and strands.owner(end) not in own}
    numbers = context.join_numbers or {}
    printed = Printed(context.harness, context.convention, hot=lambda address: hot_words(context, book.served, address), joins=lambda wire: numbers.get(wire, ()))
    graph = page_graph(strands, book.directions, ids, printed, cut=Cut(stubs))
    free = free_area(context.paper, "landscape")
    said = wrap(f"Circuit of {title}. {RULE}", free.w, TEXT)
    above = len(said) * PITCH
    width, most = free.w - 2 * INSET, free.h - above - 2 * INSET
    high, placed = _placed(context, graph, width, most)

    def draw(pen: Pen, x: float, y: float) -> None:
        page = CircuitPage(graph, placed, Area(x + INSET, y + above + INSET, width, high))
        for number, line in enumerate(said):
            pen.text(x, y + TEXT + number * PITCH, line, TEXT, tag="words")
        pen.rect(x, y + above, free.w, high + 2 * INSET, THIN, tag="interface drawing")
        draw_or_list(pen, book, page)
        if context.since is not None and page.lacks_mm == 0.0:
            draw_clouds(pen, context.since, [page])

    yield Drawn(above + high + 2 * INSET, draw)


def _placed(context: Context, graph: PageGraph, width: float, most: float) -> tuple[float, Placed]:
    """The least of the heights tried in which the circuit fits, and where everything stands then; ``most`` where it fits in none."""
    high = min(LEAST, most)
    while True:
        lacking = context.placer.place(graph.graph, width, high, quick=True).over_mm[1]
        if lacking < STEP or high == most:
            placed = context.placer.place(graph.graph, width, high)
            if placed.over_mm == (0.0, 0.0) or high == most:
                return high, placed
        high = min(high + max(STEP, lacking), most)
