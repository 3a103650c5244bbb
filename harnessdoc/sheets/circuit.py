"""Circuit diagrams: one system a sheet, the supply above, the current flowing down, the grounds below.

Takes a Context and the reference of a sheet whose subject is a system; gives its pages. What is on which page, and where,
says ``circuit_pages``; here it is drawn, with the cautions above and what a reader must know below, and on request the readings in a state
(``circuit_readings``).
"""

from __future__ import annotations

from ..circuits.figure import PITCH, TEXT
from ..drawing.pen import Pen
from ..drawing.record import Area, Drawing
from .circuit_flags import draw_finding_flags, has_flags
from .circuit_marks import draw_change_marks
from .circuit_pages import CAUTION_LINE, CircuitPage, circuit_book
from .circuit_readings import draw_readings, draw_state, left_over, page_readings
from .context import Context, SheetRef
from .facing import draw_lines, rows_of
from .flow import free_area, set_pages
from .marking import laid
from .unfit import draw_or_list


def draw_circuit(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of one system; where a state is asked for, what a meter shows beside each point, and the points with no room for that on pages after them."""
    book = circuit_book(context)
    pages = list(book.drawn(ref.subjects[0]))
    readings = [page_readings(context, page, _page(context, ref, page, number, len(pages))[0].drawing()) if context.options.state else () for number, page in enumerate(pages, start=1)]
    blocks = left_over(context, readings, free_area(context.paper, "landscape").w)
    tables = set_pages(context, ref, [laid(block) for block in blocks], "landscape", before=len(pages)) if blocks else ()
    drawings = []
    for number, page in enumerate(pages, start=1):
        pen, area = _page(context, ref, page, number, len(pages) + len(tables))
        draw_readings(pen, readings[number - 1])
        draw_state(pen, context, area, readings[number - 1], len(pages), 1 if has_flags(context, page) else 0)
        draw_change_marks(pen, context, ref, [page], area, _wires_before(context, ref) if number == 1 else ())
        if page.lacks_mm == 0.0:
            draw_finding_flags(pen, context, page, area)
        drawings.append(pen.drawing())
    return (*drawings, *tables)


def _page(context: Context, ref: SheetRef, page: CircuitPage, number: int, pages: int) -> tuple[Pen, Area]:
    """One page without readings and marks of change, and the free area of it."""
    book, system = circuit_book(context), ref.subjects[0]
    pen, area = context.page(ref, number, pages, "landscape")
    draw_lines(pen, context.paper, area, area.y + TEXT, CAUTION_LINE, book.cautions(page.graph.strands, area.w), TEXT, "bold", "caution")
    draw_or_list(pen, book, page)
    foot = book.foot(system, page.graph.strands, area.w)
    draw_lines(pen, context.paper, area, area.bottom - 0.6 - (rows_of(context.paper, foot) - 1) * PITCH, PITCH, foot, TEXT, tag="foot")
    return pen, area


def _wires_before(context: Context, ref: SheetRef) -> tuple[str, ...]:
    """What the diagram of this system showed in the version before."""
    if context.since is None:
        return ()
    system = circuit_book(context.since.before).systems.get(ref.subjects[0])
    return system.strands if system is not None else ()
