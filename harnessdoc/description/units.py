"""Quantities as people write them: a number and a unit, always both.

Takes the text of one value (``420 mm``, ``5 ft 3 in``, ``18 AWG``, ``4.7 kohm``);
gives a Length, a Size, a Quantity, or a UnitFault: a value with the message and
the way out, never an exception. Results are cached by text, for a harness says
the same few hundred values ten thousand times.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from harnessdoc.trade.sizes import AWG_NUMBERS, Size, awg_area_mm2, sae_areas_mm2

KindName = Literal["current", "voltage", "resistance", "power", "temperature", "angle", "twist", "time", "bit rate", "share"]


@dataclass(frozen=True, slots=True)
class UnitFault:
    """Text that is no such quantity: ``message`` names it, ``do`` is the way out."""

    message: str
    do: str


@dataclass(frozen=True, slots=True)
class Length:
    """A length in mm, and how it was stated ("" where the program worked it out); the statement is not compared."""

    mm: float
    stated: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in the base unit of its kind (A, V, ohm, W, C, deg, /m, s, bit/s, %), and how it was stated (not compared)."""

    value: float
    unit: str
    stated: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class _Kind:
    noun: str
    base: str
    units: Mapping[str, float]
    example: str
    most: float
    hints: Mapping[str, str] = field(default_factory=dict)
    signed: bool = False


_LENGTH = _Kind(
    "a length", "mm", {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}, "420 mm", 200_000.0,
    {"inch": "in", "inches": "in", '"': "in", "″": "in", "feet": "ft", "foot": "ft", "'": "ft", "′": "ft", "metre": "m", "metres": "m", "meter": "m"},
)
_KINDS: Mapping[str, _Kind] = {
    "current": _Kind("a current", "A", {"A": 1.0, "mA": 1e-3, "µA": 1e-6}, "15 A", 5_000.0, {"amp": "A", "amps": "A", "uA": "µA"}),
    "voltage": _Kind("a voltage", "V", {"V": 1.0, "mV": 1e-3, "kV": 1e3}, "12 V", 100_000.0, {"volt": "V", "volts": "V"}),
    "resistance": _Kind(
        "a resistance", "ohm",
        {"ohm": 1.0, "mohm": 1e-3, "kohm": 1e3, "Mohm": 1e6, "Ω": 1.0, "mΩ": 1e-3, "kΩ": 1e3, "MΩ": 1e6}, "47 ohm", 1e9,
        {"ohms": "ohm", "R": "ohm", "k": "kohm", "M": "Mohm"},
    ),
    "power": _Kind("a power", "W", {"W": 1.0, "mW": 1e-3, "kW": 1e3}, "5 W", 100_000.0, {"watt": "W", "watts": "W"}),
    "temperature": _Kind("a temperature", "C", {"C": 1.0, "°C": 1.0}, "85 C", 1_200.0, {"deg C": "C", "K": "C"}, signed=True),
    "angle": _Kind("an angle", "deg", {"deg": 1.0, "°": 1.0}, "90 deg", 360.0, {"degrees": "deg"}, signed=True),
    "twist": _Kind("a twist rate", "/m", {"/m": 1.0}, "33 /m", 1_000.0, {"per m": "/m", "turns/m": "/m"}),
    "time": _Kind("a time", "s", {"s": 1.0, "ms": 1e-3, "min": 60.0}, "2 s", 86_400.0, {"sec": "s", "second": "s", "seconds": "s", "minute": "min", "minutes": "min"}),
    "bit rate": _Kind("a bit rate", "bit/s", {"bit/s": 1.0, "kbit/s": 1e3, "Mbit/s": 1e6}, "500 kbit/s", 1e9,
                      {"bps": "bit/s", "baud": "bit/s", "kbps": "kbit/s", "kb/s": "kbit/s", "kBd": "kbit/s", "kbaud": "kbit/s", "k": "kbit/s", "Mbps": "Mbit/s", "Mb/s": "Mbit/s"}),
    "share": _Kind("a share", "%", {"%": 1.0}, "50 %", 100.0, {"percent": "%", "per cent": "%"}),
}
_METRES_A_FOOT = 0.3048
_AREA_UNITS = ("mm2", "mm²")
_SIZE_HINTS = {"sqmm": "mm2", "qmm": "mm2", "mm^2": "mm2", "sq mm": "mm2", "mm": "mm2", "gauge": "AWG", "ga": "AWG"}
_SIZE_MOST_MM2 = 300.0

