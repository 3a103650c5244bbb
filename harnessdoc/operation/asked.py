"""A state that is asked for: one that was visited, or else a new one, solved.

Takes an Operation and the state as said; gives a Solved. Switches held in their position
of rest are not held, so that one state has one name.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from ..model.electric import Engine
from ..model.harness import Harness
from .operate import Operation, Solved
from .states import Case, name_of, rest_of, switches_of


def solved_for(operation: Operation, key: str, engine: Engine, switches: Mapping[str, str], commanded: Collection[str]) -> Solved:
    """The state, visited or solved now; of those visited one that nobody named goes first.

    key, switches: positions that the harness has, or open; commanded: addresses of outputs. A new state
    comes after the one of the same key and engine with all switches at rest; without one after the first.
    """
    harness = operation.wiring.harness
    held, on = held_of(harness, switches), tuple(address for address in harness.contacts if address in commanded)
    alike = [solved for solved in operation.solved.values() if (solved.case.key, solved.case.engine) == (key, engine)]
    same = [solved for solved in alike if held_of(harness, solved.case.switches) == held and set(solved.case.commanded) == set(on)]
    if same:
        return min(same, key=lambda solved: solved.case.named)
    before = next((solved.case.name for solved in alike if not solved.case.named), next(iter(operation.solved)))
    return operation.state(Case(", ".join((name_of(key, engine, held), *(f"{address} on" for address in on))), key, engine, held, on, before))


def held_of(harness: Harness, switches: Mapping[str, str]) -> dict[str, str]:
    """The switches that are not at rest, in the order of the file."""
    return {id: switches[id] for id, device in switches_of(harness).items() if id in switches and switches[id] != rest_of(device)}

