"""Relays along the driving order: hysteresis, memory, latching, chatter, races."""

from __future__ import annotations

import pytest

from harnessdoc.electric import Battery, Circuit, Contact, Diode, Fault, Relay, Resistor, Solution, Unsolved, check, settle, solve_states

BATTERY = Battery("battery", "plus", "minus", 12.6, 0.02)
LOAD = Resistor("load", "87", "minus", 4.0)


def relay(id: str, start: str, contact: Contact, **more) -> Relay:
    return Relay(id, start, "minus", 85.0, 6.9, 1.2, (contact,), **more)


def walk(relays: tuple[Relay, ...], **states: tuple) -> dict[str, dict[str, bool] | tuple[Fault, ...]]:
    """State name -> relay states, or faults; every solution checked."""
    circuits = {name: Circuit((BATTERY, LOAD, *closed), "minus", relays) for name, closed in states.items()}
    results = solve_states(circuits.items())
    for name, result in results.items():
        if isinstance(result, Solution):
            assert check(circuits[name], result) == ()
    return {name: result.faults if isinstance(result, Unsolved) else dict(result.relay_states) for name, result in results.items()}


def test_a_relay_switches_its_load():
    k1 = relay("K1", "86", Contact("plus", "87", "87a", 0.0015), suppression=Diode("K1 diode", "minus", "86"))
    circuit = Circuit((BATTERY, LOAD, Resistor("lamp", "87a", "minus", 60.0), Resistor("switch", "plus", "86", 0.01)), "minus", (k1,))
    pulled = settle(circuit, {})
    assert pulled.relay_states == {"K1": True}
    assert pulled.currents["load"] == pytest.approx(3.13, abs=0.01)
    assert pulled.currents["K1"] == pytest.approx(0.148, abs=0.001)
    assert pulled.floating == () and pulled.voltages["87a"] == 0.0   # the lamp's lower end holds it
    dropped = settle(Circuit(circuit.elements[:-1], "minus", (k1,)), {})
    assert dropped.relay_states == {"K1": False}
    assert dropped.currents["load"] == 0.0
    assert dropped.currents["lamp"] == pytest.approx(0.21, abs=0.001)


@pytest.mark.parametrize("volts, before, after", [
    (6.89, False, False), (6.91, False, True), (6.89, True, True), (1.21, True, True), (1.19, True, False), (-8.0, False, True)])
def test_between_release_and_pull_in_it_stays(volts, before, after):
    k1 = relay("K1", "coil", Contact("plus", "87", "", 0.0015))
    circuit = Circuit((BATTERY, LOAD, Battery("G", "coil", "minus", volts, 1e-5)), "minus", (k1,))
    assert settle(circuit, {"K1": before}).relay_states == {"K1": after}


def test_a_relay_that_holds_itself_in_is_found():
    k1 = relay("K1", "87", Contact("plus", "87", "", 0.0015))
    button = Resistor("button", "plus", "87", 0.01)
    assert walk((k1,), rest=(), pressed=(button,), released=()) == {
        "rest": {"K1": False}, "pressed": {"K1": True}, "released": {"K1": True}}


def test_one_relay_feeds_the_next():
    k1 = relay("K1", "86", Contact("plus", "middle", "", 0.0015))
    k2 = relay("K2", "middle", Contact("plus", "87", "", 0.0015))
    assert walk((k2, k1), rest=(), on=(Resistor("switch", "plus", "86", 0.01),), off=()) == {
        "rest": {"K2": False, "K1": False}, "on": {"K2": True, "K1": True}, "off": {"K2": False, "K1": False}}


def test_a_buzzer_chatters():
    k1 = relay("K1", "87a", Contact("plus", "", "87a", 0.0015))
    assert walk((k1,), rest=()) == {"rest": (
        Fault("relay-chatters", "K1: pulls in, and by that loses its coil voltage, over and over", ("K1",)),)}


def test_the_order_goes_on_after_a_fault():
    buzzer = relay("K1", "x", Contact("feed", "", "x", 0.0015))
    latch = relay("K2", "87", Contact("plus", "87", "", 0.0015))
    button, feed = Resistor("button", "plus", "87", 0.01), Resistor("feed", "plus", "feed", 0.01)
    results = walk((buzzer, latch), pressed=(button,), fed=(feed,), after=())
    assert results["fed"][0].elements == ("K1",)
    assert results["after"] == {"K1": False, "K2": True}


def test_two_relays_that_lock_each_other_out_race():
    k1 = relay("K1", "a", Contact("plus", "", "b", 0.0015))
    k2 = relay("K2", "b", Contact("plus", "", "a", 0.0015))
    assert walk((k1, k2), rest=()) == {"rest": (
        Fault("relay-race", "K1, K2: which of them stays in depends on which is faster", ("K1", "K2")),)}


def test_a_coil_on_a_wire_that_floats_stays_out():
    k1 = Relay("K1", "left", "right", 85.0, 6.9, 1.2, (Contact("plus", "87", "", 0.0015),))
    assert walk((k1,), rest=()) == {"rest": {"K1": False}}
