"""The checker every solution passes: takes circuit and solution, gives faults (none: it holds).

Balance of currents at each node, each element's law, each relay's state. It knows
nothing of how the solution was found.
"""

from __future__ import annotations

from collections.abc import Iterator

from .circuit import Circuit, Fault, Solution
from .elements import Element
from .laws import lawful_current

ALLOWED_A = 1e-9
ALLOWED_SHARE = 1e-9
"""A node or element may be off by 1 nA and a billionth of the largest current there."""


def check(circuit: Circuit, solution: Solution) -> tuple[Fault, ...]:
    """Faults of ``solution``, which was found for ``circuit``: ``off-balance``, ``off-law``, ``relay-state``."""
    elements = circuit.elements_in(solution.relay_states)
    return (*_laws(elements, solution), *_balance(elements, circuit.reference, solution), *_relays(circuit, solution))


def _laws(elements: tuple[Element, ...], solution: Solution) -> Iterator[Fault]:
    for element in elements:
        va, vb = solution.voltages.get(element.a), solution.voltages.get(element.b)
        current = solution.currents.get(element.id)
        if va is None and vb is None and current is None:
            continue
        if va is None or vb is None or current is None:
            yield Fault("off-law", f"{element.id} has a voltage or a current missing", (element.id,))
            continue
        lawful = lawful_current(element, va - vb, current)
        # Written so that a current that is no number fails too.
        if not abs(current - lawful) <= ALLOWED_A + ALLOWED_SHARE * max(abs(current), abs(lawful)):
            yield Fault("off-law", f"{element.id} carries {current:.9g} A; its law gives {lawful:.9g} A at {va - vb:.9g} V", (element.id,))


def _balance(elements: tuple[Element, ...], reference: str, solution: Solution) -> Iterator[Fault]:
    left = dict.fromkeys(solution.voltages, 0.0)
    largest: dict[str, tuple[float, str]] = {}
    for element in elements:
        current = solution.currents.get(element.id, 0.0)
        for node, outward in ((element.a, current), (element.b, -current)):
            left[node] = left.get(node, 0.0) + outward
            if abs(current) >= largest.get(node, (0.0, ""))[0]:
                largest[node] = (abs(current), element.id)
    # A current into the reference from outside the circuit would balance nowhere else: it counts too.
    for node, current in left.items():
        most, element_id = largest.get(node, (0.0, ""))
        if not abs(current) <= ALLOWED_A + ALLOWED_SHARE * most:
            yield Fault("off-balance", f"{current:.9g} A too many leave {node}, where the largest current is {most:.9g} A", (element_id,))
    if solution.voltages.get(reference) != 0.0:
        yield Fault("off-balance", f"the reference {reference} is not at 0 V", ())


def _relays(circuit: Circuit, solution: Solution) -> Iterator[Fault]:
    for relay in circuit.relays:
        volts = abs(solution.across(relay.start, relay.end))
        if solution.relay_states.get(relay.id, False):
            if volts <= relay.release_v:
                yield Fault("relay-state", f"{relay.id} is pulled in at {volts:.6g} V; it releases at {relay.release_v:g} V", (relay.id,))
        elif volts >= relay.pull_in_v:
            yield Fault("relay-state", f"{relay.id} has dropped out at {volts:.6g} V; it pulls in at {relay.pull_in_v:g} V", (relay.id,))
