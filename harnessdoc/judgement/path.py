"""The path of the current: from the source through everything to a load, and back.

Takes an Operation, a solved state and a load; gives a Path: what the current passes, in
order, with the volts before and behind each thing. At a fork the path follows the branch that
brings most of the current, and on the way back the one that takes most of it away. Along it
the volts only fall, so the walk ends.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..electric import Battery, Element, Supply
from ..operation.catalogue import INSIDE, Entry, catalogue
from ..operation.operate import Operation, Solved
from ..operation.wiring import LoadPoint

NO_CURRENT_A = 1e-6
"""Below this nothing flows: what the checker of a solution allows is a thousandth of it."""


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


@dataclass(frozen=True, slots=True)
class _Flow:
    """The elements of a solved state at each node, and what they are."""

    at: Mapping[str, tuple[Element, ...]]
    by_id: Mapping[str, Element]


def path_of(operation: Operation, solved: Solved, load: LoadPoint) -> Path | None:
    """None where the state has no solution, or the load takes nothing in it."""
    solution = solved.solution
    if solution is None or not load.element or abs(solution.currents.get(load.element, 0.0)) < NO_CURRENT_A:
        return None
    entries = operation.kept("catalogue", lambda: catalogue(operation.wiring))
    flow = operation.kept(f"flow in {solved.case.name}", lambda: _flow(solved))
    across = _step(flow.by_id[load.element], entries, solved)
    feed: list[Step] = []
    node = across.from_node
    while (element := _strongest(flow, solved, node, arrives=True)) and not _gives(element, solved):
        feed.append(_step(element, entries, solved))
        node = feed[-1].from_node
    back: list[Step] = []
    if element is None:
        return None
    source, node = element, across.to_node
    while node != source.b and (element := _strongest(flow, solved, node, arrives=False)) and not _gives(element, solved):
        back.append(_step(element, entries, solved))
        node = back[-1].to_node
    return Path(load.id, solved.case.name, source.id, tuple(reversed(feed)), across, tuple(back))


def _flow(solved: Solved) -> _Flow:
    assert solved.solution is not None
    at: dict[str, list[Element]] = {}
    elements = [element for element in solved.circuit.elements_in(solved.solution.relay_states) if element.a != element.b]
    for element in elements:
        at.setdefault(element.a, []).append(element)
        at.setdefault(element.b, []).append(element)
    return _Flow({node: tuple(there) for node, there in at.items()}, {element.id: element for element in elements})


def _strongest(flow: _Flow, solved: Solved, node: str, arrives: bool) -> Element | None:
    """What brings most of the current to a node, or takes most of it away; None where nothing does."""
    assert solved.solution is not None
    currents = solved.solution.currents
    best, most = None, NO_CURRENT_A / 2
    for element in flow.at[node]:
        into_a = currents.get(element.id, 0.0) * (1 if element.b == node else -1)
        amps = into_a if arrives else -into_a
        if amps > most:
            best, most = element, amps
    return best


def _gives(element: Element, solved: Solved) -> bool:
    """Whether it is a source that gives in this state: a battery that is charged takes."""
    assert solved.solution is not None
    return isinstance(element, Battery | Supply) and solved.solution.currents[element.id] < 0


def _step(element: Element, entries: Mapping[str, Entry], solved: Solved) -> Step:
    assert solved.solution is not None
    entry = entries.get(element.id) or Entry(INSIDE, element.id, "", "")
    volts, amps = solved.solution.voltages, solved.solution.currents[element.id]
    ends = ((entry.a, element.a), (entry.b, element.b))
    (from_, from_node), (to, to_node) = ends if amps >= 0 else reversed(ends)
    return Step(element.id, entry.kind, entry.words, entry.wire, from_, to, from_node, to_node, volts[from_node], volts[to_node], abs(amps))
