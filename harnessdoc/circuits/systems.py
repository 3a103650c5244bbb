"""Which strands go on the diagram of which system, so that every path is whole on one page.

Takes Strands and Directions; gives the systems in their order, each with its strands. A system is
that of the circuits (``system:``). A wire that feeds more than two systems goes on a page of its own, the supply. What
belongs to no system, or to grounds, goes where the things are that it serves. A page is then completed: upward to the
bus bar, relay or battery that other systems share, downward to the ground. A wire may be on several pages, and is on one at least.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from ..model.electric import Alternator
from ..model.harness import Kind
from .direction import Directions
from .strands import Strand, Strands

SUPPLY = "supply"
MANY = 2
"""A strand that feeds more systems than this belongs to the supply."""
SMALL = 4
"""A device with no more wired contacts than this is shown whole wherever one of them is."""
PASSING = ("fuse", "fusible link", "relay", "switch", "diode", "resistor")


@dataclass(frozen=True, slots=True)
class System:
    """name: "" where the description says no system at all; strands: ids in the order of the description."""

    name: str
    strands: tuple[str, ...]


class Served:
    """What each point of the harness feeds, and to which system each strand belongs."""

    def __init__(self, strands: Strands, directions: Directions) -> None:
        self.strands, self.directions = strands, directions
        circuits = strands.harness.circuits
        self.stated = {id: circuits[strand.wire.circuit].system for id, strand in strands.all.items()
                       if strand.wire is not None and strand.wire.circuit in circuits and circuits[strand.wire.circuit].system}
        below = self._below()
        common = Counter(self.stated[id] for id in strands.all if id in self.stated and len(self._fed(id, below)) > MANY)
        self.supply = min(common, key=lambda name: (-common[name], name)) if common else SUPPLY
        self.below = {address: found - {self.supply} for address, found in below.items()}
        self.common = frozenset(id for id in strands.all if not self.is_return(strands.all[id]) and len(self._fed(id, self.below)) > MANY)
        self.system = self._systems()

    def is_return(self, strand: Strand) -> bool:
        """On copper that holds a ground."""
        return strand.a in self.strands.returns

    def _fed(self, id: str, below: Mapping[str, frozenset[str]]) -> frozenset[str]:
        own = frozenset({self.stated[id]}) if id in self.stated and not self.is_return(self.strands.all[id]) else frozenset()
        return own | below.get(self.directions.ends(self.strands.all[id])[1], frozenset())

    def _below(self) -> dict[str, frozenset[str]]:
        """Address -> the systems of all wires that what is fed there leads to, through all but loads."""
        strands, rank = self.strands, self.directions.rank
        found: dict[str, frozenset[str]] = {}
        for address in sorted(rank, key=lambda address: -rank[address]):
            here: set[str] = set()
            for id in strands.at.get(address, ()):
                upper, lower = self.directions.ends(strands.all[id])
                if upper == address:
                    if id in self.stated and not self.is_return(strands.all[id]):
                        here.add(self.stated[id])
                    here |= found.get(lower, frozenset())
            others = [way.b if way.a == address else way.a for way in strands.inside.get(address, ()) if way.kind in PASSING]
            for other in (*others, *filter(None, [strands.mate.get(address)])):
                if rank[other] > rank[address]:
                    here |= found.get(other, frozenset())
            found[address] = frozenset(here)
        return found

    def _systems(self) -> dict[str, str | None]:
        """Strand -> its system; None for returns, which go with what they serve."""
        found: dict[str, str | None] = {}
        for id, strand in self.strands.all.items():
            if self.is_return(strand):
                found[id] = None
                continue
            stated = self.stated.get(id)
            others = sorted(self.below.get(self.directions.ends(strand)[1], frozenset()))
            if id in self.common:
                found[id] = self.supply
            elif len(others) == 1:
                found[id] = others[0]
            elif stated is not None and stated != self.supply:
                found[id] = stated
            else:
                found[id] = others[0] if others else None
        self._spread(found)
        for id, stated in self.stated.items():
            if found[id] is None and not self.is_return(self.strands.all[id]):
                found[id] = stated
        self._spread(found)
        return found

    def _spread(self, found: dict[str, str | None]) -> None:
        """Gives what has no system that of most strands at the part or device that it feeds, else at the same things, nearest first."""
        strands = self.strands
        groups: dict[str, list[str]] = {}
        for id, strand in strands.all.items():
            if not self.is_return(strand):
                for end in (strand.a, strand.b):
                    groups.setdefault(min(strands.mate.get(end, end), end), []).append(id)
        owned: dict[str, list[str]] = {}
        for end, ids in groups.items():
            owned.setdefault(strands.owner(end), []).extend(ids)
        harness = strands.harness
        fed = {owner: {id for id in ids if strands.owner(self.directions.ends(strands.all[id])[1]) == owner} for owner, ids in owned.items() if owner in harness.parts or owner in harness.devices}
        while True:
            change: dict[str, str] = {}
            for of, only in ((owned, fed), (groups, None), (owned, None)):
                for thing, ids in of.items():
                    if only is not None and thing not in only:
                        continue
                    lacking = [id for id in ids if found[id] is None and id not in change and (only is None or id in only[thing])]
                    if lacking:
                        votes = Counter(name for id in ids if (name := found[id]) is not None and name != self.supply)
                        if votes:
                            best = min(votes, key=lambda name: (-votes[name], name))
                            change.update(dict.fromkeys(lacking, best))
                if change:
                    break
            if not change:
                return
            found.update(change)


def find_systems(strands: Strands, directions: Directions) -> tuple[System, ...]:
    """All systems that have a diagram, the supply first, then in the order of the description."""
    served = Served(strands, directions)
    order = {id: number for number, id in enumerate(strands.all)}
    if not served.stated:
        return (System("", tuple(strands.all)),) if strands.all else ()
    names = dict.fromkeys(circuit.system for circuit in strands.harness.circuits.values() if circuit.system)
    cores: dict[str, list[str]] = {served.supply: [], **{name: [] for name in names}}
    for id, system in served.system.items():
        if system is not None:
            cores.setdefault(system, []).append(id)
    pages = {name: _Completed(served, name, core).found for name, core in cores.items() if core}
    while left := [id for id in strands.all if all(id not in page for page in pages.values())]:
        _place(served, left[0], pages)
    return tuple(System(name, tuple(sorted(page, key=order.__getitem__))) for name, page in pages.items()
                 if any(strands.all[id].wire for id in page))


def _place(served: Served, id: str, pages: dict[str, dict[str, None]]) -> None:
    """Puts a strand that no path led to on the page that shows most of the things at its ends: of a ground strap the supply."""
    strands = served.strands
    strand = strands.all[id]
    owners = {strands.owner(strand.a), strands.owner(strand.b)}
    supplies = {device for device in strands.harness.supplies if not isinstance(strands.harness.devices[device].supply, Alternator)}
    votes = {name: sum(strands.owner(end) in owners for other in page for end in (strands.all[other].a, strands.all[other].b)) for name, page in pages.items()}
    if all(strands.kind(end) is Kind.GROUND for end in (strand.a, strand.b)) and served.supply in pages:
        name = served.supply
    elif owners & supplies and (served.supply in pages or not any(votes.values())):
        name = served.supply
    elif any(votes.values()):
        name = max(votes, key=lambda name: votes[name])
    else:
        name = served.stated.get(id) or served.supply
    page = pages.setdefault(name, {})
    page.update(_Completed(served, name, [*page, id]).found)


class _Completed:
    """The strands of a page with what its paths lack."""

    def __init__(self, served: Served, name: str, core: Iterable[str]) -> None:
        self.served, self.name = served, name
        self.strands, self.directions = served.strands, served.directions
        self.found: dict[str, None] = {}
        self._touched: set[tuple[str, bool]] = set()
        self._queue: list[tuple[str, bool]] = []
        for id in core:
            self._add(id)
        while self._queue:
            self._touch(*self._queue.pop(0))

    def _add(self, id: str) -> None:
        if id in self.found:
            return
        self.found[id] = None
        upper, lower = self.directions.ends(self.strands.all[id])
        self._queue += [(upper, False), (lower, True)]

    def _touch(self, address: str, from_above: bool) -> None:
        if (address, from_above) in self._touched:
            return
        self._touched.add((address, from_above))
        strands, kind = self.strands, self.strands.kind(address)
        if kind in (None, Kind.GROUND):
            return
        mate = strands.mate.get(address)
        if mate is not None:
            for id in strands.at.get(mate, ()):
                self._add(id)
            return
        joins = kind in (Kind.SPLICE, Kind.BAR)
        if from_above:
            self._onward(address)
        elif not self._is_shared_feed(address) and not (joins and address in strands.returns):
            self._upward(address)      # not from a ground splice to all that share it
        if joins:
            return
        for partner, way in self._partners(address):
            if way in PASSING:
                if not from_above and self.directions.is_above(partner, address) and not self._is_shared_feed(address):
                    self._upward(partner)
                elif from_above and (partner in strands.returns or self.served.below[partner] <= {self.name}):
                    self._onward(partner, always=True)
            else:
                self._whole(partner)
        part = strands.harness.parts.get(strands.harness.contacts[address].owner)
        if part is not None:
            if part.kind == "relay" and not from_above and not self._is_shared_feed(address):
                for name in ("86", "85"):
                    self._whole(f"{part.id}.{name}")
        elif self._is_whole(owner := strands.owner(address)):
            for other in strands.of_owner[owner]:
                self._whole(other)
        elif owner in strands.harness.devices and len(strands.of_owner[owner]) <= SMALL and self.name != self.served.supply:
            for other in strands.of_owner[owner]:      # of a starter the cable from the battery, too
                for id in strands.at[other]:
                    if self.served.system[id] == self.served.supply and any(way.kind == "load" for way in strands.inside.get(other, ())):
                        self._add(id)

    def _partners(self, address: str) -> Iterator[tuple[str, str]]:
        for way in self.strands.inside.get(address, ()):
            if way.kind != "supply":
                yield (way.b if way.a == address else way.a), way.kind

    def _upward(self, address: str) -> None:
        """The strands from above, on the way to the supply."""
        for id in self.strands.at.get(address, ()):
            if self.directions.ends(self.strands.all[id])[1] == address:
                self._add(id)

    def _onward(self, address: str, always: bool = False) -> None:
        """The strands downward, on the way to ground."""
        if always or address in self.strands.returns:
            for id in self.strands.at.get(address, ()):
                if self.directions.ends(self.strands.all[id])[0] == address:
                    self._add(id)

    def _whole(self, address: str) -> None:
        for id in self.strands.at.get(address, ()):
            self._add(id)

    def _is_shared_feed(self, address: str) -> bool:
        """A bus bar, a contact of a relay or switch or a supply that others are fed from, too: the page begins there."""
        if self.name == self.served.supply:
            return False
        strands = self.strands
        contact = strands.harness.contacts[address]
        if strands.owner(address) in strands.harness.supplies:
            return True
        others = self.served.below[address] - {self.name}
        if not others:
            return False
        if contact.kind is Kind.BAR:
            return True
        return any(way.kind in ("relay", "switch") for way in strands.inside.get(address, ())) and len(self.served.below[address]) > MANY

    def _is_whole(self, owner: str) -> bool:
        """A device that stands with all it has wherever one of its wires is: a small one, or one that no other system uses."""
        strands = self.strands
        if owner not in strands.harness.devices or owner in strands.harness.supplies:
            return False
        wired = strands.of_owner[owner]
        systems = {self.served.system[id] for address in wired for id in strands.at[address]} - {None, self.served.supply}
        return systems <= {self.name} or (len(wired) <= SMALL and not any(strands.inside.get(address) for address in wired))
