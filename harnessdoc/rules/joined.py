"""Which kinds of signal meet on one copper, and what the table of pairings says of it.

Takes a Subject; gives Joins: the pairs that do not fit, each once a copper island and row of the table.
Contacts of relays, fuses and supplies that say no signal take the kind that follows from what they
are; they count only against pins that a supply or a coil harms.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING

from ..model.harness import Contact, Harness
from ..network.ways import CONTACTS, PLAIN, PROTECTS, Reached
from ..trade.pairing import Pairing, asked, kinds_of, pairing
from ..trade.signals import signals

if TYPE_CHECKING:
    from .subject import Subject

OF_PAIRS = (2, 8, 9, 10, 23, 24, 42)
"""Failure modes for which the kind that a contact is taken for is good enough."""
_RELAY_COIL, _FED, _GROUND = "relay-coil", "source-switched", "ground-power"
_SAME = 1e-3
"""Pulses and curves that differ by a smaller share are one."""


@dataclass(frozen=True, slots=True)
class Pin:
    """A contact on an island: its kind of signal, said or taken, and its device ("" where it has none)."""

    contact: Contact
    kind: str
    device: str
    is_taken: bool


@dataclass(frozen=True, slots=True)
class Join:
    """Two pins on one copper that do not fit; a gives, b takes, as the row has them; others: addresses of which the row says the same."""

    island: int
    a: Pin
    b: Pin
    row: Pairing
    others: tuple[str, ...]


def joins(subject: Subject) -> Iterator[Join]:
    """The pairs that do not fit, island by island, one for each row of the table."""
    here = _Pins(subject)
    for island, members in enumerate(subject.network.islands):
        if len(members) < 2:
            continue
        pins = [pin for address in members if (pin := here.pin(address)) is not None]
        if len(pins) < 2 or (len({pin.kind for pin in pins}) == 1 and not asked(pins[0].kind, pins[0].kind) and _fits(pins[0].kind)):
            continue
        found: dict[tuple[str, str, str], list[tuple[Pin, Pin, Pairing]]] = {}
        for one, other in combinations(pins, 2):
            if one.is_taken and other.is_taken:
                continue
            row = pairing(one.kind, other.kind, here.holds(one, other, pins))
            if row is None or row.severity is None or row.verdict == "direct":
                continue
            if (one.is_taken or other.is_taken) and (not row.modes or row.modes[0] not in OF_PAIRS):
                continue
            a, b = (one, other) if one.kind in kinds_of(row.from_) else (other, one)
            found.setdefault((row.from_, row.to, row.where), []).append((a, b, row))
        for (a, b, row), *more in found.values():
            yield Join(island, a, b, row, tuple(dict.fromkeys(pin.contact.address for pair in more for pin in pair[:2] if pin is not a and pin is not b)))


def device_of(harness: Harness, contact: Contact) -> str:
    """The device a contact belongs to, through its connector or as its own terminal; "" where none."""
    connector = harness.connectors.get(contact.owner)
    owner = (connector.device or "") if connector else contact.owner
    return owner if owner in harness.devices else ""


def _sensed() -> frozenset[str]:
    """The kinds of signal that a sensor gives."""
    return frozenset(kind for group in ("sensor outputs", "resistances", "inductive sensors", "knock-sensor", "oxygen-sensor") for kind in kinds_of(group) if not kind.startswith("output-"))


def _fits(kind: str) -> bool:
    row = pairing(kind, kind)
    return row is None or row.severity is None


class _Pins:
    """The pins of a harness, and what must be known of two of them."""

    def __init__(self, subject: Subject) -> None:
        self._subject = subject
        self._harness = subject.harness
        # A half that repeats the signal of the pin behind it is no second pin.
        self._in_line = {half for connector in self._harness.connectors.values() if connector.mates for half in (connector.id, connector.mates)}
        self._fed = self._fed_by_parts()
        self._readers = self._readers_of_sensors()

    def pin(self, address: str) -> Pin | None:
        contact = self._harness.contacts[address]
        device = device_of(self._harness, contact)
        if device and self._harness.devices[device].closes and contact.signal.startswith("output-"):
            return None     # a contact of a switch is no output, whatever it commands
        if contact.signal in signals() and contact.owner not in self._in_line:
            return Pin(contact, contact.signal, device, False)
        kind = self._fed.get(address, "")
        return Pin(contact, kind, "", True) if kind else None

    def holds(self, a: Pin, b: Pin, pins: list[Pin]) -> set[str]:
        """The circumstances that hold, of those that the table asks about this pair."""
        return {where for where in asked(a.kind, b.kind) if self._holds(where, a, b, pins)}

    def _holds(self, where: str, a: Pin, b: Pin, pins: list[Pin]) -> bool:
        match where:
            case "same device":
                return bool(a.device) and a.device == b.device
            case "two tracks":
                return self._two_tracks(a, b)
            case "two control units":
                return self._two_units(pins)
            case "load to ground" | "load to supply":
                load = b if _is_load(b.kind) else a
                return self._other_end(load, where == "load to supply")
            case "live in start" | "dead in start":
                return self._in_start(pins) is (where == "live in start")
            case "no pull-up":
                return self._no_pull_up(pins)
            case "pulses differ":
                one, other = a.contact.pulses, b.contact.pulses
                return one is not None and other is not None and differ(one, other)
            case "curve differs":
                return curves_differ(a.contact, b.contact) is not None
            case "bus differs":
                return _said_otherwise(a.contact.bus, b.contact.bus) or _said_otherwise(a.contact.bit_rate and a.contact.bit_rate.value, b.contact.bit_rate and b.contact.bit_rate.value)
        return False        # two vehicles: what comes from which is known of a merge alone

    def _fed_by_parts(self) -> Mapping[str, str]:
        """Contacts of parts, supplies and grounds -> the kind they are taken for: coils; what stands behind a fuse; plus; ground."""
        kinds: dict[str, str] = {}
        kinds.update(dict.fromkeys(self._harness.grounds, _GROUND))
        for part in self._harness.parts.values():
            if part.kind == "relay":
                kinds.update({f"{part.id}.{name}": _RELAY_COIL for name in ("85", "86") if name in part.terminals})
            elif part.kind in ("fuse", "fusible link"):
                kinds[f"{part.id}.2"] = _FED
        for id in self._harness.supplies:
            device = self._harness.devices[id]
            if device.between:
                kinds[device.between[0]], kinds[device.between[1]] = _FED, _GROUND
        for part in self._harness.parts.values():
            if part.kind == "relay" and (island := self._subject.network.island_of.get(f"{part.id}.30")) is not None:
                if any(kinds.get(address) == _FED for address in self._subject.members(island)):
                    kinds.update({f"{part.id}.{name}": _FED for name in ("87", "87b", "87a") if name in part.terminals})
        return kinds

    def _readers_of_sensors(self) -> Mapping[str, frozenset[str]]:
        """Device -> the other devices that read what it senses; only devices that give a signal of a sensor."""
        island_of = self._subject.network.island_of
        readers: dict[int, set[str]] = {}
        for address, contact in self._harness.contacts.items():
            if contact.signal.startswith("input-") and (device := device_of(self._harness, contact)):
                readers.setdefault(island_of[address], set()).add(device)
        sensed: dict[str, set[str]] = {}
        kinds = _sensed()
        for address, contact in self._harness.contacts.items():
            if contact.signal in kinds and (device := device_of(self._harness, contact)):
                sensed.setdefault(device, set()).update(readers.get(island_of[address], set()) - {device})
        return {device: frozenset(units) for device, units in sensed.items()}

    def _two_units(self, pins: list[Pin]) -> bool:
        """Sensors on the copper that no single unit reads all of, or pins of two units that read sensors."""
        sets = [self._readers[pin.device] for pin in pins if self._readers.get(pin.device)]
        units = frozenset().union(*sets)
        own = {pin.device for pin in pins if pin.device in units}
        return len(own) > 1 or (bool(sets) and not frozenset.intersection(*sets))

    def _two_tracks(self, a: Pin, b: Pin) -> bool:
        """Both belong to one pedal or throttle, or to the pins of a unit for one, which has a pin of this kind for each track."""
        if not a.device or a.device != b.device:
            return False
        kinds = [contact.signal for contact in self._harness.contacts.values() if device_of(self._harness, contact) == a.device]
        return any(kinds.count(track) > 1 for track in ("pedal-track", "throttle-track")) or self._serves_tracks(a, b)

    def _serves_tracks(self, a: Pin, b: Pin) -> bool:
        """Two references of a unit, to pedal or throttle: their copper reaches the device of the tracks."""
        island = self._subject.network.island_of[a.contact.address]
        owners = {device_of(self._harness, self._harness.contacts[address]) for address in self._subject.members(island)} - {a.device, ""}
        return any(self._harness.contacts[address].signal in ("pedal-track", "throttle-track")
                   for owner in owners for connector in self._harness.devices[owner].connectors
                   for address in (f"{connector}.{cavity}" for cavity in self._harness.connectors[connector].cavities) if address in self._harness.contacts)

    def _other_end(self, load: Pin, at_supply: bool) -> bool:
        """Whether the load's other end is at ground, or at a supply, whatever switches do."""
        ways = self._subject.ways
        here = ways.point(load.contact.address)
        ends = [ways.beyond(way, here) for way in ways.at.get(here, ()) if way.kind in ("load", "coil") and load.contact.address in (way.a, way.b)]
        rail = self._supplied if at_supply else self._grounded
        return any(end in rail for end in ends)

    @cached_property
    def _grounded(self) -> Reached:
        """What wires join to a ground."""
        ways = self._subject.ways
        return ways.reach_over(ways.minus, PLAIN)

    @cached_property
    def _supplied(self) -> Reached:
        """What a supply, what stands behind a fuse, or a contact that gives a supply can reach in some position of switches."""
        sources = kinds_of("sources")
        said = (address for address, contact in self._harness.contacts.items() if contact.signal in sources)
        return self._subject.ways.reach_over((*said, *(address for address, kind in self._fed.items() if kind == _FED)), (*PLAIN, *PROTECTS, *CONTACTS, "diode"))

    def _in_start(self, pins: list[Pin]) -> bool | None:
        """Whether the copper is live at start, by the states; None where it is not known or dead in run as well."""
        operation = self._subject.operation
        if operation is None:
            return None
        from ..operation.columns import RUN, START, column

        run, start = column(operation, RUN), column(operation, START)
        if run is None or start is None:
            return None
        address = pins[0].contact.address
        volts = [operation.read(solved, [address]).get(address) for solved in (run, start)]
        if volts[0] is None or volts[0] < 6:
            return None
        return volts[1] is not None and volts[1] > 3

    def _no_pull_up(self, pins: list[Pin]) -> bool:
        """Nothing on the copper pulls it up: no resistor, and no pin that says it does; where a reader says nothing it is not known."""
        island = self._subject.network.island_of[pins[0].contact.address]
        points = dict.fromkeys(self._subject.ways.point(address) for address in self._subject.members(island))
        if any(way.kind in ("resistor", "load", "coil") for point in points for way in self._subject.ways.at.get(point, ())):
            return False
        if any(pin.contact.inside is not None and pin.contact.inside.pull_up is not None for pin in pins):
            return False
        readers = [pin for pin in pins if pin.kind.startswith("input-") or pin.kind in ("tachometer", "gauge")]
        return bool(readers) and all(pin.contact.inside is not None and pin.contact.inside.pull_down is not None for pin in readers)


