"""From the numbers of a page to what is handed out: points of wires, boxes, labels, and what the picture counts.

Takes a Frame and a page (rows, x, channels, labels, heights); gives a Placed, coordinates rounded to 0.001 mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from .frame import Frame
from .label_shapes import ShapeOf
from .placed import Order, Placed, PlacedLabel, PlacedNode, Point

if TYPE_CHECKING:
    from .place import Page

DIGITS = 3


def assemble(frame: Frame, page: Page, shapes: Sequence[Sequence[ShapeOf]]) -> Placed:
    """The finished picture."""
    at, piled, y = page.at, page.stack, page.y
    merged = {node.id: frame.nodes[piled.lead[item]].id for item, node in enumerate(frame.nodes) if piled.lead[item] != item}
    height = [y[piled.lead[item]] for item in range(frame.items)]
    nodes: dict[str, PlacedNode] = {}
    for item, node in enumerate(frame.nodes):
        left, top = round(at.left[item], DIGITS), round(height[item], DIGITS)
        tall = 0.0 if node.shape == "bar" else node.height
        ports: dict[str, Point] = {}
        if node.shape == "box":
            for port in node.ports:
                across = node.width - (port.at or 0.0) if page.rows.mirrored[item] else (port.at or 0.0)
                ports[port.name] = (round(left + across, DIGITS), round(top + (tall if port.side == "bottom" else 0.0), DIGITS))
            right = left + node.width
        else:
            for point in frame.points_at[item]:
                of = frame.points[point]
                name = frame.wires[of.wire].id if node.shape == "bar" else of.port
                ports[name] = (round(at.x[point], DIGITS), round(top + (tall if of.below else 0.0), DIGITS))
            right = round(at.right[item], DIGITS)
        nodes[node.id] = PlacedNode(left, top, round(right - left, DIGITS), tall, page.rows.mirrored[item], ports)
    wires: dict[str, tuple[Point, ...]] = {}
    for number, wire in enumerate(frame.wires):
        ends = []
        for end in (wire.upper, wire.lower):
            ends.append(nodes[end.node].ports[wire.id if graph_bar(frame, end.node) else end.port])
        points = [ends[0]]
        way = frame.points_of[number]
        for row in range(frame.level[frame.points[way[0]].item], frame.level[frame.points[way[-1]].item]):
            owner = piled.track_at.get((number, row))
            if owner is not None:
                step = row - frame.level[frame.points[way[0]].item]
                to = ends[1][0] if step == len(way) - 2 else round(at.x[way[step + 1]], DIGITS)
                points += [(points[-1][0], round(y[owner], DIGITS)), (to, round(y[owner], DIGITS))]
        points.append((points[-1][0], ends[1][1]))
        wires[wire.id] = tuple(points)
    labels = []
    for slot, owner in zip(page.labels, piled.label_at, strict=True):
        shape = shapes[slot.wire][slot.shape]
        labels.append(PlacedLabel(frame.wires[slot.wire].id, round(slot.x, DIGITS), round(y[owner], DIGITS), shape.w, shape.h, shape.lines, shape.upright))
    ranks = {item: rank for row in page.rows.rows for rank, item in enumerate(row)}
    order = Order({node.id: frame.level[item] for item, node in enumerate(frame.nodes)}, {node.id: ranks[item] for item, node in enumerate(frame.nodes)},
                  {wire.id: tuple(ranks[frame.points[point].item] for point in way[1:-1]) for wire, way in zip(frame.wires, frame.points_of, strict=True) if len(way) > 2},
                  tuple(node.id for item, node in enumerate(frame.nodes) if page.rows.mirrored[item]))
    over = (round(page.lacks[0], 2) if page.lacks[0] > 0.01 else 0.0, round(page.lacks[1], 2) if page.lacks[1] > 0.01 else 0.0)
    return Placed(nodes, wires, tuple(labels), merged, order, over, crossings(frame, nodes, wires), bends(wires))


def graph_bar(frame: Frame, name: str) -> bool:
    return frame.graph.nodes[name].shape == "bar"


def bends(wires: Mapping[str, Sequence[Point]]) -> int:
    """Corners of all wires."""
    return sum(len(points) - 2 for points in wires.values())


def crossings(frame: Frame, nodes: Mapping[str, PlacedNode], wires: Mapping[str, Sequence[Point]]) -> int:
    """Where a level stretch of one wire, or a bar, meets an upright of another."""
    level: list[tuple[float, float, float, str]] = [(placed.x, placed.x + placed.w, placed.y, name)
                                                    for name, placed in nodes.items() if graph_bar(frame, name)]
    upright: list[tuple[float, float, float, str]] = []
    for name, points in wires.items():
        for (x1, y1), (x2, y2) in zip(points, points[1:], strict=False):
            if abs(x1 - x2) > abs(y1 - y2):
                level.append((min(x1, x2), max(x1, x2), y1, name))
            else:
                upright.append((x1, min(y1, y2), max(y1, y2), name))
    ends = {name: (wire.upper.node, wire.lower.node) for name, wire in frame.graph.wires.items()}
    return sum(1 for a, b, y, one in level for x, top, bottom, other in upright
               if one != other and one not in ends[other] and a < x < b and top < y < bottom)
