"""How exact a case is, volts and amps; that it may be refactorised at any rank; and both against a dense Newton that shares nothing with the solver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import exp, sqrt

import numpy as np
import pytest
from electric.random_circuits import random_states
from hypothesis import given, settings
from hypothesis import strategies as st

import harnessdoc.electric.without as module
from harnessdoc.electric import Battery, Circuit, Contact, Diode, Element, Fuse, Lamp, PullUp, Relay, Resistor, Solution, Supply, Unsolved, settle
from harnessdoc.electric.solve import resistances
from harnessdoc.electric.without import NOTHING_A, Case, Opened

VOLTS, VOLTS_SHARE, AMPS = 1e-6, 1e-9, 1e-6
FIRM_OHM = 500.0
"""A node that hangs on more has no such volts: a nanoampere that the checker allows moves it by half a microvolt."""


def solved(circuit: Circuit) -> Solution:
    solution = settle(circuit, {})
    assert isinstance(solution, Solution)
    return solution


def without(circuit: Circuit, id: str) -> Circuit:
    return replace(circuit, elements=tuple(element for element in circuit.elements if element.id != id))


def compare(circuit: Circuit, before: Solution, found: Case | Unsolved | None, id: str) -> int:
    """How many nodes were compared with a full solve; relays, amps and volts must agree."""
    rest = without(circuit, id)
    full = settle(rest, before.relay_states)
    if isinstance(full, Unsolved) or isinstance(found, Unsolved):
        assert isinstance(full, Unsolved) and isinstance(found, Unsolved) and full.faults[0].code == found.faults[0].code
        return 0
    assert (before.relay_states if found is None else found.relay_states) == full.relay_states
    for element, amps in full.currents.items():
        own = before.currents[element] if found is None else found.amps(element)
        assert own == pytest.approx(amps, abs=AMPS + (NOTHING_A if found is None else 0.0)), element
    if found is None:
        return 0
    firm = [node for node, ohm in resistances(rest, full).items() if ohm < FIRM_OHM]
    for node in firm:
        assert found.volts(node) == pytest.approx(full.voltages[node], abs=VOLTS, rel=VOLTS_SHARE), node
    assert all(found.volts(node) is None for node in full.floating)
    return len(firm)


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 100_000), data=st.data())
def test_volts_amps_and_relays_are_those_of_a_full_solve(seed: int, data: st.DataObject) -> None:
    """Fuses and the cables of grounds are tried first: that is what the sweep opens."""
    circuit = data.draw(st.sampled_from(random_states(seed, 80)))
    before = solved(circuit)
    opened = Opened(circuit, before)
    swept = [element.id for element in circuit.elements if isinstance(element, Fuse) or element.id.startswith("CABLE")]
    for id in data.draw(st.lists(st.sampled_from(swept), min_size=1, max_size=5, unique=True)):
        compare(circuit, before, opened.without(id), id)


def test_many_nodes_are_compared() -> None:
    """The bound on what a node hangs on does not leave the check without nodes."""
    circuit = random_states(3, 80)[0]
    before = solved(circuit)
    opened = Opened(circuit, before)
    compared = [compare(circuit, before, opened.without(element.id), element.id) for element in circuit.elements if isinstance(element, Fuse)]
    assert max(compared) > 0.8 * len(before.voltages)


@pytest.mark.parametrize("most", [0, 1, 3])
def test_it_is_the_same_when_the_matrix_is_factorised_anew(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    made = 0

    class Counted(module._Matrix):
        def __init__(self, *given) -> None:
            nonlocal made
            made += 1
            super().__init__(*given)

    monkeypatch.setattr(module, "_Matrix", Counted)
    monkeypatch.setattr(module, "MOST_RANK", most)
    cases = updated = 0
    for seed in range(6):
        for circuit in random_states(seed, 60):
            before = solved(circuit)
            opened = Opened(circuit, before)
            for element in circuit.elements:
                if isinstance(element, Fuse) or element.id.startswith("CABLE"):
                    found = opened.without(element.id)
                    compare(circuit, before, found, element.id)
                    cases += 1
                    updated += isinstance(found, Case) and not found.from_nothing
    assert updated > 0.3 * cases and made > 18 + updated / 3


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 100_000), data=st.data())
def test_no_current_changes_by_more_than_the_element_carried(seed: int, data: st.DataObject) -> None:
    """On this stands that a case of nothing is a case of nothing. Relays are held where they are: what they switch is another circuit."""
    circuit = data.draw(st.sampled_from(random_states(seed, 60)))
    states = solved(circuit).relay_states
    held = Circuit(circuit.elements_in(states), circuit.reference)
    before = solved(held)
    id = data.draw(st.sampled_from([element.id for element in held.elements if element.id in before.currents]))
    after = settle(without(held, id), {})
    assert isinstance(after, Solution)
    for element, amps in after.currents.items():
        assert abs(amps - before.currents[element]) <= abs(before.currents[id]) + 1e-7, element


def test_less_than_a_microampere_is_a_case_of_nothing_and_more_is_not() -> None:
    def carrying(ohm: float) -> Case | Unsolved | None:
        circuit = Circuit((Battery("battery", "plus", "minus", 12.6, 0.02), Resistor("fuse", "plus", "fed", 0.01), Resistor("leak", "fed", "minus", ohm)), "minus")
        return Opened(circuit, solved(circuit)).without("fuse")

    assert carrying(12.6 / (NOTHING_A * 0.9)) is None
    assert isinstance(carrying(12.6 / (NOTHING_A * 1.1)), Case)


# ------------------------------------------------------------------------------------- against a dense Newton

VT = 1.380649e-23 * 300.15 / 1.602176634e-19
"""kT/q at 27 C; constants of the SI."""


def law(element: Element, v: float) -> tuple[float, float]:
    """Amps and slope of an element, written from the words of ``elements.py``; of a diode with its junction apart see ``dense``."""
    match element:
        case Resistor():
            return v / element.ohm, 1 / element.ohm
        case Battery():
            return (v - element.emf_v) / element.ohm, 1 / element.ohm
        case PullUp():
            return (v - element.volts) / element.ohm, 1 / element.ohm
        case Lamp():
            def amps(v: float) -> float:
                u, e = v / element.volts, element.hot_to_cold ** (-1 / 0.45)
                return element.watts / element.volts * u * (u * u + e * e) ** -0.225
        case Fuse():
            def amps(v: float) -> float:
                hot = element.drop_v / element.rating_a
                return v / (element.cold_ohm + (hot - element.cold_ohm) * 2 * v * v / (element.drop_v**2 + v * v))
        case Supply():
            def amps(v: float) -> float:
                x, limit = (element.volts - v) / element.ohm, element.limit_a
                w = 0.01 * limit
                y = (x - sqrt((x - limit) ** 2 + w * w) + sqrt(limit**2 + w * w)) / 2
                return -y if y >= 0 else -y / (1 - y / 1e-3)
    return amps(v), (amps(v + 1e-6) - amps(v - 1e-6)) / 2e-6


def dense(elements: tuple[Element, ...], reference: str) -> tuple[dict[str, float], dict[str, float]]:
    """Volts and amps by Newton's method on all nodes at once, each junction a node of its own, steps of junctions bounded as in any text on simulators."""
    nodes = list(dict.fromkeys(node for element in elements for node in (element.a, element.b)))
    branches: list[tuple[str, str, Element | None, Element]] = []        # None: the junction of a diode
    for element in elements:
        if isinstance(element, Diode):
            inner = f"inside {element.id}"
            nodes.append(inner)
            branches += [(element.a, inner, None, element), (inner, element.b, Resistor(element.id, inner, element.b, element.ohm), element)]
        else:
            branches.append((element.a, element.b, element, element))
    nodes.remove(reference)
    place = {node: number for number, node in enumerate(nodes)}
    v = dict.fromkeys((reference, *nodes), 0.0)       # in a Solution the reference stands first

    def at(a: str, b: str, element: Element | None, whole: Element) -> tuple[float, float]:
        if element is not None:
            return law(element, v[a] - v[b])
        assert isinstance(whole, Diode)
        scale = whole.n * VT
        junction = min(v[a] - v[b], 40 * scale)
        return whole.is_a * (exp(junction / scale) - 1) + 1e-12 * junction, whole.is_a / scale * exp(junction / scale) + 1e-12

    for _ in range(3000):
        left, slopes = np.zeros(len(nodes)), np.zeros((len(nodes), len(nodes)))
        for a, b, element, whole in branches:
            amps, slope = at(a, b, element, whole)
            for node, other, sign in ((a, b, 1), (b, a, -1)):
                if node in place:
                    left[place[node]] += sign * amps
                    slopes[place[node], place[node]] += slope
                    if other in place:
                        slopes[place[node], place[other]] -= slope
        step = np.linalg.solve(slopes, -left)
        # A junction may move by a tenth of a volt a step, all else by a volt.
        most = max((abs((step[place[a]] if a in place else 0.0) - (step[place[b]] if b in place else 0.0)) * 10 for a, b, element, _ in branches if element is None), default=0.0)
        share = 1 / max(1.0, most, np.abs(step).max())
        for node, number in place.items():
            v[node] += share * step[number]
        if share == 1 and np.abs(step).max() < 1e-12:
            break
    else:
        raise AssertionError("the reference does not come to rest")
    amps = {whole.id: at(a, b, element, whole)[0] for a, b, element, whole in branches if element is not None}
    return {node: volts for node, volts in v.items() if not node.startswith("inside ")}, amps


