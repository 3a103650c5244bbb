"""Where each label stands beside its wire.

Takes a Frame, the x of everything, the channels and the shapes of each label; gives Slots. A label stands
beside one upright of its wire, at a place in the order of its channel's tracks; there no other
upright may come near it. What is above and below it is kept away by the heights, so two labels never
overlap and no line runs through one. The wires with the fewest places choose first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from .across import Across
from .channels import Channel
from .down import Slot
from .frame import Frame
from .gaps import FOREIGN, LABEL_LABEL, OWN
from .label_shapes import ShapeOf

UPRIGHT = 12.0
"""What an upright label costs, in mm of height."""
LEFT = 0.4
STACKED = 5.0
"""What each other label costs that shares the gap: they then stand one above the other."""
BESIDE_BOX = 1.0
"""What each box costs that is not its wire's and reaches into the label's column."""
BESIDE_TRACK = 1.5
LATER = 0.5
"""What each row costs that the label stands further down its wire."""
FAR, BEYOND = 14.0, 30.0
"""The same for a label of an end; and what it costs behind a step, which may be a long one."""
LAST = 1000
"""Turns of labels of lower ends: below those of upper ends."""
WRONG = 60.0
"""What a label costs that stands too near to another line: it is only taken where there is no other place."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A slot and what it costs."""

    slot: Slot
    cost: float


class Places:
    """All places of all labels for one arrangement of a page."""

    def __init__(self, frame: Frame, at: Across, channels: Sequence[Channel], width: float) -> None:
        self.frame = frame
        self.at = at
        self.channels = channels
        self.width = width
        self.uprights: dict[tuple[int, int], list[tuple[float, int]]] = {}
        self.track_place: list[dict[int, int]] = [{track.wire: place for place, track in enumerate(channel.tracks)} for channel in channels]
        self.boxes: list[list[tuple[float, float, int]]] = [[] for _ in range(frame.levels)]
        for item, node in enumerate(frame.nodes):
            self.boxes[frame.level[item]].append((at.left[item], at.right[item], item))

    def uprights_at(self, channel: int, before: int) -> list[tuple[float, int]]:
        """(x, wire) of every upright of this channel between its tracks ``before - 1`` and ``before``."""
        key = (channel, before)
        if key not in self.uprights:
            of = self.channels[channel]
            self.uprights[key] = [*((x, wire) for wire, x, _ in of.straight),
                                  *((track.x2 if place < before else track.x1, track.wire) for place, track in enumerate(of.tracks))]
        return self.uprights[key]

    def choices(self, wire: int, shapes: Sequence[ShapeOf], part: str) -> list[Choice]:
        """The places of this wire's label. part: "" for anywhere, "first" or "last" for near its upper or lower end."""
        frame, at = self.frame, self.at
        way = frame.points_of[wire]
        first, last = frame.points[way[0]].item, frame.points[way[-1]].item
        rows = list(range(frame.level[first], frame.level[last]))
        if part == "first":
            rows = rows[:(len(rows) + 1) // 2]
        elif part == "last":
            rows = rows[len(rows) // 2:][::-1]
        found: list[Choice] = []
        for step, row in enumerate(rows):
            count = len(self.channels[row].tracks)
            own = self.track_place[row].get(wire)
            places = sorted({0, count}) if own is None else sorted({0, own, own + 1, count})
            for before in places:
                uprights = self.uprights_at(row, before)
                x = next(at for at, of in uprights if of == wire)
                away = step * (FAR if part else LATER)
                if part and own is not None and (before > own) == (part == "first"):
                    away += BEYOND   # behind the step that its own wire takes here
                others = [at for at, of in uprights if of != wire]
                for number, shape in enumerate(shapes):
                    for left in (False, True):
                        x0 = x - OWN - shape.w if left else x + OWN
                        cost = shape.h + (UPRIGHT if shape.upright else 0.0) + (LEFT if left else 0.0) + away
                        near = min((max(x0 - other, other - x0 - shape.w) for other in others), default=99.0)
                        if near < FOREIGN - 1e-6:
                            cost += WRONG + 20 * min(FOREIGN - near, FOREIGN)
                        outside = max(0.0, -x0, x0 + shape.w - self.width)
                        if outside > 1e-6:
                            cost += WRONG + 20 * outside
                        for level in (row, row + 1):
                            for a, b, item in self.boxes[level]:
                                if item not in (first, last) and a < x0 + shape.w + 1.0 and x0 - 1.0 < b:
                                    cost += BESIDE_BOX
                        for place, track in enumerate(self.channels[row].tracks):
                            if track.wire != wire and track.left < x0 + shape.w + FOREIGN and x0 - FOREIGN < track.right:
                                cost += BESIDE_TRACK
                        found.append(Choice(Slot(wire, number, row, before, x0, shape.w, shape.h, part == "last"), cost))
        found.sort(key=lambda choice: choice.cost)
        return found


def choose(frame: Frame, at: Across, channels: Sequence[Channel], shapes: Sequence[Sequence[ShapeOf]], width: float,
           long: frozenset[int] = frozenset()) -> tuple[list[Slot], list[list[Choice]], int]:
    """(a slot for each label, the other choices of each, how many stand wrong); ``long``: wires with a label at both ends."""
    places = Places(frame, at, channels, width)
    asked: list[list[Choice]] = []
    for wire in range(len(frame.wires)):
        if shapes[wire]:
            for part in ("first", "last") if wire in long else ("",):
                asked.append(places.choices(wire, shapes[wire], part))
    turn = sorted(range(len(asked)), key=lambda number: (sum(choice.cost < UPRIGHT for choice in asked[number]), number))
    taken: list[tuple[int, Slot]] = []
    wrong = 0
    for number in turn:
        best: tuple[float, Choice] | None = None
        for choice in asked[number]:
            if best is not None and choice.cost >= best[0]:
                break
            cost = choice.cost + STACKED * sum(1 for _, slot in taken if _meet(slot, choice.slot))
            if best is None or cost < best[0]:
                best = (cost, choice)
        assert best is not None
        wrong += best[1].cost >= WRONG
        taken.append((number, replace(best[1].slot, turn=len(taken) + (LAST if best[1].slot.last else 0))))
    taken.sort()
    return [slot for _, slot in taken], asked, wrong


def _meet(one: Slot, other: Slot) -> bool:
    return one.channel == other.channel and one.x < other.x + other.w + LABEL_LABEL and other.x < one.x + one.w + LABEL_LABEL
