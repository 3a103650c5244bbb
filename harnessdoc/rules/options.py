"""The options of rules: a number each, with its unit and default, that a description may set otherwise.

    rules:
      parasitic-drain: {most: 30 mA}
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from ..description.units import KindName, Quantity, UnitFault, parse_length, parse_quantity

OptionKind = KindName | Literal["length", "count"]


@dataclass(frozen=True, slots=True)
class Option:
    """One number of a rule.

    code:    of its rule
    kind:    what ``parse_quantity`` reads, or ``length`` or ``count``
    default: as it would be written: ``50 mA``
    meaning: a few words for the rule's page
    origin:  where the default comes from: a standard or table as facts have it, ``common practice``, ``from memory``
    """

    code: str
    name: str
    kind: OptionKind
    default: str
    meaning: str
    origin: str

    def read(self, text: str) -> Quantity | UnitFault:
        """What is written for it; a length in mm, a count in pieces."""
        if self.kind == "count":
            return Quantity(float(text), "", text) if text.isdecimal() else UnitFault(f"'{text}' is no count", f"write a whole number, such as {self.default}")
        if self.kind == "length":
            length = parse_length(text)
            return length if isinstance(length, UnitFault) else Quantity(length.mm, "mm", length.stated)
        assert self.kind in get_args(KindName)
        return parse_quantity(text, self.kind)
