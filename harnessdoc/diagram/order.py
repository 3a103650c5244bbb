"""Who stands left of whom in each row: barycentre sweeps, then sifting under a true count of crossings.

Takes a Frame; gives Rows. Ports of bars and units stand in any order, so their wires
do not cross each other at them. For one row between two fixed neighbours
the crossings of every pair (i left of j) are one matrix, and moving an item along the row
is a running sum over it: a sweep over a page takes milliseconds.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .frame import Frame
from .placed import Order

if TYPE_CHECKING:
    import numpy as np

TURN = 0.45
"""Crossings that equal parts out of natural order count for."""
NEAR = 0.02
"""What standing on the wrong side of a neighbour's centre of gravity counts for: less than any crossing."""
SWEEPS = 12
BEST = 4
"""So many of the best orders are worked on further."""
MOVES = 10
"""Groups moved, for each start."""
POLISHED = 12
PERFECT = 0.6
"""An order of this score has no crossing and nothing out of its order."""


@dataclass(frozen=True, slots=True)
class Rows:
    """The items of each row from left to right, and which boxes are mirrored."""

    rows: tuple[tuple[int, ...], ...]
    mirrored: tuple[bool, ...]


class Sorter:
    """Working copy of the rows of one frame."""

    def __init__(self, frame: Frame) -> None:
        import numpy as np

        self.np = np
        self.frame = frame
        count = frame.items
        self.rows: list[list[int]] = [[] for _ in range(frame.levels)]
        self.mirrored = [False] * count
        self.pos = np.zeros(count)
        share = np.full(len(frame.points), 0.5)
        self.rigid = np.zeros(len(frame.points), dtype=bool)
        for number, point in enumerate(frame.points):
            node = frame.node_of(point.item)
            if node is not None and node.shape == "box":
                at = next(port.at for port in node.ports if port.name == point.port)
                share[number] = 0.1 + 0.8 * (at or 0.0) / max(node.width, 1e-6)
                self.rigid[number] = True
        self.share = share
        self.item_of = np.array([point.item for point in frame.points], dtype=int)
        self.upper = [np.array([piece[1] for piece in channel], dtype=int) for channel in frame.pieces]
        self.lower = [np.array([piece[2] for piece in channel], dtype=int) for channel in frame.pieces]
        self.slot = np.zeros(count, dtype=int)
        self.turns = self._turns()

    def _turns(self) -> dict[tuple[int, int], float]:
        """(i, j) -> cost of i left of j, for equal parts out of natural order."""
        kinds: dict[tuple[str, int], list[int]] = {}
        for number, node in enumerate(self.frame.nodes):
            if node.turn and node.kind:
                kinds.setdefault((node.kind, self.frame.level[number]), []).append(number)
        costs = {}
        for members in kinds.values():
            for i in members:
                for j in members:
                    if natural(self.frame.nodes[i].turn) > natural(self.frame.nodes[j].turn):
                        costs[i, j] = TURN
        return costs

    def take(self, rows: Sequence[Sequence[int]], mirrored: Sequence[bool] | None = None) -> None:
        self.rows = [list(row) for row in rows]
        if mirrored is not None:
            self.mirrored = list(mirrored)
        for row in self.rows:
            self._number(row)

    def give(self) -> Rows:
        return Rows(tuple(map(tuple, self.rows)), tuple(self.mirrored))

    def _number(self, row: list[int]) -> None:
        for place, item in enumerate(row):
            self.pos[item] = place

    def keys(self) -> np.ndarray:
        """Where each point stands along its row, in ranks."""
        np = self.np
        flip = np.array(self.mirrored)[self.item_of]
        return self.pos[self.item_of] + np.where(flip, 1.0 - self.share, self.share)

    def crossings_at(self, channel: int, keys: np.ndarray) -> int:
        np = self.np
        u, v = keys[self.upper[channel]], keys[self.lower[channel]]
        return int(np.count_nonzero(np.subtract.outer(u, u) * np.subtract.outer(v, v) < -1e-9)) // 2

    def crossings(self) -> int:
        keys = self.keys()
        return sum(self.crossings_at(channel, keys) for channel in range(len(self.upper)))

    def disorder(self) -> float:
        """Equal parts out of natural order, as crossings."""
        return sum(cost for (i, j), cost in self.turns.items() if self.pos[i] < self.pos[j])

    def spans(self) -> float:
        """How far pieces reach sideways, as shares of their rows: shorter is better among equals."""
        np = self.np
        keys = self.keys()
        size = np.array([max(len(row), 1) for row in self.rows])
        total = 0.0
        for channel in range(len(self.upper)):
            total += float(np.abs((keys[self.upper[channel]]) / size[channel] - keys[self.lower[channel]] / size[channel + 1]).sum())
        return total

    def score(self) -> float:
        return self.crossings() + self.disorder() + 0.1 * self.spans() + 0.4 * self._apart()

    def _apart(self) -> int:
        """Nodes of one tie that do not stand side by side."""
        where: dict[str, list[int]] = {}
        for number, node in enumerate(self.frame.nodes):
            if node.tie:
                where.setdefault(node.tie, []).append(int(self.pos[number]))
        return sum(max(places) - min(places) + 1 - len(places) for places in where.values())

    def _neighbours(self, row: int, down: bool, up: bool) -> tuple[np.ndarray, np.ndarray]:
        """(items of the row at which pieces end, where their other ends stand as a share of that row)."""
        np = self.np
        keys = self.keys()
        mine, other = [], []
        if up and row > 0:
            mine.append(self.item_of[self.lower[row - 1]])
            other.append(keys[self.upper[row - 1]] / max(len(self.rows[row - 1]), 1))
        if down and row < len(self.upper):
            mine.append(self.item_of[self.upper[row]])
            other.append(keys[self.lower[row]] / max(len(self.rows[row + 1]), 1))
        if not mine:
            return np.zeros(0, dtype=int), np.zeros(0)
        return np.concatenate(mine), np.concatenate(other)

    def barycentre(self, row: int, *, down: bool, up: bool) -> None:
        """Sorts a row by the centres of gravity of its neighbours; what has none stays where it was."""
        mine, other = self._neighbours(row, down, up)
        total: dict[int, list[float]] = {}
        for item, place in zip(mine.tolist(), other.tolist(), strict=True):
            total.setdefault(item, []).append(place)
        size = max(len(self.rows[row]), 1)
        centre = {item: sum(total[item]) / len(total[item]) if item in total else (self.pos[item] + 0.5) / size for item in self.rows[row]}
        self.rows[row].sort(key=lambda item: (centre[item], self.pos[item]))
        self._number(self.rows[row])

    def matrix(self, row: int) -> np.ndarray:
        """[i, j]: what it costs that the i-th item of this row stands left of the j-th."""
        np = self.np
        items = self.rows[row]
        count = len(items)
        self.slot[items] = np.arange(count)
        keys = self.keys()
        cost = np.zeros((count, count))
        weight, pull = np.zeros(count), np.zeros(count)
        for mine, other, size in self._sides(row):
            slots = self.slot[self.item_of[mine]]
            place = keys[other]
            hot = np.zeros((len(slots), count))
            hot[np.arange(len(slots)), slots] = 1.0
            cost += hot.T @ (np.subtract.outer(place, place) > 1e-9) @ hot
            pull += hot.T @ (place / size)
            weight += hot.sum(axis=0)
        held = weight > 0
        centre = np.where(held, pull / np.maximum(weight, 1), 0.0)
        both = np.outer(held, held)
        cost += NEAR * both * np.clip(np.subtract.outer(centre, centre) * 4, 0, 1)
        for (i, j), extra in self.turns.items():
            if self.frame.level[i] == row:
                cost[self.slot[i], self.slot[j]] += extra
        return cost

    def _sides(self, row: int) -> list[tuple[np.ndarray, np.ndarray, int]]:
        sides = []
        if row > 0:
            sides.append((self.lower[row - 1], self.upper[row - 1], max(len(self.rows[row - 1]), 1)))
        if row < len(self.upper):
            sides.append((self.upper[row], self.lower[row], max(len(self.rows[row + 1]), 1)))
        return sides

    def sift(self, row: int, free: frozenset[int] | None = None) -> bool:
        """Moves each item of a row to its cheapest place; True where something moved. Only ``free`` items move, where given."""
        items = self.rows[row]
        if len(items) < 2:
            return False
        better = sift(self.matrix(row), [free is None or item in free for item in items], self.np)
        if better is None:
            return False
        self.rows[row] = [items[slot] for slot in better]
        self._number(self.rows[row])
        return True

    def mirror(self) -> bool:
        """Mirrors each box that may be where its own wires then cross less, among themselves and with others."""
        changed = False
        keys = self.keys()
        for number, node in enumerate(self.frame.nodes):
            if not node.mirror or len(self.frame.points_at[number]) < 2:
                continue
            level = self.frame.level[number]
            channels = [channel for channel in (level - 1, level) if 0 <= channel < len(self.upper)]
            now = sum(self._weighed(channel, keys) for channel in channels)
            self.mirrored[number] = not self.mirrored[number]
            then_keys = self.keys()
            then = sum(self._weighed(channel, then_keys) for channel in channels)
            if then < now - 1e-9:
                changed, keys = True, then_keys
            else:
                self.mirrored[number] = not self.mirrored[number]
        return changed

    def _weighed(self, channel: int, keys: np.ndarray) -> float:
        """Crossings of a channel, and a little for pieces that lean."""
        span = self.np.abs(keys[self.upper[channel]] / len(self.rows[channel]) - keys[self.lower[channel]] / len(self.rows[channel + 1])).sum()
        return self.crossings_at(channel, keys) + 0.01 * float(span)

    def settle(self, sweeps: int = SWEEPS, free: frozenset[int] | None = None) -> None:
        """Sifts down and up until nothing moves, at most ``sweeps`` times."""
        for sweep in range(sweeps):
            order = range(len(self.rows)) if sweep % 2 == 0 else range(len(self.rows) - 1, -1, -1)
            moved = False
            for row in order:
                moved |= self.sift(row, free)
            moved |= self.mirror()
            if not moved:
                return

    def sweep(self, times: int = 4) -> None:
        """Barycentre sweeps down and up."""
        for _ in range(times):
            for row in range(1, len(self.rows)):
                self.barycentre(row, down=False, up=True)
            for row in range(len(self.rows) - 2, -1, -1):
                self.barycentre(row, down=True, up=False)
        self.mirror()


