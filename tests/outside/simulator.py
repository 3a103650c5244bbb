"""ngspice on the netlists we export: runs it, reads its voltages back, compares.

Takes circuits with their solutions; gives what ngspice says of the same nodes.
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from harnessdoc.electric import Circuit, Resistor, Solution, node_names, spice

ALLOWED_V = 1e-5
"""0.01 mV, with reltol 1e-9 in the netlist."""


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


def assert_agrees(folder: Path, cases: Mapping[str, tuple[Circuit, Solution]]) -> None:
    """Every node within ALLOWED_V, and ngspice's own coil voltages in accord with every relay state."""
    simulated = simulate(folder, {name: spice(circuit, solution.relay_states, name, solution.voltages) for name, (circuit, solution) in cases.items()})
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


def largest_drop(circuit: Circuit, solution: Solution) -> Resistor:
    """The resistor of the circuit with the largest voltage across it."""
    resistors = [element for element in circuit.elements if isinstance(element, Resistor) and element.id in solution.currents]
    return max(resistors, key=lambda resistor: abs(solution.across(resistor.a, resistor.b)))


def largest_difference_with(folder: Path, circuit: Circuit, solution: Solution, changed: Iterable[Resistor]) -> float:
    """The largest difference of any node where ngspice solves the circuit with each of ``changed`` 1 % better a conductor."""
    better = {element.id: replace(element, ohm=element.ohm / 1.01) for element in changed}
    other = replace(circuit, elements=tuple(better.get(element.id, element) for element in circuit.elements))
    simulated = simulate(folder, {"changed": spice(other, solution.relay_states, "changed", solution.voltages)})["changed"]
    return max(map(abs, differences(circuit, solution, simulated).values()))
