"""The rules that read the solved circuit: what they say beyond the examples on their pages, and where they keep silent."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from harnessdoc.electric import Fault, Unsolved
from harnessdoc.electric import solve as solving
from harnessdoc.findings import Finding
from harnessdoc.judgement.bare import Islands, Piece, shortest
from harnessdoc.operation.catalogue import things_in_words
from harnessdoc.operation.words import in_states
from harnessdoc.rules.faults import state_not_solved
from harnessdoc.rules.subject import Subject
from harnessdoc.steps import load

CODES = ("battery-feeds-battery", "open-circuit", "shorted-reference", "shorted-source", "state-not-solved", "strap-missing", "supply-at-limit")
EXAMPLES = Path(__file__).parents[3] / "examples"
LINNET = (EXAMPLES / "linnet" / "linnet.yaml").read_text("utf-8")
BATTERY = 'devices:\n  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}\n'
KNOWN = "size: 2.5 mm2, colour: BK, type: TXL, length: 300 mm"


def found(text: str) -> list[Finding]:
    return [finding for finding in load("heron.yaml", {"heron.yaml": text}).findings if finding.code in CODES]


def said(text: str) -> list[str]:
    return [f"{finding.place.line}:{finding.place.column}: {finding.code}: {finding.message}" for finding in found(text)]


def wires(*ends: str) -> str:
    return "wires:\n" + "".join(f"  {number}: {{from: {end.split(' ')[0]}, to: {end.split(' ')[1]}, {KNOWN}}}\n" for number, end in enumerate(ends, 1))


def linnet_without(*ids: int) -> str:
    """The Linnet with wires taken out; the lines of the others stay where they are."""
    return re.sub(rf"^  ({'|'.join(map(str, ids))}): +\{{from: .*", "  # gone", LINNET, flags=re.M)


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*/*.yaml")), ids=lambda path: path.stem)
def test_the_examples_have_nothing_of_this(path):
    assert [finding for finding in load(path).findings if finding.code in CODES] == []


def test_without_a_supply_or_unsolved_nothing_is_said():
    text = BATTERY + wires("G1.+ G1.-")
    assert [finding.code for finding in load("h.yaml", {"h.yaml": text}).findings if finding.code in CODES] == ["shorted-source"]
    assert [finding for finding in load("h.yaml", {"h.yaml": text}, solve=False).findings if finding.code in CODES] == []


# -------------------------------------------------------------------------------- elements

@pytest.mark.parametrize("element, kind, words, thing, line", [
    ("wire 313", "wire", "wire 313", "wire 313", "  313: {from: E2.28"),
    ("fuse F7", "fuse", "fuse F7", "fuse F7", "  F7: {title: control unit"),
    ("fusible link FL1", "fusible link", "fusible link FL1", "fusible link FL1", "  FL1: {title: box supply"),
    ("relay K1", "coil", "coil of K1", "relay K1", "  K1: {title: main relay"),
    ("relay K1 contact 0", "contact", "relay K1", "relay K1", "  K1: {title: main relay"),
    ("relay K1 diode", "coil", "diode across the coil of K1", "relay K1", "  K1: {title: main relay"),
    ("switch S2 X25.1 to X25.2", "contact", "switch S2", "switch S2", "  S2: {title: brake pedal switch"),
    ("load M2", "load", "radiator fan", "device M2", "  M2: {title: radiator fan"),
    ("load U2 throttle motor", "load", "throttle body, throttle motor", "load throttle motor of device U2", "  U2: {title: throttle body"),
    ("load M1 solenoid contact 0", "inside", "contact of M1 solenoid", "contact of M1 solenoid", "      solenoid: {between"),
    ("load E1.26", "load", "engine control unit, main supply", "E1.26", "  E1.26: {function: main supply"),
    ("E1.13 on", "output", "output E1.13", "output E1.13", "  E1.13: {function: start relay"),
    ("E2.25 pull-up", "inside", "pull-up of E2.25", "pull-up of E2.25", "  E2.25: {function: road speed"),
    ("GE1 on metal", "ground", "GE1 on engine", "ground GE1", "  GE1: {title: rear of the cylinder head"),
    ("battery G1", "supply", "battery G1", "battery G1", "  G1: {title: battery"),
    ("battery G1 charging", "supply", "battery G1", "battery G1", "  G1: {title: battery"),
    ("alternator A1 charge lamp", "supply", "alternator A1 charge lamp", "alternator A1", "  A1: {title: alternator"),
    ("alternator A1 field", "supply", "alternator A1 field", "alternator A1", "  A1: {title: alternator"),
    ("5 V of U1", "inside", "5 V of U1", "the 5 V of device U1", "  U1: {title: engine control unit"),
    ("U1 works contact 0", "control unit", "2.5 V of U1", "device U1", "  U1: {title: engine control unit"),
    ("U1 works", "control unit", "U1 at work", "device U1", "  U1: {title: engine control unit"),
])
def test_an_element_leads_back_to_the_file(linnet, element, kind, words, thing, line):
    entry = linnet.operation.wiring.catalogue[element]
    assert (entry.kind, entry.words, entry.thing) == (kind, words, thing)
    assert " ".join(LINNET.split("\n")[entry.source.place().line - 1].split()).startswith(" ".join(line.split()))


@pytest.fixture(scope="module")
def linnet():
    return load(EXAMPLES / "linnet" / "linnet.yaml")


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*/*.yaml")), ids=lambda path: path.stem)
def test_every_element_is_in_the_catalogue_and_stands_in_the_file(path):
    loaded = load(path)
    for solved in loaded.operation.solved.values() if loaded.operation else ():
        for element in (*solved.circuit.elements_in(solved.solution.relay_states), *solved.circuit.relays):
            assert loaded.operation.wiring.catalogue[element.id].source is not loaded.harness.source, element.id


def test_addresses_stand_in_the_direction_of_the_element(linnet):
    """The nodes of an element and the addresses of its entry are given apart; a path prints one by the other."""
    wiring = linnet.operation.wiring
    for solved in linnet.operation.solved.values():
        for element in solved.circuit.elements_in(solved.solution.relay_states):
            entry = wiring.catalogue[element.id]
            for address, node in ((entry.a, element.a), (entry.b, element.b)):
                # A motor behind the contact of its solenoid begins inside its device.
                assert not address or wiring.nodes.of[address] == node or node.endswith("behind its contact"), element.id


def test_ids_with_spaces():
    text = BATTERY.replace("G1", "the big one") + "relays:\n  fan relay: {}\n"
    catalogue = load("h.yaml", {"h.yaml": text}).operation.wiring.catalogue
    assert catalogue["relay fan relay contact 0"].thing == "relay fan relay"
    assert catalogue["battery the big one charging"].thing == "battery the big one"


def test_words():
    catalogue = load("h.yaml", {"h.yaml": BATTERY + wires(*["G1.+ G1.-"] * 14)}).operation.wiring.catalogue
    assert things_in_words(catalogue, ["wire 1", "wire 2", "wire 2", "wire 3"]) == "wire 1, wire 2 and wire 3"
    assert things_in_words(catalogue, [f"wire {number}" for number in range(1, 15)], 4) == "wire 1, wire 2, 10 more, wire 13 and wire 14"
    assert (in_states(["off"]), in_states(["off", "run", "start"])) == ("in state 'off'", "in state 'off' and 2 more")


def test_islands_and_ways():
    pieces = [Piece("1", "a", "b"), Piece("2", "c", "b"), Piece("3", "c", "d", True), Piece("4", "x", "y")]
    islands = Islands(pieces)
    assert len({islands.of(node) for node in "abcd"}) == 1 and islands.of("x") != islands.of("a") and islands.of("q") == "q"
    assert shortest(pieces, "a", ("d",)) == ("1", "2", "3")
    assert shortest(pieces, "d", ("a",)) is None        # against the diode
    assert shortest(pieces, "a", ("a",)) == ()


# -------------------------------------------------------------------------- no solution

def test_two_relays_that_shut_each_other_out_race():
    text = BATTERY + ("relays:\n  K1: {contacts: changeover}\n  K2: {contacts: changeover}\nsplices:\n  SP1: {}\n"
                      + wires("G1.+ SP1", "SP1 K1.30", "SP1 K2.30", "K1.87a K2.86", "K2.87a K1.86", "K1.85 G1.-", "K2.85 G1.-"))
    assert said(text) == ["4:7: state-not-solved: no readings in state 'off, stopped' and 1 more: which of relay K1 and relay K2 stays in depends on which is faster"]


def test_two_relays_that_chatter_together():
    """K1 feeds K2, whose contact at rest feeds K1: neither alone takes its own voltage away."""
    text = BATTERY + ("relays:\n  K1: {contacts: make}\n  K2: {contacts: changeover}\nsplices:\n  SP1: {}\n"
                      + wires("G1.+ SP1", "SP1 K1.30", "SP1 K2.30", "K1.87 K2.86", "K2.87a K1.86", "K1.85 G1.-", "K2.85 G1.-"))
    (finding,) = found(text)
    assert "relay K1 and relay K2 chatter: by turns they pull in" in finding.message
    assert [related.words for related in finding.related] == ["relay K2 stands here"]


def test_a_control_unit_that_takes_its_own_supply_away_begins_to_work_over_and_over():
    text = BATTERY + ("  U1: {connectors: [X1]}\nrelays:\n  K1: {contacts: changeover, suppression: none}\nconnectors:\n  X1: {}\n"
                      "cavities:\n  X1.1: {signal: feed-relay}\n  X1.2: {signal: ground-power}\n  X1.3: {signal: reference-5v}\n"
                      "splices:\n  SP1: {}\n  SP2: {}\n  SP3: {}\n"
                      + wires("G1.+ SP1", "SP1 K1.30", "K1.87a SP3", "SP3 X1.1", "SP3 K1.86", "K1.85 SP2", "SP2 G1.-", "X1.2 SP2"))
    (finding,) = [finding for finding in found(text) if finding.code == "state-not-solved"]
    assert "relay K1 and device U1 chatter" in finding.message


@pytest.mark.parametrize("text, words", [
    (BATTERY + "relays:\n  K1: {pull-in: 1 V}\n",
     ["4:7: state-not-solved: no readings in state 'off, stopped' and 1 more: relay K1: pulls in at 1 V and releases at 1.2 V; release must lie above 0 and below pull-in"]),
    (BATTERY + "fuses:\n  F1: {rating: 10 A, type: blade, resistance: 7.7 mohm, drop: 900 mV}\n",
     ["4:7: state-not-solved: no readings in state 'off, stopped' and 1 more: fuse F1: 0.9 V at 10 A is 0.09 ohm, not between the cold 0.0077 ohm and four times it"]),
    (BATTERY + "  U1: {connectors: [X1]}\nconnectors:\n  X1: {}\ncavities:\n  X1.1: {pull-up: 2 kohm to 96 V}\n  X1.2: {signal: ground-power}\n",
     ["3:7: state-not-solved: no readings in state 'off, stopped' and 1 more: the 96 V of device U1: 96 V is not within 60 V"]),
    (BATTERY.replace("12.6 V", "96 V"), []),                    # refused already, where it stands
    ("supply: 96 V\n" + BATTERY.replace("emf: 12.6 V, ", ""), []),
])
def test_values_that_nothing_can_be_solved_with(text, words):
    assert said(text) == words


def test_no_convergence_names_the_devices_and_gives_no_number(monkeypatch):
    monkeypatch.setitem(solving.__globals__, "MOST_STEPS", 1)
    text = BATTERY + "  H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}\n" + wires("G1.+ H1.1", "H1.2 G1.-")
    loaded = load("h.yaml", {"h.yaml": text})
    (finding,) = [finding for finding in loaded.findings if finding.code in CODES]
    assert finding.message.startswith("no readings in state 'off, stopped' and 1 more: no solution after 1 steps; the largest errors stand at device H1 (")
    assert finding.place.line == 3
    for solved in loaded.operation.solved.values():
        assert loaded.operation.read(solved, ["H1.1"]) == {}


@pytest.mark.parametrize("code", ["off-balance", "off-law", "relay-state"])
def test_what_the_checker_refuses_is_told(code):
    loaded = load("h.yaml", {"h.yaml": BATTERY + wires("G1.+ G1.-")})
    name, solved = next(iter(loaded.operation.solved.items()))
    refused = Unsolved((Fault(code, "wire 1 carries 3 A; its law gives 2 A", ("wire 1",)),))
    operation = replace(loaded.operation, solved={name: replace(solved, result=refused, faults=refused.faults)})
    (finding,) = state_not_solved.check(Subject(loaded.harness, loaded.network, loaded.geometry, loaded.texts, lambda _: False, operation))
    assert (finding.message, finding.place.line) == (f"no readings in state '{name}': wire 1 carries 3 A; its law gives 2 A", 4)
    assert "refuses its own solution" in finding.do


# ------------------------------------------------------------------------------- shorts

def test_a_short_behind_a_switch_is_one_of_the_states_in_which_it_is_closed():
    text = BATTERY + "  S1: {terminals: [1, 2], closes: {pressed: [[S1.1, S1.2]]}}\n" + wires("G1.+ S1.1", "S1.2 G1.-")
    (words,) = said(text)
    assert words.startswith("2:40: shorted-source: battery G1 is short-circuited in state 'off, stopped, S1 pressed': "
                            "through wire 1, switch S1 and wire 2 nothing takes the current between G1.+ and G1.-; ")


def test_the_current_of_a_short_is_what_ohm_says():
    """12.6 V over 10 mohm inside, 0.3 m of 2.5 mm2 warm at 30 C, two eyelets of 0.2 mohm: the wire by hand."""
    copper_ohm = 17.241 / 1000 / 2.5 * 0.3 * (234.5 + 30) / 254.5
    amps = 12.6 / (0.010 + copper_ohm + 2 * 0.0002)
    (words,) = said(BATTERY + wires("G1.+ G1.-"))
    flow = float(re.search(r"; ([\d.]+) A flow", words)[1])
    assert flow == pytest.approx(amps, rel=0.07)        # the strands of a 2.5 mm2 wire are not all of its nominal area
    assert f"{words.split('; ')[1].split(',')[0]}, {flow:g} A of it in wire 1 (2.5 mm²)" in words


def test_a_diode_the_wrong_way_round_is_a_short_and_the_right_way_is_none():
    across = BATTERY + "diodes:\n  D1: {}\n"
    (words,) = said(across + wires("G1.+ D1.A", "D1.K G1.-"))
    assert "shorted-source" in words and "through wire 1, diode D1 and wire 2 nothing" in words
    assert said(across + wires("G1.+ D1.K", "D1.A G1.-")) == []


def test_a_relay_coil_with_a_diode_put_in_the_wrong_way_round():
    coil = BATTERY + "relays:\n  K1: {suppression: diode, coil: 85 ohm}\n"
    (words,) = said(coil + wires("G1.+ K1.85", "K1.86 G1.-"))
    assert "through wire 1, relay K1 and wire 2 nothing takes the current" in words
    assert said(coil + wires("G1.+ K1.86", "K1.85 G1.-")) == []


ROW = """devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12 V, resistance: 10 mohm}}
  G2: {terminals: ["+", "-"], between: [G2.+, G2.-], battery: {emf: 12 V, resistance: 10 mohm}}
