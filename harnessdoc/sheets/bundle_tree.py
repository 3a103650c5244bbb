"""The bundle as trees: which segments hang on which, from the longest path outward.

Takes the segments of a harness; gives one Tree for each group of segments that
hang together, rooted at one end of its longest path. Of the children of a node the one
behind which the bundle reaches farthest comes first, the others in the order of the
file, so that a segment measured anew does not make its neighbours change places. A
segment that would close a loop ends at a node of its own, which bears the name of the
point it closes on, so that every segment is drawn once and in full length.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..geometry.measure import Geometry
from ..model.harness import Harness

NOMINAL_MM = 200.0
"""Drawn length of a segment whose length is not known."""

Node = tuple[str, int]
"""Name of a point, and 0; a loop that closes on it ends at (name, 1), (name, 2) ..."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One segment between two nodes; ``a`` is its `from`. A nominal length is not ``known``."""

    segment: str
    a: Node
    b: Node
    length_mm: float
    known: bool


@dataclass(frozen=True, slots=True)
class Step:
    """An edge walked from ``start`` outward to ``end``; ``count``: it and all edges behind it."""

    edge: Edge
    start: Node
    end: Node
    count: int


@dataclass(frozen=True, slots=True)
class Tree:
    """``children`` of every node, the farthest reaching first, then in the order of the file; ``root`` is an end of the longest path."""

    root: Node
    children: Mapping[Node, tuple[Step, ...]]

    def chain(self, step: Step) -> list[Step]:
        """The step and the farthest reaching one behind each, out to an end."""
        steps = [step]
        while self.children[steps[-1].end]:
            steps.append(self.children[steps[-1].end][0])
        return steps


def bundle_trees(harness: Harness, geometry: Geometry) -> list[Tree]:
    """The trees of a harness, in the order of their first segment in the file."""
    joined: dict[Node, list[Edge]] = {}
    group: dict[Node, Node] = {}
    loops: dict[str, int] = {}

    def top(node: Node) -> Node:
        while group[node] != node:
            group[node] = group[group[node]]
            node = group[node]
        return node

    for edge in _edges(harness, geometry):
        a, b = edge.a, edge.b
        for node in (a, b):
            group.setdefault(node, node)
            joined.setdefault(node, [])
        if top(a) == top(b):
            loops[b[0]] = loops.get(b[0], 0) + 1
            b = (b[0], loops[b[0]])
            group[b] = b
            joined[b] = []
            edge = Edge(edge.segment, a, b, edge.length_mm, edge.known)
        group[top(b)] = top(a)
        joined[a].append(edge)
        joined[b].append(edge)
    first_of = {}
    for node in joined:
        first_of.setdefault(top(node), node)
    return [_rooted(joined, _farthest(joined, _farthest(joined, node))) for node in first_of.values()]


def _edges(harness: Harness, geometry: Geometry) -> list[Edge]:
    """Every segment with its length, or a nominal one that holds all splices on it."""
    far: dict[str, float] = {}
    for station in geometry.stations.values():
        if station.segment and station.offset_mm is not None:
            far[station.segment] = max(far.get(station.segment, 0.0), station.offset_mm)
    edges = []
    for one in harness.segments.values():
        nominal = max(NOMINAL_MM, 1.25 * far.get(one.id, 0.0))
        edges.append(Edge(one.id, (one.from_, 0), (one.to, 0), nominal if one.length_mm is None else one.length_mm, one.length_mm is not None))
    return edges


def _walk(joined: Mapping[Node, list[Edge]], root: Node) -> list[tuple[Node, Edge | None, Node, float]]:
    """Node, the edge it was reached by, the node before it and the distance from the root, parents first."""
    order: list[tuple[Node, Edge | None, Node, float]] = [(root, None, root, 0.0)]
    for node, came_by, _, distance in order:
        for edge in joined[node]:
            if edge is not came_by:
                order.append((edge.b if edge.a == node else edge.a, edge, node, distance + edge.length_mm))
    return order


def _farthest(joined: Mapping[Node, list[Edge]], root: Node) -> Node:
    return max(_walk(joined, root), key=lambda visit: visit[3])[0]


def _rooted(joined: Mapping[Node, list[Edge]], root: Node) -> Tree:
    order = _walk(joined, root)
    reach: dict[Node, float] = {}
    steps: dict[Node, list[Step]] = {node: [] for node, *_ in order}
    for node, edge, before, _ in reversed(order):
        if steps[node]:
            farthest = max(steps[node], key=lambda step: step.edge.length_mm + reach[step.end])
            steps[node].sort(key=lambda step: step is not farthest)
        reach[node] = steps[node][0].edge.length_mm + reach[steps[node][0].end] if steps[node] else 0.0
        if edge is not None:
            steps[before].insert(0, Step(edge, before, node, 1 + sum(step.count for step in steps[node])))
    return Tree(root, {node: tuple(found) for node, found in steps.items()})
