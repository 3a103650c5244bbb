"""Diagrams over two facing pages: nothing but level lines where the paper is folded.

Takes a Graph and an area with the fold in its middle; gives a Placed whose middle strip only level lines cross. In the graph that is placed
a line of its own runs from the top to the bottom of the middle: what is placed keeps clear of it, and as few wires as
can be cross it. Then this line is taken out, and all that stands right of it is moved until the strip is as wide as asked for.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from .gaps import FOREIGN
from .graph import End, Graph, Node, Port, Wire
from .kept import Kept
from .place import STARTS
from .placed import Order, Placed, Point

ABOVE, BELOW, LINE = "fold above", "fold below", "fold"
"""No id of a graph begins so: those of nodes and wires have a colon or are ids of the description."""
THIN = 0.2
KEPT = FOREIGN - 0.15
"""What is placed keeps so far from the line: FOREIGN less the width of a swatch's frame, in mm."""


class FoldedKept(Kept):
    """Places diagrams with a free strip of ``gap_mm`` in the middle."""

    def __init__(self, folder: Path | None = None, gap_mm: float = 0.0) -> None:
        super().__init__(folder)
        self.gap_mm = gap_mm

    def kept_in(self, folder: Path) -> FoldedKept:
        return FoldedKept(folder, self.gap_mm)

    def place(self, graph: Graph, width_mm: float, height_mm: float, start: Order | None = None, *, starts: int = STARTS, quick: bool = False) -> Placed:
        """As `place.place`, with the strip; a diagram that has something in it does not fit."""
        if not graph.nodes:
            return super().place(graph, width_mm, height_mm, start, starts=starts, quick=quick)
        gap = self.gap_mm - 2 * KEPT
        middle = (width_mm - gap) / 2
        found = super().place(with_fold(graph, middle), width_mm - gap, height_mm, start, starts=starts, quick=quick)
        return opened(found, gap) if found.nodes else found


def with_fold(graph: Graph, at_mm: float) -> Graph:
    """The graph with the line of the fold."""
    ends = {name: Node(name, "box", (Port("1", side, THIN / 2, 0.0),), THIN, 0.0, band=band, held_mm=at_mm)
            for name, side, band in ((ABOVE, "bottom", "supply"), (BELOW, "top", "ground"))}
    return replace(graph, nodes={**graph.nodes, **ends}, wires={**graph.wires, LINE: Wire(LINE, End(ABOVE, "1"), End(BELOW, "1"), width=THIN, weight=0.05)})


def opened(placed: Placed, gap_mm: float) -> Placed:
    """The diagram without the line, the right part moved; ``over_mm`` counts what lies on the line."""
    def moved(x: float) -> float:
        return round(x + gap_mm, 3) if x > at_mm else x

    def point(at: Point) -> Point:
        return moved(at[0]), at[1]

    at_mm = placed.nodes[ABOVE].ports["1"][0]
    blocked = in_the_way(placed, at_mm)
    nodes = {name: replace(node, x=moved(node.x), ports={port: point(at) for port, at in node.ports.items()}) for name, node in placed.nodes.items() if name not in (ABOVE, BELOW)}
    wires = {name: tuple(map(point, line)) for name, line in placed.wires.items() if name != LINE}
    labels = tuple(replace(label, x=moved(label.x)) for label in placed.labels)
    levels, ranks = ({name: number for name, number in of.items() if name not in (ABOVE, BELOW)} for of in (placed.order.levels, placed.order.ranks))
    order = replace(placed.order, levels=levels, ranks=ranks, ways={name: way for name, way in placed.order.ways.items() if name != LINE})
    over = (placed.over_mm[0] + blocked, placed.over_mm[1])
    return Placed(nodes, wires, labels, placed.merged, order, over, placed.crossings, placed.bends)


def in_the_way(placed: Placed, at_mm: float) -> float:
    """How many mm of nodes and labels reach over the line, in all; of what is placed as asked for nothing does."""
    spans = [(node.x, node.x + node.w) for name, node in placed.nodes.items() if name not in (ABOVE, BELOW)]
    spans += [(label.x, label.x + label.w) for label in placed.labels]
    near = KEPT
    total = sum(min(right - at_mm, at_mm - left) + near for left, right in spans if left < at_mm + near and right > at_mm - near)
    uprights = [x1 for name, line in placed.wires.items() if name != LINE for (x1, y1), (x2, y2) in zip(line, line[1:], strict=False) if abs(x1 - x2) < 1e-6]
    return total + sum(near for x in uprights if abs(x - at_mm) < near)
