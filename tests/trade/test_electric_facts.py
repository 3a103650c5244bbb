"""Signal kinds, ready-made relays and fuses: what is typical of them, and where it comes from."""

from __future__ import annotations

import pytest

from harnessdoc.trade.fuses import fuse_resistance
from harnessdoc.trade.relay_parts import RATED_AT_C, relay_parts, usual_relay
from harnessdoc.trade.signals import DRIVES, signals


def test_every_kind_says_what_drives_it_and_how_it_is_tested():
    for kind, signal in signals().items():
        assert signal.drive in DRIVES, kind
        assert signal.rail and signal.supplied_by and signal.tested, kind
        assert signal.explained.endswith(".") and len(signal.explained) <= 100, kind
        assert "|" not in signal.tested + signal.explained, kind


def test_only_what_is_driven_has_a_limit():
    for kind, signal in signals().items():
        assert signal.limit_a is None or signal.drive != "none" or kind in ("switch-contact", "interlock", "crash-switch", "level-switch"), kind


@pytest.mark.parametrize("kind, drive, rail, limit_a", [
    ("output-low", "low", "supply", 1.0), ("output-high", "high", "supply", 1.0), ("output-push-pull", "both", "supply", 0.1), ("output-lamp-low", "low", "supply", 0.3),
    ("input-resistive", "none", "5 V", None), ("feed-constant", "none", "supply", None), ("charge-lamp", "both", "supply", 1.0), ("ground-sensor", "none", "ground", None)])
def test_some_kinds(kind, drive, rail, limit_a):
    signal = signals()[kind]
    assert (signal.drive, signal.rail, signal.limit_a) == (drive, rail, limit_a)


def test_airbags_are_never_probed():
    assert signals()["airbag"].tested == "never probed"


# what facts.md 5 holds, READ in makers' sheets: continuous A at 23, 85, 125 C
@pytest.mark.parametrize("name, coil_ohm, pull_in_v, release_v, make, breaks", [
    ("mini relay 40 A", 90, 6.9, 1.2, (60, 40, 17), (45, 30, 12)),
    ("mini relay 2 x 32 A", 90, 6.9, 1.2, (32, 25, 11), ()),
    ("mini relay 24 V", 315, 13.8, 2.4, (60, 40, 17), (45, 30, 12)),
    ("micro relay 30 A", 90, 8.4, 1.2, (30, 25, 10), (20, 15, 8)),
    ("micro relay 35 A", 90, 8.4, 1.2, (35, 30, 15), (25, 20, 10)),
    ("micro relay 24 V", 320, 16.8, 2.4, (30, 25, 10), (20, 15, 8)),
    ("maxi relay 70 A", 75, 6.9, 1.2, (70, 50, 30), ()),
])
def test_relay_parts(name, coil_ohm, pull_in_v, release_v, make, breaks):
    part = relay_parts()[name]
    assert (part.coil_ohm.value, part.pull_in_v.value, part.release_v.value) == (coil_ohm, pull_in_v, release_v)
    assert tuple(part.make_a[at].value for at in RATED_AT_C) == make
    assert tuple(fact.value for fact in part.break_a.values()) == breaks
    assert part.pull_in_v.value < part.coil_v.value and part.release_v.value < part.pull_in_v.value


def test_every_part_is_tested_and_one_stands_for_each_type():
    assert list(relay_parts()) == ["mini relay 40 A", "mini relay 2 x 32 A", "mini relay 24 V", "micro relay 30 A", "micro relay 35 A", "micro relay 24 V", "maxi relay 70 A"]
    assert usual_relay("micro", 12.0).name == "micro relay 30 A"
    assert usual_relay("micro", 24.0).name == "micro relay 24 V"
    assert usual_relay("maxi", 24.0).name == "maxi relay 70 A"
    assert usual_relay("", 12.0).name == usual_relay("of some kind", 12.0).name == "mini relay 40 A"


def test_what_is_not_read_in_a_sheet_does_not_say_so():
    assert relay_parts()["mini relay 24 V"].coil_ohm.mark == "MEMORY"
    assert relay_parts()["maxi relay 70 A"].coil_ohm.mark == "PRACTICE"
    assert relay_parts()["mini relay 40 A"].coil_ohm.mark == "READ"


def test_fuses_cold_and_at_their_rating():
    cold, drop = fuse_resistance("blade", 10.0)
    assert (cold.value, drop.value, cold.mark) == (0.0077, 0.109, "READ")
    # facts.md 4: 2.4 mV across a 10 A blade fuse is 312 mA
    assert 0.0024 / cold.value == pytest.approx(0.312, abs=0.0005)


def test_where_the_table_has_no_drop_it_is_worked_out():
    cold, drop = fuse_resistance("mini", 20.0)
    assert cold.value == 0.0033
    assert drop.value == pytest.approx(0.0033 * 20 * 1.45)
    assert drop.mark == "DERIVED"


@pytest.mark.parametrize("kind, rating_a", [("maxi", 60.0), ("midi", 80.0), ("", 10.0), ("blade", 3.0)])
def test_where_the_table_has_nothing_a_usual_drop_stands(kind, rating_a):
    cold, drop = fuse_resistance(kind, rating_a)
    assert drop.value == 0.1 and drop.mark == cold.mark == "PRACTICE"
    assert cold.value == pytest.approx(0.1 / rating_a / 1.45)
