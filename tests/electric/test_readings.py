"""What a 10 Mohm meter shows."""

from __future__ import annotations

import pytest
from electric.random_circuits import random_states

from harnessdoc.electric import Battery, Circuit, Diode, Lamp, PullUp, Resistor, Unsolved, readings, settle, solve

BATTERY = Battery("battery", "plus", "minus", 12.6, 0.02)


def shown(*elements, point: str, reference: str = "minus") -> float | None:
    circuit = Circuit((BATTERY, *elements), "minus")
    return readings(circuit, solve(circuit, {}), [point], reference)[point]


def test_the_meter_loads_a_high_resistance_by_hand():
    assert shown(Resistor("R", "plus", "point", 10e6), point="point") == pytest.approx(6.3)
    assert shown(Resistor("R", "plus", "point", 1e6), point="point") == pytest.approx(12.6 * 10 / 11)
    assert shown(PullUp("P", "point", "minus", 5.0, 4700.0), point="point") == pytest.approx(5 * 10e6 / 10.0047e6, abs=1e-9)


def test_behind_a_diode_the_meter_is_the_load():
    # 1.2 uA through the diode: n kT/q ln(1 + I/Is) = 0.24 V, where the open end stands at 12.6 V.
    assert shown(Diode("D", "plus", "point"), point="point") == pytest.approx(12.36, abs=0.01)
    # Against it only the leak flows: 5 nA and 12 pA into 10 Mohm.
    assert shown(Diode("D", "point", "plus"), point="point") == pytest.approx(0.05, abs=0.001)


def test_what_nothing_defines_floats():
    assert shown(Resistor("W", "cut", "end", 0.1), point="cut") is None
    assert shown(point="nowhere") is None


def test_another_reference():
    assert shown(Resistor("W", "plus", "engine", 0.1), Resistor("L", "engine", "minus", 6.0), point="plus", reference="engine") == pytest.approx(0.205, abs=0.001)
    assert shown(Resistor("W", "plus", "engine", 0.1), point="minus", reference="engine") == pytest.approx(-12.6, abs=1e-5)
    assert shown(Battery("other", "a", "b", 9.0, 1.0), point="a", reference="b") == pytest.approx(9.0, abs=2e-6)
    assert shown(Battery("other", "a", "b", 9.0, 1.0), point="plus", reference="b") is None


@pytest.mark.parametrize("seed", [1, 4, 9])
def test_all_readings_equal_a_solve_with_the_meter_in(seed):
    circuit = random_states(seed, 120)[0]
    solution = settle(circuit, {})
    points = list(solution.voltages)
    table = readings(circuit, solution, points, circuit.reference)
    for point in points:
        meter = Resistor("meter", point, circuit.reference, 10e6)
        loaded = solve(Circuit((*circuit.elements, meter), circuit.reference, circuit.relays), solution.relay_states)
        assert not isinstance(loaded, Unsolved)
        assert table[point] == pytest.approx(loaded.voltages[point], abs=3e-5), point


def test_a_meter_of_the_users_own_name_is_no_trouble():
    assert shown(Lamp("meter", "plus", "lit", 5.0, 12.0), Resistor("R", "lit", "point", 5e6), point="point") == pytest.approx(8.4, abs=0.01)
