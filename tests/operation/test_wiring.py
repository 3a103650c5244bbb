"""The harness as a circuit: every kind of load, part and ground, with numbers by hand; what is left out is told."""

from __future__ import annotations

import math

import pytest
from examples.raw import whole
from operation.operated import BATTERY, BENCH, KEY, LINNET, described, operated, told, wires

from harnessdoc import steps
from harnessdoc.electric import Battery, Diode, Fuse, Lamp, Resistor, Supply
from harnessdoc.operation.operate import Operation

LOAD = "D1: {{terminals: [1, 2], between: [D1.1, D1.2], {}}}"


def element(operation: Operation, id: str, state: str = "off, stopped"):
    return {one.id: one for one in operation.solved[state].circuit.elements}[id]


def relay(operation: Operation, id: str):
    return {one.id: one for one in operation.wiring.relays}[id]


# ------------------------------------------------------------------------------- loads

@pytest.mark.parametrize("written, expected, used", [
    ("lamp: 21 W at 13.5 V", Lamp("load D1", "D1.1", "D1.2", 21.0, 13.5), ""),
    ("lamp: 2 A at 12 V", Lamp("load D1", "D1.1", "D1.2", 24.0, 12.0), ""),
    ("motor: 8 A at 12 V", Resistor("load D1", "D1.1", "D1.2", 1.5), "running"),
    ("motor: {running: 8 A at 12 V, stalled: 0.3 ohm}", Resistor("load D1", "D1.1", "D1.2", 1.5), "running"),
    ("heater: 120 W at 12 V", Resistor("load D1", "D1.1", "D1.2", 1.2), ""),
    ("sender: 10 ohm to 180 ohm", Resistor("load D1", "D1.1", "D1.2", 10.0), "first of its range"),
    ("sender: 40 ohm", Resistor("load D1", "D1.1", "D1.2", 40.0), ""),
    ("solenoid: 14 ohm", Resistor("load D1", "D1.1", "D1.2", 14.0), ""),
    ("coil: 3.4 ohm", Resistor("load D1", "D1.1", "D1.2", 3.4), ""),
    ("load: 5 A at 10 V", Resistor("load D1", "D1.1", "D1.2", 2.0), ""),
])
def test_a_load_of_each_kind(written, expected, used):
    operation = operated(described(BATTERY, LOAD.format(written)))
    assert element(operation, "load D1") == expected
    [point] = operation.wiring.loads
    assert (point.id, point.element, point.kind, point.a, point.b, point.used) == ("D1", "load D1", written.split(":")[0], "D1.1", "D1.2", used)


@pytest.mark.parametrize("written", ["load: unknown", "motor: {stalled: 0.3 ohm}"])
def test_a_load_of_which_nothing_is_known_is_told(written):
    operation = operated(described(BATTERY, LOAD.format(written)))
    assert told(operation.wiring.left_out) == {"load D1": "what it takes is not known"}
    assert [(point.id, point.element) for point in operation.wiring.loads] == [("D1", "")]


def test_a_starter_closes_its_own_contact():
    starter = ("M1: {terminals: [30, 50, case], loads: {solenoid: {between: [M1.50, M1.case], solenoid: {winding: 0.5 ohm, pull-in: 7 V, release: 3 V}}, "
               "armature: {between: [M1.30, M1.case], motor: 100 A at 10 V, closed-by: solenoid}}}")
    text = described(BATTERY, "S1: {terminals: [1, 2], closes: {pressed: [[S1.1, S1.2]]}}", starter,
                     wires=wires("G1.+ M1.30", "M1.case G1.-", "G1.+ S1.1", "S1.2 M1.50", size="25 mm2"))
    operation = operated(text)
    solenoid = relay(operation, "load M1 solenoid")
    assert (solenoid.start, solenoid.end, solenoid.ohm, solenoid.pull_in_v, solenoid.release_v) == ("M1.50", "M1.case", 0.5, 7.0, 3.0)
    rest, held = operation.solved["off, stopped"].solution, operation.solved["off, stopped, S1 pressed"].solution
    assert (rest.currents["battery G1"], rest.relay_states["load M1 solenoid"], held.relay_states["load M1 solenoid"]) == (0.0, False, True)
    # 12.6 V behind 10 mohm; wires of 25 mm2 and 100 mm 0.08 mohm and eyelets 0.4 mohm; contact disc 0.3 mohm; 0.1 ohm beside about 0.5 ohm.
    assert -held.currents["battery G1"] == pytest.approx(12.6 / (0.010 + 1 / (1 / 0.1013 + 1 / 0.511)), rel=0.01)
    typical = described(BATTERY, starter.replace("{winding: 0.5 ohm, pull-in: 7 V, release: 3 V}", "0.5 ohm"))
    assert told(operated(typical).wiring.typical) == {"load M1 solenoid": "pull-in 8 V (from memory), release 3 V (from memory)"}


