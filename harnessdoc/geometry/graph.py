"""The bundle as a graph, and the shortest way between two of its nodes.

Takes segments, and the splices that sit on them; gives a Graph whose nodes are the
points and the splices. A splice cuts its segment into pieces. What hangs on the
loops of the graph like a tree (in most harnesses all of it) is walked up and down
without a search; only between two nodes of the loops Dijkstra's method is asked.

The shortest way is by stated lengths, counted in thousandths of a millimetre so
that equal is equal; a segment without length counts nothing. Of equal ways the one
whose first differing piece stands first in the description is taken, and the way
from b to a is always that from a to b turned round.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise
from math import fsum

from ..model.harness import Segment


@dataclass(frozen=True, slots=True)
class Step:
    """One piece of a segment, walked in one direction.

    piece:   number of the piece in the graph; the same in both directions
    forward: from the segment's ``from`` toward its ``to``
    from_mm, to_mm: where it begins and ends, from the segment's ``from`` end; None where the segment has no length
    """

    piece: int
    segment: str
    forward: bool
    from_mm: float | None
    to_mm: float | None
    length_mm: float | None


@dataclass(frozen=True, slots=True)
class Route:
    """A way through the bundle; ``length_mm`` None where a segment on it has no length."""

    steps: tuple[Step, ...]
    length_mm: float | None


@dataclass(frozen=True, slots=True)
class Graph:
    """Nodes are numbers, points first in the order of the segments.

    points:     point -> node
    splices:    splice that sits on a segment -> node
    forward, backward: for each piece, the step along it in either direction
    ends:       for each piece, its two nodes
    pieces_of:  segment -> its pieces in order
    near:       for each node, its pieces with the node at their other end
    parent, climb, depth: for each node, the next one toward the loops, the step to it, how many to go (0: on a loop, or
                the last of a tree)
    ways:       node on a loop -> the pieces on which Dijkstra's tree from there reaches others; filled as asked
    """

    points: Mapping[str, int]
    splices: Mapping[str, int]
    forward: Sequence[Step]
    backward: Sequence[Step]
    ends: Sequence[tuple[int, int]]
    pieces_of: Mapping[str, Sequence[int]]
    near: Sequence[Sequence[tuple[int, int]]]
    parent: Sequence[int]
    climb: Sequence[Step | None]
    depth: Sequence[int]
    ways: dict[int, dict[int, int]]

    def step(self, piece: int, start: int) -> Step:
        """The step along ``piece`` that begins at node ``start``."""
        return self.forward[piece] if self.ends[piece][0] == start else self.backward[piece]

    def turned(self, step: Step) -> Step:
        """The same piece walked the other way."""
        return self.backward[step.piece] if step.forward else self.forward[step.piece]

    def end_of(self, step: Step) -> int:
        """The node at which ``step`` ends."""
        return self.ends[step.piece][1 if step.forward else 0]

    def shortest(self, a: int, b: int) -> tuple[Step, ...] | None:
        """The steps of the shortest way from node a to node b; None where none leads there."""
        parent, climb, depth = self.parent, self.climb, self.depth
        up: list[Step] = []
        down: list[Step] = []
        while a != b:
            if depth[a] > depth[b]:
                up.append(climb[a])
                a = parent[a]
            elif depth[b]:
                down.append(self.turned(climb[b]))
                b = parent[b]
            else:
                between = self._over_loops(a, b)
                if between is None:
                    return None
                up += between
                break
        down.reverse()
        return (*up, *down)

    def _over_loops(self, a: int, b: int) -> list[Step] | None:
        start, goal = min(a, b), max(a, b)
        if start not in self.ways:
            self.ways[start] = _dijkstra(self, start)
        by = self.ways[start]
        if goal not in by:
            return None
        steps = []
        while goal != start:
            piece = by[goal]
            steps.append(self.step(piece, goal))
            goal = self.end_of(steps[-1])
        if goal == a:
            return [self.turned(step) for step in reversed(steps)]
        return steps


def route_of(steps: tuple[Step, ...]) -> Route:
    """The steps with their length."""
    lengths = [step.length_mm for step in steps]
    return Route(steps, None if None in lengths else fsum(lengths))


def build_graph(segments: Iterable[Segment], on_segments: Mapping[str, Sequence[tuple[float, str]]]) -> Graph:
    """The graph of ``segments``; ``on_segments``: segment -> (offset from its ``from`` end in mm, splice), each within its length."""
    segments = tuple(segments)
    points: dict[str, int] = {}
    for segment in segments:
        points.setdefault(segment.from_, len(points))
        points.setdefault(segment.to, len(points))
    splices: dict[str, int] = {}
    forward: list[Step] = []
    ends: list[tuple[int, int]] = []
    pieces_of: dict[str, list[int]] = {}
    nodes = len(points)
    for segment in segments:
        pieces_of[segment.id] = []
        stations: list[tuple[float | None, int]] = [(0.0 if segment.length_mm is not None else None, points[segment.from_])]
        for offset, splice in sorted(on_segments.get(segment.id, ())):
            if offset != stations[-1][0] or len(stations) == 1:
                stations.append((offset, nodes))
                nodes += 1
            splices[splice] = stations[-1][1]
        stations.append((segment.length_mm, points[segment.to]))
        for (start, a), (stop, b) in pairwise(stations):
            pieces_of[segment.id].append(len(forward))
            forward.append(Step(len(forward), segment.id, True, start, stop, None if stop is None else stop - start))
            ends.append((a, b))
    backward = [Step(s.piece, s.segment, False, s.to_mm, s.from_mm, s.length_mm) for s in forward]
    near: list[list[tuple[int, int]]] = [[] for _ in range(nodes)]
    for piece, (a, b) in enumerate(ends):
        if a != b:
            near[a].append((piece, b))
            near[b].append((piece, a))
    parent, climb, depth = _hang(near, ends, forward, backward)
    return Graph(points, splices, forward, backward, ends, pieces_of, near, parent, climb, depth, {})


def _hang(near: Sequence[Sequence[tuple[int, int]]], ends: Sequence[tuple[int, int]], forward: Sequence[Step],
          backward: Sequence[Step]) -> tuple[list[int], list[Step | None], list[int]]:
    """Take off nodes with one piece left, again and again; each hangs on the node at that piece's other end."""
    left = [len(pieces) for pieces in near]
    parent = [-1] * len(near)
    climb: list[Step | None] = [None] * len(near)
    taken = [node for node, count in enumerate(left) if count == 1]
    hung: list[int] = []
    for node in taken:
        if left[node] != 1:
            continue   # the last of its tree
        piece, above = next(pair for pair in near[node] if parent[pair[1]] != node)
        parent[node], left[node] = above, 0
        climb[node] = forward[piece] if ends[piece][0] == node else backward[piece]
        hung.append(node)
        left[above] -= 1
        if left[above] == 1:
            taken.append(above)
    depth = [0] * len(near)
    for node in reversed(hung):
        depth[node] = depth[parent[node]] + 1
    return parent, climb, depth


def _dijkstra(graph: Graph, start: int) -> dict[int, int]:
    """Node -> the piece by which the shortest way from ``start`` comes to it, over nodes of loops only."""
    by: dict[int, int] = {}
    done: set[int] = set()
    front: list[tuple[int, tuple[int, ...], int]] = [(0, (), start)]
    while front:
        far, way, node = heappop(front)
        if node in done:
            continue
        done.add(node)
        if way:
            by[node] = way[-1]
        for piece, other in graph.near[node]:
            if graph.depth[other] == 0 and other not in done:
                length = graph.forward[piece].length_mm
                heappush(front, (far + round((length or 0.0) * 1000), (*way, piece), other))
    return by
