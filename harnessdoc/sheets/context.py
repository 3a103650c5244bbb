"""What every sheet function is given: the harness, what was computed of it, the
reader's options, and the numbers of all sheets.

A sheet function takes a Context and a SheetRef and returns recorded drawings, one
a page. Which sheets there are, and their order, is decided in ``book/plan.py``
before any is drawn, so that every far end can carry the number of the sheet where
it continues.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from ..description.order_file import OrderFile
from ..description.units import Length, print_length, print_length_both, print_run
from ..diagram.kept import Kept
from ..drawing.page import BOOKLET_PAPERS, PAPERS, Area, Paper, TitleBlock, new_page
from ..drawing.pen import Pen
from ..findings import Finding
from ..geometry.cut_list import IsThere, nothing
from ..geometry.labels import Numbers
from ..geometry.measure import Geometry
from ..merge.found import found_in
from ..merge.numbers import join_numbers
from ..model.harness import Harness, Revision, Wire
from ..network.islands import Network
from ..revision.compare import Comparison
from ..trade.colours import CONVENTIONS, Colour, print_colour

if TYPE_CHECKING:
    from ..merge.plan import Merge
    from ..operation.operate import Operation, Solved
    from ..rules.lack import Unasked
    from ..rules.waivers import Waived


T = TypeVar("T")


class SheetKind(Enum):
    """The kinds of sheet, in the order of the book; the value is the title on the sheet."""

    COVER = "Cover"
    CAUTIONS = "Cautions"
    INDEX = "Index"
    FINDINGS = "Findings"
    OVERVIEW = "Overview"
    QUICK = "Quick page"          # of the booklet
    FUSES = "Fuses and relays"
    GROUNDS = "Grounds"
    BUDGET = "Power budget"
    POWER = "Power distribution"
    GROUND_PAGES = "Ground distribution"
    CIRCUIT = "Circuit diagram"
    PINOUT = "Pinout"
    BOX = "Box"
    RELAYS = "Relays"
    LAYOUT = "Harness layout"
    LOCATIONS = "Locations"
    SPLICE_PLACES = "Splice places"
    CROSS_SECTIONS = "Bundle cross-sections"
    SPLICES = "Splices"
    # of a merge: not in the book of one harness
    JOINS = "Joins"
    INTERFACES = "Interfaces"
    FATES = "Fates"
    CLOSURE = "Closure"
    ELECTRICAL = "Electrical data"
    CUT_LIST = "Cut list"
    STOCK_PLAN = "Stock plan"     # of a merge, too
    PARTS = "Parts list"
    LABELS = "Labels"
    CHECK = "Check sheet"
    # to build on: not in the book
    LAYOUT_1TO1 = "Layout 1 to 1"
    # of two versions: not in the book of one
    CHANGES = "Changes"
    REWORK = "Rework"
    EXCHANGE = "Sheets to exchange"


NO_CIRCUIT = ""
"""Stands among the circuits of a sheet of electrical data for loads, fuses and wires that name none; no circuit is called so."""


@dataclass(frozen=True, slots=True)
class Options:
    """What the reader chooses.

    paper: a key of drawing.page.PAPERS, or of BOOKLET_PAPERS; units: "mm" or "in"; colours: a colour
    convention, None for that of the main file; cache: the folder where placed circuit diagrams are kept, None: nowhere;
    state: the solved state whose readings circuit diagrams show, None: none.
    """

    paper: str = "a4"
    units: str = "mm"
    colours: str | None = None
    cache: Path | None = None
    state: Solved | None = None


@dataclass(frozen=True, slots=True)
class SheetRef:
    """One sheet of the book: its number from 1, a name for files and links, and what it shows.

    name is safe as a file name; subjects are the ids (connectors, splices, relays...)
    this sheet is about, empty for lists. A sheet that is in no book has letters for a number.
    """

    number: int | str
    name: str
    kind: SheetKind
    title: str
    subjects: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FlaggedAt:
    """Where the first flag of a finding stands on a sheet: ``page`` of ``pages``, and the field of its grid, ``C4``."""

    page: int
    pages: int
    zone: str


@dataclass(frozen=True, slots=True)
class Context:
    """Everything a sheet may look at; nothing in it is changed by a sheet."""

    harness: Harness
    network: Network
    geometry: Geometry
    findings: tuple[Finding, ...]
    options: Options
    sheets: tuple[SheetRef, ...]
    sheet_of: Mapping[str, SheetRef]     # owner id (connector, splice, part, box, ground, device) -> its sheet
    operation: Operation | None = None   # the circuit solved; None where nothing gives a supply, or nobody asked
    merge: Merge | None = None           # what was decided, where two harnesses are merged
    since: Since | None = None           # the version before, where the sheets show what changed
    waived: tuple[Waived, ...] = ()      # what waivers take off the list
    unasked: tuple[Unasked, ...] = ()    # what the rules could not ask
    numbers_at: Mapping[str, tuple[int, ...]] = field(default_factory=dict)    # what findings lie at -> their numbers (sheets/flags.py)
    flagged_on: Mapping[tuple[int, str], FlaggedAt] = field(default_factory=dict)    # number of a finding, name of a sheet -> where its flag stands there, once the sheets are drawn
    order: OrderFile | None = None       # in which order things stand on circuit diagrams, where a file says it
    placer: Kept = field(default_factory=Kept, repr=False, compare=False)    # places circuit diagrams, or has them from before
    _kept: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)

    def kept(self, name: str, make: Callable[[], T]) -> T:
        """What ``make`` gives of this harness and these sheets, made when first asked for under this name, and once."""
        if name not in self._kept:
            self._kept[name] = make()
        return self._kept[name]

    @property
    def paper(self) -> Paper:
        return PAPERS.get(self.options.paper) or BOOKLET_PAPERS[self.options.paper]

    @property
    def convention(self) -> str:
        """The convention in which colours are printed."""
        return self.options.colours or self.harness.convention or CONVENTIONS[0]

    @property
    def join_numbers(self) -> Numbers | None:
        """The numbers of joins that the labels of wires carry; None where nothing is merged: those of the splices count then."""
        return join_numbers(self.merge, self.harness) if self.merge else None

    @property
    def is_there(self) -> IsThere:
        """Whether a thing is at hand already, as found on a vehicle that is merged."""
        return found_in(self.merge, self.harness) if self.merge else nothing

    def page(self, ref: SheetRef, page: int, pages: int, orientation: str = "portrait") -> tuple[Pen, Area]:
        """A new page with frame and title block, and the free area on it."""
        harness = self.harness
        last = harness.log[-1] if harness.log else None
        block = TitleBlock(
            title=ref.title, document_type=ref.kind.value, sheet=f"{ref.number} / {len(self.sheets)}" if isinstance(ref.number, int) else ref.number, page=page, pages=pages, owner=harness.owner,
            identification=harness.number, created_by=harness.by, approved_by=harness.approved,
            date=last.date if last else "", revision=self._revision(last), made_from=harness.file,
        )
        return new_page(self.paper, block, orientation)

    def _revision(self, last: Revision | None) -> str:
        """That of the last log entry; a change that is not logged must not look like the sheet it replaces."""
        unlogged = self.since is not None and not self.since.letter
        return ", ".join(filter(None, (last.revision if last else "", "changed" if unlogged else "")))

    def sheet_for(self, address: str) -> SheetRef | None:
        """The sheet on which a far end continues; None for unknown and open ends."""
        contact = self.harness.contacts.get(address)
        return self.sheet_of.get(contact.owner) if contact else None

    def colour(self, colour: Colour | None) -> str:
        """The letters of a colour in the reader's convention; "" where it is unknown."""
        return print_colour(colour, self.convention) if colour else ""

    def colour_beside(self, wire: Wire) -> str:
        """The letters as the source has them, where the reader's convention prints others; else ""."""
        return wire.colour_as_stated if wire.colour and wire.convention != self.convention else ""

    def mm(self, length_mm: float) -> str:
        """A computed length in the reader's unit."""
        return print_length(Length(length_mm), self.options.units)

    def run(self, metres: float) -> str:
        """A length of wire, cable or covering off the spool, in metres or feet."""
        return print_run(metres, self.options.units)

    def length(self, length: Length) -> str:
        """A stated length in the reader's unit, the stated one beside."""
        return print_length_both(length, self.options.units)


@dataclass(frozen=True, slots=True)
class Since:
    """The version before, for sheets that show what changed.

    before: its context (with the same options); letter: of the revision that brought the changes, "" where none is logged
    """

    before: Context
    comparison: Comparison
    letter: str


def swatch_letters(colour: Colour | None) -> tuple[str, ...]:
    """A colour as drawing.swatch takes it: IEC letters, base first, ``LT ``/``DK `` before a shade."""
    if colour is None:
        return ()
    shade = {"light": "LT ", "dark": "DK "}
    return tuple(shade.get(tint.shade, "") + tint.code for tint in (colour.base, *colour.stripes))
