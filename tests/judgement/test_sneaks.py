"""What is live, on or held in where it should not be: as it is, and with a ground or a fuse opened."""

from __future__ import annotations

from dataclasses import replace

import pytest
from operation.operated import KEY, described, operated, wires

import harnessdoc.judgement.sneaks as module
from harnessdoc.electric import Battery, Solution, Supply, check, settle
from harnessdoc.electric.without import Case
from harnessdoc.judgement.sneaks import Sneak, is_a_moment, opens, sweep
from harnessdoc.model.electric import Engine
from harnessdoc.operation.catalogue import FUSE, GROUND
from harnessdoc.operation.operate import Operation

BATTERY = 'G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}'
ALTERNATOR = "A1: {title: alternator, terminals: [B, L, case], between: [A1.B, A1.case], alternator: {voltage: 14 V, charge-lamp: A1.L}}"
FAN = "M1: {title: fan, terminals: [1, 2], between: [M1.1, M1.2], motor: 4 A at 12 V}"
FUSE_1 = "F1: {rating: 20 A}"
MINI = "coil: 85 ohm, contacts: changeover, type: mini, suppression: none"


def found(operation: Operation, opening: bool = False) -> tuple[Sneak, ...]:
    return sweep(operation, opening).found


def of_circuit(pairs: str, *numbers: int, circuit: str = "fan") -> str:
    """The wires of ``pairs``, of which some (from 1) are in a circuit."""
    lines = wires(*pairs.split(", ")).splitlines()
    return "\n".join(line.replace("length:", f"circuit: {circuit}, length:") if number in numbers else line for number, line in enumerate(lines, 1))


# ------------------------------------------------------------------------------------- as it is

DRIVE = ("off, stopped", "accessory, stopped", "run, stopped", "start, cranking", "run, running")
"""The states with all switches at rest but the two moments before the engine stops."""


def always_fed(hot: str) -> Operation:
    """A fan on the battery behind one fuse, of which is said when it may be live; a key switch, and a switch that feeds nothing."""
    other = "S9: {terminals: [1, 2], closes: {pressed: [[S9.1, S9.2]]}}"
    return operated(described(BATTERY, KEY, ALTERNATOR, FAN, other, circuits=f"fan: {{hot: [{hot}]}}", fuses=FUSE_1,
                              wires=of_circuit("G1.+ F1.1, F1.2 M1.1, M1.2 G1.-, A1.B G1.+, A1.case G1.-", 2)))


@pytest.mark.parametrize(("hot", "against"), [
    ("always", ()),
    ("accessory", ("off, stopped", "run, stopped", "start, cranking", "run, running")),
    ("run", ("off, stopped", "accessory, stopped", "start, cranking")),
    ("start", ("off, stopped", "accessory, stopped", "run, stopped", "run, running")),
    ("run, start", ("off, stopped", "accessory, stopped")),
    ("with engine", ("off, stopped", "accessory, stopped", "run, stopped")),
    ("commanded", ("off, stopped",)),
    ("accessory, commanded", ("off, stopped",)),
    ("", DRIVE),
])
def test_a_load_and_its_circuit_are_held_against_hot(hot: str, against: tuple[str, ...]) -> None:
    sneaks = {sneak.what: sneak for sneak in found(always_fed(hot))}
    assert set(sneaks) == ({"on", "live"} if against else set())
    for sneak in sneaks.values():
        assert {name for name in sneak.states if "S9" not in name} == set(against)
    if against:
        assert (sneaks["on"].thing, sneaks["live"].thing) == ("M1", "fan")
        assert sneaks["on"].limit == pytest.approx(0.4) and sneaks["on"].opened == ""


def test_what_is_commanded_may_be_live_while_somebody_holds_a_switch() -> None:
    assert not any("S9" in name for sneak in found(always_fed("commanded")) for name in sneak.states)
    assert all("off, stopped, S9 pressed" in sneak.states for sneak in found(always_fed("run")))


