"""Values in which resistors and charge lamps are made."""

from __future__ import annotations

import pytest

from harnessdoc.trade.preferred_values import charge_lamp_w, resistor_ohm, resistor_w


@pytest.mark.parametrize(("most", "made"), [(1.0, 1.0), (151.9, 150.0), (150.0, 150.0), (149.9, 120.0), (0.99, 0.82), (1000.0, 1000.0), (8300.0, 8200.0)])
def test_the_resistor_next_below(most, made):
    assert resistor_ohm(most) == pytest.approx(made)


def test_the_steps_of_a_decade_are_those_of_a_geometric_series_rounded():
    made = [resistor_ohm(10 ** (step / 12) * 1.08) for step in range(12)]
    assert made == sorted(set(made)) and all(abs(ohm / 10 ** (step / 12) - 1) < 0.06 for step, ohm in enumerate(made))


def test_power_and_lamps():
    assert (resistor_w(0.4), resistor_w(0.51), resistor_w(99.0)) == (0.5, 1.0, 20.0)
    assert (charge_lamp_w(1.0), charge_lamp_w(2.1), charge_lamp_w(11.0)) == (2.0, 3.0, None)
