"""The cut list: what is cut from which spool, longest first.

Takes a harness and its geometry; gives rows by spool (size, type and colour). The
members of a pair stand together behind the longest of them, whatever their spools;
a cable stands once with its cores beneath; links inside a box are left out and
named. Totals count every wire on its own spool.

Strip lengths (common practice; the butt splice read in a source): 5 mm for a terminal,
7.5 mm for a crimped or butt splice, 10 mm for a lapped, soldered or welded one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import fsum, inf

from ..model.harness import OPEN, UNKNOWN, Harness, Kind, Wire
from ..model.build_wires import DEFAULT_CONVENTION
from ..trade.colours import print_colour
from ..trade.sizes import print_size
from .labels import Numbers, colour_text, label_text
from .measure import Geometry

_MOST_STRIP_MM2 = 2.5
_STRIP_TERMINAL_MM, _STRIP_BUTT_MM, _STRIP_LAP_MM = 5.0, 7.5, 10.0


@dataclass(frozen=True, slots=True)
class Spool:
    """What wire is cut from, as printed; "" unknown."""

    size: str
    type: str
    colour: str


@dataclass(frozen=True, slots=True)
class CutEnd:
    """One end of a wire; ``strip_mm`` None at an open or unknown end."""

    address: str
    terminal: str
    seal: str
    strip_mm: float | None
    label: str


@dataclass(frozen=True, slots=True)
class CutRow:
    """One wire; lengths in mm, None unknown; ``a`` is its ``from`` end, ``b`` its ``to`` end.

    difference_mm: measured minus computed, where both are known
    core:          "core" or "drain" in a cable
    """

    wire: str
    circuit: str
    spool: Spool
    cut_mm: float | None
    finished_mm: float | None
    difference_mm: float | None
    a: CutEnd
    b: CutEnd
    pair: str
    lay_mm: float | None
    cable: str
    core: str


@dataclass(frozen=True, slots=True)
class CutSpool:
    """Rows under the heading of a spool: its wires, longest first, and the partners of pairs."""

    spool: Spool
    rows: tuple[CutRow, ...]


@dataclass(frozen=True, slots=True)
class CutCable:
    """A cable, cut once; its cores in ``rows``."""

    cable: str
    part: str
    shield: str
    colour: str
    cut_mm: float | None
    finished_mm: float | None
    difference_mm: float | None
    rows: tuple[CutRow, ...]


@dataclass(frozen=True, slots=True)
class SpoolTotal:
    """All wires of a spool: how many, their cut lengths in metres, how many have none."""

    spool: Spool
    count: int
    metres: float
    without_length: int


IsThere = Callable[[str], bool]
"""Whether a thing, by its id or address, is at hand already."""


@dataclass(frozen=True, slots=True)
class CutList:
    """``zero_length``: wires left out because they are links inside a box."""

    spools: tuple[CutSpool, ...]
    cables: tuple[CutCable, ...]
    totals: tuple[SpoolTotal, ...]
    zero_length: tuple[str, ...]


def nothing(name: str) -> bool:
    """Of a harness that is to be made nothing is at hand."""
    return False


def cut_list(harness: Harness, geometry: Geometry, convention: str | None = None, numbers: Numbers | None = None, is_there: IsThere = nothing) -> CutList:
    """The cut list.

    convention: how colours are printed, None as stated; numbers: of joins, for the labels (see `labels.label_list`);
    is_there: whether a wire or cable is at hand already, and not to be cut
    """
    loose = [wire for wire in harness.wires.values() if wire.cable is None and not geometry.lengths[wire.id].zero and not is_there(wire.id)]
    rows = {wire.id: _row(harness, geometry, wire, convention, numbers) for wire in loose}
    by_spool: dict[Spool, list[CutRow]] = {}
    for wire in sorted(loose, key=lambda wire: _spool_order(wire, rows[wire.id].spool)):
        by_spool.setdefault(rows[wire.id].spool, []).append(rows[wire.id])
    return CutList(
        tuple(_spools(harness, by_spool, rows)),
        tuple(_cable(harness, geometry, name, convention, numbers) for name in harness.cables if not is_there(name)),
        tuple(_total(spool, members) for spool, members in by_spool.items()),
        tuple(wire for wire, length in geometry.lengths.items() if length.zero),
    )


def fitted(part: str) -> str:
    """A terminal, seal, plug, sleeve or covering as stated; "" where it is stated that there is none."""
    return "" if part == "none" else part


def metres(lengths_mm: Iterable[float | None]) -> float:
    """The sum of the known lengths in metres."""
    return fsum(length for length in lengths_mm if length is not None) / 1000


def spool_of(wire: Wire, convention: str | None) -> Spool:
    """The spool ``wire`` is cut from."""
    return Spool(print_size(wire.size) if wire.size else "", str(wire.type) if wire.type else "", colour_text(wire, convention))


def _spool_order(wire: Wire, spool: Spool) -> tuple[float, str, str, str]:
    """Thin before thick, the unknown size last."""
    return (wire.size.area_mm2 if wire.size else inf, spool.size, spool.type, spool.colour)


def _longest_first(row: CutRow) -> float:
    return inf if row.finished_mm is None else -row.finished_mm


def _spools(harness: Harness, by_spool: dict[Spool, list[CutRow]], rows: dict[str, CutRow]) -> Iterable[CutSpool]:
    """Headings with their rows; a pair stands where its longest member does."""
    order = {wire: position for position, wire in enumerate(harness.wires)}
    partners: dict[str, list[CutRow]] = {}
    for pair in harness.pairs.values():
        members = sorted((rows[wire] for wire in pair.wires if wire in rows), key=lambda row: (_longest_first(row), order[row.wire]))
        partners.update({row.wire: [] for row in members[1:]})
        if members:
            partners[members[0].wire] = members
    for spool, members in by_spool.items():
        listed = [row for member in sorted(members, key=_longest_first) for row in partners.get(member.wire, [member])]
        if listed:
            yield CutSpool(spool, tuple(listed))


def _total(spool: Spool, members: list[CutRow]) -> SpoolTotal:
    cut = [row.cut_mm for row in members]
    return SpoolTotal(spool, len(members), metres(cut), cut.count(None))


def _cable(harness: Harness, geometry: Geometry, name: str, convention: str | None, numbers: Numbers | None) -> CutCable:
    cable, length = harness.cables[name], geometry.cables[name]
    colour = print_colour(cable.colour, convention or harness.convention or DEFAULT_CONVENTION) if cable.colour else ""
    rows = tuple(_row(harness, geometry, harness.wires[core], convention, numbers) for core in cable.wires)
    return CutCable(name, cable.part, cable.shield or "", colour, length.cut_mm, length.finished_mm, length.difference_mm, rows)


def _row(harness: Harness, geometry: Geometry, wire: Wire, convention: str | None, numbers: Numbers | None) -> CutRow:
    length = geometry.lengths[wire.id]
    pair = harness.pairs.get(wire.pair) if wire.pair else None
    return CutRow(
        wire.id, wire.circuit, spool_of(wire, convention), length.cut_mm, length.finished_mm, length.difference_mm,
        _end(harness, wire, wire.from_, wire.to, convention, numbers), _end(harness, wire, wire.to, wire.from_, convention, numbers),
        wire.pair or "", pair.lay_mm if pair else None, wire.cable or "", wire.core if wire.cable else "",
    )


def _end(harness: Harness, wire: Wire, address: str, far: str, convention: str | None, numbers: Numbers | None) -> CutEnd:
    if address in (UNKNOWN, OPEN):
        return CutEnd(address, "", "", None, "" if address == OPEN else label_text(harness, wire, far, convention, numbers))
    contact = harness.contacts[address]
    # an open barrel on a thin wire; what a stud, an eyelet or a thick wire wants depends on the part
    thin = contact.kind in (Kind.CAVITY, Kind.SOCKET) and wire.size is not None and wire.size.area_mm2 <= _MOST_STRIP_MM2
    strip: float | None = _STRIP_TERMINAL_MM if thin else None
    if contact.kind is Kind.SPLICE:
        method = harness.splices[address].method.lower()
        strip = _STRIP_BUTT_MM if "crimp" in method or "butt" in method else _STRIP_LAP_MM
    return CutEnd(address, fitted(contact.terminal), fitted(contact.seal), strip, label_text(harness, wire, far, convention, numbers))