def test_of_a_circuit_that_says_nothing_nothing_is_told() -> None:
    text = described(BATTERY, KEY, FAN, fuses=FUSE_1, wires=of_circuit("G1.+ F1.1, F1.2 M1.1, M1.2 G1.-", 2), circuits="fan: {}")
    assert found(operated(text)) == ()


def test_the_worst_state_stands_first_with_its_value() -> None:
    operation = always_fed("accessory")
    on = next(sneak for sneak in found(operation) if sneak.what == "on")
    amps = {name: operation.solved[name].solution.currents["load M1"] for name in on.states}
    assert on.states[0] == max(amps, key=amps.get) == "run, running"        # the alternator holds more than the battery
    assert on.value == pytest.approx(amps["run, running"])


def glowing(through: str, title: str) -> Operation:
    """Something in series with a resistor on the battery, in a circuit that is to be dead at rest."""
    return operated(described(BATTERY, KEY, f"H1: {{terminals: [1, 2], between: [H1.1, H1.2], {title}}}", circuits="fan: {hot: [run]}", fuses=FUSE_1,
                              resistors=f"R1: {{value: {through}}}", wires=of_circuit("G1.+ F1.1, F1.2 R1.1, R1.2 H1.1, H1.2 G1.-", 3)))


@pytest.mark.parametrize(("load", "through", "tells"), [
    # 12.6 V over the 12 ohm of the load and the resistor: a tenth of the 1 A at 12 V is 12.6 V / 0.1 A - 12 ohm = 114 ohm
    ("load: 1 A at 12 V", "113.5 ohm", True), ("load: 1 A at 12 V", "114.5 ohm", False),
    # three tenths of 1 A: by I ~ V^0.55 the lamp has 0.3^(1/0.55) x 12 V = 1.34 V then, (12.6 V - 1.34 V) / 0.3 A = 37.5 ohm
    ("lamp: 12 W at 12 V", "37 ohm", True), ("lamp: 12 W at 12 V", "38 ohm", False),
])
def test_what_takes_too_little_to_be_seen_is_not_on(load: str, through: str, tells: bool) -> None:
    assert ("on" in [sneak.what for sneak in found(glowing(through, load))]) is tells


@pytest.mark.parametrize(("length", "tells"), [("14 m", True), ("20 m", False)])
def test_a_point_at_less_than_half_of_the_supply_is_not_live(length: str, tells: bool) -> None:
    """1 mm2 has some 18 mohm a metre: of 0.3 ohm behind it the volts are more than half of the supply at 14 m, less at 20 m."""
    lines = of_circuit("G1.+ F1.1, F1.2 SP1, SP1 M1.1, M1.2 G1.-", 3).replace("to: SP1, size: 1 mm2, length: 100 mm", f"to: SP1, size: 1 mm2, length: {length}")
    operation = operated(described(BATTERY, KEY, FAN.replace("4 A at 12 V", "40 A at 12 V"), circuits="fan: {hot: [run]}", fuses="F1: {rating: 60 A}", splices="SP1: {}", wires=lines))
    assert ("live" in [sneak.what for sneak in found(operation)]) is tells


# ------------------------------------------------------------------------------------- the moment before the engine stops

def charged(lamp: str = "load: 65 ohm", *more: str, relay: str = MINI, circuits: str = "", extra: str = "") -> Operation:
    """A charge lamp from the ignition node to the alternator; a relay on that node."""
    text = described(BATTERY, KEY, ALTERNATOR, f"H1: {{title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], {lamp}}}", *more, fuses="F1: {rating: 5 A}\nF2: {rating: 60 A}",
                     relays=f"K1: {{title: main relay, {relay}}}", splices="S1: {title: ignition node}",
                     wires=wires("G1.+ F1.1", "F1.2 Q1.30", "G1.+ F2.1", "F2.2 A1.B", "A1.case G1.-", "Q1.15 S1", "S1 K1.86", "K1.85 G1.-", "S1 H1.1", "H1.2 A1.L") + extra)
    return operated(text + (f"circuits:\n  {circuits}\n" if circuits else ""))


