"""The block of one splice: what it says and how its members stand on two sides.

Takes a harness, its geometry and a splice; gives a Block: the members as rows of a
left and a right half, under headings that name the side they leave to, with every
text broken to its column. ``parts`` cuts a block that is taller than a page.
Heights in mm; they depend on no sheet number, so that the book can be planned.

Of a splice on a segment the left half holds what leaves toward the point it is
measured from, the right half the other side. At a breakout each segment is a side
of its own, spread over both halves. Members whose side is not known come last.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..drawing.flag_notes import Flags
from ..drawing.lettering import cut, text_width, wrap
from ..geometry.measure import Geometry
from ..geometry.stations import StationOf
from ..model.harness import OPEN, UNKNOWN, Harness, Kind, Splice, Wire
from ..network.far_ends import FarEnd, far_ends
from ..network.islands import other_end
from ..trade.colours import print_colour
from .splice_words import copper_words

DATA = 2.5
LINE = 4.0
"""From baseline to baseline of data, mm."""
GAP = 2.5
"""Between the columns of a wire's label, and between label and bar."""
SWATCH = (9.0, 3.5)
SHEET_ROOM = 13.0
"""Kept free behind a far end for the number of its sheet, up to four digits."""
BOX_WIDTH = 11.0
"""Of an empty box to be filled by hand."""
HEADING = 6.5
"""Height of the line that names a side."""
CLEAR = 3.2
"""Wires of the two halves meet the bar at least this far apart, so that none seems to run through."""
NUMBER_MOST, LETTERS_MOST = 24.0, 24.0
MOST_CIRCUIT, MOST_FAR = 4, 7
"""Lines of a circuit, and of an address with what it is; what is longer is cut, so that a row stays lower than a page."""
MOST_ENDS = 3
"""Behind another splice so many far ends are named; of more, or of very long ones, only the count."""


@dataclass(frozen=True, slots=True)
class FarLine:
    """One line at the outer end of a wire; where it leads to a sheet, the address that has one; ``whole``: the words it is a line of."""

    text: str
    address: str = ""
    whole: str = ""


@dataclass(frozen=True, slots=True)
class RowMarks:
    """What differs from the version before at one member: the names of the fields of Row (and "size") that have a cloud, and the old values.

    A member that is ``new`` has one cloud round its label; one that is ``gone`` is no longer joined.
    """

    clouds: frozenset[str] = frozenset()
    was_number: str = ""
    was_size: str = ""
    was_letters: str = ""
    was_circuit: tuple[str, ...] = ()
    was_side: str = ""
    was_far: tuple[str, ...] = ()
    new: bool = False
    gone: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One member. ``above`` and ``below`` its line, in mm; a ``number`` that outgrows its column stands ``apart``, over the rest of the label.

    ``marks`` None: nothing differs from the version before, or none is compared with; ``flags``: of the findings at the wire.
    """

    wire: Wire
    number: tuple[str, ...]
    apart: bool
    letters: str
    beside: str
    circuit: tuple[str, ...]
    far: tuple[FarLine, ...]
    above: float
    below: float
    marks: RowMarks | None = None
    flags: Flags | None = None


@dataclass(frozen=True, slots=True)
class Heading:
    """The side to which the rows below leave, and their copper; ``was``: that of the version before where it differs."""

    side: str
    copper: str = ""
    was: str = ""
    above: float = HEADING
    below: float = 0.0

    @property
    def text(self) -> str:
        return f"{self.side}: {self.copper}" if self.copper else self.side


Item = Row | Heading


@dataclass(frozen=True, slots=True)
class Columns:
    """Widths in mm: number, size, letters of the colour, the whole label, and the far ends outside it."""

    number: float
    size: float
    letters: float
    label: float
    far: float


@dataclass(frozen=True, slots=True)
class Block:
    """A splice ready to be drawn; ``station`` None where geometry has none.

    ``before``: its block in the version before, where one is compared with and has it;
    ``new``: one is compared with and does not have it.
    """

    splice: Splice
    station: StationOf | None
    wires: tuple[Wire, ...]
    columns: Columns
    left: tuple[Item, ...]
    right: tuple[Item, ...]
    before: Block | None = None
    new: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """What of a block stands on one page: items with the y of their line below the top of the diagram."""

    left: tuple[tuple[Item, float], ...]
    right: tuple[tuple[Item, float], ...]
    height: float
    first: bool
    last: bool


def make_block(harness: Harness, geometry: Geometry, splice: Splice, width: float, convention: str, columns: Columns | None = None) -> Block:
    """The block of a splice, ``width`` mm wide, colours in ``convention``; ``columns`` where they are not those it needs."""
    station = geometry.stations.get(splice.id)
    wires = tuple(harness.wires[name] for name in harness.wires_at.get(splice.id, ()))
    letters = {wire.id: _letters(wire, convention) for wire in wires}
    columns = columns or _columns(wires, letters, width)
    ends = far_ends(harness, splice.id)
    rows = {wire.id: _row(harness, splice, wire, letters[wire.id], columns, [end for end in ends if end.wires[0] == wire.id]) for wire in wires}
    left, right = _halves(station, wires, rows, columns)
    return Block(splice, station, wires, columns, left, right)


def columns_of(number: float, size: float, letters: float, width: float) -> Columns:
    """The columns of a block ``width`` mm wide, from the widths of the first three."""
    label = number + size + letters + SWATCH[0] + 3 * GAP
    return Columns(number, size, letters, label, width / 2 - label - 3 * GAP)


def parts(block: Block, first_room: float, next_room: float) -> list[Part]:
    """The diagram of a block cut so that each part is no higher than its room; one part where it fits."""
    left, right, room = block.left, block.right, first_room
    cuts: list[Part] = []
    while True:
        on_left, left, low_left = _stack(left, (), room)
        taken = tuple(y for item, y in on_left if isinstance(item, Row))
        on_right, right, low_right = _stack(right, taken, room)
        last = not left and not right
        cuts.append(Part(on_left, on_right, max(low_left, low_right), not cuts, last))
        if last:
            return cuts
        room = next_room


def _letters(wire: Wire, convention: str) -> tuple[str, str]:
    """The colour in the reader's convention, and as the source has it where that is another one."""
    if wire.colour is None:
        return "", ""
    return print_colour(wire.colour, convention), f"({wire.colour_as_stated})" if wire.convention != convention else ""


