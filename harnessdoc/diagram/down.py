"""Where everything stands down the page: any two things whose x ranges meet keep their order, with a gap.

Takes a Frame, the x of everything, the channels and the labels; gives a Stack: the things with their rectangles and who
is pushed down by whom. The height at which each can stand at the earliest is the longest path to it, found in
one pass in the order of the rows; what lies on the longest path of all is what makes the page too tall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .across import Across
from .channels import Channel
from .frame import Frame
from .gaps import BAR_TEXT, BOX_BOX, FOREIGN, LABEL_BOX, LABEL_LABEL, LINE_LINE, OWN

if TYPE_CHECKING:
    import numpy as np

BOX, BAR, NUMBER, TRACK, LABEL = range(5)
NEAR_X = (
    (2.0, 2.0, 1.0, 1.6, 1.0),
    (2.0, 2.4, 1.4, 1.6, 1.42),
    (1.0, 1.4, 1.2, 1.42, 1.2),
    (1.6, 1.6, 1.42, 1.6, 1.42),
    (1.0, 1.42, 1.2, 1.42, 1.2),
)
"""Two things whose x ranges come nearer than this are kept in order, by what they are."""
GAP_Y = (
    (BOX_BOX, LINE_LINE, 1.0, 2.0, LABEL_BOX),
    (LINE_LINE, 3.0, FOREIGN, LINE_LINE, FOREIGN),
    (1.0, FOREIGN, LABEL_LABEL, FOREIGN, LABEL_LABEL),
    (2.0, LINE_LINE, FOREIGN, LINE_LINE, FOREIGN),
    (LABEL_BOX, FOREIGN, LABEL_LABEL, FOREIGN, LABEL_LABEL),
)
"""The gap between them, one above the other."""


TIGHT = (
    (2.2, 1.75, 0.8, 1.7, 0.75),
    (1.75, 2.2, FOREIGN, 1.75, FOREIGN),
    (0.8, FOREIGN, 0.9, FOREIGN, 0.9),
    (1.7, 1.75, FOREIGN, 1.75, FOREIGN),
    (0.75, FOREIGN, 0.9, FOREIGN, 0.9),
)
"""The gaps of a page that is a little too tall; labels keep their distance from lines, for they are told from it."""

Gaps = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for a label of a wire.

    channel: the row above it; before: how many tracks of the channel lie above it; turn: order among labels there
    """

    wire: int
    shape: int
    channel: int
    before: int
    x: float
    w: float
    h: float
    last: bool
    turn: int = 0


@dataclass(slots=True)
class Stack:
    """owner numbers: items first, then tracks, then labels; tops and bottoms are offsets from the owner's y.

    order: owners from the top row down; edges: of each owner (lower, gap): y[lower] >= y[owner] + gap
    hung: (label, what it hangs below, what it stands above) on its wire; lead: the item whose y an item shares
    keys: the order of owners; rects: (left, right, top, bottom from the owner's y, kind, owner, wire); chains: for each wire
    what its uprights end at, from the top down; between: the gaps it was made with;
    floor: the least y of each, that nothing sticks out at the top
    """

    order: list[int]
    height: list[float]
    edges: list[list[tuple[int, float]]]
    track_at: dict[tuple[int, int], int]
    label_at: list[int]
    kinds: list[int]
    hung: list[tuple[int, int, int]]
    lead: list[int]
    keys: list[tuple[float, float, float]]
    rects: np.ndarray
    chains: list[list[int]]
    between: Gaps
    floor: list[float]

    def earliest(self) -> tuple[list[float], list[int]]:
        """(y of each owner as high as it goes, which owner holds it down or -1)."""
        count = len(self.height)
        y = list(self.floor)
        held = [-1] * count
        edges = self.edges
        for owner in self.order:
            at = y[owner]
            for lower, gap in edges[owner]:
                if at + gap > y[lower]:
                    y[lower] = at + gap
                    held[lower] = owner
        return y, held

    def latest(self) -> list[float]:
        """Of each owner the least height from its y down to the lowest end of what it pushes."""
        tail = list(self.height)
        for owner in reversed(self.order):
            best = tail[owner]
            for lower, gap in self.edges[owner]:
                if gap + tail[lower] > best:
                    best = gap + tail[lower]
            tail[owner] = best
        return tail

    def total(self, y: Sequence[float]) -> tuple[float, int]:
        """(the lowest end of all, whose it is)."""
        best, who = 0.0, -1
        for owner, at in enumerate(y):
            if at + self.height[owner] > best:
                best, who = at + self.height[owner], owner
        return best, who

    def critical(self) -> tuple[float, list[int]]:
        """(least height, the owners of the path that makes it, from the top)."""
        y, held = self.earliest()
        total, who = self.total(y)
        path = []
        while who >= 0:
            path.append(who)
            who = held[who]
        return total, path[::-1]


