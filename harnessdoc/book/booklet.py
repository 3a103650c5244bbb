"""The booklet for the glove box: what one wants beside the road, on folded sheets.

Takes a Version and the reader's options; gives a Booklet: its sheets, and its pages one by one in reading order. In it are the quick page, the
index, cautions, power and ground distribution, circuit diagrams, pinouts (without terminal, seal and volts), the harness layout, splice places,
grounds and what a meter shows. Left out are the lists one builds and buys by (cut list, parts, labels, stock), what is decided at the desk (findings,
fates, joins), and all that another of its sheets shows in short. The drawings that need the room stand over two facing pages, each pair beginning
on an even page; what is free before one is left for notes. Sheets are numbered on their own: a number leads to a sheet of the booklet.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from ..diagram.folded import FoldedKept
from ..drawing.page import FOLD_CLEAR, PAGE_OF, PAPERS, SPREAD_OF, TitleBlock, new_page
from ..drawing.pdf import Meta, PdfPage, write_pdf
from ..drawing.record import Drawing
from ..model.harness import Harness
from ..revision.version import Version
from ..sheets.booklet_check import draw_booklet_check, has_readings
from ..sheets.booklet_pinouts import connectors_on_sheets, draw_booklet_pinouts
from ..sheets.context import Context, Options, SheetKind, SheetRef
from ..sheets.flow import HEADING
from ..sheets.layout_where import fields
from ..sheets.quick import draw_quick
from ..sheets.unfit import unfit_on
from .bind import spare_inputs
from .draw import DRAWERS, Sheet
from .imposition import PAGES_A_SHEET, halves, imposed, numbered, sides
from .place_ahead import placed_ahead
from .plan import plan_sheets

KINDS = (SheetKind.QUICK, SheetKind.INDEX, SheetKind.CAUTIONS, SheetKind.POWER, SheetKind.GROUND_PAGES, SheetKind.CIRCUIT, SheetKind.LAYOUT, SheetKind.PINOUT,
         SheetKind.SPLICE_PLACES, SheetKind.GROUNDS, SheetKind.CHECK)
"""In the order of the booklet: what lies over two pages in one run, so that few pages before it stay free."""
SPREADS = (SheetKind.POWER, SheetKind.GROUND_PAGES, SheetKind.CIRCUIT, SheetKind.LAYOUT)
NOTES = "Notes"
MOST_NAMED = 5
"""A title names no more connectors than this."""


@dataclass(frozen=True, slots=True)
class Booklet:
    """The sheets as drawn, and the pages they give: each half a sheet of paper, numbered, as many as fill the sheets."""

    context: Context
    sheets: tuple[Sheet, ...]
    pages: tuple[Drawing, ...]

    @property
    def unfit(self) -> tuple[str, ...]:
        """A line for each diagram that finds no room on two facing pages: the sheet and page on which its wires are listed instead, and what is lacking."""
        return tuple(f"{self.context.harness.file}: sheet {sheet.ref.number}, {sheet.ref.kind.value.lower()}{'' if sheet.ref.title == sheet.ref.kind.value else f' {sheet.ref.title}'}, page {number}: {words}"
                     for sheet in self.sheets for number, page in enumerate(sheet.pages, start=1) if (words := unfit_on(page)))


@dataclass(frozen=True, slots=True)
class BoundBooklet:
    """The PDF, how many pages it has, how many sheets of paper those take and in how many folds these lie."""

    pdf: Path
    pages: int
    papers: int
    folds: int


def plan_booklet(version: Version, options: Options) -> tuple[SheetRef, ...]:
    """The sheets of the booklet in their order, numbered from 1; ``options.paper``: the paper that is folded."""
    harness = version.harness
    page = replace(options, paper=PAGE_OF + options.paper)
    whole = plan_sheets(harness, version.geometry, PAPERS[options.paper], version.operation, version.merge, version.network)
    by_kind: dict[SheetKind, list[SheetRef]] = {}
    for ref in whole:
        by_kind.setdefault(ref.kind, []).append(ref)
    bare = _context(version, page, ())
    by_kind[SheetKind.QUICK] = [SheetRef(0, "quick-page", SheetKind.QUICK, "")]
    by_kind[SheetKind.PINOUT] = [SheetRef(0, f"pinouts-{number}", SheetKind.PINOUT, _some(names), names) for number, names in enumerate(connectors_on_sheets(bare), start=1)]
    if not has_readings(bare):
        by_kind[SheetKind.CHECK] = []
    wanted = [ref for kind in KINDS for ref in by_kind.get(kind, ())]
    # the title of the vehicle stands on the first page: beside every other it would take the room of what the sheet is about
    return tuple(replace(ref, number=number, title=ref.kind.value if ref.title in ("", harness.title) else ref.title) for number, ref in enumerate(wanted, start=1))


def _some(names: Sequence[str]) -> str:
    """``X1, X2, X3 and 4 more``."""
    return ", ".join(names) if len(names) <= MOST_NAMED else f"{', '.join(names[:MOST_NAMED - 1])} and {len(names) - MOST_NAMED + 1} more"


def _context(version: Version, options: Options, sheets: tuple[SheetRef, ...]) -> Context:
    # no flags of findings: the sheet that says what they mean is not in the booklet
    return Context(version.harness, version.network, version.geometry, version.findings, options, sheets, _found_on(sheets, version.harness), version.operation, merge=version.merge,
                   waived=version.waived, unasked=version.unasked, placer=FoldedKept(options.cache, gap_mm=2 * FOLD_CLEAR))


def _found_on(sheets: Sequence[SheetRef], harness: Harness) -> Mapping[str, SheetRef]:
    """Owner id -> the sheet of the booklet it is found on: fuses, relays and boxes on the first."""
    by_kind = {ref.kind: ref for ref in sheets}
    found = {subject: ref for ref in sheets if ref.kind is SheetKind.PINOUT for subject in ref.subjects}
    for names, kind in ((harness.grounds, SheetKind.GROUNDS), (harness.splices, SheetKind.SPLICE_PLACES), (harness.parts, SheetKind.QUICK), (harness.boxes, SheetKind.QUICK)):
        if kind in by_kind:
            found |= dict.fromkeys(names, by_kind[kind])
    for device in harness.devices.values():
        at = next((found[connector] for connector in device.connectors if connector in found), None)
        if at is not None:
            found.setdefault(device.id, at)
    return found


def draw_booklet(version: Version, options: Options, progress: Callable[[str, int, int], None] | None = None) -> Booklet:
    """Every sheet and every page; ``options.paper``: the paper that is folded."""
    sheets = plan_booklet(version, options)
    drawn: list[Sheet] = []
    with placed_ahead(_context(version, replace(options, paper=SPREAD_OF + options.paper), sheets)) as spread:
        fields(spread)  # shared with the single pages below: they name places on the layout as it is drawn over two
        single = replace(spread, options=replace(spread.options, paper=PAGE_OF + options.paper))
        drawers = {**DRAWERS, SheetKind.QUICK: draw_quick, SheetKind.PINOUT: draw_booklet_pinouts, SheetKind.CHECK: draw_booklet_check}
        for ref in sheets:
            drawn.append(Sheet(ref, drawers[ref.kind](spread if ref.kind in SPREADS else single, ref)))
            if progress:
                progress("drawing", len(drawn), len(sheets))
    leaves = list(_leaves(single, drawn))
    leaves += [_notes(single, sheets[-1])] * (-len(leaves) % PAGES_A_SHEET)
    return Booklet(single, tuple(drawn), tuple(numbered(page, number) for number, page in enumerate(leaves, start=1)))


def _leaves(context: Context, sheets: Sequence[Sheet]) -> Iterator[Drawing]:
    """Page by page; a pair of facing pages begins on an even one."""
    count = 0
    for sheet in sheets:
        for page in sheet.pages:
            pair = halves(page) if sheet.ref.kind in SPREADS else (page,)
            if len(pair) == 2 and count % 2 == 0:
                yield _notes(context, sheet.ref)
                count += 1
            yield from pair
            count += len(pair)


def _notes(context: Context, ref: SheetRef) -> Drawing:
    """A page to write on."""
    pen, area = new_page(context.paper, TitleBlock("", NOTES, ""))
    pen.text(area.x, area.y + HEADING, NOTES, HEADING, weight="bold", tag="heading")
    return pen.drawing()


def bind_booklet(booklet: Booklet, folder: Path, is_folded: bool = True, inputs: tuple[str, ...] = ()) -> BoundBooklet:
    """Write the booklet into ``folder``, which is made if it is not there: to print and fold, or page by page.

    Raises OSError where it cannot be written, FileExistsError where it would take the place of a file it is made from.
    """
    harness = booklet.context.harness
    name = f"{Path(harness.file).stem}-booklet{'' if is_folded else '-pages'}.pdf"
    spare_inputs(inputs, [folder / name])
    date = harness.log[-1].date if harness.log else ""
    data = write_pdf(_printed(booklet) if is_folded else _in_order(booklet), Meta(harness.title or harness.file, harness.by, date))
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".unfinished-", dir=folder) as aside:
        (Path(aside) / name).write_bytes(data)
        os.replace(Path(aside) / name, folder / name)
    return BoundBooklet(folder / name, len(booklet.pages), len(booklet.pages) // PAGES_A_SHEET, sides(len(booklet.pages))[-1].fold)


def _printed(booklet: Booklet) -> list[PdfPage]:
    return [PdfPage(side, f"side-{number}", str(number)) for number, side in enumerate(imposed(booklet.pages), start=1)]


def _in_order(booklet: Booklet) -> list[PdfPage]:
    return [PdfPage(page, f"page-{number}", str(number)) for number, page in enumerate(booklet.pages, start=1)]
