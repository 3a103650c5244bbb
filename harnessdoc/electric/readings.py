"""What a meter shows between points of a solved circuit.

A meter is a resistor of 10 Mohm: it loads what it measures. Behind an open switch it
shows what leaks there; where nothing else ties a point to the meter's other lead, the
point floats and there is no reading.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from .circuit import Circuit, Solution, Unsolved
from .elements import Resistor
from .solve import resistances, solve

METER_OHM = 10e6
"""Input resistance of a common digital voltmeter: common practice."""

LINEAR_V = 1e-3
"""Where the meter moves a point by less, laws are straight enough to reckon with their slopes: the rest
is below 0.02 mV (V^2 / 2 n kT/q at a diode)."""


def readings(circuit: Circuit, solution: Solution, points: Iterable[str], reference: str, ohms: dict[str, float] | None = None) -> dict[str, float | None] | Unsolved:
    """Point -> volts shown with the black lead on ``reference``, relays as in ``solution``; None: floating.

    ohms: of all points to ``reference``, from an earlier reading of the same solution; filled here where it is empty.
    """
    if reference != circuit.reference:
        circuit = replace(circuit, reference=reference)
        based = solve(circuit, solution.relay_states)
        if isinstance(based, Unsolved):
            return based
        solution = based
    if not ohms:
        ohms = {} if ohms is None else ohms
        ohms.update(resistances(circuit, solution))
    shown: dict[str, float | None] = {}
    for point in points:
        if point not in ohms:
            shown[point] = None
            continue
        open_v = solution.voltages[point]
        shown[point] = open_v * METER_OHM / (METER_OHM + ohms[point])
        if abs(open_v - shown[point]) > LINEAR_V:
            loaded = _with_meter(circuit, solution, point)
            if isinstance(loaded, Unsolved):
                return loaded
            shown[point] = loaded.voltages[point]
    return shown


def _with_meter(circuit: Circuit, solution: Solution, point: str) -> Solution | Unsolved:
    id = "meter"
    while id in solution.currents:
        id += "'"
    meter = Resistor(id, point, circuit.reference, METER_OHM)
    return solve(replace(circuit, elements=(*circuit.elements, meter)), solution.relay_states, solution.voltages)
