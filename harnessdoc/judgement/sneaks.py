"""What is live, on or held in where it should not be: in every state as it is, and with each ground and each fuse opened in turn.

Takes an Operation; gives a Sweep: how many cases were asked, and Sneaks, each with the path of its current.
A case with something opened is found by ``electric/without.py``; what it shows is then solved from nothing, so that
every Sneak stands on a solution that the checker has passed.

As it is, a circuit or load is held against its circuit's `hot:`; a relay, or a control unit at work, that stays
in with the key off while the engine runs, against the same key with the engine still. With a ground opened
what counts is what comes on, or is pulled in, that was not before; with a fuse opened, what does so against its circuit's `hot:`. The key off while the engine runs is a moment: where
nothing is held in the engine stops, and what glows till then is nothing. Nor is anything opened while the engine is cranked, for seconds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ..electric import Circuit, Element, Lamp, Relay, Resistor, Solution, Unsolved, check, settle
from ..electric.circuit import RelayStates
from ..model.electric import Engine
from ..model.electric_words import KEY_OFF
from ..model.given import nominal_v
from ..operation.catalogue import COIL, CONTACT, FUSE, GROUND, LINK, LOAD, OUTPUT, WORKS
from ..operation.operate import Operation, Solved
from ..operation.states import Case
from ..operation.wiring import LoadPoint
from ..trade.tables import factors
from .flow import Flow, flow_of
from .hot import LIVE, feeds_of, may_be_live

MOST_WIRES = 5000
"""Above so many wires grounds and fuses are opened only where somebody asks for it."""
ON = 0.1
"""Share of what it takes at the nominal supply from which a load counts as on. Common practice, from memory."""
LAMP_ON = 0.3
"""Of a lamp: with less its filament does not glow, for it is cold and takes most of its current at an eighth of its voltage. From memory."""
LEAST_A = 0.05
"""What takes less at the nominal supply does nothing when it is on: sensors, references. Design choice."""
OPENED = (GROUND, FUSE, LINK)
"""Kinds of element that are opened in turn."""
_MOST_PATHS = 400
_NOT_LOADS = ("sender",)

What = Literal["live", "on", "held"]


@dataclass(frozen=True, slots=True)
class Sneak:
    """One thing that is live, on or held in where it should not be.

    what:   a circuit that is live, a load that is on, a relay or control unit that is held or pulled in
    thing:  id of the circuit, LoadPoint or relay, or of the device at work; the address of a pin that wakes its device
    states: those it shows in, the worst first; opened: id of the element that is open, "" where none is
    value:  V at the circuit's feed or across the coil, A of a load, in the worst state; limit: what it is held against
    sure:   False of a relay between what its maker guarantees to let go at and what one lets go at typically: it may hold
    path:   what the current passes, in words, from the source on; () where none flows
    elements: the same as ids
    """

    what: What
    thing: str
    states: tuple[str, ...]
    opened: str
    value: float
    limit: float
    sure: bool
    path: tuple[str, ...]
    elements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sweep:
    """cases: states times what was opened in them; found: as it is first, then by what is opened, in the order of the description."""

    cases: int
    found: tuple[Sneak, ...]


@dataclass(slots=True)
class _Seen:
    """Where a thing showed: in states, the worst of them first asked for its value."""

    states: list[str]
    worst: str
    value: float
    limit: float
    sure: bool


_Key = tuple[str, What, str]     # opened, what, thing


def opens(operation: Operation, asked: bool | None) -> bool:
    """Whether grounds and fuses are opened: as asked, else where the harness is not too large for that."""
    return len(operation.wiring.harness.wires) <= MOST_WIRES if asked is None else asked


def sweep(operation: Operation, opening: bool) -> Sweep:
    """The sneaks of an operation; ``opening``: with each ground and fuse opened in turn, too. Made once."""
    return operation.kept(f"sweep {opening}", lambda: _sweep(operation, opening))


def _sweep(operation: Operation, opening: bool) -> Sweep:
    seen: dict[_Key, _Seen] = {}
    asked = _Asked(operation)
    solved = [one for one in operation.solved.values() if one.solution is not None]
    for one in solved:
        for what, thing, value, limit, sure in asked.as_it_is(one):
            _note(seen, ("", what, thing), one.case.name, value, limit, sure)
    cases = 0
    if opening:
        from ..electric.without import Opened

        catalogue = operation.wiring.catalogue
        for one in solved:
            assert one.solution is not None
            elements = opened_in(operation, one)
            cases += len(elements)
            opened = Opened(one.circuit, one.solution) if elements else None
            for element in elements:
                case = opened.without(element) if opened is not None else None
                if case is not None and not isinstance(case, Unsolved):
                    for what, thing, value, limit, sure in asked.opened(one, catalogue[element].kind == GROUND, case.amps, case.volts, case.relay_states):
                        _note(seen, (element, what, thing), one.case.name, value, limit, sure)
    order = {"": -1, **{element.id: place for place, element in enumerate(operation.wiring.elements)}}
    keys = sorted(seen, key=lambda key: order.get(key[0], len(order)))
    return Sweep(cases, tuple(_told(operation, asked, keys, seen)))


def opened_in(operation: Operation, solved: Solved) -> tuple[str, ...]:
    """Ids of what is opened in turn in a state; nothing is lost in the moment before the engine stops, or while it is cranked."""
    if is_a_moment(solved.case) or solved.case.engine is Engine.CRANKING:
        return ()
    return tuple(element.id for element in solved.circuit.elements if operation.wiring.catalogue[element.id].kind in OPENED)


def is_a_moment(case: Case) -> bool:
    """Whether the key stands where the engine is to stop, and it runs."""
    return case.engine is Engine.RUNNING and case.key in (KEY_OFF, "accessory")


def _note(seen: dict[_Key, _Seen], key: _Key, state: str, value: float, limit: float, sure: bool) -> None:
    there = seen.get(key)
    if there is None:
        seen[key] = _Seen([state], state, value, limit, sure)
        return
    there.states.append(state)
    if value > there.value:
        there.worst, there.value, there.limit = state, value, limit
    there.sure = there.sure or sure


def _told(operation: Operation, asked: _Asked, keys: Sequence[_Key], seen: dict[_Key, _Seen]) -> Iterator[Sneak]:
    """The sneaks with their paths, each confirmed by a solution of its own; what such a solution does not show is left out."""
    catalogue = operation.wiring.catalogue
    shown: dict[tuple[str, str], tuple[Flow | None, dict[tuple[What, str], float]]] = {}
    for number, (opened, what, thing) in enumerate(keys):
        there = seen[opened, what, thing]
        state, value, flow = operation.solved[there.worst], there.value, None
        if not opened:
            flow = flow_of(operation, state)
        elif number < _MOST_PATHS:
            if (there.worst, opened) not in shown:
                shown[there.worst, opened] = _shown_without(operation, asked, state, opened)
            flow, values = shown[there.worst, opened]
            if (what, thing) not in values:
                continue
            value = values[what, thing]
        elements = asked.path(flow, what, thing) if flow is not None else ()
        if what == "held" and not opened and state is not None and asked.is_commanded(state, elements):
            continue        # an output turns it on: that is what it is for
        if what == "live" and not elements:
            continue        # volts of a point that hangs on what nothing ties: no current comes of it
        states = (there.worst, *(name for name in there.states if name != there.worst))
        yield Sneak(what, thing, states, opened, value, there.limit, there.sure, tuple(dict.fromkeys(catalogue[element].words for element in elements)), elements)


def _shown_without(operation: Operation, asked: _Asked, before: Solved, element: str) -> tuple[Flow | None, dict[tuple[What, str], float]]:
    """What flows in a state with an element taken out, solved from nothing, and (what, thing) -> value of what shows in it; nothing where it has no solution."""
    found = _solved_without(before, element)
    if found is None or (solution := found.solution) is None:
        return None, {}
    is_ground = operation.wiring.catalogue[element].kind == GROUND
    told = asked.opened(before, is_ground, lambda id: solution.currents.get(id, 0.0), solution.voltages.get, solution.relay_states)
    return flow_of(operation, found), {(what, thing): value for what, thing, value, _, _ in told}


def _solved_without(state: Solved, element: str) -> Solved | None:
    """A state with an element taken out, solved from nothing and checked; None where it has no solution."""
    assert state.solution is not None
    circuit = replace(state.circuit, elements=tuple(one for one in state.circuit.elements if one.id != element))
    found = settle(circuit, state.solution.relay_states)
    return Solved(state.case, circuit, found, ()) if isinstance(found, Solution) and not check(circuit, found) else None


class _Asked:
    """What is asked of every case, gathered once: loads with what they take when on, relays, the feeds of circuits."""

    def __init__(self, operation: Operation) -> None:
        self._operation = operation
        wiring = operation.wiring
        harness, catalogue = wiring.harness, wiring.catalogue
        supply_v = nominal_v(harness)
        elements = {element.id: element for element in wiring.elements}
        self._loads = [(load, amps) for load in wiring.loads if load.kind not in _NOT_LOADS and (amps := _least_a(elements.get(load.element), supply_v))]
        self._relays = [relay for relay in wiring.relays if catalogue[relay.id].kind in (COIL, WORKS)]
        self._hot = {id: circuit.hot for id, circuit in harness.circuits.items() if circuit.hot is not None}
        self._feeds = {id: node for id, node in feeds_of(operation).items() if id in self._hot}
        self._typical_v = factors()["relay-release-typical"].value * supply_v
        self._wakes = [(address, wiring.nodes.of[address]) for address, contact in harness.contacts.items() if contact.signal == "input-wake" and address not in wiring.nodes.off]
        self._wakes_v = factors()["unit-wakes"].value * supply_v / 12.0
        self._circuits_of = {relay.id: self._coil_circuits(relay) for relay in self._relays}
        self._still = {one.case.key: one for one in operation.solved.values()
                       if one.case.engine is Engine.STOPPED and not (one.case.switches or one.case.commanded or one.case.named) and one.solution is not None}

    def _coil_circuits(self, relay: Relay) -> tuple[str, ...]:
        harness, entry = self._operation.wiring.harness, self._operation.wiring.catalogue[relay.id]
        return tuple(dict.fromkeys(harness.wires[wire].circuit for end in (entry.a, entry.b) for wire in harness.wires_at.get(end, ()) if harness.wires[wire].circuit))

    def _may_be_in(self, relay: Relay, solved: Solved) -> bool:
        """Whether a coil's circuits, as far as it is said of them, let it be in."""
        said = [self._hot[circuit] for circuit in self._circuits_of[relay.id] if circuit in self._hot]
        return any(may_be_live(words, solved.case) for words in said)

    def as_it_is(self, solved: Solved) -> Iterator[tuple[What, str, float, float, bool]]:
        """(what, thing, value, limit, sure) of one state."""
        solution, case = solved.solution, solved.case
        assert solution is not None
        plus = self._operation.wiring.nodes.plus
        supply_v = solution.voltages.get(plus, 0.0)
        lasts = not is_a_moment(case)
        for id, node in self._feeds.items() if lasts else ():
            volts = solution.voltages.get(node, 0.0)
            if supply_v > 0 and volts >= LIVE * supply_v and not may_be_live(self._hot[id], case):
                yield "live", id, volts, LIVE * supply_v, True
        for load, amps in self._loads if lasts else ():
            flows = abs(solution.currents.get(load.element, 0.0))
            if flows >= amps and load.circuit in self._hot and not may_be_live(self._hot[load.circuit], case):
                yield "on", load.id, flows, amps, True
        still = None if lasts else self._still.get(case.key)
        for address, node in self._wakes if still is not None else ():
            volts, before_v = solution.voltages.get(node, 0.0), still.solution.voltages.get(node, 0.0) if still and still.solution else 0.0
            if volts >= self._wakes_v > before_v:
                yield "held", address, volts, self._wakes_v, True
        for relay in self._relays:
            if not solution.relay_states.get(relay.id, False) or self._may_be_in(relay, solved):
                continue
            said = any(circuit in self._hot for circuit in self._circuits_of[relay.id])
            runs_on = still is not None and still.solution is not None and not still.solution.relay_states.get(relay.id, False)
            if said or runs_on:
                volts = abs(solution.across(relay.start, relay.end))
                yield "held", self._thing(relay), volts, relay.release_v, volts > self._typical_v

    def opened(self, before: Solved, is_ground: bool, amps: Callable[[str], float], volts: Callable[[str], float | None],
               relay_states: RelayStates) -> Iterator[tuple[What, str, float, float, bool]]:
        """What came on in a case that was not before; without a fuse only what is said not to be."""
        solution = before.solution
        assert solution is not None
        for load, least_a in self._loads:
            if not is_ground and may_be_live(self._hot.get(load.circuit, ("always",)), before.case):
                continue
            was = abs(solution.currents.get(load.element, 0.0))
            if was < least_a and (flows := abs(amps(load.element))) >= least_a:
                yield "on", load.id, flows, least_a, True
        for relay in self._relays:
            if not is_ground and (not any(circuit in self._hot for circuit in self._circuits_of[relay.id]) or self._may_be_in(relay, before)):
                continue
            if relay_states.get(relay.id, False) and not solution.relay_states.get(relay.id, False):
                across = abs((volts(relay.start) or 0.0) - (volts(relay.end) or 0.0))
                yield "held", self._thing(relay), across, relay.pull_in_v, True
        supply_v = solution.voltages.get(self._operation.wiring.nodes.plus, 0.0)
        for id, node in self._feeds.items():
            if solution.voltages.get(node, 0.0) < LIVE * supply_v and (now := volts(node) or 0.0) >= LIVE * supply_v and not may_be_live(self._hot[id], before.case):
                yield "live", id, now, LIVE * supply_v, True

    def _thing(self, relay: Relay) -> str:
        return self._operation.wiring.catalogue[relay.id].thing.rpartition(" ")[2]

    def path(self, flow: Flow, what: What, thing: str) -> tuple[str, ...]:
        """Ids of the elements that the current passes, from the source to the sink; () where none flows."""
        if what == "live":
            return tuple(element.id for element in reversed(tuple(flow.before(self._feeds[thing])))) if self._feeds[thing] in flow.at else ()
        if what == "on":
            load = next(load for load, _ in self._loads if load.id == thing)
            return _through(flow, load.element)
        wake = dict(self._wakes).get(thing)
        if wake is not None:
            return tuple(element.id for element in reversed(tuple(flow.before(wake)))) if wake in flow.at else ()
        relay = next(relay for relay in self._relays if self._thing(relay) == thing)
        return _through(flow, relay.id)

    def is_commanded(self, solved: Solved, elements: Sequence[str], within: frozenset[str] = frozenset()) -> bool:
        """Whether an output that is on turns on what lies at the end of a path, or a relay over whose contact it leads.

        An output to ground takes the current of the last coil or load straight away. One to the supply gives it straight to that, and
        that is in by nothing else: in no other state without the output.
        """
        catalogue = self._operation.wiring.catalogue
        kinds = [catalogue[element].kind for element in elements]
        takers = [place for place, kind in enumerate(kinds) if kind in (COIL, WORKS, LOAD)]
        for place, kind in enumerate(kinds):
            if kind == OUTPUT and takers and (takers[-1] < place or (not any(place < taker < takers[-1] for taker in takers) and self._in_by(elements[takers[-1]], elements[place]))):
                return True
        flow = flow_of(self._operation, solved)
        for element, kind in zip(elements, kinds):
            relay = catalogue[element].thing if kind == CONTACT else ""
            if relay in flow.by_id and relay not in within and self.is_commanded(solved, _through(flow, relay), within | {relay}):
                return True
        return False

    def _in_by(self, relay: str, output: str) -> bool:
        """Whether a relay is in only where an output is on."""
        solutions = (solved.solution for solved in self._operation.solved.values() if solved.solution is not None)
        return all(output in solution.currents for solution in solutions if solution.relay_states.get(relay, False))


def _through(flow: Flow, id: str) -> tuple[str, ...]:
    """From the source through an element and back to the source's minus."""
    element = flow.by_id.get(id)
    if element is None:
        return ()
    enters, leaves = (element.a, element.b) if flow.solution.currents.get(id, 0.0) >= 0 else (element.b, element.a)
    before = tuple(flow.before(enters))
    minus = before[-1].b if before and flow.gives(before[-1]) else ""
    return (*(one.id for one in reversed(before)), id, *(one.id for one in flow.behind(leaves, minus)))


def _least_a(element: Element | None, supply_v: float) -> float:
    """From what current on a load counts as on, in A; 0 of what is no load in the circuit, or takes so little that nothing acts: a sensor."""
    match element:
        case Lamp():
            return LAMP_ON * element.watts / element.volts
        case Resistor() if supply_v / element.ohm >= LEAST_A:
            return ON * supply_v / element.ohm
    return 0.0
