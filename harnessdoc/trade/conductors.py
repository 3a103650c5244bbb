"""What a conductor of a size has: resistance, outside diameter with its insulation.

Takes a Size and a WireType; gives facts with their origin and mark, for an
outside diameter is often an estimate and the reader is told. Facts:
``data/conductors.csv`` (ISO 6722 resistances), ``data/outside_diameters.csv``,
``data/factors.csv`` (resistivity of copper).
"""

from __future__ import annotations

import math
from bisect import bisect_left
from functools import cache, lru_cache

from harnessdoc.trade.sizes import Size, sae_areas_mm2
from harnessdoc.trade.tables import Fact, factors, rows
from harnessdoc.trade.wire_types import WireType

#: Beyond the thickest row of a table a diameter is carried on to this area; a battery cable is no thicker.
_THICKEST_MM2 = 120.0
#: Below its thinnest row a table is carried on to this share of the row's area.
_THINNEST_SHARE = 0.5


@lru_cache(maxsize=1024)
def resistance_mohm_m(size: Size, tinned: bool = False) -> Fact:
    """Largest resistance at 20 C in mohm/m.

    A metric size of the ISO 6722 table has the table's figure (from memory); every
    other size is worked out from its area and the resistivity of copper.
    """
    if size.system == "mm2":
        for row in rows("conductors"):
            if row["area_mm2"] == size.number:
                return Fact(float(row["tinned_mohm_m" if tinned else "bare_mohm_m"]), "mohm/m", row["origin"], row["mark"])
    copper = factors()["copper-resistivity"]
    return Fact(copper.value / size.area_mm2, "mohm/m", "resistivity of copper over the area", "DERIVED")


def resistance_at(resistance_20c: float, temperature_c: float) -> float:
    """The resistance (any unit) of a copper conductor at ``temperature_c``, from that at 20 C: (234.5 + T)/254.5."""
    zero = factors()["copper-zero"].value
    return resistance_20c * (zero + temperature_c) / (zero + 20.0)


@lru_cache(maxsize=4096)
def od_mm(size: Size, wire_type: WireType | None) -> Fact | None:
    """Outside diameter in mm of a wire; None where no table reaches (below half the thinnest row's area, above 120 mm2).

    A size the table lacks is taken between its neighbours on the root of the
    area, for a diameter grows with it. ``None`` for the type (insulation
    unknown) takes thin-wall cable, and says so.
    """
    table = _diameters(wire_type.family if wire_type else "thin wall")
    for number, area, od, origin, mark in table:
        if number == size.number and (size.system == "mm2") == (wire_type is None or wire_type.family == "thin wall"):
            return _told(Fact(od, "mm", origin, mark), wire_type)
    areas = [row[1] for row in table]
    if not _THINNEST_SHARE * areas[0] <= size.area_mm2 <= _THICKEST_MM2:
        return None
    above = min(max(bisect_left(areas, size.area_mm2), 1), len(table) - 1)
    (low, low_area, low_od, _, low_mark), (high, high_area, high_od, _, high_mark) = table[above - 1], table[above]
    share = (math.sqrt(size.area_mm2) - math.sqrt(low_area)) / (math.sqrt(high_area) - math.sqrt(low_area))
    if 0 <= share <= 1:
        origin = f"estimate: between {low} and {high} of the table"
    else:
        origin = f"estimate: carried on {'below ' + low if share < 0 else 'beyond ' + high} of the table"
    mark = "MEMORY" if "MEMORY" in (low_mark, high_mark) else "DERIVED"
    return _told(Fact(round(low_od + share * (high_od - low_od), 2), "mm", origin, mark), wire_type)


def _told(fact: Fact, wire_type: WireType | None) -> Fact:
    if wire_type is not None:
        return fact
    return Fact(fact.value, fact.unit, f"insulation unknown, thin wall taken: {fact.origin}", "MEMORY" if fact.mark == "MEMORY" else "DERIVED")


@cache
def _diameters(family: str) -> tuple[tuple[str, float, float, str, str], ...]:
    """(number, area_mm2, od_mm, origin, mark) of a family, thinnest first."""
    found = []
    for row in rows("outside_diameters"):
        if row["family"] == family:
            area = float(row["number"]) if row["system"] == "mm2" else sae_areas_mm2()[row["number"]]
            found.append((row["number"], area, float(row["od_mm"]), row["origin"], row["mark"]))
    return tuple(sorted(found, key=lambda r: r[1]))
