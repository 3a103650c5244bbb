"""Our voltages against ngspice's, on the netlists we export.

200 random networks in three states each, one ngspice process for all. ngspice solves
the laws with its own method; the relays stand in the state we found, and its coil
voltages must agree with them.
"""

from __future__ import annotations

import pytest
from electric.random_circuits import random_states
from outside.simulator import ALLOWED_V, assert_agrees, largest_difference_with, largest_drop

from harnessdoc.electric import Circuit, Diode, Lamp, Solution, Supply, check, solve_states

NETWORKS = 200

pytestmark = pytest.mark.outside("ngspice on the exported netlist", needs=("ngspice",))


@pytest.fixture(scope="module")
def solved() -> list[list[tuple[Circuit, Solution]]]:
    """The random networks, each with its states solved."""
    networks = []
    for seed in range(NETWORKS):
        states = random_states(seed, 30 + seed * 7 % 250)
        results = solve_states((str(state), circuit) for state, circuit in enumerate(states)).values()
        assert all(isinstance(result, Solution) for result in results), (seed, results)
        networks.append(list(zip(states, results)))
    return networks


def test_the_networks_are_what_the_test_says(solved):
    for states in solved:
        circuit, solution = states[0]
        parts = circuit.elements_in(solution.relay_states)
        assert len(states) == 3
        assert 50 <= len(solution.voltages) + len(solution.floating) <= 400
        assert len(circuit.relays) >= 2
        assert any(isinstance(part, Lamp) for part in parts)
        assert any(isinstance(part, Supply) for part in parts)
        assert sum(isinstance(part, Diode) for part in parts) >= 2
    pulled = [on for states in solved for _, solution in states for on in solution.relay_states.values()]
    limited = [supply for states in solved for circuit, solution in states for supply in circuit.elements
               if isinstance(supply, Supply) and -solution.currents[supply.id] > 0.98 * supply.limit_a]
    assert 100 < sum(pulled) < len(pulled) - 100
    assert len(limited) >= 20


def test_every_solution_passes_the_checker(solved):
    for states in solved:
        for circuit, solution in states:
            assert check(circuit, solution) == ()


def test_every_node_agrees_and_so_do_the_relays(solved, tmp_path):
    assert_agrees(tmp_path, {f"c{number}s{state}": case for number, states in enumerate(solved) for state, case in enumerate(states)})


@pytest.mark.parametrize("number", [0, 7, 50, 123, 199])
def test_one_per_cent_in_one_conductance_is_seen(solved, tmp_path, number):
    circuit, solution = solved[number][0]
    assert largest_difference_with(tmp_path, circuit, solution, [largest_drop(circuit, solution)]) > ALLOWED_V
