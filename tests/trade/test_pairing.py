"""The table of pairings: whole, without two answers, and at peace with harnesses that are sound.

What the rows say is common practice or from memory, as each is marked; there is no standard to hold them against. They are held
against ``signals.csv``, which says which way a pin drives and on which rail, against our list of failure modes, and against our own examples.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations, combinations_with_replacement
from pathlib import Path

import pytest

from harnessdoc import steps
from harnessdoc.findings import Severity
from harnessdoc.trade.pairing import ANYTHING, CIRCUMSTANCES, PARTS, VERDICTS, Pairing, asked, groups, kinds_of, pairing, pairings
from harnessdoc.trade.relay_wirings import relay_wirings
from harnessdoc.trade.signals import signals

EXAMPLES = Path(__file__).parents[2] / "examples"
PAIRS = tuple(combinations_with_replacement(signals(), 2))
TABLES = {(row.from_, row.to): [r for r in pairings() if (r.from_, r.to) == (row.from_, row.to)] for row in pairings()}

#: Severity of each failure mode in our list of sixty.
SEVERITY_OF_MODE = {
    **dict.fromkeys((1, 2, 6, 7, 25), Severity.HAZARD),
    **dict.fromkeys((8, 9, 10, 11, 13, 19, 20, 21, 24), Severity.DAMAGE),
    **dict.fromkeys((23, 29, 32, 33, 34, 35, 36, 37, 42), Severity.MALFUNCTION),
}
#: The modes that are found by looking at the two kinds.
MODES_OF_PAIRS = (8, 9, 10, 23, 24, 25, 29, 32, 33, 34, 35, 36, 37, 42)


def is_fault(row: Pairing | None) -> bool:
    return row is not None and row.verdict != "direct"


@cache
def covers(from_: str, to: str) -> set[frozenset[str]]:
    """The pairs of kinds that a row with these names speaks of."""
    return {frozenset((a, b)) for a in kinds_of(from_) for b in kinds_of(to)}


# The files


@pytest.mark.parametrize("row", pairings(), ids=lambda row: f"{row.from_}, {row.to}, {row.where}")
def test_a_row_speaks_the_words_of_the_tables(row):
    names = {*signals(), *groups(), ANYTHING}
    assert row.from_ in names and row.to in names and row.from_ != ANYTHING
    assert row.verdict in VERDICTS
    assert row.where in ("", *CIRCUMSTANCES)
    assert row.part in PARTS if row.verdict == "with a part" else row.part == ""
    assert row.words.endswith(".") and not row.needs.endswith(".")


@pytest.mark.parametrize("row", pairings(), ids=lambda row: f"{row.from_}, {row.to}, {row.where}")
def test_a_row_that_hurts_says_how_bad_and_what_is_needed(row):
    if row.verdict == "direct":
        assert row.severity is None and row.modes == ()
    else:
        assert row.needs
        # A circuit that is whole is no fault; to be joined to something else is.
        assert row.severity is not None or (row.verdict == "leave whole" and not row.where)


@pytest.mark.parametrize("row", [row for row in pairings() if row.modes], ids=lambda row: f"{row.from_}, {row.to}, {row.where}")
def test_no_row_is_worse_than_the_worst_of_its_failure_modes(row):
    assert row.severity <= max(SEVERITY_OF_MODE[mode] for mode in row.modes)


def test_every_failure_mode_of_pairs_leads_some_row():
    assert set(MODES_OF_PAIRS) <= {row.modes[0] for row in pairings() if row.modes}


def test_two_names_stand_once_and_one_way_round_and_say_first_what_the_kinds_alone_say():
    for (from_, to), table in TABLES.items():
        assert from_ == to or (to, from_) not in TABLES, (from_, to)
        where = [row.where for row in table]
        assert where[0] == "" and len(set(where)) == len(where), (from_, to, where)


def test_nothing_is_defined_that_no_row_uses():
    assert {name for key in TABLES for name in key} - {ANYTHING, *signals()} == set(groups())
    assert {row.where for row in pairings()} == {"", *CIRCUMSTANCES}
    assert {row.part for row in pairings()} == {"", *PARTS}


def test_a_group_holds_kinds_each_once_and_has_the_name_of_none():
    for group, kinds in groups().items():
        assert group not in signals() and group != ANYTHING
        assert set(kinds) <= set(signals()) and len(set(kinds)) == len(kinds) > 1


@pytest.mark.parametrize(
    ("group", "fits"),
    [
        ("sources", lambda s: s.direction == "out" and s.drive == "high" and s.rail == "supply"),
        ("feeds", lambda s: s.direction == "supply" and s.rail == "supply"),
        ("grounds", lambda s: s.direction == "ground"),
        ("5 V pins", lambda s: s.rail == "5 V" and s.drive in ("high", "none")),
        ("sensor supplies", lambda s: s.rail == "sensor supply"),
        ("sensor pins", lambda s: s.rail in ("5 V", "sensor")),
        ("low-side drivers", lambda s: s.direction == "out" and s.drive == "low"),
        ("open collectors", lambda s: s.direction == "out" and s.drive == "low" and s.limit_a == 0.05),
        ("high-side drivers", lambda s: s.direction == "out" and s.drive == "high" and s.rail == "supply"),
        ("push-pull outputs", lambda s: s.direction == "out" and s.drive == "both"),
        ("loads", lambda s: s.direction == "in" and s.drive == "none" and s.rail == "supply"),
        ("buses", lambda s: s.rail in ("bus", "supply") and s.direction in ("both", "in")),
    ],
)
def test_the_kinds_of_a_group_are_alike_in_the_table_of_signals(group, fits):
    assert [kind for kind in groups()[group] if not fits(signals()[kind])] == []


@pytest.mark.parametrize(
    ("whole", "parts"),
    [
        ("sources", ["constant sources"]), ("feeds", ["feeds by the key", "feeds dead in start", "feeds but start"]), ("supply", ["sources", "feeds"]),
        ("grounds", ["body grounds"]), ("sensor pins", ["sensor outputs", "inductive sensors", "inductive inputs", "tracks", "track inputs"]),
        ("sensor outputs", ["voltage sensors", "tracks"]), ("low-side drivers", ["low-side outputs"]), ("open collectors", ["pulse outputs"]),
        ("high-side drivers", ["high-side outputs", "switches to the supply"]),
    ],
)
def test_a_group_within_another_is_whole_in_it(whole, parts):
    for part in parts:
        assert set(groups()[part]) < set(groups()[whole]), part


@pytest.mark.parametrize("row", [row for row in pairings() if row.part.startswith("relay")], ids=lambda row: f"{row.from_}, {row.to}, {row.where}")
def test_every_relay_that_is_named_is_wired(row):
    wiring = relay_wirings()[row.part.removeprefix("relay ")]
    assert {"86", "85", "30", "87"} <= set(wiring.terminals)


def test_the_relay_that_inverts_uses_the_contact_closed_at_rest():
    assert list(relay_wirings()) == list("ABCDEFGH")
    assert [letter for letter, wiring in relay_wirings().items() if "87a" in wiring.terminals] == ["E"]
    assert set(relay_wirings()["E"].terminals) == {"86", "85", "30", "87a"}


# The look-up


def test_the_order_of_the_two_kinds_does_not_matter():
    for a, b in PAIRS:
        assert asked(a, b) == asked(b, a)
        for where in ((), *((circumstance,) for circumstance in asked(a, b)), asked(a, b)):
            assert pairing(a, b, where) is pairing(b, a, where), (a, b, where)


def test_a_pair_is_answered_by_a_row_that_names_it_and_by_no_wider_one():
    rows_of_pair: dict[frozenset[str], list[Pairing]] = {}
    for (from_, to), table in TABLES.items():
        for pair in covers(from_, to):
            rows_of_pair.setdefault(pair, []).append(table[0])
    for a, b in PAIRS:
        fitting = rows_of_pair.get(frozenset((a, b)), [])
        found = pairing(a, b)
        assert (found is None) == (not fitting), (a, b)
        if found is None:
            continue
        assert found in fitting
        # Rows that overlap crosswise would leave the answer to chance; ANYTHING alone may, and then the worst holds.
        for other in fitting:
            if ANYTHING in (found.to, other.to):
                assert found.to != ANYTHING or (other.to == ANYTHING and (found.severity or 0) >= (other.severity or 0)), (a, b, found, other)
            else:
                assert covers(found.from_, found.to) <= covers(other.from_, other.to), (a, b, found, other)


@pytest.mark.parametrize(
    ("a", "b"),
    [("", "lamp"), ("lamp", ""), ("", ""), ("lamp", "no kind"), ("loads", "output-low"), ("spare", "lamp"), ("switch-contact", "ground-power")],
)
def test_where_the_table_says_nothing_there_is_none(a, b):
    assert pairing(a, b) is None
    assert asked(a, b) == ()


def test_what_must_be_found_out_is_asked_in_the_order_of_the_table():
    assert asked("reference-5v", "reference-5v") == ("same device", "two tracks")
    assert asked("input-speed-pulses", "speed-pulses") == ("pulses differ", "no pull-up")
    assert asked("output-low", "output-high") == ()


def test_the_main_failure_mode_stands_first():
    assert pairing("charge-lamp", "feed-switched").modes == (1, 21)
    assert pairing("lamp", "reference-5v").modes == (24, 9)
    assert pairing("source-constant", "can-high").modes == (9,)


def test_where_one_gives_and_the_other_takes_the_giver_stands_first():
    for row in pairings():
        from_, to = ({signals()[kind].direction for kind in kinds_of(name)} for name in (row.from_, row.to))
        assert (from_, to) != ({"in"}, {"out"}), row


def test_a_circumstance_that_is_not_asked_changes_nothing():
    for a, b in PAIRS:
        assert pairing(a, b, set(CIRCUMSTANCES) - set(asked(a, b))) is pairing(a, b)


def test_of_several_circumstances_the_worst_holds():
    assert pairing("reference-5v", "reference-5v").verdict == "never"
    assert pairing("reference-5v", "reference-5v", ["same device"]).verdict == "direct"
    for where in (["same device", "two tracks"], ["two tracks", "same device"], {"two tracks", "same device", "bus differs"}):
        assert pairing("reference-5v", "reference-5v", where).severity == Severity.HAZARD
    both = pairing("speed-pulses", "input-speed-pulses", {"no pull-up", "pulses differ"})
    assert both.where == "pulses differ", "of equals the first in the table"


# What is said: the pairing rules of the trade, one by one (common practice)


@pytest.mark.parametrize(
    ("a", "b", "where", "verdict", "part"),
    [
        ("source-constant", "feed-constant", "", "direct", ""),
        ("source-switched", "input-wake", "", "direct", ""),
        ("source-switched", "feed-switched", "dead in start", "with a part", "diode"),
        ("feed-run", "feed-switched", "", "with a part", "diode"),
        ("feed-accessory", "feed-relay", "", "with a part", "diode"),
        ("feed-accessory", "feed-relay", "live in start", "direct", ""),
        ("feed-start", "starter-control", "", "direct", ""),
        ("output-start", "starter-control", "", "with a part", "relay F"),
        ("output-low", "relay-coil", "", "direct", ""),
        ("output-lamp-low", "lamp", "", "direct", ""),
        ("output-low", "solenoid", "load to ground", "with a part", "relay A"),
        ("output-glow", "glow", "", "with a part", "relay A"),
        ("output-high", "fuel-pump", "", "direct", ""),
        ("output-high", "fan", "load to supply", "with a part", "relay B"),
        ("output-push-pull", "relay-coil", "", "with a part", "diode"),
        ("switch-to-ground", "input-switch-to-ground", "", "direct", ""),
        ("switch-to-supply", "input-switch-to-ground", "", "with a part", "relay C"),
        ("brake-switch", "input-switch-to-ground", "", "with a part", "relay C"),
        ("switch-to-ground", "input-switch-to-supply", "", "with a part", "relay D"),
        ("output-open-collector", "tachometer", "", "direct", ""),
        ("output-open-collector", "tachometer", "no pull-up", "with a part", "pull-up"),
        ("coil-driver", "tachometer", "", "converter", ""),
        ("inductive-sensor-plus", "input-inductive-plus", "", "direct", ""),
        ("inductive-sensor-plus", "input-inductive-minus", "", "never", ""),
        ("inductive-sensor-plus", "input-hall", "", "converter", ""),
        ("hall-sensor", "input-inductive-plus", "", "converter", ""),
        ("hall-sensor", "input-hall", "", "direct", ""),
        ("hall-sensor", "input-speed-pulses", "no pull-up", "with a part", "pull-up"),
        ("speed-pulses", "input-speed-pulses", "pulses differ", "converter", ""),
        ("resistive-sender", "gauge", "", "direct", ""),
        ("resistive-sender", "gauge", "curve differs", "converter", ""),
        ("gauge", "input-resistive", "", "never", ""),
        ("gauge", "gauge", "", "never", ""),
        ("thermistor", "input-resistive", "", "direct", ""),
        ("thermistor", "ground-case", "", "never", ""),
        ("ratio-sensor", "input-analog", "", "direct", ""),
        ("input-analog", "input-analog", "", "direct", ""),
        ("reference-5v", "reference-5v", "", "never", ""),
        ("reference-5v", "feed-5v", "", "direct", ""),
        ("ground-sensor", "ground-power", "", "never", ""),
        ("ground-sensor", "ground-sensor", "", "direct", ""),
        ("ground-sensor", "ground-sensor", "two control units", "never", ""),
        ("feed-5v", "feed-5v", "two tracks", "never", ""),
        ("can-high", "can-high", "", "direct", ""),
        ("can-high", "can-high", "bus differs", "converter", ""),
        ("can-high", "can-low", "", "never", ""),
        ("can-low", "k-line", "", "converter", ""),
        ("k-line", "k-line", "", "direct", ""),
        ("output-pwm-low", "relay-coil", "", "converter", ""),
        ("output-pwm-high", "input-switch-to-ground", "", "converter", ""),
        ("output-pwm-low", "input-pwm", "", "direct", ""),
        ("immobiliser", "immobiliser", "two vehicles", "leave whole", ""),
        ("pedal-track", "input-pedal-track", "", "direct", ""),
        ("pedal-track", "input-pedal-track", "two vehicles", "leave whole", ""),
        ("charge-lamp", "lamp", "", "direct", ""),
        ("charge-lamp", "feed-switched", "", "with a part", "resistor"),
        ("output-low", "output-relay-low", "", "direct", ""),
        ("output-high", "output-high", "", "with a part", "relay G"),
        ("output-low", "output-high", "", "never", ""),
        ("output-push-pull", "output-push-pull", "", "never", ""),
    ],
)
def test_the_pairing_rules_of_the_trade(a, b, where, verdict, part):
    found = pairing(a, b, [where])
    assert (found.where, found.verdict, found.part) == (where, verdict, part)


def test_the_supply_on_a_pin_made_for_less_is_damage():
    made_for_less = [kind for kind, signal in signals().items() if signal.rail in ("5 V", "sensor", "sensor supply", "bus")]
    assert len(made_for_less) > 30
    for kind in made_for_less:
        for supply in kinds_of("supply"):
            assert pairing(supply, kind).severity >= Severity.DAMAGE, (supply, kind)


def test_what_is_driven_to_the_supply_meets_nothing_that_is_driven_to_ground():
    # Two pins of one output are no two drivers: that the kinds alone do not know, so they say never.
    def driven(to: str) -> list[str]:
        return [kind for kind, signal in signals().items() if signal.direction == "out" and signal.drive in (to, "both")]

    # One of the two pins of an output that is led out twice is no second driver: the kinds alone do not know, so they say never.
    for high in driven("high"):
        for low in driven("low"):
            assert is_fault(pairing(high, low)), (high, low)


@pytest.mark.parametrize("kind", ["airbag", "brake-control", "wheel-speed", "steering-control", "immobiliser", "output-injector-boosted"])
def test_what_is_kept_whole_is_joined_to_nothing_whatever_the_circumstances(kind):
    own = {"airbag": {"airbag"}, "brake-control": {"brake-control", "wheel-speed"}, "wheel-speed": {"brake-control", "wheel-speed"},
           "output-injector-boosted": {"output-injector-boosted", "injector"}}.get(kind, {kind})
    for other in signals():
        for where in ((), tuple(CIRCUMSTANCES)):
            found = pairing(kind, other, where)
            assert found.verdict == "leave whole"
            if other not in own:
                assert found.severity >= Severity.DAMAGE, other
    assert all(pairing(kind, other).severity is None for other in own)


# Sound harnesses: our own examples, so the table and they agree by our doing


def faults(harness, network) -> list[tuple[str, str, str]]:
    """(address, address, verdict) of two contacts on one copper that the kinds alone call a fault."""
    return [
        (a.address, b.address, row.verdict)
        for island in network.islands
        for a, b in combinations([harness.contacts[address] for address in island if harness.contacts[address].signal], 2)
        if is_fault(row := pairing(a.signal, b.signal))
    ]


@pytest.mark.parametrize("name", sorted(path.name for path in EXAMPLES.iterdir()))
def test_no_two_signals_on_one_copper_of_an_example_are_called_a_fault(name):
    loaded = steps.load(EXAMPLES / name / f"{name}.yaml", solve=False)
    assert faults(loaded.harness, loaded.network) == []


@pytest.mark.parametrize(
    ("a", "b", "verdict"),
    [("E1.7", "E2.1", "never"), ("E1.6", "E1.1", "never"), ("E1.3", "E1.4", "never"), ("E2.17", "X11.2", "never"), ("A1.L", "E1.1", "with a part")],
)
def test_a_wrong_join_in_the_linnet_is_seen(a, b, verdict):
    path = EXAMPLES / "linnet" / "linnet.yaml"
    text = path.read_text(encoding="utf-8")
    planted = text.replace("\nwires:\n", f"\nwires:\n  9999: {{from: {a}, to: {b}}}\n")
    assert planted != text
    loaded = steps.load(path, {str(path): planted}, solve=False)
    found = faults(loaded.harness, loaded.network)
    assert verdict in {row[2] for row in found if {a, b} & set(row[:2])}, found