_NUMBER = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_QUANTITY = re.compile(rf"([+-]?)({_NUMBER}) ?(.*)")
_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]+)(.*)")
_FRACTION = re.compile(r"(?:([0-9]{1,4})[ -])?([0-9]{1,4})/([1-9][0-9]{0,3}) ?([a-z\"″]+)")
_FEET_INCHES = re.compile(rf"({_NUMBER}) ?ft ?({_NUMBER}) ?in")
_FEET_MARKS = re.compile(rf"({_NUMBER}) ?['′] ?({_NUMBER}) ?[\"″]?")
_SAE = re.compile(r"SAE ?([0-9/]{1,4})", re.IGNORECASE)
_AWG = re.compile(r"([0-9/]{1,4}) ?AWG", re.IGNORECASE)
_AWG_FIRST = re.compile(r"(?:AWG ?([0-9/]{1,4})|([0-9/]{1,4}) ?SAE)", re.IGNORECASE)
#: Text after a number that makes it a number no one means: 1e3, 1_000, 1.2.3.
_ODD_TAIL = re.compile(r"(?:[eE][+-]?[0-9]|_|\.).*")


@lru_cache(maxsize=65536)
def parse_length(text: str, zero: bool = False) -> Length | UnitFault:
    """``420 mm``, ``42 cm``, ``1.2 m``, ``16.5 in``, ``5 ft``, ``5 ft 3 in``; 0 only where ``zero``; 200 m at most."""
    tidy = _tidy(text)
    if (both := _FEET_INCHES.fullmatch(tidy)) is not None:
        feet, inches = float(both[1]), float(both[2])
        if inches >= 12:
            return UnitFault(f"{_quote(tidy)} has {both[2]} inches beside the feet; 12 in make a foot", f"write {feet * 12 + inches:g} in")
        mm = round(feet * 304.8 + inches * 25.4, 6)
        return _bounded(_LENGTH, mm, tidy, zero) or Length(mm, f"{_plain(both[1])} ft {_plain(both[2])} in")
    if (marks := _FEET_MARKS.fullmatch(tidy)) is not None:
        return UnitFault(f"feet and inches need their units in {_quote(tidy)}", f"write {marks[1]} ft {marks[2]} in")
    read = _read(_LENGTH, tidy, zero)
    return read if isinstance(read, UnitFault) else Length(read.value, read.stated)


@lru_cache(maxsize=65536)
def parse_quantity(text: str, kind: KindName, zero: bool = False) -> Quantity | UnitFault:
    """``15 A``, ``250 mA``; ``12 V``; ``47 ohm``, ``4.7 kohm``, ``680 Ω``; ``5 W``; ``85 C``; ``90 deg``; ``33 /m``; ``2 s``; ``500 kbit/s``; ``50 %``.

    Gives the value in the base unit: A, V, ohm, W, C, deg, /m, s, bit/s, %. Zero only where
    ``zero``, but for temperatures and angles, which may also be negative.
    """
    return _read(_KINDS[kind], _tidy(text), zero)


