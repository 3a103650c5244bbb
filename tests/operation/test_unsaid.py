"""Readings that hang on a pull-up: none is given where the description does not say it."""

from __future__ import annotations

import pytest
from operation.operated import BENCH, described, operated, wires

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.drawing.record import Text
from harnessdoc.operation.report import NoReading, readings_of
from harnessdoc.operation.unsaid import LEAST_PULL_UP_OHM, unsaid_in, unsaid_pull_ups
from harnessdoc.rules.lack import Unasked
from harnessdoc.sheets.context import Options
from harnessdoc.steps import compare, load

UNIT = "U1: {terminals: [feed, ground, pin, other]}"
SENDER = "N1: {terminals: [1, 2], between: [N1.1, N1.2], sender: 2.5 kohm to 190 ohm}"
SWITCH = "S1: {terminals: [1, 2], closes: {pressed: [[S1.1, S1.2]]}}"
FED, ON_PIN, SWITCHED = ("T1.+ U1.feed", "U1.ground T1.-"), ("U1.pin N1.1", "N1.2 T1.-"), ("U1.pin S1.1", "S1.2 T1.-")
BEHIND = "U1.feed: {signal: feed-constant}\nU1.ground: {signal: ground-power}\nU1.pin: {%s}"


def text(pin: str, device: str, *joins: str) -> str:
    return described(BENCH, UNIT, device, cavities=BEHIND % pin, wires=wires(*joins))


def shown(pin: str, device: str, *joins: str, state: str = "off, stopped") -> dict[str, float | NoReading]:
    operation = operated(text(pin, device, *joins))
    return {one.address: one.shown for one in readings_of(operation, operation.solved[state], [*(f"U1.{name}" for name in ("feed", "ground", "pin")), "N1.1" if device == SENDER else "S1.1"], None)}


@pytest.mark.parametrize("signal", ["input-resistive", "input-hall", "input-switch-to-ground", "gauge"])
def test_what_hangs_on_a_pull_up_of_which_nothing_is_said_has_no_reading(signal: str) -> None:
    found = shown(f"signal: {signal}", SENDER, *FED, *ON_PIN)
    assert (found["U1.pin"], found["N1.1"]) == (NoReading.UNSAID, NoReading.UNSAID)
    assert found["U1.feed"] == pytest.approx(12.0, abs=0.01) and found["U1.ground"] == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize("pin, volts", [
    ("signal: input-resistive, pull-up: 2.2 kohm to 5 V", 5 * 2500 / 4700),     # a divider, by hand
    ("signal: input-switch-to-ground, pull-down: 5 kohm", 0.0),
    ("signal: input-analog", 0.0),                                             # its device does not pull it up
])
def test_what_is_said_is_solved(pin: str, volts: float) -> None:
    assert shown(pin, SENDER, *FED, *ON_PIN)["N1.1"] == pytest.approx(volts, abs=0.01)


def test_a_closed_switch_holds_the_point_whatever_pulls_it_up() -> None:
    assert shown("signal: input-switch-to-ground", SWITCH, *FED, *SWITCHED)["U1.pin"] is NoReading.UNSAID
    pressed = shown("signal: input-switch-to-ground", SWITCH, *FED, *SWITCHED, state="off, stopped, S1 pressed")
    # 12 V behind the strongest pull-up, over some milliohms of wire and contact: below a tenth of a millivolt for each 8 mohm
    assert pressed["U1.pin"] == pytest.approx(0.0, abs=12 / LEAST_PULL_UP_OHM)


def test_a_device_without_supply_pulls_nothing_up() -> None:
    assert shown("signal: input-resistive", SENDER, "T1.+ U1.other", FED[1], *ON_PIN)["N1.1"] == pytest.approx(0.0, abs=1e-3)


def test_a_load_at_the_pin_is_what_it_is() -> None:
    gauge = "devices:\n  U2: {terminals: [1, 2, 3], loads: {needle: {between: [U2.1, U2.2], load: 100 ohm}}}\n"
    whole = text("signal: spare", SENDER, *FED, "T1.+ U2.1", "U2.2 N1.1", "N1.2 T1.-").replace("devices:\n", gauge).replace("cavities:\n", "cavities:\n  U2.2: {signal: gauge}\n")
    operation = operated(whole)
    assert unsaid_pull_ups(operation) == () and unsaid_in(operation, operation.solved["off, stopped"]) == frozenset()
    assert operation.read(operation.solved["off, stopped"], ["N1.1"])["N1.1"] == pytest.approx(12 * 2500 / 2600, abs=0.01)


def test_the_rule_of_open_circuits_asks_for_the_pull_up_and_finds_no_fault() -> None:
    found = load("main.yaml", {"main.yaml": text("signal: input-resistive", SENDER, *FED, *ON_PIN)})
    assert "open-circuit" not in {finding.code for finding in found.findings}
    assert Unasked("open-circuit", ("U1.pin",), "`pull-up: 2.2 kohm to 5 V` to each input that its device pulls up") in found.unasked
    lost = load("main.yaml", {"main.yaml": text("signal: input-resistive", SENDER, *FED, ON_PIN[0])})
    assert [finding.message for finding in lost.findings if finding.code == "open-circuit"] == [
        "nothing leads back to battery minus from device N1, whatever switches and relays do: the way ends at U1.pin, N1.1 and N1.2"], "a ground that is missing is told all the same"
    said = load("main.yaml", {"main.yaml": text("signal: input-resistive, pull-up: 2.2 kohm to 5 V", SENDER, *FED, *ON_PIN)})
    assert not any(one.code == "open-circuit" for one in said.unasked)


def test_a_pull_up_that_is_written_later_moves_no_reading() -> None:
    """What was unknown was no reading: nothing went from 0.00 V to something."""
    old, new, other = (load("main.yaml", {"main.yaml": text(pin, SENDER, *FED, *ON_PIN)}) for pin in
                       ("signal: input-resistive", "signal: input-resistive, pull-up: 2.2 kohm to 5 V", "signal: input-resistive, pull-up: 1 kohm to 5 V"))
    assert compare(old, new).follows.readings == () == compare(new, old).follows.readings
    assert {address for change in compare(new, other).follows.readings for address in change.at} == {"U1.pin", "N1.1"}


def test_a_pinout_prints_unknown_and_says_why() -> None:
    plug = text("signal: input-resistive", SENDER, *FED, *ON_PIN).replace("U1: {terminals: [feed, ground, pin, other]}", "U1: {connectors: [X1]}").replace("U1.", "X1.")
    loaded = load("main.yaml", {"main.yaml": plug + "connectors:\n  X1: {title: plug}\n"})
    assert not loaded.has_errors, loaded.findings
    context = make_context(loaded.version, Options())
    page, *_ = draw_sheet(context, context.sheet_of["X1"]).pages
    said = [mark.text for mark in page.marks if isinstance(mark, Text)]
    assert "unknown" in said and any("unknown: the input pulls it up, how is not stated" in " ".join(said[start:start + 3]) for start in range(len(said)))