def test_the_charge_lamp_holds_the_relay_in() -> None:
    (sneak,) = found(charged())
    assert (sneak.what, sneak.thing, sneak.opened, sneak.sure) == ("held", "K1", "", True)
    assert set(sneak.states) == {"accessory, running", "off, running"}
    assert sneak.value == pytest.approx(14 * 85 / 150, rel=2e-3) and sneak.limit == 1.2
    assert sneak.path == ("alternator A1 charge lamp", "wire w10", "charge lamp", "wire w9", "wire w7", "coil of K1", "wire w8", "wire w5")


@pytest.mark.parametrize(("ohm", "told"), [
    # 14 V x 85 / (85 + ohm): lets go for sure at 1.2 V, 906 ohm; lets go as a rule at 3 V, 312 ohm
    ("305 ohm", True), ("320 ohm", False), ("895 ohm", False), ("920 ohm", None),
])
def test_between_what_is_guaranteed_and_what_is_usual_it_may_hold(ohm: str, told: bool | None) -> None:
    sneaks = found(charged(f"load: {ohm}"))
    assert [sneak.sure for sneak in sneaks] == ([] if told is None else [told])


def test_a_relay_that_is_in_with_the_engine_still_is_not_held_by_it() -> None:
    """Its coil is on the battery whatever the key does, and nothing is said of it."""
    text = described(BATTERY, KEY, ALTERNATOR, fuses=FUSE_1, relays=f"K1: {{{MINI}}}", wires=wires("G1.+ F1.1", "F1.2 K1.86", "K1.85 G1.-", "A1.B G1.+", "A1.case G1.-"))
    assert found(operated(text)) == ()


def test_of_a_relay_that_may_be_in_nothing_is_told() -> None:
    def with_hot(hot: str) -> tuple[Sneak, ...]:
        text = described(BATTERY, KEY, ALTERNATOR, "H1: {terminals: [1, 2], between: [H1.1, H1.2], load: 65 ohm}", fuses="F1: {rating: 5 A}", relays=f"K1: {{{MINI}}}", splices="S1: {}",
                         circuits=f"ignition: {{hot: [{hot}]}}",
                         wires=of_circuit("G1.+ F1.1, F1.2 Q1.30, G1.+ A1.B, A1.case G1.-, Q1.15 S1, S1 K1.86, K1.85 G1.-, S1 H1.1, H1.2 A1.L", 6, circuit="ignition"))
        return found(operated(text))
    assert with_hot("run, start, with engine") == ()
    assert [sneak.what for sneak in with_hot("run, start")] == ["held"]


def test_what_glows_until_the_engine_stops_is_nothing() -> None:
    """A lamp on the ignition node, which the charge lamp feeds with the key off: no relay is held, the engine stops, the lamp goes out."""
    lamp = "H2: {title: warning lamp, terminals: [1, 2], between: [H2.1, H2.2], load: 100 mA at 12 V}"
    operation = operated(described(BATTERY, KEY, ALTERNATOR, "H1: {terminals: [1, 2], between: [H1.1, H1.2], load: 65 ohm}", lamp, fuses="F1: {rating: 5 A}", splices="S1: {}",
                                   circuits="warning: {hot: [run, start]}",
                                   wires=of_circuit("G1.+ F1.1, F1.2 Q1.30, G1.+ A1.B, A1.case G1.-, Q1.15 S1, S1 H2.1, H2.2 G1.-, S1 H1.1, H1.2 A1.L", 6, circuit="warning")))
    assert operation.solved["off, running"].solution.currents["load H2"] > 0.05
    assert found(operation, True) == ()


