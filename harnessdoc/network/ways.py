"""Ways: what leads from point to point, whatever its state: for the questions a list answers without a supply.

Takes a harness and its network; gives Ways: the things between points, and who can be reached from
where through what. Nothing is solved: a contact of a switch or relay is there with the position that
closes it, and whoever asks says what to go through.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from ..model.electric_words import METALS
from ..model.harness import Harness, Part
from .islands import Network
from .points import find_points

Between = Literal["wire", "fuse", "fusible link", "switch", "relay", "coil", "diode", "resistor", "load", "metal", "supply"]
PLAIN: tuple[Between, ...] = ("wire", "metal")
"""What joins for good, besides the copper of a point."""
PROTECTS: tuple[Between, ...] = ("fuse", "fusible link")
CONTACTS: tuple[Between, ...] = ("switch", "relay")
ASSUMED_METAL = "body"
"""Taken for a ground of which no metal is said; where it is taken in a solve, it is told."""
_METALS = (*METALS, "battery")


@dataclass(frozen=True, slots=True)
class Way:
    """One thing between two points.

    kind:     what it is
    thing:    id of the wire, fuse, relay, device ...; of metal the address that sits on it
    a, b:     the addresses at its ends (a diode leads from a to b; a fuse has its supply side at a);
              of metal b is ``body metal``
    position: of a switch the position that closes it; of a relay ``87``, ``87b`` or ``87a``; of a load its name
    """

    kind: Between
    thing: str
    a: str
    b: str
    position: str = ""


@dataclass(frozen=True, slots=True)
class Reached:
    """Point -> the way by which it was reached and the point before; the start has neither.

    ``way(point)`` is the whole way, thing by thing, from the start.
    """

    before: Mapping[str, tuple[Way, str] | None]

    def __contains__(self, point: str) -> bool:
        return point in self.before

    def way(self, point: str) -> tuple[Way, ...]:
        found = []
        while (step := self.before[point]) is not None:
            way, point = step
            found.append(way)
        return tuple(reversed(found))


@dataclass(frozen=True)
class Ways:
    """point_of: address -> point; at: point -> what leads from it, in the order of the description."""

    harness: Harness
    point_of: Mapping[str, str]
    at: Mapping[str, tuple[Way, ...]]

    def point(self, end: str) -> str:
        """The point of an address; a metal is a point of its own."""
        return self.point_of.get(end, end)

    def beyond(self, way: Way, point: str) -> str:
        """The point at the other end of a way."""
        a, b = self.point(way.a), self.point(way.b)
        return b if point == a else a

    def reach(self, starts: Iterable[str], through: Callable[[Way, str], bool]) -> Reached:
        """All points reached from ``starts`` (addresses or points), nearest first, where ``through(way, point it is entered from)`` lets pass."""
        before: dict[str, tuple[Way, str] | None] = {self.point(start): None for start in starts}
        queue = deque(before)
        while queue:
            here = queue.popleft()
            for way in self.at.get(here, ()):
                there = self.beyond(way, here)
                if there not in before and through(way, here):
                    before[there] = (way, here)
                    queue.append(there)
        return Reached(before)

    def reach_over(self, starts: Iterable[str], kinds: Collection[Between], shut: Collection[str] = ()) -> Reached:
        """Through every way of these kinds, a diode only forward; not through the things in ``shut``."""
        return self.reach(starts, lambda way, point: way.kind in kinds and way.thing not in shut and (way.kind != "diode" or self.point(way.a) == point))

    @cached_property
    def plus(self) -> tuple[str, ...]:
        """The points where current comes from: plus of batteries and test supplies, outputs of alternators."""
        stated = [device.between[0] for id in self.harness.supplies if (device := self.harness.devices[id]).between]
        said = [address for address, contact in self.harness.contacts.items() if contact.signal in ("source-battery", "source-alternator")]
        return tuple(dict.fromkeys(map(self.point, (*stated, *said))))

    @cached_property
    def minus(self) -> tuple[str, ...]:
        """The points where it ends: minus of batteries, and every metal and ground."""
        stated = [device.between[1] for id in self.harness.supplies if (device := self.harness.devices[id]).between and "alternator" not in device.source]
        said = [address for address, contact in self.harness.contacts.items() if contact.signal == "ground-battery"]
        metals = {way.b for ways in self.at.values() for way in ways if way.kind == "metal"}
        return tuple(dict.fromkeys((*map(self.point, (*stated, *said)), *sorted(metals))))


def find_ways(harness: Harness, network: Network) -> Ways:
    """Every way of the harness between known addresses."""
    point_of = find_points(harness, network)
    at: dict[str, list[Way]] = {}
    for way in _all(harness):
        a, b = point_of.get(way.a), point_of.get(way.b) if way.kind != "metal" else way.b
        if a is None or b is None:
            continue
        at.setdefault(a, []).append(way)
        if a != b:
            at.setdefault(b, []).append(way)
    return Ways(harness, point_of, {point: tuple(ways) for point, ways in at.items()})


def _all(harness: Harness) -> Iterator[Way]:
    for wire in harness.wires.values():
        yield Way("wire", wire.id, wire.from_, wire.to)
    for part in harness.parts.values():
        yield from _of_part(part)
    for id, device in harness.devices.items():
        for position, pairs in device.closes.items():
            yield from (Way("switch", id, a, b, position) for a, b in pairs)
        if device.between and device.supply:
            yield Way("supply", id, *device.between)
        if device.between and device.load:
            yield Way("load", id, *device.between)
        yield from (Way("load", id, *load.between, name) for name, load in device.loads.items())
    for id, ground in harness.grounds.items():
        yield Way("metal", id, id, f"{ground.metal if ground.metal in _METALS else ASSUMED_METAL} metal")
    for address, contact in harness.contacts.items():
        if contact.inside is not None and contact.inside.metal in _METALS:
            yield Way("metal", address, address, f"{contact.inside.metal} metal")


def _of_part(part: Part) -> Iterator[Way]:
    terminals = {name: f"{part.id}.{name}" for name in part.terminals}
    match part.kind:
        case "relay":
            if "85" in terminals and "86" in terminals:
                yield Way("coil", part.id, terminals["86"], terminals["85"])
            yield from (Way("relay", part.id, terminals["30"], terminals[name], name) for name in ("87", "87b", "87a") if name in terminals and "30" in terminals)
        case "diode":
            yield Way("diode", part.id, terminals["A"], terminals["K"])
        case "fuse" | "fusible link" | "resistor":
            yield Way(part.kind, part.id, terminals["1"], terminals["2"])
