"""Places for labels beside marks, so that nothing covers anything.

Takes the labels wanted (where their mark is, how large they are), the lines and
boxes that stand already, and the room; gives a place for each label with a leader
line where it stands away from its mark. A label takes the nearest free place round
its mark; one that finds none takes the place that costs the others least, and those
that stood there look for another, until all stand or too many moves were made.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from math import cos, pi, sin
from typing import Any

from ..diagram.kept import Kept
from ..drawing.record import Area
from .plane import Box, Segment, box_of, boxes_meet, cross, crosses_box

SAME = 1e-6
"""What differs by less lies at the same place."""
CLEAR = 0.9
"""Between a label and anything else, mm."""
MARK = 1.4
"""Radius round its mark at which a leader begins."""
RADII = (2.0, 3.4, 5.0, 7.0, 9.5, 12.5, 16.0, 20.0, 25.0, 30.0, 36.0, 43.0)
LEADER_FROM = 3.0
"""A label nearer than this to its mark needs no leader."""
GAP = 0.75
"""Between a leader's end and its label."""
SHARES = (0.5, 0.15, 0.85)
"""Where along a side of a label its leader ends."""
_TURNS = sorted(range(24), key=lambda n: (n % 6 != 0, n % 3 != 0, n))
_WAYS = tuple((cos((n - 6) * pi / 12), sin((n - 6) * pi / 12)) for n in _TURNS)
"""Directions in which a label is tried, as unit steps: up, right, down, left, then the slants."""
CHOICES = 16
"""So many places at each distance are weighed for one label."""
MOVES = 8
"""So many times the number of labels may be placed, counting each again that was moved."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label of ``width`` by ``height`` mm for the mark at x, y."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a label stands (its box), its leader, and a box that holds both with the room they need."""

    box: Box
    leader: Segment | None
    hull: Box


def place_labels(wanted: Sequence[Wanted], lines: Sequence[Segment], boxes: Sequence[Box], room: Area, patterns: Sequence[Segment] = (), *, or_none: bool = False) -> list[Placed | None]:
    """A place for each label, in their order; None for one that finds none.

    ``patterns``: lines that no label covers, but a leader may cross; ``or_none``: where one finds no place whatever the others do, none has any
    """
    choices = [_Choices(label, lines, boxes, room, patterns) for label in wanted]
    tried: list[dict[int, int]] = [{} for _ in wanted]
    stands: dict[int, Placed] = {}
    waiting = deque(range(len(wanted)))
    moves = MOVES * len(wanted)
    while waiting and moves > 0:
        moves -= 1
        index = waiting.popleft()
        best: tuple[int, list[int], int, Placed] | None = None
        for number, place in enumerate(choices[index]):
            # most are far from each other: told apart here, without a call
            left, top, right, bottom = place.hull
            against = [other for other, there in stands.items()
                       if left <= (hull := there.hull)[2] and hull[0] <= right and top <= hull[3] and hull[1] <= bottom and _conflict(place, there)]
            # A place taken in vain before grows dear, so that two labels do not turn each other out for ever.
            cost = len(against) + tried[index].get(number, 0) if against else 0
            if best is None or cost < best[0]:
                best = (cost, against, number, place)
            if not against:
                break
        if best is None:
            if or_none:
                return [None] * len(wanted)
            # This one finds no place whatever the others do: they are placed once and not moved again.
            moves = min(moves, len(waiting))
            continue
        _, against, number, place = best
        for other in against:
            del stands[other]
            waiting.append(other)
        stands[index] = place
        tried[index][number] = tried[index].get(number, 0) + 1
    return [stands.get(index) for index in range(len(wanted))]


def kept_labels(kept: Kept, wanted: Sequence[Wanted], lines: Sequence[Segment], boxes: Sequence[Box], room: Area, patterns: Sequence[Segment] = (), *, or_none: bool = False) -> list[Placed | None]:
    """As `place_labels`, taken from what was kept where the same was placed before."""
    asked = repr(("labels", wanted, lines, boxes, room, patterns, or_none))
    return kept.value(asked, lambda: place_labels(wanted, lines, boxes, room, patterns, or_none=or_none), _plain, _back)


def _plain(places: Sequence[Placed | None]) -> list[Any]:
    return [[place.box, place.leader, place.hull] if place else None for place in places]


