"""Solved states: relays that remember, hold themselves in, chatter; what a meter shows."""

from __future__ import annotations

import pytest
from operation.operated import BATTERY, BENCH, KEY, described, operated, wires

from harnessdoc.electric import Unsolved
from harnessdoc.model.electric import Engine
from harnessdoc.operation.operate import Operation
from harnessdoc.operation.states import Case

LAMP = "H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}"
BUTTON = "S1: {terminals: [1, 2], closes: {pressed: [[S1.1, S1.2]]}}"


def pulled(operation: Operation, relay: str = "relay K1") -> dict[str, bool | None]:
    """State -> whether the relay is in; None where the state has no solution."""
    return {name: solved.solution.relay_states[relay] if solved.solution else None for name, solved in operation.solved.items()}


# -------------------------------------------------------------------------- what remembers

def test_a_relay_that_feeds_its_own_coil_stays_in_after_the_key_is_turned_off():
    # Run pulls K1 in; its contact feeds the splice that the coil hangs on: the engine runs on.
    text = described(BATTERY, KEY, LAMP, relays="K1: {suppression: none}", splices="SP1: {title: coil}",
                     wires=wires("G1.+ Q1.30", "Q1.15 SP1", "SP1 K1.86", "K1.85 G1.-", "G1.+ K1.30", "K1.87 SP1", "SP1 H1.1", "H1.2 G1.-"))
    operation = operated(text)
    assert pulled(operation) == {"off, stopped": False, "accessory, stopped": False, "run, stopped": True, "start, cranking": True, "run, running": True,
                                 "accessory, running": True, "off, running": True}
    assert operation.read(operation.solved["off, running"], ["H1.1"])["H1.1"] > 12


def test_without_the_way_back_it_lets_go():
    text = described(BATTERY, KEY, LAMP, relays="K1: {suppression: none}",
                     wires=wires("G1.+ Q1.30", "Q1.15 K1.86", "K1.85 G1.-", "G1.+ K1.30", "K1.87 H1.1", "H1.2 G1.-"))
    operation = operated(text)
    assert [name for name, on in pulled(operation).items() if on] == ["run, stopped", "start, cranking", "run, running"]
    assert operation.read(operation.solved["off, running"], ["H1.1"])["H1.1"] == pytest.approx(0.0, abs=1e-6)


def test_between_release_and_pull_in_the_state_before_decides():
    # The dropping resistor leaves 12.6 x 85 / 205 = 5.2 V: too little to pull in, enough to hold.
    text = described(BATTERY, KEY, relays="K1: {suppression: none, coil: 85 ohm}", resistors="R1: {value: 120 ohm}", splices="SP1: {title: coil}\nSP2: {title: accessory}",
                     wires=wires("G1.+ Q1.30", "Q1.15 SP1", "SP1 K1.86", "K1.85 G1.-", "Q1.75 R1.1", "R1.2 SP1"))
    assert pulled(operated(text)) == {"off, stopped": False, "accessory, stopped": False, "run, stopped": True, "start, cranking": True,
                                      "run, running": True, "accessory, running": True, "off, running": False}


def chattering() -> str:
    """K1 breaks the feed of its own coil while 15 is live; K2 holds itself in once 75 was."""
    return described(BATTERY, KEY, relays="K1: {contacts: break, suppression: none}\nK2: {suppression: none}", splices="SP1: {title: coil of K2}",
                     wires=wires("G1.+ Q1.30", "Q1.15 K1.30", "K1.87a K1.86", "K1.85 G1.-", "Q1.75 SP1", "SP1 K2.86", "K2.85 G1.-", "G1.+ K2.30", "K2.87 SP1"))


def test_a_buzzer_is_told_and_has_no_numbers():
    operation = operated(chattering())
    state = operation.solved["run, stopped"]
    assert isinstance(state.result, Unsolved) and state.solution is None
    [fault] = state.faults
    assert (fault.code, fault.elements) == ("relay-chatters", ("relay K1",))
    assert operation.read(state, ["G1.+"]) == {}


def test_a_state_that_chatters_makes_no_other_relay_forget():
    # K1 buzzes at run alone. K2 is pulled in at start and holds itself in: over run it is still in when the key is off.
    text = chattering().replace(KEY, "Q1: {terminals: [30, 75, 15, 50], closes: {run: [[Q1.30, Q1.15]], start: [[Q1.30, Q1.75]]}}")
    assert pulled(operated(text), "relay K2") == {"off, stopped": False, "run, stopped": None, "start, cranking": True, "run, running": None, "off, running": True}


# --------------------------------------------------------------------------- what is read

