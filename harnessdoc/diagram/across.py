"""Where everything stands across the page: a linear program that makes wires straight.

Takes a Frame, its Rows and the width; gives Across: x of every point and of every item's edges.
The sum of sideways offsets of the pieces is made small, then made sparse: solving again with weights
of about 1/offset drives small offsets to nothing and leaves the rest to a few wires. The page's width is a soft
bound, so there is always an answer and a measure of how much is lacking.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from .frame import Frame
from .gaps import BAR_LINE, BAR_TEXT, BOX_BOX, BOX_LINE, EVEN, FOREIGN, MERGE, OWN, PITCH
from .sorter import Rows, Sorter

OVER = 4000.0
BAR_LENGTH = 0.01
ROUNDS = 4
SNAP = 4.0
"""Offsets below this are worth nearly anything to get rid of."""
ROOM_COST = (0.1, 0.03, 0.008)
"""What a mm lacking of the room beside a wire costs: for its label in two lines, in one, with air beside it."""


@dataclass(frozen=True, slots=True)
class Across:
    """x: of each point; left, right: edges of each item (a bar's number not counted in); over: how far the page is too narrow."""

    x: tuple[float, ...]
    left: tuple[float, ...]
    right: tuple[float, ...]
    over: float


Ref = tuple[Literal["left", "right", "point"], int, float]
"""A place across the page: an edge of an item, or a point, and so many mm right of it."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What the page has asked for so far.

    apart: pairs of places, the first left of the second by at least the gap
    even: pairs of points that stand at one x
    shared: neighbouring grounds that become one symbol
    tight: lines and boxes stand nearer to each other down the page
    """

    apart: tuple[tuple[Ref, Ref, float], ...] = ()
    even: tuple[tuple[int, int], ...] = ()
    shared: tuple[tuple[int, int], ...] = ()
    tight: bool = False


class Program:
    """The linear program of one order; solved several times with other costs."""

    def __init__(self, frame: Frame, rows: Rows, width: float, rooms: Sequence[Sequence[float]], wish: Wish) -> None:
        self.frame = frame
        self.rows = rows
        self.width = width
        self.lines: list[tuple[list[int], list[float], float]] = []
        self.cost: list[float] = []
        self.low: list[float] = []
        self.high: list[float | None] = []
        self.point: list[tuple[int, float]] = [(-1, 0.0)] * len(frame.points)
        self.left: list[tuple[int, float]] = []
        self.right: list[tuple[int, float]] = []
        self.over = self._var(OVER)
        self.held: dict[float, int] = {}
        self.sides = point_order(frame, rows)
        self._items()
        self.offsets: list[tuple[int, int, int, int]] = []
        for channel in frame.pieces:
            for wire, upper, lower in channel:
                aux = self._var(0.0)
                self.offsets.append((aux, wire, upper, lower))
                for one, other in ((upper, lower), (lower, upper)):
                    self._least(aux, self.point[one], self.point[other])
        self._separate(wish)
        self._rooms(rooms)

    def _var(self, cost: float, low: float = 0.0, high: float | None = None) -> int:
        self.cost.append(cost)
        self.low.append(low)
        self.high.append(high)
        return len(self.cost) - 1

    def _least(self, aux: int, one: tuple[int, float], other: tuple[int, float]) -> None:
        """aux >= one - other."""
        self.lines.append(([one[0], other[0], aux], [1.0, -1.0, -1.0], other[1] - one[1]))

    def apart(self, one: tuple[int, float], other: tuple[int, float], gap: float) -> None:
        """other >= one + gap."""
        if one[0] != other[0] or other[1] < one[1] + gap:
            self.lines.append(([one[0], other[0]], [1.0, -1.0], other[1] - one[1] - gap))

    def _items(self) -> None:
        for item in range(self.frame.items):
            node = self.frame.node_of(item)
            held = self._held_var(item)
            if held is not None:
                half = node.width / 2 if node is not None else 0.0
                self.left.append((held, -half))
                self.right.append((held, half))
                for point in self.frame.points_at[item]:
                    self.point[point] = (held, 0.0)
                continue
            var = self._var(0.0, 0.0 if node is not None else OWN)
            if node is None:
                self.left.append((var, 0.0))
                self.right.append((var, 0.0))
                for point in self.frame.points_at[item]:
                    self.point[point] = (var, 0.0)
                continue
            self.left.append((var, 0.0))
            if node.shape == "box":
                self.right.append((var, node.width))
                for point in self.frame.points_at[item]:
                    self.point[point] = (var, port_at(self.frame, self.rows, point))
                continue
            end = self._var(BAR_LENGTH)
            self.cost[var] -= BAR_LENGTH
            self.right.append((end, 0.0))
            self.apart((var, 0.0), (end, 0.0), node.width)
            rooms = {port.name: port.room for port in node.ports}
            for side in self.sides[item]:
                last = None
                for point in side:
                    half = rooms.get(self.frame.points[point].port, 0.0) / 2
                    self.point[point] = (self._var(0.0), 0.0)
                    self.apart((var, 0.0), self.point[point], half)
                    self.apart(self.point[point], (end, 0.0), half)
                    if last is not None:
                        self.apart(self.point[last[0]], self.point[point], max(PITCH, last[1] + half))
                    last = (point, half)

    def _held_var(self, item: int) -> int | None:
        """Where an item stands that is held across the page; further right only where what is left of it finds no room, and that much lacks."""
        of = self.frame.node_of(item) or self.frame.graph.nodes[self.frame.wires[self.frame.points[self.frame.points_at[item][0]].wire].upper.node]
        if of.held_mm is None:
            return None
        if of.held_mm not in self.held:
            self.held[of.held_mm] = self._var(0.0, of.held_mm)
            self.lines.append(([self.held[of.held_mm], self.over], [1.0, -1.0], of.held_mm))
        return self.held[of.held_mm]

    def reach(self, item: int) -> tuple[int, float]:
        """The right edge with what is printed right of a bar."""
        var, const = self.right[item]
        node = self.frame.node_of(item)
        return var, const + (node.right + BAR_TEXT if node is not None and node.right else 0.0)

    def _separate(self, wish: Wish) -> None:
        shared = set(wish.shared)
        for row in self.rows.rows:
            for one, other in zip(row, row[1:], strict=False):
                if (one, other) in shared:
                    first, second = self.frame.points_at[one][0], self.frame.points_at[other][0]
                    self.apart(self.point[first], self.point[second], PITCH)
                    self.apart(self.point[second], self.point[first], -MERGE)
                    continue
                self.apart(self.reach(one), self.left[other], self.gap(one, other))
            if row:
                for item in row:
                    var, const = self.reach(item)
                    margin = OWN if self.frame.node_of(item) is None else 0.0
                    self.lines.append(([var, self.over], [1.0, -1.0], self.width - margin - const))
            for below in (False, True):
                points = [point for item in row for point in self.sides[item][below]]
                for one, other in zip(points, points[1:], strict=False):
                    if self.frame.points[one].item != self.frame.points[other].item:
                        self.apart(self.point[one], self.point[other], PITCH)
        for ref, other_ref, gap in wish.apart:
            self.apart(self._at(ref), self._at(other_ref), gap)
        for one, other in wish.even:
            self.apart(self.point[one], self.point[other], 0.0)
            self.apart(self.point[other], self.point[one], 0.0)

    def _at(self, ref: Ref) -> tuple[int, float]:
        what, number, more = ref
        var, const = self.point[number] if what == "point" else self.left[number] if what == "left" else self.reach(number)
        return var, const + more

    def gap(self, one: int, other: int) -> float:
        """Between the right edge of one and the left edge of the other."""
        a, b = self.frame.node_of(one), self.frame.node_of(other)
        if a is None and b is None:
            return PITCH
        if a is None or b is None:
            return BAR_LINE if (a or b).shape == "bar" else BOX_LINE  # type: ignore[union-attr]
        return BOX_BOX

    def _rooms(self, rooms: Sequence[Sequence[float]]) -> None:
        """Softly keeps room right of each wire's upper end for its label."""
        first = {way[0] for way in self.frame.points_of}
        for row in self.rows.rows:
            points = [point for item in row for point in self.sides[item][1]]
            for one, other in zip(points, points[1:], strict=False):
                if one not in first:
                    continue
                for wide, cost in zip(rooms[self.frame.points[one].wire], ROOM_COST, strict=False):
                    (v1, c1), (v2, c2) = self.point[one], self.point[other]
                    if v1 != v2 and wide:
                        aux = self._var(cost)
                        self.lines.append(([v1, v2, aux], [1.0, -1.0, -1.0], c2 - c1 - wide - OWN - FOREIGN))

    def solve(self, weights: Mapping[int, float], equal: Sequence[tuple[int, int]] = ()) -> list[float] | None:
        """Values of all variables with these weights of the offsets, and these points at one x; None where that cannot be."""
        import numpy as np
        from scipy.optimize import linprog
        from scipy.sparse import csc_array

        cost = np.array(self.cost)
        for aux, weight in weights.items():
            cost[aux] = weight
        r = [row for row, (columns, _, _) in enumerate(self.lines) for _ in columns]
        c = [column for columns, _, _ in self.lines for column in columns]
        v = [value for _, values, _ in self.lines for value in values]
        a = csc_array((v, (r, c)), shape=(len(self.lines), len(cost)))
        b = [at for _, _, at in self.lines]
        eq, at = None, None
        pairs = [(one, other) for one, other in equal if self.point[one][0] != self.point[other][0]]
        if pairs:
            eq = csc_array(([1.0, -1.0] * len(pairs), ([row for row in range(len(pairs)) for _ in (0, 1)],
                            [self.point[point][0] for pair in pairs for point in pair])), shape=(len(pairs), len(cost)))
            at = [self.point[other][1] - self.point[one][1] for one, other in pairs]
        found = linprog(cost, A_ub=a, b_ub=b, A_eq=eq, b_eq=at, bounds=list(zip(self.low, self.high, strict=True)), method="highs-ds")
        return None if found.x is None else found.x.tolist()

    def value(self, found: Sequence[float], at: tuple[int, float]) -> float:
        return found[at[0]] + at[1]


def port_at(frame: Frame, rows: Rows, point: int) -> float:
    """From the left edge of a box as it stands to this point."""
    of = frame.points[point]
    node = frame.nodes[of.item]
    at = next(port.at for port in node.ports if port.name == of.port) or 0.0
    return node.width - at if rows.mirrored[of.item] else at


def point_order(frame: Frame, rows: Rows) -> list[tuple[list[int], list[int]]]:
    """For each item its points above and below from left to right: of bars and units as their wires come."""
    sorter = Sorter(frame)
    sorter.take(rows.rows, rows.mirrored)
    keys = sorter.keys()
    far: dict[int, list[float]] = {}
    for channel in frame.pieces:
        for _, upper, lower in channel:
            far.setdefault(upper, []).append(float(keys[lower]))
            far.setdefault(lower, []).append(float(keys[upper]))
    sides: list[tuple[list[int], list[int]]] = []
    for item in range(frame.items):
        node = frame.node_of(item)
        points = frame.points_at[item]
        above = [point for point in points if frame.points[point].above]
        below = [point for point in points if frame.points[point].below]
        if node is not None and node.shape == "box":
            for side in (above, below):
                side.sort(key=lambda point: keys[point])
        elif node is not None:
            for side in (above, below):
                side.sort(key=lambda point: (far[point][0] if point in far else 1e9, point))
        sides.append((above, below))
    return sides


def across(frame: Frame, rows: Rows, width: float, rooms: Sequence[Sequence[float]], wish: Wish | None = None, *, rounds: int = ROUNDS) -> Across:
    """x of everything. A narrow picture stands in the middle. rooms: for each wire the widths of its label, in two lines, in one, and with air."""
    wish = wish or Wish()
    program = Program(frame, rows, width, rooms, wish)
    weights = {aux: frame.wires[wire].weight for aux, wire, _, _ in program.offsets}
    found = program.solve(weights)
    if found is None:   # what was asked for contradicts the order of the rows
        return Across((), (), (), float("inf"))
    for turn in range(rounds):
        offs = [(aux, wire, abs(program.value(found, program.point[upper]) - program.value(found, program.point[lower])))
                for aux, wire, upper, lower in program.offsets]
        if turn < rounds - 1:
            weights = {aux: 10.0 / (off + 0.25) * min(1.0, frame.wires[wire].weight) for aux, wire, off in offs}
        else:
            weights = {aux: 300.0 if off < SNAP else 3.0 for aux, wire, off in offs}
        found = program.solve(weights) or found
    found = _clear_taps(program, weights, found)
    value = program.value
    over = max(0.0, found[program.over])
    shift = 0.0
    if over == 0.0 and program.left and all(node.held_mm is None for node in frame.nodes):
        first = min(value(found, at) for at in program.left)
        shift = (width - max(value(found, program.reach(item)) for item in range(frame.items)) - first) / 2
    return Across(tuple(value(found, at) + shift for at in program.point), tuple(value(found, at) + shift for at in program.left),
                  tuple(value(found, at) + shift for at in program.right), over)


def _clear_taps(program: Program, weights: Mapping[int, float], found: list[float]) -> list[float]:
    """Taps of a bar from above and from below stand at one x or clearly apart."""
    equal: list[tuple[int, int]] = []
    tried: set[tuple[int, int]] = set()
    for _ in range(6):
        near = []
        for item, node in enumerate(program.frame.nodes):
            if node.shape != "bar":
                continue
            for one in program.sides[item][0]:
                for other in program.sides[item][1]:
                    a, b = program.value(found, program.point[one]), program.value(found, program.point[other])
                    if EVEN < abs(a - b) < BAR_LINE - EVEN:
                        near.append((one, other, a, b))
        if not near:
            return found
        fresh = [(one, other) for one, other, a, b in near if abs(a - b) < BAR_LINE / 2 and (one, other) not in tried]
        tried.update(fresh)
        solved = program.solve(weights, [*equal, *fresh]) if fresh else None
        if solved is not None and solved[program.over] < found[program.over] + 1.0:
            equal += fresh
        else:
            for one, other, a, b in near:
                if (one, other) in equal:
                    continue
                first, second = (one, other) if a < b else (other, one)
                program.apart(program.point[first], program.point[second], BAR_LINE)
            solved = program.solve(weights, equal)
        if solved is None:
            return found
        found = solved
    return found