def test_a_coil_that_is_fed_against_hot_is_held() -> None:
    """In every state but those of hot, the two moments too."""
    text = described(BATTERY, KEY, ALTERNATOR, fuses=FUSE_1, relays=f"K1: {{{MINI}}}", circuits="pump: {hot: [run, start]}",
                     wires=of_circuit("G1.+ F1.1, F1.2 K1.86, K1.85 G1.-, A1.B G1.+, A1.case G1.-", 2, circuit="pump"))
    held = next(sneak for sneak in found(operated(text)) if sneak.what == "held")
    assert set(held.states) == {"off, stopped", "accessory, stopped", "accessory, running", "off, running"}
    assert held.path[-4:] == ("wire w2", "coil of K1", "wire w3", "wire w5") and held.sure      # worst where the alternator feeds it


def test_which_states_are_a_moment() -> None:
    operation = always_fed("always")
    assert [name for name, solved in operation.solved.items() if is_a_moment(solved.case)] == ["accessory, running", "off, running"]


# ------------------------------------------------------------------------------------- with a ground opened

BRAKE = "S2: {terminals: [1, 2], closes: {pressed: [[S2.1, S2.2]]}}"
LAMPS = ("H1: {title: tail lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}", "H2: {title: stop lamp, terminals: [1, 2], between: [H2.1, H2.2], lamp: 21 W at 12 V}",
         "H3: {title: side lamp, terminals: [1, 2], between: [H3.1, H3.2], lamp: 5 W at 12 V}")


def rear(circuits: str = "", tail: str = "H1.1 H3.1", more: str = "") -> Operation:
    """Tail lamp and stop lamp on one ground, the tail lamp and a side lamp with another ground on one feed that is off."""
    pairs = f"G1.+ F1.1, F1.2 S2.1, S2.2 H2.1, {tail}, H3.2 GB3, H1.2 SP1, H2.2 SP1, SP1 GB2" + more
    return operated(described(BATTERY, KEY, BRAKE, *LAMPS, grounds="GB2: {metal: battery}\nGB3: {metal: battery}", fuses=FUSE_1, splices="SP1: {}", wires=of_circuit(pairs, 4, circuit="tail"),
                              circuits=circuits or "tail: {}"))


def test_with_their_ground_lost_one_lamp_lights_the_other() -> None:
    operation = rear()
    assert found(operation) == ()
    sneaks = found(operation, True)
    assert [(sneak.what, sneak.thing, operation.wiring.catalogue[sneak.opened].a) for sneak in sneaks] == [("on", "H1", "GB2"), ("on", "H3", "GB2")]
    assert all(set(sneak.states) == {"off, stopped, S2 pressed", "run, stopped, S2 pressed"} for sneak in sneaks)
    assert sneaks[0].path == ("battery G1", "wire w1", "fuse F1", "wire w2", "switch S2", "wire w3", "stop lamp", "wire w7", "wire w6", "tail lamp", "wire w4", "side lamp", "wire w5",
                              "GB3 on battery")
    assert sneaks[0].limit == pytest.approx(0.3 * 5 / 12)


def test_what_only_goes_out_or_goes_on_burning_is_no_finding() -> None:
    assert found(rear(more=", SP1 GB3"), True) == ()                        # a second way to ground
    assert found(rear(tail="H1.1 SP1"), True) == ()                         # nothing beyond that it could light: the stop lamp only goes out