def _columns(wires: Sequence[Wire], letters: dict[str, tuple[str, str]], width: float) -> Columns:
    def widest(texts: Sequence[str], most: float, weight: str = "regular") -> float:
        return min(most, max((text_width(text, DATA, weight) for text in texts), default=0.0))

    fitting = [wire.id for wire in wires if text_width(wire.id, DATA, "bold") <= NUMBER_MOST]
    number = widest(fitting, NUMBER_MOST, "bold")
    size = max(BOX_WIDTH, widest([str(wire.size) for wire in wires if wire.size], NUMBER_MOST))
    # The letters of the source stand below, where they may go on under the swatch: the far ends need the width more.
    beside = widest([letters[wire.id][1] for wire in wires], LETTERS_MOST) - GAP - SWATCH[0]
    shown = max(BOX_WIDTH, beside, widest([letters[wire.id][0] for wire in wires], LETTERS_MOST))
    return columns_of(max(number, BOX_WIDTH), size, shown, width)


def _row(harness: Harness, splice: Splice, wire: Wire, letters: tuple[str, str], columns: Columns, ends: list[FarEnd]) -> Row:
    shown, beside = letters
    fits = text_width(wire.id, DATA, "bold") <= columns.number
    number = (wire.id,) if fits else tuple(wrap(wire.id, columns.label, DATA, "bold"))
    room = columns.number + GAP + columns.size if beside else columns.label
    circuit = _at_most(MOST_CIRCUIT, wire.circuit, room) if wire.circuit else ()
    far = tuple(_far_lines(harness, splice, wire, columns.far, ends))
    above = SWATCH[1] + 1.8 + (0 if fits else LINE * len(number))
    below = max(1.2 + LINE * max(len(circuit), 1 if beside else 0), 2.2 + LINE * (len(far) - 1)) + 0.8
    return Row(wire, number, not fits, shown, beside, circuit, far, above, below)


def _far_lines(harness: Harness, splice: Splice, wire: Wire, room: float, ends: list[FarEnd]) -> list[FarLine]:
    """The other end of a wire, what it is, and behind another splice its far ends; [] stands for an end not known."""
    address = other_end(wire, splice.id)
    if address == UNKNOWN:
        return []
    if address == OPEN:
        return [_alone(OPEN)]
    lines = _address_lines(address, room)
    contact = harness.contacts[address]
    if contact.kind is not Kind.SPLICE:
        words = contact.function or _title(harness, contact.owner)
        return lines + [FarLine(text, whole=words) for text in _at_most(max(2, MOST_FAR - len(lines)), words, room) if text]
    behind: list[FarLine] = []
    for end in ends:
        behind += _address_lines(end.address, room, "to ") if end.address not in (UNKNOWN, OPEN) else [_alone(f"to {end.address}")]
    if len(ends) > MOST_ENDS or len(behind) > 2 * MOST_ENDS:
        behind = [_alone(f"to {len(ends)} ends")]
    return lines + behind