# ------------------------------------------------------------------------------- draws

def draws(cavities: str, *devices: str) -> Operation:
    return operated(described(BENCH, "U1: {terminals: [1, 2, 3]}", *devices, cavities=cavities))


def test_what_a_pin_draws_goes_to_the_ground_of_its_device():
    operation = draws("U1.1: {signal: feed-run, draws: 0.5 A}\nU1.2: {signal: ground-power}")
    assert element(operation, "load U1.1") == Resistor("load U1.1", "U1.1", "U1.2", 24.0)
    [point] = operation.wiring.loads
    assert (point.id, point.kind, point.a, point.b, point.rated) == ("U1.1", "draws", "U1.1", "", "0.5 A")


def test_a_5_v_feed_draws_at_5_v():
    assert element(draws("U1.1: {signal: feed-5v, draws: 0.01 A}\nU1.2: {signal: ground-sensor}"), "load U1.1").ohm == 500.0


def test_a_pin_with_a_load_of_its_own_draws_no_second_time_but_a_feed_does():
    def loads(signal: str) -> list[str]:
        operation = operated(described(BENCH, "U1: {terminals: [1, 2], between: [U1.1, U1.2], load: 6 ohm}",
                                       cavities=f"U1.1: {{signal: {signal}, draws: 2 A}}\nU1.2: {{signal: ground-power}}"))
        return [point.element for point in operation.wiring.loads]

    assert loads("motor") == ["load U1"]
    assert loads("feed-switched") == ["load U1", "load U1.1"]


def test_an_output_draws_nothing_and_a_draw_without_a_ground_is_told():
    assert draws("U1.1: {signal: output-low, draws: 1 A}\nU1.2: {signal: ground-power}").wiring.loads == ()
    operation = draws("U1.1: {signal: feed-run, draws: 0.5 A}")
    assert told(operation.wiring.left_out) == {"load U1.1": "draws 0.5 A, but no pin of U1 says ground"}


# ------------------------------------------------------------------------------ relays

@pytest.mark.parametrize("contacts, at_rest, pulled", [
    ("make", [], [("K1.30", "K1.87")]),
    ("changeover", [("K1.30", "K1.87a")], [("K1.30", "K1.87")]),
    ("two 87", [], [("K1.30", "K1.87"), ("K1.30", "K1.87b")]),
    ("break", [("K1.30", "K1.87a")], []),
])
def test_contacts_of_a_relay_at_rest_and_pulled_in(contacts, at_rest, pulled):
    text = described(BATTERY, "S1: {terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}", relays=f"K1: {{contacts: {contacts}}}",
                     wires=wires("G1.+ S1.1", "S1.2 K1.86", "K1.85 G1.-"))
    operation = operated(text)

    def closed(state: str) -> list[tuple[str, str]]:
        solved = operation.solved[state]
        return [(one.a, one.b) for one in solved.circuit.elements_in(solved.solution.relay_states) if "contact" in one.id]

    assert (closed("off, stopped"), closed("off, stopped, S1 on")) == (at_rest, pulled)


def test_a_relay_as_stated_and_what_is_taken_of_a_part():
    k1 = "K1: {coil: 75 ohm, pull-in: 7 V, release: 2 V, suppression: diode}"
    operation = operated(described(BATTERY, relays=f"{k1}\nK2: {{suppression: none, part: micro relay 35 A}}\nK3: {{suppression: resistor, coil: 85 ohm}}"))
    one, two, three = (relay(operation, f"relay {name}") for name in ("K1", "K2", "K3"))
    assert (one.start, one.end, one.ohm, one.pull_in_v, one.release_v, one.suppression) == ("K1.86", "K1.85", 75.0, 7.0, 2.0, Diode("relay K1 diode", "K1.85", "K1.86"))
    assert (two.ohm, two.pull_in_v, two.release_v, two.suppression, two.contacts[0].ohm) == (90.0, 8.4, 1.2, None, 0.0015)
    assert three.suppression == Resistor("relay K3 resistor", "K3.86", "K3.85", 680.0)
    typical = told(operation.wiring.typical)
    assert "K1" not in typical
    assert typical["K2"].startswith("coil 90 ohm, pull-in 8.4 V, release 1.2 V (of a micro relay 35 A: ")
    assert typical["K3"].startswith("pull-in 6.9 V, release 1.2 V (of a mini relay 40 A: ")


