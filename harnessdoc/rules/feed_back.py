"""Current that enters a control unit through the diodes inside its outputs while its own supply is dead.

Takes a Subject with its circuit solved; gives by output the most that enters, and in which state.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..operation.operate import Operation, Solved
    from ..operation.units import Unit
    from .subject import Subject

MOST_A = 1e-3
"""What may leak in. Design choice."""
_DIODE = " diode to supply"


def fed_back(subject: Subject) -> dict[str, list[tuple[float, Solved]]]:
    """Address of an output -> (A, state) of each state in which more than MOST_A enters there and nothing comes in at the supply, the most first."""
    found: dict[str, list[tuple[float, Solved]]] = {}
    if subject.operation is None:
        return found
    for solved in subject.operation.solved.values():
        for element, amps in (solved.solution.currents.items() if solved.solution else ()):
            if element.endswith(_DIODE) and amps > MOST_A and _supply_is_dead(subject.operation, solved, element.removesuffix(_DIODE)):
                found.setdefault(element.removesuffix(_DIODE), []).append((amps, solved))
    return {address: sorted(states, key=lambda one: -round(one[0], 9)) for address, states in found.items()}


def unit_of(operation: Operation, address: str) -> Unit | None:
    """The unit a pin belongs to."""
    return next((unit for unit in operation.wiring.units.values() if any(pin.address == address for pin in unit.pins)), None)


def _supply_is_dead(operation: Operation, solved: Solved, address: str) -> bool:
    """Whether no current comes to the supply pin of the unit from outside."""
    harness, solution = operation.wiring.harness, solved.solution
    unit = unit_of(operation, address)
    if unit is None or unit.feed is None or solution is None:
        return False
    arrives = sum(solution.currents.get(f"wire {wire}", 0.0) * (1 if harness.wires[wire].to == unit.feed else -1) for wire in harness.wires_at.get(unit.feed, ()))
    return arrives < MOST_A
