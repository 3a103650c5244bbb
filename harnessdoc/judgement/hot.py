"""When a circuit is live: as its description says, else as the solved states show.

Takes an Operation; gives a Hot a circuit. What is looked at is the end of its
wires that the source reaches first, over wires, fuses and contacts in any position, never
through a load: where that point has at least half of the supply, the circuit is live.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..model.electric import Engine
from ..model.electric_words import KEY_OFF, KEY_POSITIONS
from ..operation.catalogue import PROTECTS, WIRE
from ..operation.operate import Operation, Solved
from ..operation.states import Case
from ..operation.wiring import Wiring
from .bare import contacts

LIVE = 0.5
"""Share of the supply from which a point is live. Design choice."""
_ALWAYS, _WITH_ENGINE, _COMMANDED = "always", "with engine", "commanded"
_ORDER = (_ALWAYS, *KEY_POSITIONS, _WITH_ENGINE, _COMMANDED)


@dataclass(frozen=True, slots=True)
class Hot:
    """words: of the language's key ``hot``, () where it is live in no state; proposed: not stated, but read off the solved states."""

    words: tuple[str, ...]
    proposed: bool


def hots(operation: Operation) -> dict[str, Hot]:
    """Circuit -> when it is live; circuits of which nothing is stated, and to which no copper leads from the source but through a load, are not in it."""
    found = {id: Hot(circuit.hot, False) for id, circuit in operation.wiring.harness.circuits.items() if circuit.hot is not None}
    feeds = feeds_of(operation)
    return {id: found[id] if id in found else Hot(_proposed(operation, feeds[id]), True) for id in operation.wiring.harness.circuits if id in found or id in feeds}


def may_be_live(words: tuple[str, ...], case: Case) -> bool:
    """Whether what is said of a circuit lets it be live in a state. What is commanded may be whenever anybody may command it: not with the
    key off, the engine still, no switch held and no output named."""
    if _ALWAYS in words or case.key in words or (_WITH_ENGINE in words and case.engine is not Engine.STOPPED):
        return True
    return _COMMANDED in words and (case.key != KEY_OFF or case.engine is not Engine.STOPPED or bool(case.switches) or bool(case.commanded))


def words_at(operation: Operation, address: str) -> tuple[str, ...]:
    """When an address is live with all switches at rest by the solved states, in the words of the key ``hot``; () where in none."""
    node, plus = operation.wiring.nodes.of[address], operation.wiring.nodes.plus
    driven = [solved for solved in operation.solved.values() if _is_driven(solved.case)]
    words = _of_driven({(solved.case.key, solved.case.engine) for solved in driven if _is_live(solved, node, plus)},
                       {(solved.case.key, solved.case.engine) for solved in driven if solved.solution is not None})
    return tuple(word for word in _ORDER if word in words)


def feeds_of(operation: Operation) -> dict[str, str]:
    """Circuit -> the node of its wires that fewest steps lead to from the source; where none does, that of its fuses."""
    nodes, harness = operation.wiring.nodes, operation.wiring.harness
    wires = ((wire.circuit, address) for id, wire in harness.wires.items() if id in operation.wiring.conductors for address in (wire.from_, wire.to))
    parts = ((part.circuit, f"{part.id}.{terminal}") for part in harness.parts.values() for terminal in part.terminals)
    step = {node: number for number, node in enumerate(_by_steps(operation))}
    feeds: dict[str, str] = {}
    for ends in (wires, parts):
        first: dict[str, str] = {}
        for circuit, address in ends:
            node = nodes.of[address]
            if circuit and address not in nodes.off and node in step and (circuit not in first or step[node] < step[first[circuit]]):
                first[circuit] = node
        feeds = {**first, **feeds}
    return feeds


def _by_steps(operation: Operation) -> list[str]:
    """The nodes that the source reaches without passing a load, the nearest first."""
    neighbours: dict[str, list[str]] = {}
    for a, b in _ways(operation.wiring):
        neighbours.setdefault(a, []).append(b)
        neighbours.setdefault(b, []).append(a)
    reached, seen = [operation.wiring.nodes.plus], {operation.wiring.nodes.plus}
    for node in reached:
        new = [other for other in neighbours.get(node, ()) if other not in seen]
        seen.update(new)
        reached += dict.fromkeys(new)
    return reached


def _ways(wiring: Wiring) -> Iterator[tuple[str, str]]:
    """Pairs of nodes that a wire, a fuse or a contact joins in some position."""
    passing = (element for element in wiring.elements if wiring.catalogue[element.id].kind in (WIRE, *PROTECTS))
    return ((piece.a, piece.b) for piece in (*passing, *contacts(wiring)))


def _proposed(operation: Operation, feed: str) -> tuple[str, ...]:
    live = [solved.case for solved in operation.solved.values() if _is_live(solved, feed, operation.wiring.nodes.plus)]
    driven = {(solved.case.key, solved.case.engine) for solved in operation.solved.values() if solved.solution is not None and _is_driven(solved.case)}
    words = _of_driven({(case.key, case.engine) for case in live if _is_driven(case)}, driven)
    if not words:
        others = [case for case in live if not _is_driven(case)]
        keys = {_ALWAYS if case.key == KEY_OFF else case.key for case in others if not case.commanded}
        words = {_ALWAYS} if _ALWAYS in keys else keys or ({_COMMANDED} if others else set())
    return tuple(word for word in _ORDER if word in words)


def _is_live(solved: Solved, feed: str, plus: str) -> bool:
    if solved.solution is None:
        return False
    volts, supply_v = (solved.solution.voltages.get(node, 0.0) for node in (feed, plus))
    return supply_v > 0 and volts >= LIVE * supply_v


def _is_driven(case: Case) -> bool:
    """True for the states of driving order, all switches at rest."""
    return not (case.named or case.switches or case.commanded)


def _of_driven(live: set[tuple[str, Engine]], all_driven: set[tuple[str, Engine]]) -> set[str]:
    """The words for the positions of the key, and what the engine does, in which a point is live while all switches are at rest."""
    if live and live == all_driven:
        return {_ALWAYS}
    still = {key for key, engine in live if engine is Engine.STOPPED and key != KEY_OFF}
    turning = {key for key, engine in live if engine is not Engine.STOPPED}
    if turning - still - {"start"} or (turning and not still and ("run", Engine.RUNNING) in live):
        return still | {_WITH_ENGINE}
    return still | (turning & {"start"})