def test_a_suppression_diode_the_wrong_way_round_shorts_the_feed():
    text = described(BATTERY, relays="K1: {suppression: diode}\nK2: {suppression: diode}",
                     wires=wires("G1.+ K1.86", "K1.85 G1.-", "G1.+ K2.85", "K2.86 G1.-"))
    currents = operated(text).solved["off, stopped"].solution.currents
    assert abs(currents["relay K1 diode"]) < 1e-6
    assert currents["relay K2 diode"] > 50


# ------------------------------------------------------------- fuses, links, other parts

def test_fuses_and_what_stands_for_an_unknown_one():
    operation = operated(described(BATTERY, fuses="F1: {rating: 10 A, type: blade}\nF2: {}\nF3: {rating: 10 A, resistance: 8 mohm, drop: 110 mV}"))
    assert element(operation, "fuse F1") == Fuse("fuse F1", "F1.1", "F1.2", 0.0077, 10.0, 0.109)
    assert element(operation, "fuse F2") == Resistor("fuse F2", "F2.1", "F2.2", 0.005)
    assert element(operation, "fuse F3") == Fuse("fuse F3", "F3.1", "F3.2", 0.008, 10.0, 0.110)
    assert told(operation.wiring.typical) == {"F1": "7.7 mohm cold, 109 mV at its rating (one maker's table of blade fuses)", "F2": "rating not known, 5 mohm taken"}


def test_fusible_links_resistors_diodes():
    operation = operated(described(BATTERY, fusible_links="FL1: {size: 3 mm2}\nFL2: {}", resistors="R1: {value: 47 ohm}\nR2: {}", diodes="D9: {}"))
    assert element(operation, "fusible link FL1").ohm == pytest.approx(0.150 * 6.15e-3)
    assert element(operation, "fusible link FL2").ohm == pytest.approx(0.150 * 17.241e-3 / 0.5)
    assert element(operation, "resistor R1") == Resistor("resistor R1", "R1.1", "R1.2", 47.0)
    assert element(operation, "diode D9") == Diode("diode D9", "D9.A", "D9.K")
    assert told(operation.wiring.left_out) == {"resistor R2": "its resistance is not known"}
    typical = told(operation.wiring.typical)
    assert typical["FL1"] == "length 150 mm (common practice: a fusible link of 5.5 to 6 in)"
    assert typical["FL2"].startswith("size not known, 0.5 mm² taken; length 150 mm")


# --------------------------------------------------------------------- grounds, switches

def test_grounds_meet_in_their_metal_and_that_of_the_battery_is_its_minus():
    operation = operated(described(BATTERY, "A9: {terminals: [case, thread]}", cavities="A9.case: {signal: ground-case, metal: engine}\nA9.thread: {signal: ground-case, metal: unknown}",
                                   grounds="GE: {metal: engine}\nGB: {metal: body}\nGT: {metal: battery}\nGU: {}"))
    studs = {one.id: (one.a, one.b, one.ohm) for one in operation.wiring.elements if one.id.endswith(" on metal")}
    assert studs == {"GE on metal": ("GE", "engine metal", 0.0002), "GB on metal": ("GB", "body metal", 0.0002), "GT on metal": ("GT", "G1.-", 0.0002),
                     "GU on metal": ("GU", "body metal", 0.0002), "A9.case on metal": ("A9.case", "engine metal", 0.0002)}
    assert told(operation.wiring.typical) == {"GU": "metal not known, body taken"}


def test_an_engine_without_a_strap_floats():
    text = described(BATTERY, LOAD.format("lamp: 5 W at 12 V"), grounds="GE: {metal: engine}\nGB: {metal: body}", wires=wires("D1.2 GE", "GB G1.-"))
    operation = operated(text)
    assert operation.read(operation.solved["off, stopped"], ["D1.1", "GE", "GB"]) == {"D1.1": None, "GE": None, "GB": 0.0}


