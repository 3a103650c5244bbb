"""Factors for the diameter of a bundle.

Gives the trade's factor for wires laid at random, and the coefficients of
IEC 60502-1 for equal cores laid up, to compare with. Facts:
``data/factors.csv``, ``data/iec60502_factors.csv``.
"""

from __future__ import annotations

from functools import cache

from harnessdoc.trade.tables import Fact, factors, rows


def random_lay_factor() -> Fact:
    """The factor before the root of the sum of squared diameters."""
    return factors()["random-lay"]


@cache
def laid_up_factor(wires: int, with_centre: bool = False) -> Fact | None:
    """Diameter over ``wires`` equal cores laid up, in core diameters; None beyond the table (2 to 27).

    ``with_centre``: 7, 8 and 9 cores laid round a centre one.
    """
    for row in rows("iec60502_factors"):
        if int(row["wires"]) == wires:
            value = row["factor_with_centre"] if with_centre and row["factor_with_centre"] else row["factor"]
            return Fact(float(value), "", row["origin"], row["mark"])
    return None
