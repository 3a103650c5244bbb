"""The loads that come on with a ground opened, against every case of a whole vehicle solved from nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from benchmarks.generate_electric import generate_electric
from operation.operated import operated

from harnessdoc.electric import Lamp, Solution, settle
from harnessdoc.judgement.sneaks import LAMP_ON, ON, is_a_moment, sweep
from harnessdoc.operation.catalogue import GROUND
from harnessdoc.operation.operate import Operation


def by_full_solves(operation: Operation) -> set[tuple[str, str, str]]:
    """(opened ground, load that comes on, state)."""
    wiring = operation.wiring
    elements = {element.id: element for element in wiring.elements}
    least_a = {}
    for load in wiring.loads:
        element = elements.get(load.element)
        if load.kind != "sender" and element is not None:
            least_a[load.id] = load.element, LAMP_ON * element.watts / element.volts if isinstance(element, Lamp) else ON * 12 / element.ohm
    came_on = set()
    for name, solved in operation.solved.items():
        assert solved.solution is not None
        before = solved.solution.currents
        for gone in solved.circuit.elements if not is_a_moment(solved.case) else ():
            if wiring.catalogue[gone.id].kind == GROUND:
                after = settle(replace(solved.circuit, elements=tuple(one for one in solved.circuit.elements if one is not gone)), solved.solution.relay_states)
                if isinstance(after, Solution):
                    came_on |= {(gone.id, load, name) for load, (id, least) in least_a.items() if abs(before.get(id, 0.0)) < least <= abs(after.currents.get(id, 0.0))}
    return came_on


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_of_a_whole_vehicle_it_finds_what_full_solves_find(seed: int) -> None:
    operation = operated(generate_electric(240, seed))
    expected = by_full_solves(operation)
    assert expected
    assert {(sneak.opened, sneak.thing, state) for sneak in sweep(operation, True).found if sneak.what == "on" and sneak.opened and operation.wiring.catalogue[sneak.opened].kind == GROUND
            for state in sneak.states} == expected