@lru_cache(maxsize=65536)
def parse_size(text: str) -> Size | UnitFault:
    """``0.75 mm2``, ``18 AWG``, ``SAE 18``, ``1/0 AWG`` to ``4/0``. ``0 AWG`` is ``1/0 AWG``."""
    tidy = _tidy(text)
    if (sae := _SAE.fullmatch(tidy)) is not None:
        return _numbered("SAE", sae[1], tidy)
    if (awg := _AWG.fullmatch(tidy)) is not None:
        return _numbered("AWG", awg[1], tidy)
    if (turned := _AWG_FIRST.fullmatch(tidy)) is not None:
        right = f"{turned[1]} AWG" if turned[1] else f"SAE {turned[2]}"
        return UnitFault(f"{_quote(tidy)} is turned round", f"write {right}")
    if (comma := _COMMA.fullmatch(tidy)) is not None:
        return _decimal_comma(comma, tidy)
    match = _QUANTITY.fullmatch(tidy)
    if match is None or _ODD_TAIL.fullmatch(match[3]):
        return UnitFault(f"{_quote(tidy)} is not a size", "write it as a number and a unit: 0.75 mm2, 18 AWG or SAE 18")
    sign, number, unit = match.groups()
    plain = _plain(number)
    if not unit:
        return UnitFault(f"a size needs a unit: {_quote(tidy)} stands alone", f"write {plain} mm2" + (f", {plain} AWG or SAE {plain}" if plain in AWG_NUMBERS else ""))
    if unit.upper() == "AWG":
        return UnitFault(f"there is no size {_quote(tidy)} in the AWG series", "write a whole number, or 1/0 to 4/0: 18 AWG")
    if unit not in _AREA_UNITS:
        return _unknown_unit("size", ("mm2", "AWG"), _SIZE_HINTS, sign + plain, unit, tidy)
    area = float(number)
    if sign == "-":
        return UnitFault(f"a size cannot be negative: {_quote(tidy)}", f"write {plain} mm2, or unknown")
    if area == 0:
        return UnitFault(f"a size cannot be zero: {_quote(tidy)}", "write the size, or unknown")
    if area > _SIZE_MOST_MM2:
        return UnitFault(f"{_quote(tidy)} is above {_SIZE_MOST_MM2:g} mm2, the largest size read here", "check the number and the unit")
    return Size(area, tidy, "mm2", plain)


def print_length(length: Length, units: str) -> str:
    """In the reader's ``units``: "mm" with at most one decimal (``420 mm``, ``12.5 mm``), "in" always with one (``16.5 in``)."""
    if units == "in":
        return f"{length.mm / 25.4:.1f} in"
    return f"{_plain(f'{length.mm:.1f}')} mm"


def print_run(metres: float, units: str) -> str:
    """What comes off a spool, in metres (``1.35 m``), in feet where ``units`` is "in" (``4.4 ft``)."""
    return f"{metres / _METRES_A_FOOT:.1f} ft" if units == "in" else f"{metres:.2f} m"


def print_length_both(length: Length, units: str) -> str:
    """In the reader's units with the stated one beside where it differs: ``419.1 mm (16.5 in)``."""
    shown = print_length(length, units)
    same_unit = length.stated.endswith(f" {units}") and " ft " not in length.stated
    return shown if same_unit or not length.stated else f"{shown} ({length.stated})"


def _tidy(text: str) -> str:
    """One space between words; the minus and ohm signs of typography as the plain ones."""
    return " ".join(text.split()).replace("−", "-").replace("\u2126", "Ω").replace("\u03bc", "µ")


def _plain(number: str) -> str:
    """Without needless zeros: ``0.50`` -> ``0.5``, ``07`` -> ``7``, ``.5`` -> ``0.5``."""
    whole, _, decimals = number.partition(".")
    whole, decimals = whole.lstrip("0") or "0", decimals.rstrip("0")
    return f"{whole}.{decimals}" if decimals else whole