def test_a_relay_pulled_in_through_a_lost_ground() -> None:
    """A coil from the stop lamp's side of the lost ground to another: nearly the whole supply is across it."""
    text = described(BATTERY, KEY, BRAKE, LAMPS[1], grounds="GB2: {metal: battery}\nGB3: {metal: battery}", fuses=FUSE_1, splices="SP1: {}", relays=f"K1: {{title: horn relay, {MINI}}}",
                     wires=wires("G1.+ F1.1", "F1.2 S2.1", "S2.2 H2.1", "H2.2 SP1", "SP1 GB2", "SP1 K1.86", "K1.85 GB3"))
    operation = operated(text)
    (sneak,) = found(operation, True)
    assert (sneak.what, sneak.thing, sneak.sure) == ("held", "K1", True)
    assert 11 < sneak.value < 12.6 and sneak.limit == pytest.approx(next(relay.pull_in_v for relay in operation.wiring.relays))
    assert "coil of K1" in sneak.path and sneak.path[0] == "battery G1" and sneak.path[-1] == "GB3 on battery"


# ------------------------------------------------------------------------------------- with a fuse opened

def inverted(hot: str | None = "start", contact: str = "87a") -> Operation:
    """A fan behind a contact of a relay whose coil is on a fuse of its own."""
    pairs = f"G1.+ F1.1, F1.2 K1.86, K1.85 G1.-, G1.+ F2.1, F2.2 K1.30, K1.{contact} M1.1, M1.2 G1.-"
    return operated(described(BATTERY, KEY, FAN, fuses="F1: {rating: 5 A}\nF2: {rating: 10 A}", relays=f"K1: {{{MINI}}}", wires=of_circuit(pairs, 6),
                              circuits="fan: {}" if hot is None else f"fan: {{hot: [{hot}]}}"))


def test_with_the_fuse_of_its_coil_out_the_load_at_rest_starts() -> None:
    sneaks = [sneak for sneak in found(inverted(), True) if sneak.opened]
    assert {(sneak.what, sneak.thing, sneak.opened) for sneak in sneaks} == {("on", "M1", "fuse F1"), ("live", "fan", "fuse F1")}
    on = sneaks[[sneak.what for sneak in sneaks].index("on")]
    assert on.path == ("battery G1", "wire w4", "fuse F2", "wire w5", "relay K1", "wire w6", "fan", "wire w7")
    assert "start, cranking" not in on.states and "off, stopped" in on.states


@pytest.mark.parametrize("operation", [inverted("always"), inverted(None), inverted(contact="87")])
def test_with_a_fuse_out_only_what_is_said_to_be_dead_is_told(operation: Operation) -> None:
    assert [sneak for sneak in found(operation, True) if sneak.opened] == []


def test_a_coil_that_is_pulled_in_with_a_fuse_out_is_told_only_against_hot() -> None:
    """K1 at rest feeds K2, and what holds K1 is on a fuse."""
    def with_hot(circuits: str) -> list[tuple[str, str]]:
        pairs = "G1.+ F1.1, F1.2 K1.86, K1.85 G1.-, G1.+ F2.1, F2.2 K1.30, K1.87a K2.86, K2.85 G1.-"
        operation = operated(described(BATTERY, KEY, fuses="F1: {rating: 5 A}\nF2: {rating: 10 A}", relays=f"K1: {{{MINI}}}\nK2: {{{MINI}}}", wires=of_circuit(pairs, 6), circuits=circuits))
        return sorted((sneak.what, sneak.thing) for sneak in found(operation, True))
    assert with_hot("fan: {}") == [] and with_hot("fan: {hot: [always]}") == []
    assert with_hot("fan: {hot: [start]}") == [("held", "K2"), ("live", "fan")]


# ------------------------------------------------------------------------------------- what is told

ALL = (rear, inverted, charged, lambda: always_fed("run"))


