"""Sources that are short-circuited: nothing that takes the current lies between their poles.

Takes an Operation; gives Shorts, the supplies of the harness and the 5 V references of
control units apart. A source that holds less than a quarter of its voltage counts too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from ..electric.circuit import contact_id
from ..model.electric import Alternator
from ..model.given import battery_row
from ..model.harness import Device, Harness
from ..operation.catalogue import WIRE, awake_id
from ..operation.operate import Operation, Solved
from ..operation.supplies import elements_of, given_a
from ..operation.units import REFERENCE, Unit
from .bare import Bare

SHORTED = "shorted-source"


@dataclass(frozen=True, slots=True)
class Short:
    """A source and how it is short-circuited.

    source:  id of the device, or the address of the reference; of batteries in series the id of the lowest
    row:     the device, or the batteries in series, from the lowest up; none of a reference
    poles:   the addresses of plus and minus, of a row its ends; of a reference its address and ""
    states:  all in which it is, that in which most flows first
    way:     ids of the elements between its poles; empty where the poles are one point, or a load takes it all
    amps, volts: what it gives, and holds at its poles, in the first state; None where that has no solution
    most:    the wire on the way, or the load, that carries most, and how much, in A; None where there is none
    to_plus: of a reference: it is joined to battery plus, not to ground
    """

    source: str
    row: tuple[str, ...]
    poles: tuple[str, str]
    states: tuple[str, ...]
    way: tuple[str, ...]
    amps: float | None
    volts: float | None
    most: tuple[str, float] | None
    to_plus: bool = False


def source_shorts(operation: Operation) -> tuple[Short, ...]:
    """Batteries, test supplies and alternators, in the order of the description; an alternator only where nothing else is: the rest joins them.

    Batteries in series are looked at one by one, and from end to end; a row that is shorted as a whole is told once.
    """
    return operation.kept("source shorts", lambda: tuple(_source_shorts(operation)))


def shorted_states(operation: Operation) -> frozenset[str]:
    """The states in which some source is: what flows in them is that of the short."""
    return frozenset(state for short in source_shorts(operation) for state in short.states)


def _source_shorts(operation: Operation) -> Iterator[Short]:
    harness, bare = operation.wiring.harness, Bare(operation.wiring)
    supplies = [device for id in harness.supplies if (device := harness.devices[id]).between and all(end in operation.wiring.nodes.of for end in device.between)]
    rows: dict[frozenset[str], tuple[str, ...]] = {}     # a ring of batteries is a row from each: once
    for device in supplies:
        for row in ((device.id,), battery_row(harness, device.id)):
            rows.setdefault(frozenset(row), row)
    shorted = {row: _joined([short for solved in operation.solved.values() for short in _source_short(operation, bare, row, solved)]) for row in rows.values()}
    whole = {id for row, shorts in shorted.items() if len(row) > 1 and shorts for id in row}
    found = [short for row, shorts in shorted.items() if len(row) > 1 or row[0] not in whole for short in shorts]
    others = any(not _is_alternator(harness, short) for short in found)
    return (short for short in found if not (others and _is_alternator(harness, short)))


def _is_alternator(harness: Harness, short: Short) -> bool:
    return isinstance(harness.devices[short.source].supply, Alternator)


def reference_shorts(operation: Operation) -> tuple[Short, ...]:
    """5 V references of control units that are joined to ground or to battery plus."""
    nodes, bare = operation.wiring.nodes, Bare(operation.wiring)
    found: list[Short] = []
    for unit in operation.wiring.units.values():
        pins = {nodes.of[pin.address]: pin.address for pin in reversed(unit.pins) if pin.signal == REFERENCE and pin.address not in nodes.off}
        for node, address in reversed(pins.items()):
            if unit.ground is not None and bare.may_join(node, (unit.ground, nodes.reference, nodes.plus)):
                found += _joined([short for solved in operation.solved.values() for short in _reference_short(operation, bare, unit, address, solved)])
    return tuple(found)


def _source_short(operation: Operation, bare: Bare, row: Sequence[str], solved: Solved) -> Iterable[Short]:
    """The row of batteries, or the one source, in one state; none where it is not shorted."""
    of, name = operation.wiring.nodes.of, solved.case.name
    devices = [operation.wiring.harness.devices[id] for id in row]
    poles = _poles(devices)
    plus, minus = (of[end] for end in poles)
    # Each battery of a row would be named for what all of them are asked for.
    named = len(row) == 1 and any(fault.code == SHORTED and fault.elements[0] in elements_of(devices[0]) for fault in solved.faults)
    if solved.solution is None:
        return [Short(row[0], tuple(row), poles, (name,), (), None, None, None)] if named else []
    way = bare.way(solved.circuit, solved.solution, plus, (minus,)) if bare.may_join(plus, (minus,)) else None
    if way is None and not named:
        return []
    carrying = [element for element in way if operation.wiring.catalogue[element].kind == WIRE] if way else [load.element for load in operation.wiring.loads]
    amps = max(given_a(device, solved.solution) for device in devices)
    return [Short(row[0], tuple(row), poles, (name,), way or (), amps, solved.solution.across(plus, minus), _most(solved, carrying))]


def _poles(row: Sequence[Device]) -> tuple[str, str]:
    """The plus of the highest and the minus of the lowest."""
    lowest, highest = row[0].between, row[-1].between
    assert lowest is not None and highest is not None
    return highest[0], lowest[1]


def _reference_short(operation: Operation, bare: Bare, unit: Unit, address: str, solved: Solved) -> Iterable[Short]:
    nodes, solution = operation.wiring.nodes, solved.solution
    node, ground = nodes.of[address], unit.ground
    if solution is None or ground is None:
        return []
    way = bare.way(solved.circuit, solution, node, (ground, nodes.reference, nodes.plus))
    if way is None:
        return []
    to_plus = bare.way(solved.circuit, solution, node, (ground, nodes.reference)) is None
    awake = next((relay for relay in solved.circuit.relays if relay.id == awake_id(unit.device)), None)
    contacts = [contact_id(awake, number) for number, contact in enumerate(awake.contacts) if contact.open == node] if awake else []
    amps = sum(solution.currents.get(contact, 0.0) for contact in contacts)
    if not to_plus and not amps:
        return []       # the control unit is not at work
    wires = [element for element in way if operation.wiring.catalogue[element].kind == WIRE]
    return [Short(address, (), (address, ""), (solved.case.name,), way, amps, solution.across(node, ground), _most(solved, wires), to_plus)]


def _most(solved: Solved, elements: Iterable[str]) -> tuple[str, float] | None:
    assert solved.solution is not None
    # To the microampere: of wires in a row the first is named, whatever rounding says.
    amps = {element: round(abs(solved.solution.currents.get(element, 0.0)), 6) for element in elements}
    return max(amps.items(), key=lambda item: item[1], default=None)


def _joined(shorts: list[Short]) -> list[Short]:
    """One of all that a source has: that in which most flows, with the names of the others."""
    if not shorts:
        return []
    worst = max(shorts, key=lambda short: round(abs(short.amps or 0.0), 2))
    return [replace(worst, states=(*worst.states, *(name for short in shorts if short is not worst for name in short.states)))]
