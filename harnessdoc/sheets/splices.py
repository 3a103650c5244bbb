"""Splice sheets: each splice as a bar with its wires on the side they leave to.

Takes a Context and the reference of a sheet whose subjects are splices; gives its
pages. ``splices_on_sheets`` says before any is drawn which splices share a sheet.

How the lines are to be read, by people and by the test that reads them back: the
widest upright line is the splice. A wire is a level line that ends exactly on it,
with a dot; what does not touch, or has no dot, is not joined. Its label stands over
the line, beginning with the number of the wire; its far end outside the line. The
side it leaves to is the nearest heading above in the same half. Wires of the two
halves never meet the bar at one height, so that none seems to run through.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from ..drawing.lettering import cut, wrap
from ..drawing.page import PAPERS, Orientation, Paper
from ..drawing.pen import Pen
from ..drawing.record import Area, Drawing
from ..drawing.revision_marks import SIDE, draw_struck, draw_triangle
from ..geometry.measure import Geometry
from ..model.harness import Harness
from ..network.far_ends import far_ends
from ..network.islands import connect
from .cautions import caution_lines
from .context import Context, Options, SheetRef
from .flow import free_area
from .splice_block import DATA, LINE, Block, Part, parts
from .splice_drawing import AFTER, CONTINUES, HEAD, diagram_height, draw_part, height_above, height_below
from .splice_marks import gone_splices, splice_block

NOTE = 1.8
FOOT = 4.5
"""Room for the line at the foot of a page that says how it is read, mm."""
FOOT_LINE = 3.0
MARKS_WORDS = "In a cloud: differs from the version before. Struck through: no longer holds. Dashed and not dotted: no longer joined."
GONE_LINE = 6.5
"""Height of the line that names a splice that is gone, mm."""
BETWEEN = 5.0
AFTER_CAUTIONS = 3.5
UPRIGHT_WIDTH = 160.0
"""A page held upright must leave this much; a smaller one is turned."""
ALONE = 0.3


def splices_on_sheets(harness: Harness, geometry: Geometry, paper: Paper) -> tuple[tuple[str, ...], ...]:
    """The ids of all splices in the order of the file, in groups of as many as fill a sheet.

    Reckoned in millimetres and in the colours of the file; where the reader chooses
    others and a block grows by it, that sheet gets a page more.
    """
    name = next(name for name, known in PAPERS.items() if known == paper)
    context = Context(harness, connect(harness), geometry, (), Options(paper=name), (), {})
    area = free_area(paper, _orientation(paper))
    sheets: list[list[str]] = []
    used = 0.0
    for splice in harness.splices.values():
        height = _height(context, splice_block(context, splice, area.w), area.w)
        together = [*sheets[-1], splice.id] if sheets else []
        if not sheets or used + BETWEEN + height > _room(context, area, _cautions(context, together, area.w)):
            sheets.append([])
            used = -BETWEEN
        sheets[-1].append(splice.id)
        used += BETWEEN + height
    return tuple(map(tuple, sheets))


def draw_splices(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of a splice sheet; more than one where a splice has more members than a page holds."""
    orientation = _orientation(context.paper)
    area = free_area(context.paper, orientation)
    cautions = _cautions(context, ref.subjects, area.w)
    blocks = [splice_block(context, context.harness.splices[name], area.w) for name in ref.subjects]
    room = _room(context, area, cautions)
    pages = list(_pages(context, blocks, area.w, room))
    gone = gone_splices(context, ref.subjects)
    if gone and sum(_part_height(context, block, part, area.w) + BETWEEN for block, part in pages[-1]) + GONE_LINE * len(gone) > room:
        pages.append([])
    alone = _alone(area, cautions)
    if alone:
        pages.insert(0, [])
    drawings = []
    for number, page in enumerate(pages, start=1):
        pen, area = context.page(ref, number, len(pages), orientation)
        here = cautions if not alone or number == 1 else []
        _draw_words(pen, context, area, here)
        y = area.y + _cautions_height(here)
        for block, part in page:
            y = draw_part(pen, context, block, part, area, y) + BETWEEN
        if number == len(pages):
            _draw_gone(pen, context, gone, area, y)
        drawings.append(pen.drawing())
    return tuple(drawings)