def rest(circuit: Circuit, states: Mapping[str, bool]) -> Solution:
    """Relays settled by the reference, from ``states``."""
    for _ in range(10):
        volts, amps = dense(circuit.elements_in(states), circuit.reference)
        across = {relay.id: abs(volts[relay.start] - volts[relay.end]) for relay in circuit.relays}
        wanted = {relay.id: across[relay.id] > relay.release_v if states[relay.id] else across[relay.id] >= relay.pull_in_v for relay in circuit.relays}
        if wanted == states:
            return Solution(volts, amps, (), states, 0)
        states = wanted
    raise AssertionError("the relays of the reference do not come to rest")


CHARGED = Circuit((
    Battery("battery", "plus", "minus", 12.6, 0.012), Supply("alternator", "B", "minus", 14.2, 0.015, 60.0), Resistor("lead", "B", "plus", 0.004),
    Fuse("F1", "plus", "f1", 0.0077, 10.0, 0.109), Fuse("F2", "plus", "f2", 0.0228, 4.0, 0.136),
    Resistor("w1", "f1", "s1", 0.05), Lamp("L1", "s1", "g1", 21.0, 12.0), Lamp("L2", "s2", "g1", 5.0, 12.0), Resistor("w2", "f2", "s2", 0.08),
    Diode("D1", "s2", "s3"), Resistor("M1", "s3", "g2", 6.0), Diode("D2", "s1", "s3"), Resistor("ground 1", "g1", "minus", 0.003), Resistor("ground 2", "g2", "minus", 0.003),
    PullUp("P1", "sense", "g2", 5.0, 4700.0), Resistor("R1", "sense", "g1", 1000.0), Resistor("tie", "s2", "g2", 1000.0)), "minus")
