"""What conducts without taking: wires, fuses, closed contacts, grounds on metal, outputs that are on, diodes in their direction.

Takes a wiring, and a solved state; gives the way of bare conductors between two nodes: a
short circuit where these are the poles of a source.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ..electric import Circuit, Diode, Element, Relay, Solution
from ..electric.circuit import contact_id
from ..operation.catalogue import BOND, CONTACT, FUSE, GROUND, LINK, OUTPUT, WIRE, WORKS, switch_element
from ..operation.units import commanded_on
from ..operation.wiring import Wiring

CONDUCTORS = (WIRE, FUSE, LINK, GROUND, BOND)
"""Kinds of element that conduct in every state."""
_SWITCHED = (CONTACT, OUTPUT)


@dataclass(frozen=True, slots=True)
class Piece:
    """A conductor between two nodes; ``one_way``: from a to b only."""

    id: str
    a: str
    b: str
    one_way: bool = False


class Islands:
    """The nodes that pieces join, in any direction; a node nobody joins is an island of its own."""

    __slots__ = ("_parents",)

    def __init__(self, pieces: Iterable[Piece | Element]) -> None:
        self._parents: dict[str, str] = {}
        for piece in pieces:
            a, b = self.of(piece.a), self.of(piece.b)
            if a != b:
                self._parents[b] = a

    def of(self, node: str) -> str:
        """The node an island is known by."""
        top = node
        while (above := self._parents.get(top)) is not None:
            top = above
        while node != top:
            above = self._parents[node]
            self._parents[node] = top
            node = above
        return top


def contacts(wiring: Wiring) -> Iterator[Piece]:
    """The contacts of all switches, relays and solenoids, in every position at once."""
    of, off = wiring.nodes.of, wiring.nodes.off
    for id, device in wiring.harness.devices.items():
        for pairs in device.closes.values():
            yield from (Piece(switch_element(id, a, b), of[a], of[b]) for a, b in pairs if a in of and b in of and not {a, b} & off)
    yield from _of_relays(relay for relay in wiring.relays if wiring.catalogue[relay.id].kind != WORKS)


def at_work(wiring: Wiring) -> Iterator[Piece]:
    """What joins the references of control units to their pins while they work."""
    yield from _of_relays(relay for relay in wiring.relays if wiring.catalogue[relay.id].kind == WORKS)


def _of_relays(relays: Iterable[Relay]) -> Iterator[Piece]:
    return (Piece(relay.id, contact.common, far) for relay in relays for contact in relay.contacts for far in (contact.open, contact.closed) if far)


def outputs(wiring: Wiring) -> Iterator[Piece]:
    """Every output of every control unit, on."""
    for unit in wiring.units.values():
        on = frozenset(pin.address for pin in unit.pins)
        yield from (Piece(element.id, element.a, element.b) for element in commanded_on(unit, wiring.nodes, on)[0])


class Bare:
    """The bare conductors of a wiring: those of every state once, those of a state on demand."""

    __slots__ = ("_wiring", "_fixed", "_diodes", "_islands", "_ever")

    def __init__(self, wiring: Wiring) -> None:
        self._wiring = wiring
        self._fixed = [element for element in wiring.elements if wiring.catalogue[element.id].kind in CONDUCTORS]
        suppressions = (relay.suppression for relay in wiring.relays)
        self._diodes = [Piece(element.id, element.a, element.b, True) for element in (*wiring.elements, *suppressions) if isinstance(element, Diode)]
        self._islands = Islands(self._fixed)
        self._ever = Islands((*self._fixed, *self._diodes, *contacts(wiring), *outputs(wiring)))

    def may_join(self, start: str, ends: Iterable[str]) -> bool:
        """False where in no state ``way`` leads to one of ``ends``: asked first, for that is nearly always so."""
        return self._ever.of(start) in {self._ever.of(end) for end in ends}

    def way(self, circuit: Circuit, solution: Solution, start: str, ends: Sequence[str]) -> tuple[str, ...] | None:
        """Ids of the elements from ``start`` to the first of ``ends``, fewest first; None where nothing bare leads there, () where they are one point."""
        found = list(self._in_state(circuit, solution))
        top = self._islands.of
        # Between islands first: nearly always nothing leads there, and few pieces are to be asked.
        if shortest([Piece(piece.id, top(piece.a), top(piece.b), piece.one_way) for piece in found], top(start), [top(end) for end in ends]) is None:
            return None
        return shortest([*(Piece(element.id, element.a, element.b) for element in self._fixed), *found], start, ends)

    def _in_state(self, circuit: Circuit, solution: Solution) -> Iterator[Piece]:
        yield from self._diodes
        for element in circuit.elements[len(self._wiring.elements):]:
            if self._wiring.catalogue[element.id].kind in _SWITCHED:
                yield Piece(element.id, element.a, element.b)
        for relay in circuit.relays:
            if self._wiring.catalogue[relay.id].kind == WORKS:
                continue
            for number, contact in enumerate(relay.contacts):
                far = contact.open if solution.relay_states.get(relay.id, False) else contact.closed
                if far:
                    yield Piece(contact_id(relay, number), contact.common, far)


def shortest(pieces: Iterable[Piece], start: str, ends: Sequence[str]) -> tuple[str, ...] | None:
    """Ids of the pieces from ``start`` to the first of ``ends``, fewest first; None where they do not lead there."""
    near: dict[str, list[tuple[str, str]]] = {}
    for piece in pieces:
        near.setdefault(piece.a, []).append((piece.id, piece.b))
        if not piece.one_way:
            near.setdefault(piece.b, []).append((piece.id, piece.a))
    came: dict[str, tuple[str, str]] = {start: ("", "")}
    queue = deque([start])
    while queue:
        node = queue.popleft()
        if node in ends:
            way = []
            while node != start:
                element, node = came[node]
                way.append(element)
            return tuple(reversed(way))
        for element, other in near.get(node, ()):
            if other not in came:
                came[other] = (element, node)
                queue.append(other)
    return None
