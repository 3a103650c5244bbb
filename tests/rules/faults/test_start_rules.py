"""What the engine needs while it is cranked: feeds that are lost, units that get too little."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Severity

from .edited import found, lacking

LOST, STARVED = "feed-lost-in-start", "unit-starved-in-start"
RELAY = (
    ("fuses:\n", "fuses:\n  F3: {rating: 10 A, type: blade}\n"),
    ("wires:\n", "relays:\n  K1: {title: main relay, coil: 85 ohm, contacts: make, rating: 30 A, type: micro, suppression: resistor}\nwires:\n"
                 "  5: {from: G1.+, to: F3.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}\n  6: {from: F3.2, to: K1.30, size: 2.5 mm2, colour: RD, type: TXL, length: 1 m}\n"
                 "  7: {from: K1.87, to: U1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 1 m}\n  8: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}\n"),
    ("from: S1.75, to: U1.1", "from: S1.75, to: K1.86"),
)


def test_a_feed_from_accessory_is_lost_where_its_wire_leaves_the_key_switch():
    (finding,) = found(LOST)
    assert (finding.at[:3], finding.state, finding.value, finding.severity) == (("wire 3", "U1.1", "S1"), "start, cranking", "0.0 V", Severity.DAMAGE)
    assert "from S1.75 to S1.15" in finding.do


def test_the_contact_is_found_behind_the_relay_that_drops_out():
    (finding,) = found(LOST, *RELAY)
    assert finding.message.endswith("key switch S1 opens S1.30 to S1.75 at start, relay K1 drops out")
    assert finding.at == ("wire 3", "U1.1", "S1", "K1")
    assert found(LOST, *RELAY, ("from: S1.75, to: K1.86", "from: S1.15, to: K1.86")) == []


def test_two_feeds_lost_by_one_contact_are_one_finding():
    (finding,) = found(LOST, ("terminals: [1, 2, 3]", "terminals: [1, 2, 3, 4]"), ("U1.2:", "U1.4: {function: wake, signal: input-wake}\n  U1.2:"),
                       ("  4: {from: U1.2", "  9: {from: S1.75, to: U1.4, size: 1 mm2, colour: GN, type: TXL, length: 1 m}\n  4: {from: U1.2"))
    assert "U1.4 (engine control unit, wake)" in finding.message and {"U1.1", "U1.4"} <= set(finding.at)


@pytest.mark.parametrize("changes", [
    (("signal: feed-switched", "signal: feed-accessory"),),                       # meant to be dead
    (("signal: output-injector", "signal: input-switch-to-ground"),),            # no control unit
    (("start: [[S1.30, S1.15]", "start: [[S1.30, S1.75], [S1.30, S1.15]"),),      # closed in both
    (("from: S1.75", "from: S1.50"),),                                            # never live in run
])
def test_what_is_not_lost_or_not_needed_is_left_alone(changes):
    assert found(LOST, *changes) == []


def test_without_a_contact_closed_in_both_diodes_join_two_terminals():
    (finding,) = found(LOST, ("run: [[S1.30, S1.75], [S1.30, S1.15]], start: [[S1.30, S1.15], [S1.30, S1.50]]", "run: [[S1.30, S1.75]], start: [[S1.30, S1.50]]"))
    assert "diode each from S1.75 and S1.50, cathodes joined" in finding.do


def test_an_output_that_is_stated_to_be_off_in_start_is_no_loss():
    assert found(LOST, *RELAY, ("terminals: [1, 2, 3]", "terminals: [1, 2, 3, 4]"), ("from: S1.75, to: K1.86", "from: S1.15, to: K1.86"),
                 ("from: K1.85, to: G1.-", "from: K1.85, to: U1.4"), ("U1.2: {", "U1.4: {signal: output-relay-low, commanded: run}\n  U1.2: {")) == []


# -------------------------------------------------------------------- volts while cranking

def test_the_sum_of_what_is_lost_is_shown_and_the_wire_that_loses_most():
    (finding,) = found(STARVED)
    assert (finding.at, finding.state, finding.limit, finding.origin) == (("wire 7", "U1.1", "U1"), "start, cranking", "8 V", "from memory")
    volts = float(finding.value.removesuffix(" V"))
    sags, lose = (float(finding.message.partition(word)[2].split()[0]) for word in ("sags to ", "ground lose "))
    assert volts == pytest.approx(sags - lose, abs=0.011)


def test_what_the_ground_loses_counts_too():
    (finding,) = found(STARVED, ("colour: RD, type: TXL, length: 3 m", "colour: RD, type: TXL, length: 500 mm"), ("to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 1 m", "to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 3500 mm"))
    assert finding.at == ("wire 8", "U1.1", "U1") and "wire 8 of" in finding.do


@pytest.mark.parametrize(("least", "tells"), [("7.8 V", False), ("7.95 V", True)])
def test_the_least_is_an_option_and_a_bound(least, tells):
    assert bool(found(STARVED, ("devices:", f"rules: {{{STARVED}: {{least: {least}}}}}\ndevices:"))) is tells


def test_a_battery_that_sags_below_it_is_told_of_the_battery():
    (finding,) = found(STARVED, ("resistance: 18 mohm", "resistance: 30 mohm"))
    assert finding.at[0] == "G1" and "no wire of the unit mends it" in finding.do


def test_a_wire_of_unknown_length_is_asked_for():
    assert lacking(STARVED, ("colour: RD, type: TXL, length: 3 m", "colour: RD, type: TXL"), ("resistance: 18 mohm", "resistance: 21 mohm")) == [("wire 7",)]
