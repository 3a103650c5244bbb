"""The steps at the bench: columns, ohms, fuse after fuse, pins under a lamp; against sums worked by hand and the solved states."""

from __future__ import annotations

from dataclasses import replace
from textwrap import dedent

import pytest
from judgement.benches import VEHICLE
from operation.operated import loaded

from harnessdoc.network.continuity import check_list
from harnessdoc.judgement.bench import AMPS, PUMP_RUNS, steps
from harnessdoc.operation.columns import column, columns, columns_in_words
from harnessdoc.judgement.first_power import first_power
from harnessdoc.operation.ohms import ohms_between, path_ohms
from harnessdoc.judgement.unplugged import control_units, feed_pins, loaded_feeds, starters
from harnessdoc.operation.words import amps_shown, volts_shown
from harnessdoc.steps import Loaded
from harnessdoc.trade.tables import factors


def of(text: str) -> Loaded:
    return loaded(dedent(text))


@pytest.fixture(scope="module")
def vehicle() -> Loaded:
    return of(VEHICLE)


@pytest.fixture(scope="module")
def points(vehicle):
    return {step.title: {point.at: point for point in step.points} for step in steps(vehicle.operation, vehicle.network)}


# ------------------------------------------------------------------------------ columns

def test_the_four_columns(vehicle) -> None:
    assert [(head, solved.case.name) for head, solved in columns(vehicle.operation)] == [
        ("off", "off, stopped"), ("run", "run, stopped"), ("start", "start, cranking"), ("running", "run, running")]


def test_a_start_and_a_run_the_user_named_go_before_those_visited() -> None:
    text = VEHICLE + "    states:\n      crank it: {key: start, engine: cranking}\n      go: {key: run, engine: running}\n"
    operation = of(text).operation
    assert [solved.case.name for _, solved in columns(operation)] == ["off, stopped", "run, stopped", "crank it", "go"]
    assert list(columns_in_words(operation)) == ["start: key start, engine cranking", "running: key run, engine running"]


def test_states_that_do_not_exist_have_no_column() -> None:
    text = VEHICLE.replace(", closes: {run: [[Q1.30, Q1.15]], start: [[Q1.30, Q1.15], [Q1.30, Q1.50]]}", "")
    assert [head for head, _ in columns(of(text).operation)] == ["off"]


def test_a_state_without_a_solution_has_no_column(vehicle) -> None:
    operation = vehicle.operation
    run = operation.solved["run, stopped"]
    unsolved = replace(run, result=object())
    assert [head for head, _ in columns(replace(operation, solved={**operation.solved, "run, stopped": unsolved}))] == ["off", "start", "running"]


# --------------------------------------------------------------------------------- ohms

def by_hand(length_m: float, mm2: float, *ends: str) -> float:
    """Pure copper; the tables of wires allow up to 8 % more."""
    return 17.241e-3 * length_m / mm2 + sum(factors()[end].value for end in ends)


def test_a_path_is_its_copper_and_its_terminals(vehicle) -> None:
    ohms = path_ohms(vehicle.operation, check_list(vehicle.harness).paths)
    one = by_hand(1.0, 0.5, "contact-terminal", "contact-splice")
    assert ohms["X1.5", "X2.1"] == pytest.approx(2 * one, rel=0.08)
    far = by_hand(0.3, 10, "contact-terminal", "contact-eyelet") + by_hand(1.0, 25, "contact-eyelet", "contact-eyelet")
    assert ohms["F1.1", "M1.30"] == pytest.approx(far, rel=0.08)


def test_two_wires_side_by_side_have_half_the_ohms_and_an_unknown_length_none(vehicle) -> None:
    text = VEHICLE + "      33: {from: X3.1, to: S3, size: 0.5 mm2, length: 1 m, colour: GN}\n"
    twice = of(text.replace("X3.1: {function", "X3.1: {crimp: double, function"))
    paths = check_list(vehicle.harness).paths
    before, after = (path_ohms(one.operation, paths) for one in (vehicle, twice))
    leg = by_hand(1.0, 0.5, "contact-terminal", "contact-splice")
    assert before["X1.5", "X3.1"] - after["X1.5", "X3.1"] == pytest.approx(leg / 2, rel=0.08)
    assert before["X2.4", "X3.3"] is None


@pytest.mark.parametrize("ends, ohm", [(("X1.5", "X2.1"), 60.0), (("X1.5",), 120.0), ((), None)])
def test_the_ohms_of_the_bus_tell_how_many_ends_it_has(ends, ohm) -> None:
    text = VEHICLE
    for end, load in (("X1.5", ", loads: {end: {between: [X1.5, X1.6], load: 120 ohm}}"), ("X2.1", ", loads: {end: {between: [X2.1, X2.2], load: 120 ohm}}")):
        assert load in text
        text = text if end in ends else text.replace(load, "")
    found = ohms_between(of(text).operation, "X3.1", "X3.2")
    assert found is None if ohm is None else found == pytest.approx(ohm, abs=0.3)


def test_the_bus_is_measured_where_no_end_stands(points) -> None:
    point, = points["Ohms of the CAN pair"].values()
    assert (point.at, point.against, point.expect) == ("X3.1", "X3.2", "60.1")      # 120.08 beside 120.08, and two legs of 0.04


def test_ohms_of_parts_cold(points) -> None:
    found = {at: point.expect for at, point in points["Ohms of parts"].items()}
    assert found["M1.50"] == "0.50" and "M1.30" not in found     # the motor hides behind its own contact
    assert found["P1.a"] == "0.80"                               # the winding, not 12 V / 6 A
    assert found["H1.a"] == "6.00 (typical)"                     # 12^2 / 2 W / 12
    assert found["R9.a"] == "190 to 2.5 k"
    assert found["Y1.a"] == "14.0"