def stack(frame: Frame, at: Across, channels: Sequence[Channel], labels: Sequence[Slot], shared: Sequence[tuple[int, int]] = (), *, tight: bool = False) -> Stack:
    """The things of the page and how they push each other."""
    import numpy as np

    keys: list[tuple[float, float, float]] = []
    height: list[float] = []
    kinds: list[int] = []
    rects: list[tuple[float, float, float, float, int, int, int]] = []
    lead = list(range(frame.items))
    for one, other in shared:
        lead[other] = lead[one]
    for item in range(frame.items):
        node = frame.node_of(item)
        keys.append((2.0 * frame.level[item], 0.0, 0.0))
        if node is None:
            height.append(0.0)
            kinds.append(-1)
            continue
        bar = node.shape == "bar"
        height.append(0.0 if bar else node.height)
        kinds.append(BAR if bar else BOX)
        if lead[item] == item:
            rects.append((at.left[item], at.right[item], 0.0, height[-1], BAR if bar else BOX, item, -1))
        if bar and node.right:
            half = frame.graph.text_height / 2
            rects.append((at.right[item] + BAR_TEXT, at.right[item] + BAR_TEXT + node.right, -half, half + node.below, NUMBER, item, -1))
    for one, other in shared:   # the line that joins grounds of one symbol
        xs = sorted((at.x[frame.points_at[one][0]], at.x[frame.points_at[other][0]]))
        rects.append((xs[0], xs[1], 0.0, 0.0, BAR, lead[one], -1))
    track_at: dict[tuple[int, int], int] = {}
    for row, channel in enumerate(channels):
        for place, track in enumerate(channel.tracks):
            owner = len(keys)
            track_at[track.wire, row] = owner
            keys.append((2.0 * row + 1, place + 1.0, 0.0))
            height.append(0.0)
            kinds.append(TRACK)
            rects.append((track.left, track.right, 0.0, 0.0, TRACK, owner, track.wire))
    label_at = []
    for slot in labels:
        owner = len(keys)
        label_at.append(owner)
        keys.append((2.0 * slot.channel + 1, slot.before + 0.5, float(slot.turn)))
        height.append(slot.h)
        kinds.append(LABEL)
        rects.append((slot.x, slot.x + slot.w, 0.0, slot.h, LABEL, owner, slot.wire))

    count = len(keys)
    order = sorted(range(count), key=lambda owner: keys[owner])
    rank = np.empty(count, dtype=int)
    rank[order] = np.arange(count)
    box = np.array(rects) if rects else np.zeros((0, 7))
    between = TIGHT if tight else GAP_Y
    floor = [0.0] * count
    for rect in rects:
        floor[rect[5]] = max(floor[rect[5]], -rect[2])
    gaps = _pushes(box, rank, between)
    hung: list[tuple[int, int, int]] = []
    chains: list[list[int]] = []
    by_wire: dict[int, list[int]] = {}
    for number, slot in enumerate(labels):
        by_wire.setdefault(slot.wire, []).append(number)
    for wire, way in enumerate(frame.points_of):
        ends = [lead[frame.points[way[0]].item]]
        for row in range(frame.level[frame.points[way[0]].item], frame.level[frame.points[way[-1]].item]):
            if (wire, row) in track_at:
                ends.append(track_at[wire, row])
        ends.append(lead[frame.points[way[-1]].item])
        chains.append(ends)
        for one, other in zip(ends, ends[1:], strict=False):
            least = between[kinds[one]][kinds[other]]
            _raise(gaps, one, other, height[one] + least)
        for number in by_wire.get(wire, ()):
            owner = label_at[number]
            before = max((end for end in ends[:-1] if rank[end] < rank[owner]), key=lambda end: rank[end])
            after = min((end for end in ends[1:] if rank[end] > rank[owner]), key=lambda end: rank[end])
            _raise(gaps, before, owner, height[before] + end_gap(kinds[before], between))
            _raise(gaps, owner, after, height[owner] + end_gap(kinds[after], between))
            hung.append((owner, before, after))
    edges: list[list[tuple[int, float]]] = [[] for _ in range(count)]
    for (one, other), gap in gaps.items():
        edges[one].append((other, gap))
    return Stack(order, height, edges, track_at, label_at, kinds, hung, lead, keys, box, chains, between, floor)


def end_gap(kind: int, between: Gaps) -> float:
    """Between a label and what ends the upright that it stands beside."""
    return OWN if kind == TRACK else between[LABEL][kind]


def _raise(gaps: dict[tuple[int, int], float], one: int, other: int, gap: float) -> None:
    if gaps.get((one, other), -1e9) < gap:
        gaps[one, other] = gap


def _pushes(rects: np.ndarray, rank: np.ndarray, between: Gaps) -> dict[tuple[int, int], float]:
    """(upper, lower) -> least difference of their y, for all whose x ranges meet."""
    import numpy as np

    kind, owner, wire = rects[:, 4].astype(int), rects[:, 5].astype(int), rects[:, 6].astype(int)
    near, gap = np.array(NEAR_X)[kind[:, None], kind[None, :]], np.array(between)[kind[:, None], kind[None, :]]
    own = (wire[:, None] == wire[None, :]) & (wire[:, None] >= 0) & (kind[:, None] != kind[None, :])
    gap = np.where(own, OWN, gap)
    meet = (rects[:, None, 0] < rects[None, :, 1] + near - 1e-6) & (rects[None, :, 0] < rects[:, None, 1] + near - 1e-6)
    ahead = rank[owner][:, None] < rank[owner][None, :]
    # things of one row never meet in x, but a row has no order of its own either
    ones, others = np.nonzero(meet & ahead)
    found: dict[tuple[int, int], float] = {}
    needs = rects[ones, 3] + gap[ones, others] - rects[others, 2]
    for one, other, need in zip(owner[ones].tolist(), owner[others].tolist(), needs.tolist(), strict=True):
        if found.get((one, other), -1e9) < need:
            found[one, other] = need
    return found