def _orientation(paper: Paper) -> Orientation:
    return "portrait" if free_area(paper, "portrait").w >= UPRIGHT_WIDTH else "landscape"


def _pages(context: Context, blocks: Sequence[Block], width: float, room: float) -> Iterator[list[tuple[Block, Part]]]:
    """Blocks on pages; a block that fits no page is cut, and begins at the top of one."""
    page: list[tuple[Block, Part]] = []
    used = 0.0
    for block in blocks:
        height = _height(context, block, width)
        if page and used + height > room:
            yield page
            page, used = [], 0.0
        if height <= room:
            page.append((block, _whole(block)))
            used += height + BETWEEN
            continue
        *full, last = _cut(context, block, width, room)
        yield from ([(block, part)] for part in full)
        page, used = [(block, last)], room
    if page or not blocks:
        yield page


def _cut(context: Context, block: Block, width: float, room: float) -> list[Part]:
    """A block over several pages; the fields below its diagram on a page of their own where the last has no room for them."""
    above, below = height_above(context, block, width), height_below(context, block, width)
    cut_up = parts(block, room - above - AFTER - CONTINUES, room - HEAD - AFTER - CONTINUES)
    last = cut_up[-1]
    if (above if last.first else HEAD) + diagram_height(last) + below > room:
        return [*cut_up[:-1], replace(last, last=False), Part((), (), 0.0, False, True)]
    return cut_up


def _whole(block: Block) -> Part:
    return parts(block, float("inf"), 0.0)[0]


def _height(context: Context, block: Block, width: float) -> float:
    return height_above(context, block, width) + diagram_height(_whole(block)) + height_below(context, block, width)


def _part_height(context: Context, block: Block, part: Part, width: float) -> float:
    """Height of what of a block stands on one page."""
    above, below = height_above(context, block, width) if part.first else HEAD, height_below(context, block, width) if part.last else CONTINUES
    return above + diagram_height(part) + below


def _room(context: Context, area: Area, cautions: Sequence[str]) -> float:
    """Height for blocks on a page."""
    return area.h - FOOT - (FOOT_LINE if context.since else 0.0) - (0.0 if _alone(area, cautions) else _cautions_height(cautions))


def _alone(area: Area, cautions: Sequence[str]) -> bool:
    """True where the cautions take so much of a small page that they get one of their own."""
    return _cautions_height(cautions) > ALONE * area.h


def _cautions(context: Context, splices: Iterable[str], width: float) -> list[str]:
    """The cautions of all that some splices lead to, in lines."""
    addresses = [address for name in splices for address in (name, *(end.address for end in far_ends(context.harness, name)))]
    return [line for caution in caution_lines(context, addresses) for line in wrap(caution, width, DATA, "bold")]


def _cautions_height(lines: Sequence[str]) -> float:
    return LINE * len(lines) + AFTER_CAUTIONS if lines else 0.0


def _draw_words(pen: Pen, context: Context, area: Area, cautions: Sequence[str]) -> None:
    """The cautions at the head of a page, and at its foot how it is read."""
    for place, line in enumerate(cautions):
        pen.text(area.x, area.y + DATA + place * LINE, line, DATA, weight="bold", tag="caution")
    words = f"Colours in {context.convention}, base first; as the source has them in brackets where that differs. A dot joins. Behind → stands the sheet where it continues."
    pen.text(area.x, area.bottom - 0.8, cut(words, area.w, NOTE), NOTE, tag="note")
    if context.since:
        pen.text(area.x, area.bottom - 0.8 - FOOT_LINE, cut(MARKS_WORDS, area.w, NOTE), NOTE, tag="note")


def _draw_gone(pen: Pen, context: Context, gone: Sequence[str], area: Area, y: float) -> None:
    """Splices that are in no version but the one before, struck through."""
    for line in gone:
        draw_triangle(pen, area.x, y, context.since.letter if context.since else "")
        x = area.x + SIDE + 2.0
        draw_struck(pen, x, y + 4.2, cut(line, area.right - x, DATA), DATA)
        y += GONE_LINE
