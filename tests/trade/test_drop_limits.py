"""Limits of voltage drop, and the circular's charts of bundle and altitude."""

from __future__ import annotations

import pytest

from harnessdoc.trade.bundle_derating import altitude_factor, bundle_factor, conductor_temperature_c, free_air_ampacity
from harnessdoc.trade.drop_limits import drop_limit, kinds
from harnessdoc.trade.tables import rows


def test_the_kinds_are_a_closed_list():
    assert kinds() == ("continuous", "intermittent", "alternator-main", "starter-main", "lamp-small", "lamp", "starter-control", "starter-return", "case-to-body",
                       "ground", "panel", "other")
    with pytest.raises(KeyError):
        drop_limit("some kind", 12.0)


@pytest.mark.parametrize("kind, feed_v, return_v, total_v, mark", [
    ("continuous", None, None, 0.5, "READ"), ("intermittent", None, None, 1.0, "MEMORY"), ("alternator-main", 0.4, None, None, "READ"),
    ("starter-main", 0.5, None, None, "READ"), ("lamp-small", 0.1, None, 0.6, "READ"), ("lamp", 0.5, None, 0.9, "READ"), ("starter-control", None, None, 1.5, "READ"),
    ("starter-return", None, 0.3, None, "READ"), ("case-to-body", None, 0.1, None, "READ"), ("ground", None, 0.1, None, "READ"),
    ("panel", None, None, 0.36, "READ"), ("other", None, None, 1.2, "READ")])
def test_limits_at_12_v(kind, feed_v, return_v, total_v, mark):
    limit = drop_limit(kind, 12.0)
    assert (limit.kind, limit.feed_v, limit.return_v, limit.total_v, limit.mark) == (kind, feed_v, return_v, total_v, mark)


def test_other_supplies_go_in_proportion_and_say_so():
    lamp = drop_limit("lamp", 24.0)
    assert (lamp.feed_v, lamp.return_v, lamp.total_v, lamp.mark) == (1.0, None, 1.8, "DERIVED")
    assert lamp.origin == "a lamp maker's service page: an example, no general limit; in proportion from 12 to 24 V"
    assert drop_limit("intermittent", 24.0).mark == "MEMORY"


def test_a_limit_of_both_ways_is_no_smaller_than_that_of_one():
    for kind in kinds():
        limit = drop_limit(kind, 12.0)
        assert limit.feed_v or limit.return_v or limit.total_v
        assert not (limit.feed_v and limit.total_v) or limit.feed_v < limit.total_v


def test_a_bundle_takes_the_next_higher_line_of_the_chart():
    assert [bundle_factor(8, share).value for share in (10, 20, 21, 60, 100)] == [0.795, 0.795, 0.6675, 0.595, 0.5125]
    assert bundle_factor(1, 100).value == 1


@pytest.mark.parametrize("wires, share_percent", [(21, 20), (35, 20), (20, 40), (8, 101), (0, 20)])
def test_what_was_not_read_off_is_not_made_up(wires, share_percent):
    assert bundle_factor(wires, share_percent) is None
    assert free_air_ampacity(47.0, wires, share_percent, 1.0) is None


def test_more_wires_or_more_load_never_leave_more():
    for column in ("20", "40", "60", "80", "100"):
        factors = [float(r["factor"]) for r in rows("bundle_derating") if r["share_percent"] == column]
        assert len(factors) == (20 if column == "20" else 19) and factors == sorted(factors, reverse=True)
    for wires in range(1, 20):
        factors = [bundle_factor(wires, share).value for share in (20, 40, 60, 80, 100)]
        assert factors == sorted(factors, reverse=True)


def test_altitude():
    assert [(altitude_factor(feet).value, altitude_factor(feet).mark) for feet in (0, 5000, 5001, 20000, 60000)] == [
        (1.0, "PRACTICE"), (1.0, "PRACTICE"), (0.91, "READ"), (0.91, "READ"), (0.79, "MEMORY")]
    assert altitude_factor(60001) is None


def test_what_is_left_of_a_current():
    fact = free_air_ampacity(47.0, 8, 60, 0.91)
    assert (fact.value, fact.unit, fact.mark) == (pytest.approx(47 * 0.91 * 0.595), "A", "DERIVED")


def test_the_circulars_temperature_is_never_below_the_ambient_nor_above_the_rating():
    assert conductor_temperature_c(50.0, 200.0, 0.0, 26.0).value == 50.0
    assert conductor_temperature_c(50.0, 200.0, 26.0, 26.0).value == 200.0
    warm = conductor_temperature_c(50.0, 200.0, 20.0, 26.0)
    assert (warm.unit, warm.mark) == ("C", "MEMORY")
    # The heat goes with the square of the current: the circular's figure lies above, on the safe side.
    assert warm.value > 50 + 150 * (20 / 26) ** 2
