"""What the supply gives and what arrives: drain at rest, excitation, drops, relay contacts."""

from __future__ import annotations

import textwrap

import pytest

from harnessdoc.findings import Severity
from harnessdoc.rules.page import sections_of
from harnessdoc.rules.registry import RULES
from harnessdoc.steps import load

from .edited import found, lacking

DRAIN, EXCITED, DROP, CONTACT = "parasitic-drain", "alternator-not-excited", "voltage-drop", "relay-over-contact"


# -------------------------------------------------------------------- drain at rest

@pytest.mark.parametrize(("draws", "tells"), [("47 mA", False), ("48 mA", True)])
def test_the_drain_is_held_against_what_is_borne(draws, tells):
    # what is stated is at 12 V; the battery has 12.6 V: 47 mA become 49.3 mA, 48 mA 50.4 mA
    assert bool(found(DRAIN, ("draws: 80 mA", f"draws: {draws}"))) is tells


def test_what_drains_is_listed_with_the_feed_to_move():
    more = (("terminals: [1, 2]}\ncavities", "terminals: [1, 2, 3]}\ncavities"), ("N8.2:", "N8.3: {function: clock, signal: feed-constant, draws: 10 mA}\n  N8.2:"),
            ("  5: {from", "  7: {from: G1.+, to: N8.3, size: 1 mm2, colour: RD, type: TXL, length: 1 m}\n  5: {from"))
    (finding,) = found(DRAIN, *more)
    assert finding.at == ("N8.1", "N8.3") and finding.message.endswith("road speed sensor, supply N8.1 84.0 mA and road speed sensor, clock N8.3 10.5 mA")
    assert finding.state == "off, stopped" and "wire 4 of N8.1 on F2.2" in finding.do


def test_without_a_key_switch_nothing_is_at_rest_and_the_most_is_an_option():
    assert found(DRAIN, ("closes: {run:", "closes: {on:")) == []
    assert found(DRAIN, ("devices:", f"rules: {{{DRAIN}: {{most: 100 mA}}}}\ndevices:")) == []


def test_a_pin_that_is_always_live_and_draws_nobody_knows_what_is_asked_for():
    assert lacking(DRAIN, ("signal: feed-switched, draws: 80 mA", "signal: feed-constant")) == [("N8.1",)]


# -------------------------------------------------------------------- excitation

def test_the_resistor_and_the_lamp_that_are_named_do():
    (finding,) = found(EXCITED)
    assert finding.at == ("A1", "A1.L", "wire 7", "H1") and "resistor of 150 ohm, 2 W beside it from H1.1 to H1.2" in finding.do
    beside = ("wires:\n", "resistors:\n  R1: {value: 150 ohm, power: 2 W}\nwires:\n  8: {from: R1.1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 100 mm}\n"
                          "  9: {from: R1.2, to: H1.2, size: 1 mm2, colour: BU, type: TXL, length: 100 mm}\n")
    assert found(EXCITED, beside) == []
    assert found(EXCITED, beside, ("value: 150 ohm", "value: 180 ohm"))


def test_what_the_alternator_states_wins_over_the_option():
    assert found(EXCITED, ("charge-lamp: A1.L", "charge-lamp: A1.L, excitation: 20 mA")) == []
    (finding,) = found(EXCITED, ("load: 20 mA", "lamp: 2 W"), ("charge-lamp: A1.L", "charge-lamp: A1.L, excitation: 250 mA"))
    assert (finding.limit, finding.origin) == ("250 mA", "stated")
    assert found(EXCITED, ("devices:", f"rules: {{{EXCITED}: {{least: 20 mA}}}}\ndevices:")) == []


def test_a_terminal_that_nothing_feeds_wants_a_lamp():
    (finding,) = found(EXCITED, ("  7: {from: H1.2, to: A1.L, size: 1 mm2, colour: BU, type: TXL, length: 1 m}\n", ""))
    assert finding.value == "0.0 mA" and "charge lamp of 2 W" in finding.do


