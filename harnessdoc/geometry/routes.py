"""The way of every wire through the bundle.

Takes a harness and its places; gives a Route for each wire whose two ends have a
place that a way joins, and findings: ends that no way joins, loops in which a
segment has no length, segments without length that wires pass.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..findings import Finding, Severity
from ..model.harness import Harness, Segment, Wire
from .graph import Graph, Route, Step, route_of
from .places import Places, listed


@dataclass(frozen=True, slots=True)
class _NoWay:
    """Two nodes that no way joins."""

    a: int
    b: int


def route_wires(harness: Harness, places: Places) -> tuple[dict[str, Route], list[Finding]]:
    """Wire -> Route, without the wires that have none; and the findings."""
    contacts, node_of = harness.contacts, places.node_of
    routes: dict[str, Route] = {}
    findings: list[Finding] = []
    for wire in harness.wires.values():
        start, end = contacts.get(wire.from_), contacts.get(wire.to)
        if start is None or end is None:
            continue
        a, b = node_of.get(start.owner), node_of.get(end.owner)
        if a is None or b is None:
            continue
        if a < 0 or b < 0:
            # At one place the way has no steps, also where that place is on no segment.
            if a == b:
                routes[wire.id] = route_of(())
            continue
        steps = _via(wire, harness.segments, places.graph, a, b) if wire.via else places.graph.shortest(a, b)
        if steps is None:
            steps = _NoWay(a, b)
        if isinstance(steps, _NoWay):
            findings.append(_no_route(harness, places.graph, wire, steps))
        else:
            routes[wire.id] = route_of(steps)
    findings += _without_length(harness, places.graph, routes)
    return routes, findings


def _via(wire: Wire, segments: Mapping[str, Segment], graph: Graph, a: int, b: int) -> tuple[Step, ...] | _NoWay:
    """The shortest way from a to b past what ``via`` names, in its order.

    A segment may be walked in either direction; both are kept until the whole is
    known. A splice on the segment may begin or end the walk along it.
    """
    walks: dict[int, tuple[Step, ...]] = {a: ()}
    for position, name in enumerate(wire.via):
        last = position == len(wire.via) - 1
        stretches = _stretches(graph, name, walks, b if last else -1) if name in segments else [(graph.points[name], (), graph.points[name])]
        reached: dict[int, tuple[Step, ...]] = {}
        for enter, steps, leave in stretches:
            for here, walked in walks.items():
                way = graph.shortest(here, enter)
                if way is not None:
                    whole = (*walked, *way, *steps)
                    if leave not in reached or _cost(whole) < _cost(reached[leave]):
                        reached[leave] = whole
        if not reached:
            return _NoWay(next(iter(walks)), stretches[0][0])
        walks = reached
    ways = [(*walked, *way) for here, walked in walks.items() if (way := graph.shortest(here, b)) is not None]
    return min(ways, key=_cost) if ways else _NoWay(next(iter(walks)), b)


def _stretches(graph: Graph, segment: str, starts: Mapping[int, object], goal: int) -> list[tuple[int, tuple[Step, ...], int]]:
    """(node, steps along the segment, node): all of it in either direction, or from where a splice on it begins or ends the walk."""
    steps = tuple(graph.forward[piece] for piece in graph.pieces_of[segment])
    nodes = [graph.ends[steps[0].piece][0], *(graph.end_of(step) for step in steps)]
    found = []
    for i, j in ((0, len(steps)), (len(steps), 0)):
        found.append((nodes[i], _along(graph, steps, i, j), nodes[j]))
        found += [(nodes[k], _along(graph, steps, k, j), nodes[j]) for k in range(1, len(steps)) if nodes[k] in starts]
        found += [(nodes[i], _along(graph, steps, i, k), nodes[k]) for k in range(1, len(steps)) if nodes[k] == goal]
    return found


def _along(graph: Graph, steps: tuple[Step, ...], i: int, j: int) -> tuple[Step, ...]:
    return steps[i:j] if i <= j else tuple(graph.turned(step) for step in reversed(steps[j:i]))


def _cost(steps: tuple[Step, ...]) -> tuple[int, tuple[int, ...]]:
    """Length in thousandths of a millimetre, then the pieces: equal ways are told apart by the order of the file."""
    return sum(round((step.length_mm or 0.0) * 1000) for step in steps), tuple(step.piece for step in steps)


def _no_route(harness: Harness, graph: Graph, wire: Wire, between: _NoWay) -> Finding:
    names = {node: name for name, node in (*graph.splices.items(), *graph.points.items())}
    groups = [listed(_segments_around(graph, node)) for node in (between.a, between.b)]
    past = " past what `via` names" if wire.via else ""
    return Finding(
        "no-route", Severity.MALFUNCTION,
        f"wire {wire.id} from {wire.from_} to {wire.to}: no segment joins {names[between.a]} and {names[between.b]}{past}; "
        f"one group is {groups[0]}, the other {groups[1]}",
        wire.source.place(), "add the segment that joins the two groups, or correct the place of one end", at=(f"wire {wire.id}",),
    )


def _segments_around(graph: Graph, node: int) -> list[str]:
    """The segments that a way joins to ``node``, in the order of the description."""
    seen = {node}
    front = [node]
    pieces: set[int] = set()
    while front:
        for piece, other in graph.near[front.pop()]:
            pieces.add(piece)
            if other not in seen:
                seen.add(other)
                front.append(other)
    return list(dict.fromkeys(graph.forward[piece].segment for piece in sorted(pieces)))


def _without_length(harness: Harness, graph: Graph, routes: Mapping[str, Route]) -> Iterator[Finding]:
    """Findings about segments without length: on a loop, or passed by wires."""
    missing = [segment for segment in harness.segments.values() if segment.length_mm is None]
    if not missing:
        return
    passed: dict[str, int] = {}
    for route in routes.values():
        if route.length_mm is None:
            for segment in {step.segment: step for step in route.steps if step.length_mm is None}:
                passed[segment] = passed.get(segment, 0) + 1
    for segment in missing:
        place = segment.source.place()
        loop = _loop_of(graph, segment)
        if loop:
            yield Finding("loop-without-length", Severity.ERROR,
                          f"segment {segment.id} has no length and is part of the loop {listed(loop)}: the shortest way through it cannot be known",
                          place, f"measure segment {segment.id} and write its length", at=(f"segment {segment.id}",))
        elif segment.id in passed:
            count = passed[segment.id]
            yield Finding("segment-length-unknown", Severity.ADVICE,
                          f"segment {segment.id} from {segment.from_} to {segment.to} has no length: the length of {count} wire{'s' if count > 1 else ''} is unknown",
                          place, f"measure segment {segment.id} and write its length", at=(f"segment {segment.id}",))


def _loop_of(graph: Graph, segment: Segment) -> list[str]:
    """The segments of the loop with the fewest segments through ``segment``; [] where it is on none. It has one piece, for it has no length."""
    piece = graph.pieces_of[segment.id][0]
    start, goal = graph.ends[piece]
    if start == goal:
        return [segment.id]
    by: dict[int, tuple[int, int]] = {start: (-1, -1)}
    front = [start]
    for node in front:
        for other_piece, other in graph.near[node]:
            if other_piece != piece and other not in by and graph.depth[other] == 0:
                by[other] = (other_piece, node)
                front.append(other)
    if goal not in by:
        return []
    around = {piece}
    while goal != start:
        other_piece, goal = by[goal]
        around.add(other_piece)
    return list(dict.fromkeys(graph.forward[number].segment for number in sorted(around)))
