"""Terminal numbers of DIN 72552, and the contact numbers of ISO 7588 relays.

A number names a terminal, not a wire. Contact numbers (1 to 5) are from memory
and layouts differ between makers: they are shown beside the terminal, never put
in its place. Facts: ``data/relay_terminals.csv``, ``data/relay_contacts.csv``.
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


@cache
def contact_number(terminal: str) -> str:
    """The contact number often moulded beside a relay terminal (``86`` -> ``1``), "" for none; from memory."""
    return next((r["contact"] for r in rows("relay_contacts") if r["terminal"] == terminal), "")
