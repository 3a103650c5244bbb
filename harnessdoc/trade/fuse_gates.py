"""How soon a fuse opens: the gates its makers test it by.

Takes the type of a fuse (``blade``) and how many times its rating flows; gives the
shortest and longest time to open. Between two gates nothing is said but that it opens
no later than at the lower one. Types without gates (cartridge, midi, mega, torpedo)
get none, and no verdict: their maker's sheet decides. Facts: ``data/fuse_gates.csv``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from harnessdoc.trade.tables import Fact, rows

_GATE_OF_TYPE = {"blade": "fast", "mini": "fast", "low-profile": "fast", "maxi": "slow"}
"""Types C and F of ISO 8820-3 are tested by the fast gates, type E by the slow ones."""


@dataclass(frozen=True, slots=True)
class Gate:
    """At a share of its rating a fuse opens no sooner than ``min_s`` and no later than ``max_s``, in s; None: it may stay closed."""

    min_s: Fact
    max_s: Fact | None


@cache
def gates(fuse_type: str) -> Mapping[float, Gate] | None:
    """Current over rating -> gate, lowest first; None where no gates are known of the type (any text)."""
    if fuse_type not in _GATE_OF_TYPE:
        return None
    bounds: dict[float, dict[str, Fact]] = {}
    for r in rows("fuse_gates"):
        if r["gate"] == _GATE_OF_TYPE[fuse_type]:
            bounds.setdefault(float(r["share_of_rating"]), {})[r["bound"]] = Fact(float(r["time_s"]), "s", r["origin"], r["mark"])
    return {share: Gate(bound["min"], bound.get("max")) for share, bound in sorted(bounds.items())}


def opens_within(fuse_type: str, share: float) -> Fact | None:
    """The longest time in s a fuse takes to open at ``share`` times its rating: that of the highest gate at or below it.

    None where no gate is that low (below 1.35 times the rating a fuse may stay closed for good), or the type has none.
    """
    # A share is a quotient: 1.35 may come out a hair below.
    reached = [gate.max_s for at, gate in (gates(fuse_type) or {}).items() if at <= share * (1 + 1e-9)]
    return reached[-1] if reached else None
