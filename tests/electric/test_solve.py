"""Voltages and currents: the examples of the trade, islands, both solvers, refused values."""

from __future__ import annotations

import importlib
import subprocess
import sys

import pytest
from electric.random_circuits import random_states

from harnessdoc.electric import (
    Battery, Circuit, Diode, Fault, Fuse, Lamp, PullUp, Relay, Resistor, Solution, Supply, Unsolved, check, settle, solve,
    source_faults,
)
from harnessdoc.electric import elimination
from harnessdoc.electric.solve import resistances

# The package offers the function of this name.
solver = importlib.import_module("harnessdoc.electric.solve")


def solved(*elements, reference: str = "minus") -> Solution:
    circuit = Circuit(elements, reference)
    solution = solve(circuit, {})
    assert isinstance(solution, Solution), solution
    assert check(circuit, solution) == ()
    return solution


def faults(*elements) -> list[tuple[str, str]]:
    result = solve(Circuit(elements, "minus"), {})
    assert isinstance(result, Unsolved), result
    return [(fault.code, fault.words) for fault in result.faults]


BATTERY = Battery("battery", "plus", "minus", 12.6, 0.02)
TERMINAL = Battery("charge terminal", "D", "minus", 14.0, 1e-5)


@pytest.mark.parametrize("lamp, beside, volts", [
    (Resistor("H4", "D", "coil", 65.0), None, 7.93),
    (Resistor("H4", "D", "coil", 65.0), 3.0, 0.60),
    (Lamp("H4", "D", "coil", 2.0, 12.0), None, 8.87),
    (Lamp("H4", "D", "coil", 2.0, 12.0), 3.0, 0.515),
])
def test_the_charge_lamp_by_resistance_and_by_law(lamp, beside, volts):
    rest = [Resistor("field", "coil", "minus", beside)] if beside else []
    solution = solved(TERMINAL, lamp, Resistor("K1", "coil", "minus", 85.0), *rest)
    assert solution.voltages["coil"] == pytest.approx(volts, abs=0.004)


def test_the_fuse_examples():
    fuse = Fuse("F1", "plus", "load", 0.0077, 10.0, 0.109)
    small = solved(BATTERY, fuse, Resistor("drain", "load", "minus", 12.6 / 0.31163 - 0.0277))
    assert small.across("plus", "load") == pytest.approx(0.0024, abs=5e-6)
    assert small.currents["F1"] == pytest.approx(0.312, abs=0.0005)
    full = solved(BATTERY, fuse, Resistor("load", "load", "minus", (12.6 - 0.109) / 10 - 0.02))
    assert full.across("plus", "load") == pytest.approx(0.109, abs=1e-6)


def test_the_two_terminations_of_a_can_pair():
    def ohms(*terminations: float) -> float:
        pair = [Resistor(f"R{number}", "high", "minus", ohm) for number, ohm in enumerate(terminations)]
        circuit = Circuit((*pair, Resistor("meter lead", "high", "probe", 1e-5)), "minus")
        return resistances(circuit, solve(circuit, {}))["probe"]

    assert ohms(120.0, 120.0) == pytest.approx(60, abs=0.001)
    assert ohms(120.0) == pytest.approx(120, abs=0.001)
    assert ohms(120.0, 120.0, 120.0) == pytest.approx(40, abs=0.001)


def test_currents_run_from_a_to_b():
    solution = solved(BATTERY, Resistor("heater", "plus", "minus", 1.24))
    assert solution.voltages == pytest.approx({"minus": 0.0, "plus": 12.4})
    assert solution.currents == pytest.approx({"battery": -10.0, "heater": 10.0})


def test_what_nothing_ties_to_the_reference_floats():
    solution = solved(BATTERY, Resistor("wire", "cut", "end", 0.1), Battery("other", "end", "away", 9.0, 1.0))
    assert solution.floating == ("cut", "end", "away")
    assert solution.voltages == pytest.approx({"plus": 12.6, "minus": 0.0})
    assert list(solution.currents) == ["battery"]
    assert solution.across("plus", "cut") == 0.0


