"""Terminal numbers of DIN 72552.

A number names a terminal, not a wire. Facts: ``data/relay_terminals.csv``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from harnessdoc.trade.tables import rows

#: The terminals a relay may have: coil end and start, common, closed when fed, open when fed, second closed.
RELAY_TERMINALS = ("85", "86", "30", "87", "87a", "87b")
COIL_END, COIL_START, COMMON = "85", "86", "30"


@dataclass(frozen=True, slots=True)
class Terminal:
    """A terminal number and what it means."""

    number: str
    meaning: str
    origin: str
    mark: str


@cache
def terminals() -> dict[str, Terminal]:
    """Terminal number -> meaning, in the order of the table."""
    return {r["number"]: Terminal(r["number"], r["meaning"], r["origin"], r["mark"]) for r in rows("relay_terminals")}
