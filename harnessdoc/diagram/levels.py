"""Which level each node stands on: a linear program of differences, so its answer is whole numbers.

Takes a Graph and, where there is one, the levels of the picture before; gives node id -> level,
0 at the top. Every wire's lower end stands at least one level below its upper end; nodes of one
tie share a level; wires are short, equal kinds level where that costs little. Grounds stand right
below their users: how far they then drop on the paper is settled with the heights.
"""

from __future__ import annotations

from collections.abc import Mapping

from .gaps import BOX_BOX, PITCH
from .graph import Graph

ALIGN = 0.6
"""What a level of difference between neighbours of one kind costs, as wire lengths."""
TIE_LENGTH = 4.0
"""Cavities of one connector weigh this much: their level is settled by all their wires."""
UP = 0.01
"""Pull to the top, for what nothing else holds."""
ROUNDS = 12
STAY, FIRM = 0.05, 1000.0
"""Pull to the level of the picture before; so strong that only what must leave its level does."""


def levels(graph: Graph, before: Mapping[str, int] | None = None, least: Mapping[str, int] | None = None,
           most: Mapping[str, int] | None = None, stay: float = STAY) -> dict[str, int]:
    """The level of each node; ``stay``: the pull to the levels before; ``least``, ``most``: nodes that stand at this level or lower, or higher. Raises ValueError where no levels exist: wires in a circle, or a tie above itself."""
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import csc_array

    index = {name: number for number, name in enumerate(graph.nodes)}
    count = len(index)
    if not count:
        return {}
    cost = [UP] * count
    rows: list[tuple[dict[int, float], float]] = []
    equal: list[tuple[int, int]] = []
    fed = {wire.lower.node for wire in graph.wires.values()}
    for wire in graph.wires.values():
        upper, lower = index[wire.upper.node], index[wire.lower.node]
        rows.append(({upper: 1.0, lower: -1.0}, -1.0))
        tied = graph.nodes[wire.upper.node].tie or graph.nodes[wire.lower.node].tie
        weight = wire.weight * (TIE_LENGTH if tied else 1.0)
        cost[lower] += weight
        cost[upper] -= weight

    def soft(one: int, other: int | None, at: float, weight: float) -> None:
        """weight times |one - other - at|."""
        aux = len(cost)
        cost.append(weight)
        pair = {one: 1.0} if other is None else {one: 1.0, other: -1.0}
        rows.append(({**pair, aux: -1.0}, at))
        rows.append(({**{key: -value for key, value in pair.items()}, aux: -1.0}, -at))

    last_tie: dict[str, int] = {}
    last_kind: dict[tuple[str, int], int] = {}
    least = least or {}
    for name, node in graph.nodes.items():
        number = index[name]
        if node.held_mm is not None and node.band == "ground":
            rows.extend(({other: 1.0, number: -1.0}, 0.0) for other in index.values() if other != number)
        if node.tie:
            if node.tie in last_tie:
                equal.append((last_tie[node.tie], number))
            last_tie[node.tie] = number
        if node.kind and node.band != "ground":
            kind = (node.kind, least.get(name, 0))
            if kind in last_kind:
                soft(last_kind[kind], number, 0.0, ALIGN)
            last_kind[kind] = number
        if before is not None and name in before:
            soft(number, None, float(before[name]), stay)
    bounds: list[tuple[float, float | None]] = [(0.0, None)] * len(cost)
    for name in graph.nodes:
        bounds[index[name]] = (float(least.get(name, 0)), None if most is None or name not in most else float(most[name]))
    for name, node in graph.nodes.items():
        if node.band == "supply" and name not in fed and not least.get(name):
            bounds[index[name]] = (0.0, 0.0)

    def matrix(lines: list[dict[int, float]]) -> csc_array:
        data = [(row, column, value) for row, line in enumerate(lines) for column, value in line.items()]
        r, c, v = zip(*data, strict=True)
        return csc_array((v, (r, c)), shape=(len(lines), len(cost)))

    found = linprog(cost, A_ub=matrix([line for line, _ in rows]) if rows else None, b_ub=[at for _, at in rows] if rows else None,
                    A_eq=matrix([{one: 1.0, other: -1.0} for one, other in equal]) if equal else None, b_eq=[0.0] * len(equal) if equal else None,
                    bounds=bounds, method="highs-ds")
    if found.x is None:
        raise ValueError("no levels: wires run in a circle, or from one node of a tie to another")
    whole = np.rint(found.x[:count]).astype(int)
    return {name: int(whole[number]) for name, number in index.items()}


def roomy_levels(graph: Graph, width: float, before: Mapping[str, int] | None = None, *, bars: bool = False) -> dict[str, int]:
    """Levels whose rows are hardly wider than ``width`` mm, as far as that goes: every second thing of a row too wide stands one level lower, so
    that a wire passes where a box stood; ``bars``: bars, too, with what stands behind them."""
    found = levels(graph, before)
    least: dict[str, int] = {}
    most: dict[str, int] = {}
    for _ in range(ROUNDS):
        wide = row_widths(graph, found)
        row = max(range(len(wide)), key=lambda number: wide[number], default=0)
        if not wide or wide[row] <= width:
            break
        lower: list[str] = []
        seen: dict[str, bool] = {}
        spare = wide[row] - width
        for name, node in graph.nodes.items():
            wide_node = node.right if bars and node.shape == "bar" else node.width if node.shape == "box" else 0.0
            if found[name] != row or name in most or (node.band == "supply" and not (bars and node.shape == "bar")) or node.held_mm is not None or wide_node <= PITCH + BOX_BOX:
                continue
            key = node.tie or name
            if seen.setdefault(key, len(seen) % 2 == 1) and spare > 0:
                lower.append(name)
                spare -= wide_node + BOX_BOX - PITCH
        if not lower:
            break
        least.update((name, row + 1) for name in lower)
        most.update((name, row) for name, node in graph.nodes.items() if found[name] == row and name not in lower and node.held_mm is None)
        try:
            found = levels(graph, before, least, most)
        except ValueError:   # some of these hold each other where they are
            break
    return found


def row_widths(graph: Graph, found: Mapping[str, int]) -> list[float]:
    """About how wide each row is, in mm: its nodes, and the wires that pass."""
    wide = [0.0] * (max(found.values(), default=-1) + 1)
    taps: dict[str, list[int]] = {name: [0, 0] for name in graph.nodes}
    for wire in graph.wires.values():
        taps[wire.upper.node][1] += 1
        taps[wire.lower.node][0] += 1
        for row in range(found[wire.upper.node] + 1, found[wire.lower.node]):
            wide[row] += PITCH
    for name, node in graph.nodes.items():
        if node.shape == "bar":
            needs = PITCH * max(0, max(taps[name]) - 1) + node.right
        elif node.shape == "unit":
            needs = max(node.width, *(sum(port.room for port in node.ports if port.side == side) for side in ("top", "bottom")))
        else:
            needs = node.width
        wide[found[name]] += needs + BOX_BOX
    return wide
