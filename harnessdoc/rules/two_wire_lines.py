"""Lines of two wires: CAN, J1708 and inductive sensors: which copper is whose partner, and how the wires of one run.

Takes a Subject; gives TwoWireLines, and of one copper the tree of its wires with their lengths, of CAN what terminates it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .joined import device_of

if TYPE_CHECKING:
    from ..description.text import Record
    from ..model.harness import Contact, Wire
    from .subject import Subject

_BIASES_OHM = 5_000.0
"""More than this between two lines is no terminator, however wrong; it is what biases a bus."""


@dataclass(frozen=True, slots=True)
class LineKind:
    """What a line is called, and the kinds of signal on either wire; is_bus: its two wires serve nothing else."""

    words: str
    of_a: tuple[str, ...]
    of_b: tuple[str, ...]
    is_bus: bool


CAN = LineKind("CAN bus", ("can-high",), ("can-low",), True)
J1708 = LineKind("J1708 bus", ("j1708-plus",), ("j1708-minus",), True)
INDUCTIVE = LineKind("inductive sensor", ("inductive-sensor-plus", "input-inductive-plus"), ("inductive-sensor-minus", "input-inductive-minus"), False)
"""Its minus may be a sensor ground with many other wires."""


@dataclass(frozen=True, slots=True)
class TwoWireLine:
    """Two islands of copper, and on each the contacts that name its kind of signal, without those of in-line halves."""

    kind: LineKind
    a: int
    b: int
    pins_a: tuple[Contact, ...]
    pins_b: tuple[Contact, ...]

    @property
    def words(self) -> str:
        """``CAN bus powertrain``, ``inductive sensor``."""
        return " ".join(filter(None, (self.kind.words, next((pin.bus for pin in (*self.pins_a, *self.pins_b) if pin.bus), ""))))


@dataclass(frozen=True, slots=True)
class Between:
    """A resistance from one wire of a line to the other.

    thing: the device or part it is in, or both parts of two in series; words: ``120 ohm in U1``
    a, b:  the addresses at which it sits on either wire
    """

    ohm: float
    thing: str
    words: str
    a: str
    b: str
    source: Record


def lines(subject: Subject, kind: LineKind) -> tuple[TwoWireLine, ...]:
    """The lines of a kind, in the order of the description; a copper that no partner is known of is left out, and one that is crossed with it."""
    harness, island_of = subject.harness, subject.network.island_of
    of_a, of_b = ({address: contact for address, contact in harness.contacts.items() if contact.signal in signals} for signals in (kind.of_a, kind.of_b))
    if not of_a or not of_b:
        return ()
    islands_a, islands_b = ({island_of[address] for address in pins} for pins in (of_a, of_b))
    votes: dict[int, dict[int, int]] = {}

    def vote(a: int | None, b: int | None) -> None:
        if a is not None and b is not None and a in islands_a and b in islands_b:
            votes.setdefault(a, {})
            votes[a][b] = votes[a].get(b, 0) + 1

    # Two pins of one plug or device belong together, where it has no other of their kind; so do two wires twisted, and two ends of a load.
    for group in ("owner", "device"):
        owned: dict[tuple[str, str], tuple[list[str], list[str]]] = {}
        for side, pins in enumerate((of_a, of_b)):
            for address, contact in pins.items():
                owner = contact.owner if group == "owner" else device_of(harness, contact)
                if owner:
                    owned.setdefault((owner, contact.bus), ([], []))[side].append(address)
        for here, there in owned.values():
            if len(here) == len(there) == 1:
                vote(island_of[here[0]], island_of[there[0]])
    for twisted in (*harness.pairs.values(), *harness.cables.values()):
        on = list(dict.fromkeys(island for wire in twisted.wires if (island := island_of_wire(subject, harness.wires[wire])) is not None))
        for one in on:
            for other in on:
                vote(one, other)
    found: list[TwoWireLine] = []
    in_line = {half for connector in harness.connectors.values() if connector.mates for half in (connector.id, connector.mates)}
    for a in dict.fromkeys(island_of[address] for address in of_a):
        if a in votes:
            b = max(votes[a], key=lambda island: votes[a][island])
            if a != b:
                pins = (tuple(contact for address, contact in of.items() if island_of[address] == island and contact.owner not in in_line) for of, island in ((of_a, a), (of_b, b)))
                found.append(TwoWireLine(kind, a, b, *pins))
    return tuple(found)


def island_of_wire(subject: Subject, wire: Wire) -> int | None:
    """The island a wire is part of; None where neither end is known."""
    island_of = subject.network.island_of
    return island_of.get(wire.from_, island_of.get(wire.to))


def onward(subject: Subject, wire: Wire, end: str) -> Wire | None:
    """The one wire in which another goes on, behind a splice of two or in the other half of an in-line connector; None where there is none, or more."""
    ways = subject.ways
    if end not in subject.harness.contacts:
        return None
    here = ways.at.get(ways.point(end), ())
    behind = [way.thing for way in here if way.thing != wire.id]
    return subject.harness.wires[behind[0]] if len(behind) == 1 and all(way.kind == "wire" for way in here) else None


def resistances(subject: Subject, line: TwoWireLine) -> list[Between]:
    """What lies from one wire of a line to the other, up to 5 kohm: loads in devices, resistors, and two resistors in series with a point between."""
    island_of = subject.network.island_of
    found: list[Between] = []
    halves: dict[int, dict[int, list[tuple[float, str, str, Record]]]] = {}     # point between -> line -> resistors to it
    for ohm, thing, ends, source in _two_ended(subject):
        at = [island_of.get(end) for end in ends]
        if at == [line.a, line.b] or at == [line.b, line.a]:
            a, b = ends if at[0] == line.a else ends[::-1]
            found.append(Between(ohm, thing, f"{_ohms(ohm)} ohm in {thing}", a, b, source))
            continue
        for here, there in ((0, 1), (1, 0)):
            if at[here] in (line.a, line.b) and (middle := at[there]) is not None and middle not in (line.a, line.b):
                halves.setdefault(middle, {}).setdefault(at[here], []).append((ohm, thing, ends[here], source))     # type: ignore[arg-type]
    for sides in halves.values():
        for (ohm_a, thing_a, a, source), (ohm_b, thing_b, b, _) in zip(sides.get(line.a, ()), sides.get(line.b, ()), strict=False):
            both = thing_a if thing_a == thing_b else f"{thing_a} and {thing_b}"
            found.append(Between(ohm_a + ohm_b, thing_a, f"{_ohms(ohm_a)} and {_ohms(ohm_b)} ohm in series in {both}", a, b, source))
    return [between for between in found if between.ohm <= _BIASES_OHM]


def _ohms(ohm: float) -> str:
    return f"{ohm:.4g}"


def _two_ended(subject: Subject) -> Iterator[tuple[float, str, tuple[str, str], Record]]:
    """(ohm, device or part, its two ends, where it stands) of each resistor and each load that states its resistance."""
    harness = subject.harness
    for part in harness.parts.values():
        if part.kind == "resistor" and part.value is not None:
            yield part.value.value, part.id, (f"{part.id}.1", f"{part.id}.2"), part.source
    for device in harness.devices.values():
        stated = [(device.between, device.load), *((named.between, named.load) for named in device.loads.values())]
        for between, load in stated:
            if between is not None and load is not None and load.rating is not None:
                yield load.rating.ohm, device.id, between, device.source


# ------------------------------------------------------------------------ how it runs

@dataclass(frozen=True, slots=True)
class Tree:
    """The wires of one copper as a tree of points.

    start:  the point it was walked from; before: point -> (wire, point before), None of the start
    far_mm: point -> the length of the wires to it, wires of unknown length as nothing
    hops:   point -> how many wires
    """

    start: str
    before: Mapping[str, tuple[str, str] | None]
    far_mm: Mapping[str, float]
    hops: Mapping[str, int]

    def way(self, point: str) -> list[tuple[str, str]]:
        """(wire, point at its far end) from the start to a point."""
        found = []
        while (step := self.before[point]) is not None:
            found.append((step[0], point))
            point = step[1]
        return found[::-1]

    def __contains__(self, point: str) -> bool:
        return point in self.before

    def points(self, point: str) -> list[str]:
        """The points from the start to a point, both with it."""
        return [self.start, *(reached for _, reached in self.way(point))]

    def farthest(self, points: list[str]) -> str:
        """The farthest of some points, by length, then by wires; the first of equals."""
        return max(points, key=lambda point: (self.far_mm[point], self.hops[point]))


def tree(subject: Subject, start: str) -> Tree:
    """All that wires reach from an address or point."""
    ways, lengths = subject.ways, subject.geometry.lengths
    start = ways.point(start)
    before: dict[str, tuple[str, str] | None] = {start: None}
    far_mm, hops = {start: 0.0}, {start: 0}
    queue = deque([start])
    while queue:
        here = queue.popleft()
        for way in ways.at.get(here, ()):
            there = ways.beyond(way, here)
            if way.kind == "wire" and there not in before:
                before[there] = (way.thing, here)
                far_mm[there] = far_mm[here] + (lengths[way.thing].finished_mm or 0.0)
                hops[there] = hops[here] + 1
                queue.append(there)
    return Tree(start, before, far_mm, hops)


def are_twisted(subject: Subject, wire: Wire, island: int) -> bool:
    """Whether a wire is in a pair or cable with a wire of an island."""
    harness = subject.harness
    together = (*(harness.pairs[wire.pair].wires if wire.pair in harness.pairs else ()), *(harness.cables[wire.cable].wires if wire.cable in harness.cables else ()))
    return any(other != wire.id and island_of_wire(subject, harness.wires[other]) == island for other in together)
