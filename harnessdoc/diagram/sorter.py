"""Who stands left of whom: the rows of a page, moved to and fro under a true count of crossings.

Takes a Frame; gives Rows. Ports of bars and units stand in any order, so their wires
do not cross each other at them. For one row between two fixed neighbours
the crossings of every pair (i left of j) are one matrix, and moving an item along the row
is a running sum over it. What a row becomes depends on itself and its two neighbours alone, so
nothing is reckoned twice: a sweep over a page whose rows stand as they have stood before is a few look-ups.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .frame import Frame

if TYPE_CHECKING:
    import numpy as np

TURN = 0.45
"""Crossings that equal parts out of natural order count for."""
NEAR = 0.02
"""What standing on the wrong side of a neighbour's centre of gravity counts for: less than any crossing."""
SWEEPS = 12
DIGITS = 9
"""Sums are rounded to so many decimals before they are compared: processors add in different orders."""


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
        self.mirrored = np.zeros(count, dtype=bool)
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
        self._may_turn: list[list[int]] = [[] for _ in range(frame.levels)]
        for number, node in enumerate(frame.nodes):
            if node.mirror:
                self._may_turn[frame.level[number]].append(number)
        self._state = [-1] * frame.levels
        self._states: dict[tuple[int, bytes, bytes], int] = {}
        self._sifted: dict[tuple[int, int, int, int, frozenset[int] | None], list[int] | None] = {}
        self._channels: dict[tuple[int, int, int], tuple[int, float]] = {}

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
            self.mirrored[:] = mirrored
        for row in range(len(self.rows)):
            self._number(row)

    def give(self) -> Rows:
        return Rows(tuple(map(tuple, self.rows)), tuple(self.mirrored.tolist()))

    def _number(self, row: int) -> None:
        self.pos[self.rows[row]] = self.np.arange(len(self.rows[row]))
        self._state[row] = -1

    def _state_of(self, row: int) -> int:
        """A number for how a row stands: its items in order, and which are mirrored; -1 outside the page."""
        if not 0 <= row < len(self.rows):
            return -1
        if self._state[row] < 0:
            key = (row, self.np.array(self.rows[row], dtype=int).tobytes(), self.mirrored[self._may_turn[row]].tobytes())
            self._state[row] = self._states.setdefault(key, len(self._states))
        return self._state[row]

    def keys(self) -> np.ndarray:
        """Where each point stands along its row, in ranks."""
        return self.keys_of(slice(None))

    def keys_of(self, points: np.ndarray | slice) -> np.ndarray:
        """The same of some points."""
        item, share = self.item_of[points], self.share[points]
        return self.pos[item] + self.np.where(self.mirrored[item], 1.0 - share, share)

    def _channel(self, channel: int) -> tuple[int, float]:
        """(crossings of a channel, how far its pieces reach sideways as shares of their rows)."""
        key = (channel, self._state_of(channel), self._state_of(channel + 1))
        if key not in self._channels:
            np = self.np
            u, v = self.keys_of(self.upper[channel]), self.keys_of(self.lower[channel])
            crossed = int(np.count_nonzero(np.subtract.outer(u, u) * np.subtract.outer(v, v) < -1e-9)) // 2
            span = float(np.abs(u / max(len(self.rows[channel]), 1) - v / max(len(self.rows[channel + 1]), 1)).sum())
            self._channels[key] = crossed, round(span, DIGITS)
        return self._channels[key]

    def crossings(self) -> int:
        return sum(self._channel(channel)[0] for channel in range(len(self.upper)))

    def disorder(self) -> float:
        """Equal parts out of natural order, as crossings."""
        return sum(cost for (i, j), cost in self.turns.items() if self.pos[i] < self.pos[j])

    def spans(self) -> float:
        """How far pieces reach sideways, as shares of their rows: shorter is better among equals."""
        return sum(self._channel(channel)[1] for channel in range(len(self.upper)))

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
        self._number(row)

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
            pull += np.bincount(slots, place / size, count)
            weight += np.bincount(slots, minlength=count)
        held = weight > 0
        centre = np.where(held, pull / np.maximum(weight, 1), 0.0)
        both = np.outer(held, held)
        cost += np.round(NEAR * both * np.clip(np.subtract.outer(centre, centre) * 4, 0, 1), DIGITS)
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
        key = (row, self._state_of(row - 1), self._state_of(row), self._state_of(row + 1), free)
        if key not in self._sifted:
            self._sifted[key] = sift(self.matrix(row), [free is None or item in free for item in items], self.np)
        better = self._sifted[key]
        if better is None:
            return False
        self.rows[row] = [items[slot] for slot in better]
        self._number(row)
        return True

    def mirror(self, free: frozenset[int] | None = None) -> bool:
        """Mirrors each box that may be where its own wires then cross less, among themselves and with others. Only ``free`` ones, where given."""
        changed = False
        for number, node in enumerate(self.frame.nodes):
            if not node.mirror or len(self.frame.points_at[number]) < 2 or (free is not None and number not in free):
                continue
            level = self.frame.level[number]
            channels = [channel for channel in (level - 1, level) if 0 <= channel < len(self.upper)]
            now = sum(self._weighed(channel) for channel in channels)
            was = self._state[level]
            self._turn(number)
            if sum(self._weighed(channel) for channel in channels) < now - 1e-9:
                changed = True
            else:
                self._turn(number)
                self._state[level] = was
        return changed

    def _turn(self, number: int) -> None:
        self.mirrored[number] = not self.mirrored[number]
        self._state[self.frame.level[number]] = -1

    def _weighed(self, channel: int) -> float:
        """Crossings of a channel, and a little for pieces that lean."""
        crossed, span = self._channel(channel)
        return crossed + 0.01 * span

    def settle(self, sweeps: int = SWEEPS, free: frozenset[int] | None = None) -> None:
        """Sifts down and up until nothing moves, at most ``sweeps`` times."""
        for sweep in range(sweeps):
            order = range(len(self.rows)) if sweep % 2 == 0 else range(len(self.rows) - 1, -1, -1)
            moved = False
            for row in order:
                moved |= self.sift(row, free)
            moved |= self.mirror(free)
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