def test_a_wire_behind_a_blocking_diode_is_as_exact_as_any():
    solution = solved(BATTERY, Diode("D1", "tail", "plus"), Resistor("wire", "tail", "end", 1e-5))
    assert solution.voltages["end"] == pytest.approx(12.6, abs=1e-9)


def test_a_wire_clamped_between_two_blocking_diodes():
    solution = solved(BATTERY, Diode("up", "tail", "plus"), Diode("down", "minus", "tail"), Resistor("wire", "tail", "end", 1e-5))
    assert solution.voltages["end"] == pytest.approx(6.3, abs=1e-6)


def test_two_supplies_alone_come_to_rest():
    # Bold steps drive each other to 1e204 V here; careful ones follow.
    solution = solved(Supply("alternator", "plus", "minus", 8.354, 0.000186, 67.8), Supply("bench", "plus", "minus", 18.02, 0.00158, 104.7))
    assert solution.voltages["plus"] == pytest.approx(18.02, abs=1e-4)
    assert solution.currents["bench"] == pytest.approx(-0.001, rel=1e-5)


def test_a_part_between_a_point_and_itself_moves_nothing():
    solution = solved(BATTERY, Resistor("loop", "plus", "plus", 1.0), Lamp("bulb", "plus", "plus", 5.0, 12.0))
    assert (solution.currents["loop"], solution.currents["bulb"]) == (0.0, 0.0)


@pytest.mark.parametrize("seed", range(6))
def test_both_networks_give_the_same(seed, monkeypatch):
    circuit = random_states(seed, 250)[0]
    plain = settle(circuit, {})
    plain_ohms = resistances(circuit, plain)
    monkeypatch.setattr(elimination, "MOST_NODES", 0)
    sparse = settle(circuit, {})
    assert "scipy" in sys.modules
    assert sparse.voltages == pytest.approx(plain.voltages, abs=1e-9)
    assert check(circuit, sparse) == ()
    assert resistances(circuit, sparse) == pytest.approx(plain_ohms, rel=1e-6)


