"""Where the current of a solved state comes from and goes to: the strongest branch, node after node.

Takes an Operation and a solved state; gives a Flow. At a fork the walk follows the branch that
brings most of the current, and on the way back the one that takes most of it away. Along it the volts only fall
up to a source, so the walk ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..electric import Battery, Element, Solution, Supply
from ..operation.operate import Operation, Solved

NO_CURRENT_A = 1e-6
"""Below this nothing flows: what the checker of a solution allows is a thousandth of it."""


@dataclass(frozen=True, slots=True)
class Flow:
    """The elements of a solved state, by id and at each node, with what flows in them."""

    at: Mapping[str, tuple[Element, ...]]
    by_id: Mapping[str, Element]
    solution: Solution

    def before(self, node: str) -> Iterator[Element]:
        """What the current passes that arrives at a node, the nearest first; the last is the source that gives it, unless none is found."""
        while (element := self._strongest(node, arrives=True)) is not None:
            yield element
            if self.gives(element):
                return
            node = element.a if element.b == node else element.b

    def behind(self, node: str, minus: str) -> Iterator[Element]:
        """What the current passes that leaves a node, as far as ``minus`` or a source that gives."""
        while node != minus and (element := self._strongest(node, arrives=False)) is not None and not self.gives(element):
            yield element
            node = element.a if element.b == node else element.b

    def gives(self, element: Element) -> bool:
        """Whether it is a source that gives in this state: a battery that is charged takes."""
        return isinstance(element, Battery | Supply) and self.solution.currents[element.id] < 0

    def _strongest(self, node: str, arrives: bool) -> Element | None:
        """What brings most of the current to a node, or takes most of it away; None where nothing does."""
        currents = self.solution.currents
        best, most = None, NO_CURRENT_A / 2
        for element in self.at[node]:
            into_a = currents.get(element.id, 0.0) * (1 if element.b == node else -1)
            amps = into_a if arrives else -into_a
            if amps > most:
                best, most = element, amps
        return best


def flow_of(operation: Operation, solved: Solved) -> Flow:
    """The flow of a state that has a solution; of one that is visited made once."""
    # A state besides those that are visited may have the name of one of them.
    is_visited = operation.solved.get(solved.case.name) is solved
    return operation.kept(f"flow in {solved.case.name}", lambda: _flow(solved)) if is_visited else _flow(solved)


def _flow(solved: Solved) -> Flow:
    assert solved.solution is not None
    at: dict[str, list[Element]] = {}
    elements = [element for element in solved.circuit.elements_in(solved.solution.relay_states) if element.a != element.b]
    for element in elements:
        at.setdefault(element.a, []).append(element)
        at.setdefault(element.b, []).append(element)
    return Flow({node: tuple(there) for node, there in at.items()}, {element.id: element for element in elements}, solved.solution)
