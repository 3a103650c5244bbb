"""What the vehicles give to be used again, and the new wires planned from it before any are bought.

Takes: a Merge and the merged harness, measured. Gives: the stock (wires that leave, far halves, connectors set
aside whole with their wires on them); and a StockPlan: from which piece each new wire is cut, what is left, and what is to be bought.

A new wire is cut from a piece of the same size whose insulation stands the same heat or more. First each colour is cut from pieces
of its own colour, then what is missing from pieces of any colour, and the plan says where the colour differs. At each step as few mm as
can be are left to be bought (``geometry/cutting.py``). Not cut are wires on a connector that is set aside whole, and cores of a cable.

Common practice: SPARE over the net length is bought; an offcut of USEFUL_MM is worth keeping, for a jumper or in a relay box; an old end
is not used again, as its strands are hard from heat or crimp: TRIM_MM come off it. Design choice: spools of SPOOL_MM.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from math import ceil, floor, inf

from ..geometry.cut_list import CutRow, Spool, fitted
from ..geometry.cutting import plan_cuts
from ..geometry.measure import Geometry
from ..model.harness import Harness, Wire
from ..trade.colours import Colour, Tint
from ..trade.sizes import Size
from ..trade.wire_types import WireType
from .fit import far_mm
from .plan import Fate, Merge, Source

SPARE = 0.10
"""Share of the net length that is bought beyond it. Common practice."""
USEFUL_MM = 300
"""The shortest offcut worth keeping. Common practice."""
TRIM_MM = 15
"""What is cut off an end that was in use: the old crimp and the hard strands behind it. Common practice."""
SPOOL_MM = 10_000
"""The length of a spool, where nobody says another. Design choice."""


class What(Enum):
    """What a piece of the stock is."""

    WIRE = "wire"
    FAR_HALF = "far half"
    CONNECTOR = "connector"


@dataclass(frozen=True, slots=True)
class StockPiece:
    """One piece, by its id in the merge: of a wire that of the wire.

    from_:     name of the source
    size, colour, type: of the wire, None where unknown; None of a connector
    length_mm: as found, a far half less its stubs; usable_mm: without the old ends, whole mm; None where unknown
    terminal:  what is still crimped on: ``pin 1.5 at X30.4``, ends in the order of the wire, at addresses of the source
    wires:     of a connector the pieces that hang on it
    held:      why nothing is cut from it, "" where it may be cut
    """

    id: str
    from_: str
    what: What
    fate: Fate
    size: Size | None
    colour: Colour | None
    type: WireType | None
    length_mm: float | None
    usable_mm: int | None
    terminal: tuple[str, ...]
    wires: tuple[str, ...]
    held: str
    note: str


@dataclass(frozen=True, slots=True)
class Cut:
    """One new wire. piece: what it is cut from, None where it is bought; left_mm: of that piece behind this cut and those before it in the plan, None of a bought wire."""

    row: CutRow
    piece: StockPiece | None
    differs: bool
    left_mm: int | None


@dataclass(frozen=True, slots=True)
class ToBuy:
    """What is bought of one kind of wire.

    wires: in the order of the cut list; net_mm: of those whose length is known; buy_mm: with SPARE, up to a full 0.1 m
    spools: as many as the wires can be cut from, and no less than ``buy_mm`` takes
    too_long: those that no spool is long enough for; without_length: those of unknown length, or of none between two ends at one place; neither is in net_mm nor in the spools
    """

    spool: Spool
    wires: tuple[str, ...]
    net_mm: int
    buy_mm: int
    spools: int
    too_long: tuple[str, ...]
    without_length: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StockPlan:
    """cuts: every new wire, in the order of the cut list; left: piece that is cut -> mm left of it; is_exact: each step proved to be the best (few enough wires of a kind)."""

    cuts: tuple[Cut, ...]
    to_buy: tuple[ToBuy, ...]
    left: Mapping[str, int]
    spool_mm: int
    is_exact: bool


def find_stock(merge: Merge, geometry: Geometry) -> tuple[StockPiece, ...]:
    """Every piece, thin before thick, by colour, the longest first; then the connectors. geometry: that of the merged harness, for the stubs that nobody measured."""
    pieces: list[StockPiece] = []
    for source in merge.sources.values():
        whole = dict(_connectors(merge, source))
        on = {piece: connector for connector, wires in whole.items() for piece in wires}
        mine = [*_wires(merge, source, on), *_far_halves(merge, source, geometry, on)]
        pieces += [*mine, *(_connector(merge, source, connector, wires) for connector, wires in whole.items())]
    return tuple(sorted(pieces, key=_searchable))


def plan_from_stock(stock: Sequence[StockPiece], rows: Sequence[CutRow], wires: Mapping[str, Wire], spool_mm: int = SPOOL_MM) -> StockPlan:
    """The plan of new wires. rows: of the cut list; wires: those of the merged harness, by id."""
    planning = _Planning(stock)
    known = [row for row in rows if row.cut_mm and wires[row.wire].size is not None and wires[row.wire].type is not None]
    hottest = sorted(dict.fromkeys((wires[row.wire].size, wires[row.wire].type) for row in known), key=lambda kind: _hottest_first(*kind))
    for same_colour in (True, False):
        for size, type_ in hottest:
            mine = [row for row in known if (wires[row.wire].size, wires[row.wire].type) == (size, type_)]
            colours = list(dict.fromkeys(wires[row.wire].colour for row in mine if wires[row.wire].colour is not None)) if same_colour else [None]
            for colour in colours:
                planning.cut([row for row in mine if not same_colour or wires[row.wire].colour == colour], size, type_, colour)
    bought = [row for row in rows if row.wire not in planning.taken]
    to_buy = [_to_buy(spool, [row for row in bought if row.spool == spool], spool_mm, planning) for spool in dict.fromkeys(row.spool for row in bought)]
    cuts = tuple(_in_order(rows, wires, planning))
    return StockPlan(cuts, tuple(to_buy), {id: planning.left[id] for id in dict.fromkeys(cut.piece.id for cut in cuts if cut.piece)}, spool_mm, planning.is_exact)


# --------------------------------------------------------------------------- what there is

def _searchable(piece: StockPiece) -> tuple[object, ...]:
    """By size, colour, length; the unknown behind the known."""
    size, colour = piece.size, piece.colour
    return (piece.what is What.CONNECTOR, size.area_mm2 if size else inf, str(size or ""), colour is None, colour or Colour(Tint("")), -(piece.length_mm or 0.0), piece.id)


def _wires(merge: Merge, source: Source, on: Mapping[str, str]) -> Iterator[StockPiece]:
    for wire in source.harness.wires.values():
        decision = merge.decisions[source.id(wire.id)]
        if decision.fate.leaves:
            length = source.geometry.lengths[wire.id].finished_mm
            yield _piece(source, wire, decision.wire, What.WIRE, decision.fate, length, 2, (wire.from_, wire.to), on)


def _far_halves(merge: Merge, source: Source, geometry: Geometry, on: Mapping[str, str]) -> Iterator[StockPiece]:
    for far in merge.far_halves.values():
        if merge.source_of(far.wire) is source and far.fate.leaves:
            wire = source.harness.wires[_own(far.wire)]
            ends = (_own(far.hangs),) if far.hangs else ()
            length = far_mm(merge, geometry, far.id)
            if length != 0:         # else its stubs are all there is of the wire
                # where a join cut it the strands are new
                yield _piece(source, wire, far.id, What.FAR_HALF, far.fate, length, 2 - len(far.joins), ends, on)


def _piece(source: Source, wire: Wire, id: str, what: What, fate: Fate, length_mm: float | None, old_ends: int, ends: Sequence[str], on: Mapping[str, str]) -> StockPiece:
    usable = None if length_mm is None else max(floor(length_mm) - TRIM_MM * old_ends, 0)
    held = f"on connector {on[id]}" if id in on else f"{wire.core} of cable {source.id(wire.cable)}" if wire.cable else ""
    note = "; ".join(filter(None, ("link inside a box" if source.geometry.lengths[wire.id].zero else "", f"twisted in {source.id(wire.pair)}" if wire.pair else "", wire.evidence, wire.note)))
    terminals = tuple(f"{terminal} at {end}" for end in ends if (terminal := _terminal(source.harness, end)))
    return StockPiece(id, source.name, what, fate, wire.size, wire.colour, wire.type, length_mm, usable, terminals, (), held, note)


def _terminal(harness: Harness, end: str) -> str:
    """What comes off with the wire: a terminal that holds another wire too is nobody's."""
    contact = harness.contacts.get(end)
    return fitted(contact.terminal) if contact is not None and len(harness.wires_at[end]) == 1 else ""


