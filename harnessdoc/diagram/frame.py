"""A graph with its levels as numbers: items in rows, points of wires, pieces between rows.

Takes a Graph and the level of every node; gives a Frame, which later steps only read. An
*item* stands in a row: a node, or the place where a wire passes a level without ending there.
A *point* is where a wire meets a row (or where a port of a unit without a wire stands). A
*piece* is the part of a wire between two neighbouring rows: it runs in the *channel* below
the row of its upper point.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .graph import End, Graph, Node, Wire


@dataclass(frozen=True, slots=True)
class PointOf:
    """wire: its index, -1 for a port without one; port: name, "" at bars and on the way; a point on the way is above and below."""

    item: int
    wire: int
    port: str
    above: bool
    below: bool


@dataclass(frozen=True, slots=True)
class Frame:
    """nodes are the first items; points_of lists the points of each wire from the top down; pieces are (wire, upper point, lower point) by channel."""

    graph: Graph
    nodes: tuple[Node, ...]
    wires: tuple[Wire, ...]
    level: tuple[int, ...]
    levels: int
    index: Mapping[str, int]
    points: tuple[PointOf, ...]
    points_of: tuple[tuple[int, ...], ...]
    points_at: tuple[tuple[int, ...], ...]
    pieces: tuple[tuple[tuple[int, int, int], ...], ...]

    @property
    def items(self) -> int:
        return len(self.level)

    def node_of(self, item: int) -> Node | None:
        return self.nodes[item] if item < len(self.nodes) else None


def check(graph: Graph) -> None:
    """Raises ValueError, with the offender named, for a graph that cannot be placed: ends that are not there,
    on the wrong side or shared, and wires that run in a circle."""
    seen: dict[tuple[str, str], str] = {}
    for name, wire in graph.wires.items():
        for end, side in ((wire.upper, "bottom"), (wire.lower, "top")):
            node = graph.nodes.get(end.node)
            if node is None:
                raise ValueError(f"wire {name} ends at {end.node}, which is not in the graph")
            if node.shape == "bar":
                continue
            port = next((port for port in node.ports if port.name == end.port), None)
            if port is None:
                raise ValueError(f"wire {name} ends at {end.node} {end.port!r}, which has no such port")
            if port.side != side:
                raise ValueError(f"wire {name} ends at {end.node} {end.port}, which is on the {port.side}, not on the {side}")
            other = seen.setdefault((end.node, end.port), name)
            if other != name:
                raise ValueError(f"wires {other} and {name} both end at {end.node} {end.port}; put a bar between them")
            if node.shape == "box" and port.at is None:
                raise ValueError(f"port {end.port} of the box {end.node} does not say where it stands")
    left = {name: 0 for name in graph.nodes}
    for wire in graph.wires.values():
        left[wire.lower.node] += 1
    free = [name for name in graph.nodes if not left[name]]
    below: dict[str, list[str]] = {name: [] for name in graph.nodes}
    for wire in graph.wires.values():
        below[wire.upper.node].append(wire.lower.node)
    done = 0
    while free:
        done += 1
        for name in below[free.pop()]:
            left[name] -= 1
            if not left[name]:
                free.append(name)
    if done < len(graph.nodes):
        raise ValueError(f"wires run in a circle through {', '.join(name for name in graph.nodes if left[name])}")


def frame(graph: Graph, levels: Mapping[str, int]) -> Frame:
    """The graph in numbers, with its nodes at these levels (each wire's lower end on a higher number than its upper)."""
    nodes = tuple(graph.nodes.values())
    wires = tuple(graph.wires.values())
    index = {node.id: number for number, node in enumerate(nodes)}
    level = [levels[node.id] for node in nodes]
    points: list[PointOf] = []
    points_of: list[tuple[int, ...]] = []
    points_at: list[list[int]] = [[] for _ in nodes]
    used: set[tuple[str, str]] = set()

    def add(item: int, wire: int, end: End | None, above: bool, below: bool) -> int:
        points.append(PointOf(item, wire, end.port if end else "", above, below))
        points_at[item].append(len(points) - 1)
        return len(points) - 1

    for number, wire in enumerate(wires):
        first, last = index[wire.upper.node], index[wire.lower.node]
        way = [add(first, number, wire.upper, False, True)]
        for row in range(level[first] + 1, level[last]):
            level.append(row)
            points_at.append([])
            way.append(add(len(level) - 1, number, None, True, True))
        way.append(add(last, number, wire.lower, True, False))
        points_of.append(tuple(way))
        used.update(((wire.upper.node, wire.upper.port), (wire.lower.node, wire.lower.port)))
    for number, node in enumerate(nodes):
        if node.shape == "unit":
            for port in node.ports:
                if (node.id, port.name) not in used:
                    add(number, -1, End(node.id, port.name), port.side == "top", port.side == "bottom")
    count = max(level, default=-1) + 1
    pieces: list[list[tuple[int, int, int]]] = [[] for _ in range(max(count - 1, 0))]
    for number, way in enumerate(points_of):
        for upper, lower in zip(way, way[1:], strict=False):
            pieces[level[points[upper].item]].append((number, upper, lower))
    return Frame(graph, nodes, wires, tuple(level), count, index, tuple(points), tuple(points_of),
                 tuple(tuple(at) for at in points_at), tuple(tuple(channel) for channel in pieces))
