"""Where everything sits on the bundle.

Takes a harness; gives the graph of its bundle, with the splices that sit on
segments, and the node of every owner of contacts. A splice ``at: 120 mm from P3
toward P4`` is found by walking from P3 along the shortest way to P4.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from ..findings import Finding, Severity
from ..model.harness import Harness, Splice
from .graph import Graph, build_graph, route_of

_NAMED = 6
_NEARLY_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Places:
    """The graph, and what sits where.

    node_of:    owner -> node; a place that is no end of a segment has a number below 0, the same for all at that place
    on_segment: splice -> (segment, offset from its ``from`` end in mm), where it sits between the ends
    at_point:   splice -> the point at which it sits, stated by ``place:`` or reached exactly by ``at:``
    """

    graph: Graph
    node_of: Mapping[str, int]
    on_segment: Mapping[str, tuple[str, float]]
    at_point: Mapping[str, str]


def find_places(harness: Harness) -> tuple[Places, list[Finding]]:
    """Where everything sits; findings for places that are on no segment and splices beyond their way."""
    graph = build_graph(harness.segments.values(), {})
    findings = list(_off_the_bundle(harness, graph))
    on_segment: dict[str, tuple[str, float]] = {}
    at_point: dict[str, str] = {}
    for splice in harness.splices.values():
        if splice.place:
            at_point[splice.id] = splice.place
        elif splice.at and harness.segments:
            found = _walk(splice, graph)
            if isinstance(found, Finding):
                findings.append(found)
            elif isinstance(found, str):
                at_point[splice.id] = found
            elif found:
                on_segment[splice.id] = found
    if on_segment:
        by_segment: dict[str, list[tuple[float, str]]] = {}
        for name, (segment, offset) in on_segment.items():
            by_segment.setdefault(segment, []).append((offset, name))
        graph = build_graph(harness.segments.values(), by_segment)
    off: dict[str, int] = {}
    node_of: dict[str, int] = dict(graph.splices)
    for owner, place in (*harness.place_of.items(), *at_point.items()):
        node = graph.points.get(place)
        node_of[owner] = off.setdefault(place, -1 - len(off)) if node is None else node
    return Places(graph, node_of, on_segment, at_point), findings


def listed(names: Iterable[str]) -> str:
    """The first six names, and how many more."""
    names = tuple(names)
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return ", ".join(names[:_NAMED]) + more


def _walk(splice: Splice, graph: Graph) -> tuple[str, float] | str | Finding | None:
    """The segment and offset, or the point, at which a splice sits; None where a segment without length comes before it."""
    at = splice.at
    for point in (at.origin, at.toward):
        if point not in graph.points:
            return _no_such_point(splice, point, graph)
    steps = graph.shortest(graph.points[at.origin], graph.points[at.toward])
    place = splice.source.place_of("at")
    if steps is None:
        return Finding("no-route", Severity.MALFUNCTION,
                       f"splice {splice.id} sits {at.length.stated} from {at.origin} toward {at.toward}, but no segment leads from {at.origin} to {at.toward}",
                       place, "add the segments that join them, or name two points that are joined", at=(splice.id,))
    left, here = at.length.mm, at.origin
    names = {node: point for point, node in graph.points.items()}
    for step in steps:
        if left <= _NEARLY_MM:
            return here
        if step.length_mm is None:
            return None
        if left < step.length_mm - _NEARLY_MM:
            return step.segment, round(left if step.forward else step.length_mm - left, 6)
        left -= step.length_mm
        here = names[graph.end_of(step)]
    if left <= _NEARLY_MM:
        return here
    whole = route_of(steps).length_mm
    return Finding("splice-beyond-the-way", Severity.MALFUNCTION,
                   f"splice {splice.id} sits {at.length.stated} from {at.origin} toward {at.toward}, but the way there is {whole:g} mm long",
                   place, f"write a length up to {whole:g} mm, or name a point farther on", at=(splice.id,), value=f"{at.length.mm:g} mm", limit=f"{whole:g} mm", origin="worked out")


def _no_such_point(splice: Splice, point: str, graph: Graph) -> Finding:
    return Finding("place-off-the-bundle", Severity.MALFUNCTION, f"`at` of splice {splice.id} names '{point}', which is no end of any segment",
                   splice.source.place_of("at"), _suggest(point, graph), at=(splice.id,))


def _suggest(place: str, graph: Graph) -> str:
    near = get_close_matches(place, list(graph.points), n=1, cutoff=0.6)
    ends = f"segments end at {listed(graph.points)}"
    return f"did you mean {near[0]}? {ends}" if near else f"write one of them, or add the segment that leads there: {ends}"


def _off_the_bundle(harness: Harness, graph: Graph) -> Iterable[Finding]:
    """One finding for each thing that says ``place:`` and names no end of a segment, where wires end at it or at what it owns."""
    groups = (("connector", harness.connectors), ("device", harness.devices), ("box", harness.boxes), ("", harness.parts),
              ("splice", harness.splices), ("ground", harness.grounds))
    off = [(word or owner.kind, owner) for word, group in groups for owner in group.values()
           if owner.place and owner.place not in graph.points]
    if not harness.segments or not off:
        return
    wired = {harness.contacts[address].owner for address in harness.wires_at}
    # A connector or part without a place of its own has that of its device or box.
    inherits = {connector.id: connector.device for connector in harness.connectors.values() if not connector.place}
    inherits |= {part.id: part.box for part in harness.parts.values() if not part.place}
    used = {inherits.get(owner) or owner for owner in wired}
    for word, owner in off:
        if owner.id in used:
            yield Finding("place-off-the-bundle", Severity.MALFUNCTION,
                          f"{word} {owner.id} sits at '{owner.place}', which is no end of any segment",
                          owner.source.place_of("place"), _suggest(owner.place, graph), at=(owner.id,))
