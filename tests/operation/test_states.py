"""The states that are visited: by hand on the Linnet, and of switches of every shape."""

from __future__ import annotations

import pytest
from operation.operated import BATTERY, KEY, LINNET, described, operated, wires

from harnessdoc import steps
from harnessdoc.model.electric import Engine
from harnessdoc.operation.states import positions, switches_of

DRIVE = ["off, stopped", "accessory, stopped", "run, stopped", "start, cranking", "run, running", "accessory, running", "off, running"]
"""Driving order, then the key back while the engine turns."""


def names(*devices: str, **sections: str) -> list[str]:
    return list(operated(described(BATTERY, *devices, **sections)).solved)


def test_the_list_of_the_linnet_by_hand():
    operation = steps.load(LINNET).operation
    # S2 and S4 meet in splice SP10. S3 and S6 meet others at grounds alone; S5 meets nobody.
    held = ["S2 pressed", "S3 pressed", "S4 pressed", "S5 open", "S6 open", "S2 pressed, S4 pressed"]
    assert list(operation.solved) == [*DRIVE, *(f"{base}, {switches}" for base in ("off, stopped", "run, stopped") for switches in held),
                                      *(f"{base}, S5 open" for base in ("run, running", "accessory, running", "off, running")),        # the oil has pressure
                                      "starting", "driving", "cooling"]
    case = operation.solved["run, stopped, S2 pressed, S4 pressed"].case
    assert (case.key, case.engine, dict(case.switches), case.after, case.named) == ("run", Engine.STOPPED, {"S2": "pressed", "S4": "pressed"}, "run, stopped", False)
    assert case.words == "key run, engine stopped, S2 pressed, S4 pressed"
    assert operation.solved["cooling"].case.words == "key run, engine running, S4 pressed, S5 open, E1.15 and E1.16 on"
    assert operation.solved["cooling"].case.named


def test_each_state_comes_after_the_one_a_driver_leaves():
    solved = steps.load(LINNET).operation.solved
    assert [solved[name].case.after for name in DRIVE] == ["", *DRIVE[:-1]]
    assert (solved["starting"].case.after, solved["driving"].case.after, solved["off, stopped, S2 pressed"].case.after) == (
        "start, cranking", "run, running", "off, stopped")


def test_key_positions_that_are_not_there_are_not_visited():
    assert names("Q1: {terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}") == ["off, stopped", "run, stopped", "run, running", "off, running"]
    assert names() == ["off, stopped", "off, running"]
    assert names("Q1: {terminals: [30, 50], closes: {start: [[Q1.30, Q1.50]]}}") == ["off, stopped", "start, cranking", "off, running"]


@pytest.mark.parametrize("closes, rest, all_positions, others", [
    ("{on: [[S1.1, S1.2]]}", "", ["on", "open"], ["on"]),
    ("{on: [[S1.1, S1.2]]}", ", rest: on", ["on", "open"], ["open"]),
    ("{left: [[S1.1, S1.2]], right: [[S1.1, S1.3]]}", "", ["left", "right", "open"], ["left", "right"]),
    ("{up: [[S1.1, S1.2]], down: [[S1.1, S1.3]]}", ", rest: up", ["up", "down"], ["down"]),
    ("{open: [], on: [[S1.1, S1.2]]}", ", rest: open", ["open", "on"], ["on"]),
])
def test_the_positions_of_a_switch(closes, rest, all_positions, others):
    operation = operated(described(BATTERY, f"S1: {{terminals: [1, 2, 3], closes: {closes}{rest}}}"))
    switch = switches_of(operation.wiring.harness)["S1"]
    assert list(positions(switch)) == all_positions
    assert [name for name in operation.solved if "S1" in name] == [f"off, stopped, S1 {position}" for position in others]


PAIR = ("S1: {terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}", "S2: {terminals: [1, 2], closes: {low: [[S2.1, S2.2]], high: [[S2.1, S2.2]]}}")


def pairs(*joins: str, **sections: str) -> list[str]:
    found = names(*PAIR, wires=wires(*joins), **sections)
    return [name.removeprefix("off, stopped, ") for name in found if "S1" in name and "S2" in name]


def test_switches_in_series_are_held_together_in_every_position():
    assert pairs("S1.2 S2.1") == ["S1 on, S2 low", "S1 on, S2 high"]


@pytest.mark.parametrize("joins, sections", [
    (("S1.1 G1.+", "S2.1 G1.+"), {}),
    (("S1.2 G1.-", "S2.2 G1.-"), {}),
    (("S1.1 B1.15", "S2.1 B1.15"), {"fuses": "F1: {}", "boxes": "B1: {bars: {15: [F1.1]}}"}),
    (("S1.2 GB1", "S2.2 GB1"), {"grounds": "GB1: {metal: body}"}),
    (("S1.2 S1.1",), {}),
])
def test_battery_bars_and_grounds_make_no_pair(joins, sections):
    assert pairs(*joins, **sections) == []


def test_the_key_switch_is_no_switch_of_a_pair():
    text = described(BATTERY, KEY, PAIR[0], wires=wires("Q1.15 S1.1"))
    assert list(switches_of(operated(text).wiring.harness)) == ["S1"]


def test_a_named_state_that_the_drive_does_not_visit_comes_after_the_first():
    text = described(BATTERY, KEY, states="odd: {key: start, engine: running}")
    assert operated(text).solved["odd"].case.after == "off, stopped"


@pytest.mark.parametrize("rest, further", [
    ("low pressure", ["accessory, running, S9 open", "off, running, S9 open", "run, running, S9 open"]),
    ("no pressure", ["accessory, running, S9 open", "off, running, S9 open", "run, running, S9 open"]),
    ("pressure right", []),                 # of a refrigerant: the engine does not move it
    ("released", []),
])
def test_a_switch_that_oil_pressure_moves_is_visited_moved_while_the_engine_runs(rest, further):
    text = ("devices:\n  G1: {terminals: ['+', '-'], between: [G1.+, G1.-], battery: {}}\n"
            "  S1: {title: key switch, terminals: [30, 15, 75, 50], closes: {accessory: [[S1.30, S1.75]], run: [[S1.30, S1.15]], start: [[S1.30, S1.50]]}}\n"
            f"  S9: {{title: switch, terminals: [1, case], closes: {{{rest}: [[S9.1, S9.case]]}}, rest: {rest}}}\n"
            "wires:\n  1: {from: G1.+, to: S1.30, size: 1 mm2, colour: RD, type: TXL, length: 1 m}\n  2: {from: S1.15, to: S9.1, size: 1 mm2, colour: RD, type: TXL, length: 1 m}\n")
    operation = steps.load("h.yaml", {"h.yaml": text}).operation
    assert sorted(name for name, solved in operation.solved.items() if solved.case.engine is Engine.RUNNING and solved.case.switches) == further
    assert "off, running" in operation.solved          # with low pressure too: the lamp is to light for it