def test_switches_close_what_their_position_says_once():
    text = described(BATTERY, KEY, "S1: {terminals: [1, 2, 3], closes: {a: [[S1.1, S1.2], [S1.1, S1.2]], b: [[S1.1, S1.3]]}, rest: b}")
    operation = operated(text)

    def closed(state: str) -> list[str]:
        return [one.id for one in operation.solved[state].circuit.elements if one.id.startswith("switch")]

    assert closed("off, stopped") == ["switch S1 S1.1 to S1.3"]
    assert closed("off, stopped, S1 a") == ["switch S1 S1.1 to S1.2"]
    assert closed("run, stopped") == ["switch Q1 Q1.30 to Q1.75", "switch Q1 Q1.30 to Q1.15", "switch S1 S1.1 to S1.3"]
    assert closed("start, cranking")[:2] == ["switch Q1 Q1.30 to Q1.15", "switch Q1 Q1.30 to Q1.50"]
    assert element(operation, "switch S1 S1.1 to S1.3").ohm == 0.01


# ---------------------------------------------------------------------------- supplies

ALTERNATOR = "A1: {terminals: [B, L, case], between: [A1.B, A1.case], alternator: {voltage: 14.4 V, limit: 60 A, charge-lamp: A1.L, field: 5 ohm}}"


def test_supplies_standing_cranking_and_running():
    operation = operated(described(BATTERY, BENCH, KEY, ALTERNATOR))

    def supplied(state: str) -> list:
        return [one for one in operation.solved[state].circuit.elements if isinstance(one, Battery | Supply) or one.id.endswith("field")]

    bench = Supply("test supply T1", "T1.+", "T1.-", 12.0, 0.001, 100.0)
    field = Resistor("alternator A1 field", "A1.L", "A1.case", 5.0)
    assert supplied("run, stopped") == supplied("start, cranking") == [Battery("battery G1", "G1.+", "G1.-", 12.6, 0.01), bench, field]
    assert supplied("run, running") == [
        Supply("battery G1", "G1.+", "G1.-", 12.6, 1 / (1 / 0.01 - 1 / 0.4), 1000.0), Battery("battery G1 charging", "G1.+", "G1.-", 12.6, 0.4), bench,
        Supply("alternator A1", "A1.B", "A1.case", 14.4, 0.001, 60.0), Supply("alternator A1 charge lamp", "A1.L", "A1.case", 14.4, 0.001, 5.0)]


def test_what_is_typical_of_supplies_is_told():
    text = described('G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}', "A1: {terminals: [B, L, case], between: [A1.B, A1.case], alternator: {charge-lamp: A1.L}}")
    typical = told(operated(text).wiring.typical)
    assert typical["G1"].startswith("emf 12.6 V (") and "resistance 0.01 ohm (" in typical["G1"]
    assert typical["A1"].startswith("voltage 14.2 V (") and "field 4 ohm (from memory)" in typical["A1"]


def test_typical_voltages_are_in_proportion_to_the_supply():
    text = "supply: 24 V\n" + described('G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}', relays="K1: {}")
    operation = operated(text)
    assert element(operation, "battery G1").emf_v == 25.2
    assert relay(operation, "relay K1").ohm == 315.0


# -------------------------------------------------------------------------------- wires

def test_wires_of_which_size_or_length_is_unknown_are_told():
    operation = operated(described(BATTERY, "D1: {terminals: [1, 2]}", wires="a: {from: G1.+, to: D1.1}\nb: {from: D1.1, to: D1.2, size: 2 mm2}\nc: {from: D1.2, to: G1.-, length: 2 m}"))
    assert told(operation.wiring.typical) == {"wire a": "size not known, 0.5 mm² taken; length not known, 1 m taken", "wire b": "length not known, 1 m taken",
                                              "wire c": "size not known, 0.5 mm² taken"}
    # 40 or 30 C in the cabin: at 30 C 264.5 / 254.5. Copper of 17.241 mohm mm2/m; two eyelets.
    warm = 264.5 / 254.5
    assert element(operation, "wire a").ohm == pytest.approx(0.017241 / 0.5 * warm + 0.0004)
    assert element(operation, "wire b").ohm == pytest.approx(0.00942 * warm + 0.0004)
    assert element(operation, "wire c").ohm == pytest.approx(2 * 0.017241 / 0.5 * warm + 0.0004)


def test_pulsed_circuits_are_left_out_and_their_loads_say_so():
    text = described(BATTERY, LOAD.format("solenoid: 14 ohm"), circuits="injection: {pulsed: true}",
                     wires=wires("G1.+ D1.1") + "\np: {from: D1.2, to: G1.-, size: 1 mm2, length: 100 mm, circuit: injection}")
    operation = operated(text)
    assert told(operation.wiring.left_out) == {"wire p": "circuit injection pulses"}
    assert [point.pulsed for point in operation.wiring.loads] == [True]
    assert operation.solved["off, stopped"].solution.currents["load D1"] == 0.0


