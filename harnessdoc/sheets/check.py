"""The check sheet: what must ring, what must not, and what no program can see.

Measured on the bench: the harness unplugged, in-line connectors apart, fuses and
relays out. Contacts of airbag circuits have no line here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from ..drawing.record import Drawing
from ..drawing.table import CellContent, Column, EmptyBox, Row, lay_out
from ..model.harness import Harness, Kind
from ..network.continuity import CheckList, NeighbourCheck, PathCheck, check_list
from ..network.islands import connect
from .cautions import caution_lines
from .cavity_order import counted
from .context import Context, SheetRef
from .flow import Block, Heading, Words, free_area, set_pages
from .list_cells import filled, listed, sheet_link

HOW = ("Battery off, harness unplugged at every control unit and part, in-line connectors apart, fuses and relays out. "
       "Rings: the meter sounds, or reads what its leads alone read; write the value. Must not ring: no reading at all.")

QUESTIONS = (
    "Does a test crimp of each terminal and size hold, strands and insulation each in their own wings?",
    "Was every wire pulled by hand at both ends, one by one?",
    "Can water run along a wire into a connector, or stand in one? Is the lowest point of each branch before its connector?",
    "Does anything rub: an edge, a clip, a moving part, a wire against metal? Is there a grommet in every hole?",
    "Is there room to everything hot and to everything that turns, with the engine rocked by hand?",
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
    listing = check_list(context.harness)
    width = free_area(context.paper, "portrait").w
    wide = width > 150
    blocks: list[Block] = [Words(line, "bold", tag="caution") for line in caution_lines(context, context.harness.contacts)]
    blocks.append(Words(HOW))
    value, initials = Column("Value", 19 if wide else 13), Column("Initials", 15 if wide else 11)
    if listing.paths:
        columns = [Column("", 10, anchor="end"), Column("From, sheet", 30 if wide else 20), Column("To, sheet", 30 if wide else 20), Column("Through"), Column("", 13), value, initials]
        place = _counting(context.harness)
        paths = sorted(listing.paths, key=lambda path: (place(path.from_), place(path.to)))
        rows = [_path_row(context, number, path) for number, path in enumerate(paths, start=1)]
        blocks += [Heading("Must ring"), lay_out(columns, rows, width, pitch=6.5, tag="must ring")]
    if listing.neighbours:
        columns = [Column("Connector, sheet", 30 if wide else 20), Column("Neighbouring cavities"), value, initials]
        room = width - sum(column.width_mm or 0.0 for column in columns) - 2.0
        grounded = _grounded(context.harness)
        rows = [row for check in listing.neighbours for row in _neighbour_rows(context, check, grounded, room)]
        blocks += [Heading("Must not ring"), lay_out(columns, rows, width, pitch=6.5, tag="must not ring")]
    blocks += _left_out(context, listing)
    columns = [Column("", 10, anchor="end"), Column("Question"), Column("Answer", 30 if wide else 22), initials]
    rows = [(str(number), question, EmptyBox("answer"), EmptyBox("initials")) for number, question in enumerate(QUESTIONS, start=1)]
    blocks += [Heading("What no program can see"), lay_out(columns, rows, width, pitch=8.0, tag="question")]
    return set_pages(context, ref, blocks)


def _counting(harness: Harness) -> Callable[[str], tuple[int, tuple[tuple[int, int, str], ...]]]:
    """A key to sort addresses by: owners as described, their cavities counted up as on the pinout sheets."""
    owners = {owner: position for position, owner in enumerate(dict.fromkeys(contact.owner for contact in harness.contacts.values()))}
    return lambda address: (owners[harness.contacts[address].owner], counted(harness.contacts[address].name))


def _grounded(harness: Harness) -> set[str]:
    """All addresses that copper joins to a ground: two of them ring through the metal whenever the studs are on it."""
    network = connect(harness, unplugged=True)
    return {address for island in network.islands if any(harness.contacts[one].kind is Kind.GROUND for one in island) for address in island}


def _path_row(context: Context, number: int, path: PathCheck) -> Row:
    return (str(number), _end(context, path.from_), _end(context, path.to), listed(path.through) or "bar", "rings", EmptyBox("value"), EmptyBox("initials"))


def _end(context: Context, address: str) -> CellContent:
    return sheet_link(address, context.sheet_for(address))


def _neighbour_rows(context: Context, check: NeighbourCheck, grounded: set[str], room: float) -> Iterator[Row]:
    """The pairs of a connector as ``1 / 2   2 / 3``, counted up, a few lines a row; no pair of two grounded cavities."""
    start = len(check.connector) + 1
    pairs = [sorted((a[start:], b[start:]), key=counted) for a, b in check.pairs if not {a, b} <= grounded]
    lines = filled([f"{a} / {b}" for a, b in sorted(pairs, key=lambda pair: (counted(pair[0]), counted(pair[1])))], room, BETWEEN_PAIRS)
    connector = sheet_link(check.connector, context.sheet_of.get(check.connector))
    for first in range(0, len(lines), PAIR_LINES):
        cells: tuple[CellContent, ...] = (connector, tuple(lines[first:first + PAIR_LINES]))
        yield *cells, EmptyBox("value"), EmptyBox("initials")


def _left_out(context: Context, listing: CheckList) -> Iterator[Block]:
    if listing.left_out:
        owners = listed(context.harness.contacts[address].owner for address in listing.left_out)
        yield Words(f"No line for {len(listing.left_out)} contacts of airbag circuits (at {owners}): no meter is put on them.", "bold")
