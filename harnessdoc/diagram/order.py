"""The orders of a page's rows that are worth placing: several starts, then groups taken out and put in elsewhere.

Takes a Frame; gives Rows with their scores, the best first. What stands together electrically moves together. Last,
equal parts are put in their natural order and the cavities of a connector beside each other, where that costs less than it brings.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence

from .frame import Frame
from .placed import Order
from .sorter import Rows, Sorter, natural

BEST = 4
"""So many of the best orders are worked on further."""
MOVES = 10
"""Groups moved, for each start."""
POLISHED = 12
STOOD = 2.0
"""What moves to the other side of a thing beside which it stood in the picture before counts so many crossings."""
PERFECT = 0.6
"""An order of this score has no crossing and nothing out of its order."""


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


def from_before(frame: Frame, before: Order) -> list[tuple[float, Rows]]:
    """Orders near the picture before, each with its score. The first: what stood in a row together stands there as it stood, and what is new or comes from another
    row where it costs least. The second: all may move, and to stand on the other side of a neighbour than before costs STOOD."""
    was = _was(frame, before)
    place = _places(frame, was)
    stays: set[int] = set()
    rows: list[list[int]] = [[] for _ in range(frame.levels)]
    for item in sorted(range(frame.items), key=lambda item: (place[item], item)):
        rows[frame.level[item]].append(item)
    for row in rows:
        levels = Counter(was[item][0] for item in row if item in was)
        most = min(levels, key=lambda level: (-levels[level], level), default=None)
        stays.update(item for item in row if item in was and was[item][0] == most)
    sorter, scorer = Sorter(frame), Sorter(frame)
    sorter.turns |= dict.fromkeys(_stood(frame, was), STOOD)
    mirrored = frozenset(before.mirrored)
    sorter.take(rows, [item < len(frame.nodes) and frame.nodes[item].id in mirrored for item in range(frame.items)])
    found = []
    for free in (frozenset(range(frame.items)) - stays, None):
        if free is None or free:
            sorter.settle(free=free)
        order = sorter.give()
        scorer.take(order.rows, order.mirrored)
        found.append((scorer.score(), order))
    return found


def turned(frame: Frame, before: Order, rows: Rows) -> int:
    """Pairs of nodes that stand the other way round than in the picture before, in one row then and now."""
    place = {item: number for row in rows.rows for number, item in enumerate(row)}
    return sum(place[one] < place[other] for one, other in _stood(frame, _was(frame, before)) if one < len(frame.nodes) and other < len(frame.nodes))


def _stood(frame: Frame, was: Mapping[int, tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Pairs that would stand the other way round than before, in one row then and now."""
    together: dict[tuple[int, int], list[int]] = {}
    for item, (level, _) in was.items():
        together.setdefault((level, frame.level[item]), []).append(item)
    for items in together.values():
        yield from ((one, other) for one in items for other in items if was[one][1] > was[other][1])


def _was(frame: Frame, before: Order) -> dict[int, tuple[int, int]]:
    """Item -> its level and rank in the picture before; of a wire only where it passed as many levels."""
    found = {number: (before.levels[node.id], before.ranks[node.id]) for number, node in enumerate(frame.nodes) if node.id in before.ranks and node.id in before.levels}
    for wire, way in zip(frame.wires, frame.points_of, strict=True):
        first, *between, _ = (frame.points[point].item for point in way)
        ranks = before.ways.get(wire.id, ())
        if first in found and len(ranks) == len(between):
            found.update((item, (found[first][0] + step, rank)) for step, (item, rank) in enumerate(zip(between, ranks, strict=True), 1))
    return found


def _places(frame: Frame, was: Mapping[int, tuple[int, int]]) -> list[float]:
    """Where each item stands along its row, 0 to 1: what was there by its rank then, all else at the centre of gravity of what it is joined to."""
    ranked: dict[int, list[tuple[int, int]]] = {}
    for item, (level, rank) in was.items():
        ranked.setdefault(level, []).append((rank, item))
    place = {item: (number + 0.5) / len(row) for row in ranked.values() for number, (_, item) in enumerate(sorted(row))}
    near: list[list[int]] = [[] for _ in range(frame.items)]
    for way in frame.points_of:
        items = [frame.points[point].item for point in way]
        for upper, lower in zip(items, items[1:], strict=False):
            near[upper].append(lower)
            near[lower].append(upper)
    while True:
        found = {item: [place[other] for other in near[item] if other in place] for item in range(frame.items) if item not in place}
        told = {item: sum(of) / len(of) for item, of in found.items() if of}
        if not told:
            return [place.get(item, 1.0) for item in range(frame.items)]
        place.update(told)


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
