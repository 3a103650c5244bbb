"""What stands behind pins: grounds, references, pull-ups, diodes, outputs; numbers by hand."""

from __future__ import annotations

import pytest
from operation.operated import BENCH, described, operated, told, wires

# A bench supply holds 12 V behind 1 mohm. A wire of 1 mm2 and 100 mm between terminals of devices has
# 1.85 mohm warm and two eyelets: below 3 mohm, no more than 0.1 mV at 30 mA. The meter of 10 Mohm takes
# as much again from a pin behind some hundred ohms.
UNIT = "U1: {terminals: [feed, ground, pin, other]}"
FED = wires("T1.+ U1.feed", "U1.ground T1.-")


def read(cavities: str, address: str, *devices: str, joins: str = FED, state: str = "off, stopped", **sections: str) -> float | None:
    operation = operated(described(BENCH, UNIT, *devices, cavities=f"U1.feed: {{signal: feed-constant}}\nU1.ground: {{signal: ground-power}}\n{cavities}",
                                   wires=joins, **sections))
    return operation.read(operation.solved[state], [address])[address]


def left_out(cavities: str, **sections: str) -> dict[str, str]:
    return told(operated(described(BENCH, UNIT, cavities=cavities, wires=FED, **sections)).wiring.left_out)


SENDER = "N1: {terminals: [1, 2], between: [N1.1, N1.2], sender: 1 kohm}"
TO_SENDER = f"{FED}\nw9: {{from: U1.pin, to: N1.1, size: 1 mm2, length: 100 mm}}\nw10: {{from: N1.2, to: T1.-, size: 1 mm2, length: 100 mm}}"


def test_a_reference_is_5_v_while_the_supply_is_there():
    assert read("U1.pin: {signal: reference-5v}", "U1.pin") == pytest.approx(5.0, abs=1e-4)
    # Without a supply nothing gives the reference: with a load to ground the pin is at 0 V.
    no_feed = TO_SENDER.replace("T1.+", "U1.other")
    assert read("U1.pin: {signal: reference-5v}", "U1.pin", SENDER, joins=no_feed) == pytest.approx(0.0, abs=1e-6)


def test_a_reference_has_an_ohm_inside():
    # 5 V behind 1 ohm into 1 kohm.
    assert read("U1.pin: {signal: reference-5v}", "U1.pin", SENDER, joins=TO_SENDER) == pytest.approx(5 * 1000 / 1001, abs=1e-4)


def test_a_pull_up_to_a_voltage_and_one_to_the_supply():
    assert read("U1.pin: {signal: input-resistive, pull-up: 1 kohm to 5 V}", "U1.pin", SENDER, joins=TO_SENDER) == pytest.approx(2.5, abs=3e-4)
    assert read("U1.pin: {signal: input-switch-to-ground, pull-up: 3 kohm to supply}", "U1.pin", SENDER, joins=TO_SENDER) == pytest.approx(3.0, abs=3e-4)


def test_a_pull_down():
    high = f"{FED}\nw9: {{from: T1.+, to: N1.1, size: 1 mm2, length: 100 mm}}\nw10: {{from: N1.2, to: U1.pin, size: 1 mm2, length: 100 mm}}"
    assert read("U1.pin: {signal: input-switch-to-supply, pull-down: 2 kohm}", "U1.pin", SENDER, joins=high) == pytest.approx(8.0, abs=1e-3)


def test_a_unit_wakes_at_6_v_and_not_below():
    def volts(ohm: int) -> float | None:
        # A resistor before the supply pin and 100 ohm of pull-down there: 12 V x 100 / (100 + ohm).
        joins = wires("T1.+ R1.1", "R1.2 U1.feed", "U1.ground T1.-", "U1.pin N1.1", "N1.2 T1.-")
        cavities = "U1.feed: {signal: feed-constant, pull-down: 100 ohm}\nU1.ground: {signal: ground-power}\nU1.pin: {signal: reference-5v}"
        operation = operated(described(BENCH, UNIT, SENDER, resistors=f"R1: {{value: {ohm} ohm}}", cavities=cavities, wires=joins))
        return operation.read(operation.solved["off, stopped"], ["U1.pin"])["U1.pin"]

    assert volts(98) == pytest.approx(5 * 1000 / 1001, abs=1e-3)    # 6.06 V
    assert volts(102) == pytest.approx(0.0, abs=1e-6)               # 5.94 V


