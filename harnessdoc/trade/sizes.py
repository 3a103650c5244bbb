"""Conductor sizes: square millimetres, AWG and SAE J1128 numbers.

The three stay three things: 14 AWG is 2.08 mm2 by the ASTM B258 formula, SAE 14
may hold 1.88 mm2, and neither is 2 mm2. Takes numbers as the trade writes them
(``14``, ``2/0``); gives a Size, whose area is what calculations use.

Formula of ASTM B258: from memory, agrees with a public table for 13 sizes.
SAE areas: ``data/sae_j1128.csv``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cache
from typing import Literal

from harnessdoc.trade.tables import rows

System = Literal["mm2", "AWG", "SAE"]
#: Aught sizes by their number in the formula.
_AUGHTS = {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}
#: AWG numbers a harness may hold; the thinnest has a strand's size.
AWG_NUMBERS = (*reversed(_AUGHTS), *(str(n) for n in range(1, 37)))


@dataclass(frozen=True, slots=True)
class Size:
    """The size of a conductor.

    area_mm2: what calculations use
    stated:   as it was written; not compared
    system:   "mm2", "AWG" or "SAE"
    number:   tidy: ``0.75``, ``14``, ``1/0``
    """

    area_mm2: float
    stated: str = field(compare=False)
    system: System
    number: str

    def __str__(self) -> str:
        return print_size(self)


def print_size(size: Size) -> str:
    """``2 mm²``, ``14 AWG``, ``SAE 14``."""
    match size.system:
        case "mm2":
            return f"{size.number} mm²"
        case "AWG":
            return f"{size.number} AWG"
        case "SAE":
            return f"SAE {size.number}"


def awg_diameter_mm(number: str) -> float:
    """Diameter of the solid conductor: 0.005 in x 92^((36 - n)/39), ASTM B258 (the formula from memory)."""
    n = _AUGHTS.get(number)
    return 0.127 * 92 ** ((36 - (int(number) if n is None else n)) / 39)


def awg_area_mm2(number: str) -> float:
    """Area of the AWG conductor ``number`` (``14``, ``2/0``)."""
    return math.pi / 4 * awg_diameter_mm(number) ** 2


@cache
def sae_areas_mm2() -> dict[str, float]:
    """SAE number -> smallest area the conductor may have, thinnest first."""
    return {row["number"]: float(row["area_mm2"]) for row in rows("sae_j1128")}
