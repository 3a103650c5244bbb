"""One system on as few pages as hold it: which strands go together.

Takes the strands of a system and what makes and places a page; gives the groups of strands, a page each. What may be cut are splices, bus
bars, units, grounds and in-line connectors; all else stays whole. Groups are merged, those that share most first, as
long as an estimate says they fit; what does not fit when it is placed is parted again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Sequence

from ..diagram.graph import Graph
from ..model.harness import Kind
from .page_graph import PageGraph, longest_way
from .strands import Strands

MOST_INK = 0.62
"""Share of the area that figures with their surroundings may take, at first. Design choice."""
FULL_INK = 0.8
"""More than this never fits."""
COUNTED_TWICE = 0.3
"""Of the ink of two groups as much may be of what they share."""
AROUND = (5.0, 8.0)
"""Width and height in mm that a figure needs besides its own, for lines and labels."""
UNIT_PINS = 7
"""A device with as many wired contacts may be cut."""
SHARED = {Kind.SPLICE: 3.0, Kind.BAR: 2.0, Kind.CAVITY: 1.5, Kind.GROUND: 0.3}
UNIT_SHARED = 1.0

Group = tuple[str, ...]
Make = Callable[[Sequence[str]], PageGraph]
Fits = Callable[[PageGraph], bool]


def split(strands: Strands, ids: Sequence[str], make: Make, fits: Fits, width: float, height: float, cuts: Collection[str] | None = None) -> list[Group]:
    """Groups of ``ids``, each of which fits a page ``width`` by ``height`` mm by ``fits``, as far as cutting helps; in the order of their first strands.
    cuts: contacts at which one page may end and another begin, where these are others than said above."""
    if not ids:
        return []
    whole = tuple(ids)
    if fits_whole(ids, make, fits, width, height):
        return [whole]
    atoms = _atoms(strands, ids, cuts)
    merger = _Merger(strands, ids, make, atoms, width * height)
    groups = [whole]
    for ink in (MOST_INK, 0.5, 0.4, 0.3, 0.22):
        open_groups, groups = groups, []
        for group in open_groups:
            if len(open_groups) > 1 and fits(make(group)):
                groups.append(group)
            else:
                inside = set(group)
                groups += merger.merged([atom for atom in atoms if atom[0] in inside], ink, lambda page, ink=ink: may_fit(page.graph, width, height, ink))  # type: ignore[misc]
        if all(fits(make(group)) for group in groups):
            break
    # What the estimate was for may be too wide in a row: parted by what fits when it is placed.
    groups = [part for group in groups for part in ([group] if fits(make(group)) else merger.merged([atom for atom in atoms if atom[0] in group], FULL_INK, fits))]
    # What the estimate was against may fit when it is placed.
    return merger.merged(groups, FULL_INK, lambda page: may_fit(page.graph, width, height, FULL_INK) and fits(page))


def fits_whole(ids: Sequence[str], make: Make, fits: Fits, width: float, height: float) -> bool:
    """Whether all strands fit one page; what is far too much is not placed to see."""
    page = make(tuple(ids))
    return may_fit(page.graph, width, 1.1 * height, FULL_INK) and fits(page)


def may_fit(graph: Graph, width: float, height: float, ink: float = MOST_INK) -> bool:
    """A cheap estimate: the ink of all figures with room about them, the longest way down, the widest row."""
    return inked(graph) <= ink * width * height and longest_way({name: node.height for name, node in graph.nodes.items()}, graph.wires.values())[1] <= height


def inked(graph: Graph) -> float:
    """The area of all figures with room about them, in mm2."""
    return sum((node.width + node.right + AROUND[0]) * (node.height + AROUND[1]) for node in graph.nodes.values())


def as_kept(strands: Strands, ids: Sequence[str], kept: Sequence[Collection[str]]) -> list[Group]:
    """``ids`` on the pages on which they were: what must stay together where most of it was, what is new where it shares most with. A page with nothing left is left out."""
    page_of = {id: number for number, page in enumerate(kept) for id in page}
    order = {id: number for number, id in enumerate(ids)}
    pages: list[list[str]] = [[] for _ in kept]
    new: list[Group] = []
    for atom in _atoms(strands, ids, None):
        votes = Counter(page_of[id] for id in atom if id in page_of)
        if votes:
            pages[min(votes, key=lambda number: (-votes[number], number))] += atom
        else:
            new.append(atom)
    for atom in new:
        ends = {key for id in atom for end in (strands.all[id].a, strands.all[id].b) for key in (end, strands.owner(end), strands.mate.get(end, end))}
        shared = [sum(bool(ends & {end, strands.owner(end)}) for id in page for end in (strands.all[id].a, strands.all[id].b)) for page in pages]
        pages[shared.index(max(shared))] += atom
    return [tuple(sorted(page, key=order.__getitem__)) for page in pages if page]


def _atoms(strands: Strands, ids: Sequence[str], cuts: Collection[str] | None) -> list[Group]:
    """The strands that must stay together."""
    place = {id: number for number, id in enumerate(ids)}
    parent = {id: id for id in ids}

    def top(id: str) -> str:
        while parent[id] != id:
            parent[id] = parent[parent[id]]
            id = parent[id]
        return id

    first: dict[str, str] = {}
    for id in ids:
        for end in (strands.all[id].a, strands.all[id].b):
            if not (_may_cut(strands, end) if cuts is None else end in cuts):
                one, other = top(first.setdefault(strands.owner(end), id)), top(id)
                if one != other:
                    parent[max(one, other, key=place.__getitem__)] = min(one, other, key=place.__getitem__)
    groups: dict[str, list[str]] = {}
    for id in ids:
        groups.setdefault(top(id), []).append(id)
    return [tuple(group) for group in groups.values()]


def _may_cut(strands: Strands, address: str) -> bool:
    if strands.kind(address) in (Kind.SPLICE, Kind.BAR, Kind.GROUND) or address in strands.mate:
        return True
    owner = strands.owner(address)
    return owner not in strands.harness.parts and len(strands.of_owner[owner]) >= UNIT_PINS


class _Merger:
    """Merges groups of one system's strands. What it asks of a group it asks once."""

    def __init__(self, strands: Strands, ids: Sequence[str], make: Make, atoms: Iterable[Group], area: float) -> None:
        self.strands, self.make, self.area = strands, make, area
        self.order = {id: number for number, id in enumerate(ids)}
        self._keys: dict[Group, frozenset[str]] = {}
        self._ink: dict[Group, float] = {}
        self.users = Counter(key for atom in atoms for key in self._shared(atom))

    def merged(self, groups: Sequence[Group], ink: float, may: Callable[[PageGraph], bool]) -> list[Group]:
        """Merges the two groups with the greatest affinity that may go together, again and again; in the order of their first strands.
        ink: of two groups that have much more of it than this share of the page nobody asks."""
        groups = list(groups)
        pairs = [self._pair(one, two) for number, one in enumerate(groups) for two in groups[number + 1:]]
        while pairs:
            pairs.sort()
            *_, one, two = pairs.pop(0)
            if self._inked(one) + self._inked(two) > (1 + COUNTED_TWICE) * ink * self.area:
                continue
            both = tuple(sorted((*one, *two), key=self.order.__getitem__))
            if may(self.make(both)):
                groups = [group for group in groups if group not in (one, two)]
                pairs = [pair for pair in pairs if pair[-2] not in (one, two) and pair[-1] not in (one, two)]
                pairs += [self._pair(both, other) for other in groups]
                groups.append(both)
        return sorted(groups, key=lambda group: self.order[group[0]])

    def _pair(self, one: Group, two: Group) -> tuple[float, int, int, int, Group, Group]:
        """Sorts by affinity, then the smallest together, then the order of the description."""
        return -self._affinity(one, two), len(one) + len(two), self.order[one[0]], self.order[two[0]], one, two

    def _affinity(self, one: Group, two: Group) -> float:
        """How much two groups share, less for what many share."""
        total = 0.0
        for key in sorted(self._shared(one) & self._shared(two)):
            kind = self.strands.kind(key)
            total += (UNIT_SHARED if kind is None else SHARED.get(kind, UNIT_SHARED)) * 6 / max(self.users[key], 1)
        return total

    def _shared(self, group: Group) -> frozenset[str]:
        """The things of a group that another may share: splices, bars, grounds, cavities and units."""
        if group not in self._keys:
            self._keys[group] = frozenset(key for id in group for end in (self.strands.all[id].a, self.strands.all[id].b) for key in self._keys_of(end))
        return self._keys[group]

    def _keys_of(self, end: str) -> Iterable[str]:
        if not _may_cut(self.strands, end):
            return ()
        joins = self.strands.kind(end) in (Kind.SPLICE, Kind.BAR, Kind.GROUND) or end in self.strands.mate
        return (min(end, self.strands.mate.get(end, end)) if joins else self.strands.owner(end),)

    def _inked(self, group: Group) -> float:
        if group not in self._ink:
            self._ink[group] = inked(self.make(group).graph)
        return self._ink[group]
