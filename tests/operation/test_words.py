"""Readings in words, and when one has moved."""

from __future__ import annotations

import pytest

from harnessdoc.operation.moved import moved
from harnessdoc.operation.words import amps_shown, ohms_shown, volts_shown


@pytest.mark.parametrize("volts, shown", [(12.346, "12.35"), (0.004, "0.00"), (-0.004, "0.00"), (-0.0, "0.00"), (-0.006, "-0.01"), (5.0, "5.00"), (None, "float")])
def test_volts_as_a_meter_shows_them(volts, shown) -> None:
    assert volts_shown(volts) == shown


@pytest.mark.parametrize("ohm, shown", [(0.0, "0.00"), (0.058, "0.06"), (9.994, "9.99"), (9.996, "10.0"), (60.09, "60.1"), (120.4, "120"), (999.4, "999"), (1000, "1 k"), (2540, "2.54 k"), (1e6, "1000 k")])
def test_ohms_as_a_meter_shows_them(ohm, shown) -> None:
    assert ohms_shown(ohm) == shown


@pytest.mark.parametrize("amps, shown", [(0.0, "0.0 mA"), (-1e-7, "0.0 mA"), (0.0123, "12.3 mA"), (0.105, "105 mA"), (0.9996, "1.00 A"), (16.46, "16.5 A"), (178.1, "178 A"), (-4.01, "-4.01 A")])
def test_amperes_as_a_meter_shows_them(amps, shown) -> None:
    assert amps_shown(amps) == shown


@pytest.mark.parametrize("was, now, is_moved", [
    (12.0, 12.33, False), (12.0, 12.36, True), (12.0, 12.343, False), (0.0, 0.1, False), (0.0, 0.11, True), (None, None, False), (None, 0.0, True), (0.0, None, True), (-12.0, 12.0, True)])
def test_a_tenth_of_a_volt_and_two_per_cent_are_no_move(was, now, is_moved) -> None:
    assert moved(was, now) is is_moved
    assert moved(now, was) is is_moved