# --------------------------------------------------------------------------- first power

def test_fuses_go_in_from_the_source_outward_each_with_its_current(vehicle) -> None:
    power = first_power(vehicle.operation)
    assert [(fuse.fuse, fuse.far) for fuse in power.fuses] == [("F1", "F1.2"), ("F2", "F2.2"), ("F3", "F3.2")]
    assert power.none_a == pytest.approx(0, abs=1e-9)
    after = [fuse.after_a for fuse in power.fuses]
    assert after[0] == pytest.approx(0, abs=1e-6) and after[1] == pytest.approx(0.0105, rel=0.01)     # 12.6 V on 12 V / 10 mA
    off = vehicle.operation.solved["off, stopped"].solution
    assert after[-1] == pytest.approx(-off.currents["battery G1"], rel=1e-6)


def test_the_list_of_fuses_ends_with_the_drain_of_the_solved_state(vehicle, points) -> None:
    off = vehicle.operation.solved["off, stopped"].solution
    last = list(points["First power, key off"].values())[-1]
    assert last.expect == amps_shown(-off.currents["battery G1"])


# ----------------------------------------------------------------- control units unplugged

def test_what_is_a_control_unit_and_what_a_starter(vehicle) -> None:
    assert control_units(vehicle.operation) == ("U1",)
    assert starters(vehicle.operation) == ("M1",)
    assert feed_pins(vehicle.operation) == ("X1.1", "X1.2")


def test_a_lamp_of_5_w_on_the_pins_of_an_unplugged_unit(vehicle) -> None:
    """By hand: 12.6 V behind battery, wires, fuses, the charge lamp taking 0.17 A beside; the lamp takes 0.43 A at 12.5 V (I ~ V^0.55)."""
    run = column(vehicle.operation, "run").case
    volts = loaded_feeds(vehicle.operation, run)
    lamp_a = 5 / 12 * (12.5 / 12) ** 0.55
    ohms = sum(by_hand(1.0, mm2) for mm2 in (0.5, 1.0)) + 0.01 + by_hand(1.0, 6) + by_hand(0.3, 10) + 0.018 + 4 * 0.0025
    assert volts["X1.2"] == pytest.approx(12.6 - lamp_a * ohms, abs=0.02)
    start = loaded_feeds(vehicle.operation, column(vehicle.operation, "start").case)
    assert start["X1.1"] == pytest.approx(volts["X1.1"], abs=0.05)      # the starter is off: no sag


def test_a_pin_that_nothing_feeds_is_dead_under_the_lamp(vehicle) -> None:
    off = loaded_feeds(vehicle.operation, column(vehicle.operation, "off").case)
    assert off["X1.1"] == pytest.approx(0, abs=0.01) and off["X1.2"] > 12


# -------------------------------------------------------------------------------- plugged

@pytest.mark.parametrize("title, state", [("Key run, plugged in", "run, stopped"), ("Cranking", "start, cranking"), ("Running", "run, running"), ("Key off while the engine runs", "off, running")])
def test_volts_are_those_of_the_solved_state(vehicle, points, title, state) -> None:
    solved = vehicle.operation.solved[state]
    found = {at: point for at, point in points[title].items() if point.expect != PUMP_RUNS}
    read = vehicle.operation.read(solved, found)
    assert {at: point.expect for at, point in found.items()} == {at: volts_shown(value) for at, value in read.items()} and found


def test_what_stands_in_which_step(points) -> None:
    assert set(points["Key run, plugged in"]) == {"X1.4", "X1.9", "X1.1", "X1.2", "A1.L", "X1.8"}
    assert points["Key run, plugged in"]["X1.8"].expect == PUMP_RUNS
    assert {"G1.+", "M1.30", "M1.E", "X1.1", "X1.2"} == set(points["Cranking"])
    assert float(points["Cranking"]["G1.+"].expect) < 12 < float(points["Running"]["G1.+"].expect)


def test_no_step_names_a_contact_of_an_airbag(vehicle, points) -> None:
    assert "B1.a" in vehicle.operation.wiring.nodes.off
    named = {end for step in points.values() for point in step.values() for end in (point.at, point.against)}
    assert "X1.11" in vehicle.operation.wiring.nodes.off      # a reference that leads to one
    assert not named & {*vehicle.operation.wiring.nodes.off, "F4"}


def test_without_battery_engine_and_units_there_is_little_to_do() -> None:
    made = of("""
        devices:
          T1: {terminals: ["+", "-"], between: [T1.+, T1.-], test-supply: {voltage: 12 V, limit: 5 A}}
          H1: {terminals: [a, b], between: [H1.a, H1.b], lamp: 5 W at 12 V}
        fuses: {F1: {rating: 5 A, type: blade}}
        wires:
          1: {from: T1.+, to: F1.1, size: 1 mm2, length: 1 m}
          2: {from: F1.2, to: H1.a, size: 1 mm2, length: 1 m}
          3: {from: H1.b, to: T1.-, size: 1 mm2, length: 1 m}
    """)
    found = steps(made.operation, made.network)
    assert [step.title for step in found] == ["Ohms of parts", "No short before power", "First power, key off"]
    amps = next(step for step in found if step.kind == AMPS)
    assert [point.expect for point in amps.points] == ["0.0 mA", amps_shown(-made.operation.solved["off, stopped"].solution.currents["test supply T1"])]
