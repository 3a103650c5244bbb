"""Values in which small parts are made: resistors, their power, charge lamps.

Takes what is needed; gives the value made that does. Facts: ``data/preferred_values.csv``.
"""

from __future__ import annotations

from functools import cache
from math import floor, log10

from harnessdoc.trade.tables import rows


@cache
def _made(kind: str) -> tuple[float, ...]:
    return tuple(float(r["value"]) for r in rows("preferred_values") if r["kind"] == kind)


def resistor_ohm(most_ohm: float) -> float:
    """The largest resistor made that is not above ``most_ohm`` (more than 0)."""
    decade = 10.0 ** floor(log10(most_ohm))
    return float(f"{max(step for step in _made('resistor') if step * decade <= most_ohm * (1 + 1e-9)) * decade:.3g}")


def resistor_w(least_w: float) -> float:
    """The smallest power rating that is not below ``least_w``; the largest there is where none is."""
    return next((watts for watts in _made("resistor-power") if watts >= least_w), _made("resistor-power")[-1])


def charge_lamp_w(least_w: float) -> float | None:
    """The smallest charge lamp that is not below ``least_w``; None where none is."""
    return next((watts for watts in _made("charge-lamp") if watts >= least_w), None)
