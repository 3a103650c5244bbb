"""The overview pressed onto a page: Graphviz says what stands above what, this says how far.

Takes an overview, the places that Graphviz gave its blocks, their least sizes, the column of each, and the room; gives places in that
room, or nothing where it does not go in. Blocks of a column are equally wide and stand in Graphviz's order, and so do the lines that pass it, each
on a lane of its own. Heights are found column by column: as near as order and gaps allow to where the lines would be straight (isotonic
regression: pool adjacent violators). A line leaves a block at its side, at a place of its own; two blocks of one column are
tied by a bracket beside it. Lengths in mm, y downward.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from .blocks import Link, Overview
from .dot import Places, Point, Size

APART, LANE, LANES = 3.0, 2.2, 2.6
"""Least room between two blocks of a column, between a block and a line that passes, and between two that pass."""
PORTS = 2.2
"""Between the places at which two lines leave a block on one side; a block is made higher for them."""
GAP, GAP_MOST = 12.0, 30.0
"""Between two columns, at least and at most."""
BRACKET = 2.4
"""How far a bracket stands out, and each further one beyond it."""
ROUNDS = 24

Item = tuple[str, int]
"""A block ("id", -1) or the lane of a link ("", its number)."""


def pressed(overview: Overview, placed: Places, sizes: Mapping[str, Size], columns: Mapping[str, int], room: Size) -> Places | None:
    """Places within ``room``; None where it is too small. ``sizes``: of each block at least."""
    return _Press(overview, placed, sizes, columns, room).result()


def in_turn(overview: Overview, sizes: Mapping[str, Size], columns: Mapping[str, int]) -> Places:
    """Blocks of a column below each other in the order of the overview: a start where Graphviz gives none."""
    used: dict[int, float] = {}
    blocks: dict[str, Point] = {}
    for id in overview.blocks:
        top = used.get(columns[id], 0.0)
        blocks[id] = (100.0 * columns[id], top)
        used[columns[id]] = top + sizes[id][1] + APART
    middle = {id: (x + sizes[id][0] / 2, y + sizes[id][1] / 2) for id, (x, y) in blocks.items()}
    lines = tuple((middle[link.upper], middle[link.lower]) for link in overview.links)
    return Places((100.0 * (1 + max(used, default=0)), max(used.values(), default=0.0)), blocks, lines, sizes)


@dataclass(slots=True)
class _Column:
    x: float
    width: float
    items: list[Item]
    y: list[float]
    """Middle of each item."""


class _Press:

    def __init__(self, overview: Overview, placed: Places, sizes: Mapping[str, Size], columns: Mapping[str, int], room: Size) -> None:
        self._overview, self._room = overview, room
        numbers = {column: number for number, column in enumerate(sorted(set(columns[id] for id in overview.blocks)))}
        self._column = {id: numbers[columns[id]] for id in overview.blocks}
        self._last = len(numbers) - 1
        self._brackets = [number for number, link in enumerate(overview.links) if self._column[link.upper] == self._column[link.lower]]
        self._size = self._sizes(sizes)
        self._columns = self._in_order(placed)
        self._at = {(index, item): place for index, column in enumerate(self._columns) for place, item in enumerate(column.items)}

    def _sizes(self, sizes: Mapping[str, Size]) -> dict[str, Size]:
        """As wide as the widest of the column, and so high that every line has its place."""
        widest = {column: max(sizes[id][0] for id in sizes if id in self._column and self._column[id] == column) for column in range(self._last + 1)}
        ends: dict[tuple[str, bool], int] = {}
        for number, link in enumerate(self._overview.links):
            for id, is_right in self._sides(number, link):
                ends[id, is_right] = ends.get((id, is_right), 0) + 1
        return {id: (widest[self._column[id]], max(sizes[id][1], PORTS * max(ends.get((id, side), 0) for side in (False, True)))) for id in self._overview.blocks}

    def _sides(self, number: int, link: Link) -> Iterator[tuple[str, bool]]:
        """At which side of its two blocks a link ends: True is right."""
        upper, lower = self._column[link.upper], self._column[link.lower]
        if upper == lower:
            side = upper < self._last or self._last == 0
            yield from ((link.upper, side), (link.lower, side))
        else:
            yield from ((link.upper, upper < lower), (link.lower, lower < upper))

    def _passed(self, link: Link) -> range:
        low, high = sorted((self._column[link.upper], self._column[link.lower]))
        return range(low + 1, high)

    def _in_order(self, placed: Places) -> list[_Column]:
        middle = {id: (x, y + self._size[id][1] / 2) for id, (x, y) in placed.blocks.items()}
        found = []
        for index in range(self._last + 1):
            blocks = [id for id in self._overview.blocks if self._column[id] == index]
            x = sum(middle[id][0] for id in blocks) / len(blocks) + self._size[blocks[0]][0] / 2
            stand = [((id, -1), middle[id][1]) for id in blocks]
            stand += [(("", number), _height_at(placed.lines[number], x)) for number, link in enumerate(self._overview.links) if index in self._passed(link)]
            stand.sort(key=lambda one: (one[1], one[0]))
            scale = min(1.0, self._room[1] / placed.size[1]) if placed.size[1] else 1.0
            found.append(_Column(0.0, self._size[blocks[0]][0], [item for item, _ in stand], [y * scale for _, y in stand]))
        return found

    # ------------------------------------------------------------------------ heights

    def _high(self, item: Item) -> float:
        return self._size[item[0]][1] if item[1] < 0 else 0.0

    def _steps(self, column: _Column) -> list[float]:
        """From the middle of each item to the next, at least."""
        found = []
        for one, other in zip(column.items, column.items[1:], strict=False):
            lanes = (one[1] >= 0) + (other[1] >= 0)
            found.append((self._high(one) + self._high(other)) / 2 + (APART, LANE, LANES)[lanes])
        return found

    def _fits(self) -> bool:
        wide = sum(column.width for column in self._columns) + GAP * self._last + self._outside()
        return wide <= self._room[0] and all(self._needs(column) <= self._room[1] for column in self._columns)

    def _outside(self) -> float:
        """Room for brackets where there is one column alone: elsewhere they stand in a gap."""
        return BRACKET * (len(self._brackets) + 1) if self._last == 0 else 0.0

    def _needs(self, column: _Column) -> float:
        return sum(self._steps(column)) + (self._high(column.items[0]) + self._high(column.items[-1])) / 2

    def _settle(self) -> None:
        """Every column set to where its lines would be straight, over and over."""
        wanted = [list(column.y) for column in self._columns]
        for _ in range(ROUNDS):
            for index, column in enumerate(self._columns):
                if _ == 0:
                    goal, weights = wanted[index], [1.0] * len(column.items)
                else:
                    goal, weights = self._goals(index)
                column.y = _ordered(goal, weights, self._steps(column), self._high(column.items[0]) / 2, self._room[1] - self._high(column.items[-1]) / 2)

    def _goals(self, index: int) -> tuple[list[float], list[float]]:
        """Where each item of a column would be best, and how much it counts."""
        column = self._columns[index]
        sums, counts = [0.0] * len(column.items), [0.0] * len(column.items)
        for number, link in enumerate(self._overview.links):
            way = self._way(number, link)
            for one, other in zip(way, way[1:], strict=False):
                for (at, item), (far, its) in ((one, other), (other, one)):
                    if at == index:
                        place = self._at[at, item]
                        offset = self._offset(number, item) - self._offset(number, its)
                        sums[place] += self._columns[far].y[self._at[far, its]] - offset
                        counts[place] += 1.0
        return [total / count if count else y for total, count, y in zip(sums, counts, column.y, strict=True)], [max(count, 0.3) for count in counts]

    def _way(self, number: int, link: Link) -> list[tuple[int, Item]]:
        """Column and item at each column a link comes by, from its upper block to its lower."""
        here, there = self._column[link.upper], self._column[link.lower]
        passed = [(index, ("", number)) for index in self._passed(link)]
        return [(here, (link.upper, -1)), *(passed if here < there else passed[::-1]), (there, (link.lower, -1))]

    def _offset(self, number: int, item: Item) -> float:
        """From the middle of a block to where a link leaves it; 0 of a lane."""
        return self._ports[item[0], number] if item[1] < 0 else 0.0

    def _share_ports(self) -> None:
        """Every line has its place at the side of its block, in the order of where it goes next."""
        ends: dict[tuple[str, bool], list[tuple[float, int]]] = {}
        for number, link in enumerate(self._overview.links):
            way = self._way(number, link)
            for (id, is_right), (far, item) in zip(self._sides(number, link), (way[1], way[-2]), strict=True):
                ends.setdefault((id, is_right), []).append((self._columns[far].y[self._at[far, item]], number))
        self._ports = {}
        for (id, _), leaving in ends.items():
            pitch = self._size[id][1] / (len(leaving) + 1) if len(leaving) * PORTS < self._size[id][1] - PORTS else self._size[id][1] / len(leaving)
            for place, (_, number) in enumerate(sorted(leaving)):
                self._ports[id, number] = (place - (len(leaving) - 1) / 2) * pitch

    # ------------------------------------------------------------------------ the result

    def result(self) -> Places | None:
        if not self._fits():
            return None
        self._ports: dict[tuple[str, int], float] = {(end, number): 0.0 for number, link in enumerate(self._overview.links) for end in (link.upper, link.lower)}
        self._settle()
        self._share_ports()
        self._settle_again()
        self._share_ports()
        gap = min(GAP_MOST, (self._room[0] - sum(column.width for column in self._columns) - self._outside()) / self._last) if self._last else 0.0
        x = 0.0
        for column in self._columns:
            column.x = x
            x += column.width + gap
        top = min(y - self._high(item) / 2 for column in self._columns for item, y in zip(column.items, column.y, strict=True))
        bottom = max(y + self._high(item) / 2 for column in self._columns for item, y in zip(column.items, column.y, strict=True))
        for column in self._columns:
            column.y = [y - top for y in column.y]
        blocks = {id: (self._columns[self._column[id]].x, self._y(id) - self._size[id][1] / 2) for id in self._overview.blocks}
        return Places((x - gap + self._outside(), bottom - top), blocks, tuple(self._lines()), self._size)

    def _settle_again(self) -> None:
        for _ in range(ROUNDS // 2):
            for index, column in enumerate(self._columns):
                goal, weights = self._goals(index)
                column.y = _ordered(goal, weights, self._steps(column), self._high(column.items[0]) / 2, self._room[1] - self._high(column.items[-1]) / 2)

    def _y(self, id: str) -> float:
        index = self._column[id]
        return self._columns[index].y[self._at[index, (id, -1)]]

    def _lines(self) -> Iterator[tuple[Point, ...]]:
        out = {number: (place + 1) * BRACKET for place, number in enumerate(sorted(self._brackets, key=self._reach))}
        for number, link in enumerate(self._overview.links):
            ends = []
            for id, is_right in self._sides(number, link):
                column = self._columns[self._column[id]]
                ends.append((column.x + (column.width if is_right else 0.0), self._y(id) + self._ports[id, number]))
            if number in out:
                side = out[number] if next(self._sides(number, link))[1] else -out[number]
                yield (ends[0], (ends[0][0] + side, ends[0][1]), (ends[1][0] + side, ends[1][1]), ends[1])
                continue
            points = [ends[0]]
            for index, item in self._way(number, link)[1:-1]:
                column = self._columns[index]
                y = column.y[self._at[index, item]]
                sides = (column.x, column.x + column.width)
                points += [(x, y) for x in (sides if points[-1][0] < column.x else sides[::-1])]
            yield (*points, ends[1])

    def _reach(self, number: int) -> float:
        link = self._overview.links[number]
        return abs(self._y(link.upper) - self._y(link.lower))


def _height_at(line: Sequence[Point], x: float) -> float:
    """Where a line is at x; at its nearer end where it does not come by."""
    for (ax, ay), (bx, by) in zip(line, line[1:], strict=False):
        if min(ax, bx) <= x <= max(ax, bx) and ax != bx:
            return ay + (by - ay) * (x - ax) / (bx - ax)
    return min((line[0], line[-1]), key=lambda point: abs(point[0] - x))[1]


def _ordered(wanted: Sequence[float], weights: Sequence[float], steps: Sequence[float], low: float, high: float) -> list[float]:
    """The places nearest to those wanted (least squares) that keep their order with the steps between them, from low to high."""
    shift = [0.0]
    for step in steps:
        shift.append(shift[-1] + step)
    pools: list[list[float]] = []     # mean, weight, count
    for one, weight, by in zip(wanted, weights, shift, strict=True):
        pools.append([one - by, weight, 1])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            mean, heavy, count = pools.pop()
            before = pools[-1]
            before[0] = (before[0] * before[1] + mean * heavy) / (before[1] + heavy)
            before[1] += heavy
            before[2] += count
    most = high - shift[-1]
    return [min(max(mean, low), most) + by for (mean, by) in zip((pool[0] for pool in pools for _ in range(int(pool[2]))), shift, strict=True)]


def crossings(places: Places) -> int:
    """How often two lines cross."""
    pieces = [[(a, b) for a, b in zip(line, line[1:], strict=False)] for line in places.lines]
    return sum(_cross(*one, *other) for number, its in enumerate(pieces) for other_its in pieces[:number] for one in its for other in other_its)


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