def test_diodes_conduct_one_way_to_ground_and_to_the_supply():
    def volts(diode: str) -> float | None:
        joins = wires("T1.+ U1.feed", "U1.ground T1.-", "U1.pin N1.1", "N1.2 T2.+", "T2.- T1.-", "T1.+ L1.1", "L1.2 T1.-")
        return read(f"U1.pin: {{signal: output-low, diode: {diode}}}", "U1.pin", SENDER, "L1: {terminals: [1, 2], between: [L1.1, L1.2], load: 100 ohm}",
                    BENCH.replace("T1", "T2").replace("12 V", "24 V"), joins=joins)

    # From 24 V through 1 kohm into the supply of 12 V, where a load takes it: 12 V and the drop of a silicon diode at 11 mA.
    assert volts("to supply") == pytest.approx(12.64, abs=0.03)
    assert volts("both") == pytest.approx(12.64, abs=0.03)
    assert volts("to ground") == pytest.approx(24.0, abs=0.01)
    assert volts("none") == pytest.approx(24.0, abs=0.01)


def test_a_diode_to_ground_holds_a_pin_that_is_pulled_below():
    # A supply of 12 V with its plus at ground draws 11 mA out of the pin.
    joins = wires("T1.+ U1.feed", "U1.ground T1.-", "U1.pin N1.1", "N1.2 T2.-", "T2.+ T1.-")
    low = [read(f"U1.pin: {{signal: output-low, diode: {diode}}}", "U1.pin", SENDER, BENCH.replace("T1", "T2"), joins=joins)
           for diode in ("to ground", "both", "to supply")]
    assert low == [pytest.approx(-0.64, abs=0.03), pytest.approx(-0.64, abs=0.03), pytest.approx(-12.0, abs=0.01)]


@pytest.mark.parametrize("signal, volts", [("output-low", 0.0359), ("output-high", 11.964), ("output-push-pull", 11.964)])
def test_outputs_on_against_a_load_by_hand(signal, volts):
    # 0.3 ohm and 100 ohm: 12 V x 0.3 / 100.3 stands across the output.
    end = "T1.+" if signal == "output-low" else "T1.-"
    joins = f"{FED}\nw9: {{from: U1.pin, to: N1.1, size: 1 mm2, length: 100 mm}}\nw10: {{from: N1.2, to: {end}, size: 1 mm2, length: 100 mm}}"
    load = SENDER.replace("1 kohm", "100 ohm")
    assert read(f"U1.pin: {{signal: {signal}, on-resistance: 0.3 ohm, commanded: always}}", "U1.pin", load, joins=joins) == pytest.approx(volts, abs=2e-3)
    assert read(f"U1.pin: {{signal: {signal}}}", "U1.pin", load, joins=joins) == pytest.approx(12.0 - volts, abs=0.04)


KEYED = "Q1: {terminals: [30, 75, 15, 50], closes: {accessory: [[Q1.30, Q1.75]], run: [[Q1.30, Q1.15]], start: [[Q1.30, Q1.50]]}}"


@pytest.mark.parametrize("word, states", [
    ("always", "off, stopped|accessory, stopped|run, stopped|start, cranking|run, running|accessory, running|off, running"),
    ("accessory", "accessory, stopped|accessory, running"),
    ("run", "run, stopped|run, running"),
    ("start", "start, cranking"),
    ("run and start", "run, stopped|start, cranking|run, running"),
    ("with engine", "start, cranking|run, running|accessory, running|off, running"),
    ("unknown", ""),
])
def test_when_a_device_turns_its_output_on(word, states):
    text = described(BENCH, UNIT, KEYED, cavities=f"U1.ground: {{signal: ground-power}}\nU1.pin: {{signal: output-low, commanded: {word}}}")
    on = [name for name, solved in operated(text).solved.items() if any(element.id == "U1.pin on" for element in solved.circuit.elements)]
    assert on == [state for state in states.split("|") if state]