def differ(one, other) -> bool:
    """Whether two statements of pulses are of one kind and not the same."""
    per = {"km": 1.0, "mile": 1.609344, "turn": None}
    if (one.per == "turn") != (other.per == "turn"):
        return False
    a, b = (stated.number / (per[stated.per] or 1.0) for stated in (one, other))
    return abs(a - b) > _SAME * max(a, b)


def curves_differ(one: Contact, other: Contact, share: float = 0.1) -> tuple[float, float, float] | None:
    """(at, ohm of one, ohm of the other) where two curves lie farthest apart, by more than ``share``; None where they agree or do not overlap."""
    if one.curve is None or other.curve is None or one.curve.unit != other.curve.unit:
        return None
    apart = None
    for at in sorted({point for curve in (one.curve, other.curve) for point, _ in curve.points}):
        ohms = [ohm_at(curve.points, at) for curve in (one.curve, other.curve)]
        if ohms[0] is not None and ohms[1] is not None:
            by = abs(ohms[0] - ohms[1]) / max(ohms)
            if by > share and (apart is None or by > apart[0]):
                apart = (by, (at, ohms[0], ohms[1]))
    return apart[1] if apart else None


def ohm_at(points: tuple[tuple[float, float], ...], at: float) -> float | None:
    """The resistance at a point between those stated, on a straight line of its logarithm; None outside."""
    from math import exp, log

    for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
        if x0 <= at <= x1:
            return y0 if x1 == x0 else exp(log(y0) + (log(y1) - log(y0)) * (at - x0) / (x1 - x0))
    return None


def _is_load(kind: str) -> bool:
    return kind in kinds_of("loads")


def _said_otherwise(one: object, other: object) -> bool:
    return bool(one) and bool(other) and one != other
