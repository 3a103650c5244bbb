"""Which end of each strand is above: from potentials of the harness as if everything conducted.

Takes Strands; gives Directions, a rank for every address: of two the one with the lesser rank is
above. Battery plus (where none is described, the supply side of fuses) stands at 1, grounds at 0; every wire, fuse,
contact in any position and load conducts, and a control unit leads from its feeds to its grounds and outputs. What no
current reaches (sensors, data lines) hangs from the unit it belongs to: a device with a feed of its own and no ground of its own gives to the unit, else the device with the
most contacts gives. Conductances are of no meaning beyond their order: design choice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from ..model.electric import Alternator
from ..model.harness import Kind
from ..trade.signals import signals
from .strands import Strand, Strands

WIRE, THROUGH, LOAD, COIL, PIN, LEAK = 1.0, 1.0, 1e-3, 5e-4, 1e-3, 1e-7
SECOND = 0.5
"""Where a battery stands that another one charges."""
DIGITS = 12
"""Potentials that agree so far are equal: the order of the description decides then."""
FED, FEW = 0.3, 6
"""From this potential on a contact is a feed; a sensor has no more contacts than that."""
_FLOATING_RAILS = ("5 V", "sensor supply", "sensor", "bus", "audio", "none", "above 60 V")


@dataclass(frozen=True, slots=True)
class Directions:
    """rank: address -> its place from the supply down; volts: 1 at the battery, 0 at ground, None where neither is reached."""

    rank: Mapping[str, int]
    volts: Mapping[str, float | None]

    def ends(self, strand: Strand) -> tuple[str, str]:
        """(upper, lower) end of a strand."""
        return (strand.a, strand.b) if self.rank[strand.a] <= self.rank[strand.b] else (strand.b, strand.a)

    def is_above(self, one: str, other: str) -> bool:
        return self.rank[one] < self.rank[other]


def find_directions(strands: Strands) -> Directions:
    """The order of all addresses, loose ends too. Loads numpy and scipy."""
    addresses = list(dict.fromkeys((*strands.harness.contacts, *(end for strand in strands.all.values() for end in (strand.a, strand.b)))))
    pieces = list(_pieces(strands))
    fixed = dict(_fixed(strands))
    live = _reached(pieces, fixed)
    volts = _solved([piece for piece in pieces if piece[0] in live], fixed, [a for a in addresses if a in live])
    floating = [address for address in addresses if address not in live]
    given = dict(_givers(strands, floating, pieces, volts))
    hung = _solved([piece for piece in pieces if piece[0] not in live], given, floating, leak=1e-3)
    everywhere = {**volts, **hung}
    place = {address: number for number, address in enumerate(addresses)}
    order = sorted(addresses, key=lambda address: (-round(everywhere[address], DIGITS), place[address]))
    return Directions({address: number for number, address in enumerate(order)}, {address: volts.get(address) for address in addresses})


def _fixed(strands: Strands) -> Iterator[tuple[str, float]]:
    """Grounds and minus at 0, plus of what gives a supply at 1; an alternator is taken for a load of the battery, where there is one.
    Where no supply is described, what leads to those terminals 1 of fuses and links that no other fuse or link feeds, at 1."""
    harness = strands.harness
    for id in harness.grounds:
        yield id, 0.0
    supplies = [harness.devices[id] for id in harness.supplies]
    batteries = [device for device in supplies if not isinstance(device.supply, Alternator)] or supplies
    for number, device in enumerate(batteries):
        if device.between:
            yield device.between[0], SECOND if number else 1.0
            yield device.between[1], 1e-4      # above the grounds it is strapped to
    if not supplies:
        fuses = [part for part in harness.parts.values() if part.kind in ("fuse", "fusible link")]
        fed = {end for part in fuses for end in strands.copper.get(f"{part.id}.2", ())}
        for part in fuses:
            if f"{part.id}.1" not in fed:
                yield from ((end, 1.0) for end in list(_comes_from(strands, f"{part.id}.1")) or [f"{part.id}.1"])


def _comes_from(strands: Strands, address: str) -> Iterator[str]:
    """The contacts of connectors and devices that copper joins to an address, but those of loads and switches."""
    for end in strands.copper.get(address, ()):
        if strands.kind(end) in (Kind.CAVITY, Kind.STUD) and strands.owner(end) not in strands.harness.parts and end not in strands.mate and not strands.inside.get(end):
            yield end


def _pieces(strands: Strands) -> Iterator[tuple[str, str, float]]:
    harness, kinds = strands.harness, signals()
    for strand in strands.all.values():
        yield strand.a, strand.b, WIRE
    for a, b in strands.mate.items():
        if a < b:
            yield a, b, 10.0
    seen: set[int] = set()
    described: set[str] = set()
    for ways in strands.inside.values():
        for way in ways:
            described.update((way.a, way.b))
            if id(way) in seen:
                continue
            seen.add(id(way))
            alternator = way.kind == "supply" and isinstance(harness.devices[way.thing].supply, Alternator)
            if way.kind != "supply" or alternator:
                yield way.a, way.b, {"coil": COIL, "load": LOAD, "supply": LOAD, "resistor": LOAD}.get(way.kind, THROUGH)
    for address, contact in harness.contacts.items():
        if contact.kind not in (Kind.CAVITY, Kind.STUD) or address in strands.mate or contact.owner in harness.parts:
            continue
        kind = kinds.get(contact.signal)
        if contact.inside is not None and contact.inside.metal:
            yield address, _GROUND, THROUGH
        if kind is not None and (kind.rail in _FLOATING_RAILS or contact.signal in ("ground-sensor", "shield")):
            continue
        if kind is not None or contact.draws is not None or (address not in described and strands.owner(address) in harness.devices and not contact.signal):
            middle = f"{strands.owner(address)} inside"
            if address not in described or (kind is not None and kind.direction in ("supply", "ground")):
                yield address, middle, PIN


_GROUND = "ground"


def _reached(pieces: Iterable[tuple[str, str, float]], fixed: Mapping[str, float]) -> set[str]:
    """What conducts to something of known potential."""
    neighbours: dict[str, list[str]] = {}
    for a, b, _ in pieces:
        neighbours.setdefault(a, []).append(b)
        neighbours.setdefault(b, []).append(a)
    queue = [*fixed, _GROUND]
    found = set(queue)
    for address in queue:
        new = [other for other in neighbours.get(address, ()) if other not in found]
        found.update(new)
        queue += new
    return found


def _solved(pieces: Iterable[tuple[str, str, float]], fixed: Mapping[str, float], addresses: Iterable[str], leak: float = LEAK) -> dict[str, float]:
    """Potentials, with a leak to ground at every address, so that what leads nowhere falls away from where it hangs."""
    import numpy as np
    from scipy.sparse import csc_matrix
    from scipy.sparse.linalg import spsolve

    pieces = list(pieces)
    known = {**fixed, _GROUND: 0.0}
    names = list(dict.fromkeys((*(end for a, b, _ in pieces for end in (a, b)), *addresses)))
    free = {name: number for number, name in enumerate(name for name in names if name not in known)}
    if not free:
        return {**fixed}
    rows, columns, values = [], [], []
    right = np.zeros(len(free))

    def add(row: int, column: int, value: float) -> None:
        rows.append(row)
        columns.append(column)
        values.append(value)

    for number in free.values():
        add(number, number, leak)
    for a, b, g in pieces:
        for one, other in ((a, b), (b, a)):
            if one in free:
                add(free[one], free[one], g)
                if other in free:
                    add(free[one], free[other], -g)
                else:
                    right[free[one]] += g * known[other]
    found = spsolve(csc_matrix((values, (rows, columns)), shape=(len(free), len(free))), right)
    return {**fixed, **{name: float(found[number]) for name, number in free.items()}}


def _givers(strands: Strands, floating: list[str], pieces: Iterable[tuple[str, str, float]], volts: Mapping[str, float]) -> Iterator[tuple[str, float]]:
    """Of each piece of the harness that no current reaches, the contacts of the device that gives: they stand at 1."""
    is_floating = set(floating)
    neighbours: dict[str, list[str]] = {}
    for a, b, _ in pieces:
        if a in is_floating and b in is_floating:
            neighbours.setdefault(a, []).append(b)
            neighbours.setdefault(b, []).append(a)
    ranks = {owner: _giving(strands, owner, volts) for owner in strands.of_owner}
    seen: set[str] = set()
    for start in floating:
        if start in seen:
            continue
        group = [start]
        seen.add(start)
        for address in group:
            new = [other for other in dict.fromkeys(neighbours.get(address, ())) if other not in seen]
            seen.update(new)
            group += new
        owners: dict[str, list[str]] = {}
        for address in group:
            if strands.kind(address) in (Kind.CAVITY, Kind.STUD, Kind.SOCKET) and address not in strands.mate and strands.at.get(address):
                owners.setdefault(strands.owner(address), []).append(address)
        if owners:
            first = min(owners, key=lambda owner: (*ranks[owner], list(owners).index(owner)))
            yield from ((address, 1.0) for address in owners[first])
        elif len(group) > 1:
            yield group[0], 1.0


def _giving(strands: Strands, owner: str, volts: Mapping[str, float]) -> tuple[int, int]:
    """How soon a device gives: with a feed and no ground of its own first, then by the number of contacts; what hangs from one unit last."""
    wired = strands.of_owner[owner]
    powered = [volts[address] for address in wired if address in volts]
    if not powered or _hangs(strands, owner):
        return 2, -len(wired)
    return (0 if min(powered) > FED and len(powered) < len(wired) and len(wired) <= FEW else 1), -len(wired)


def _hangs(strands: Strands, owner: str) -> bool:
    """Whether all contacts of a device lead by copper to one unit that has more of them, and to no part."""
    wired = strands.of_owner[owner]
    common: set[str] | None = None
    for address in wired:
        others = {strands.owner(other) for other in strands.copper.get(address, ()) if strands.kind(other) in (Kind.CAVITY, Kind.STUD, Kind.SOCKET) and other not in strands.mate}
        if address in strands.returns or any(other in strands.harness.parts for other in others):
            return False
        common = others if common is None else common & others
    return any(len(strands.of_owner.get(other, ())) > len(wired) for other in (common or set()) - {owner})
