"""The order of the level stretches between two rows, from the top down.

Takes a Frame and x of its points; gives for each channel the pieces that step sideways, in order.
What two stretches cost each other depends only on which is above, so their order is
sifted under a matrix like that of a row: a crossing 1, two uprights on each other 100.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .frame import Frame
from .gaps import CLASH, EVEN
from .sorter import sift

OVERLAP = 100.0


@dataclass(frozen=True, slots=True)
class Track:
    """wire: its index; upper, lower: the points it joins; x1, x2: where it comes from above, where it leaves downward."""

    wire: int
    upper: int
    lower: int
    x1: float
    x2: float

    @property
    def left(self) -> float:
        return min(self.x1, self.x2)

    @property
    def right(self) -> float:
        return max(self.x1, self.x2)


@dataclass(frozen=True, slots=True)
class Channel:
    """tracks from the top down; straight: (wire, x, upper point) of the pieces without one; clashes: pairs that lie on each other whatever the order."""

    tracks: tuple[Track, ...]
    straight: tuple[tuple[int, float, int], ...]
    clashes: tuple[tuple[Track, Track], ...]


def channels(frame: Frame, x: Sequence[float]) -> tuple[Channel, ...]:
    """The channels below each row but the last."""
    import numpy as np

    found = []
    for channel in frame.pieces:
        tracks = [Track(wire, upper, lower, x[upper], x[lower]) for wire, upper, lower in channel if abs(x[upper] - x[lower]) > EVEN]
        straight = tuple((wire, x[upper], upper) for wire, upper, lower in channel if abs(x[upper] - x[lower]) <= EVEN)
        tracks.sort(key=lambda track: (track.x2 < track.x1, track.x1 if track.x2 < track.x1 else -track.x1))
        cost = np.array([[above(one, other) if one is not other else 0.0 for other in tracks] for one in tracks]).reshape(len(tracks), len(tracks))
        for _ in range(8):
            better = sift(cost, [True] * len(tracks), np) if len(tracks) > 1 else None
            if better is None:
                break
            tracks = [tracks[slot] for slot in better]
            cost = cost[np.ix_(better, better)]
        clashes = tuple((one, other) for number, one in enumerate(tracks) for other in tracks[number + 1:] if above(one, other) >= OVERLAP)
        found.append(Channel(tuple(tracks), straight, clashes))
    return tuple(found)


def above(one: Track, other: Track) -> float:
    """What it costs that one runs above the other: crossings, and uprights that lie on each other."""
    cost = 0.0
    if other.left < one.x2 < other.right:
        cost += 1
    if one.left < other.x1 < one.right:
        cost += 1
    if abs(one.x2 - other.x1) < CLASH:
        cost += OVERLAP
    return cost