"""


def test_a_row_of_batteries_is_told_once_and_as_a_whole():
    """24 V over 20 mohm, two wires of 3 m of 2.5 mm2 warm at 30 C, four eyelets of 0.2 mohm: by hand."""
    known = KNOWN.replace("300 mm", "3000 mm")
    text = ROW + f"wires:\n  1: {{from: G1.+, to: G2.-, {known}}}\n  2: {{from: G2.+, to: G1.-, {known}}}\n"
    copper_ohm = 17.241 / 1000 / 2.5 * 3.0 * (234.5 + 30) / 254.5
    (words,) = said(text)
    assert words.startswith("2:40: shorted-source: battery G1 and battery G2 in series are short-circuited in state 'off, stopped'")
    assert "through wire 2 nothing takes the current between G2.+ and G1.-; " in words
    flow = float(re.search(r"; ([\d.]+) A flow", words)[1])
    assert flow == pytest.approx(24 / (0.020 + 2 * copper_ohm + 4 * 0.0002), rel=0.07)


def test_a_row_that_is_shorted_by_thick_wires_names_no_battery_beside():
    """Each has less than a quarter of its voltage left then: the row says it for both."""
    (words,) = said(ROW + "wires:\n" + "".join(f"  {id}: {{from: {a}, to: {b}, size: 25 mm2, colour: BK, type: TXL, length: 300 mm}}\n"
                                               for id, a, b in ((1, "G1.+", "G2.-"), (2, "G2.+", "G1.-"))))
    assert "battery G1 and battery G2 in series are short-circuited" in words


def test_one_battery_of_a_row_alone_and_a_row_with_a_load():
    joined = f"wires:\n  1: {{from: G1.+, to: G2.-, {KNOWN}}}\n"
    (words,) = said(ROW + joined + f"  2: {{from: G2.+, to: G2.-, {KNOWN}}}\n")
    assert "battery G2 is short-circuited" in words and "between G2.+ and G2.-" in words
    lamp = "  H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 24 V}\n"
    assert said(ROW + lamp + joined + f"  2: {{from: G2.+, to: H1.1, {KNOWN}}}\n  3: {{from: H1.2, to: G1.-, {KNOWN}}}\n") == []


def test_poles_that_are_one_piece_of_copper():
    assert said(BATTERY.replace("battery:", "links: [[G1.+, G1.-]], battery:")) == [
        "2:40: shorted-source: battery G1 is short-circuited: G1.+ and G1.- are one piece of copper through a link in device G1; nothing is solved"]


def test_a_load_that_asks_for_too_much():
    thick = "size: 95 mm2, colour: BK, type: TXL, length: 100 mm"
    (finding,) = found(BATTERY + f"  E1: {{terminals: [1, 2], between: [E1.1, E1.2], heater: 1 mohm}}\nwires:\n  1: {{from: G1.+, to: E1.1, {thick}}}\n  2: {{from: E1.2, to: G1.-, {thick}}}\n")
    assert finding.message.startswith("battery G1 is asked for more than it can give in state 'off, stopped' and 1 more: ")
    assert [(related.place.line, related.words) for related in finding.related] == [(3, "device E1 carries most of it")]


def test_a_reversing_motor_is_no_short_and_not_open():
    """Each end of the motor rests on ground, and either relay joins its end to plus: 30, 87 and 87a are never one point."""
    text = BATTERY + ("  M1: {terminals: [1, 2], between: [M1.1, M1.2], motor: 4 A at 12 V}\n  S1: {terminals: [1, 2, 3], closes: {up: [[S1.1, S1.2]], down: [[S1.1, S1.3]]}}\n"
                      "relays:\n  K1: {contacts: changeover}\n  K2: {contacts: changeover}\nsplices:\n  P: {}\n  N: {}\ngrounds:\n  GB1: {metal: body}\n"
                      + wires("G1.+ P", "P K1.87", "P K2.87", "P S1.1", "S1.2 K1.86", "S1.3 K2.86", "K1.30 M1.1", "K2.30 M1.2",
                              "K1.87a N", "K2.87a N", "K1.85 N", "K2.85 N", "N GB1", "GB1 G1.-"))
    assert said(text) == []
    assert [words.split(": ")[1] for words in said(text.replace("from: GB1, to: G1.-", "from: GB1, to: open"))] == ["strap-missing"]


def test_a_reference_that_battery_plus_gets_onto():
    text = re.sub(r"(  U3: \{title: accelerator pedal, +connectors: \[X10\],)", r"\1 links: [[X10.1, X10.4]],", LINNET)
    text = re.sub(r"^(  304: +\{from: )E1\.9,", r"\1F11.2,", text, flags=re.M)
    findings = [finding for finding in found(text) if finding.code == "shorted-reference"]
    assert [finding.place.line for finding in findings] == [line for line, words in enumerate(LINNET.split("\n"), 1) if words.startswith("  E1.6:")]
    assert re.match(r"5 V reference E1\.6 is joined to battery plus through wire 301, wire 304, fuse F11.* in state '.*' and 24 more: "
                    r"1[12]\.\d\d V stand there, \d+\.\d+ A flow into the control unit", findings[0].message)


def test_a_reference_is_shorted_in_the_states_in_which_its_own_way_leads_there():
    """X1.3 is on ground whenever the unit works; X1.4 only while S1 is pressed; with S2 open the unit sleeps and neither gives anything."""
    text = BATTERY + ("  U1: {connectors: [X1]}\n  S1: {terminals: [1, 2], closes: {pressed: [[S1.1, S1.2]]}}\n  S2: {terminals: [1, 2], closes: {on: [[S2.1, S2.2]]}}\n"
                      "  U2: {terminals: [1, 2], between: [U2.1, U2.2], load: 1 kohm}\n"
                      "connectors:\n  X1: {}\ncavities:\n  X1.1: {signal: feed-constant}\n  X1.2: {signal: ground-power}\n  X1.3: {signal: reference-5v}\n  X1.4: {signal: reference-5v}\n"
                      "states:\n  both: {key: off, engine: stopped, switches: {S1: pressed, S2: on}}\n"
                      + wires("G1.+ S2.1", "S2.2 X1.1", "X1.2 G1.-", "X1.3 G1.-", "X1.4 S1.1", "S1.2 G1.-", "S1.1 U2.1", "U2.2 G1.-"))
    one, other = (finding.message for finding in found(text) if finding.code == "shorted-reference")
    assert re.match(r"5 V reference X1\.3 is joined to ground through wire 4 in state 'off, stopped, S2 on' and 1 more: ", one)
    assert re.match(r"5 V reference X1\.4 is joined to ground through wire 5, switch S1 and wire 6 in state 'both': ", other)


def test_of_a_shorted_linnet_only_the_short_is_told():
    text = LINNET.replace("  6: {from: G1.-, ", "  6: {from: G1.+, ")
    assert text != LINNET
    (words,) = said(text)
    assert "battery G1 is short-circuited in state" in words and "wire 6" in words


def test_a_short_is_told_once_and_not_again_of_the_alternator():
    text = BATTERY + ("  A1: {terminals: [B+, case], between: [A1.B+, A1.case], alternator: {voltage: 14.2 V, limit: 75 A}}\n"
                      + wires("A1.B+ G1.+", "A1.case G1.-", "G1.+ G1.-"))
    assert [words.split(": ")[1] for words in said(text)] == ["shorted-source"]


# -------------------------------------------------------------------------- limits, batteries

def test_loads_beyond_the_alternator_of_the_linnet():
    (words,) = said(LINNET.replace("limit: 75 A", "limit: 20 A"))
    taken, battery, volts = map(float, re.search(r"where its limit is 20 A: ([\d.]+) A are taken, G1 gives ([\d.]+) A, and its voltage falls to ([\d.]+) V", words).groups())
    assert "supply-at-limit: alternator A1 gives 20.0 A in state 'cooling' and 3 more" in words
    assert taken == pytest.approx(20 + battery, abs=0.11)       # each rounded to 0.1 A
    assert volts < 13


def test_an_alternator_of_which_no_limit_is_said_has_none():
    assert said(LINNET.replace(" limit: 75 A,", "")) == []


def test_a_supply_without_a_limit_is_not_at_it():
    thick = "size: 95 mm2, colour: BK, type: TXL, length: 100 mm"
    text = BATTERY + ("  A1: {terminals: [B+, case], between: [A1.B+, A1.case], alternator: {}}\n  E1: {terminals: [1, 2], between: [E1.1, E1.2], heater: 5 mohm}\nwires:\n"
                      + "".join(f"  {number}: {{from: {a}, to: {b}, {thick}}}\n" for number, (a, b) in enumerate(
                          (("A1.B+", "G1.+"), ("A1.case", "G1.-"), ("G1.+", "E1.1"), ("E1.2", "G1.-")), 1)))
    loaded = load("h.yaml", {"h.yaml": text})
    assert "alternator A1" in [fault.elements[0] for fault in loaded.operation.solved["off, running"].faults]      # 1000 A stand in for its limit
    assert [finding.code for finding in loaded.findings if finding.code == "supply-at-limit"] == []


def test_a_test_supply_at_its_limit():
    text = ('devices:\n  T1: {terminals: [a, b], between: [T1.a, T1.b], test-supply: {voltage: 12 V, limit: 1 A}}\n'
            "  H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 55 W at 12 V}\n" + wires("T1.a H1.1", "H1.2 T1.b"))
    (words,) = said(text)
    assert re.match(r"2:86: supply-at-limit: test supply T1 gives 1\.00 A in state 'off, stopped' and 1 more, where its limit is 1 A: "
                    r"1\.00 A are taken, and its voltage falls to \d\.\d\d V", words)
    assert said(text.replace("limit: 1 A", "limit: 10 A")) == []


def test_a_charge_lamp_terminal_that_feeds_more_than_a_lamp():
    text = BATTERY + ("  A1: {terminals: [B+, L, case], between: [A1.B+, A1.case], alternator: {voltage: 14.2 V, limit: 75 A, charge-lamp: A1.L}}\n"
                      "  E1: {terminals: [1, 2], between: [E1.1, E1.2], heater: 10 A at 12 V}\n"
                      + wires("A1.B+ G1.+", "A1.case G1.-", "A1.L E1.1", "E1.2 G1.-"))
    (words,) = said(text)
    assert "3:117: supply-at-limit: charge lamp terminal A1.L gives 5.00 A in state 'off, running', which is all it can (typical): " in words


def test_the_current_between_two_batteries_is_what_ohm_says():
    """1 V over two batteries of 10 mohm and two wires of 16 mm2, 0.3 m: about 46 A."""
    text = BATTERY.replace("12.6 V", "12.8 V") + BATTERY.replace("devices:\n", "").replace("G1", "G2").replace("12.6 V", "11.8 V") + (
        wires("G1.+ G2.+", "G1.- G2.-").replace("2.5 mm2", "16 mm2"))
    wire_ohm = 17.241 / 1000 / 16 * 0.3 * (234.5 + 30) / 254.5 + 2 * 0.0002
    (words,) = said(text)
    amps = float(re.search(r"battery G1 drives ([\d.]+) A into battery G2 in state 'off, stopped': [\d.]+ V stand at G2\.\+", words)[1])
    assert amps == pytest.approx(1.0 / (0.02 + 2 * wire_ohm), rel=0.02)


def test_a_battery_on_charge_is_in_order():
    assert said(BATTERY + "  A1: {terminals: [B+, case], between: [A1.B+, A1.case], alternator: {limit: 75 A}}\n" + wires("A1.B+ G1.+", "A1.case G1.-")) == []


# ----------------------------------------------------------------------------- floating

@pytest.mark.parametrize("gone, words", [
    ((6,), []),                                                # the other two straps still tie the engine
    ((8,), []),
    ((6, 8), ["nothing joins the engine (GE1, GE2, GE3, A1.case, 2 more) to battery minus G1.-"]),
    ((7, 8), ["nothing joins the body (GB1, GB2, GB3, GB4, 1 more) to battery minus G1.-"]),
    ((6, 7), ["nothing joins the engine (GE1, GE2, GE3, A1.case, 2 more) to battery minus G1.-", "nothing joins the body (GB1, GB2, GB3, GB4, 1 more) to battery minus G1.-"]),
    ((213,), ["nothing leads back to battery minus from device M2, whatever switches and relays do: the way ends at X22.2"]),
    ((582,), ["nothing leads back to battery minus from device M3, whatever switches and relays do: the way ends at X24.2"]),
    ((343,), []),                                              # their ground pins are open: ground-pin-open tells
    ((581,), ["nothing feeds device M3, whatever switches and relays do: no feed comes to X24.1"]),
    ((504,), ["nothing feeds the coil of relay K8, whatever switches and relays do: no feed comes to X26.1"]),
    ((201,), ["nothing leads back to battery minus from the coil of relay K1, whatever switches and relays do: the way ends at K1.85"]),
    ((354, 355), []),                                          # a sensor that makes its own voltage is no load
    ((421,), []),                                              # pulsed: left out of the circuit
])
def test_the_linnet_with_wires_out(gone, words):
    assert [finding.message for finding in found(linnet_without(*gone))] == words


def test_a_strap_that_only_a_control_unit_stands_in_for():
    text = BATTERY + ("  U1: {connectors: [X1]}\nconnectors:\n  X1: {}\ncavities:\n  X1.1: {signal: ground-power}\n  X1.2: {signal: ground-signal}\n"
                      "grounds:\n  GE1: {metal: engine}\n" + wires("G1.- X1.1", "X1.2 GE1"))
    assert said(text) == ["10:16: strap-missing: the engine (GE1) is joined to battery minus G1.- through the inside of device U1 alone"]


def test_a_metal_that_is_not_said_is_told_as_taken():
    (words,) = said(BATTERY + "grounds:\n  GX: {title: stud}\nconnectors:\n  X1: {}\n" + wires("GX X1.1"))
    assert words == "4:7: strap-missing: nothing joins the body (GX) to battery minus G1.- (of none of them a metal is said, body is taken)"


def test_a_battery_switch_in_the_minus_lead_is_a_strap():
    text = BATTERY + "  S1: {terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}\ngrounds:\n  GB1: {metal: body}\n" + wires("G1.- S1.1", "S1.2 GB1")
    assert said(text) == []


def test_a_minus_bolted_to_the_body_is_a_strap():
    text = BATTERY + "grounds:\n  GB1: {metal: body}\nconnectors:\n  X1: {}\n" + wires("GB1 X1.1")
    assert [words.split(": ")[1] for words in said(text)] == ["strap-missing"]
    assert said(text + "cavities:\n  G1.-: {signal: ground-battery, metal: body}\n") == []


@pytest.mark.parametrize("relays, ends", [
    # one relay to an end: it never joins plus and minus
    ((1, 2), ("P K1.87", "P K2.87", "K1.30 M1.1", "K2.30 M1.2", "K1.87a GE1", "K2.87a G1.-")),
    # two to an end, one that feeds it and one that brakes it: only the way over plus joins engine and minus
    ((1, 2, 3, 4), ("P K1.87", "P K2.87", "K1.30 M1.1", "K2.30 M1.2", "K3.30 M1.1", "K4.30 M1.2", "K3.87a GE1", "K4.87a G1.-")),
])
def test_relays_that_reverse_a_motor_are_no_strap(relays, ends):
    text = BATTERY + ("  M1: {terminals: [1, 2], between: [M1.1, M1.2], motor: 4 A at 12 V}\nrelays:\n"
                      + "".join(f"  K{number}: {{contacts: changeover}}\n" for number in relays) + "splices:\n  P: {}\ngrounds:\n  GE1: {metal: engine}\n"
                      + wires("G1.+ P", *ends))
    assert [words.split(": ")[1] for words in said(text)] == ["strap-missing"]


def test_a_strap_that_may_lie_where_both_ends_lead_on():
    both = BATTERY + "grounds:\n  GE1: {metal: engine}\n" + wires("G1.- unknown", "GE1 unknown")
    assert said(both) == []
    assert len(said(both.replace("from: GE1, to: unknown", "from: GE1, to: X1.1") + "connectors:\n  X1: {mates: X2}\n  X2: {}\n")) == 1


LAMP = BATTERY + "  H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}\n"


@pytest.mark.parametrize("more, words", [
    (wires("G1.+ H1.1"), ["nothing leads back to battery minus from device H1, whatever switches and relays do: the way ends at H1.2"]),
    (wires("G1.- H1.2"), ["nothing feeds device H1, whatever switches and relays do: no feed comes to H1.1"]),
    ("splices:\n  SP1: {}\n  SP2: {}\n" + wires("SP1 H1.1", "H1.2 SP2"), ["nothing joins device H1 to plus or to minus, whatever switches and relays do"]),
    ("", []),                                                                                   # nothing is wired yet
    (wires("G1.+ H1.1", "H1.2 unknown"), []),                                                   # what is not known is told elsewhere
    (wires("G1.+ H1.1", "H1.2 open"), []),                                                      # left open on purpose
    ("connectors:\n  X1: {}\n" + wires("G1.+ H1.1", "H1.2 X1.1"), []),                          # goes on beyond the description
    ("splices:\n  SP1: {members: [unknown]}\n" + wires("G1.+ H1.1", "H1.2 SP1"), []),
    ("  U1: {connectors: [X1]}\nconnectors:\n  X1: {}\n" + wires("G1.+ H1.1", "H1.2 X1.1"), []),    # nobody said what is behind X1.1
    ("  U1: {connectors: [X1]}\nconnectors:\n  X1: {}\ncavities:\n  X1.1: {signal: input-switch-to-ground}\n" + wires("G1.+ H1.1", "H1.2 X1.1"),
     ["nothing leads back to battery minus from device H1, whatever switches and relays do: the way ends at H1.2 and X1.1"]),
    ("  U1: {connectors: [X1]}\nconnectors:\n  X1: {}\ncavities:\n  X1.1: {signal: output-low}\n  X1.2: {signal: ground-power}\n"
     + wires("G1.+ H1.1", "H1.2 X1.1", "X1.2 G1.-"), []),                                       # an output that nobody turns on in any state
    ("  H2: {terminals: [1, 2], between: [H2.1, H2.2], lamp: 21 W at 12 V}\n" + wires("G1.+ H1.1", "H1.2 H2.1", "H2.2 G1.-"), []),  # in a row
    ("circuits:\n  flash: {pulsed: true}\n" + wires("G1.+ H1.1") + f"  2: {{from: H1.2, to: G1.-, circuit: flash, {KNOWN}}}\n", []),
    ("circuits:\n  flash: {pulsed: true}\nsplices:\n  SP1: {}\n" + wires("G1.+ H1.1", "H1.2 SP1") + f"  3: {{from: SP1, to: G1.-, circuit: flash, {KNOWN}}}\n", []),
    ("  A1: {terminals: [B+, L, case], between: [A1.B+, A1.case], alternator: {charge-lamp: A1.L}}\n" + wires("G1.+ H1.1", "H1.2 A1.L", "A1.B+ G1.+", "A1.case G1.-"), []),
])
def test_what_is_open_and_what_may_lead_on(more, words):
    assert [finding.message for finding in found(LAMP + more) if finding.code == "open-circuit"] == words


def test_a_spare_relay_is_not_open():
    text = BATTERY + "boxes:\n  B1: {lid: [[K1]], bars: {30: [K1.86]}, spare: [K1]}\nrelays:\n  K1: {box: B1}\n" + wires("G1.+ B1.30")
    assert said(text) == []
    assert [words.split(": ", 2)[2] for words in said(text.replace(", spare: [K1]", ""))] == [
        "nothing leads back to battery minus from the coil of relay K1, whatever switches and relays do: the way ends at K1.85"]


@pytest.mark.parametrize("signal, takes", [("output-bridge", "motor: {running: 4 A at 12 V}"), ("can-high", "load: 120 ohm")])
def test_what_a_control_unit_drives_to_either_side_is_no_open_circuit(signal: str, takes: str) -> None:
    text = f"""