def _back(said: Sequence[Any]) -> list[Placed | None]:
    return [Placed(tuple(place[0]), tuple(place[1]) if place[1] else None, tuple(place[2])) if place else None for place in said]


class _Choices:
    """The places of one label that are free of all that stands already, near before far; found when asked for, and kept."""

    def __init__(self, label: Wanted, lines: Sequence[Segment], boxes: Sequence[Box], room: Area, patterns: Sequence[Segment]) -> None:
        reach = RADII[-1] + label.width + label.height
        around = (label.x - reach, label.y - reach, label.x + reach, label.y + reach)
        own = (label.x - MARK, label.y - MARK, label.x + MARK, label.y + MARK)
        self._room = (room.x, room.y, room.right, room.bottom)
        self._tight = (own[0] + 0.2, own[1] + 0.2, own[2] - 0.2, own[3] - 0.2)
        self._near = [box for box in boxes if boxes_meet(box, around) and max(abs(a - b) for a, b in zip(box, own, strict=True)) > SAME]
        self._lines = [(box, line) for line in lines if boxes_meet(box := box_of(line), around)]
        self._beside = [(box, line) for line in patterns if boxes_meet(box := box_of(line), around)]
        self._found: list[Placed] = []
        self._more = (place for radius in RADII for place in islice(filter(self._free, _candidates(label, radius)), CHOICES))

    def __iter__(self) -> Iterator[Placed]:
        yield from self._found
        for place in self._more:
            self._found.append(place)
            yield place

    def _free(self, place: Placed) -> bool:
        left, top, right, bottom = box = place.box
        if left < self._room[0] or top < self._room[1] or right > self._room[2] or bottom > self._room[3] or boxes_meet(box, self._tight):
            return False
        left, top, right, bottom = grown = _grown(box)
        for x1, y1, x2, y2 in self._near:
            if left <= x2 and x1 <= right and top <= y2 and y1 <= bottom:
                return False
        for (x1, y1, x2, y2), line in (*self._lines, *self._beside):
            if left <= x2 and x1 <= right and top <= y2 and y1 <= bottom and crosses_box(line, grown):
                return False
        leader = place.leader
        if leader is None:
            return True
        left, top, right, bottom = box_of(leader)
        for x1, y1, x2, y2 in self._near:
            if left <= x2 and x1 <= right and top <= y2 and y1 <= bottom and crosses_box(leader, (x1, y1, x2, y2)):
                return False
        for (x1, y1, x2, y2), line in self._lines:
            if left <= x2 and x1 <= right and top <= y2 and y1 <= bottom and cross(leader, line):
                return False
        return True


def _candidates(label: Wanted, radius: float) -> Iterator[Placed]:
    """Places round a mark at one distance: above, below and beside before the slants.

    A leader ends at the middle of a side of the label, or level with its first or
    last line, or near a corner of its upper or lower side.
    """
    for share in SHARES if radius > LEADER_FROM else SHARES[:1]:
        for dx, dy in _WAYS:
            x, y = label.x + radius * dx, label.y + radius * dy
            leader = None if radius < LEADER_FROM else (label.x + MARK * dx, label.y + MARK * dy, x - GAP * dx, y - GAP * dy)
            beside = abs(dx) > 0.5
            left = (x if dx > 0 else x - label.width) if beside else x - share * label.width
            top = y - share * label.height if beside else y if dy > 0 else y - label.height
            right, bottom = left + label.width, top + label.height
            hull = (min(left, x) - CLEAR, min(top, y) - CLEAR, max(right, x) + CLEAR, max(bottom, y) + CLEAR)
            if leader:
                hull = (min(hull[0], leader[0]), min(hull[1], leader[1]), max(hull[2], leader[0]), max(hull[3], leader[1]))
            yield Placed((left, top, right, bottom), leader, hull)


def _conflict(a: Placed, b: Placed) -> bool:
    """True where two labels or their leaders come too close; of those whose hulls meet."""
    if boxes_meet(_grown(a.box), b.box):
        return True
    if a.leader and crosses_box(a.leader, _grown(b.box)) or b.leader and crosses_box(b.leader, _grown(a.box)):
        return True
    return bool(a.leader and b.leader and cross(a.leader, b.leader))


def _grown(box: Box) -> Box:
    return box[0] - CLEAR, box[1] - CLEAR, box[2] + CLEAR, box[3] + CLEAR
