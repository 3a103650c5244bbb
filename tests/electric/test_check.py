"""The checker finds what is planted in a sound solution."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from harnessdoc.electric import (
    Battery, Circuit, Contact, Diode, Fuse, Lamp, PullUp, Relay, Resistor, Supply, check, settle,
)

CIRCUIT = Circuit((
    Battery("battery", "plus", "minus", 12.6, 0.02), Supply("alternator", "plus", "minus", 14.2, 0.02, 20.0),
    Fuse("fuse", "plus", "fed", 0.0077, 10.0, 0.109), Lamp("lamp", "fed", "ground", 21.0, 13.5),
    Resistor("earth", "ground", "minus", 0.005), Diode("diode", "fed", "sense"), PullUp("pull-up", "sense", "minus", 5.0, 4700.0),
), "minus", (Relay("K1", "fed", "ground", 85.0, 6.9, 1.2, (Contact("fed", "out", "", 0.0015),)),))
SOLUTION = settle(CIRCUIT, {})


def codes(**changes) -> set[str]:
    return {fault.code for fault in check(CIRCUIT, replace(SOLUTION, **changes))}


def test_a_sound_solution_passes():
    assert check(CIRCUIT, SOLUTION) == ()


@pytest.mark.parametrize("element", [*SOLUTION.currents])
def test_a_current_a_millionth_off_is_found(element):
    wrong = {**SOLUTION.currents, element: SOLUTION.currents[element] * (1 + 1e-6) + 1e-8}
    assert codes(currents=wrong) == {"off-law", "off-balance"}


@pytest.mark.parametrize("node", [node for node in SOLUTION.voltages if node != "minus"])
def test_a_voltage_off_by_a_microvolt_is_found(node):
    assert "off-law" in codes(voltages={**SOLUTION.voltages, node: SOLUTION.voltages[node] + 1e-6})


def test_a_reference_off_zero_is_found():
    assert codes(voltages={node: volts + 1.0 for node, volts in SOLUTION.voltages.items()}) == {"off-balance"}


def test_numbers_that_are_none_are_found():
    assert codes(voltages={**SOLUTION.voltages, "fed": math.nan}) == {"off-law"}
    assert codes(currents={**SOLUTION.currents, "lamp": math.nan}) == {"off-law", "off-balance"}
    assert codes(voltages={**SOLUTION.voltages, "fed": 50.0, "sense": 0.0}) == {"off-law"}


def test_a_missing_voltage_or_current_is_found():
    assert codes(voltages={node: volts for node, volts in SOLUTION.voltages.items() if node != "fed"}) >= {"off-law"}
    assert codes(currents={id: amps for id, amps in SOLUTION.currents.items() if id != "earth"}) == {"off-law", "off-balance"}


def test_a_relay_in_the_wrong_state_is_found():
    asleep = replace(CIRCUIT, relays=(replace(CIRCUIT.relays[0], pull_in_v=60.0),))
    solution = settle(asleep, {})
    assert [(fault.code, fault.words[:27], fault.elements) for fault in check(CIRCUIT, solution)] == [
        ("relay-state", "K1 has dropped out at 12.94", ("K1",))]
    awake = replace(CIRCUIT, relays=(replace(CIRCUIT.relays[0], pull_in_v=14.0, release_v=13.9),))
    assert [fault.code for fault in check(awake, SOLUTION)] == ["relay-state"]


def test_the_words_give_the_numbers():
    wrong = {**SOLUTION.currents, "pull-up": 1.0}
    law, first, second = check(CIRCUIT, replace(SOLUTION, currents=wrong))
    assert law.words.startswith("pull-up carries 1 A; its law gives 0.00157378")
    assert {first.words.split(",")[0].split(" leave ")[1], second.words.split(",")[0].split(" leave ")[1]} == {"sense", "minus"}