def test_a_lamp_that_nothing_feeds_is_the_cause():
    (finding,) = found(EXCITED, ("load: 20 mA", "lamp: 2 W"), ("  6: {from: S1.15, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 1 m}\n", ""))
    assert finding.value == "0.0 mA" and finding.do == (
        "nothing feeds charge lamp H1, through which it is to be excited: join H1.1 to a feed that is live in run and dead with the key off,\nor A1.L through another charge lamp of 2 W to such a feed")


@pytest.mark.parametrize("lamp", [True, False], ids=["its lamp unfed", "no lamp"])
def test_a_trace_of_current_through_the_metal_names_no_load(lamp):
    """A heater drives amps into the engine's metal, which stands some millivolts above battery minus: part of it goes out by the terminal."""
    more = (("load: 20 mA", "lamp: 2 W"), ("from: S1.15, to: H1.1", "from: S1.15, to: Y1.1"), ("devices:\n", "devices:\n  Y1: {title: choke heater, terminals: [1, case], between: [Y1.1, Y1.case], heater: 2 A at 12 V}\n"
            "  H2: {title: oil lamp, terminals: [1, 2], between: [H2.1, H2.2], lamp: 2 W at 12 V}\n"),
            ("wires:\n", "cavities:\n  A1.case: {metal: engine}\n  Y1.case: {metal: engine}\ngrounds:\n  GE: {metal: engine}\n  GB: {metal: body}\nwires:\n  20: {from: GE, to: GB, size: 1 mm2, colour: BK, type: TXL, length: 3 m}\n"
             "  21: {from: GB, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 1 m}\n  22: {from: H2.1, to: A1.L, size: 1 mm2, colour: BK, type: TXL, length: 1 m}\n"
             "  23: {from: H2.2, to: GB, size: 1 mm2, colour: BK, type: TXL, length: 1 m}\n"),
            ("  3: {from: A1.case, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 300 mm}\n", ""))
    if not lamp:
        more += (("  7: {from: H1.2, to: A1.L, size: 1 mm2, colour: BU, type: TXL, length: 1 m}\n", ""),)
    (finding,) = found(EXCITED, *more)
    assert "Y1" not in finding.do and "Y1" not in finding.at and ("nothing feeds charge lamp H1" in finding.do) is lamp


def test_a_terminal_whose_wire_leads_nobody_knows_where_is_asked_for():
    assert lacking(EXCITED, ("from: H1.2, to: A1.L", "from: unknown, to: A1.L")) == [("A1",)]


def test_a_diode_before_the_terminal_is_reckoned_with():
    diode = (("wires:\n", "diodes:\n  D1: {}\nwires:\n  8: {from: D1.K, to: A1.L, size: 1 mm2, colour: BU, type: TXL, length: 1 m}\n"), ("from: H1.2, to: A1.L", "from: H1.2, to: D1.A"))
    (finding,) = found(EXCITED, *diode)
    ohm = float(finding.do.partition("resistor of ")[2].split()[0])
    beside = ("wires:\n", f"resistors:\n  R1: {{value: {ohm:g} ohm, power: 2 W}}\nwires:\n  9: {{from: R1.1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 100 mm}}\n"
                          "  10: {from: R1.2, to: H1.2, size: 1 mm2, colour: BU, type: TXL, length: 100 mm}\n")
    assert found(EXCITED, *diode, beside) == []


# -------------------------------------------------------------------- drops

def test_a_drop_just_beyond_is_advice_and_one_far_beyond_a_malfunction():
    assert [finding.severity for finding in found(DROP)] == [Severity.MALFUNCTION]
    assert [finding.severity for finding in found(DROP, ("length: 10 m", "length: 6 m"))] == [Severity.ADVICE]
    assert found(DROP, ("length: 10 m", "length: 3 m")) == []


def test_loads_starved_by_one_wire_are_one_finding_at_that_wire():
    two = (("  M3:", "  M4: {terminals: [1, 2], between: [M4.1, M4.2], motor: 2 A at 12 V}\n  M3:"), ("wires:\n", "splices:\n  SP1: {}\nwires:\n"), ("to: M3.1", "to: SP1"),
           ("  3: {from", "  4: {from: SP1, to: M3.1, size: 2.5 mm2, colour: GN, type: TXL, length: 100 mm}\n  5: {from: SP1, to: M4.1, size: 2.5 mm2, colour: GN, type: TXL, length: 100 mm}\n"
                          "  6: {from: M4.2, to: G1.-, size: 2.5 mm2, colour: BK, type: TXL, length: 2 m}\n  3: {from"))
    (finding,) = found(DROP, *two)
    assert finding.at == ("wire 2", "M4", "M3") and "by the same M3 too" in finding.message
    size = finding.do.partition("wire 2 of ")[2].partition(" mm")[0]
    assert found(DROP, *two, ("size: 0.75 mm2", f"size: {size} mm2")) == []