@pytest.mark.parametrize("make", ALL)
def test_every_sneak_shows_in_a_solution_of_its_own(make) -> None:
    operation = make()
    told = found(operation, True)
    assert told
    for sneak in told:
        state = operation.solved[sneak.states[0]]
        circuit = replace(state.circuit, elements=tuple(element for element in state.circuit.elements if element.id != sneak.opened))
        solution = settle(circuit, state.solution.relay_states)
        assert isinstance(solution, Solution) and check(circuit, solution) == ()
        load = next((load.element for load in operation.wiring.loads if load.id == sneak.thing), "")
        coil = next((relay for relay in operation.wiring.relays if relay.id == f"relay {sneak.thing}"), None)
        shown = {"on": lambda: abs(solution.currents[load]), "held": lambda: abs(solution.across(coil.start, coil.end)),
                 "live": lambda: max(volts for volts in solution.voltages.values() if abs(volts - sneak.value) < 1e-6)}[sneak.what]()
        assert sneak.value == pytest.approx(shown, rel=1e-6) and sneak.value >= sneak.limit


@pytest.mark.parametrize("make", ALL)
def test_the_path_is_a_chain_from_a_source_along_which_the_volts_fall(make) -> None:
    operation = make()
    for sneak in found(operation, True):
        state = operation.solved[sneak.states[0]]
        circuit = replace(state.circuit, elements=tuple(element for element in state.circuit.elements if element.id != sneak.opened))
        solution = settle(circuit, state.solution.relay_states)
        by_id = {element.id: element for element in circuit.elements_in(solution.relay_states)}
        chain = [by_id[element] for element in sneak.elements]
        assert isinstance(chain[0], Battery | Supply) and not any(isinstance(element, Battery | Supply) for element in chain[1:])
        node = chain[0].a
        for element in chain[1:]:
            assert node in (element.a, element.b)
            assert (solution.currents[element.id] > 0) is (element.a == node), element.id
            node = element.b if element.a == node else element.a
        if sneak.what != "live":
            assert node == chain[0].b
        assert sneak.path == tuple(dict.fromkeys(operation.wiring.catalogue[element].words for element in sneak.elements))
        assert sneak.opened not in sneak.elements


def test_what_a_solution_of_its_own_does_not_show_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    def wrong(self, element):
        """A case in which everything is on."""
        return Case(lambda node: 12.0, lambda element: 99.0, {}, False)

    operation = rear()
    honest = {(sneak.opened, sneak.thing) for sneak in found(operation, True)}
    monkeypatch.setattr("harnessdoc.electric.without.Opened.without", wrong)
    assert {(sneak.opened, sneak.thing) for sneak in found(Operation(operation.wiring, operation.solved), True)} <= honest


def test_a_case_that_is_not_solved_gives_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_solved_without", lambda state, element: None)
    assert found(rear(), True) == ()


def test_cases_are_states_times_what_is_opened_in_them() -> None:
    operation = rear()
    opened = sum(operation.wiring.catalogue[element.id].kind in (GROUND, FUSE) for element in operation.wiring.elements)
    lasting = [name for name, solved in operation.solved.items() if not is_a_moment(solved.case) and solved.case.engine is not Engine.CRANKING]
    assert opened == 3 and len(operation.solved) - len(lasting) == 3       # nobody loses a ground in the two moments, or while it is cranked
    assert sweep(operation, True).cases == opened * len(lasting)
    assert sweep(operation, False).cases == 0


def test_the_same_twice_and_in_the_order_of_the_description() -> None:
    first, again = (sweep(make(), True) for make in (rear, rear))
    assert first == again
    operation = always_fed("run")
    whats = [sneak.what for sneak in found(operation)]
    assert whats == ["live", "on"]
    order = {element.id: place for place, element in enumerate(rear().wiring.elements)}
    places = [order[sneak.opened] for sneak in first.found]
    assert places == sorted(places)


def test_beyond_a_limit_things_are_opened_only_where_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    operation = rear()
    many = len(operation.wiring.harness.wires)
    monkeypatch.setattr(module, "MOST_WIRES", many)
    assert opens(operation, None) and not opens(operation, False)
    monkeypatch.setattr(module, "MOST_WIRES", many - 1)
    assert not opens(operation, None) and opens(operation, True)


def test_the_limit_is_five_thousand_wires() -> None:
    assert module.MOST_WIRES == 5000