def sift(cost: np.ndarray, free: Sequence[bool], np) -> list[int] | None:  # type: ignore[no-untyped-def]
    """A cheaper order of 0..n-1 than that they are in, or None; cost[i, j]: i stands left of j."""
    count = len(free)
    gain = cost - cost.T
    order = list(range(count))
    changed = False
    for item in range(count):
        if not free[item]:
            continue
        at = order.index(item)
        rest = order[:at] + order[at + 1:]
        # running[k]: the cost of standing at place k, against standing first
        running = np.concatenate(([0.0], np.cumsum(-gain[item, rest])))
        best = int(np.argmin(running))
        if running[best] < running[at] - 1e-9:
            order = [*rest[:best], item, *rest[best:]]
            changed = True
    return order if changed else None


def natural(turn: tuple[str | int, ...]) -> tuple[tuple[int, int | str], ...]:
    """Sort key of a turn: numbers before words."""
    return tuple((0, part) if isinstance(part, int) else (1, part) for part in turn)


def electric_groups(frame: Frame) -> list[list[int]]:
    """Nodes joined by wires without splices, units and grounds, which come each by itself: what moves as one."""
    parent = list(range(len(frame.nodes)))

    def root(one: int) -> int:
        while parent[one] != one:
            parent[one] = parent[parent[one]]
            one = parent[one]
        return one

    loose = [node.shape == "bar" or (node.shape == "unit" and len(frame.points_at[number]) > 4) for number, node in enumerate(frame.nodes)]
    for wire in frame.wires:
        upper, lower = frame.index[wire.upper.node], frame.index[wire.lower.node]
        if not loose[upper] and not loose[lower]:
            parent[root(upper)] = root(lower)
    named: dict[str, int] = {}
    for number, node in enumerate(frame.nodes):
        if node.group and not loose[number]:
            parent[root(number)] = root(named.setdefault(node.group, number))
    groups: dict[int, list[int]] = {}
    for number in range(len(frame.nodes)):
        groups.setdefault(root(number), []).append(number)
    return list(groups.values())