def test_a_network_that_fills_up_goes_to_the_sparse_library(monkeypatch):
    circuit = random_states(3, 250)[0]
    plain = settle(circuit, {})
    monkeypatch.setattr(elimination, "MOST_PAIRS", 20)
    assert settle(circuit, {}).voltages == pytest.approx(plain.voltages, abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("nodes", [0, 6000])
def test_careful_steps_come_to_the_same(seed, nodes, monkeypatch):
    circuit = random_states(seed, 250)[0]
    bold = settle(circuit, {})
    monkeypatch.setattr(solver, "BOLD_STEPS", 1)
    monkeypatch.setattr(elimination, "MOST_NODES", nodes)
    careful = settle(circuit, {})
    assert careful.iterations >= bold.iterations
    assert careful.voltages == pytest.approx(bold.voltages, abs=1e-8)


def test_a_small_circuit_loads_no_heavy_library():
    code = ("import sys; from harnessdoc.electric import *; "
            "solve(Circuit((Battery('b', 'p', 'm', 12.0, 0.1), Lamp('l', 'p', 'm', 5.0, 12.0)), 'm'), {}); "
            "print('numpy' in sys.modules)")
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"


def test_no_convergence_names_the_worst(monkeypatch):
    monkeypatch.setattr(solver, "MOST_STEPS", 2)
    [(code, words)] = faults(BATTERY, Diode("D1", "plus", "x"), Resistor("R1", "x", "minus", 100.0))
    assert (code, words.split(" (")[0]) == ("no-convergence", "no solution after 2 steps; the largest errors stand at D1")


@pytest.mark.parametrize("element, words", [
    (Resistor("R1", "plus", "minus", 0.0), "R1: resistance 0 ohm is not between 1e-05 and 1e+09 ohm"),
    (Resistor("R1", "plus", "minus", -3.0), "R1: resistance -3 ohm is not between 1e-05 and 1e+09 ohm"),
    (Resistor("R1", "plus", "minus", 1e12), "R1: resistance 1e+12 ohm is not between 1e-05 and 1e+09 ohm"),
    (Resistor("R1", "plus", "minus", float("nan")), "R1: resistance nan ohm is not between 1e-05 and 1e+09 ohm"),
    (Battery("G2", "plus", "minus", 96.0, 0.1), "G2: 96 V is not within 60 V"),
    (PullUp("P1", "plus", "minus", float("inf"), 100.0), "P1: inf V is not within 60 V"),
    (Supply("G2", "plus", "minus", 14.0, 0.1, 0.0), "G2: current limit 0 A is not above zero"),
    (Fuse("F1", "plus", "minus", 0.0077, 10.0, 0.05),
     "F1: 0.05 V at 10 A is 0.005 ohm, not between the cold 0.0077 ohm and four times it"),
    (Fuse("F1", "plus", "minus", 0.0077, 0.0, 0.05), "F1: rating 0 A is not above zero"),
    (Lamp("H1", "plus", "minus", -5.0, 12.0), "H1: power -5 W is not above zero"),
    (Lamp("H1", "plus", "minus", 5.0, 12.0, 0.5), "H1: hot over cold resistance 0.5 is not between 1 and 100"),
    (Diode("D1", "plus", "minus", 1.0), "D1: saturation current 1 A is not between 1e-16 and 1e-3 A"),
    (Diode("D1", "plus", "minus", n=0.0), "D1: emission coefficient 0 is not between 0.5 and 10"),
])
def test_absurd_values_are_refused(element, words):
    assert faults(BATTERY, element) == [("bad-value", words)]


def test_a_relay_that_releases_above_its_pull_in_is_refused():
    relay = Relay("K1", "plus", "minus", 90.0, 6.0, 7.0, ())
    assert settle(Circuit((BATTERY,), "minus", (relay,)), {}) == Unsolved((Fault(
        "bad-value", "K1: pulls in at 6 V and releases at 7 V; release must lie above 0 and below pull-in", ("K1",)),))


def test_two_elements_of_one_name_are_refused():
    assert faults(BATTERY, Resistor("battery", "plus", "minus", 1.0)) == [("id-twice", "two elements are called battery")]


def test_a_battery_between_a_point_and_itself_is_shorted():
    assert faults(Battery("G1", "minus", "minus", 12.0, 0.01)) == [("shorted-source", "G1: both terminals are one point")]


def test_ideal_sources_in_parallel_are_named():
    assert faults(Battery("G1", "plus", "minus", 12.0, 0.0), Battery("G2", "minus", "plus", 12.5, 0.0))[2:] == [
        ("sources-in-parallel", "G1 and G2 lie in parallel and neither has a resistance")]


def test_a_shorted_battery_is_solved_and_said():
    circuit = Circuit((BATTERY, Resistor("spanner", "plus", "minus", 0.001)), "minus")
    assert source_faults(circuit, solve(circuit, {})) == (
        Fault("shorted-source", "battery: 600 A leave 0.6 V of 12.6 V at its terminals", ("battery",)),)


def test_loads_beyond_the_alternator_are_said():
    circuit = Circuit((Supply("alternator", "plus", "minus", 14.2, 0.01, 45.0), BATTERY, Resistor("heaters", "plus", "minus", 0.2)), "minus")
    assert source_faults(circuit, solve(circuit, {})) == (Fault(
        "supply-at-limit", "alternator: gives 45 A, its limit is 45 A; 12.27 V are left of 14.2 V", ("alternator",)),)


def test_sources_within_their_means_are_not_mentioned():
    circuit = Circuit((BATTERY, Resistor("heater", "plus", "minus", 1.24)), "minus")
    assert source_faults(circuit, solve(circuit, {})) == ()
