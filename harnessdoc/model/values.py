"""Reading single values out of a record, with findings for what cannot be read.

Takes: records. Gives: typed values, ``None`` where a value is left out, unknown,
or wrong (then a finding says so; wrong kinds were reported by the schema check).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from ..description.text import Items, Record
from ..description.units import Quantity, UnitFault
from ..findings import Finding, Place, Related, Severity
from .electric_words import MOST_SUPPLY_V
from .harness import UNKNOWN

T = TypeVar("T")


@dataclass(slots=True)
class Values:
    """The findings of one build, and the readers that add to them."""

    findings: list[Finding] = field(default_factory=list)

    def error(self, code: str, message: str, place: Place, do: str = "", *related: Related) -> None:
        self.findings.append(Finding(code, Severity.ERROR, message, place, do, related))

    def text(self, record: Record, key: str) -> str:
        """The text at ``key``; "" where there is none."""
        return text_of(record.get(key))

    def word(self, record: Record, key: str) -> str | None:
        """The text at ``key``; None where it is left out or ``unknown``."""
        value = record.get(key)
        return value if isinstance(value, str) and value != UNKNOWN else None

    def texts(self, record: Record, key: str) -> tuple[str, ...]:
        """The texts of the list at ``key``; () where there is none."""
        value = record.get(key)
        return tuple(item for item in value if isinstance(item, str)) if isinstance(value, Items) else ()

    def quantity(self, record: Record, key: str, parse: Callable[[str], T | UnitFault], owner: str) -> T | None:
        """The value at ``key`` through a parser of ``description.units``.

        owner: words for the finding, such as "wire 204".
        """
        value = record.get(key)
        if not isinstance(value, str) or value == UNKNOWN:
            return None
        parsed = parse(value)
        if isinstance(parsed, UnitFault):
            self.error("bad-quantity", f"`{key}` of {owner}: {parsed.message}", record.place_of(key), parsed.do)
            return None
        return parsed

    def check_supply(self, voltage: Quantity | None, what: str, place: Place) -> None:
        """A supply above the most that is served here is refused. what: "the supply", "`emf` of device G1"."""
        if voltage and voltage.value > MOST_SUPPLY_V:
            self.error("supply-over-60-v", f"{what} is {voltage.stated}; this program is for low-voltage direct current up to {MOST_SUPPLY_V:g} V",
                       place, "high-voltage systems are work for licensed practice and the vehicle's own book")


def text_of(value: object) -> str:
    """A value as text; "" for what is left out or of a wrong kind."""
    return value if isinstance(value, str) else ""