def test_the_circuit_of_a_load_is_that_of_its_pin_else_of_its_first_wire():
    def circuit(cavities: str) -> str:
        text = described(BATTERY, LOAD.format("load: 2 ohm"), cavities=cavities, circuits="by wire: {system: heating}\nby pin: {system: heating}",
                         wires="a: {from: G1.-, to: D1.2, size: 1 mm2, length: 1 m, circuit: by wire}")
        return operated(text).wiring.loads[0].circuit

    assert circuit("D1.1: {circuit: by pin}") == "by pin"
    assert circuit("D1.1: {function: supply}") == "by wire"


def test_parts_and_loads_of_airbag_circuits_are_left_out():
    text = described(BATTERY, LOAD.format("load: 2 ohm"), fuses="F1: {rating: 5 A}", relays="K1: {}", cavities="D1.1: {signal: airbag}",
                     splices="S1: {title: in the line}", wires=wires("F1.2 S1", "S1 D1.1", "S1 K1.86"))
    operation = operated(text)
    assert told(operation.wiring.left_out) == {**{f"wire w{number}": "airbag circuit" for number in (1, 2, 3)}, "fuse F1": "airbag circuit",
                                               "relay K1": "airbag circuit", "load D1": "airbag circuit"}
    assert (operation.wiring.relays, [one.id for one in operation.wiring.elements]) == ((), [])


# ---------------------------------------------------- the Linnet's wires, from the raw file

RHO, ZERO = 0.017241, 234.5
"""IACS copper in ohm mm2/m; FAA AC 43.13-1B: R(T) = R20 (234.5 + T) / 254.5."""
END = {"terminal": 0.0025, "eyelet": 0.0002, "splice": 0.0005}


def end_ohm(raw: dict, address: str) -> float:
    owner = address.partition(".")[0]
    if owner in raw["splices"]:
        return END["splice"]
    bare = {*raw["grounds"], *raw["boxes"], *raw["devices"], *raw["diodes"]}
    bolted = owner in raw["fusible-links"] or raw["fuses"].get(owner, {}).get("type") == "midi"
    return END["eyelet" if owner in bare or bolted else "terminal"]


def warmest_c(raw: dict, ambient_c: dict, wire: dict) -> float:
    """Of a wire without a way: the hottest zone of the places it ends at; one of which no zone is said is as warm as what ends there."""
    found = []
    for address in (wire["from"], wire["to"]):
        owner = address.rpartition(".")[0] or address
        place = next((raw[section][owner].get("place") or raw["boxes"].get(raw[section][owner].get("box"), {}).get("place") for section in raw if isinstance(raw[section], dict)
                      and isinstance(raw[section].get(owner), dict) and {"place", "box"} & raw[section][owner].keys()), None)
        zone = raw["places"].get(place, {}).get("zone")
        found += [zone] if zone else [segment["zone"] for segment in raw["segments"].values() if place in (segment["from"], segment["to"])]
    return max((ambient_c[zone] for zone in found), default=ambient_c["cabin"])


@pytest.mark.outside("International Annealed Copper Standard; FAA AC 43.13-1B: resistance of copper by temperature")
def test_each_wire_of_the_linnet_has_the_ohms_of_its_copper():
    raw, linnet = whole("linnet"), steps.load(LINNET)
    ambient_c = {zone: float(text.removesuffix(" C")) for zone, text in raw["zones"].items()}
    found = {one.id: one.ohm for one in linnet.operation.wiring.elements if one.id.startswith("wire ")}
    for id, ohm in found.items():
        name = id.removeprefix("wire ")
        wire, length = raw["wires"][name], linnet.geometry.lengths[name]
        segments = [(ambient_c[raw["segments"][step.segment]["zone"]], step.length_mm) for step in length.route.steps] if length.route else []
        way_mm = math.fsum(mm for _, mm in segments)
        warm_c = math.fsum(c * mm for c, mm in segments) / way_mm if way_mm else warmest_c(raw, ambient_c, wire)
        area = float(wire["size"].removesuffix(" mm2"))
        ends = end_ohm(raw, wire["from"]) + end_ohm(raw, wire["to"])
        copper = RHO / area * length.finished_mm / 1000 * (ZERO + warm_c) / (ZERO + 20)
        # The most a bunched conductor may have lies up to 11 % above solid copper of its area, of 5 mm2 (a row in doubt) 15 %.
        assert 0.99 * copper <= ohm - ends <= (1.15 if area == 5 else 1.11) * copper, (name, ohm, copper, ends)