def test_a_state_turns_an_output_on_besides():
    text = described(BENCH, UNIT, cavities="U1.ground: {signal: ground-power}\nU1.pin: {signal: output-low}", states="x: {key: off, engine: stopped, commanded: [U1.pin]}")
    operation = operated(text)
    assert {name: [element.id for element in solved.circuit.elements if element.id.endswith(" on")] for name, solved in operation.solved.items()} == {
        "off, stopped": [], "off, running": [], "x": ["U1.pin on"]}
    assert told(operation.wiring.typical)["U1.pin"].startswith("on 0.3 ohm (common practice")


@pytest.mark.parametrize("signal", ["output-analog", "output-ignition-trigger", "output-injector-boosted", "can-high", "reference-5v", "ratio-sensor"])
def test_what_does_not_drive_to_the_supply_is_never_tied_to_it(signal):
    cavities = f"U1.feed: {{signal: feed-constant}}\nU1.ground: {{signal: ground-power}}\nU1.pin: {{signal: {signal}, commanded: always}}"
    operation = operated(described(BENCH, UNIT, cavities=cavities, wires=FED))
    assert operation.read(operation.solved["off, stopped"], ["U1.pin"])["U1.pin"] in (None, pytest.approx(5.0, abs=0.01), pytest.approx(2.5, abs=0.01))
    assert told(operation.wiring.left_out) == {"U1.pin": f"turned on, but at which voltage {signal} stands then is not known"}


@pytest.mark.parametrize("cavities, words", [
    ("U1.pin: {signal: output-low, commanded: always}", "turned on, but no pin of U1 says ground"),
    ("U1.ground: {signal: ground-power}\nU1.pin: {signal: output-high, commanded: always}", "turned on, but no pin of U1 says supply"),
    ("U1.pin: {function: drives something, commanded: always}", "turned on, but nothing says that it is driven from inside"),
    ("U1.pin: {signal: reference-5v}", "what is behind it: no pin of U1 says supply or ground"),
    ("U1.ground: {signal: ground-power}\nU1.pin: {signal: input-resistive, pull-up: 1 kohm to 5 V}", "what is behind it: no pin of U1 says supply"),
    ("U1.ground: {signal: ground-power}\nU1.pin: {signal: input-analog, pull-up: 1 kohm to supply}", "what is behind it: no pin of U1 says supply"),
    ("U1.feed: {signal: feed-run}\nU1.pin: {signal: input-analog, pull-down: 1 kohm}", "what is behind it: no pin of U1 says ground"),
    ("U1.pin: {signal: input-analog, diode: both}", "what is behind it: no pin of U1 says supply or ground"),
])
def test_what_cannot_be_put_in_is_told(cavities, words):
    assert left_out(cavities) == {"U1.pin": words}


def test_the_grounds_of_a_unit_come_together_inside():
    # The power ground is cut: its load of 1 ohm returns through the signal ground, 5 mohm inside each.
    cavities = "U1.feed: {signal: feed-constant}\nU1.ground: {signal: ground-power}\nU1.other: {signal: ground-signal}\nU1.pin: {signal: output-low}"
    operation = operated(described(BENCH, UNIT, cavities=cavities, wires=wires("T1.+ U1.feed", "U1.other T1.-")))
    unit = operation.wiring.units["U1"]
    assert (unit.ground, unit.feed) == ("ground of U1", "U1.feed")
    joints = {element.id: (element.a, element.b, element.ohm) for element in operation.wiring.elements if element.id.endswith(" inside")}
    assert joints == {"U1.ground inside": ("U1.ground", "ground of U1", 0.005), "U1.other inside": ("U1.other", "ground of U1", 0.005)}


def test_the_supply_pin_is_the_one_its_own_relay_feeds():
    cavities = "U1.other: {signal: feed-constant}\nU1.feed: {signal: feed-relay}\nU1.pin: {signal: feed-run}"
    assert operated(described(BENCH, UNIT, cavities=cavities)).wiring.units["U1"].feed == "U1.feed"
