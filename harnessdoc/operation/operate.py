"""The harness in operation: every state solved and checked.

Takes a harness, its network and geometry; gives an Operation, or None where nothing
gives a supply. Relays remember: a state begins where the one before it left them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from ..electric import Circuit, Fault, Solution, Unsolved, check, readings, settle, source_faults
from ..geometry.measure import Geometry
from ..model.electric import Engine
from ..model.harness import Harness
from ..network.islands import Network
from .conductors import conductors
from .nodes import find_nodes, placed_supplies
from .states import Case, default_cases
from .wire_up import wire_up
from .wiring import Wiring

T = TypeVar("T")


MOST_SOLVED = 200_000
"""Wires times states that are solved by themselves: some seconds. 2,000 wires with 100 states are within it."""


@dataclass(frozen=True, slots=True)
class Solved:
    """One state: its circuit, and the solution, or why there is none. ``faults``: of its sources, of the checker."""

    case: Case
    circuit: Circuit
    result: Solution | Unsolved
    faults: tuple[Fault, ...]

    @property
    def solution(self) -> Solution | None:
        return self.result if isinstance(self.result, Solution) else None


@dataclass(frozen=True, slots=True)
class Operation:
    """The harness in all its states.

    solved: state name -> what came out, in the order in which they were walked
    passed_over: how many states of single switches would have taken too long; ``state`` solves any of them
    """

    wiring: Wiring
    solved: Mapping[str, Solved]
    passed_over: int = 0
    _shown: dict[tuple[str, str], dict[str, float | None]] = field(default_factory=dict, repr=False, compare=False)
    _ohms: dict[tuple[str, str], dict[str, float]] = field(default_factory=dict, repr=False, compare=False)
    _kept: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)

    def kept(self, name: str, make: Callable[[], T]) -> T:
        """What ``make`` gives, made when first asked for under this name, and once."""
        if name not in self._kept:
            self._kept[name] = make()
        return self._kept[name]

    def state(self, case: Case) -> Solved:
        """A state besides those that are visited, from the relays of the state it comes after."""
        return _solve(self.wiring, case, self.solved)

    def read(self, solved: Solved, addresses: Iterable[str], reference: str | None = None) -> dict[str, float | None]:
        """Address -> what a 10 Mohm meter shows there against battery minus, or an address; None: floating, or not to be probed.

        Empty where the state has no solution.
        """
        nodes = self.wiring.nodes
        if solved.solution is None:
            return {}
        addresses = tuple(addresses)
        base = nodes.of[reference] if reference else nodes.reference
        # A state besides those that are visited may have the name of one of them.
        is_visited = self.solved.get(solved.case.name) is solved
        key = (solved.case.name, base)
        shown = self._shown.setdefault(key, {}) if is_visited else {}
        ohms = self._ohms.setdefault(key, {}) if is_visited else {}
        wanted = {node: None for address in addresses if address not in nodes.off and (node := nodes.of[address]) not in shown}
        if wanted:
            found = readings(solved.circuit, solved.solution, wanted, base, ohms)
            if isinstance(found, Unsolved):
                return {}
            shown.update(found)
        return {address: None if address in nodes.off else shown[nodes.of[address]] for address in addresses}


def operate(harness: Harness, network: Network, geometry: Geometry) -> Operation | None:
    """All states of ``harness``, solved; None where it has no supply that stands between two addresses."""
    if not placed_supplies(harness):
        return None
    wiring = wired(harness, network, geometry)
    solved: dict[str, Solved] = {}
    cases = default_cases(harness, network, wiring.nodes)
    # What is named, and the key in driving order, is always solved; single switches while it can be afforded.
    left = MOST_SOLVED // max(len(wiring.conductors), 1) - sum(not case.is_held for case in cases)
    for case in cases:
        if case.is_held:
            left -= 1
        if not case.is_held or left >= 0:
            solved[case.name] = _solve(wiring, case, solved)
    return Operation(wiring, solved, len(cases) - len(solved))


def wired(harness: Harness, network: Network, geometry: Geometry) -> Wiring:
    """The circuit of a harness that has a supply, no state solved."""
    return wire_up(harness, find_nodes(harness, network), conductors(harness, geometry))


def _solve(wiring: Wiring, case: Case, solved: Mapping[str, Solved]) -> Solved:
    circuit = wiring.circuit(case)
    before = solved.get(case.after)
    while before is not None and before.solution is None:   # what chatters leaves no state: the one before it counts
        before = solved.get(before.case.after)
    was = before.solution if before else None
    # Two regulated sources take many steps from nothing, few from where they held each other before.
    still_runs = before is not None and before.case.engine is case.engine is Engine.RUNNING
    result = settle(circuit, was.relay_states if was else {}, was.voltages if was and still_runs else None)
    if isinstance(result, Unsolved):
        return Solved(case, circuit, result, result.faults)
    wrong = check(circuit, result)
    if wrong:
        return Solved(case, circuit, Unsolved(wrong), wrong)
    return Solved(case, circuit, result, source_faults(circuit, result))
