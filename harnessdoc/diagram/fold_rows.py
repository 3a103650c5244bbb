"""Where the line of a fold passes through each row, so that what stands left and right of it finds room.

Takes a Frame with a held line (see Node.held_mm), its rows and the width of the page; gives the rows with the line put in anew: few wires cross it, no side
of a row is wider than half the page where that can be, and the sides are about equal. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence

from .frame import Frame
from .gaps import BAR_TEXT, BOX_BOX, PITCH
from .sorter import Rows

TOO_WIDE = 3.0
"""What a mm costs that a side of a row is too wide, in wires that cross the line."""
UNEVEN = 0.02
"""What a mm costs that one side is wider than the other."""


def held_line(frame: Frame) -> frozenset[int]:
    """The items of the line that is held across the page; empty where there is none."""
    return frozenset(frame.points[point].item for number, wire in enumerate(frame.wires) if frame.graph.nodes[wire.upper.node].held_mm is not None for point in frame.points_of[number])


def with_line(frame: Frame, rows: Rows, line: frozenset[int], width: float) -> Rows:
    """The rows with the items of the line at the cheapest place of each."""
    import numpy as np

    rest = [[item for item in row if item not in line] for row in rows.rows]
    place = {item: number for row in rest for number, item in enumerate(row)}
    cost: np.ndarray | None = None
    back: list[np.ndarray] = []
    for level, row in enumerate(rest):
        wide = np.concatenate(([0.0], np.cumsum([_width(frame, item) for item in row])))
        left, right = wide, wide[-1] - wide
        own = TOO_WIDE * (np.maximum(0, left - width / 2) + np.maximum(0, right - width / 2)) + UNEVEN * np.abs(left - right)
        if cost is None:
            cost = own
            continue
        over = np.zeros((len(rest[level - 1]) + 1, len(row) + 1))
        for _, upper, lower in frame.pieces[level - 1]:
            one, other = place.get(frame.points[upper].item), place.get(frame.points[lower].item)
            if one is not None and other is not None:
                # above left of the line and below right of it, or the other way
                over[one + 1:, :other + 1] += 1
                over[:one + 1, other + 1:] += 1
        total = cost[:, None] + over
        back.append(np.argmin(total, axis=0))
        cost = np.min(total, axis=0) + own
    assert cost is not None
    at = [int(np.argmin(cost))]
    for best in reversed(back):
        at.append(int(best[at[-1]]))
    found = []
    for row, of, where in zip(rows.rows, rest, reversed(at), strict=True):
        found.append((*of[:where], *(item for item in row if item in line), *of[where:]))
    return Rows(tuple(found), rows.mirrored)


def _width(frame: Frame, item: int) -> float:
    """About how much of its row an item takes."""
    node = frame.node_of(item)
    if node is None:
        return PITCH
    taps: Sequence[bool] = [frame.points[point].below for point in frame.points_at[item]]
    if node.shape == "bar":
        return PITCH * max(0, max(sum(taps), len(taps) - sum(taps)) - 1) + (node.right + BAR_TEXT if node.right else 0.0) + BOX_BOX
    sides = [sum(port.room for port in node.ports if port.side == side) for side in ("top", "bottom")]
    return max(node.width, *sides) + BOX_BOX if node.shape == "unit" else node.width + BOX_BOX
