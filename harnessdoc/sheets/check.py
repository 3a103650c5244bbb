"""The check sheet: what must ring, what must not, and what no program can see.

Measured on the bench: the harness unplugged, in-line connectors apart, fuses and
relays out. Contacts of airbag circuits have no line here. Where the circuit is solved
a path has its ohms, and the steps from battery off to engine running their readings.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from ..drawing.record import Drawing
from ..drawing.table import CellContent, Column, EmptyBox
from ..model.harness import Harness, Kind
from ..network.cavity_order import counted
from ..network.continuity import CheckList, NeighbourCheck, PathCheck, check_list
from ..network.islands import connect
from ..operation.ohms import BENCH_C, path_ohms
from ..operation.words import ohms_shown
from ..revision.changes import Thing
from .cautions import caution_lines
from .check_readings import reading_blocks
from .context import Context, SheetRef
from .flow import Heading, Words, free_area
from .list_cells import listed, sheet_link
from .marking import Draft, marked_pages
from .tables import Key, Listing, PlainRow, PlainTable, keyed_rows

HOW = ("Battery off, harness unplugged at every control unit and part, in-line connectors apart, fuses and relays out. "
       "Rings: the meter sounds, or reads what its leads alone read; write the value. Must not ring: no reading at all.")

OHMS = f"Ohms of the copper at {BENCH_C:g} C with its terminals (typical), less what the leads read joined; \"rings\" alone where a size or length is not known."

QUESTIONS = (
    "Does a test crimp of each terminal and size hold, strands and insulation each in their own wings?",
    "Was every wire pulled by hand at both ends, one by one?",
    "Can water run along a wire into a connector, or stand in one? Is the lowest point of each branch before its connector?",
    "Does anything rub: an edge, a clip, a moving part, a wire against metal? Is there a grommet in every hole?",
    "Is there room to everything hot and to everything that turns, with the engine rocked by hand?",
    "Is there slack at every branch to the engine when it is rocked by hand, and at every door when it stands wide open?",
    "Does every clip hold without cutting in, and does no run hang between two of them?",
    "Is every plug latched, every lock of its terminals closed, every empty cavity of a sealed plug plugged?",
    "Is the source book that of this vehicle: year, engine, market? Do three wires picked at random agree with it?",
    "Is every fuse fitted the one on the list, and every empty position empty?",
    "Is every ground bare metal, tight, sealed?",
    "Is every splice in its place on the drawing, apart from the next, closed, and out of what bends?",
    "Do the labels of both ends agree with the pinout sheets?",
)
"""What the program cannot see (design, section 9)."""

PAIR_LINES = 3
"""Lines of pairs in one row, so that a row has one value and one sign."""
BETWEEN_PAIRS = "   "


def draw_check(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Paths that must ring, neighbours that must not, questions; each with room for value and initials."""
    return marked_pages(context, ref, _blocks, two_ends=True)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    listing = check_list(context.harness)
    width = free_area(context.paper, "portrait").w
    wide = width > 150
    for line in caution_lines(context, context.harness.contacts):
        yield Words(line, "bold", tag="caution")
    yield Words(HOW)
    value, initials = Column("Value", 19 if wide else 13), Column("Initials", 15 if wide else 11)
    if listing.paths:
        columns = (Column("", 10, anchor="end"), Column("From, sheet", 30 if wide else 20), Column("To, sheet", 30 if wide else 20), Column("Through"), Column("Rings, ohm" if context.operation else "", 13), value, initials)
        ohms = path_ohms(context.operation, listing.paths) if context.operation else {}
        place = _counting(context.harness)
        paths = sorted(listing.paths, key=lambda path: (place(path.from_), place(path.to)))
        rows = keyed_rows((((Thing.CONTACT, path.from_), (Thing.CONTACT, path.to)), _path_row(context, number, path, ohms.get((path.from_, path.to)))) for number, path in enumerate(paths, start=1))
        yield Heading("Must ring")
        if context.operation:
            yield Words(OHMS)
        yield PlainTable(("must ring",), columns, rows, width, pitch=6.5, tag="must ring", named=1, free=frozenset((0,)))
    if listing.neighbours:
        columns = (Column("Connector, sheet", 30 if wide else 20), Column("Neighbouring cavities"), value, initials)
        grounded = _grounded(context.harness)
        rows = keyed_rows(row for check in listing.neighbours for row in _neighbour_row(context, check, grounded))
        yield Heading("Must not ring")
        yield PlainTable(("must not ring",), columns, rows, width, pitch=6.5, tag="must not ring", most_lines=PAIR_LINES)
    yield from _left_out(context, listing)
    yield from reading_blocks(context, width)
    columns = (Column("", 10, anchor="end"), Column("Question"), Column("Answer", 30 if wide else 22), initials)
    rows = keyed_rows(((question,), (str(number), question, EmptyBox("answer"), EmptyBox("initials"))) for number, question in enumerate(QUESTIONS, start=1))
    yield Heading("What no program can see")
    yield PlainTable(("question",), columns, rows, width, pitch=8.0, tag="question")


def _counting(harness: Harness) -> Callable[[str], tuple[int, tuple[tuple[int, int, str], ...]]]:
    """A key to sort addresses by: owners as described, their cavities counted up as on the pinout sheets."""
    owners = {owner: position for position, owner in enumerate(dict.fromkeys(contact.owner for contact in harness.contacts.values()))}
    return lambda address: (owners[harness.contacts[address].owner], counted(harness.contacts[address].name))


def _grounded(harness: Harness) -> set[str]:
    """All addresses that copper joins to a ground: two of them ring through the metal whenever the studs are on it."""
    network = connect(harness, unplugged=True)
    return {address for island in network.islands if any(harness.contacts[one].kind is Kind.GROUND for one in island) for address in island}


def _path_row(context: Context, number: int, path: PathCheck, ohm: float | None) -> PlainRow:
    return (str(number), _end(context, path.from_), _end(context, path.to), listed(path.through) or "bar", "rings" if ohm is None else ohms_shown(ohm), EmptyBox("value"), EmptyBox("initials"))


def _end(context: Context, address: str) -> CellContent:
    return sheet_link(address, context.sheet_for(address))


def _neighbour_row(context: Context, check: NeighbourCheck, grounded: set[str]) -> Iterator[tuple[Key, PlainRow]]:
    """The pairs of a connector as ``1 / 2   2 / 3``, counted up; no pair of two grounded cavities, and nothing where none is left."""
    start = len(check.connector) + 1
    pairs = [sorted((a[start:], b[start:]), key=counted) for a, b in check.pairs if not {a, b} <= grounded]
    if pairs:
        listing = Listing(tuple(f"{a} / {b}" for a, b in sorted(pairs, key=lambda pair: (counted(pair[0]), counted(pair[1])))), BETWEEN_PAIRS)
        yield ((Thing.CONNECTOR, check.connector),), (sheet_link(check.connector, context.sheet_of.get(check.connector)), listing, EmptyBox("value"), EmptyBox("initials"))


def _left_out(context: Context, listing: CheckList) -> Iterator[Words]:
    if listing.left_out:
        owners = listed(context.harness.contacts[address].owner for address in listing.left_out)
        yield Words(f"No line for {len(listing.left_out)} contacts of airbag circuits (at {owners}): no meter is put on them.", "bold")
