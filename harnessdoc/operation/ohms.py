"""Ohms on the bench: of the paths of an unplugged harness, and between two points of a plugged one without its battery.

Takes an Operation; gives ohms. A path is reckoned as a circuit of its own, so that two
wires side by side count as what they are.
"""

from __future__ import annotations

from collections.abc import Iterable

from ..electric import Circuit, Element, Resistor, Unsolved, solve
from ..electric.solve import resistances
from ..network.continuity import PathCheck
from ..network.islands import connect
from .catalogue import wire_element
from .conductors import LEAST_OHM
from .operate import Operation

BENCH_C = 20.0
"""Temperature of the copper at which ohms are given."""


def path_ohms(operation: Operation, paths: Iterable[PathCheck]) -> dict[tuple[str, str], float | None]:
    """(from, to) of each path of the check sheet -> ohm end to end at BENCH_C, terminals and splices counted in.

    None where size or length of a wire on it is not known.
    """
    harness, conductors = operation.wiring.harness, operation.wiring.conductors
    network = connect(harness, unplugged=True)
    elements: dict[int, list[Element]] = {}
    for id, wire in harness.wires.items():
        if id in conductors:
            elements.setdefault(network.island_of[wire.from_], []).append(Resistor(wire_element(id), wire.from_, wire.to, conductors[id].ohm_at(BENCH_C)))
    for number, joint in enumerate(network.joints):
        elements.setdefault(network.island_of[joint.a], []).append(Resistor(f"joint {number}", joint.a, joint.b, LEAST_OHM))
    unknown = {id for id, conductor in conductors.items() if conductor.size is None or conductor.length_mm is None}
    found: dict[tuple[str, str], float | None] = {}
    of: dict[str, dict[str, float]] = {}
    for path in paths:
        if path.from_ not in of:
            of[path.from_] = _ohms(tuple(elements.get(network.island_of[path.from_], ())), path.from_)
        found[path.from_, path.to] = None if unknown.intersection(path.through) else of[path.from_].get(path.to)
    return found


def ohms_between(operation: Operation, a: str, b: str) -> float | None:
    """Ohm between two addresses, everything plugged in, no battery, relays and switches at rest; None: nothing joins them, or airbag."""
    wiring = operation.wiring
    if {a, b} & wiring.nodes.off:
        return None
    return _ohms(wiring.elements, wiring.nodes.of[b]).get(wiring.nodes.of[a])


def _ohms(elements: tuple[Element, ...], reference: str) -> dict[str, float]:
    circuit = Circuit(elements, reference)
    solution = solve(circuit, {})
    return {} if isinstance(solution, Unsolved) else resistances(circuit, solution)
