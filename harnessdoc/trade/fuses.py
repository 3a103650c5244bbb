"""Fuses: types, ratings, the colour a rating has, and the resistance.

A colour helps to find a fuse; where makers differ it decides nothing, and the row
says so. Facts: ``data/fuse_types.csv``, ``data/fuse_resistances.csv``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from harnessdoc.trade.tables import Fact, factors, rows


@dataclass(frozen=True, slots=True)
class FuseColour:
    """The colour of a fuse in words; ``varies`` where makers differ."""

    words: str
    varies: bool
    origin: str
    mark: str


@cache
def _table() -> dict[tuple[str, float], FuseColour | None]:
    return {
        (r["type"], float(r["rating_a"])): FuseColour(r["colour"], r["between_makers"] == "varies", r["origin"], r["mark"]) if r["colour"] else None
        for r in rows("fuse_types")
    }


@cache
def fuse_types() -> tuple[str, ...]:
    """``blade``, ``mini``, ``low-profile``, ``maxi``, ..."""
    return tuple(dict.fromkeys(kind for kind, _ in _table()))


def standard_ratings(fuse_type: str) -> tuple[float, ...]:
    """The ratings in A a type is made in, smallest first; empty for what is no type."""
    return tuple(sorted(rating for kind, rating in _table() if kind == fuse_type))


def fuse_colour(fuse_type: str, rating_a: float) -> FuseColour | None:
    """The colour of a fuse; None for a rating the type is not made in, or one that has no colour known."""
    return _table().get((fuse_type, rating_a))


_BODIES_AS_BLADE = ("blade", "mini", "low-profile")
"""The table is of blade fuses, its bands are said to hold over types; of larger bodies nothing was found."""


def fuse_resistance(fuse_type: str, rating_a: float) -> tuple[Fact, Fact]:
    """Of a fuse of this type (any text) and rating: its resistance cold in ohm, and what it drops at its rating in V.

    Where the table has no drop it is worked out from the cold resistance; where it has
    neither, the cold resistance is worked out from a usual drop.
    """
    hot, usual = factors()["fuse-hot"], factors()["fuse-drop"]
    row = _resistances().get(rating_a) if fuse_type in _BODIES_AS_BLADE else None
    if row is None:
        return Fact(usual.value / rating_a / hot.value, "ohm", usual.origin, usual.mark), usual
    cold_ohm, drop_v, origin, mark = row
    drop = Fact(drop_v, "V", origin, mark) if drop_v else Fact(cold_ohm * rating_a * hot.value, "V", f"{origin}; {hot.origin}", "DERIVED")
    return Fact(cold_ohm, "ohm", origin, mark), drop


@cache
def _resistances() -> dict[float, tuple[float, float | None, str, str]]:
    """Rating in A -> cold resistance in ohm, drop at rating in V, origin, mark."""
    return {float(r["rating_a"]): (float(r["cold_mohm"]) / 1000, float(r["drop_mv"]) / 1000 if r["drop_mv"] else None, r["origin"], r["mark"])
            for r in rows("fuse_resistances")}
