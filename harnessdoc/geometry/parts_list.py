"""The parts list: what is bought, how much, and where it goes.

Takes a harness and its geometry; gives one line a part: terminals, seals, cavity
plugs, crimp sleeves, heat-shrink, covering, wire and cable by the metre. Wire and
cable are counted by cut length, covering by the length of its segments. Where a
splice names no sleeve or heat-shrink and the tables have one that fits, that is
proposed and marked so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..model.harness import Cable, Harness, Kind, Segment, Splice, Wire
from ..trade.sleeves import shrink_for, sleeve_for
from .cut_list import fitted, IsThere, metres, nothing, spool_of
from .measure import Geometry
from .stations import StationOf

_ORDER = ("terminal", "seal", "cavity plug", "crimp sleeve", "heat-shrink", "wire", "cable", "covering", "housing", "fuse", "fusible link", "relay", "diode", "resistor")


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
class Use:
    """One use of a part; ``mm`` its length, None unknown; ``pieces`` 0 for what is bought by length."""

    kind: str
    part: str
    where: str
    proposed: bool
    pieces: int
    mm: float | None


def parts_list(harness: Harness, geometry: Geometry, convention: str | None = None, is_there: IsThere = nothing) -> tuple[PartLine, ...]:
    """The parts, by kind, then in the order in which they are first used.

    convention: how colours are printed, None as stated; is_there: whether what is at a place is at hand already
    """
    uses = (*_of_contacts(harness), *_of_splices(harness, geometry), *_by_length(harness, geometry, convention))
    return part_lines(use for use in uses if not is_there(use.where))


def part_lines(uses: Iterable[Use]) -> tuple[PartLine, ...]:
    """A line for each part that is used, by kind, then in the order of the first use."""
    groups: dict[tuple[str, str, bool], list[Use]] = {}
    for use in uses:
        groups.setdefault((use.kind, use.part, use.proposed), []).append(use)
    return tuple(sorted(map(_line, groups.values()), key=lambda line: _ORDER.index(line.kind)))


def wire_use(wire: Wire, convention: str | None, mm: float | None) -> Use:
    """``mm`` of the wire's spool."""
    spool = spool_of(wire, convention)
    return Use("wire", " ".join((spool.size or "size unknown", spool.type or "type unknown", spool.colour or "colour unknown")), wire.id, False, 0, mm)


def cable_use(cable: Cable, mm: float | None) -> Use:
    """``mm`` of a cable."""
    return Use("cable", cable.part or cable.title or cable.id, cable.id, False, 0, mm)


def splice_uses(splice: Splice, station: StationOf) -> Iterator[Use]:
    """The crimp sleeve and the heat-shrink of a splice."""
    for kind, (part, proposed) in (("crimp sleeve", sleeve_of(splice, station)), ("heat-shrink", shrink_of(splice, station))):
        if part:
            yield Use(kind, part, splice.id, proposed, 1, None)


def covering_use(segment: Segment) -> Iterator[Use]:
    """The covering of a segment, where it has one."""
    if fitted(segment.covering):
        yield Use("covering", segment.covering, segment.id, False, 0, segment.length_mm)


def sleeve_of(splice: Splice, station: StationOf) -> tuple[str, bool]:
    """(crimp sleeve, whether it is proposed): as stated, else the one whose range holds the copper of a crimped splice, else ""."""
    if splice.sleeve:
        return fitted(splice.sleeve), False
    sleeve = sleeve_for(station.total_area_mm2) if is_crimped(splice) and station.total_area_mm2 else None
    return (sleeve.name, True) if sleeve else ("", False)


def is_crimped(splice: Splice) -> bool:
    """Whether its method says that a sleeve is crimped."""
    return "crimp" in splice.method.lower() or "butt" in splice.method.lower()


def shrink_of(splice: Splice, station: StationOf) -> tuple[str, bool]:
    """(heat-shrink, whether it is proposed): as stated, else the first tube that passes the splice and grips its thinner side, else ""."""
    if splice.shrink:
        return fitted(splice.shrink), False
    tube = shrink_for(station.largest_mm, station.smallest_mm) if station.largest_mm and station.smallest_mm else None
    return (tube.name, True) if tube else ("", False)


def why_no_sleeve(splice: Splice, station: StationOf) -> str:
    """Why `sleeve_of` neither finds a sleeve stated for a crimped splice nor proposes one; "" where it does, or where none is wanted."""
    if splice.sleeve or not is_crimped(splice) or sleeve_of(splice, station)[0]:
        return ""
    if splice.members_unknown:
        return "not all wires in it are known"
    if not station.total_area_mm2:
        return "the size of a wire is not known"
    return f"none in the tables takes {station.total_area_mm2:.2f} mm²: split the splice, or solder it"


def why_no_shrink(splice: Splice, station: StationOf) -> str:
    """Why `shrink_of` neither finds a heat-shrink stated nor proposes one; "" where it does, or where it is stated that there is none."""
    if splice.shrink or shrink_of(splice, station)[0]:
        return ""
    if splice.members_unknown:
        return "not all wires in it are known"
    if any(member.segment is None for member in station.members):
        return "to which side its wires leave is not known"
    if station.largest_mm is None or station.smallest_mm is None:
        return "the diameter of a wire is not known"
    return f"no tube in the tables passes {station.largest_mm:.1f} mm and grips {station.smallest_mm:.1f} mm: split the splice, or use tape and sleeving"


def link_use(wire: Wire, convention: str | None) -> Use:
    """A wire inside a box, which has no length in the description."""
    return Use("wire", f"{wire_use(wire, convention, None).part}, link, measure at the box", wire.id, False, 1, None)


def _line(uses: list[Use]) -> PartLine:
    first = uses[0]
    pieces = sum(use.pieces for use in uses)
    lengths = [use.mm for use in uses]
    where = tuple(dict.fromkeys(use.where for use in uses))
    if pieces:
        return PartLine(first.kind, first.part, pieces, "piece", where, first.proposed, 0)
    return PartLine(first.kind, first.part, metres(lengths), "m", where, first.proposed, lengths.count(None))


def _of_contacts(harness: Harness) -> Iterator[Use]:
    """A cavity holds one terminal and one seal, whatever the wires in it; on a stud, bar or ground every wire has its own."""
    for contact in harness.contacts.values():
        wires = len(harness.wires_at.get(contact.address, ()))
        one = contact.kind in (Kind.CAVITY, Kind.SOCKET)
        if wires:
            for kind, part in (("terminal", fitted(contact.terminal)), ("seal", fitted(contact.seal))):
                if part:
                    yield Use(kind, part, contact.address, False, 1 if one else wires, None)
        elif fitted(contact.plug):
            yield Use("cavity plug", contact.plug, contact.address, False, 1, None)


def _of_splices(harness: Harness, geometry: Geometry) -> Iterator[Use]:
    for splice in harness.splices.values():
        yield from splice_uses(splice, geometry.stations[splice.id])


def _by_length(harness: Harness, geometry: Geometry, convention: str | None) -> Iterator[Use]:
    for wire in harness.wires.values():
        length = geometry.lengths[wire.id]
        if wire.cable is None:
            yield link_use(wire, convention) if length.zero else wire_use(wire, convention, length.cut_mm)
    for cable in harness.cables.values():
        yield cable_use(cable, geometry.cables[cable.id].cut_mm)
    for segment in harness.segments.values():
        yield from covering_use(segment)
