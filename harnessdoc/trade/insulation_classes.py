"""Temperature classes of the insulation of vehicle wire, and what each is usually made of.

Takes how warm it gets; gives the first class that stands it, as a wire type is written.
Facts: ``data/insulation_classes.csv``.
"""

from __future__ import annotations

from harnessdoc.trade.tables import rows


def type_above(temperature_c: float) -> str | None:
    """``XLPE 125 C``: the coolest class above a temperature in C; None where none is."""
    return next((f"{row['type']} {row['temperature_c']} C" for row in rows("insulation_classes") if float(row["temperature_c"]) > temperature_c), None)
