"""Wire types: what the insulation is, how warm it may get, how thick its wall is.

Takes ``PVC 85 C``, ``XLPE 125 C``, ``TXL``; gives a WireType or a WireTypeFault
(a value). Facts: ``data/wire_types.csv``.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from functools import cache, lru_cache

from harnessdoc.trade.tables import rows

#: Insulation of a vehicle wire lies between these; classes A to H are 85 to 250 C.
COOLEST_C, WARMEST_C = 60.0, 300.0
_WORDS = re.compile(r"([A-Za-z]+)(?: (.+))?")
_CELSIUS = re.compile(r"([0-9]{1,3}) ?°?C")


@dataclass(frozen=True, slots=True)
class WireType:
    """A wire type.

    name:          ``PVC``, ``GXL``
    insulation:    the material in words
    temperature_c: the warmest the conductor may get; None where neither the text nor the type says
    family:        the row of ``data/outside_diameters.csv`` its outside diameter comes from
    """

    name: str
    insulation: str
    temperature_c: float | None
    family: str

    def __str__(self) -> str:
        return self.name if self.temperature_c is None else f"{self.name} {self.temperature_c:g} C"


@dataclass(frozen=True, slots=True)
class WireTypeFault:
    """Text that names no wire type: ``message`` names it, ``do`` is the way out."""

    message: str
    do: str


@cache
def _types() -> dict[str, WireType]:
    return {
        r["name"]: WireType(r["name"], r["insulation"], float(r["temperature_c"]) if r["temperature_c"] else None, r["family"])
        for r in rows("wire_types")
    }


@lru_cache(maxsize=1024)
def parse_wire_type(text: str) -> WireType | WireTypeFault:
    """``PVC 85 C``: the name and the temperature class; ``GXL`` alone where the type has one class. Any case."""
    tidy = " ".join(text.split())
    match = _WORDS.fullmatch(tidy)
    names = {name.upper(): name for name in _types()}
    name = names.get(match[1].upper()) if match else None
    shown = f"'{tidy if len(tidy) <= 40 else tidy[:37] + '...'}'"
    if match is None or name is None:
        close = difflib.get_close_matches(match[1].upper() if match else tidy.upper(), list(names), n=1)
        listed = f"types: {', '.join(_types())}"
        return WireTypeFault(f"{shown} is not a wire type", f"did you mean {names[close[0]]}? {listed}" if close else f"write for example PVC 85 C; {listed}")
    known = _types()[name]
    if match[2] is None:
        return known
    warm = _CELSIUS.fullmatch(match[2].strip())
    if warm is None:
        return WireTypeFault(f"'{match[2][:37]}' in {shown} is not a temperature", f"write for example {name} 85 C")
    temperature_c = float(warm[1])
    if not COOLEST_C <= temperature_c <= WARMEST_C:
        return WireTypeFault(
            f"{shown}: {temperature_c:g} C is not between {COOLEST_C:g} and {WARMEST_C:g} C, where insulation of vehicle wires lies",
            "check the temperature class; it is in degrees Celsius",
        )
    return WireType(name, known.insulation, temperature_c, known.family)
