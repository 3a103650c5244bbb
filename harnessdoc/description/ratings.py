"""What a load takes, as people write it: a resistance, or a current or power at a voltage.

Takes the text of one value (``14 ohm``, ``8 A at 12 V``, ``2 W at 12 V``, ``10 ohm to
180 ohm``, ``2.2 kohm to 5 V``); gives a Rating, a PullUp, or a UnitFault. Must not
know: what stands there, what is typical of it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .units import KindName, Quantity, UnitFault, parse_quantity

_AT = re.compile(r"(.+?) at (.+)")
_TO = re.compile(r"(.+?) to (.+)")
_UNIT = re.compile(r"[0-9.] ?([A-Za-zµμΩΩ]+)$")
_KIND_OF_UNIT: dict[str, KindName] = {"A": "current", "mA": "current", "W": "power", "kW": "power", "mW": "power"}
_EXAMPLES = {"current": "8 A at 12 V", "power": "2 W at 12 V", "resistance": "14 ohm"}


@dataclass(frozen=True, slots=True)
class Rating:
    """What a load takes, as rated.

    value: a resistance, a current or a power
    at:    the voltage at which it takes that current or power; None of a resistance
    to:    the other end of the range of a sender; None of anything else
    """

    value: Quantity
    at: Quantity | None = None
    to: Quantity | None = None

    @property
    def ohm(self) -> float:
        """The resistance at the rated point, in ohm; of a range that where it begins."""
        if self.at is None:
            return self.value.value
        current_a = self.value.value if self.value.unit == "A" else self.value.value / self.at.value
        return self.at.value / current_a

    @property
    def watts(self) -> float | None:
        """The power at the rated voltage, in W; None of a resistance."""
        if self.at is None:
            return None
        return self.value.value if self.value.unit == "W" else self.value.value * self.at.value

    def __str__(self) -> str:
        beside = f" at {self.at.stated}" if self.at else f" to {self.to.stated}" if self.to else ""
        return f"{self.value.stated}{beside}"


@dataclass(frozen=True, slots=True)
class PullUp:
    """A resistor up to a voltage; ``to`` is None where that is the device's own supply."""

    resistance: Quantity
    to: Quantity | None

    def __str__(self) -> str:
        return f"{self.resistance.stated} to {self.to.stated if self.to else 'supply'}"


@lru_cache(maxsize=4096)
def parse_rating(text: str) -> Rating | UnitFault:
    """``14 ohm``, ``8 A at 12 V``, ``55 W at 13.2 V``."""
    both = _AT.fullmatch(" ".join(text.split()))
    kind = _kind_of(both[1] if both else text)
    value = parse_quantity(both[1] if both else text, kind)
    if isinstance(value, UnitFault):
        return value
    if both is None:
        if kind == "resistance":
            return Rating(value)
        return UnitFault(f"a {kind} needs the voltage it is rated at: '{value.stated}' stands alone", f"write for example {value.stated} at 12 V")
    if kind == "resistance":
        return UnitFault(f"a resistance has no voltage it is rated at: '{text}'", f"write {value.stated}, or a current: {_EXAMPLES['current']}")
    at = parse_quantity(both[2], "voltage")
    return at if isinstance(at, UnitFault) else Rating(value, at)


@lru_cache(maxsize=1024)
def parse_sender(text: str) -> Rating | UnitFault:
    """``40 ohm``, or a range ``10 ohm to 180 ohm``."""
    both = _TO.fullmatch(" ".join(text.split()))
    value = parse_quantity(both[1] if both else text, "resistance")
    if isinstance(value, UnitFault) or both is None:
        return value if isinstance(value, UnitFault) else Rating(value)
    to = parse_quantity(both[2], "resistance")
    return to if isinstance(to, UnitFault) else Rating(value, None, to)


@lru_cache(maxsize=1024)
def parse_pull_up(text: str) -> PullUp | UnitFault:
    """``2.2 kohm to 5 V``, ``4.7 kohm to supply``."""
    both = _TO.fullmatch(" ".join(text.split()))
    if both is None:
        return UnitFault(f"'{text}' does not say to which voltage it pulls", "write for example 2.2 kohm to 5 V, or 4.7 kohm to supply")
    resistance = parse_quantity(both[1], "resistance")
    if isinstance(resistance, UnitFault):
        return resistance
    if both[2] == "supply":
        return PullUp(resistance, None)
    to = parse_quantity(both[2], "voltage")
    return to if isinstance(to, UnitFault) else PullUp(resistance, to)


def _kind_of(text: str) -> KindName:
    """By the unit; what has an unknown unit or none is taken for a resistance, whose parser says what is wrong."""
    unit = _UNIT.search(text.strip())
    return _KIND_OF_UNIT.get(unit[1], "resistance") if unit else "resistance"
