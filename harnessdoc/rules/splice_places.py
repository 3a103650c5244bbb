"""Where else a splice could sit: for ways out that say it as it is written.

Takes a Subject; gives stations of splices segment by segment, and the nearest free station beyond the ends of a segment.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from .options import Option

if TYPE_CHECKING:
    from ..geometry.stations import StationOf
    from ..model.harness import Segment
    from .subject import Subject

APART = Option("splices-not-staggered", "apart", "length", "40 mm", "the least between two splices, and from a branch", "a maker's wiring book; another asks for 50 mm in adjacent wires")

BAD_ZONES = ("flexing", "hot", "wet")
_NEARLY_MM = 1e-6


def is_calm(segment: Segment) -> bool:
    """Whether a splice may sit on it: it stays still, dry and cool, and passes no grommet."""
    return segment.zone not in BAD_ZONES and segment.grommet_mm is None


def stations_on(subject: Subject) -> dict[str, list[tuple[float, str]]]:
    """Segment -> (mm from its ``from`` end, splice) of each splice that sits on it, in that order."""
    found: dict[str, list[tuple[float, str]]] = {}
    for station in subject.geometry.stations.values():
        if station.segment is not None and station.offset_mm is not None:
            found.setdefault(station.segment, []).append((station.offset_mm, station.splice))
    for stations in found.values():
        stations.sort()
    return found


def beyond(subject: Subject, station: StationOf, taken: dict[str, list[float]]) -> str | None:
    """``40 mm from P2 toward P1``: the nearest free station past an end of its segment, on a calm one where wires of the splice run on; None where there is none.

    taken: segment -> mm from its ``from`` end of every splice on it; what is proposed is added to it.
    """
    apart = subject.value(APART).value
    for end in _ends(subject, station):
        for segment in _onward(subject, station, end):
            if segment.length_mm is None or not is_calm(segment):
                continue
            is_from = segment.from_ == end
            here = taken.setdefault(segment.id, [])
            mm = apart
            while mm <= segment.length_mm - apart:
                offset = mm if is_from else segment.length_mm - mm
                if all(abs(offset - other) >= apart - _NEARLY_MM for other in here):
                    here.append(offset)
                    return f"{mm:g} mm from {end} toward {segment.to if is_from else segment.from_}"
                mm += apart / 4
    return None


def offsets_on(subject: Subject) -> dict[str, list[float]]:
    """Segment -> mm from its ``from`` end of every splice on it."""
    return {segment: [offset for offset, _ in stations] for segment, stations in stations_on(subject).items()}


def _ends(subject: Subject, station: StationOf) -> Iterator[str]:
    """The ends of its segment, the nearer first; of a splice at a point that point."""
    if station.segment is None or station.offset_mm is None:
        if station.from_point is not None and station.toward_point is None:
            yield station.from_point
        return
    segment = subject.harness.segments[station.segment]
    ends = (segment.from_, segment.to)
    yield from ends if station.offset_mm <= (segment.length_mm or 0.0) - station.offset_mm else reversed(ends)


def _onward(subject: Subject, station: StationOf, end: str) -> Iterator[Segment]:
    """The segments that leave ``end`` and that wires of the splice pass, without its own."""
    seen = {station.segment}
    for member in station.members:
        route = subject.geometry.lengths[member.wire].route
        for step in route.steps if route is not None else ():
            segment = subject.harness.segments[step.segment]
            if segment.id not in seen and end in (segment.from_, segment.to):
                seen.add(segment.id)
                yield segment
