"""The parts list: what is bought, how much, and where it goes.

Takes a harness and its geometry; gives one line a part: terminals, seals, cavity
plugs, crimp sleeves, heat-shrink, covering, wire and cable by the metre. Wire and
cable are counted by cut length, covering by the length of its segments. Where a
splice names no sleeve or heat-shrink and the tables have one that fits, that is
proposed and marked so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..model.harness import Harness, Kind, Splice
from ..trade.sleeves import shrink_for, sleeve_for
from .cut_list import metres, spool_of
from .measure import Geometry
from .stations import StationOf

_ORDER = ("terminal", "seal", "cavity plug", "crimp sleeve", "heat-shrink", "wire", "cable", "covering")


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part.

    unit:     "piece" or "m"
    where:    addresses, splices, wires, cables or segments
    proposed: chosen by the program from its tables, not stated
    unknown:  how many of ``where`` have no known length and are not in ``quantity``
    """

    kind: str
    part: str
    quantity: float
    unit: str
    where: tuple[str, ...]
    proposed: bool
    unknown: int


@dataclass(frozen=True, slots=True)
class _Use:
    """One use of a part; ``mm`` its length, None unknown; ``pieces`` 0 for what is bought by length."""

    kind: str
    part: str
    where: str
    proposed: bool
    pieces: int
    mm: float | None


def parts_list(harness: Harness, geometry: Geometry, convention: str | None = None) -> tuple[PartLine, ...]:
    """The parts, by kind, then in the order in which they are first used; ``convention``: how colours are printed, None as stated."""
    uses: dict[tuple[str, str, bool], list[_Use]] = {}
    for use in (*_of_contacts(harness), *_of_splices(harness, geometry), *_by_length(harness, geometry, convention)):
        uses.setdefault((use.kind, use.part, use.proposed), []).append(use)
    lines = [_line(group) for group in uses.values()]
    return tuple(sorted(lines, key=lambda line: _ORDER.index(line.kind)))


def sleeve_of(splice: Splice, station: StationOf) -> tuple[str, bool]:
    """(crimp sleeve, whether it is proposed): as stated, else the one whose range holds the copper of a crimped splice, else ""."""
    if splice.sleeve:
        return splice.sleeve, False
    crimped = "crimp" in splice.method.lower() or "butt" in splice.method.lower()
    sleeve = sleeve_for(station.total_area_mm2) if crimped and station.total_area_mm2 else None
    return (sleeve.name, True) if sleeve else ("", False)


def shrink_of(splice: Splice, station: StationOf) -> tuple[str, bool]:
    """(heat-shrink, whether it is proposed): as stated, else the first tube that passes the splice and grips its thinner side, else ""."""
    if splice.shrink:
        return splice.shrink, False
    tube = shrink_for(station.largest_mm, station.smallest_mm) if station.largest_mm and station.smallest_mm else None
    return (tube.name, True) if tube else ("", False)


def _line(uses: list[_Use]) -> PartLine:
    first = uses[0]
    pieces = sum(use.pieces for use in uses)
    lengths = [use.mm for use in uses]
    where = tuple(dict.fromkeys(use.where for use in uses))
    if pieces:
        return PartLine(first.kind, first.part, pieces, "piece", where, first.proposed, 0)
    return PartLine(first.kind, first.part, metres(lengths), "m", where, first.proposed, lengths.count(None))


def _of_contacts(harness: Harness) -> Iterator[_Use]:
    """A cavity holds one terminal and one seal, whatever the wires in it; on a stud, bar or ground every wire has its own."""
    for contact in harness.contacts.values():
        wires = len(harness.wires_at.get(contact.address, ()))
        one = contact.kind in (Kind.CAVITY, Kind.SOCKET)
        if contact.terminal and wires:
            yield _Use("terminal", contact.terminal, contact.address, False, 1 if one else wires, None)
        if contact.seal and wires:
            yield _Use("seal", contact.seal, contact.address, False, 1 if one else wires, None)
        if contact.plug and not wires:
            yield _Use("cavity plug", contact.plug, contact.address, False, 1, None)


def _of_splices(harness: Harness, geometry: Geometry) -> Iterator[_Use]:
    for splice in harness.splices.values():
        station = geometry.stations[splice.id]
        for kind, (part, proposed) in (("crimp sleeve", sleeve_of(splice, station)), ("heat-shrink", shrink_of(splice, station))):
            if part:
                yield _Use(kind, part, splice.id, proposed, 1, None)


def _by_length(harness: Harness, geometry: Geometry, convention: str | None) -> Iterator[_Use]:
    for wire in harness.wires.values():
        length = geometry.lengths[wire.id]
        if wire.cable is None and not length.zero:
            spool = spool_of(wire, convention)
            words = (spool.size or "size unknown", spool.type or "type unknown", spool.colour or "colour unknown")
            yield _Use("wire", " ".join(words), wire.id, False, 0, length.cut_mm)
    for cable in harness.cables.values():
        yield _Use("cable", cable.part or cable.title or cable.id, cable.id, False, 0, geometry.cables[cable.id].cut_mm)
    for segment in harness.segments.values():
        if segment.covering and segment.covering != "none":
            yield _Use("covering", segment.covering, segment.id, False, 0, segment.length_mm)
