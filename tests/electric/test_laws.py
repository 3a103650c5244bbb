"""The laws of the elements: by hand, against each other, and rising everywhere."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harnessdoc.electric import Battery, Diode, Fuse, Lamp, PullUp, Resistor, Supply, running_motor
from harnessdoc.electric.laws import lawful_current
from harnessdoc.electric.slopes import diode_volts, law, linear

LAMP = Lamp("lamp", "a", "b", watts=21.0, volts=13.5)
FUSE = Fuse("fuse", "a", "b", cold_ohm=0.0077, rating_a=10.0, drop_v=0.109)
SUPPLY = Supply("supply", "a", "b", volts=14.2, ohm=0.01, limit_a=90.0)
DIODE = Diode("diode", "a", "b", is_a=5e-9, n=1.7, ohm=0.04)
CURVED = [LAMP, FUSE, SUPPLY, DIODE, Diode("hard", "a", "b", 1e-14, 1.0, 1e-5), Diode("soft", "a", "b", 1e-3, 10.0, 1e3),
          Lamp("cold", "a", "b", 1.2, 12.0, 1.0), Supply("bench", "a", "b", 5.0, 0.2, 0.1), Fuse("big", "a", "b", 0.0006, 80.0, 0.08)]


def current(element, volts: float) -> float:
    return law(element)(volts)[0]


def test_linear_laws_by_hand():
    assert linear(Resistor("r", "a", "b", 4.0)) == (0.25, 0.0)
    assert linear(Battery("b", "a", "b", 12.6, 0.02)) == pytest.approx((50.0, -630.0))
    assert linear(PullUp("p", "a", "b", 5.0, 1000.0)) == pytest.approx((0.001, -0.005))
    assert running_motor("m", "a", "b", 12.0, 4.0) == Resistor("m", "a", "b", 3.0)


def test_a_lamp_takes_its_watts_and_follows_facts_3_7():
    assert current(LAMP, 13.5) == pytest.approx(21.0 / 13.5, rel=1e-5)
    assert current(LAMP, 6.75) == pytest.approx(21.0 / 13.5 * 0.5**0.55, rel=1e-4)
    assert current(LAMP, -13.5) == -current(LAMP, 13.5)
    assert 1e-6 / current(LAMP, 1e-6) == pytest.approx(13.5**2 / 21.0 / 12)


def test_a_fuse_has_its_two_stated_points_and_is_bounded():
    assert current(FUSE, 0.109) == pytest.approx(10.0)
    assert 1e-9 / current(FUSE, 1e-9) == pytest.approx(0.0077)
    assert current(FUSE, 0.0024) == pytest.approx(0.312, abs=0.0005)
    assert 12.0 / current(FUSE, 12.0) == pytest.approx(2 * 0.0109 - 0.0077, rel=1e-3)


def test_a_supply_regulates_and_limits_and_takes_nothing_back():
    assert -current(SUPPLY, 14.2 - 0.01 * 40) == pytest.approx(40.0, abs=0.01)
    assert -current(SUPPLY, 0.0) == pytest.approx(90.0, rel=1e-4)
    assert current(SUPPLY, 14.2) == 0.0
    assert 0.0009 < current(SUPPLY, 16.0) < 0.001


def test_a_diode_by_hand():
    # 1 A: junction n kT/q ln(1 + 1/Is), and 40 mV in its resistance.
    expected = 1.7 * 0.0258649 * math.log(1 / 5e-9) + 0.04
    assert current(DIODE, expected) == pytest.approx(1.0, rel=1e-3)
    assert current(DIODE, -12.0) == pytest.approx(-5e-9 - 12e-12)
    assert diode_volts(DIODE)(current(DIODE, 0.9)) == pytest.approx(0.9)


@pytest.mark.parametrize("element", CURVED, ids=lambda element: element.id)
@given(volts=st.floats(-60, 60))
def test_solver_and_checker_state_the_same_law(element, volts):
    amps = current(element, volts)
    assert lawful_current(element, volts, amps) == pytest.approx(amps, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("element", CURVED, ids=lambda element: element.id)
@given(volts=st.floats(-30, 30))
def test_slopes_are_those_of_the_law_and_rise(element, volts):
    step = 1e-6
    slope = law(element)(volts)[1]
    low, high = current(element, volts - step), current(element, volts + step)
    assert slope > 0 and low <= high + 1e-15
    around = sorted((law(element)(volts - step)[1], slope, law(element)(volts + step)[1]))
    noise = 1e-14 * max(abs(low), abs(high), 1.0) / step
    assert around[0] - 1e-3 * around[0] - noise <= (high - low) / (2 * step) <= around[2] + 1e-3 * around[2] + noise


@pytest.mark.parametrize("element, field, factor", [
    (LAMP, "watts", 1.001), (LAMP, "hot_to_cold", 1.1), (FUSE, "drop_v", 1.001), (SUPPLY, "volts", 1.001), (DIODE, "n", 1.001)])
def test_a_changed_law_does_not_pass_for_the_other(element, field, factor):
    changed = replace(element, **{field: getattr(element, field) * factor})
    volts = 0.01 if field == "hot_to_cold" else 0.109 if element is FUSE else 13.9 if element is SUPPLY else 0.9
    amps = current(element, volts)
    assert abs(lawful_current(changed, volts, amps) - amps) > 1e-9 + 1e-9 * abs(amps)
