"""Recipes proved: each in a small vehicle, solved in every state, and spoiled as a builder's hand spoils it.

What is commanded is on exactly when it is to be, in both directions; the coil stays within what its output may carry; nothing stays in after
key-off; a sound bench has no finding; and of every fault a rule tells, or a state goes astray.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest
from merge.recipe_bench import Bench, relays_in, volts
from merge.recipe_benches import BENCHES, FAULTS, Fault
from outside.simulator import assert_agrees

from harnessdoc.findings import Severity
from harnessdoc.merge.recipes import RECIPES
from harnessdoc.steps import Loaded

OF_PURPOSE = {"inverted, low": {"load-on-unasked"}, "inverted, high": {"load-on-unasked"}}
"""A load that runs while nothing commands is what this recipe is for; in a merge the rule knows it by its recipe (test_silences), here it sees parts alone."""
KEY_OFF = ("off, stopped", "accessory, running", "off, running")
LIMIT = "limit: 0.3 A"


@cache
def sound(name: str) -> Loaded:
    return BENCHES[name].loaded()


def bench_names(*, relay: bool = False, limit: bool = False) -> list[str]:
    return [name for name, bench in BENCHES.items() if (not relay or "relays" in bench.sections()[0]) and (not limit or LIMIT in bench.cavities)]


def test_every_recipe_is_on_a_bench_and_is_spoiled():
    assert {bench.recipe for bench in BENCHES.values()} == {BENCHES[fault.bench].recipe for fault in FAULTS} == set(RECIPES)


@pytest.mark.parametrize("name", BENCHES)
def test_a_sound_bench_has_no_finding(name):
    assert {finding.code for finding in sound(name).findings} == OF_PURPOSE.get(name, set())


@pytest.mark.parametrize("name", BENCHES)
def test_on_exactly_when_commanded(name):
    bench, loaded = BENCHES[name], sound(name)
    assert bench.astray(loaded) == []
    # Both directions are asked: something is on in one state and off in another.
    wanted = [value if isinstance(value, tuple) else (value,) for value in (bench.wanted(solved.case) for solved in loaded.operation.solved.values())]
    assert {True, False} <= {value for values in wanted for value in values}
    assert len(loaded.operation.solved) >= 7 and not loaded.operation.passed_over


@pytest.mark.parametrize("name", bench_names(relay=True))
def test_nothing_is_held_in_after_key_off(name):
    pulled = relays_in(sound(name))
    assert {state: pulled[state] for state in KEY_OFF} == dict.fromkeys(KEY_OFF, [])
    assert any(pulled.values()), "the relay is never in: nothing was asked"


@pytest.mark.parametrize("name", ["low side, by itself", "high side, by itself", "main relay"])
def test_the_relay_was_in_right_before_the_key_was_turned_off(name):
    assert relays_in(sound(name))["run, running"] == ["I1-K"]


# ------------------------------------------------------------------------------------------------ current of the coil

@pytest.mark.parametrize("name", bench_names(relay=True, limit=True))
def test_the_output_carries_less_than_it_may_in_every_state(name):
    outputs = re.findall(rf"(\S+): {{[^}}]*{LIMIT}", BENCHES[name].cavities)
    carried = [solved.solution.currents[f"{output} on"] for solved in sound(name).operation.solved.values() for output in outputs if f"{output} on" in solved.solution.currents]
    # 85 ohm with 680 ohm beside it at 14.2 V: 188 mA, of which wires and outputs take a little.
    assert carried and 0.1 < max(map(abs, carried)) < 14.2 / 85 + 14.2 / 680


@pytest.mark.outside("FAA AC 43.13-1B, its formula of copper by temperature: 85 ohm at 20 C are 71.64 ohm at -20 C, which take 202 mA at 14.5 V")
@pytest.mark.parametrize("name", ["low side", "high side", "inverted, low", "inverted, high", "start chain, start output", "two low", "two high", "low and high", "main relay"])
def test_the_coil_in_winter_is_held_against_the_limit_of_the_output(name):
    amps = 14.5 / (85 * (234.5 - 20) / (234.5 + 20))
    assert amps == pytest.approx(0.2024, abs=5e-5)
    assert [finding for finding in limited(BENCHES[name], "203 mA").findings if finding.code == "driver-overloaded"] == []
    told = [finding for finding in limited(BENCHES[name], "201 mA").findings if finding.code == "driver-overloaded"]
    assert told and all(finding.value == "202 mA" for finding in told)


def limited(bench: Bench, limit: str) -> Loaded:
    return replace(bench, cavities=bench.cavities.replace(LIMIT, f"limit: {limit}")).loaded()


# ------------------------------------------------------------------------------------------------------------- faults

@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.bench}: {fault.name}")
def test_a_fault_is_caught(fault: Fault):
    bench = BENCHES[fault.bench]
    spoiled = bench.loaded(fault.spoil)
    said = {finding.code for finding in spoiled.findings if finding.severity is not Severity.ADVICE} - {finding.code for finding in sound(fault.bench).findings}
    assert set(fault.codes) <= said
    assert bool(bench.astray(spoiled)) is fault.astray
    assert fault.codes or fault.astray


# ------------------------------------------------------------------------------------------------------------ outside

@pytest.mark.outside("a standard handbook quoted in an encyclopedia: the current of a lamp goes with its voltage to the power of 0.55")
def test_the_series_resistor_leaves_the_lamp_what_the_sum_says():
    operation = sound("series resistor").operation
    solved = operation.solved["run, stopped"]
    feed = volts(operation, solved, "I1-R.1")
    low, high = 0.0, feed
    for _ in range(60):
        at = (low + high) / 2
        low, high = (at, high) if at + 12 * 0.5 * (at / 6) ** 0.55 < feed else (low, at)
    assert volts(operation, solved, "H3.1", "H3.2") == pytest.approx(low, abs=0.05)


@pytest.mark.outside("ngspice on the exported netlist", needs=("ngspice",))
def test_ngspice_solves_every_bench_alike(tmp_path):
    for number, loaded in enumerate(map(sound, BENCHES)):
        folder = tmp_path / str(number)
        folder.mkdir()
        assert_agrees(folder, {f"s{position}": (solved.circuit, solved.solution) for position, solved in enumerate(loaded.operation.solved.values())})
