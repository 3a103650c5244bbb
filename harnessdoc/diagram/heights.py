"""The heights that a page ends up with: a linear program over its stack.

Takes a Frame, the stack, the labels and the height of the page; gives y of every owner. What the longest paths leave free is
shared among all gaps alike, equal parts of a row and the cavities of a connector line up, labels stay
near the end of the wire that they stand for, and grounds come down to one line where that is not far.
"""

from __future__ import annotations

from collections.abc import Sequence

from .down import BAR, BOX, Slot, Stack
from .frame import Frame

WIDEN = 3.5
"""Gaps grow by at most this, in mm."""
GROW = 30.0
"""What a mm of every gap is worth."""
LENGTH = 0.05
LABEL_NEAR = 0.4
LINE_UP = 1.0
TIED = 4.0
DROP = 40.0
"""A ground comes down to the line of the lowest one where that is no further than this below its user, in mm."""


def heights(frame: Frame, piled: Stack, labels: Sequence[Slot], height: float) -> list[float]:
    """y of each owner; where the page is too tall, of one as tall as it takes."""
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import csc_array

    early, _ = piled.earliest()
    total, _ = piled.total(early)
    height = max(height, total)
    count = len(piled.height)
    cost = [0.0] * count
    upper = [max(height - tall, early[owner]) for owner, tall in enumerate(piled.height)]
    bounds: list[tuple[float, float]] = [(piled.floor[owner], upper[owner]) for owner in range(count)]
    for item, node in enumerate(frame.nodes):
        if node.band == "supply" and early[item] <= piled.floor[item] + 1e-6:
            bounds[item] = (piled.floor[item], piled.floor[item])
    rows: list[tuple[list[int], list[float], float]] = []
    grow = count
    cost.append(-GROW)
    bounds.append((0.0, WIDEN))
    last = {owner for slot, owner in zip(labels, piled.label_at, strict=True) if slot.last}
    still = {(after, owner) if owner in last else (before, owner) for owner, before, after in piled.hung}
    for owner, of in enumerate(_needed(piled)):
        for lower, gap in of:
            same = (owner, lower) in still or (lower, owner) in still
            rows.append(([owner, lower] if same else [owner, lower, grow], [1.0, -1.0] if same else [1.0, -1.0, 1.0], -gap))
    for owner, before, after in piled.hung:
        near, sign = (after, -1.0) if owner in last else (before, 1.0)
        cost[owner] += sign * LABEL_NEAR
        cost[near] -= sign * LABEL_NEAR
    for chain in piled.chains:
        cost[chain[0]] -= LENGTH
        cost[chain[-1]] += LENGTH
    for owner in range(count):
        cost[owner] += 0.002

    def line_up(one: int, other: int, weight: float) -> None:
        aux = len(cost)
        cost.append(weight)
        bounds.append((0.0, height))
        rows.append(([one, other, aux], [1.0, -1.0, -1.0], 0.0))
        rows.append(([other, one, aux], [1.0, -1.0, -1.0], 0.0))

    seen: dict[tuple[str, str, int], int] = {}
    for item, node in enumerate(frame.nodes):
        for what, name, weight in (("tie", node.tie, TIED), ("kind", node.kind, LINE_UP)):
            if not name or piled.lead[item] != item:
                continue
            key = (what, name, frame.level[item])
            if key in seen:
                line_up(seen[key], item, weight)
            seen[key] = item
    r = [row for row, (columns, _, _) in enumerate(rows) for _ in columns]
    matrix = csc_array(([value for _, values, _ in rows for value in values], (r, [column for columns, _, _ in rows for column in columns])), shape=(len(rows), len(cost)))
    found = linprog(cost, A_ub=matrix, b_ub=[at for _, _, at in rows], bounds=bounds, method="highs-ds")
    y = early if found.x is None else np.asarray(found.x[:count]).tolist()
    return _grounded(frame, piled, y)


def _needed(piled: Stack) -> list[list[tuple[int, float]]]:
    """The edges that others do not imply."""
    edges = [dict(of) for of in piled.edges]
    for owner, of in enumerate(edges):
        for lower, gap in list(of.items()):
            if any(lower in edges[middle] and first + edges[middle][lower] >= gap - 1e-9 for middle, first in of.items() if middle != lower):
                del edges[owner][lower]
    return [list(of.items()) for of in edges]


def _grounded(frame: Frame, piled: Stack, y: list[float]) -> list[float]:
    """The grounds brought down to the line of the lowest thing, each that has nothing below it and is not far."""
    floor = max((y[owner] + piled.height[owner] for owner in range(len(y)) if piled.kinds[owner] in (BOX, BAR)), default=0.0)
    users: dict[int, float] = {}
    for chain in piled.chains:
        users[chain[-1]] = min(users.get(chain[-1], 1e9), y[chain[0]] + piled.height[chain[0]])
    for item, node in enumerate(frame.nodes):
        lead = piled.lead[item]
        if node.band == "ground" and lead == item and not piled.edges[item] and floor - users.get(item, 0.0) <= DROP + piled.height[item]:
            y[item] = floor - piled.height[item]
    return y
