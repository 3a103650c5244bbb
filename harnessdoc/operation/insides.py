"""What stands behind the pins of a device in every state: joined grounds, references, pull-ups, pull-downs, diodes.

Takes a device and its unit; puts elements and relays into a Gathering. A device that has a supply
pin and gives references works from some volts on; that is a relay whose coil is its supply pin,
so that a reference is there when the supply is and not before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..electric import Battery, Contact, Diode, Relay, Resistor
from ..model.harness import Contact as Pin
from ..model.harness import Device
from ..trade.tables import factors
from .catalogue import awake_id, of_at_work, of_bond, of_inside, of_steady, of_steady_contact, steady_element
from .gathering import Gathering
from .units import CAN, REFERENCE, REFERENCE_V, Unit, ground_pins

HYSTERESIS = 0.9


def put_inside(gathering: Gathering, device: Device, unit: Unit) -> None:
    """All of one device."""
    nodes, grounds = gathering.nodes, ground_pins(unit.pins)
    for pin in grounds if unit.ground and len(grounds) > 1 else ():
        gathering.put(Resistor(f"{pin.address} inside", nodes.of[pin.address], unit.ground or "", factors()["unit-ground"].value), of_bond(pin))
    steady: dict[float, list[Contact]] = {}
    feed = nodes.of[unit.feed] if unit.feed else None
    for pin in unit.pins:
        if pin.address in nodes.off:
            continue
        node, inside = nodes.of[pin.address], pin.inside
        for volts, ohm in _steadied(pin):
            steady.setdefault(volts, []).append(Contact(steady_element(volts, device.id), node, "", ohm))
        if inside is None:
            continue
        if inside.pull_up and inside.pull_up.to is None and feed:
            gathering.put(Resistor(f"{pin.address} pull-up", feed, node, inside.pull_up.resistance.value), of_inside(pin, "pull-up"))
        if unit.ground and inside.pull_down:
            gathering.put(Resistor(f"{pin.address} pull-down", node, unit.ground, inside.pull_down.value), of_inside(pin, "pull-down"))
        if unit.ground and inside.diode in ("to ground", "both"):
            gathering.put(Diode(f"{pin.address} diode to ground", unit.ground, node), of_inside(pin, "diode to ground"))
        if feed and inside.diode in ("to supply", "both"):
            gathering.put(Diode(f"{pin.address} diode to supply", node, feed), of_inside(pin, "diode to supply"))
    for volts in steady if unit.ground else ():
        element = steady_element(volts, device.id)
        gathering.put(Battery(element, element, unit.ground or "", volts, factors()["supply-inner"].value), of_steady(device, volts))
    if steady and unit.ground and feed:
        _put_at_work(gathering, device, feed, unit.ground, steady)


def _steadied(pin: Pin) -> Iterator[tuple[float, float]]:
    """(V, ohm) of each steady voltage behind a pin."""
    if pin.signal == REFERENCE:
        yield REFERENCE_V, factors()["unit-reference"].value
    if pin.signal in CAN:
        yield factors()["can-rest"].value, factors()["can-bias"].value
    if pin.inside and pin.inside.pull_up and pin.inside.pull_up.to is not None:
        yield pin.inside.pull_up.to.value, pin.inside.pull_up.resistance.value


def _put_at_work(gathering: Gathering, device: Device, feed: str, ground: str, steady: Mapping[float, list[Contact]]) -> None:
    """What joins the steady voltages to their pins while the device works; without a supply pin nothing tells, and it never does."""
    wakes = factors()["unit-wakes"].value * gathering.supply_v / 12.0
    contacts = tuple(contact for group in steady.values() for contact in group)
    entries = (of_steady_contact(device, volts) for volts, group in steady.items() for _ in group)
    gathering.put_relay(Relay(awake_id(device.id), feed, ground, factors()["unit-input"].value, wakes, wakes * HYSTERESIS, contacts), of_at_work(device), entries)
