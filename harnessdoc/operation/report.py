"""One state as it is told: what a meter shows, what the supplies give, which relays are in, what it rests on.

Takes an Operation and a Solved that has a solution; gives plain values.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum

from ..model.electric import Battery
from ..model.given import ambient_c, on_ohm
from ..model.harness import Device
from .catalogue import awake_id, output_element, part_element
from .nodes import placed_supplies
from .operate import Operation, Solved
from .pulsed import pulsed_contacts
from .supplies import given_a, kind_of
from .units import commanded_on
from .unsaid import unsaid_in
from .wiring import Aside


class NoReading(Enum):
    """Why there is none: nothing ties the point, nobody may probe it, its circuit is not solved, what pulls it up is not said."""

    FLOATING = "floating"
    AIRBAG = "airbag"
    PULSED = "pulsed"
    UNSAID = "unknown"


@dataclass(frozen=True, slots=True)
class Reading:
    """At an address: what a meter shows in V, or why there is no reading."""

    address: str
    shown: float | NoReading


@dataclass(frozen=True, slots=True)
class Supplied:
    """What a supply gives; amps below 0: it is charged. kind: "battery", "alternator" or "test supply"; limit: as stated, ""."""

    device: Device
    kind: str
    volts: float
    amps: float
    limit: str


def readings_of(operation: Operation, solved: Solved, addresses: Iterable[str], against: str | None) -> Iterator[Reading]:
    """One an address, in their order; against battery minus, or an address."""
    pulsed, unsaid, off = pulsed_contacts(operation), unsaid_in(operation, solved), operation.wiring.nodes.off
    wanted = tuple(addresses)
    shown = operation.read(solved, [address for address in wanted if address not in pulsed and address not in unsaid], against)
    for address in wanted:
        volts = shown.get(address)
        without = NoReading.AIRBAG if address in off else NoReading.PULSED if address in pulsed else NoReading.UNSAID if address in unsaid else NoReading.FLOATING
        yield Reading(address, without if volts is None else volts)


def given_by(operation: Operation, solved: Solved) -> Iterator[Supplied]:
    """What each supply gives in a state."""
    assert solved.solution is not None
    for device in placed_supplies(operation.wiring.harness):
        assert device.between is not None
        plus, minus = (operation.wiring.nodes.of[end] for end in device.between)
        limit = None if device.supply is None or isinstance(device.supply, Battery) else device.supply.limit
        yield Supplied(device, kind_of(device), solved.solution.across(plus, minus), given_a(device, solved.solution), limit.stated if limit else "")


def minus_of(operation: Operation) -> tuple[str, str]:
    """The address that is 0 V, and the kind of supply whose minus it is."""
    of, reference = operation.wiring.nodes.of, operation.wiring.nodes.reference
    device = next(device for device in placed_supplies(operation.wiring.harness) if device.between is not None and of[device.between[1]] == reference)
    assert device.between is not None
    return device.between[1], kind_of(device)


def relays_in(operation: Operation, solved: Solved) -> tuple[str, ...]:
    """The relays that are pulled in, by id."""
    return _in(solved, {part.id: part_element(part) for part in operation.wiring.harness.parts.values() if part.kind == "relay"})


def solenoids_in(operation: Operation, solved: Solved) -> tuple[str, ...]:
    """The solenoids that have pulled in what they close, by load id: ``M1 solenoid``."""
    return _in(solved, {load.id: load.element for load in operation.wiring.loads})


def units_at_work(operation: Operation, solved: Solved) -> tuple[str, ...]:
    """The devices that give references, where they do."""
    return _in(solved, {id: awake_id(id) for id in operation.wiring.units})


def _in(solved: Solved, elements: dict[str, str]) -> tuple[str, ...]:
    states = solved.solution.relay_states if solved.solution else {}
    return tuple(id for id, element in elements.items() if states.get(element))


def outputs_on(operation: Operation, solved: Solved) -> tuple[str, ...]:
    """The addresses of the outputs that are on: by themselves in this state, or because it says so."""
    ids = {element.id for element in solved.circuit.elements}
    return tuple(address for address in operation.wiring.harness.contacts if output_element(address) in ids)


def left_out_of(operation: Operation, solved: Solved) -> tuple[Aside, ...]:
    """What is no part of the circuit, and why; with the outputs that this state turns on in vain."""
    wiring = operation.wiring
    on = frozenset(solved.case.commanded)
    lost = (Aside(*one) for unit in wiring.units.values() for one in commanded_on(unit, wiring.nodes, on)[1])
    return tuple(dict.fromkeys((*wiring.left_out, *lost)))


def typical_of(operation: Operation, solved: Solved) -> Iterator[tuple[str, str]]:
    """(thing, words) of each value that the file does not state and this state rests on."""
    for aside in operation.wiring.typical:
        yield aside.thing, aside.words
    for zone in dict.fromkeys(conductor.zone for conductor in operation.wiring.conductors.values()):
        ambient = ambient_c(operation.wiring.harness, zone)
        if ambient.typical:
            yield f"zone {zone}" if zone else "zones not said", f"ambient {ambient.value:g} C ({ambient.origin})"
    told = {aside.thing for aside in operation.wiring.typical}
    for address in outputs_on(operation, solved):
        ohm = on_ohm(operation.wiring.harness.contacts[address])
        if ohm is not None and ohm.typical and address not in told:
            yield address, f"on-resistance {ohm.value:g} ohm ({ohm.origin})"
