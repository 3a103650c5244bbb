"""Numbers the circuit is solved with: stated, or typical and marked so."""

from __future__ import annotations

import pytest
from described import clean

from harnessdoc.model.electric import Alternator, Battery
from harnessdoc.model.given import (
    Given,
    alternator_given,
    ambient_c,
    battery_given,
    fuse_given,
    lamp_cold_ohm,
    limit_a,
    nominal_v,
    on_ohm,
    relay_given,
    solenoid_given,
)


def stated(value: float) -> Given:
    return Given(value, False, "stated")


def relay(entry: str, supply_v: float = 12.0):
    return relay_given(clean(f"relays:\n  K1: {{{entry}}}\n").parts["K1"], supply_v)


def test_a_battery_and_an_alternator():
    text = 'devices:\n  G1: {terminals: [1, 2], between: [G1.1, G1.2], battery: {emf: 12.8 V}}\n  A1: {terminals: [1, 2], between: [A1.1, A1.2], alternator: {limit: 75 A}}\n'
    devices = clean(text).devices
    battery, alternator = devices["G1"].supply, devices["A1"].supply
    assert isinstance(battery, Battery) and isinstance(alternator, Alternator)
    given = battery_given(battery, 12.0)
    assert given.emf_v == stated(12.8)
    assert (given.ohm.value, given.ohm.typical) == (0.01, True) and given.ohm.origin.startswith("common practice")
    charging = alternator_given(alternator, 12.0)
    assert (charging.voltage_v.value, charging.voltage_v.typical, charging.limit_a, charging.field_ohm.value) == (14.2, True, stated(75.0), 4.0)
    assert charging.field_ohm.origin == "from memory"


def test_typical_voltages_follow_the_nominal_supply():
    assert battery_given(Battery(None, None), 24.0).emf_v.value == 25.2
    assert alternator_given(Alternator(None, None, None, None, None), 6.0).voltage_v.value == 7.1
    assert alternator_given(Alternator(None, None, None, None, None), 6.0).limit_a is None


@pytest.mark.parametrize("supply, volts", [("", 12.0), ("supply: 24 V\n", 24.0), ("supply: 6000 mV\n", 6.0)])
def test_the_nominal_supply(supply, volts):
    assert nominal_v(clean(supply + "title: a\n")) == volts


def test_the_ambient_of_a_zone():
    harness = clean("zones: {engine: 95 C}\n")
    assert ambient_c(harness, "engine") == stated(95.0)
    assert {zone: ambient_c(clean("title: a\n"), zone).value for zone in ("engine", "cabin", "wet", "hot", "flexing", None)} == {
        "engine": 85.0, "cabin": 30.0, "wet": 30.0, "hot": 125.0, "flexing": 85.0, None: 30.0}
    assert ambient_c(harness, None).typical and ambient_c(harness, None).origin.startswith("design choice")


def test_a_lamp_cold_and_a_solenoid():
    devices = clean("devices:\n  H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}\n  Y1: {terminals: [1, 2], between: [Y1.1, Y1.2], solenoid: {winding: 2 ohm, release: 2 V}}\n"
                    "  H2: {terminals: [1, 2], between: [H2.1, H2.2], lamp: a bulb}\n").devices
    assert devices["H1"].load and devices["H2"].load and devices["Y1"].load
    cold = lamp_cold_ohm(devices["H1"].load)
    assert cold and (cold.value, cold.typical) == (6.0, True)      # 72 ohm lit, a twelfth of it cold
    assert lamp_cold_ohm(devices["H2"].load) is None
    pull_in, release = solenoid_given(devices["Y1"].load, 24.0)
    assert (pull_in.value, pull_in.typical, release) == (16.0, True, stated(2.0))


def test_outputs():
    contacts = clean("connectors:\n  E1: {}\ncavities:\n  E1.1: {signal: output-low, limit: 2 A, on-resistance: 100 mohm}\n  E1.2: {signal: output-low}\n  E1.3: {signal: input-analog}\n"
                     "  E1.4: {function: said nothing}\n").contacts
    assert (on_ohm(contacts["E1.1"]), limit_a(contacts["E1.1"])) == (stated(0.1), stated(2.0))
    typical = on_ohm(contacts["E1.2"]), limit_a(contacts["E1.2"])
    assert [given and (given.value, given.typical) for given in typical] == [(0.3, True), (1.0, True)]
    assert [(on_ohm(contacts[f"E1.{n}"]), limit_a(contacts[f"E1.{n}"])) for n in (3, 4)] == [(None, None), (None, None)]


def test_a_fuse():
    parts = clean("fuses:\n  F1: {type: blade, rating: 10 A}\n  F2: {type: blade, rating: 10 A, resistance: 7 mohm, drop: 90 mV}\n  F3: {type: blade}\n").parts
    cold, drop = fuse_given(parts["F1"]) or (None, None)
    assert cold and drop and (cold.value, cold.typical, drop.value) == (0.0077, True, 0.109)
    assert fuse_given(parts["F2"]) == (stated(0.007), stated(0.09))
    assert fuse_given(parts["F3"]) is None


def test_a_relay_of_which_nothing_is_said_is_a_usual_one():
    given = relay("")
    assert (given.part, given.coil_ohm.value, given.pull_in_v.value, given.release_v.value, given.suppression, given.suppression_is_typical) == (
        "mini relay 40 A", 90.0, 6.9, 1.2, "resistor", True)
    assert given.coil_ohm.typical and given.suppression_ohm and given.suppression_ohm.value == 680.0
    assert {at: contact.value for at, contact in given.make_a.items()} == {23.0: 60.0, 85.0: 40.0, 125.0: 17.0}
    assert relay("type: micro").part == "micro relay 30 A"
    assert relay("type: micro", 24.0).part == "micro relay 24 V"


def test_every_value_of_a_relay_can_be_overridden():
    given = relay("part: mini relay 40 A, coil: 85 ohm, pull-in: 7.5 V, release: 2 V, suppression: diode, rating: 30 A")
    assert (given.coil_ohm, given.pull_in_v, given.release_v) == (stated(85.0), stated(7.5), stated(2.0))
    assert (given.suppression, given.suppression_is_typical, given.suppression_ohm) == ("diode", False, None)
    assert given.make_a == given.break_a == {None: stated(30.0)}
    assert given.make_ohm.typical


def test_a_coil_that_is_stated_may_be_made_for_any_voltage():
    assert relay("coil: 85 ohm").coil_v is None
    coil_v = relay("part: micro relay 24 V, coil: 300 ohm").coil_v
    assert coil_v and coil_v.value == 24.0
