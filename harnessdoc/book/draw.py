"""All sheets of a book, drawn in their order.

Takes: a harness and what was computed of it. Gives: the Book, recorded drawings
that every backend can write. The findings sheet is drawn last: it says in which field
of which sheet the flag of each finding stands, read off the drawn pages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from ..diagram.kept import Kept
from ..drawing.flag_notes import number_drawn
from ..drawing.page import PAPERS, zone_of
from ..drawing.record import Drawing, Polyline, bounds
from ..revision.version import Version
from ..sheets.box import draw_box
from ..sheets.budget import draw_budget
from ..sheets.cautions import draw_cautions
from ..sheets.check import draw_check
from ..sheets.circuit import draw_circuit
from ..sheets.closure import draw_closure
from ..sheets.context import Context, FlaggedAt, Options, SheetKind, SheetRef
from ..sheets.cover import draw_cover
from ..sheets.cross_section import draw_cross_sections
from ..sheets.cut_list import draw_cut_list
from ..sheets.electrical import draw_electrical
from ..sheets.fates import draw_fates
from ..sheets.findings import draw_findings, sheets_with_flags
from ..sheets.flags import numbers_at
from ..sheets.fuses import draw_fuses
from ..sheets.ground_distribution import draw_ground_distribution
from ..sheets.grounds import draw_grounds
from ..sheets.index import draw_index
from ..sheets.interfaces import draw_interfaces
from ..sheets.joins import draw_joins
from ..sheets.labels import draw_labels
from ..sheets.layout import draw_layout
from ..sheets.layout_1to1 import draw_layout_1to1
from ..sheets.locations import draw_locations
from ..sheets.overview import draw_overview
from ..sheets.parts import draw_parts
from ..sheets.pinout import draw_pinout
from ..sheets.power import draw_power
from ..sheets.relay import draw_relays
from ..sheets.splice_places import draw_splice_places
from ..sheets.splices import draw_splices
from ..sheets.stock_plan import draw_stock_plan
from .place_ahead import placed_ahead
from .plan import plan_sheets, sheets_of

DRAWERS: Mapping[SheetKind, Callable[[Context, SheetRef], tuple[Drawing, ...]]] = {
    SheetKind.COVER: draw_cover,
    SheetKind.CAUTIONS: draw_cautions,
    SheetKind.INDEX: draw_index,
    SheetKind.FINDINGS: draw_findings,
    SheetKind.OVERVIEW: draw_overview,
    SheetKind.FUSES: draw_fuses,
    SheetKind.GROUNDS: draw_grounds,
    SheetKind.BUDGET: draw_budget,
    SheetKind.POWER: draw_power,
    SheetKind.GROUND_PAGES: draw_ground_distribution,
    SheetKind.CIRCUIT: draw_circuit,
    SheetKind.PINOUT: draw_pinout,
    SheetKind.BOX: draw_box,
    SheetKind.RELAYS: draw_relays,
    SheetKind.LAYOUT: draw_layout,
    SheetKind.LAYOUT_1TO1: draw_layout_1to1,
    SheetKind.LOCATIONS: draw_locations,
    SheetKind.SPLICE_PLACES: draw_splice_places,
    SheetKind.CROSS_SECTIONS: draw_cross_sections,
    SheetKind.SPLICES: draw_splices,
    SheetKind.JOINS: draw_joins,
    SheetKind.INTERFACES: draw_interfaces,
    SheetKind.FATES: draw_fates,
    SheetKind.CLOSURE: draw_closure,
    SheetKind.ELECTRICAL: draw_electrical,
    SheetKind.CUT_LIST: draw_cut_list,
    SheetKind.STOCK_PLAN: draw_stock_plan,
    SheetKind.PARTS: draw_parts,
    SheetKind.LABELS: draw_labels,
    SheetKind.CHECK: draw_check,
}


@dataclass(frozen=True, slots=True)
class Sheet:
    """One drawn sheet: its reference and its pages."""

    ref: SheetRef
    pages: tuple[Drawing, ...]


@dataclass(frozen=True, slots=True)
class Book:
    """Every sheet in order, the context they were drawn from (for the lists), and the files it was made from."""

    context: Context
    sheets: tuple[Sheet, ...]
    inputs: tuple[str, ...] = ()


def make_context(version: Version, options: Options) -> Context:
    """The context of a book: all sheets planned and numbered, none drawn."""
    sheets = plan_sheets(version.harness, version.geometry, PAPERS[options.paper], version.operation, version.merge, version.network)
    return Context(version.harness, version.network, version.geometry, version.findings, options, sheets, sheets_of(sheets, version.harness), version.operation,
                   merge=version.merge, waived=version.waived, unasked=version.unasked, numbers_at=numbers_at(version.findings), order=version.order, placer=Kept(options.cache))


def draw_sheet(context: Context, ref: SheetRef) -> Sheet:
    """One sheet of the planned book; the findings sheet tells of flags what ``context.flagged_on`` knows."""
    return Sheet(ref, DRAWERS[ref.kind](context, ref))


def with_flags(context: Context, sheets: Iterable[Sheet]) -> Context:
    """The context that knows where on these sheets the flags of findings stand: of each finding the first on a sheet."""
    found: dict[tuple[int, str], FlaggedAt] = {}
    for sheet in sheets:
        for page, drawing in enumerate(sheet.pages, start=1):
            for mark in drawing.marks:
                number = number_drawn(mark.tag) if isinstance(mark, Polyline) else None
                if number is not None and (number, sheet.ref.name) not in found:
                    left, top, right, bottom = bounds(mark)
                    found[number, sheet.ref.name] = FlaggedAt(page, len(sheet.pages), zone_of(drawing.width_mm, drawing.height_mm, (left + right) / 2, (top + bottom) / 2))
    return replace(context, flagged_on=found)


def with_own_flags(context: Context) -> Context:
    """The same of a context none of whose sheets is drawn: those that the findings sheet speaks of are drawn for it."""
    return with_flags(context, (draw_sheet(context, ref) for ref in sheets_with_flags(context)))


def draw_book(version: Version, options: Options, inputs: tuple[str, ...] = (), progress: Callable[[str, int, int], None] | None = None) -> Book:
    """Every sheet; ``inputs``: the files the harness was read from; ``progress`` is told after each sheet."""
    drawn: dict[str, Sheet] = {}
    with placed_ahead(make_context(version, options)) as context:
        for ref in findings_last(context.sheets):
            drawn[ref.name] = draw_sheet(with_flags(context, drawn.values()) if ref.kind is SheetKind.FINDINGS else context, ref)
            if progress:
                progress("drawing", len(drawn), len(context.sheets))
    return Book(context, tuple(drawn[ref.name] for ref in context.sheets), inputs)


def findings_last(sheets: Iterable[SheetRef]) -> list[SheetRef]:
    """The order in which sheets are drawn."""
    return sorted(sheets, key=lambda ref: ref.kind is SheetKind.FINDINGS)