RELAYED = Circuit((
    Battery("battery", "plus", "minus", 12.6, 0.02), Fuse("F1", "plus", "86", 0.0228, 4.0, 0.136), Fuse("F2", "plus", "30", 0.0077, 10.0, 0.109),
    Lamp("L1", "87", "g1", 21.0, 12.0), Resistor("M1", "87a", "g1", 4.0), Resistor("ground", "g1", "minus", 0.003), Diode("D1", "87", "86b"), Resistor("w1", "86b", "minus", 120.0),
    Resistor("tie 1", "87", "minus", 5000.0), Resistor("tie 2", "87a", "minus", 5000.0)), "minus",
    (Relay("K1", "86", "g1", 85.0, 6.9, 1.2, (Contact("30", "87", "87a", 0.0015),)), Relay("K2", "86b", "minus", 90.0, 6.9, 1.2, ())))


@pytest.mark.parametrize(("circuit", "gone"), [*((CHARGED, id) for id in ("F1", "F2", "ground 1", "ground 2", "lead", "w1", "D1", "battery")),
                                              *((RELAYED, id) for id in ("F1", "F2", "ground", "L1", "D1", "w1"))])
def test_it_is_what_a_dense_newton_gives(circuit: Circuit, gone: str) -> None:
    """No solver of ours gives either side its numbers: the solution that is opened is the reference's too."""
    before = rest(circuit, {relay.id: False for relay in circuit.relays})
    found, full = Opened(circuit, before).without(gone), rest(without(circuit, gone), before.relay_states)
    assert isinstance(found, Case) and not found.from_nothing
    assert found.relay_states == full.relay_states
    for id, amps in full.currents.items():
        assert found.amps(id) == pytest.approx(amps, abs=1e-8, rel=1e-8), id
    for node, volts in full.voltages.items():
        assert found.volts(node) == pytest.approx(volts, abs=VOLTS, rel=VOLTS_SHARE), node


def test_the_nets_of_the_reference_do_something() -> None:
    """A relay is in, and falls without its fuse; a diode blocks, and conducts without the fuse beside it."""
    before = rest(RELAYED, {"K1": False, "K2": False})
    assert before.relay_states == {"K1": True, "K2": True}
    assert rest(without(RELAYED, "F1"), before.relay_states).relay_states == {"K1": False, "K2": False}
    volts = rest(CHARGED, {})
    assert rest(without(CHARGED, "F2"), {}).currents["D2"] > 2 * volts.currents["D2"] > 0
