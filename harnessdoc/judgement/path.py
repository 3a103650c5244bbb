"""The path of the current: from the source through everything to a load, and back.

Takes an Operation, a solved state and a load; gives a Path: what the current passes, in
order, with the volts before and behind each thing.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..electric import Element, Solution
from ..operation.catalogue import Catalogue
from ..operation.operate import Operation, Solved
from ..operation.wiring import LoadPoint
from .flow import NO_CURRENT_A, flow_of


@dataclass(frozen=True, slots=True)
class Step:
    """One thing on the path.

    element:          its id in the circuit
    kind, words:      as of an Entry: ``wire``, ``wire 214``
    wire:             id of the wire, "" of anything else
    from_, to:        addresses where the current enters and leaves it, "" where there is none
    from_node, to_node: the same as nodes of the circuit
    from_v, to_v:     against battery minus
    """

    element: str
    kind: str
    words: str
    wire: str
    from_: str
    to: str
    from_node: str
    to_node: str
    from_v: float
    to_v: float
    current_a: float

    @property
    def drop_v(self) -> float:
        return self.from_v - self.to_v


@dataclass(frozen=True, slots=True)
class Path:
    """feed: from the plus of ``source`` to the load; across: the load itself; back: from the load to a source's minus.

    load:   id of the LoadPoint; state: name of the state
    source: element id of what brings the current: ``battery G1``, ``alternator A1``, ``5 V of U1``
    """

    load: str
    state: str
    source: str
    feed: tuple[Step, ...]
    across: Step
    back: tuple[Step, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        return (*self.feed, self.across, *self.back)


def path_of(operation: Operation, solved: Solved, load: LoadPoint) -> Path | None:
    """None where the state has no solution, or the load takes nothing in it."""
    solution = solved.solution
    if solution is None or not load.element or abs(solution.currents.get(load.element, 0.0)) < NO_CURRENT_A:
        return None
    catalogue, flow = operation.wiring.catalogue, flow_of(operation, solved)
    across = _step(flow.by_id[load.element], catalogue, solution)
    before = tuple(flow.before(across.from_node))
    if not before or not flow.gives(before[-1]):
        return None
    *feed, source = before
    return Path(load.id, solved.case.name, source.id, tuple(_step(element, catalogue, solution) for element in reversed(feed)), across,
                tuple(_step(element, catalogue, solution) for element in flow.behind(across.to_node, source.b)))


def _step(element: Element, catalogue: Catalogue, solution: Solution) -> Step:
    entry = catalogue[element.id]
    volts, amps = solution.voltages, solution.currents[element.id]
    ends = ((entry.a, element.a), (entry.b, element.b))
    (from_, from_node), (to, to_node) = ends if amps >= 0 else reversed(ends)
    return Step(element.id, entry.kind, entry.words, entry.wire, from_, to, from_node, to_node, volts[from_node], volts[to_node], abs(amps))
