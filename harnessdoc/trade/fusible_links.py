"""Fusible links: how much thinner than the wire it protects a link is.

The trade's rule counts gauge numbers: a link is four numbers thinner than its wire,
18 for 14, in AWG and in SAE J1128 alike. Where one of the two is metric there is no
number to count, and copper decides: four AWG numbers are 92^(8/39), 2.53 times the
area, by the formula of ASTM B258. Fact: ``data/factors.csv``.
"""

from __future__ import annotations

from harnessdoc.trade.size_rows import row_size
from harnessdoc.trade.sizes import AWG_NUMBERS, Size, sae_areas_mm2
from harnessdoc.trade.tables import Fact, factors


def link_rule() -> Fact:
    """How many gauge numbers a link is thinner than what it protects."""
    return factors()["fusible-link-numbers"]


def area_ratio() -> float:
    """Copper of the wire over copper of its link: as many AWG numbers as the rule says."""
    return 92.0 ** (2 * link_rule().value / 39)


def protects(link: Size, wire: Size) -> bool:
    """Whether a link of size ``link`` is thin enough for ``wire``."""
    if "mm2" in (link.system, wire.system):
        return wire.area_mm2 >= link.area_mm2 * area_ratio() * (1 - 1e-9)
    return AWG_NUMBERS.index(link.number) - AWG_NUMBERS.index(wire.number) >= link_rule().value


def link_for(wire: Size) -> Size | None:
    """The thickest link that protects ``wire``: of its own kind of number, in AWG for a metric wire; None where all are too thick."""
    sizes = (row_size("SAE", n) for n in sae_areas_mm2()) if wire.system == "SAE" else (row_size("AWG", n) for n in AWG_NUMBERS)
    return max((link for link in sizes if protects(link, wire)), key=lambda link: link.area_mm2, default=None)
