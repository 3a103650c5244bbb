"""One state of 20,000 conductors against ngspice on the same netlist: ``python tests/electric/bench.py``.

Wall time, the better of three runs each; ours without the import of scipy, ngspice's
with its start, its reading of the netlist and its writing of the voltages.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))
from electric.random_circuits import random_states  # noqa: E402

from harnessdoc.electric import settle, solve, spice  # noqa: E402

LIMIT = 0.1


def seconds(work) -> float:
    """Wall time of the best of three."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    circuit = random_states(1, 20_000)[0]
    states = settle(circuit, {}).relay_states
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "big.cir").write_text(spice(circuit, states, "20,000 conductors"), encoding="ascii")
        ours = seconds(lambda: solve(circuit, states))
        theirs = seconds(lambda: subprocess.run(["ngspice", "-b", "-r", "big.raw", "big.cir"], cwd=folder, check=True,
                                                capture_output=True))
    print(f"one state of 20,000 conductors, {len(circuit.elements_in(states))} elements: "
          f"{ours:.2f} s, ngspice {theirs:.2f} s, ratio {ours / theirs:.3f} (limit {LIMIT})")


if __name__ == "__main__":
    main()
