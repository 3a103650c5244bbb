"""Where every splice sits, and to which side each of its wires leaves.

Takes a harness, its places, routes and diameters; gives a StationOf a splice, as a
technician would find it: so far from a breakout toward the next.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from ..model.harness import Harness, Splice
from .graph import Route
from .places import Places


@dataclass(frozen=True, slots=True)
class Member:
    """A wire of a splice; ``side``: the point toward which it leaves, ``segment``: through which. Both None where its way is
    unknown or it stays at the point."""

    wire: str
    side: str | None
    segment: str | None


@dataclass(frozen=True, slots=True)
class StationOf:
    """Where a splice is and what it holds; None where unknown.

    segment, offset_mm: on which segment and how far from its ``from`` end, where it sits between the ends
    from_point, toward_point, distance_mm: as a tape measures it; at a point the distance is 0 and ``toward_point`` None
    total_area_mm2: copper of all members
    largest_mm, smallest_mm: diameter of the thickest and the thinnest of its sides; equal where all leave to one side
    """

    splice: str
    segment: str | None
    offset_mm: float | None
    from_point: str | None
    toward_point: str | None
    distance_mm: float | None
    members: tuple[Member, ...]
    total_area_mm2: float | None
    largest_mm: float | None
    smallest_mm: float | None


def find_stations(harness: Harness, places: Places, routes: Mapping[str, Route],
                  side_mm: Callable[[Sequence[str]], float | None]) -> dict[str, StationOf]:
    """Splice -> StationOf; ``side_mm``: diameter of some wires together, None where one is unknown."""
    found: dict[str, StationOf] = {}
    for splice in harness.splices.values():
        wires = harness.wires_at.get(splice.id, ())
        members = tuple(_member(harness, routes, splice.id, wire) for wire in wires)
        areas = [harness.wires[wire].size.area_mm2 if harness.wires[wire].size else None for wire in wires]
        sides: dict[str | None, list[str]] = {}
        for member in members:
            sides.setdefault(f"{member.segment} {member.side}" if member.segment else None, []).append(member.wire)
        thick = [side_mm(side) for side in sides.values()]
        unknown = not members or None in sides or None in thick or splice.members_unknown
        found[splice.id] = StationOf(
            splice.id, *places.on_segment.get(splice.id, (None, None)), *_taped(harness, places, splice), members,
            None if None in areas or splice.members_unknown else fsum(areas),
            None if unknown else max(thick), None if unknown else min(thick),
        )
    return found


def _taped(harness: Harness, places: Places, splice: Splice) -> tuple[str | None, str | None, float | None]:
    """From which point toward which, and how far: as stated where the stated point is an end of the segment, else from its nearer end."""
    if splice.id in places.at_point:
        return places.at_point[splice.id], None, 0.0
    at = splice.at
    if splice.id not in places.on_segment:
        return (at.origin, at.toward, at.length.mm) if at else (None, None, None)
    name, offset = places.on_segment[splice.id]
    segment = harness.segments[name]
    back = segment.length_mm - offset
    from_there = segment.from_, segment.to, offset
    from_other = segment.to, segment.from_, back
    if at.origin in (segment.from_, segment.to) and abs(at.length.mm - (offset if at.origin == segment.from_ else back)) < 1e-3:
        return from_there if at.origin == segment.from_ else from_other
    return from_there if offset <= back else from_other


def _member(harness: Harness, routes: Mapping[str, Route], splice: str, wire_id: str) -> Member:
    route = routes.get(wire_id)
    if route is None or not route.steps:
        return Member(wire_id, None, None)
    begins = harness.wires[wire_id].from_ == splice
    step = route.steps[0] if begins else route.steps[-1]
    segment = harness.segments[step.segment]
    return Member(wire_id, segment.to if step.forward == begins else segment.from_, segment.id)
