"""What Graphviz's dot makes of the graph of a circuit diagram: crossings, bends, straight lines, to be set beside our own.

``by_dot`` takes a Graph and gives Figures. Every node is a record of its ports, in the order of the graph, upper ones above
lower ones, as wide and high as ours; a splice is a record with one port a wire. dot
places and routes (``splines=polyline``: its right-angled lines do not keep to ports). Its lines run aslant; each
stretch that is not upright counts as the two bends it would take with upright and level lines only.

Run alone it prints the table for all pages of all examples, the one-page harness and some random ones, ours beside dot's: ``make long``, or
``PYTHONPATH=tests python -m diagram.dot_reference``; with names behind it, only of those.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import astuple, dataclass
from itertools import combinations
from pathlib import Path

from harnessdoc.diagram.graph import Graph, Node

MM = 72 / 25.4
"""Points in a millimetre."""
PITCH = 5.0
"""Width of a tap of a splice, in mm."""
UPRIGHT = 0.3
"""A stretch whose ends are no farther apart across than this, in points, is upright: dot gives two decimals and rounds ports to points."""

ONE_PAGE, RANDOM = "one-page", 8
"""The name of the one-page harness in the table; how many random harnesses are in it."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Figures:
    wires: int
    crossings: int
    bends: int
    straight: int

    def row(self) -> str:
        return f"{self.crossings:4d} crossings, {self.bends / max(1, self.wires):4.2f} bends a wire, {100 * self.straight / max(1, self.wires):3.0f} % straight"


def added(every: Iterable[Figures]) -> Figures:
    """The sums."""
    return Figures(*map(sum, zip(*map(astuple, every), strict=True)))


def by_dot(graph: Graph) -> Figures:
    """The figures of dot's drawing. Raises ImportError where pygraphviz, which carries dot, is not there."""
    import pygraphviz

    placed = pygraphviz.AGraph(string=as_dot(graph))
    placed.layout(prog="dot")
    return figures(_points(edge.attr["pos"]) for edge in placed.edges())


def as_dot(graph: Graph) -> str:
    """The graph in the DOT language."""
    ids = {name: f"n{number}" for number, name in enumerate(graph.nodes)}
    lines = ["digraph {", f"  graph [rankdir=TB, splines=polyline, nodesep={2.4 * MM / 72:.3f}, ranksep={6 * MM / 72:.3f}];",
             '  node [shape=record, fixedsize=true, fontsize=4, margin="0,0", label=""];']
    for name, node in graph.nodes.items():
        upper, lower = _ports(graph, node)
        width = max(node.width, PITCH * max(len(upper), len(lower)))
        label = "{{" + "|".join(f"<{port}>" for port in upper.values()) + "}|{" + "|".join(f"<{port}>" for port in lower.values()) + "}}"
        lines.append(f'  {ids[name]} [label="{label}", width={width / 25.4:.3f}, height={max(node.height, 0.5) / 25.4:.3f}];')
    for name, wire in graph.wires.items():
        tail, head = graph.nodes[wire.upper.node], graph.nodes[wire.lower.node]
        out = _ports(graph, tail)[1][wire.upper.port or name]
        into = _ports(graph, head)[0][wire.lower.port or name]
        lines.append(f"  {ids[tail.id]}:{out}:s -> {ids[head.id]}:{into}:n [dir=none];")
    return "\n".join([*lines, "}"])


def _ports(graph: Graph, node: Node) -> tuple[dict[str, str], dict[str, str]]:
    """Upper and lower ports of a node: name (of a bar the wire) -> its name in DOT."""
    if node.shape == "bar":
        upper = [name for name, wire in graph.wires.items() if wire.lower.node == node.id]
        lower = [name for name, wire in graph.wires.items() if wire.upper.node == node.id]
    else:
        ordered = sorted(enumerate(node.ports), key=lambda item: (item[1].at if item[1].at is not None else 0.0, item[0]))
        upper = [port.name for _, port in ordered if port.side == "top"]
        lower = [port.name for _, port in ordered if port.side == "bottom"]
    return {name: f"u{number}" for number, name in enumerate(upper)}, {name: f"l{number}" for number, name in enumerate(lower)}


def _points(position: str) -> list[Point]:
    """The corners of a line from its ``pos``: a chain of cubic curves, straight with splines=polyline, so every third point."""
    found = [tuple(map(float, item.split(","))) for item in position.replace("\\\n", "").split() if not item.startswith(("e,", "s,"))]
    return [(x, y) for x, y in found[::3]]


def figures(lines: Iterable[list[Point]]) -> Figures:
    """Counts what is drawn: lines that cross inside both, stretches that are not upright, lines without any."""
    lines = [_corners(line) for line in lines]
    aslant = [sum(abs(a[0] - b[0]) > UPRIGHT for a, b in zip(line, line[1:], strict=False)) for line in lines]
    crossings = sum(_cross(a, b, c, d)
                    for one, two in combinations(lines, 2)
                    for a, b in zip(one, one[1:], strict=False) for c, d in zip(two, two[1:], strict=False))
    return Figures(len(lines), crossings, 2 * sum(aslant), sum(not count for count in aslant))


def _corners(line: list[Point]) -> list[Point]:
    """A line without the points on its straight stretches."""
    out = list(line[:1])
    for here, after in zip(line[1:], [*line[2:], None], strict=True):
        if after is None or abs((here[0] - out[-1][0]) * (after[1] - here[1]) - (here[1] - out[-1][1]) * (after[0] - here[0])) > 1.0:
            out.append(here)
    return out


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def main(names: Sequence[str]) -> None:
    """Prints the table, page by page and the sums; names: examples, ``one-page``, ``random 3``; none: all of them, and RANDOM random ones."""
    from examples import raw

    from harnessdoc.book.draw import make_context
    from harnessdoc.sheets.circuit_pages import circuit_book
    from harnessdoc.sheets.context import Options
    from harnessdoc.steps import load

    from .circuit_sheets import counted, draw_from, loaded_of
    from .random_circuits import random_raw

    for name in names or (*raw.NAMES, *raw.MERGES, ONE_PAGE, *(f"random {seed}" for seed in range(RANDOM))):
        if name == ONE_PAGE:
            loaded = load(Path(__file__).parent / "one_page_harness.yaml")
        else:
            loaded = loaded_of(random_raw(int(name.split()[1])).text()) if name.startswith("random ") else load(raw.main_file(name))
        context = make_context(loaded.version, Options())
        book = circuit_book(context)
        graphs = [page.graph.graph for system in book.systems for page in book.pages(system)]
        print(f"{name}: ours, then dot's")
        found = []
        for page, graph in zip(draw_from(context), graphs, strict=True):
            found.append((counted(page.drawing), by_dot(graph)))
            print(f"  {page.sheet:40s} {len(graph.wires):3d} wires  {found[-1][0].row()}  |  {found[-1][1].row()}", flush=True)
        print(f"  {'all':40s} {sum(len(graph.wires) for graph in graphs):3d} wires  {added(ours for ours, _ in found).row()}  |  {added(theirs for _, theirs in found).row()}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