def test_a_wire_of_which_size_or_length_is_not_known_is_asked_for():
    assert lacking(DROP, ("size: 0.75 mm2, colour: GN, type: TXL, length: 10 m", "size: unknown, colour: GN, type: TXL, length: 40 m")) == [("wire 2",)]


# -------------------------------------------------------------------- relay contacts

@pytest.mark.parametrize(("amps", "tells"), [("25 A", False), ("26 A", True)])
def test_a_contact_is_held_against_its_rating_where_it_is_warm(amps, tells):
    # 25 A at 12 V are 24.7 A and 26 A are 25.7 A at what is left of the battery's 12.6 V
    assert bool(found(CONTACT, ("motor: 28 A", f"motor: {amps}"))) is tells


def test_in_the_cabin_it_carries_more_between_the_rows_of_the_table():
    # 30 C between 30 A at 23 C and 25 A at 85 C: 29.4 A
    assert found(CONTACT, ("zone: engine}", "zone: cabin}")) == []
    (finding,) = found(CONTACT, ("zone: engine}", "zone: cabin}"), ("motor: 28 A", "motor: 31 A"))
    assert finding.limit == "29.4 A"


def test_87a_is_held_against_its_own_rating():
    at_rest = (("part: micro relay 30 A, coil: 90 ohm, contacts: make", "part: mini relay 40 A, coil: 90 ohm, contacts: changeover"), ("from: K3.87,", "from: K3.87a,"),
               ("  5: {from: G1.+", "  9: {from: K3.87, to: open, size: 10 mm2, colour: GN, type: TXL, length: 1 m}\n  5: {from: G1.+"), ("motor: 28 A", "motor: 32 A"))
    (finding,) = found(CONTACT, *at_rest)
    assert finding.at == ("K3", "K3.87a", "wire 3") and finding.limit == "30 A"
    assert found(CONTACT, *at_rest, ("from: K3.87a,", "from: K3.X,"), ("from: K3.87,", "from: K3.87a,"), ("from: K3.X,", "from: K3.87,")) == []


def test_a_rating_that_is_stated_holds_for_87_and_less_of_it_for_87a():
    stated = (("part: micro relay 30 A", "type: mini, rating: 40 A"), ("motor: 28 A", "motor: 32 A"))
    assert found(CONTACT, *stated) == []
    (finding,) = found(CONTACT, *stated, ("contacts: make", "contacts: changeover"), ("from: K3.87,", "from: K3.87a,"))
    assert finding.limit == "30 A" and "of its 40 A on contact 87" in finding.message


def test_a_relay_without_a_rating_and_one_that_is_never_pulled_in_are_asked_for():
    assert lacking(CONTACT, ("part: micro relay 30 A, ", "")) == [("K3",)]
    assert lacking(CONTACT, ("from: K3.85, to: S1.1", "from: K3.85, to: open")) == [("K3",)]


def test_the_relay_that_is_named_carries_it():
    (finding,) = found(CONTACT)
    part = finding.do.partition("fit a ")[2].partition(" (")[0]
    assert found(CONTACT, ("micro relay 30 A", part)) == []


@pytest.mark.parametrize("code", [DRAIN, EXCITED, DROP, CONTACT, "feed-lost-in-start", "unit-starved-in-start"])
def test_nothing_is_asked_where_the_circuit_is_not_solved(code):
    (rule,) = (rule for rule in RULES if code == rule.CODE)
    text = textwrap.dedent(sections_of(rule)["Example that fails"]) + "\n"
    loaded = load("heron.yaml", {"heron.yaml": text}, solve=False)
    assert loaded.findings == () and not [one for one in loaded.unasked if one.code == code]
