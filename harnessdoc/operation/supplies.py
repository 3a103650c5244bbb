"""Who feeds what in a solved state: the supplies, and the one whose current a point gets.

Takes a harness, or a solved state; gives ids of elements. Battery, alternator and test
supply are the harness's own; the references of a control unit are fed by what it draws itself.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from math import fsum

from ..electric import Battery, Element, Solution, Supply
from ..model import electric as said
from ..model.harness import Device


def elements_of(device: Device) -> tuple[str, ...]:
    """The elements a supply may be in the circuit, whatever the engine does; none of anything else."""
    id = device.id
    match device.supply:
        case said.Battery():
            return (f"battery {id}", f"battery {id} charging")
        case said.Alternator():
            return (f"alternator {id}", f"alternator {id} charge lamp")
        case said.TestSupply():
            return (f"test supply {id}",)
    return ()


def given_a(device: Device, solution: Solution) -> float:
    """What a supply gives in A; of a battery that is charged it is below 0."""
    return -fsum(solution.currents.get(id, 0.0) for id in elements_of(device))


def feeding(elements: Collection[Element], solution: Solution, stops: Collection[str]) -> Callable[[str, str], str]:
    """``feeder(node, through)``: the element whose current arrives at a node, the one that leaves it being ``through``.

    At each node that brings the most current is followed up, to a source or to one of ``stops``;
    "" where no current arrives.
    """
    at: dict[str, list[Element]] = {}
    for element in elements:
        at.setdefault(element.a, []).append(element)
        at.setdefault(element.b, []).append(element)
    sources = {element.id for element in elements if isinstance(element, Battery | Supply)}
    currents = solution.currents

    def brings_a(element: Element, node: str) -> float:
        return currents.get(element.id, 0.0) * (1 if element.b == node else -1)

    def feeder(node: str, through: str) -> str:
        seen = {through}
        while True:
            best = max((element for element in at.get(node, ()) if element.id not in seen), key=lambda element: brings_a(element, node), default=None)
            if best is None or brings_a(best, node) <= 0:
                return ""
            if best.id in sources or best.id in stops:
                return best.id
            seen.add(best.id)
            node = best.a if best.b == node else best.b

    return feeder