devices:
  G1: {{terminals: ["+", "-"], between: [G1.+, G1.-], battery: {{}}}}
  U1: {{terminals: [1, 2, 3, 4]}}
  M1: {{terminals: [1, 2], between: [M1.1, M1.2], {takes}}}
cavities:
  U1.1: {{signal: feed-constant}}
  U1.2: {{signal: ground-power}}
  U1.3: {{signal: {signal}}}
  U1.4: {{signal: {signal.replace("high", "low")}}}
wires:
  1: {{from: G1.+, to: U1.1, size: 1 mm2, length: 1 m}}
  2: {{from: U1.2, to: G1.-, size: 1 mm2, length: 1 m}}
  3: {{from: U1.3, to: M1.1, size: 1 mm2, length: 1 m}}
  4: {{from: U1.4, to: M1.2, size: 1 mm2, length: 1 m}}
"""
    assert "open-circuit" not in {finding.code for finding in load("t.yaml", {"t.yaml": text}).findings}
    assert "open-circuit" in {finding.code for finding in load("t.yaml", {"t.yaml": text.replace(f"signal: {signal}", "signal: spare").replace("signal: can-low", "signal: spare")}).findings}


def test_a_zone_that_is_no_zone_is_told_and_no_traceback() -> None:
    text = 'places: {P1: {}, P2: {}}\nsegments: {T1: {from: P1, to: P2, length: 1 m, zone: engin}}\ndevices:\n' \
           '  G1: {place: P1, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\n  R1: {place: P2, terminals: [a, b], between: [R1.a, R1.b], load: 3 A at 12 V}\n' \
           'wires:\n  1: {from: G1.+, to: R1.a, size: 1 mm2}\n  2: {from: R1.b, to: G1.-, size: 1 mm2}\n'
    assert "not-a-choice" in {finding.code for finding in load("t.yaml", {"t.yaml": text}).findings}