def _read(kind: _Kind, tidy: str, zero: bool) -> Quantity | UnitFault:
    if (fraction := _FRACTION.fullmatch(tidy)) is not None:
        value = int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])
        return UnitFault(f"{_quote(tidy)} is written with a fraction", f"write {_plain(f'{value:.4f}')} {kind.hints.get(fraction[4], fraction[4])}")
    if (comma := _COMMA.fullmatch(tidy)) is not None:
        return _decimal_comma(comma, tidy)
    match = _QUANTITY.fullmatch(tidy)
    if match is None or _ODD_TAIL.fullmatch(match[3]):
        return UnitFault(f"{_quote(tidy)} is not {kind.noun}", f"write it as a number and a unit: {kind.example}")
    sign, number, unit = match.groups()
    plain = ("-" if sign == "-" else "") + _plain(number)
    if not unit:
        return UnitFault(f"{kind.noun} needs a unit: {_quote(tidy)} stands alone", f"write {plain} {kind.base} (units: {', '.join(kind.units)})")
    factor = kind.units.get(unit)
    if factor is None:
        return _unknown_unit(kind.noun.split(" ", 1)[1], tuple(kind.units), kind.hints, plain, unit, tidy)
    value = round(float(number) * factor * (-1 if sign == "-" else 1), 9)
    return _bounded(kind, value, tidy, zero) or Quantity(value, kind.base, f"{plain} {unit}")


def _bounded(kind: _Kind, value: float, tidy: str, zero: bool) -> UnitFault | None:
    if value < 0 and not kind.signed:
        return UnitFault(f"{kind.noun} cannot be negative: {_quote(tidy)}", f"write {tidy.lstrip('-')}, or unknown")
    if value == 0 and not zero and not kind.signed:
        return UnitFault(f"{kind.noun} cannot be zero here: {_quote(tidy)}", "write the value, or unknown")
    if abs(value) > kind.most:
        return UnitFault(f"{_quote(tidy)} is above {kind.most:g} {kind.base}, the most {kind.noun} may be here", "check the number and the unit")
    return None


def _numbered(system: Literal["AWG", "SAE"], number: str, tidy: str) -> Size | UnitFault:
    """A size by its number in a series."""
    aughts = f"{len(number)}/0" if set(number) == {"0"} else number
    series = AWG_NUMBERS if system == "AWG" else tuple(sae_areas_mm2())
    right = f"{aughts} AWG" if system == "AWG" else f"SAE {aughts}"
    if aughts not in series:
        near = _neighbours(aughts, series)
        hint = " or ".join(f"{n} AWG" if system == "AWG" else f"SAE {n}" for n in near)
        return UnitFault(f"there is no size {_quote(tidy)} in the {system} series", f"did you mean {hint}?")
    if len(number) > 1 and aughts != number:
        return UnitFault(f"{_quote(tidy)} is not how an aught size is written", f"write {right}")
    area = awg_area_mm2(aughts) if system == "AWG" else sae_areas_mm2()[aughts]
    return Size(area, tidy, system, aughts)


def _neighbours(number: str, series: tuple[str, ...]) -> list[str]:
    """The one or two sizes of a series beside a number it lacks."""
    if number.isdigit():
        near = sorted((n for n in series if n.isdigit()), key=lambda n: (abs(int(n) - int(number)), int(n)))
        return sorted(near[:2], key=int) if abs(int(near[0]) - int(number)) < 3 else near[:1]
    return difflib.get_close_matches(number, series, n=2, cutoff=0.0)


def _decimal_comma(match: re.Match[str], tidy: str) -> UnitFault:
    with_point = f"{match[1]}.{match[2]}{match[3]}"
    do = f"write {with_point}"
    if len(match[2]) == 3:
        do += f", or {match[1]}{match[2]}{match[3]} if the comma parts thousands"
    return UnitFault(f"a decimal comma in {_quote(tidy)}", do)


def _unknown_unit(noun: str, units: tuple[str, ...], hints: Mapping[str, str], number: str, unit: str, tidy: str) -> UnitFault:
    message = f"{_quote(unit)} is not a unit of {noun} in {_quote(tidy)}"
    listed = f"units: {', '.join(units)}"
    meant = hints.get(unit) or next((u for u in units if u.lower() == unit.lower()), "")
    if not meant:
        close = difflib.get_close_matches(unit, units, n=1, cutoff=0.5)
        meant = close[0] if close else ""
    return UnitFault(message, f"did you mean {number} {meant}? {listed}" if meant else f"write it in one of the {listed}")


def _quote(text: str) -> str:
    return f"'{text if len(text) <= 40 else text[:37] + '...'}'"