def bench() -> Operation:
    return operated(described(BENCH, BUTTON, LAMP, "D1: {terminals: [1, 2]}", wires=wires("T1.+ S1.1", "S1.2 H1.1", "H1.2 T1.-")))


def test_a_meter_against_minus_and_against_another_point():
    operation = bench()
    rest, pressed = operation.solved["off, stopped"], operation.solved["off, stopped, S1 pressed"]
    assert operation.read(rest, ["S1.1", "S1.2", "H1.1", "D1.1"]) == {"S1.1": pytest.approx(12.0, abs=1e-5), "S1.2": 0.0, "H1.1": 0.0, "D1.1": None}
    # 2 W at 12 V: 167 mA through wires of some 3 mohm and a contact of 10 mohm.
    assert operation.read(pressed, ["H1.1"])["H1.1"] == pytest.approx(12.0 - 0.167 * 0.0156, abs=5e-4)
    assert operation.read(pressed, ["T1.-", "S1.1"], "T1.+") == {"T1.-": pytest.approx(-12.0, abs=2e-3), "S1.1": pytest.approx(-0.167 * 0.0023, abs=1e-4)}


def test_addresses_may_come_from_anywhere_and_be_asked_again():
    operation = bench()
    rest = operation.solved["off, stopped"]
    first = operation.read(rest, (address for address in ("S1.1", "D1.1")))
    assert list(first) == ["S1.1", "D1.1"]
    assert operation.read(rest, ["S1.1", "H1.1"]) == {"S1.1": first["S1.1"], "H1.1": 0.0}


def test_a_state_besides_is_solved_and_keeps_its_own_readings():
    operation = bench()
    case = Case("off, stopped", "off", Engine.STOPPED, {"S1": "pressed"}, after="off, stopped")
    asked, visited = operation.state(case), operation.solved["off, stopped"]
    assert operation.read(visited, ["H1.1"]) == {"H1.1": 0.0}
    assert operation.read(asked, ["H1.1"])["H1.1"] > 11.9
    assert operation.read(visited, ["H1.1"]) == {"H1.1": 0.0}


def test_faults_of_sources_come_with_the_solution():
    shorted = operated(described(BATTERY, BUTTON, wires=wires("G1.+ S1.1", "S1.2 G1.-", size="25 mm2")))
    assert [fault.code for fault in shorted.solved["off, stopped, S1 pressed"].faults] == []          # the switch of 10 mohm leaves half
    hard = operated(described(BATTERY, wires=wires("G1.+ G1.-", size="25 mm2")))
    assert [(fault.code, fault.elements) for fault in hard.solved["off, stopped"].faults] == [("shorted-source", ("battery G1",))]
    beyond = operated(described(BENCH.replace("100 A", "1 A"), "D1: {terminals: [1, 2], between: [D1.1, D1.2], load: 2 ohm}", wires=wires("T1.+ D1.1", "D1.2 T1.-")))
    assert [(fault.code, fault.elements) for fault in beyond.solved["off, stopped"].faults] == [("supply-at-limit", ("test supply T1",))]


def test_the_same_numbers_every_time():
    one, other = operated(chattering()), operated(chattering())
    assert [(name, repr(solved.result)) for name, solved in one.solved.items()] == [(name, repr(solved.result)) for name, solved in other.solved.items()]


# ------------------------------------------------------------------------- read in any order

def test_points_read_one_by_one_show_what_they_show_together():
    """A state keeps what it reckoned for the first point; nothing of it gets into another state, another reference or the volts of the others."""
    text = described(BATTERY, KEY, LAMP, resistors="R1: {value: 1 Mohm}", splices="SP1: {title: middle}",
                     wires=wires("G1.+ R1.1", "R1.2 SP1", "G1.+ Q1.30", "Q1.15 SP1", "Q1.75 H1.1", "H1.2 G1.-"))
    points = ("SP1", "R1.1", "Q1.75", "H1.1")
    together, single = operated(text), operated(text)
    for name in ("run, stopped", "off, stopped"):
        for ground in (None, "R1.1"):
            whole = together.read(together.solved[name], points, ground)
            assert {point: single.read(single.solved[name], [point], ground)[point] for point in points} == whole
    # with the key off 1 Mohm stands before the meter of 10 Mohm, with the key on nothing
    off, run = (single.read(single.solved[name], ["SP1", "R1.1"]) for name in ("off, stopped", "run, stopped"))
    assert off["SP1"] == pytest.approx(off["R1.1"] * 10 / 11, rel=1e-3)
    assert run["SP1"] == pytest.approx(run["R1.1"], rel=1e-3)
