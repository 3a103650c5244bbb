"""Ready-made relays: coil, pull-in and release, suppression, contact ratings by temperature.

Takes the name of a part (``mini relay 40 A``); gives its row, every number with its
origin. The name is what the trade calls it; the ratings by temperature are what holds.
Facts: ``data/relay_parts.csv``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from harnessdoc.trade.tables import Fact, rows

#: Ambient temperatures at which relay makers state what contacts carry, in C.
RATED_AT_C = (23.0, 85.0, 125.0)
_ANY_TYPE = "mini"
_UNITS = {"v": "V", "ohm": "ohm", "a": "A"}


@dataclass(frozen=True, slots=True)
class RelayPart:
    """A relay as makers print it.

    type:            ``mini``, ``micro``, ``maxi``
    pull_in_v:       it has pulled in by this voltage
    release_v:       it has let go at this voltage
    suppression_ohm: of the resistor across the coil, where it has one
    make_a, break_a: ambient in C -> what 30-87 and 30-87a carry for good, in A; empty where there is no such contact
    inrush_a:        what 30-87 may close on; breaking_a: what it may open; None where not stated
    make_ohm, break_ohm: of the contacts, from the drop at 10 A; None where there is no such contact
    """

    name: str
    type: str
    coil_v: Fact
    coil_ohm: Fact
    pull_in_v: Fact
    release_v: Fact
    suppression_ohm: Fact
    make_a: Mapping[float, Fact]
    break_a: Mapping[float, Fact]
    inrush_a: Fact | None
    breaking_a: Fact | None
    make_ohm: Fact
    break_ohm: Fact | None


@cache
def relay_parts() -> Mapping[str, RelayPart]:
    """Every part by its name, in the order of the table."""
    found: dict[str, tuple[str, dict[str, Fact]]] = {}
    for r in rows("relay_parts"):
        _, facts = found.setdefault(r["part"], (r["type"], {}))
        facts[r["quantity"]] = Fact(float(r["value"]), _UNITS[r["quantity"].rpartition("_")[2]], r["origin"], r["mark"])
    return {name: _part(name, kind, facts) for name, (kind, facts) in found.items()}


def _part(name: str, kind: str, facts: Mapping[str, Fact]) -> RelayPart:
    def by_ambient(contact: str) -> dict[float, Fact]:
        return {at_c: facts[key] for at_c in RATED_AT_C if (key := f"{contact}_{at_c:g}c_a") in facts}

    return RelayPart(
        name, kind, facts["coil_v"], facts["coil_ohm"], facts["pull_in_v"], facts["release_v"], facts["suppression_ohm"],
        by_ambient("make"), by_ambient("break"), facts.get("inrush_a"), facts.get("breaking_a"), facts["make_contact_ohm"], facts.get("break_contact_ohm"),
    )


def usual_relay(relay_type: str, supply_v: float) -> RelayPart:
    """The part that stands for a relay of which only the type is said: ``mini`` where nothing is, or what is said is no type.

    supply_v: nominal; the part whose coil is made for the voltage nearest to it.
    """
    of_type = [part for part in relay_parts().values() if part.type == relay_type] or [part for part in relay_parts().values() if part.type == _ANY_TYPE]
    return min(of_type, key=lambda part: abs(part.coil_v.value - supply_v))
