"""Which column of the page each block of the overview stands in.

Takes the overview, the heights of its blocks and of the page; gives a column for each block, such that links are
short, few of them stay within a column, and no column is higher than the page. Places of blocks are given out from the one with most
links on, and bettered by moves and exchanges until none helps: the same overview gives the same columns.
"""

from __future__ import annotations

from collections.abc import Mapping

from .blocks import Overview

WITHIN = 2.5
"""What a link within a column counts; between neighbours 1, over each further column as much again."""
ROUNDS = 20


def columns_of(overview: Overview, heights: Mapping[str, float], count: int, room: float) -> dict[str, int] | None:
    """Block -> its column of ``count``; ``heights`` with the gap to the next, ``room`` in mm. None where they do not go in."""
    near: dict[str, list[str]] = {id: [] for id in overview.blocks}
    for link in overview.links:
        near[link.upper].append(link.lower)
        near[link.lower].append(link.upper)
    used = [0.0] * count
    column: dict[str, int] = {}

    def cost(id: str, at: int) -> float:
        return sum(abs(column[other] - at) or WITHIN for other in near[id] if other in column and other != id)

    middle = (count - 1) / 2
    waiting = dict.fromkeys(sorted(overview.blocks, key=lambda id: -len(near[id])))
    while waiting:
        # what is tied most to what stands already goes next
        id = max(waiting, key=lambda one: (sum(other in column for other in near[one]) > 0, len(near[one])))
        del waiting[id]
        free = [at for at in range(count) if used[at] + heights[id] <= room]
        if not free:
            return None
        at = min(free, key=lambda one: (cost(id, one), abs(one - middle) if not column else used[one], one))
        column[id] = at
        used[at] += heights[id]
    for _ in range(ROUNDS):
        if not any([_moved(id, column, used, heights, cost, room) or _exchanged(id, column, used, heights, cost, room) for id in overview.blocks]):
            break
    return column


def _moved(id: str, column: dict[str, int], used: list[float], heights: Mapping[str, float], cost, room: float) -> bool:
    here = column[id]
    best = min((at for at in range(len(used)) if at == here or used[at] + heights[id] <= room), key=lambda at: (cost(id, at), at != here, at))
    if best == here:
        return False
    used[here] -= heights[id]
    used[best] += heights[id]
    column[id] = best
    return True


def _exchanged(id: str, column: dict[str, int], used: list[float], heights: Mapping[str, float], cost, room: float) -> bool:
    here = column[id]
    for other, there in list(column.items()):
        more = heights[id] - heights[other]
        if there == here or used[there] + more > room or used[here] - more > room:
            continue
        before = cost(id, here) + cost(other, there)
        column[id], column[other] = there, here
        if cost(id, there) + cost(other, here) < before - 1e-9:
            used[here] -= more
            used[there] += more
            return True
        column[id], column[other] = here, there
    return False
