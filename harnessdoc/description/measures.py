"""What is stated in more than one quantity: a range of sizes, pulses per turn or way, a curve.

Takes the text of one value (``0.5 mm2 to 1.5 mm2``, ``4000 per mile``), or the map of a
curve (``{40 C: 1305 ohm, 100 C: 190 ohm}``); gives two Sizes, a Pulses, a point of a Curve,
or a UnitFault. Must not know: what has or takes it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal, cast

from harnessdoc.trade.sizes import Size

from .units import Quantity, UnitFault, parse_quantity, parse_size

PerWhat = Literal["turn", "km", "mile"]
CurveUnit = Literal["C", "%"]

_TO = re.compile(r"(.+?) to (.+)")
_PULSES = re.compile(r"([0-9]+(?:\.[0-9]+)?) per (\S+)")
_PER = ("turn", "km", "mile")
_PER_HINTS = {"rev": "turn", "revolution": "turn", "rotation": "turn", "kilometre": "km", "kilometer": "km", "mi": "mile", "miles": "mile", "turns": "turn"}
_PULSES_MOST = 1e6
_PULSES_DO = "write a number, `per` and one of turn, km, mile: 4000 per mile"


@dataclass(frozen=True, slots=True)
class Pulses:
    """Pulses a turn, km or mile, and how they were stated (not compared)."""

    number: float
    per: PerWhat
    stated: str = field(default="", compare=False)

    def __str__(self) -> str:
        return self.stated


@dataclass(frozen=True, slots=True)
class Curve:
    """Resistance in ohm by temperature (unit "C") or share of the full reading (unit "%"); points sorted by the first; how it was stated (not compared)."""

    unit: CurveUnit
    points: tuple[tuple[float, float], ...]
    stated: str = field(default="", compare=False)

    def __str__(self) -> str:
        return self.stated


@lru_cache(maxsize=1024)
def parse_size_range(text: str) -> tuple[Size, Size] | UnitFault:
    """``0.5 mm2 to 1.5 mm2``, ``20 AWG to 16 AWG``: the smaller first (or one size twice), each in its own system."""
    both = _TO.fullmatch(" ".join(text.split()))
    if both is None:
        one = parse_size(text)
        if isinstance(one, Size):
            return UnitFault(f"'{text}' is one size, where the smallest and the largest are wanted", f"write both; {text} to {text} where it takes no other")
        return UnitFault(f"'{text}' is no range of sizes", "write the smallest and the largest: 0.5 mm2 to 1.5 mm2")
    sizes = []
    for end, other in ((both[1], both[2]), (both[2], both[1])):
        size = parse_size(end)
        if isinstance(size, UnitFault):
            unit = other.partition(" ")[2] if end.replace(".", "", 1).isdigit() else ""
            return UnitFault(size.message, f"write each size with its unit: {end} {unit}" if unit else size.do)
        sizes.append(size)
    least, most = sizes
    if least.area_mm2 > most.area_mm2:
        return UnitFault(f"'{text}' goes from large to small", f"write {most.stated} to {least.stated}")
    return least, most


@lru_cache(maxsize=1024)
def parse_pulses(text: str) -> Pulses | UnitFault:
    """``2 per turn``, ``4000 per mile``, ``2485 per km``."""
    tidy = " ".join(text.split())
    match = _PULSES.fullmatch(tidy)
    if match is None:
        return UnitFault(f"'{text}' does not say how many pulses for what", _PULSES_DO)
    if match[2] not in _PER:
        meant = _PER_HINTS.get(match[2].casefold())
        return UnitFault(f"'{match[2]}' is none of turn, km, mile in '{tidy}'", f"did you mean {match[1]} per {meant}?" if meant else _PULSES_DO)
    number = float(match[1])
    if not 0 < number <= _PULSES_MOST:
        return UnitFault(f"'{tidy}' is {'no pulse' if not number else f'more than {_PULSES_MOST:g} pulses'}", "check the number, or write unknown")
    return Pulses(number, cast(PerWhat, match[2]), tidy)


@lru_cache(maxsize=4096)
def parse_curve_key(text: str) -> Quantity | UnitFault:
    """What a point of a curve stands at: ``40 C``, ``-20 C``, ``0 %``."""
    if "%" in text or text.rstrip().endswith("percent"):
        return parse_quantity(text, "share", zero=True)
    read = parse_quantity(text, "temperature")
    if isinstance(read, UnitFault) and not text.rstrip().endswith("C"):
        return UnitFault(f"'{text}' is neither a temperature nor a share", "write for example 40 C, or 50 %")
    return read


def curve_of(points: Iterable[tuple[Quantity, Quantity]]) -> Curve | UnitFault:
    """The curve through points in any order: what each stands at, in one unit, and its resistance in ohm."""
    pairs = sorted(points, key=lambda pair: pair[0].value)
    units = sorted({at.unit for at, _ in pairs})
    if len(units) > 1:
        return UnitFault("some of its points stand at temperatures and some at shares", "write all of them as 40 C, or all as 50 %")
    for (one, _), (other, _) in zip(pairs, pairs[1:], strict=False):
        if one.value == other.value:
            return UnitFault(f"it has two points at {other.stated}", "keep one of them")
    stated = ", ".join(f"{at.stated}: {ohm.stated}" for at, ohm in pairs)
    return Curve(cast(CurveUnit, units[0]), tuple((at.value, ohm.value) for at, ohm in pairs), stated)
