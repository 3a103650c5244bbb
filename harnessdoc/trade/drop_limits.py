"""How much voltage a path may lose, by what it feeds.

Takes one of ``kinds()`` and the nominal supply in V; gives limits for the way out, the way
back, or both together. The figures are those of a 12 V system (14 V while it charges)
and go in proportion to the supply. Facts: ``data/drop_limits.csv``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from harnessdoc.trade.tables import rows

_FIGURES_FOR_V = 12.0


@dataclass(frozen=True, slots=True)
class DropLimit:
    """The largest drop in V of a kind of path.

    kind, words: one of ``kinds()``, and what it is for
    feed_v:      from the source to what it feeds
    return_v:    from there back to the source
    total_v:     both, with what lies between (switches, fuses, contacts)
    Each is None where the source gives none.
    """

    kind: str
    words: str
    feed_v: float | None
    return_v: float | None
    total_v: float | None
    origin: str
    mark: str


@cache
def _table() -> Mapping[str, DropLimit]:
    def volts(text: str) -> float | None:
        return float(text) if text else None

    return {r["kind"]: DropLimit(r["kind"], r["words"], volts(r["feed_v"]), volts(r["return_v"]), volts(r["total_v"]), r["origin"], r["mark"])
            for r in rows("drop_limits")}


@cache
def kinds() -> tuple[str, ...]:
    """The closed list: ``continuous``, ``lamp``, ``starter-main``, ..., in the order of the table."""
    return tuple(_table())


def drop_limit(kind: str, supply_v: float) -> DropLimit:
    """The limits of ``kind`` (one of ```kinds()```; KeyError for any other) for a nominal supply of ``supply_v``."""
    limit = _table()[kind]
    if supply_v == _FIGURES_FOR_V:
        return limit

    def in_proportion(volts: float | None) -> float | None:
        return None if volts is None else round(volts * supply_v / _FIGURES_FOR_V, 6)

    return replace(
        limit, feed_v=in_proportion(limit.feed_v), return_v=in_proportion(limit.return_v), total_v=in_proportion(limit.total_v),
        origin=f"{limit.origin}; in proportion from {_FIGURES_FOR_V:g} to {supply_v:g} V", mark="MEMORY" if limit.mark == "MEMORY" else "DERIVED",
    )
