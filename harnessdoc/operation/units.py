"""What stands behind the pins of a device: its ground, its supply, references, pull-ups, outputs, diodes.

Takes a device and its contacts; gives the elements and relays of its inside. A device
that has a supply pin and gives references works from some volts on; that is a relay whose
coil is its supply pin, so that a reference is there when the supply is and not before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..electric import Battery, Contact, Diode, Element, Relay, Resistor
from ..model.given import on_ohm
from ..model.harness import Contact as Pin
from ..trade.signals import signals
from ..trade.tables import factors
from .nodes import Nodes

FEEDS = ("feed-relay", "feed-switched", "feed-run", "feed-constant", "feed-accessory", "feed-lighting", "feed-start", "feed-5v", "feed-sensor")
"""Supply pins by how well they say that a device is at work: what its own relay feeds comes first."""
GROUNDS = ("ground-power", "ground-case", "ground-signal", "ground-sensor", "ground-battery")
REFERENCE = "reference-5v"
CAN = ("can-high", "can-low")
BRIDGE = "output-bridge"
REFERENCE_V = 5.0
HYSTERESIS = 0.9
_SUPPLY_RAIL = "supply"
"""The rail an output drives up to that stands at its supply pin; what drives up to another is no part of the circuit."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A device as its pins see it.

    ground: node, None where no pin says ground; feed: address of the supply pin, None where it has none
    """

    device: str
    pins: tuple[Pin, ...]
    ground: str | None
    feed: str | None


def unit_of(device: str, pins: Sequence[Pin], nodes: Nodes) -> tuple[Unit, list[Element]]:
    """The unit, and what joins its ground pins inside."""
    grounds = [pin for kind in GROUNDS for pin in pins if pin.signal == kind]
    feeds = [pin for kind in FEEDS for pin in pins if pin.signal == kind]
    feed = feeds[0].address if feeds else None
    if len(grounds) < 2:
        return Unit(device, tuple(pins), nodes.of[grounds[0].address] if grounds else None, feed), []
    inner = f"ground of {device}"
    joints = [Resistor(f"{pin.address} inside", nodes.of[pin.address], inner, factors()["unit-ground"].value) for pin in grounds]
    return Unit(device, tuple(pins), inner, feed), joints


def fixed_inside(unit: Unit, nodes: Nodes, supply_v: float) -> tuple[list[Element], list[Relay]]:
    """What is there in every state: pull-ups, pull-downs, diodes, references."""
    elements: list[Element] = []
    steady: dict[float, list[Contact]] = {}
    feed = nodes.of[unit.feed] if unit.feed else None
    for pin in unit.pins:
        if pin.address in nodes.off:
            continue
        node, inside = nodes.of[pin.address], pin.inside
        if pin.signal == REFERENCE:
            steady.setdefault(REFERENCE_V, []).append(Contact(f"{REFERENCE_V:g} V of {unit.device}", node, "", factors()["unit-reference"].value))
        if pin.signal in CAN:
            volts = factors()["can-rest"].value
            steady.setdefault(volts, []).append(Contact(f"{volts:g} V of {unit.device}", node, "", factors()["can-bias"].value))
        if inside is None:
            continue
        if inside.pull_up and inside.pull_up.to is None and feed:
            elements.append(Resistor(f"{pin.address} pull-up", feed, node, inside.pull_up.resistance.value))
        elif inside.pull_up and inside.pull_up.to is not None:
            volts = inside.pull_up.to.value
            steady.setdefault(volts, []).append(Contact(f"{volts:g} V of {unit.device}", node, "", inside.pull_up.resistance.value))
        if unit.ground and inside.pull_down:
            elements.append(Resistor(f"{pin.address} pull-down", node, unit.ground, inside.pull_down.value))
        if unit.ground and inside.diode in ("to ground", "both"):
            elements.append(Diode(f"{pin.address} diode to ground", unit.ground, node))
        if feed and inside.diode in ("to supply", "both"):
            elements.append(Diode(f"{pin.address} diode to supply", node, feed))
    relays = list(_awake(unit, feed, steady, supply_v)) if steady and unit.ground else []
    elements += [Battery(f"{volts:g} V of {unit.device}", f"{volts:g} V of {unit.device}", unit.ground or "", volts, factors()["supply-inner"].value)
                 for volts in steady if unit.ground]
    return elements, relays


def _awake(unit: Unit, feed: str | None, steady: Mapping[float, list[Contact]], supply_v: float) -> Iterator[Relay]:
    """What joins the steady voltages to their pins while the device works; without a supply pin nothing tells, and it never does."""
    if feed is None or unit.ground is None:
        return
    wakes = factors()["unit-wakes"].value * supply_v / 12.0
    contacts = tuple(contact for group in steady.values() for contact in group)
    yield Relay(awake_id(unit.device), feed, unit.ground, factors()["unit-input"].value, wakes, wakes * HYSTERESIS, contacts)


def awake_id(device: str) -> str:
    """The relay that stands for a device at work."""
    return f"{device} works"


def output_element(address: str) -> str:
    """The element that an output is while it is on."""
    return f"{address} on"


def lacking(unit: Unit, pin: Pin) -> str:
    """Why something that is stated behind a pin cannot be put in; "" where all of it can."""
    inside = pin.inside
    pull_up, diode = (inside.pull_up, inside.diode) if inside else (None, None)
    is_steady = pin.signal == REFERENCE or (pull_up is not None and pull_up.to is not None)
    from_supply = is_steady or pull_up is not None or diode in ("to supply", "both")
    to_ground = is_steady or bool(inside and inside.pull_down) or diode in ("to ground", "both")
    missing = [word for word, wanted, there in (("supply", from_supply, unit.feed), ("ground", to_ground, unit.ground)) if wanted and there is None]
    return f"what is behind it: no pin of {unit.device} says {' or '.join(missing)}" if missing else ""


def commanded_on(unit: Unit, nodes: Nodes, on: frozenset[str]) -> tuple[list[Element], list[tuple[str, str]]]:
    """The outputs that are on; and those that cannot be, each with the reason in words."""
    elements: list[Element] = []
    lost: list[tuple[str, str]] = []
    bridge = False
    for pin in unit.pins:
        if pin.address not in on or pin.address in nodes.off:
            continue
        kind, ohm = signals().get(pin.signal), on_ohm(pin)
        if kind is None or ohm is None or kind.drive == "none":
            lost.append((pin.address, "turned on, but nothing says that it is driven from inside"))
        elif kind.drive != "low" and kind.rail != _SUPPLY_RAIL:
            lost.append((pin.address, f"turned on, but at which voltage {kind.kind} stands then is not known"))
        elif (far := unit.ground if kind.drive == "low" else unit.feed and nodes.of[unit.feed]) is None:
            lost.append((pin.address, f"turned on, but no pin of {unit.device} says {'ground' if kind.drive == 'low' else 'supply'}"))
        else:
            elements.append(Resistor(output_element(pin.address), nodes.of[pin.address], far, ohm.value))
            bridge |= pin.signal == BRIDGE
    if bridge and unit.ground is not None:   # the other half of a bridge is held to ground, or no motor would turn
        elements += [Resistor(output_element(pin.address), nodes.of[pin.address], unit.ground, ohm.value) for pin in unit.pins
                     if pin.signal == BRIDGE and pin.address not in on | nodes.off and (ohm := on_ohm(pin)) is not None]
    return elements, lost


def draws_ohm(pin: Pin, supply_v: float) -> float | None:
    """What the stated current of a pin is as a resistance; of a 5 V feed at 5 V."""
    if pin.draws is None or pin.draws.value <= 0:
        return None
    return (REFERENCE_V if pin.signal == "feed-5v" else supply_v) / pin.draws.value
