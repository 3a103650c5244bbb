"""Every state of the solved examples against ngspice, on the netlists of their circuits."""

from __future__ import annotations

import pytest
from examples.raw import NAMES, main_file
from outside.simulator import ALLOWED_V, assert_agrees, largest_difference_with, largest_drop

from harnessdoc import steps
from harnessdoc.electric import Circuit, Solution
from harnessdoc.operation.operate import Operation

pytestmark = pytest.mark.outside("ngspice on the exported netlist", needs=("ngspice",))


@pytest.fixture(scope="module")
def solved() -> dict[str, Operation]:
    """Example -> its operation, of those that name a supply."""
    operations = {name: steps.load(main_file(name)).operation for name in NAMES}
    return {name: operation for name, operation in operations.items() if operation is not None}


def cases(operation: Operation) -> dict[str, tuple[Circuit, Solution]]:
    """State -> circuit and solution; none is left unsolved."""
    found = {}
    for number, state in enumerate(operation.solved.values()):
        assert state.solution is not None, state
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
        assert_agrees(folder, cases(operation))


@pytest.mark.parametrize("state", ["off, stopped", "run, stopped", "starting", "run, running", "off, running", "cooling"])
def test_one_per_cent_in_the_conductance_with_the_largest_drop_is_seen(solved, tmp_path, state):
    one = solved["linnet"].solved[state]
    largest = largest_drop(one.circuit, one.solution)
    assert largest_difference_with(tmp_path, one.circuit, one.solution, [largest]) > ALLOWED_V, largest
