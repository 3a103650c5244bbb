"""Crimp sleeves by the copper in them, heat-shrink by what it must pass and grip.

Takes areas in mm2 and diameters in mm; gives a row of the table, or None: none in
the table. Facts: ``data/splice_sleeves.csv``, ``data/heat_shrink.csv``,
``data/factors.csv``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from harnessdoc.trade.tables import factors, rows


@dataclass(frozen=True, slots=True)
class Sleeve:
    """A crimp sleeve and the total copper area it takes, both ends included."""

    name: str
    least_mm2: float
    most_mm2: float
    origin: str
    mark: str


@dataclass(frozen=True, slots=True)
class Shrink:
    """Heat-shrink tube: inside diameter as supplied and after it has shrunk freely."""

    ratio: str
    supplied_mm: float
    recovered_mm: float
    adhesive: bool
    origin: str
    mark: str

    @property
    def name(self) -> str:
        """``9/3 mm, 3:1, adhesive``."""
        return f"{self.supplied_mm:g}/{self.recovered_mm:g} mm, {self.ratio}" + (", adhesive" if self.adhesive else "")


@cache
def sleeves() -> tuple[Sleeve, ...]:
    """Every sleeve, smallest first."""
    return tuple(Sleeve(r["name"], float(r["least_mm2"]), float(r["most_mm2"]), r["origin"], r["mark"]) for r in rows("splice_sleeves"))


@cache
def shrinks() -> tuple[Shrink, ...]:
    """Every tube, 2:1 before 3:1 before 4:1, smallest first."""
    return tuple(
        Shrink(r["ratio"], float(r["supplied_mm"]), float(r["recovered_mm"]), r["adhesive"] == "yes", r["origin"], r["mark"])
        for r in rows("heat_shrink")
    )


def sleeve_for(total_area_mm2: float) -> Sleeve | None:
    """The sleeve whose range holds the copper; None between ranges and outside them: split the splice, or solder it.

    Where two ranges touch, the smaller sleeve. Hundredths of a mm2 more or less do not change a sleeve.
    """
    total = round(total_area_mm2, 2)
    return next((s for s in sleeves() if s.least_mm2 <= total <= s.most_mm2), None)


def shrink_for(largest_mm: float, smallest_mm: float, sealed: bool = False) -> Shrink | None:
    """The first tube that passes over ``largest_mm`` and grips ``smallest_mm``, with adhesive where ``sealed``; None for none.

    It passes where supplied >= 1.2 x largest, and grips where smallest >= 1.25 x recovered.
    """
    room, grip = factors()["shrink-room"].value, factors()["shrink-grip"].value
    for tube in shrinks():
        if (tube.adhesive or not sealed) and tube.supplied_mm >= room * largest_mm - 1e-9 and smallest_mm >= grip * tube.recovered_mm - 1e-9:
            return tube
    return None
