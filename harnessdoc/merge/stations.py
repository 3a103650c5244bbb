"""Where the splices of joins sit: apart from each other, and where their wires reach them.

Takes: a merged harness, measured with every join at the point it is put on. Gives: the harness with each splice of a join
at a station of its own. A splice put on a point moves onto a segment along which its wires run: stiff and calm
(no flexing, hot or wet zone, no grommet), at least APART_MM from the point, from the segment's other end and from the next splice.
The splices of a join with a piece in between sit where the stubs reach.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from ..description.units import Length
from ..geometry.graph import Graph, Step, build_graph
from ..geometry.measure import Geometry
from ..model.harness import OPEN, UNKNOWN, Harness, Offset, Segment, Splice
from .plan import End, Join, Merge

APART_MM = 40.0
"""Between two splices, and from a branch: common practice (a maker's wiring book)."""
BAD_ZONES = ("flexing", "hot", "wet")
"""In which no splice is set (common practice)."""


def settled(harness: Harness, geometry: Geometry, merge: Merge) -> Harness:
    """The harness with the splices of joins at their stations; as it is where none has to move."""
    graph = build_graph(harness.segments.values(), {})
    splices = dict(harness.splices)
    taken = _taken(geometry, splices)
    for join in merge.joins.values():
        if join.piece and not join.at:
            splices |= {splice.id: splice for splice in _where_stubs_reach(harness, graph, merge, join, taken)}
    put_in = (*(id for join in merge.joins.values() for id in join.splices), *(id for interface in merge.interfaces.values() for id in interface.things))
    for id in put_in:
        splice = splices.get(id)
        if splice is not None and splice.place and splice.at is None and splice.place in graph.points:
            splices[id] = _staggered(harness, geometry, splice, taken)
    place_of = {owner: place for owner, place in harness.place_of.items() if owner not in splices or splices[owner].place}
    return replace(harness, splices=splices, place_of=place_of)


def without_place(harness: Harness, merge: Merge) -> tuple[str, ...]:
    """The joins of which a splice is put nowhere: on no point and at no position. harness: settled."""
    return tuple(join.id for join in merge.joins.values() if any((splice := harness.splices.get(id)) is not None and not splice.place and splice.at is None for id in join.splices))


def without_empty_segments(harness: Harness, geometry: Geometry) -> tuple[Harness, Geometry]:
    """Both without the segments of the sources through which no wire runs any more, the harness without points that only they have."""
    used = {step.segment for length in geometry.lengths.values() if length.route is not None for step in length.route.steps}
    # where a length is missing nothing is known of the way, and all stays
    if any(length.route is None and not length.zero and OPEN not in (wire.from_, wire.to) and UNKNOWN not in (wire.from_, wire.to)
           for wire in harness.wires.values() if (length := geometry.lengths[wire.id])):
        return harness, geometry
    segments = {id: segment for id, segment in harness.segments.items() if id in used or "/" not in id}
    named = {point for segment in segments.values() for point in (segment.from_, segment.to)} | set(harness.place_of.values())
    named |= {point for splice in harness.splices.values() if splice.at for point in (splice.at.origin, splice.at.toward)}
    points = {id: point for id, point in harness.points.items() if id in named or "/" not in id}
    return replace(harness, segments=segments, points=points), replace(geometry, bundles={id: bundle for id, bundle in geometry.bundles.items() if id in segments})


def _taken(geometry: Geometry, splices: Mapping[str, Splice]) -> dict[str, list[float]]:
    """Segment -> mm from its ``from`` end of every splice on it."""
    taken: dict[str, list[float]] = {}
    for station in geometry.stations.values():
        if station.segment is not None and station.offset_mm is not None and station.splice in splices:
            taken.setdefault(station.segment, []).append(station.offset_mm)
    return taken


def _staggered(harness: Harness, geometry: Geometry, splice: Splice, taken: dict[str, list[float]]) -> Splice:
    """The splice at the first free station beside its point; where none is, it stays there."""
    for segment in sorted(_along(harness, geometry, splice), key=lambda segment: -(segment.length_mm or 0.0)):
        here = taken.setdefault(segment.id, [])
        is_from = segment.from_ == splice.place
        mm = APART_MM
        while mm <= (segment.length_mm or 0.0) - APART_MM:
            offset = mm if is_from else segment.length_mm - mm
            if all(abs(offset - other) >= APART_MM - 1e-6 for other in here):
                here.append(offset)
                return replace(splice, place=None, at=_offset(mm, splice.place, segment.to if is_from else segment.from_))
            mm += APART_MM / 4
    return splice


def _along(harness: Harness, geometry: Geometry, splice: Splice) -> Iterator[Segment]:
    """The segments at the splice's point along which wires of it run and on which a splice may sit."""
    seen: set[str] = set()
    for wire in harness.wires_at.get(splice.id, ()):
        route = geometry.lengths[wire].route
        for step in route.steps if route is not None else ():
            segment = harness.segments[step.segment]
            if segment.id not in seen and splice.place in (segment.from_, segment.to):
                seen.add(segment.id)
                if segment.zone not in BAD_ZONES and segment.grommet_mm is None:
                    yield segment


def _where_stubs_reach(harness: Harness, graph: Graph, merge: Merge, join: Join, taken: dict[str, list[float]]) -> Iterator[Splice]:
    """The splices at the ends of pieces: at the point the join is put on where the stub reaches it, else where the stub ends, or a little before where another splice sits there."""
    for end in join.ends:
        splice = harness.splices.get(end.lands)
        reach = reach_mm(harness, merge, end)
        point = _point(harness, end.address)
        if splice is None or splice.id not in join.splices or not end.wire or reach is None or point not in graph.points:
            continue
        goal = join.place or _goal(harness, merge, join, end)
        if goal not in graph.points:
            continue
        steps = graph.shortest(graph.points[point], graph.points[goal])
        way = None if steps is None or any(step.length_mm is None for step in steps) else sum(step.length_mm for step in steps)
        if way is not None and reach < way:
            yield replace(splice, place=None, at=_offset(_free_before(steps, max(reach, 0.0), taken), point, goal))


def _free_before(steps: Sequence[Step], reach: float, taken: dict[str, list[float]]) -> float:
    """The farthest station along a way, at most ``reach`` from its begin, that is apart from every other splice; ``reach`` where none is."""
    mm = round(reach)
    while mm >= APART_MM:
        left = float(mm)
        for step in steps:
            if left < step.length_mm:
                break
            left -= step.length_mm
        offset = step.from_mm + left if step.forward else step.from_mm - left
        here = taken.setdefault(step.segment, [])
        if all(abs(offset - other) >= APART_MM for other in here):
            here.append(offset)
            return mm
        mm -= 10
    return reach


def _goal(harness: Harness, merge: Merge, join: Join, end: End) -> str:
    """Where the piece at an end leads: to the interface, or to the other end."""
    if join.through:
        return next((harness.place_of[thing] for thing in merge.interfaces[join.through].things if thing in harness.place_of), "")
    return next((point for other in join.ends if other is not end and (point := _point(harness, other.address))), "")


def reach_mm(harness: Harness, merge: Merge, end: End) -> float | None:
    """How far along the bundle the stub at an end leads, in mm: its length as measured, else the whole of the wire as found, less the allowances of both its ends; None where unknown."""
    if not end.wire:
        return None
    source = merge.sources[end.source]
    found = end.stub.mm if end.stub is not None else source.geometry.lengths[end.wire.partition("/")[2]].finished_mm
    return None if found is None else found - harness.allowances.end_mm - harness.allowances.splice_mm


def _point(harness: Harness, address: str) -> str:
    contact = harness.contacts.get(address)
    return harness.place_of.get(contact.owner, "") if contact is not None else ""


def _offset(mm: float, origin: str, toward: str) -> Offset:
    mm = round(mm)
    return Offset(Length(float(mm), f"{mm} mm"), origin, toward)
