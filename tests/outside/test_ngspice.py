"""Our voltages against ngspice's, on the netlists we export.

200 random networks in three states each, one ngspice process for all. ngspice solves
the laws with its own method; the relays stand in the state we found, and its coil
voltages must agree with them.
"""

from __future__ import annotations

import subprocess
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from electric.random_circuits import random_states

from harnessdoc.electric import (
    Circuit, Diode, Lamp, Resistor, Solution, Supply, check, node_names, solve_states, spice,
)

ALLOWED_V = 1e-5
"""0.01 mV, with reltol 1e-9 in the netlist."""

NETWORKS = 200

pytestmark = pytest.mark.outside("ngspice on the exported netlist", needs=("ngspice",))


def simulate(folder: Path, netlists: Mapping[str, str]) -> dict[str, dict[str, float]]:
    """Name -> ngspice node name -> volts, from one ngspice process."""
    script = ["many circuits", ".control", "set filetype=ascii"]
    for name, netlist in netlists.items():
        (folder / f"{name}.cir").write_text(netlist, encoding="ascii")
        script += [f"source {name}.cir", "op", f"write {name}.raw", "destroy all", "remcirc"]
    (folder / "all.cir").write_text("\n".join([*script, "quit", ".endc", ".end", ""]), encoding="ascii")
    done = subprocess.run(["ngspice", "-b", "all.cir"], cwd=folder, capture_output=True, text=True, check=False, timeout=120)
    (folder / "log.txt").write_text(done.stdout + done.stderr, encoding="utf-8")
    return {name: read_raw(folder / f"{name}.raw") for name in netlists}


def read_raw(path: Path) -> dict[str, float]:
    """Node name -> volts of an ASCII raw file with one point."""
    head, _, values = path.read_text(encoding="ascii").partition("Values:\n")
    names = [line.split()[1] for line in head.partition("Variables:\n")[2].splitlines()]
    numbers = values.split()[1:]   # the first word is the number of the point
    return {"0": 0.0} | {name[2:-1]: float(number) for name, number in zip(names, numbers, strict=True) if name.startswith("v(")}


def differences(circuit: Circuit, solution: Solution, simulated: Mapping[str, float]) -> dict[str, float]:
    """Node -> volts of ngspice less ours, for every node that has a voltage."""
    names = node_names(circuit, solution.relay_states)
    return {node: simulated[names[node]] - volts for node, volts in solution.voltages.items()}


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
    cases = {f"c{number}s{state}": case for number, states in enumerate(solved) for state, case in enumerate(states)}
    simulated = simulate(tmp_path, {name: spice(circuit, solution.relay_states, name) for name, (circuit, solution) in cases.items()})
    for name, (circuit, solution) in cases.items():
        off = differences(circuit, solution, simulated[name])
        worst = max(off, key=lambda node: abs(off[node]))
        assert abs(off[worst]) < ALLOWED_V, f"{name} {worst}: {off[worst]} V"
        names = node_names(circuit, solution.relay_states)
        for relay in circuit.relays:
            coil = abs(simulated[name].get(names.get(relay.start, ""), 0.0) - simulated[name].get(names.get(relay.end, ""), 0.0))
            if solution.relay_states[relay.id]:
                assert coil > relay.release_v, f"{name} {relay.id}: {coil} V"
            else:
                assert coil < relay.pull_in_v, f"{name} {relay.id}: {coil} V"


@pytest.mark.parametrize("number", [0, 7, 50, 123, 199])
def test_one_per_cent_in_one_conductance_is_seen(solved, tmp_path, number):
    circuit, solution = solved[number][0]
    resistors = [element for element in circuit.elements if isinstance(element, Resistor) and element.id in solution.currents]
    largest = max(resistors, key=lambda resistor: abs(solution.across(resistor.a, resistor.b)))
    changed = replace(circuit, elements=tuple(replace(element, ohm=element.ohm / 1.01) if element is largest else element
                                              for element in circuit.elements))
    simulated = simulate(tmp_path, {"changed": spice(changed, solution.relay_states, "changed")})["changed"]
    off = differences(circuit, solution, simulated)
    assert max(map(abs, off.values())) > ALLOWED_V
