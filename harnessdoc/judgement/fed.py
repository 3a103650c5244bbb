"""What the source reaches in a solved state, and over what: without passing a load.

Takes an Operation and a solved state; gives a Fed: from the plus of the battery outward over wires, fuses,
closed contacts, outputs that are on, resistors and forward diodes; and from its minus over wires, grounds
and the joined ground pins of devices. A pin needs to take no current to be reached.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from ..electric import Element, Solution
from ..operation.catalogue import BOND, CONTACT, DIODE, FUSE, GROUND, LINK, OUTPUT, RESISTOR, WIRE, Catalogue
from ..operation.operate import Operation, Solved
from .path import Step

_OUT = (WIRE, FUSE, LINK, CONTACT, DIODE, OUTPUT, RESISTOR)
_BACK = (WIRE, GROUND, BOND, CONTACT)


@dataclass(frozen=True, slots=True)
class Fed:
    """before, behind: node -> the element by which it is reached from plus, from minus, and the node that lies nearer; the start has neither."""

    before: Mapping[str, tuple[Element, str] | None]
    behind: Mapping[str, tuple[Element, str] | None]
    catalogue: Catalogue
    solution: Solution

    def feed(self, node: str) -> tuple[Step, ...]:
        """From the plus of the battery to a node; none where it is not reached."""
        return tuple(self._step(element, nearer, farther) for element, nearer, farther in reversed(list(_way(self.before, node))))

    def to_plus(self, node: str) -> tuple[Step, ...]:
        """The same from the node to the plus of the battery, as the current of a source flows."""
        return tuple(self._step(element, farther, nearer) for element, nearer, farther in _way(self.before, node))

    def back(self, node: str) -> tuple[Step, ...]:
        """From a node to the minus of the battery; none where it is not reached."""
        return tuple(self._step(element, farther, nearer) for element, nearer, farther in _way(self.behind, node))

    def _step(self, element: Element, from_node: str, to_node: str) -> Step:
        entry, volts = self.catalogue[element.id], self.solution.voltages
        from_, to = (entry.a, entry.b) if element.a == from_node else (entry.b, entry.a)
        return Step(element.id, entry.kind, entry.words, entry.wire, from_, to, from_node, to_node, volts[from_node], volts[to_node], abs(self.solution.currents[element.id]))


def _way(reached: Mapping[str, tuple[Element, str] | None], node: str) -> Iterator[tuple[Element, str, str]]:
    """(element, its node nearer to the start, the one farther from it) from a node to the start."""
    while (step := reached.get(node)) is not None:
        yield step[0], step[1], node
        node = step[1]


def fed_in(operation: Operation, solved: Solved) -> Fed:
    """Of a state that is visited and has a solution; made once."""
    return operation.kept(f"fed in {solved.case.name}", lambda: _fed(operation, solved))


def _fed(operation: Operation, solved: Solved) -> Fed:
    assert solved.solution is not None
    catalogue, nodes = operation.wiring.catalogue, operation.wiring.nodes
    elements = [element for element in solved.circuit.elements_in(solved.solution.relay_states) if element.a != element.b and element.id in catalogue]
    return Fed(_reached(nodes.plus, elements, catalogue, _OUT), _reached(nodes.reference, elements, catalogue, _BACK), catalogue, solved.solution)


def _reached(start: str, elements: Collection[Element], catalogue: Catalogue, over: Collection[str]) -> dict[str, tuple[Element, str] | None]:
    """Every node that ``over`` lead to from a start, by the fewest steps."""
    at: dict[str, list[tuple[Element, str]]] = {}
    for element in elements:
        kind = catalogue[element.id].kind
        if kind in over:
            at.setdefault(element.a, []).append((element, element.b))
            if kind != DIODE:
                at.setdefault(element.b, []).append((element, element.a))
    found: dict[str, tuple[Element, str] | None] = {start: None}
    queue = [start]
    for node in queue:
        for element, other in at.get(node, ()):
            if other not in found:
                found[other] = (element, node)
                queue.append(other)
    return found