def _connectors(merge: Merge, source: Source) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Connector that leaves with every wire in it stored -> the pieces that hang on it."""
    halves = {half.wire: half for half in merge.far_halves.values()}
    on: dict[str, dict[str, Fate]] = {source.id(connector): {} for connector in source.harness.connectors if source.id(connector) in merge.gone}
    for contact in source.harness.contacts.values():
        pieces = on.get(source.id(contact.owner))
        if pieces is not None:
            for wire in source.harness.wires_at.get(contact.address, ()):
                half = halves.get(source.id(wire))
                pieces |= {half.id: half.fate} if half else {source.id(wire): merge.decisions[source.id(wire)].fate}
    for connector, pieces in on.items():
        if pieces and all(fate is Fate.STORED for fate in pieces.values()):
            yield connector, tuple(pieces)


def _connector(merge: Merge, source: Source, id: str, wires: tuple[str, ...]) -> StockPiece:
    connector = source.harness.connectors[_own(id)]
    note = ", ".join(filter(None, (connector.title, connector.housing)))
    return StockPiece(id, source.name, What.CONNECTOR, Fate.STORED, None, None, None, None, None, (), wires, "set aside whole", note)


def _own(id: str) -> str:
    """The id as its source has it."""
    return id.partition("/")[2]


# -------------------------------------------------------------------------------- the plan

class _Planning:
    """Filled step by step. left: piece -> mm that can still be cut; taken: wire -> the piece it is cut from; is_exact: as of StockPlan."""

    def __init__(self, stock: Sequence[StockPiece]) -> None:
        self.pieces = {piece.id: piece for piece in stock if piece.usable_mm and piece.size and piece.type and not piece.held}
        self.left = {piece.id: piece.usable_mm for piece in self.pieces.values()}
        self.taken: dict[str, str] = {}
        self.is_exact = True

    def cut(self, rows: Sequence[CutRow], size: Size, type_: WireType, colour: Colour | None) -> None:
        """Cuts what can be of those rows that are not cut yet. colour: of the pieces, None for any."""
        rows = [row for row in rows if row.wire not in self.taken]
        from_ = [piece.id for piece in self.pieces.values() if piece.size == size and stands(piece.type, type_) and self.left[piece.id] and (colour is None or piece.colour == colour)]
        if not rows or not from_:
            return
        cuts = plan_cuts([whole_mm(row) for row in rows], [self.left[piece] for piece in from_], None)
        self.is_exact = self.is_exact and cuts.is_exact
        for piece, cut, left in zip(from_, cuts.from_stock, cuts.leftovers, strict=True):
            self.left[piece] = left
            self.taken.update((rows[one].wire, piece) for one in cut)


def stands(there: WireType | None, wanted: WireType) -> bool:
    """Whether insulation that is there does for what is wanted: the same, or for the same heat or more. What is unknown does not."""
    if there is None or there.temperature_c is None or wanted.temperature_c is None:
        return there == wanted
    return there.temperature_c >= wanted.temperature_c


def whole_mm(row: CutRow) -> int:
    """The cut length up to a whole mm."""
    return ceil(round(row.cut_mm, 6))


def _hottest_first(size: Size, type_: WireType) -> tuple[object, ...]:
    """Wires for much heat choose before those that any piece does for."""
    return size.area_mm2, str(size), -(type_.temperature_c or 0.0), str(type_)


def _in_order(rows: Sequence[CutRow], wires: Mapping[str, Wire], planning: _Planning) -> Iterator[Cut]:
    left = {id: piece.usable_mm for id, piece in planning.pieces.items()}
    for row in rows:
        piece = planning.pieces.get(planning.taken.get(row.wire, ""))
        if piece is None:
            yield Cut(row, None, False, None)
            continue
        left[piece.id] -= whole_mm(row)
        wanted = wires[row.wire].colour
        yield Cut(row, piece, wanted is not None and piece.colour != wanted, left[piece.id])


def _to_buy(spool: Spool, rows: Sequence[CutRow], spool_mm: int, planning: _Planning) -> ToBuy:
    known = [row for row in rows if row.cut_mm]
    cuts = plan_cuts([whole_mm(row) for row in known], (), spool_mm)
    planning.is_exact = planning.is_exact and cuts.is_exact
    too_long = {known[one].wire for one in cuts.too_long}
    net = sum(whole_mm(row) for row in known if row.wire not in too_long)
    buy = ceil(round(net * (1 + SPARE) / 100, 6)) * 100
    return ToBuy(spool, tuple(row.wire for row in rows), net, buy, max(len(cuts.spools), ceil(buy / spool_mm)), tuple(row.wire for row in known if row.wire in too_long),
                 tuple(row.wire for row in rows if not row.cut_mm))
