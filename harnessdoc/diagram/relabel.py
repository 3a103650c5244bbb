"""Better places for the labels that make a page too tall.

Takes what label_places gave and the stack they lead to; gives better slots. A label taken out of the stack and
put in elsewhere changes the height of the page by an amount that is known at once: the longest path from the top to
it, its own height, the longest path from it to the bottom.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from .down import LABEL, NEAR_X, Slot, Stack, end_gap
from .gaps import OWN
from .label_places import WRONG, Choice

if TYPE_CHECKING:
    import numpy as np

ROUNDS = 40
STEP = 0.05
"""Improvements below this are none."""


def relabel(slots: Sequence[Slot], asked: Sequence[Sequence[Choice]], build: Callable[[Sequence[Slot]], Stack], height: float) -> tuple[list[Slot], Stack]:
    """Moves labels off the longest path, one after the other, until the page fits or none helps."""
    now = list(slots)
    piled = build(now)
    stuck: set[int] = set()
    for _ in range(ROUNDS):
        total, path = piled.critical()
        if total <= height:
            break
        moved = False
        for owner in path:
            number = owner - piled.label_at[0] if piled.label_at and owner >= piled.label_at[0] else -1
            if number < 0 or number in stuck:
                continue
            better = _better(piled, owner, now[number], asked[number], total - STEP)
            if better is None:
                stuck.add(number)
                continue
            now[number] = replace(better, turn=now[number].turn)
            piled = build(now)
            moved = True
            break
        if not moved:
            break
    return now, piled


def _better(piled: Stack, owner: int, slot: Slot, choices: Sequence[Choice], limit: float) -> Slot | None:
    """The cheapest choice with which the longest path through this label is below the limit, in mm; else the one that makes it shortest."""
    open_ = [choice for choice in choices if choice.cost < WRONG]
    if not open_:
        return None
    through = heights(piled, owner, [choice.slot for choice in open_])
    best = None
    for choice, tall in zip(open_, through, strict=True):
        if tall < limit and (best is None or choice.cost + 2.0 * tall < best[0]):
            best = (choice.cost + 2.0 * tall, choice.slot)
    return best[1] if best is not None else None


def heights(piled: Stack, owner: int, slots: Sequence[Slot]) -> list[float]:
    """The longest path through this label, in mm, for each of these slots in its stead."""
    import numpy as np

    without = _without(piled, owner)
    early, _ = without.earliest()
    tail = without.latest()
    rects = piled.rects[piled.rects[:, 5] != owner]
    who = rects[:, 5].astype(int)
    kind = rects[:, 4].astype(int)
    near, gap = np.array(NEAR_X)[LABEL][kind], np.array(piled.between)[LABEL][kind]
    flat = np.array([_number(key) for key in piled.keys])
    y, rest, key = np.array(early)[who], np.array(tail)[who], flat[who]
    found = []
    for slot in slots:
        at = _number((2.0 * slot.channel + 1, slot.before + 0.5, float(slot.turn)))
        meet = (rects[:, 0] < slot.x + slot.w + near - 1e-6) & (slot.x < rects[:, 1] + near - 1e-6)
        space = np.where(rects[:, 6] == slot.wire, np.where(kind == LABEL, gap, OWN), gap)
        above, below = meet & (key < at), meet & (key >= at)
        top = max(0.0, float((y + rects[:, 3] + space)[above].max(initial=0.0)))
        foot = float((rest - rects[:, 2] + space)[below].max(initial=0.0))
        chain = piled.chains[slot.wire]
        upper = max((end for end in chain[:-1] if flat[end] < at), key=lambda end: flat[end])
        lower = min((end for end in chain[1:] if flat[end] > at), key=lambda end: flat[end])
        top = max(top, early[upper] + piled.height[upper] + end_gap(piled.kinds[upper], piled.between))
        foot = max(foot, tail[lower] + end_gap(piled.kinds[lower], piled.between))
        found.append(top + slot.h + foot)
    return found


def _number(key: tuple[float, float, float]) -> float:
    return key[0] * 1000 + key[1] + key[2] * 1e-5


def _without(piled: Stack, owner: int) -> Stack:
    """The stack with one label pushing and pushed by nothing."""
    edges = [[] if number == owner else [edge for edge in of if edge[0] != owner] for number, of in enumerate(piled.edges)]
    height = list(piled.height)
    height[owner] = 0.0
    return replace(piled, edges=edges, height=height)
