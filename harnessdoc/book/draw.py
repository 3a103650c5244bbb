"""All sheets of a book, drawn in their order.

Takes: a harness and what was computed of it. Gives: the Book, recorded drawings
that every backend can write.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from ..drawing.page import PAPERS
from ..drawing.record import Drawing
from ..revision.version import Version
from ..sheets.box import draw_box
from ..sheets.budget import draw_budget
from ..sheets.cautions import draw_cautions
from ..sheets.check import draw_check
from ..sheets.context import Context, Options, SheetKind, SheetRef
from ..sheets.cover import draw_cover
from ..sheets.cut_list import draw_cut_list
from ..sheets.electrical import draw_electrical
from ..sheets.findings import draw_findings
from ..sheets.fuses import draw_fuses
from ..sheets.grounds import draw_grounds
from ..sheets.index import draw_index
from ..sheets.labels import draw_labels
from ..sheets.parts import draw_parts
from ..sheets.pinout import draw_pinout
from ..sheets.relay import draw_relays
from ..sheets.splice_places import draw_splice_places
from ..sheets.splices import draw_splices
from .plan import plan_sheets, sheets_of

DRAWERS: Mapping[SheetKind, Callable[[Context, SheetRef], tuple[Drawing, ...]]] = {
    SheetKind.COVER: draw_cover,
    SheetKind.CAUTIONS: draw_cautions,
    SheetKind.INDEX: draw_index,
    SheetKind.FINDINGS: draw_findings,
    SheetKind.FUSES: draw_fuses,
    SheetKind.GROUNDS: draw_grounds,
    SheetKind.BUDGET: draw_budget,
    SheetKind.PINOUT: draw_pinout,
    SheetKind.BOX: draw_box,
    SheetKind.RELAYS: draw_relays,
    SheetKind.SPLICE_PLACES: draw_splice_places,
    SheetKind.SPLICES: draw_splices,
    SheetKind.ELECTRICAL: draw_electrical,
    SheetKind.CUT_LIST: draw_cut_list,
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
    sheets = plan_sheets(version.harness, version.geometry, PAPERS[options.paper], version.operation)
    return Context(version.harness, version.network, version.geometry, version.findings, options, sheets, sheets_of(sheets, version.harness), version.operation)


def draw_sheet(context: Context, ref: SheetRef) -> Sheet:
    """One sheet of the planned book."""
    return Sheet(ref, DRAWERS[ref.kind](context, ref))


def draw_book(version: Version, options: Options, inputs: tuple[str, ...] = (), progress: Callable[[str, int, int], None] | None = None) -> Book:
    """Every sheet; ``inputs``: the files the harness was read from; ``progress`` is told after each sheet."""
    context = make_context(version, options)
    sheets = []
    for ref in context.sheets:
        sheets.append(draw_sheet(context, ref))
        if progress:
            progress("drawing", len(sheets), len(context.sheets))
    return Book(context, tuple(sheets), inputs)
