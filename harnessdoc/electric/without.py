"""A solved circuit, asked again and again what it would be without one of its elements.

The slopes of all laws at the solution make one matrix, factorised once. What a case changes (the element
taken out, relays that move, laws whose slope moves) is a correction of low rank to it, by
Woodbury's identity, so that a case costs a few triangular solves; what is corrected is taken by its law at once, in a small Newton of its own. Where it changes more than that the
matrix is factorised anew. Newton's method goes on until the currents balance at each node; what does not come to rest so is solved from nothing by ``relays.settle``.
Loads numpy and scipy.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.sparse import csc_matrix, csr_matrix
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import splu

from .circuit import Circuit, Fault, Relay, Solution, Unsolved, contact_id
from .elements import Element, Lamp, Resistor
from .relays import settle
from .slopes import law, linear

NOTHING_A = 1e-6
"""An element that carries less may go: no other current changes by more than it carried, for all laws rise."""
MOST_RANK, MOST_STEPS, MOST_MOVES, MOST_INNER = 90, 40, 12, 20
"""Elements that the matrix may lack; steps of all nodes, moves of relays, and steps of what the matrix lacks alone, before it is given up.

From 100 on a side a BLAS solves in threads, which where the machine has other work takes ten times as long as one does."""
REST_A, REST_SHARE = 1e-9, 1e-9
"""Currents balance where they are off by less at every node: what the checker allows."""
_MOVED_A = 1e-10
"""A law whose current moves by less along its slope is left where it was last taken."""
_MOVED_V = 1e-3
"""Where its voltage moves by more it is taken anew whatever its slope was: a diode that blocked may conduct there."""
_SLOPE_SHARE = 0.01
"""A law whose slope has moved by more than this share is put right in the matrix."""
_LOST_V = 1e4
_ADRIFT = -1
"""In place of an element: a contact that would tie a node which floats."""


@dataclass(frozen=True, slots=True)
class Case:
    """What a case comes to.

    volts: node -> volts against the reference, None where it floats; amps: element -> amps, 0 where it is not in it
    from_nothing: solved by ``settle``
    """

    volts: Callable[[str], float | None]
    amps: Callable[[str], float]
    relay_states: Mapping[str, bool]
    from_nothing: bool


CHATTERS = Unsolved((Fault("relay-chatters", "without it relays pull in, and by that lose their coil voltage, over and over", ()),))
RACE = Unsolved((Fault("relay-race", "without it the faster of two relays decides", ()),))


class Opened:
    """A circuit and its solution, to be asked for cases; the reference stands first in the voltages, as in every solution of ``solve``."""

    def __init__(self, circuit: Circuit, solution: Solution) -> None:
        self._circuit, self._solution = circuit, solution
        self._node = {node: place for place, node in enumerate(solution.voltages)}
        closed = [element for element in circuit.elements_in(solution.relay_states) if element.a in self._node and element.b in self._node and element.a != element.b]
        self._place = {element.id: place for place, element in enumerate(closed)}
        self._moves, moved = self._contacts_that_may_move(len(closed))
        self._place_moved = {element.id: len(closed) + number for number, element in enumerate(moved)}
        elements = (*closed, *moved)
        self._a = np.array([self._node[element.a] for element in elements], dtype=np.int64)
        self._b = np.array([self._node[element.b] for element in elements], dtype=np.int64)
        lines = [linear(element) for element in elements]
        self._bases = np.array([line[1] if line else 0.0 for line in lines])
        self._loose = np.array([place for place, line in enumerate(lines) if line is None], dtype=np.int64)
        self._lamps = frozenset(number for number, place in enumerate(self._loose.tolist()) if isinstance(elements[place], Lamp))
        self._number = {place: number for number, place in enumerate(self._loose.tolist())}
        self._laws = [law(elements[place]) for place in self._loose]      # type: ignore[arg-type]
        self._loose_a, self._loose_b = self._a[self._loose], self._b[self._loose]
        self._v = np.fromiter(solution.voltages.values(), dtype=float, count=len(self._node))
        self._loose_at = self._v[self._loose_a] - self._v[self._loose_b]
        points = [own(volts) for own, volts in zip(self._laws, self._loose_at.tolist())]
        self._loose_amps = np.array([current for current, _ in points])
        self._slopes = np.array([line[0] if line else 0.0 for line in lines])
        self._slopes[self._loose] = [slope for _, slope in points]
        self._on = np.concatenate((np.ones(len(closed)), np.zeros(len(moved))))
        places = np.arange(len(elements))
        signs = np.concatenate((np.ones(len(elements)), -np.ones(len(elements))))
        self._incidence = csr_matrix((signs, (np.concatenate((self._a, self._b)), np.concatenate((places, places)))), shape=(len(self._node), len(elements)))
        self._allowed = self._allowed_at_nodes()
        self._matrix = _Matrix(self, self._slopes * self._on, ())
        self._coils = [(relay, self._node[relay.start], self._node[relay.end]) for relay in circuit.relays if relay.start in self._node and relay.end in self._node]

    def without(self, element: str) -> Case | Unsolved | None:
        """The case in which an element is taken out; None where it carries nothing, so that nothing changes."""
        place = self._place.get(element)
        if place is None or abs(self._solution.currents[element]) < NOTHING_A:
            return None
        together = _Attempt(self).without(place, False)
        if together is not CHATTERS:
            return together or self._from_nothing(element)
        single = _Attempt(self).without(place, True)
        if single is None:
            return self._from_nothing(element)
        # As ``settle`` has it: where one at a time comes to rest, the faster relay decides.
        return CHATTERS if single is CHATTERS else RACE

    def _from_nothing(self, element: str) -> Case | Unsolved:
        found = settle(replace(self._circuit, elements=tuple(one for one in self._circuit.elements if one.id != element)), self._solution.relay_states)
        return found if isinstance(found, Unsolved) else Case(found.voltages.get, lambda element: found.currents.get(element, 0.0), found.relay_states, True)

    def _contacts_that_may_move(self, first: int) -> tuple[dict[str, list[tuple[int | None, int | None]]], list[Element]]:
        """Relay -> (the contact that is closed, the one that closes when it moves) of each of its contacts; and the elements of the latter, from place ``first``."""
        moves: dict[str, list[tuple[int | None, int | None]]] = {}
        moved: list[Element] = []
        for relay in self._circuit.relays:
            pulled = self._solution.relay_states.get(relay.id, False)
            for number, contact in enumerate(relay.contacts):
                id = contact_id(relay, number)
                far = contact.closed if pulled else contact.open
                place: int | None = None
                if far and contact.common != far:
                    place = _ADRIFT
                    if contact.common in self._node and far in self._node:
                        place = first + len(moved)
                        moved.append(Resistor(id, contact.common, far, contact.ohm))
                moves.setdefault(relay.id, []).append((self._place.get(id), place))
        return moves, moved

    def _allowed_at_nodes(self) -> np.ndarray:
        """By how much the currents at each node may be off, by the currents of the solution."""
        amps = np.abs(self.amps_at(self._v, self._on, self._loose_amps))
        most = np.zeros(len(self._node))
        np.maximum.at(most, self._a, amps)
        np.maximum.at(most, self._b, amps)
        return REST_A + REST_SHARE * most

    def amps_at(self, v: np.ndarray, on: np.ndarray, loose_amps: np.ndarray) -> np.ndarray:
        """The current of every element, at voltages ``v``."""
        amps = self._slopes * (v[self._a] - v[self._b]) + self._bases
        amps[self._loose] = loose_amps
        return amps * on

    def parts(self, on: np.ndarray) -> np.ndarray:
        """Node -> number of the part it is in; a part is what elements that are ``on`` tie together."""
        live = np.nonzero(on)[0]
        size = len(self._node)
        return connected_components(csr_matrix((np.ones(len(live)), (self._a[live], self._b[live])), shape=(size, size)), directed=False)[1]


class _Matrix:
    """The matrix of some slopes, factorised; ``held``: nodes held at where they are, as nothing ties them to the reference."""

    __slots__ = ("weights", "_a", "_b", "_factors", "_columns", "_size")

    def __init__(self, opened: Opened, weights: np.ndarray, held: Sequence[int]) -> None:
        # no way back to ``opened``: in a circle its matrices would stay until the collector runs, some MB a state
        self.weights, self._a, self._b, self._size = weights, opened._a, opened._b, len(opened._node)
        a, b = self._a, self._b
        ones, pins = np.ones(len(held)), np.array(held, dtype=np.int64)
        matrix = csc_matrix((np.concatenate((weights, weights, -weights, -weights, ones)), (np.concatenate((a, b, a, b, pins)), np.concatenate((a, b, b, a, pins)))),
                            shape=(self._size, self._size))
        self._factors = splu(matrix[1:, 1:], permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
        self._columns: dict[int, np.ndarray] = {}

    def solve(self, right: np.ndarray) -> np.ndarray:
        return np.concatenate(([0.0], self._factors.solve(right[1:])))

    def column(self, place: int) -> np.ndarray:
        """What 1 A into one end of an element and out of its other does to all nodes."""
        if place not in self._columns:
            right = np.zeros(self._size)
            right[self._a[place]] += 1.0
            right[self._b[place]] -= 1.0
            self._columns[place] = self.solve(right)
        return self._columns[place]

    def pinned(self, node: int) -> np.ndarray:
        """The same for 1 A into a node."""
        right = np.zeros(self._size)
        right[node] = 1.0
        return self.solve(right)


class _Attempt:
    """One case on its way: what is on, the slopes and currents of the laws, the matrix and what it lacks."""

    __slots__ = ("_of", "_v", "_on", "_slopes", "_loose_amps", "_loose_at", "_matrix", "_delta", "_held", "_columns")

    def __init__(self, of: Opened) -> None:
        self._of, self._v, self._on = of, of._v, of._on.copy()
        self._slopes, self._loose_amps, self._loose_at = of._slopes.copy(), of._loose_amps.copy(), of._loose_at.copy()
        self._matrix, self._delta = of._matrix, dict[int, float]()
        self._held: tuple[int, ...] = ()
        self._columns: tuple[tuple[int, ...], np.ndarray, np.ndarray, np.ndarray, np.ndarray] | None = None

    def without(self, gone: int, one_at_a_time: bool) -> Case | Unsolved | None:
        """CHATTERS where relays come back to where they were; None where it does not come to rest so."""
        of = self._of
        states = dict(of._solution.relay_states)
        history = [states]
        self._switch(gone, 0.0)
        for _ in range(MOST_MOVES):
            if not self._newton():
                # What nothing ties any more has no voltage of its own: one node of it is held.
                self._held = self._adrift()
                if not self._held or not self._newton():
                    return None
            changing = [relay.id for relay, start, end in of._coils if _wants(relay, states.get(relay.id, False), abs(self._v[start] - self._v[end])) != states.get(relay.id, False)]
            if not changing:
                return self._case(states)
            if one_at_a_time:
                changing = changing[:1]
            states = {**states, **{id: not states.get(id, False) for id in changing}}
            if states in history:
                return CHATTERS
            history.append(states)
            for id in changing:
                for was, other in of._moves.get(id, ()):
                    away, here = (was, other) if states[id] != of._solution.relay_states.get(id, False) else (other, was)
                    if _ADRIFT in (away, here):
                        return None
                    if away is not None:
                        self._switch(away, 0.0)
                    if here is not None:
                        self._switch(here, 1.0)
        return None

    def _case(self, states: Mapping[str, bool]) -> Case:
        of = self._of
        v, amps = self._v, of.amps_at(self._v, self._on, self._loose_amps)
        # What carried current was no only tie: something floats only where a relay has let go as well.
        parts = of.parts(self._on) if self._held or states != of._solution.relay_states else None

        def volts(node: str) -> float | None:
            place = of._node.get(node)
            return None if place is None or (parts is not None and parts[place] != parts[0]) else float(v[place])

        def current(element: str) -> float:
            # Of a contact that moves one is closed, and the other carries nothing.
            place, moved = of._place.get(element), of._place_moved.get(element)
            return (0.0 if place is None else float(amps[place])) + (0.0 if moved is None else float(amps[moved]))

        return Case(volts, current, states, False)

    def _switch(self, place: int, on: float) -> None:
        self._on[place] = on
        self._weigh(place)

    def _weigh(self, place: int) -> None:
        """Notes what the matrix lacks of an element; nothing where it has it right."""
        lacks = self._slopes[place] * self._on[place] - self._matrix.weights[place]
        if lacks:
            self._delta[place] = lacks
        else:
            self._delta.pop(place, None)

    def _adrift(self) -> tuple[int, ...]:
        """One node of each part that nothing ties to the reference."""
        parts = self._of.parts(self._on)
        first: dict[int, int] = {}
        for node, part in enumerate(parts.tolist()):
            first.setdefault(part, node)
        return tuple(node for part, node in first.items() if part != parts[0])

    def _newton(self) -> bool:
        """Goes on to voltages at which all currents balance; False, and where it was, if it does not come there."""
        of, v = self._of, self._v
        for _ in range(MOST_STEPS):
            self._take_laws_at(v)
            left = -(of._incidence @ of.amps_at(v, self._on, self._loose_amps))
            left[0] = 0.0
            if np.all(np.abs(left) <= of._allowed):
                self._v = v
                return True
            step = self._step(left)
            if step is None or not np.all(np.isfinite(step)) or np.max(np.abs(step)) > _LOST_V:
                return False
            v = v + step
        return False

    def _take_laws_at(self, v: np.ndarray) -> None:
        of, on, slopes, last = self._of, self._on, self._slopes, self._loose_at
        across = v[of._loose_a] - v[of._loose_b]
        moves = np.abs(across - last)
        moved = np.nonzero((moves * slopes[of._loose] > _MOVED_A) | (moves > _MOVED_V))[0]
        for number, place, volts in zip(moved.tolist(), of._loose[moved].tolist(), across[moved].tolist()):
            self._loose_amps[number], slope = of._laws[number](volts)
            if number in of._lamps and volts * last[number] < 0:
                # It goes out. A lamp's current falls with the root of its voltage: along its slope it would swing through
                # nothing and back, a tenth less each time. The line through nothing leads there.
                slope = self._loose_amps[number] / volts
            last[number] = volts
            used = slopes[place]
            if on[place] and abs(slope - used) > _SLOPE_SHARE * (slope if slope > used else used):
                slopes[place] = slope
                self._weigh(place)

    def _step(self, left: np.ndarray) -> np.ndarray | None:
        """How the voltages have to move so that what is left balances: along the slopes, but for what the matrix lacks by its laws."""
        if len(self._delta) + len(self._held) > MOST_RANK:
            self._held = self._adrift()
            self._matrix, self._delta, self._columns = _Matrix(self._of, self._slopes * self._on, self._held), {}, None
        step = self._matrix.solve(left)
        if not self._delta:
            return step
        held = self._held if self._matrix is self._of._matrix else ()
        places = (*self._delta, *(-node for node in held))
        if self._columns is None or self._columns[0] != places:
            columns = np.stack([*map(self._matrix.column, self._delta), *map(self._matrix.pinned, held)])
            listed = list(self._delta)
            a, b = (np.array([*ends[listed], *pins], dtype=np.int64) for ends, pins in ((self._of._a, held), (self._of._b, (0,) * len(held))))
            self._columns = places, columns, a, b, columns[:, a] - columns[:, b]
        _, columns, a, b, between = self._columns
        try:
            more = self._beyond(step[a] - step[b], between, len(held))
        except np.linalg.LinAlgError:
            return None
        return step - more @ columns

    def _beyond(self, moves: np.ndarray, between: np.ndarray, pins: int) -> np.ndarray:
        """What each element that the matrix lacks takes beyond what the matrix has of it, in A: by its law, or along its slope where that does not come to rest.

        Newton's method on these few alone; most that a case changes is among them, so that few steps of all nodes are left.

        moves: V across each, as far as the matrix goes; between: V across one for 1 A through another; pins: how many nodes held come last
        """
        of, slopes = self._of, np.array([*self._delta.values(), *(1.0,) * pins])
        first = np.linalg.solve(between + np.diag(1.0 / slopes), moves)
        curved = [(row, number, self._matrix.weights[place]) for row, place in enumerate(self._delta) if (number := of._number.get(place)) is not None and self._on[place]]
        if not curved:
            return first
        beyond, by, eye = first.copy(), slopes.copy(), np.eye(len(slopes))
        for _ in range(MOST_INNER):
            across = moves - between @ beyond
            if not np.all(np.abs(across) < _LOST_V):
                return first
            given = by * across
            for row, number, weight in curved:
                was = float(self._loose_at[number])
                volts = was + float(across[row])
                amps, slope = of._laws[number](volts)
                if number in of._lamps and volts * was < 0:
                    slope = amps / volts        # as in _take_laws_at
                given[row] = amps - self._loose_amps[number] - weight * across[row]
                by[row] = slope - weight
            off = given - beyond
            if np.max(np.abs(off)) <= REST_A:
                return given
            beyond = beyond + np.linalg.solve(eye + by[:, None] * between, off)
        return first


def _wants(relay: Relay, pulled: bool, volts: float) -> bool:
    return bool(volts > relay.release_v if pulled else volts >= relay.pull_in_v)
