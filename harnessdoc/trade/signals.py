"""The closed list of signal kinds: what a cavity gives or takes.

A kind is seen from the device the cavity belongs to: ``reference-5v`` is given by
a control unit, the same wire arrives at the sensor as ``feed-5v``. The list is
whole; limits and laws are kept elsewhere. Facts: ``data/signals.csv``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from harnessdoc.trade.tables import rows

Direction = Literal["in", "out", "ground", "supply", "both"]
#: Cautions a kind may carry, each with a sheet's caution behind it.
CAUTIONS = ("airbag", "brake", "fuel", "ignition", "starter", "steering")


@dataclass(frozen=True, slots=True)
class Signal:
    """A signal kind.

    kind:      ``output-low``
    words:     what it is, in a few words
    direction: as seen from the cavity's own device
    caution:   "" or one of CAUTIONS
    """

    kind: str
    words: str
    direction: Direction
    caution: str
    origin: str
    mark: str


@cache
def signals() -> Mapping[str, Signal]:
    """Every signal kind by its name, in the order of the table."""
    return {r["kind"]: Signal(**r) for r in rows("signals")}  # type: ignore[arg-type]
