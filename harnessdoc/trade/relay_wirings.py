"""The wirings of a relay between two things that do not fit, terminal by terminal.

Takes the letter of a wiring; gives what each terminal is joined to, in words. ``part`` of
a Pairing names them: ``relay A``. Facts: ``data/relay_wirings.csv``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from harnessdoc.trade.tables import rows

_TERMINALS = ("86", "85", "30", "87", "87a")


@dataclass(frozen=True, slots=True)
class RelayWiring:
    """A wiring of a relay.

    letter:    ``A``
    use:       between what it stands
    terminals: terminal -> what it is joined to, in words; terminals left empty are left out
    mind:      what else is to be minded
    """

    letter: str
    use: str
    terminals: Mapping[str, str]
    mind: str
    origin: str
    mark: str


@cache
def relay_wirings() -> Mapping[str, RelayWiring]:
    """Every wiring by its letter, in the order of the table."""
    return {
        r["wiring"]: RelayWiring(r["wiring"], r["use"], {t: r[t] for t in _TERMINALS if r[t]}, r["mind"], r["origin"], r["mark"])
        for r in rows("relay_wirings")
    }
