"""The closed list of signal kinds: what a cavity gives or takes.

A kind is seen from the device the cavity belongs to: ``reference-5v`` is given by
a control unit, the same wire arrives at the sensor as ``feed-5v``. The list is
whole. Facts: ``data/signals.csv``, all common practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from harnessdoc.trade.tables import rows

Direction = Literal["in", "out", "ground", "supply", "both"]
#: What drives the line from inside the device: to ground, to the supply, either way, nothing.
Drive = Literal["low", "high", "both", "none"]
DRIVES = ("low", "high", "both", "none")
#: Cautions a kind may carry, each with a sheet's caution behind it.
CAUTIONS = ("airbag", "brake", "fuel", "ignition", "starter", "steering")


@dataclass(frozen=True, slots=True)
class Signal:
    """A signal kind.

    kind:      ``output-low``
    words:     what it is, in a few words
    direction: as seen from the cavity's own device
    caution:   "" or one of CAUTIONS
    drive:     one of DRIVES: which side it is driven to from inside the device
    rail:      the voltage it lives on, in words: ``supply``, ``5 V``, ``ground``, ``bus``
    supplied_by: who gives that voltage, in words
    limit_a:   the most an output usually carries, in A; None where nothing is driven or no limit is usual
    tested:    how it is tested, in words
    explained: what to know of it, one line
    """

    kind: str
    words: str
    direction: Direction
    caution: str
    drive: Drive
    rail: str
    supplied_by: str
    limit_a: float | None
    tested: str
    explained: str
    origin: str
    mark: str


@cache
def signals() -> Mapping[str, Signal]:
    """Every signal kind by its name, in the order of the table."""
    return {r["kind"]: Signal(**{**r, "limit_a": float(r["limit_a"]) if r["limit_a"] else None}) for r in rows("signals")}  # type: ignore[arg-type]


def is_driven(kind: str) -> bool:
    """Whether something inside the device drives a cavity with this signal; False where it is no kind."""
    signal = signals().get(kind)
    return signal is not None and signal.drive != "none"
