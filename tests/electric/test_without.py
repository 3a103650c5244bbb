"""A case with one element taken out is what a full solve of it gives, relays and diodes settled again."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from electric.random_circuits import any_circuit, random_states
from hypothesis import given, settings
from hypothesis import strategies as st

from harnessdoc.electric import Battery, Circuit, Contact, Diode, Element, Lamp, PullUp, Relay, Resistor, Solution, Unsolved, settle
from harnessdoc.electric.without import NOTHING_A, Case, Opened

SHARE = 1e-8
"""Of the largest current, by which a current may differ: each side is allowed 1e-9 at every node."""

BATTERY = Battery("battery", "plus", "minus", 12.6, 0.02)


def without(circuit: Circuit, element: str) -> Circuit:
    return replace(circuit, elements=tuple(one for one in circuit.elements if one.id != element))


def solved(circuit: Circuit) -> Solution:
    solution = settle(circuit, {})
    assert isinstance(solution, Solution)
    return solution


def case(circuit: Circuit, element: str) -> Case:
    """The case of an element that carries something."""
    found = Opened(circuit, solved(circuit)).without(element)
    assert isinstance(found, Case)
    return found


def compare(circuit: Circuit, before: Solution, opened: Opened, element: str) -> str:
    """How the case was found, once it is what a full solve gives: ``nothing``, ``updated``, ``anew``, or the code of its fault."""
    found, full = opened.without(element), settle(without(circuit, element), before.relay_states)
    if isinstance(found, Unsolved) or isinstance(full, Unsolved):
        assert isinstance(found, Unsolved) and isinstance(full, Unsolved)
        assert found.faults[0].code == full.faults[0].code
        return found.faults[0].code
    most_a = max(map(abs, before.currents.values()), default=0.0)
    if found is None:
        # What floats now has no current in a full solve, though it may go round in it.
        assert all(full.currents[id] == pytest.approx(current, abs=2 * NOTHING_A) for id, current in before.currents.items() if id in full.currents)
        assert full.relay_states == before.relay_states
        return "nothing"
    assert found.relay_states == full.relay_states
    for id, current in full.currents.items():
        assert found.amps(id) == pytest.approx(current, abs=1e-8 + SHARE * most_a), id
    for node in full.floating:
        assert found.volts(node) is None, node
    return "anew" if found.from_nothing else "updated"


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 100_000), data=st.data())
def test_in_wiring_it_is_what_a_full_solve_gives(seed: int, data: st.DataObject) -> None:
    circuit = data.draw(st.sampled_from(random_states(seed, 80)))
    before = solved(circuit)
    opened = Opened(circuit, before)
    for element in data.draw(st.lists(st.sampled_from(circuit.elements), min_size=1, max_size=8)):
        compare(circuit, before, opened, element.id)


def test_in_wiring_nearly_all_is_updated() -> None:
    ways = []
    for seed in range(30):
        for circuit in random_states(seed, 80):
            before = solved(circuit)
            opened = Opened(circuit, before)
            ways += [compare(circuit, before, opened, element.id) for element in Random(seed).sample(circuit.elements, 10)]
    assert ways.count("updated") > 0.7 * len(ways) and ways.count("anew") < 0.1 * len(ways)


def test_between_any_elements_it_is_what_a_full_solve_gives() -> None:
    ways = set()
    for seed in range(250):
        circuit = any_circuit(seed)
        before = solved(circuit)
        opened = Opened(circuit, before)
        ways |= {compare(circuit, before, opened, element.id) for element in circuit.elements}
    assert ways >= {"nothing", "updated"}


# ------------------------------------------------------------------------------------- against numpy

LINEAR = st.integers(2, 14).flatmap(lambda n: st.tuples(*(st.one_of(
    st.builds(Resistor, st.just(f"r{number}"), st.sampled_from("abcd"), st.sampled_from("efgh"), st.floats(0.01, 1000)),
    st.builds(Battery, st.just(f"g{number}"), st.sampled_from("abcd"), st.sampled_from("efgh"), st.floats(1, 24), st.floats(0.01, 10)),
    st.builds(PullUp, st.just(f"p{number}"), st.sampled_from("abcd"), st.sampled_from("efgh"), st.floats(1, 12), st.floats(10, 1000)),
) for number in range(n))))


def dense(elements: list[Element], nodes: list[str]) -> dict[str, float]:
    """Element -> amps, of lines alone, by one dense solve with the first of the nodes at 0 V; all of them are tied."""
    place = {node: number for number, node in enumerate(nodes)}
    matrix, right = np.zeros((len(nodes), len(nodes))), np.zeros(len(nodes))
    own = [(place[one.a], place[one.b], 1 / one.ohm, getattr(one, "emf_v", getattr(one, "volts", 0.0))) for one in elements]
    for a, b, g, volts in own:
        for one, other in ((a, b), (b, a)):
            matrix[one, one] += g
            matrix[one, other] -= g
        right[a] += g * volts
        right[b] -= g * volts
    v = np.concatenate(([0.0], np.linalg.solve(matrix[1:, 1:], right[1:])))
    return {one.id: g * (v[a] - v[b] - volts) for one, (a, b, g, volts) in zip(elements, own)}


@settings(max_examples=150, deadline=None)
@given(elements=LINEAR, gone=st.integers(0, 13))
def test_of_lines_it_is_what_a_dense_solve_gives(elements: tuple[Element, ...], gone: int) -> None:
    # Ties that are nearly nothing let the dense solve have every node in every case.
    ties = [Resistor(f"tie{node}", "a", node, 1e5) for node in "bcdefgh"]
    circuit = Circuit((*elements, *ties), "a")
    id = elements[gone % len(elements)].id
    found = Opened(circuit, solved(circuit)).without(id)
    amps = dense([one for one in circuit.elements if one.id != id], list("abcdefgh"))
    scale = max(map(abs, amps.values()))
    for element, current in amps.items():
        now = solved(circuit).currents[element] if found is None else found.amps(element)
        assert now == pytest.approx(current, abs=2 * NOTHING_A if found is None else 1e-8 + SHARE * scale)


# ------------------------------------------------------------------------------------- one by one

def test_a_diode_that_blocked_conducts() -> None:
    """Its slope was a millionth of a millionth: that it moves by volts must be seen all the same."""
    circuit = Circuit((BATTERY, Resistor("feed", "plus", "fed", 0.1), Resistor("load", "fed", "minus", 4.0),
                       Resistor("other", "plus", "spare", 0.2), Diode("diode", "spare", "fed")), "minus")
    assert abs(solved(circuit).currents["diode"]) < 0.2
    found = case(circuit, "feed")
    assert not found.from_nothing
    full = solved(without(circuit, "feed"))
    assert full.currents["diode"] > 2
    assert found.amps("diode") == pytest.approx(full.currents["diode"], rel=1e-8)


@pytest.mark.parametrize("reverse_v", [0.5, 5.0, 12.0])
def test_a_diode_far_in_its_reverse_conducts(reverse_v: float) -> None:
    circuit = Circuit((BATTERY, Battery("low", "spare", "minus", 12.6 - reverse_v, 0.1), Resistor("feed", "plus", "fed", 0.001),
                       Resistor("load", "fed", "minus", 1000.0), Diode("diode", "spare", "fed")), "minus")
    found, full = case(circuit, "feed"), solved(without(circuit, "feed"))
    assert solved(circuit).currents["diode"] < 0
    assert found.amps("diode") == pytest.approx(full.currents["diode"], abs=1e-9, rel=1e-8)
    assert found.amps("diode") > 0


def test_a_lamp_goes_out_in_a_few_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    import harnessdoc.electric.without as module

    monkeypatch.setattr(module, "MOST_STEPS", 8)      # along its slope it would take 28
    circuit = Circuit((BATTERY, Resistor("fuse", "plus", "fed", 0.01), Lamp("lamp", "fed", "minus", 21.0, 12.0), Resistor("leak", "fed", "minus", 1e6)), "minus")
    found = case(circuit, "fuse")
    assert not found.from_nothing
    assert found.amps("lamp") == pytest.approx(0.0, abs=1e-9)


def test_current_comes_back_through_the_lamp_of_another_circuit() -> None:
    """Two lamps on one ground: without it the one that burns feeds the other, which is switched off, and what hangs on that."""
    circuit = Circuit((BATTERY, Lamp("on", "plus", "stud", 21.0, 12.0), Lamp("off", "off feed", "stud", 5.0, 12.0),
                       Resistor("heater", "off feed", "minus", 6.0), Resistor("ground", "stud", "minus", 0.005)), "minus")
    found = case(circuit, "ground")
    assert found.amps("heater") == pytest.approx(solved(without(circuit, "ground")).currents["heater"], rel=1e-8)
    # By hand: at 0.37 A the lamps have 0.71 V and 9.66 V by I ~ V^0.55, the heater 2.22 V; 12.6 V together.
    assert found.amps("heater") == pytest.approx(0.37, abs=0.002) and found.amps("off") == pytest.approx(-found.amps("heater"), abs=1e-9)
    assert found.amps("ground") == 0.0


def test_what_nothing_ties_any_more_floats() -> None:
    circuit = Circuit((BATTERY, Resistor("ground", "stud", "minus", 0.005), Battery("other", "far", "stud", 6.0, 0.1), Resistor("load", "far", "stud", 6.0),
                       Resistor("tie", "plus", "far", 10.0)), "minus")
    tied = case(circuit, "ground")
    assert tied.volts("far") == pytest.approx(12.6, abs=1e-6)
    alone = replace(circuit, elements=(*circuit.elements[:-1], Resistor("tie", "plus", "minus", 10.0)))
    assert Opened(alone, solved(alone)).without("ground") is None     # it carries nothing
    load = Circuit((BATTERY, Resistor("fuse", "plus", "fed", 0.01), Resistor("load", "fed", "end", 4.0), Resistor("ground", "end", "minus", 0.01)), "minus")
    assert case(load, "fuse").volts("fed") == pytest.approx(0.0, abs=1e-9)
    assert case(load, "ground").volts("end") == pytest.approx(12.6, abs=1e-6)
    assert case(load, "fuse").volts("no such node") is None


def test_an_element_that_carries_nothing_changes_nothing() -> None:
    circuit = Circuit((BATTERY, Resistor("fuse", "plus", "fed", 0.01), Resistor("load", "plus", "minus", 4.0)), "minus")
    opened = Opened(circuit, solved(circuit))
    assert opened.without("fuse") is None and opened.without("no such element") is None
    assert isinstance(opened.without("load"), Case)


# ------------------------------------------------------------------------------------- relays

def relay(id: str, start: str, *contacts: Contact, end: str = "minus") -> Relay:
    return Relay(id, start, end, 85.0, 6.9, 1.2, contacts)


def test_a_relay_drops_out_and_its_other_contact_closes() -> None:
    circuit = Circuit((BATTERY, Resistor("fuse", "plus", "86", 0.01), Resistor("fan", "87a", "minus", 2.0), Resistor("pump", "87", "minus", 4.0)), "minus",
                      (relay("K1", "86", Contact("plus", "87", "", 0.0015), Contact("plus", "", "87a", 0.0015)),))
    found, full = case(circuit, "fuse"), solved(without(circuit, "fuse"))
    assert not found.from_nothing and found.relay_states == {"K1": False}
    for id in ("fan", "pump", "K1", "K1 contact 0", "K1 contact 1"):
        assert found.amps(id) == pytest.approx(full.currents[id] if id in full.currents else 0.0, abs=1e-8), id
    assert found.amps("K1 contact 1") > 6


def test_one_relay_after_another_falls() -> None:
    relays = (relay("K3", "c", Contact("plus", "load", "", 0.0015)), relay("K2", "b", Contact("plus", "c", "", 0.0015)), relay("K1", "a", Contact("plus", "b", "", 0.0015)))
    circuit = Circuit((BATTERY, Resistor("fuse", "plus", "a", 0.01), Resistor("heater", "load", "minus", 2.0)), "minus", relays)
    assert set(solved(circuit).relay_states.values()) == {True}
    found = case(circuit, "fuse")
    assert set(found.relay_states.values()) == {False}
    assert found.amps("heater") == pytest.approx(0.0, abs=1e-9)


def test_what_a_relay_lets_go_at_both_ends_floats() -> None:
    circuit = Circuit((BATTERY, Resistor("fuse", "plus", "86", 0.01), Resistor("load", "fed", "back", 4.0)), "minus",
                      (relay("K1", "86", Contact("plus", "fed", "", 0.0015), Contact("minus", "back", "", 0.0015)),))
    found = case(circuit, "fuse")
    assert not found.from_nothing and found.relay_states == {"K1": False}
    assert found.volts("fed") is None and found.volts("back") is None and found.volts("86") == pytest.approx(0.0, abs=1e-6)
    assert found.amps("load") == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("lamp_w, holds", [(0.8, True), (0.05, False)])
def test_a_relay_holds_by_what_comes_through_a_lamp(lamp_w: float, holds: bool) -> None:
    """Its feed is opened; the lamp between the feed and another source leaves its coil less than pull-in, and more than release or less."""
    circuit = Circuit((BATTERY, Resistor("fuse", "plus", "86", 0.01), Lamp("lamp", "plus", "86", lamp_w, 12.0), Resistor("load", "87", "minus", 4.0)), "minus",
                      (relay("K1", "86", Contact("plus", "87", "", 0.0015)),))
    found = case(circuit, "fuse")
    assert found.relay_states == {"K1": holds}
    volts = found.volts("86")
    assert volts is not None and (1.2 < volts < 6.9 if holds else volts < 1.2)


def test_a_relay_that_chatters_without_it_has_no_case() -> None:
    """With the fuse opened the coil is fed through its own closed contact: a buzzer."""
    circuit = Circuit((BATTERY, Resistor("fuse", "plus", "86", 0.01)), "minus", (relay("K1", "86", Contact("plus", "", "86", 0.0015)),))
    found = Opened(circuit, solved(circuit)).without("fuse")
    assert isinstance(found, Unsolved) and found.faults[0].code == "relay-chatters"


def test_where_the_faster_relay_decides_there_is_no_case() -> None:
    """Two relays, each fed through the closed contact of the other, and both held in by what is opened."""
    circuit = Circuit((BATTERY, Resistor("fuse", "plus", "both", 0.01), Diode("d1", "both", "a"), Diode("d2", "both", "b")), "minus",
                      (relay("K1", "a", Contact("plus", "", "b", 0.0015)), relay("K2", "b", Contact("plus", "", "a", 0.0015))))
    before = solved(circuit)
    assert before.relay_states == {"K1": True, "K2": True}
    assert compare(circuit, before, Opened(circuit, before), "fuse") == "relay-race"
