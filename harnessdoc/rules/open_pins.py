"""Supply and ground pins of devices that nothing reaches.

Takes a Subject; gives the supply pins that no supply reaches and the ground pins that reach no ground, contacts in any position,
those of one device or one copper together. Where something not described may lie on the way nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..model.harness import Contact, Harness, Kind
from ..trade.pairing import kinds_of
from ..trade.signals import signals
from .pins import pins_by_device
from .rails import grounded, live
from .runs_of import grouped

if TYPE_CHECKING:
    from .subject import Subject

_SUPPLIED = ("feed-constant", "feed-switched", "feed-run", "feed-accessory", "feed-start", "feed-relay", "feed-lighting", "input-wake")
_FROM_UNITS = ("feed-5v", "feed-sensor")
_GROUNDED = ("ground-power", "ground-signal", "ground-case")
_SENSOR_GROUND = "ground-sensor"
_SENSORS = ("sensor outputs", "resistances", "inductive sensors", "knock-sensor", "oxygen-sensor", "pedal-track", "throttle-track")
"""Groups and kinds of signals that a sensor gives: its ground pin takes a ground, that of any other device gives one."""
_THROUGH = ("wire", "fuse", "fusible link", "switch", "relay", "diode", "resistor")


@dataclass(frozen=True, slots=True)
class OpenPins:
    """Pins that one mend helps: of one device, or on one copper. ``of``: how many of the kind their devices have; all in the order of the description."""

    devices: tuple[str, ...]
    pins: tuple[Contact, ...]
    of: int

    def titles(self, harness: Harness) -> str:
        """``control unit U1``, ``coolant sensor N6 and pressure sensor N7``."""
        words = [f"{harness.devices[id].title} {id}".strip() for id in self.devices]
        return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def open_supplies(subject: Subject) -> list[OpenPins]:
    """The supply pins without a source; none where no source is described."""
    return _gathered(subject, list(_supplies(subject, pins_by_device(subject.harness))))


def open_grounds(subject: Subject) -> list[OpenPins]:
    """The ground pins without a ground; none where no ground is described."""
    return _gathered(subject, list(_grounds(subject, pins_by_device(subject.harness))))


def _gathered(subject: Subject, found: list[tuple[str, list[Contact], int]]) -> list[OpenPins]:
    pins = {pin.address: pin for _, missing, _ in found for pin in missing}
    device_of = {pin.address: id for id, missing, _ in found for pin in missing}
    counts = {id: count for id, _, count in found}
    gathered = []
    for group in grouped((address, (device_of[address], subject.network.island_of[address])) for address in pins):
        devices = tuple(dict.fromkeys(device_of[address] for address in group))
        gathered.append(OpenPins(devices, tuple(pins[address] for address in group), sum(counts[id] for id in devices)))
    return gathered


def _supplies(subject: Subject, pins: Mapping[str, list[Contact]]) -> Iterator[tuple[str, list[Contact], int]]:
    harness, ways = subject.harness, subject.ways
    if not ways.plus:
        return
    given = [address for address, contact in harness.contacts.items() if (kind := signals().get(contact.signal)) and kind.direction != "in" and kind.drive in ("high", "both")]
    reached = ways.reach_over([*live(ways).before, *given], ("wire", "fuse", "fusible link", "switch", "relay", "diode", "resistor"))
    for id, of_device in pins.items():
        wanted = [pin for pin in of_device if pin.signal in (*_SUPPLIED, *_FROM_UNITS)]
        missing = [pin for pin in wanted if ways.point(pin.address) not in reached and not _leads_on(subject, pin)]
        if missing:
            yield id, missing, len(wanted)


def _grounds(subject: Subject, pins: Mapping[str, list[Contact]]) -> Iterator[tuple[str, list[Contact], int]]:
    harness, ways = subject.harness, subject.ways
    if not ways.minus:
        return
    senses = {*_FROM_UNITS, *(kind for group in _SENSORS for kind in kinds_of(group) if not kind.startswith("output-"))}
    units = {pin.address for of_device in pins.values() if not any(other.signal in senses for other in of_device)
             for pin in of_device if pin.signal == _SENSOR_GROUND}
    reached = ways.reach([*grounded(ways).before, *units], lambda way, point: way.kind in _THROUGH)
    for id, of_device in pins.items():
        if id in harness.supplies:
            continue
        wanted = [pin for pin in of_device if pin.signal in (*_GROUNDED, _SENSOR_GROUND) and pin.address not in units]
        missing = [pin for pin in wanted if ways.point(pin.address) not in reached and not _leads_on(subject, pin) and not (pin.signal == "ground-case" and not harness.wires_at.get(pin.address))]
        if missing:
            yield id, missing, len(wanted)


def _leads_on(subject: Subject, pin: Contact) -> bool:
    """Whether something that is not described may lie on the way from a pin."""
    ways = subject.ways
    reached = ways.reach([pin.address], lambda way, point: way.kind in _THROUGH)
    return any(_may(subject, address) for point in reached.before for address in _at(subject, point))


def _at(subject: Subject, point: str) -> set[str]:
    """The addresses of a point at which something ends."""
    ways = subject.ways
    return {address for address in subject.members(subject.network.island_of[point]) if ways.point(address) == point}


def _may(subject: Subject, address: str) -> bool:
    harness = subject.harness
    if any(end not in harness.contacts for id in harness.wires_at.get(address, ()) for end in (harness.wires[id].from_, harness.wires[id].to)):
        return True
    contact = harness.contacts[address]
    if contact.kind is Kind.SPLICE:
        return harness.splices[address].members_unknown
    connector = harness.connectors.get(contact.owner)
    mated = connector is not None and (bool(connector.mates) or any(other.mates == connector.id for other in harness.connectors.values()))
    return connector is not None and connector.device is None and not mated
