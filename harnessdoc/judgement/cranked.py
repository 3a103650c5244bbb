"""What loses its feed, and what is left of it, while the engine is cranked.

Takes an Operation; gives for pins that the source reaches with the key at run and no longer while it
is cranked what stops it (Lost), and the states in which the starter pulls the supply down.
Compared are the states of driving order, every switch at rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..electric.circuit import contact_id
from ..model.electric import Engine
from ..operation.operate import Operation, Solved
from .fed import fed_in
from .hot import LIVE
from .path import Step


@dataclass(frozen=True, slots=True)
class Lost:
    """A pin that is live in run and dead while the engine is cranked.

    run, start:     the states; run_v, start_v: of the pin against battery minus
    contact:        element id of the contact that is closed in run and not in start; relays: those that drop out by it, the last the nearest to the pin
    wire, terminal: the first wire behind that contact, and the address at which it is joined to it; "" where there is none
    """

    pin: str
    run: str
    start: str
    run_v: float
    start_v: float
    contact: str
    relays: tuple[str, ...]
    wire: str
    terminal: str


def cranking_states(operation: Operation) -> tuple[Solved, ...]:
    """The solved states in which the engine is cranked, in order."""
    return tuple(solved for solved in operation.solved.values() if solved.solution is not None and solved.case.engine is Engine.CRANKING)


def lost_in_start(operation: Operation, pins: Iterable[str]) -> Iterator[Lost]:
    """Of ``pins``, in order. What is turned off in start by an output is not in it: that is stated."""
    driven = [solved for solved in operation.solved.values() if solved.solution is not None and not (solved.case.named or solved.case.switches)]
    start = next((solved for solved in driven if solved.case.engine is Engine.CRANKING), None)
    runs = [solved for solved in driven if solved.case.key == "run"]
    if start is None:
        return
    plus = operation.wiring.nodes.plus
    for pin in pins:
        node = operation.wiring.nodes.of[pin]
        run = next((run for run in runs if node in fed_in(operation, run).before and _volts(run, node) >= LIVE * _volts(run, plus)), None)
        found = _stopped(operation, run, start, node, ()) if run is not None else None
        if run is not None and found is not None:
            step, behind, relays = found
            wire, terminal = next(((after.wire, after.from_) for after in behind if after.wire), ("", ""))
            yield Lost(pin, run.case.name, start.case.name, _volts(run, node), _volts(start, node), step.element, relays, wire, terminal)


def _stopped(operation: Operation, run: Solved, start: Solved, node: str, relays: tuple[str, ...]) -> tuple[Step, tuple[Step, ...], tuple[str, ...]] | None:
    """The contact that opens, what lies behind it on the way, and the relays that drop out by it; None where the source still reaches the node."""
    way, left = fed_in(operation, run).feed(node), fed_in(operation, start).before
    number = next((number for number, step in enumerate(way) if step.to_node not in left), None)
    if number is None:
        return None
    step = way[number]
    entry = operation.wiring.catalogue[step.element]
    relay = next((relay for relay in operation.wiring.relays for count in range(len(relay.contacts)) if contact_id(relay, count) == step.element), None)
    if relay is None:
        return (step, way[number + 1:], relays) if entry.kind == "contact" else None
    assert run.solution is not None and start.solution is not None
    if start.solution.relay_states[relay.id] and not run.solution.relay_states[relay.id]:
        return step, way[number + 1:], relays                     # it opens because it pulls in
    coil = next((end for end in (relay.start, relay.end) if end in fed_in(operation, run).before), None)
    if coil is None or entry.thing in relays:
        return None
    # Where the feed of its coil is there, what commands it lets go: nothing is found then.
    return _stopped(operation, run, start, coil, (*relays, entry.thing))


def _volts(solved: Solved, node: str) -> float:
    assert solved.solution is not None
    return solved.solution.voltages.get(node, 0.0)
