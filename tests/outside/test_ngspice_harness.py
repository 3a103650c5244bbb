"""Every state of the solved examples against ngspice, on the netlists of their circuits."""

from __future__ import annotations

import pytest
from examples.raw import MERGES, NAMES, main_file
from outside.simulator import ALLOWED_V, assert_agrees, differences, largest_difference_with, largest_drop, simulate

from harnessdoc import steps
from harnessdoc.electric import Circuit, Solution, spice
from harnessdoc.operation.operate import Operation

pytestmark = pytest.mark.outside("ngspice on the exported netlist", needs=("ngspice",))


@pytest.fixture(scope="module")
def solved() -> dict[str, Operation]:
    """Example -> its operation, of those that name a supply."""
    operations = {name: steps.load(main_file(name)).operation for name in (*NAMES, *MERGES)}
    return {name: operation for name, operation in operations.items() if operation is not None}


RESTING = {"heron-linnet": ("off, running",)}
"""States in which nothing draws from a second battery: between giving and being charged its law is flat, and what leaks decides its last half millivolt."""


def cases(operation: Operation, without: tuple[str, ...] = ()) -> dict[str, tuple[Circuit, Solution]]:
    """State -> circuit and solution; none is left unsolved."""
    found = {}
    for number, (name, state) in enumerate(operation.solved.items()):
        assert state.solution is not None, state
        if name not in without:
            found[f"s{number}"] = (state.circuit, state.solution)
    return found


def test_the_linnet_is_among_them_in_all_its_states(solved):
    states = solved["linnet"].solved
    assert {"off, stopped", "run, stopped", "start, cranking", "run, running", "off, running", "starting", "driving", "cooling"} <= states.keys()
    assert len(states) >= 22
    pulled = {relay for state in states.values() for relay, on in state.solution.relay_states.items() if on}
    assert {"relay K1", "relay K2", "relay K3", "relay K4", "relay K8", "load M1 solenoid", "U1 works"} <= pulled


def test_every_node_of_every_state_agrees_and_so_do_the_relays(solved, tmp_path):
    for name, operation in solved.items():
        folder = tmp_path / name
        folder.mkdir()
        assert_agrees(folder, cases(operation, RESTING.get(name, ())))


@pytest.mark.parametrize("state", ["off, stopped", "run, stopped", "starting", "run, running", "off, running", "cooling"])
def test_one_per_cent_in_the_conductance_with_the_largest_drop_is_seen(solved, tmp_path, state):
    one = solved["linnet"].solved[state]
    largest = largest_drop(one.circuit, one.solution)
    assert largest_difference_with(tmp_path, one.circuit, one.solution, [largest]) > ALLOWED_V, largest


def test_a_battery_that_rests_agrees_but_for_what_leaks(solved, tmp_path):
    """Its own island is within a millivolt, everything else as close as ever."""
    state = solved["heron-linnet"].solved["off, running"]
    simulated = simulate(tmp_path, {"rests": spice(state.circuit, state.solution.relay_states, "rests", state.solution.voltages)})["rests"]
    off = differences(state.circuit, state.solution, simulated)
    apart = {node for node, volts in off.items() if abs(volts) >= ALLOWED_V}
    assert "host/G3.+" in apart and len(apart) < 30 and max(map(abs, off.values())) < 1e-3
    assert all(abs(state.solution.voltages[node] - state.solution.voltages["host/G3.+"]) < 1e-6 for node in apart)


def test_the_merge_is_among_them_with_the_relays_of_its_interfaces(solved):
    pulled = {relay for state in solved["heron-linnet"].solved.values() for relay, on in state.solution.relay_states.items() if on}
    assert {f"relay I{number}-K" for number in (1, 3, 4, 6, 7)} <= pulled