def first_rows(frame: Frame, groups: Sequence[Sequence[int]]) -> list[list[int]]:
    """Rows with the groups in this order; a wire on its way stands between its ends."""
    place = [0.0] * frame.items
    for turn, group in enumerate(groups):
        for item in group:
            place[item] = float(turn)
    for way in frame.points_of:
        items = [frame.points[point].item for point in way]
        first, last = place[items[0]], place[items[-1]]
        for step, item in enumerate(items[1:-1], 1):
            place[item] = first + (last - first) * step / (len(items) - 1)
    rows: list[list[int]] = [[] for _ in range(frame.levels)]
    for item, level in enumerate(frame.level):
        rows[level].append(item)
    for row in rows:
        row.sort(key=lambda item: (place[item], item))
    return rows


def orders(frame: Frame, starts: int) -> list[tuple[float, Rows]]:
    """The orders that are found with ``starts`` starts, the best first.

    The first start is that of the description. Then, from the best ones, groups are taken out and put in elsewhere, and what
    is better is kept: a group has to leave as a whole, for its wires hold every part of it.
    """
    groups = electric_groups(frame)
    draw = random.Random(7)
    found: dict[Rows, float] = {}
    sorter = Sorter(frame)

    def keep() -> tuple[float, Rows]:
        rows = sorter.give()
        score = found.setdefault(rows, sorter.score())
        return score, rows

    for start in range(starts):
        shuffled = list(groups)
        if start:
            draw.shuffle(shuffled)
        sorter.take(first_rows(frame, shuffled), [False] * frame.items)
        if start % 2 == 0:
            sorter.sweep()
        sorter.settle()
        keep()
    if len(groups) > 2:
        inside = [_with_ways(frame, group) for group in groups]
        for score, rows in _sorted(found)[:BEST]:
            if score < PERFECT:
                break
            for _ in range(MOVES * starts // BEST):
                sorter.take(rows.rows, rows.mirrored)
                _move(sorter, inside[draw.randrange(len(inside))], draw.random())
                sorter.settle()
                score, rows = min((score, rows), keep(), key=lambda pair: pair[0])
    polished: dict[Rows, float] = {}
    for score, rows in _sorted(found)[:POLISHED]:
        sorter.take(rows.rows, rows.mirrored)
        score = polish(sorter, groups, score)
        polished.setdefault(sorter.give(), score)
    return _sorted(polished)


def _sorted(found: dict[Rows, float]) -> list[tuple[float, Rows]]:
    return sorted(((score, rows) for rows, score in found.items()), key=lambda pair: pair[0])


def polish(sorter: Sorter, groups: Sequence[Sequence[int]], score: float) -> float:
    """Exchanges equal groups that stand out of their natural order and gathers nodes of one tie, where that makes the score better; gives it."""
    for first, second in _equal_groups(sorter.frame, groups):
        if sorter.disorder() == 0:
            break
        score = _try(sorter, score, lambda rows, one=first, other=second: _exchanged(rows, one, other))
    for before, group in _in_turn(sorter.frame, groups):
        if sorter.disorder() == 0:
            break
        score = _try(sorter, score, lambda rows, before=before, group=group: _beside(rows, group, before))
    ties: dict[str, list[int]] = {}
    for number, node in enumerate(sorter.frame.nodes):
        if node.tie:
            ties.setdefault(node.tie, []).append(number)
    for members in ties.values():
        for anchor in members:
            row = sorter.rows[sorter.frame.level[anchor]]
            places = sorted(row.index(member) for member in members)
            if places[-1] - places[0] + 1 == len(places):
                break
            score = _try(sorter, score, lambda rows, anchor=anchor, members=members: _gathered(sorter.frame, rows, anchor, members))
    return score


def _try(sorter: Sorter, score: float, change: Callable[[list[list[int]]], list[list[int]]]) -> float:
    """Changes the rows and settles; takes it back where the score is no better."""
    was = sorter.give()
    sorter.take(change(sorter.rows))
    sorter.settle()
    now = sorter.score()
    if now < score - 1e-6:
        return now
    sorter.take(was.rows, was.mirrored)
    return score


def _equal_groups(frame: Frame, groups: Sequence[Sequence[int]]) -> list[tuple[list[int], list[int]]]:
    """Pairs of groups alike, each with the ways of all its wires, item facing item."""
    alike: dict[tuple[object, ...], list[list[int]]] = {}
    for group in groups:
        if not any(frame.nodes[item].turn for item in group):
            continue
        members = set(group)
        items = [(frame.level[item], 0, frame.nodes[item].kind, item) for item in group]
        for way in frame.points_of:
            ends = [frame.points[way[0]].item, frame.points[way[-1]].item]
            if members & set(ends):
                items += [(frame.level[item], 1, str(ends[0] in members), item) for item in (frame.points[point].item for point in way[1:-1])]
        items.sort()
        alike.setdefault(tuple(item[:3] for item in items), []).append([item[3] for item in items])
    return [(one, other) for of in alike.values() for number, one in enumerate(of) for other in of[number + 1:]]


def _in_turn(frame: Frame, groups: Sequence[Sequence[int]]) -> list[tuple[frozenset[int], frozenset[int]]]:
    """Groups that follow each other in the natural order of a kind, with the ways of all their wires."""
    found = []
    named = [(frame.nodes[item].kind, natural(frame.nodes[item].turn), number) for number, group in enumerate(groups)
             for item in group if frame.nodes[item].kind and frame.nodes[item].turn]
    named.sort(key=lambda entry: (entry[0], entry[1], entry[2]))
    whole = [_with_ways(frame, group, either=True) for group in groups]
    for (kind, _, one), (other_kind, _, other) in zip(named, named[1:], strict=False):
        if kind == other_kind and one != other:
            found.append((whole[one], whole[other]))
    return found


def _beside(rows: list[list[int]], group: frozenset[int], before: frozenset[int]) -> list[list[int]]:
    """The group put in right of another, row by row; where that has nothing, at the same share of the row."""
    shares = [(place + 1) / len(row) for row in rows for place, item in enumerate(row) if item in before]
    share = sum(shares) / len(shares)
    found = []
    for row in rows:
        moved = [item for item in row if item in group]
        rest = [item for item in row if item not in group]
        at = next((place + 1 for place in range(len(rest) - 1, -1, -1) if rest[place] in before), round(share * len(rest)))
        found.append([*rest[:at], *moved, *rest[at:]])
    return found


def _exchanged(rows: list[list[int]], one: Sequence[int], other: Sequence[int]) -> list[list[int]]:
    swap = {**dict(zip(one, other, strict=True)), **dict(zip(other, one, strict=True))}
    return [[swap.get(item, item) for item in row] for row in rows]


def _gathered(frame: Frame, rows: list[list[int]], anchor: int, members: Sequence[int]) -> list[list[int]]:
    """The members side by side about the anchor, in the order in which they stand."""
    found = [list(row) for row in rows]
    row = rows[frame.level[anchor]]
    together = [item for item in row if item in members]
    rest = [item for item in row if item not in members]
    at = sum(1 for item in row[:row.index(anchor)] if item not in members)
    found[frame.level[anchor]] = [*rest[:at], *together, *rest[at:]]
    return found


def from_before(frame: Frame, before: Order) -> tuple[float, Rows]:
    """The order of the picture before with its score: what is new stands at the centre of gravity of its neighbours, ways of wires where they cross least."""
    known = [node.id in before.ranks and before.levels.get(node.id) == frame.level[number] for number, node in enumerate(frame.nodes)]
    most = max(before.ranks.values(), default=0) + 1
    place = {number: before.ranks[node.id] / most for number, node in enumerate(frame.nodes) if known[number]}
    for _ in range(2):
        for number in range(len(frame.nodes)):
            if not known[number]:
                near = [place[end] for point in frame.points_at[number] if (wire := frame.points[point].wire) >= 0
                        for end in (frame.points[frame.points_of[wire][0]].item, frame.points[frame.points_of[wire][-1]].item) if end != number and end in place]
                place[number] = sum(near) / len(near) if near else 1.0
    rows = first_rows(frame, [[number] for number in sorted(place, key=lambda number: (place[number], number))])
    for level, row in enumerate(rows):
        nodes = iter(sorted((item for item in row if item < len(frame.nodes)), key=lambda item: (place[item], item)))
        rows[level] = [next(nodes) if item < len(frame.nodes) else item for item in row]
    sorter = Sorter(frame)
    sorter.take(rows, [False] * frame.items)
    sorter.mirror()
    sorter.settle(free=frozenset(item for item in range(frame.items) if item >= len(frame.nodes) or not known[item]))
    return sorter.score(), sorter.give()


def _with_ways(frame: Frame, group: Sequence[int], *, either: bool = False) -> frozenset[int]:
    """The nodes of a group and the places on the way of wires between them, or of all their wires."""
    members = set(group)
    for way in frame.points_of:
        items = [frame.points[point].item for point in way]
        if items[0] in group and items[-1] in group or either and (items[0] in group or items[-1] in group):
            members.update(items)
    return frozenset(members)


def _move(sorter: Sorter, group: frozenset[int], share: float) -> None:
    """Takes a group out of all rows and puts it in at this share of each."""
    rows = []
    for row in sorter.rows:
        moved = [item for item in row if item in group]
        rest = [item for item in row if item not in group]
        at = round(share * len(rest))
        rows.append([*rest[:at], *moved, *rest[at:]])
    sorter.take(rows)
