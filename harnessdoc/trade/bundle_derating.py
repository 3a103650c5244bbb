"""Bundles, altitude and conductor temperature as the FAA circular AC 43.13-1B works them out.

Takes a current in free air and what lies round the wire; gives what is left of it.
The circular has these as charts: their figures here are read off, to 0.01. Its table
11-9 has bundle and altitude in it already and takes none of this. Facts:
``data/bundle_derating.csv``, ``data/altitude_derating.csv``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

from harnessdoc.trade.tables import Fact, rows


@cache
def _bundles() -> Mapping[tuple[int, float], Fact]:
    return {(int(r["wires"]), float(r["share_percent"])): Fact(float(r["factor"]), "", r["origin"], r["mark"]) for r in rows("bundle_derating")}


def bundle_factor(wires: int, share_percent: float) -> Fact | None:
    """What is left in a bundle of ``wires`` loaded to ``share_percent`` of what it may carry; the chart's next higher line.

    None where the chart was not read: above 20 wires, above 20 % at 20 wires; above 100 % and below one wire.
    """
    lines = [share for count, share in _bundles() if count == wires and share >= share_percent]
    return _bundles()[wires, min(lines)] if lines else None


def altitude_factor(altitude_ft: float) -> Fact | None:
    """What is left at ``altitude_ft`` above the sea; the next higher row's. None above the last, 60,000 ft."""
    for r in rows("altitude_derating"):
        if altitude_ft <= float(r["altitude_ft"]):
            return Fact(float(r["factor"]), "", r["origin"], r["mark"])
    return None


def free_air_ampacity(free_air_a: float, wires: int, share_percent: float, altitude_factor: float) -> Fact | None:
    """What in A a wire may carry that carries ``free_air_a`` alone at sea level; None as of ``bundle_factor``."""
    bundle = bundle_factor(wires, share_percent)
    return bundle and Fact(free_air_a * altitude_factor * bundle.value, "A", bundle.origin, "DERIVED")


def conductor_temperature_c(ambient_c: float, rating_c: float, current_a: float, max_a: float) -> Fact:
    """How warm a conductor gets in C: T2 = T1 + (TR - T1) root(I2 / Imax), by the circular.

    rating_c: what its insulation stands; max_a: what it may carry there. The circular calls its formula quite
    conservative: the heat in a conductor goes with the square of the current, not with its root. The root is
    from memory; the circular's example No. 2, 182 C, agrees with it and with no other law.
    """
    return Fact(ambient_c + (rating_c - ambient_c) * math.sqrt(current_a / max_a), "C", "formula of FAA AC 43.13-1B, 11-66", "MEMORY")
