"""The handbook's fuse for a wire, to be shown beside one that was worked out.

Takes a Size; gives the fuse of FAA AC 43.13-1B, table 11-3: a guide, and a
conservative one. Facts: ``data/wire_fuses.csv``; the circular mils of its rows are
those of the same circular's table 11-9, ``data/ampacity.csv``.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache

from harnessdoc.trade.size_rows import row_of, row_size, row_words
from harnessdoc.trade.sizes import Size
from harnessdoc.trade.tables import Fact, rows


@lru_cache(maxsize=1024)
def handbook_fuse_a(size: Size) -> Fact | None:
    """The largest fuse in A for a conductor of ``size``; its origin names the row. None for one thinner than 22 AWG."""
    row = row_of(size, _table())
    if row is None:
        return None
    fact = _table()[row]
    return Fact(fact.value, fact.unit, f"{fact.origin}, {row_words(size, row) or f'row of {row}'}", fact.mark)


@cache
def _table() -> Mapping[Size, Fact]:
    cmil = {r["number"]: r["cmil"] for r in rows("ampacity") if r["cmil"]}
    return {row_size("AWG", r["number"], cmil[r["number"]]): Fact(float(r["fuse_a"]), "A", r["origin"], r["mark"]) for r in rows("wire_fuses")}


NEARLY = 0.6
"""Of the area in the makers' table: what is thinner than that is more than a size off. Design choice."""


def is_customary(fuse_a: float, area_mm2: float) -> bool:
    """Whether a vehicle maker would put a conductor of that area behind that fuse, give or take a size."""
    least = least_wire(fuse_a)
    return least is None or area_mm2 >= NEARLY * least.value


@cache
def least_wire(fuse_a: float) -> Fact | None:
    """The least conductor in mm2 that a vehicle maker puts behind a fuse, by the last row of the table that the fuse reaches; None below its first row and above its last."""
    table = rows("fuse_least_wires")
    reached = [r for r in table if float(r["fuse_a"]) <= fuse_a <= float(table[-1]["fuse_a"])]
    return Fact(float(reached[-1]["area_mm2"]), "mm2", f"{reached[-1]['origin']}, row of {reached[-1]['fuse_a']} A", reached[-1]["mark"]) if reached else None
