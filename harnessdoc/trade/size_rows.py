"""Which row of a published table of sizes a conductor takes.

Takes a Size and the sizes a table has rows for; gives one of these, or None where
the conductor is thinner than them all. A conductor takes the row that is named like
it, else the row of the next smaller copper area: an SAE 14 of 1.88 mm2 is no 14 AWG.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from harnessdoc.trade.sizes import Size, System, awg_area_mm2, sae_areas_mm2

_MM2_A_CMIL = math.pi / 4 * 0.0254**2
"""A circular mil is the area of a circle of 0.001 in."""


def row_size(system: System, number: str, cmil: str = "") -> Size:
    """The size of a table's row; its area is the ``cmil`` the table prints, where it prints one."""
    if cmil:
        area = float(cmil) * _MM2_A_CMIL
    else:
        area = {"mm2": float, "AWG": awg_area_mm2, "SAE": sae_areas_mm2().__getitem__}[system](number)
    return Size(area, number, system, number)


def row_of(size: Size, sizes: Iterable[Size]) -> Size | None:
    """The row of ``size``: named like it, else the thickest that has no more copper; None where all have more."""
    no_thicker = []
    for row in sizes:
        if (row.system, row.number) == (size.system, size.number):
            return row
        if row.area_mm2 <= size.area_mm2 * (1 + 1e-9):
            no_thicker.append(row)
    return max(no_thicker, key=lambda row: row.area_mm2, default=None)


def row_words(size: Size, row: Size) -> str:
    """``SAE 14, 1.88 mm², takes the row of 16 AWG, 1.31 mm²``; "" where the row is named like the size."""
    if (row.system, row.number) == (size.system, size.number):
        return ""
    taker, taken = (str(s) if s.system == "mm2" else f"{s}, {s.area_mm2:.2f} mm²" for s in (size, row))
    return f"{taker}{'' if size.system == 'mm2' else ','} takes the row of {taken}"