def _address_lines(address: str, room: float, before: str = "") -> list[FarLine]:
    """An address, broken where it is long; its last line carries the sheet, or a line of its own where that has no room."""
    whole = before + address
    *rest, last = wrap(whole, room, DATA)
    if text_width(last, DATA) > room - SHEET_ROOM:
        rest, last = [*rest, last], ""
    return [*(FarLine(text, whole=whole) for text in rest), FarLine(last, address, whole)]


def _alone(text: str) -> FarLine:
    """Words that are one line and lead to no sheet."""
    return FarLine(text, whole=text)


def _title(harness: Harness, owner: str) -> str:
    for group in (harness.connectors, harness.devices, harness.parts, harness.boxes, harness.grounds):
        if owner in group:
            return group[owner].title
    return ""


def _at_most(count: int, text: str, room: float) -> tuple[str, ...]:
    lines = wrap(text, room, DATA)
    return tuple(lines[:count - 1]) + (cut(" ".join(lines[count - 1:]), room, DATA),) if len(lines) >= count else tuple(lines)


def _halves(station: StationOf | None, wires: Sequence[Wire], rows: dict[str, Row], columns: Columns) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
    """Sides as headings with their rows, spread over the left and the right half."""
    by_wire = {member.wire: member for member in station.members} if station else {}
    sides: dict[tuple[str, str], list[Wire]] = {}
    on_segment = station is not None and station.segment is not None
    if on_segment:
        sides = {(station.from_point, ""): [], (station.toward_point, ""): []}
    lost: list[Wire] = []
    for wire in wires:
        member = by_wire.get(wire.id)
        if member is None or member.side is None:
            lost.append(wire)
        else:
            sides.setdefault((member.side, "" if on_segment or not member.segment else member.segment), []).append(wire)
    halves: tuple[list[Item], list[Item]] = ([], [])
    room = columns.far + columns.label

    def add(half: int, words: str, group: Sequence[Wire]) -> None:
        copper = copper_words(group)
        halves[half].append(Heading(cut(words, room - text_width(f": {copper}", 1.8, "bold"), 1.8, "bold"), copper))
        halves[half].extend(rows[wire.id] for wire in group)

    for place, ((point, segment), group) in enumerate(sides.items()):
        half = place if on_segment and place < 2 else _lower(halves)
        add(half, f"toward {point}" + (f" ({segment})" if segment else ""), group)
    if lost and not sides:
        middle = (len(lost) + 1) // 2
        add(0, "side not known", lost[:middle])
        if lost[middle:]:
            add(1, "side not known", lost[middle:])
    elif lost:
        add(_lower(halves), "side not known", lost)
    return tuple(halves[0]), tuple(halves[1])


def _lower(halves: tuple[list[Item], list[Item]]) -> int:
    """The half with less in it, the left one of equals."""
    heights = [sum(item.above + item.below for item in half) for half in halves]
    return 0 if heights[0] <= heights[1] else 1


def _stack(items: tuple[Item, ...], taken: Sequence[float], room: float) -> tuple[tuple[tuple[Item, float], ...], tuple[Item, ...], float]:
    """Items below one another as far as the room goes: those placed, the rest under a repeated heading, and the lowest edge."""
    placed: list[tuple[Item, float]] = []
    heading: Heading | None = None
    low = 0.0
    for index, item in enumerate(items):
        y = low + item.above
        while isinstance(item, Row) and any(abs(y - other) < CLEAR for other in taken):
            y += CLEAR / 2
        begins = isinstance(item, Heading) and index + 1 < len(items)
        ahead = items[index + 1].above + items[index + 1].below if begins else 0.0
        has_row = any(isinstance(one, Row) for one, _ in placed)
        if has_row and y + item.below + ahead > room:
            rest = items[index:]
            repeated = (heading, *rest) if heading and isinstance(item, Row) else rest
            return tuple(placed), repeated, low
        heading = item if isinstance(item, Heading) else heading
        placed.append((item, y))
        low = y + item.below
    return tuple(placed), (), low
