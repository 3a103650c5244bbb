"""A device as its pins see it: its ground, its supply, what its outputs are while they are on, what it draws.

Takes a device and its contacts; gives a Unit, and of it elements. What stands behind its pins in
every state is put in by ``insides.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..electric import Element, Resistor
from ..model.given import on_ohm
from ..model.harness import Contact as Pin
from ..trade.signals import signals
from .catalogue import output_element
from .nodes import Nodes

FEEDS = ("feed-relay", "feed-switched", "feed-run", "feed-constant", "feed-accessory", "feed-lighting", "feed-start", "feed-5v", "feed-sensor")
"""Supply pins by how well they say that a device is at work: what its own relay feeds comes first."""
GROUNDS = ("ground-power", "ground-case", "ground-signal", "ground-sensor", "ground-battery")
REFERENCE = "reference-5v"
CAN = ("can-high", "can-low")
BRIDGE = "output-bridge"
REFERENCE_V = 5.0
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


def unit_of(device: str, pins: Sequence[Pin], nodes: Nodes) -> Unit:
    """The unit; several ground pins are joined in a node of its own (``insides.py``)."""
    grounds, feeds = ground_pins(pins), [pin for kind in FEEDS for pin in pins if pin.signal == kind]
    ground = None if not grounds else nodes.of[grounds[0].address] if len(grounds) == 1 else f"ground of {device}"
    return Unit(device, tuple(pins), ground, feeds[0].address if feeds else None)


def ground_pins(pins: Sequence[Pin]) -> list[Pin]:
    """In the order of GROUNDS."""
    return [pin for kind in GROUNDS for pin in pins if pin.signal == kind]


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
