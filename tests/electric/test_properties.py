"""What holds of every circuit: solved or refused, and what opening, swapping, renaming does."""

from __future__ import annotations

import importlib
from dataclasses import replace

import pytest
from electric.random_circuits import any_circuit, random_states
from hypothesis import given, settings
from hypothesis import strategies as st

from harnessdoc.electric import Battery, Circuit, Element, Fuse, Lamp, Resistor, Solution, check, settle, solve

BOLD_STEPS = importlib.import_module("harnessdoc.electric.solve").BOLD_STEPS   # the package offers the function of this name

#: A network with one source: loads between random points, grounds that come together at battery minus.
PASSIVE = st.integers(1, 12).flatmap(lambda n: st.tuples(*(st.one_of(
    st.builds(Resistor, st.just(f"load{number}"), st.sampled_from(["fed", "far", "x"]), st.sampled_from(["left", "right", "x"]), st.floats(1, 500)),
    st.builds(Lamp, st.just(f"load{number}"), st.sampled_from(["fed", "far"]), st.sampled_from(["left", "right"]), st.floats(1, 60), st.just(12.0)),
) for number in range(n))))
FEED = (Battery("battery", "plus", "minus", 12.6, 0.02), Fuse("fuse", "plus", "fed", 0.0077, 10.0, 0.109), Resistor("long", "fed", "far", 0.3))
GROUNDS = (Resistor("left ground", "left", "minus", 0.01), Resistor("right ground", "right", "minus", 0.02))


def solved(*elements: Element) -> Solution:
    solution = solve(Circuit(elements, "minus"), {})
    assert isinstance(solution, Solution)
    return solution


def test_every_circuit_of_sound_values_is_solved_and_passes_the_checker():
    steps = set()
    for seed in range(1500):
        circuit = any_circuit(seed)
        solution = solve(circuit, {})
        assert isinstance(solution, Solution), (seed, solution)
        assert check(circuit, solution) == (), seed
        steps.add(solution.iterations)
    assert any(number > BOLD_STEPS for number in steps)   # careful steps were needed too


@settings(max_examples=100, deadline=None)
@given(loads=PASSIVE)
def test_opening_a_ground_never_raises_what_the_battery_gives(loads):
    whole, opened = solved(*FEED, *loads, *GROUNDS), solved(*FEED, *loads, GROUNDS[1])
    assert opened.currents["fuse"] <= whole.currents["fuse"] + 1e-9


@settings(max_examples=100, deadline=None)
@given(feed=st.sampled_from(["fed", "far"]), loads=st.lists(st.floats(1, 200), min_size=1, max_size=6), lamp=st.floats(1, 60))
def test_opening_a_ground_never_raises_a_current_of_a_load_on_it(feed, loads, lamp):
    parts = [Lamp("lamp", "fed", "left", lamp, 12.0), *(
        Resistor(f"load{number}", feed if number % 2 else "fed", "left", ohm) for number, ohm in enumerate(loads))]
    whole, opened = solved(*FEED, *parts, *GROUNDS), solved(*FEED, *parts, GROUNDS[1])
    tied = solved(*FEED, *parts, Resistor("strap", "left", "right", 0.05), *GROUNDS)
    untied = solved(*FEED, *parts, Resistor("strap", "left", "right", 0.05), GROUNDS[1])
    for part in parts:
        assert opened.currents.get(part.id, 0.0) <= whole.currents[part.id] + 1e-9
        assert untied.currents[part.id] <= tied.currents[part.id] + 1e-9


@settings(max_examples=100, deadline=None)
@given(loads=PASSIVE, data=st.data())
def test_swapping_two_loads_swaps_their_readings(loads, data):
    first, second = data.draw(st.integers(0, len(loads) - 1)), data.draw(st.integers(0, len(loads) - 1))
    renamed = list(loads)
    renamed[first] = replace(loads[second], id=loads[first].id)
    renamed[second] = replace(loads[first], id=loads[second].id)
    before, after = solved(*FEED, *loads, *GROUNDS), solved(*FEED, *renamed, *GROUNDS)
    a, b = loads[first].id, loads[second].id
    assert after.currents.get(a) == pytest.approx(before.currents.get(b), abs=1e-9)   # None: it floats
    assert after.currents.get(b) == pytest.approx(before.currents.get(a), abs=1e-9)
    assert after.voltages == pytest.approx(before.voltages, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000), order=st.randoms(use_true_random=False))
def test_renaming_and_reordering_change_nothing(seed, order):
    circuit = random_states(seed, 60)[0]
    before = settle(circuit, {})
    elements = [replace(element, id=f"new {element.id}", a=f"~{element.a}", b=f"~{element.b}") for element in circuit.elements]
    order.shuffle(elements)
    relays = tuple(replace(relay, start=f"~{relay.start}", end=f"~{relay.end}",
                           contacts=tuple(replace(contact, common=f"~{contact.common}", open=f"~{contact.open}", closed=f"~{contact.closed}")
                                          for contact in relay.contacts),
                           suppression=relay.suppression and replace(relay.suppression, a=f"~{relay.suppression.a}", b=f"~{relay.suppression.b}"))
                   for relay in circuit.relays)
    after = settle(Circuit(tuple(elements), f"~{circuit.reference}", relays), {})
    assert after.relay_states == before.relay_states
    assert {node[1:]: volts for node, volts in after.voltages.items()} == pytest.approx(before.voltages, abs=1e-9)
