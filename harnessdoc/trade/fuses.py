"""Fuses: types, ratings, and the colour a rating has.

A colour helps to find a fuse; where makers differ it decides nothing, and the row
says so. Facts: ``data/fuse_types.csv``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from harnessdoc.trade.tables import rows


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


def fuse_colour(fuse_type: str, rating_a: float) -> FuseColour | None:
    """The colour of a fuse; None for a rating the type is not made in, or one that has no colour known."""
    return _table().get((fuse_type, rating_a))
