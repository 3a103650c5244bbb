"""The power budget: what the supplies give and the loads take, state by state; and what drains the battery at rest.

Takes an Operation; gives a Budget. The states are those of driving order and those the user
named. What a load takes from a control unit's own reference is part of what that unit draws,
and a load behind another load takes no more than that one: neither is counted twice.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from math import fsum

from ..electric import Element
from ..model.electric import Battery, Engine
from ..model.electric_words import KEY_OFF
from ..operation.catalogue import COIL
from ..operation.nodes import placed_supplies
from ..operation.operate import Operation, Solved
from ..operation.states import Case
from ..operation.supplies import elements_of, given_a, kind_of
from ..operation.wiring import LoadPoint
from ..trade.tables import factors
from .flow import Flow, flow_of

LEAST_A = 0.0005
"""What takes less in every state stands in no row: it is part of the rest."""
_HOURS_A_DAY = 24.0


@dataclass(frozen=True, slots=True)
class Source:
    """A supply of the harness.

    kind:    "battery", "alternator" or "test supply"
    limit_a: None where none is stated
    gives_a, volts: by state; given is positive, a battery that is charged has a negative value
    """

    id: str
    title: str
    kind: str
    limit_a: float | None
    gives_a: Mapping[str, float]
    volts: Mapping[str, float]

    def share(self, state: str) -> float | None:
        """Of its limit, what it gives; None where no limit is stated."""
        return self.gives_a[state] / self.limit_a if self.limit_a else None


@dataclass(frozen=True, slots=True)
class Draw:
    """What a load takes from the supplies of the harness, in A by state."""

    load: LoadPoint
    amps: Mapping[str, float]

    @property
    def is_idle(self) -> bool:
        """True where it takes nothing in any of the states."""
        return all(amps < LEAST_A for amps in self.amps.values())


@dataclass(frozen=True, slots=True)
class Drain:
    """What the battery gives at rest: key off, engine stopped.

    parts: what takes it, with its load where it is one, the most first; they add up to total_a
    days:  until half of an example battery of ``battery_ah`` is gone; None where nothing drains it
    """

    parts: tuple[tuple[str, LoadPoint | None, float], ...]
    total_a: float
    battery_ah: float
    days: float | None


@dataclass(frozen=True, slots=True)
class Budget:
    """cases:    the states walked in driving order, then those the user named; solved ones only
    unsolved: names of those that have no solution
    visited:  how many states were solved in all
    draws:    in the order of the description; coils_a: of all relays; rest_a: what is left to ``total_a``, all by state
    inside:   loads that a control unit feeds from a reference of its own, in every state in which they take anything
    pulsed:   loads left out because their circuit pulses, with what is stated of them; unknown: of which nothing is
    drain:    None where that state is not solved, or no battery is described
    """

    cases: tuple[Case, ...]
    unsolved: tuple[str, ...]
    visited: int
    sources: tuple[Source, ...]
    draws: tuple[Draw, ...]
    coils_a: Mapping[str, float]
    rest_a: Mapping[str, float]
    total_a: Mapping[str, float]
    inside: tuple[LoadPoint, ...]
    pulsed: tuple[tuple[LoadPoint, str], ...]
    unknown: tuple[LoadPoint, ...]
    drain: Drain | None


@dataclass(frozen=True, slots=True)
class _Taken:
    """What is taken in one state: by load id, by all coils; ``inside``: ids of loads on a reference of a control unit."""

    loads: Mapping[str, float]
    coils: Mapping[str, float]
    inside: frozenset[str]
    total_a: float


def budget(operation: Operation) -> Budget:
    """The budget of the states walked in driving order and of the named ones."""
    wanted = [solved for solved in operation.solved.values() if solved.case.named or not (solved.case.switches or solved.case.commanded)]
    solved = [one for one in wanted if one.solution is not None]
    taken = {one.case.name: _taken(operation, one) for one in solved}
    loads = [load for load in operation.wiring.loads if load.element and not load.pulsed]
    draws = tuple(Draw(load, {name: of.loads.get(load.id, 0.0) for name, of in taken.items()}) for load in loads)
    idle = {draw.load.id for draw in draws if draw.is_idle}
    coils = {name: fsum(of.coils.values()) for name, of in taken.items()}
    rest = {name: of.total_a - coils[name] - fsum(of.loads.values()) for name, of in taken.items()}
    inside = tuple(load for load in loads if load.id in idle and any(load.id in of.inside for of in taken.values()))
    return Budget(
        tuple(one.case for one in solved), tuple(one.case.name for one in wanted if one.solution is None), len(operation.solved),
        tuple(_sources(operation, solved)), tuple(draw for draw in draws if draw.load not in inside), coils, rest, {name: of.total_a for name, of in taken.items()},
        inside, tuple((load, _pulsed_words(operation, load)) for load in operation.wiring.loads if load.pulsed),
        tuple(load for load in operation.wiring.loads if not load.element and not load.pulsed), _drain(operation, solved, taken))


def _taken(operation: Operation, solved: Solved) -> _Taken:
    wiring, flow = operation.wiring, flow_of(operation, solved)
    supplies = frozenset(id for device in placed_supplies(wiring.harness) for id in elements_of(device))
    relays = [relay.id for relay in wiring.relays if wiring.catalogue[relay.id].kind == COIL]
    of_load = {load.element: load.id for load in wiring.loads if load.element}
    loads: dict[str, float] = {}
    coils: dict[str, float] = {}
    inside: set[str] = set()
    stops = {*of_load, *relays}
    for id in (*of_load, *relays):
        element, current_a = flow.by_id.get(id), flow.solution.currents.get(id, 0.0)
        if element is None or abs(current_a) < LEAST_A / 10:
            continue
        fed_by = _fed_by(flow, element, stops)
        if fed_by in supplies and id in of_load:
            loads[of_load[id]] = abs(current_a)
        elif fed_by in supplies:
            coils[id] = abs(current_a)
        elif fed_by and fed_by not in stops and id in of_load:
            inside.add(of_load[id])
    return _Taken(loads, coils, frozenset(inside), fsum(-flow.solution.currents.get(id, 0.0) for id in sorted(supplies)))


def _fed_by(flow: Flow, element: Element, stops: Collection[str]) -> str:
    """The source whose current an element gets, or what of ``stops`` lies before it; "" where neither is found."""
    node = element.a if flow.solution.currents[element.id] > 0 else element.b
    return next((before.id for before in flow.before(node) if before.id in stops or flow.gives(before)), "")


def _sources(operation: Operation, solved: list[Solved]) -> Iterator[Source]:
    of = operation.wiring.nodes.of
    solutions = {one.case.name: one.solution for one in solved if one.solution is not None}
    for device in placed_supplies(operation.wiring.harness):
        assert device.between is not None and device.supply is not None
        plus, minus = (of[end] for end in device.between)
        limit = None if isinstance(device.supply, Battery) else device.supply.limit
        yield Source(device.id, device.title, kind_of(device), limit.value if limit else None, {name: given_a(device, solution) for name, solution in solutions.items()},
                     {name: solution.across(plus, minus) for name, solution in solutions.items()})


def _pulsed_words(operation: Operation, load: LoadPoint) -> str:
    """What is stated of a load that pulses: its rating, and what its pins draw."""
    contacts = operation.wiring.harness.contacts
    draws = [f"{pin.address} draws {pin.draws.stated}" for address in (load.a, load.b) if (pin := contacts.get(address)) and pin.draws]
    return ", ".join((load.rated, *draws)) if load.kind != "draws" else ", ".join(draws)


def _drain(operation: Operation, solved: list[Solved], taken: Mapping[str, _Taken]) -> Drain | None:
    at_rest = next((one.case.name for one in solved if one.case.key == KEY_OFF and one.case.engine is Engine.STOPPED and not one.case.named), None)
    if at_rest is None or not any(isinstance(device.supply, Battery) for device in placed_supplies(operation.wiring.harness)):
        return None
    of = taken[at_rest]
    by_id = {load.id: load for load in operation.wiring.loads}
    parts: list[tuple[str, LoadPoint | None, float]] = [(load.title, load, of.loads[id]) for id, load in by_id.items() if of.loads.get(id, 0.0) >= LEAST_A / 5]
    parts += [(f"coil of {id}", None, amps) for id, amps in of.coils.items() if amps >= LEAST_A / 5]
    parts.sort(key=lambda part: -round(part[2], 6))     # of equal ones the last digits say nothing: as described
    parts.append(("the rest", None, of.total_a - fsum(amps for _, _, amps in parts)))
    battery_ah = factors()["drain-battery"].value
    days = battery_ah / 2 / of.total_a / _HOURS_A_DAY if of.total_a >= LEAST_A / 5 else None
    return Drain(tuple(parts), of.total_a, battery_ah, days)
