"""The laws as the solver needs them: current and slope at a voltage.

A linear element is a conductance and a current at 0 V. Any other is a function of
its voltage (V) that gives current (A) and slope (S, above zero), smooth everywhere.
``laws.py`` states the same laws apart, for the checker.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, expm1, log1p, sqrt

from .elements import (
    BACK_A, JUNCTION_LEAK_S, LAMP_EXPONENT, LIMIT_SOFTNESS, THERMAL_V,
    Battery, Diode, Element, Fuse, Lamp, PullUp, Resistor, Supply,
)

Law = Callable[[float], tuple[float, float]]


def linear(element: Element) -> tuple[float, float] | None:
    """(conductance, current at 0 V), or None where the element is not linear."""
    if isinstance(element, Resistor):
        return 1.0 / element.ohm, 0.0
    if isinstance(element, Battery):
        return 1.0 / element.ohm, -element.emf_v / element.ohm
    if isinstance(element, PullUp):
        return 1.0 / element.ohm, -element.volts / element.ohm
    return None


def law(element: Lamp | Fuse | Supply | Diode) -> Law:
    """Voltage -> current and slope."""
    if isinstance(element, Lamp):
        return _lamp(element)
    if isinstance(element, Fuse):
        return _fuse(element)
    return _supply(element) if isinstance(element, Supply) else _diode(element)


def first_line(element: Lamp | Fuse | Supply | Diode) -> tuple[float, float]:
    """Conductance and current at 0 V of the straight line to begin with, where nothing better is known.

    Lamps burn, fuses are cold, supplies are within their limits, diodes block.
    """
    if isinstance(element, Lamp):
        return element.watts / element.volts**2, 0.0
    if isinstance(element, Fuse):
        return 1.0 / element.cold_ohm, 0.0
    if isinstance(element, Supply):
        return 1.0 / element.ohm, -element.volts / element.ohm
    return element.is_a / (element.n * THERMAL_V), 0.0


def _lamp(lamp: Lamp) -> Law:
    per_volt = 1.0 / lamp.volts
    hot = lamp.watts * per_volt * per_volt
    fall = 1.0 - LAMP_EXPONENT
    cold_square = lamp.hot_to_cold ** (-2.0 / fall)

    def at(v: float) -> tuple[float, float]:
        square = (v * per_volt) ** 2
        conductance = hot * (square + cold_square) ** (-fall / 2)
        return conductance * v, conductance * (1.0 - fall * square / (square + cold_square))

    return at


def _fuse(fuse: Fuse) -> Law:
    cold = fuse.cold_ohm
    rise = 2.0 * (fuse.drop_v / fuse.rating_a - cold)
    drop_square = fuse.drop_v**2

    def at(v: float) -> tuple[float, float]:
        share = v * v / (drop_square + v * v)
        ohm = cold + rise * share
        return v / ohm, (ohm - 2.0 * rise * share * (1.0 - share)) / (ohm * ohm)

    return at


def _supply(supply: Supply) -> Law:
    volts, ohm, limit = supply.volts, supply.ohm, supply.limit_a
    bend = (LIMIT_SOFTNESS * limit) ** 2
    no_load = sqrt(limit * limit + bend)

    def at(v: float) -> tuple[float, float]:
        asked = (volts - v) / ohm
        past = asked - limit
        to_limit = sqrt(past * past + bend)
        # Written so that no two numbers are subtracted that are nearly the same.
        if past > 0:
            rest = bend / (to_limit + past)
            given, slope = (limit + no_load - rest) / 2, rest / to_limit / 2
        else:
            given, slope = asked * (1.0 + (2.0 * limit - asked) / (no_load + to_limit)) / 2, (1.0 - past / to_limit) / 2
        if given < 0:
            share = 1.0 / (1.0 - given / BACK_A)
            given, slope = given * share, slope * share * share
        return -given, slope / ohm

    return at


def _diode(diode: Diode) -> Law:
    saturation, ohm = diode.is_a, diode.ohm
    scale = diode.n * THERMAL_V
    leak = JUNCTION_LEAK_S * scale

    def at(v: float) -> tuple[float, float]:
        # Junction voltage y (in units of scale) from scale y + ohm I(y) = v: rising and
        # convex in y, so Newton from above the root comes down to it and cannot miss it.
        y = min(v / scale, log1p(v / (ohm * saturation))) if v > 0 else 0.0
        for _ in range(100):
            growth = exp(y)
            error = scale * y + ohm * (saturation * expm1(y) + leak * y) - v
            step = error / (scale + ohm * (saturation * growth + leak))
            y -= step
            if abs(step) <= 1e-14 * abs(y) + 1e-18:
                break
        current = saturation * expm1(y) + leak * y
        slope = (saturation * exp(y) + leak) / scale
        return current, slope / (1.0 + ohm * slope)

    return at


def diode_volts(diode: Diode) -> Callable[[float], float]:
    """Forward current (A) -> volts across ``diode``, its leak left out: a place to take the law next."""
    scale = diode.n * THERMAL_V
    return lambda current: scale * log1p(current / diode.is_a) + diode.ohm * current
