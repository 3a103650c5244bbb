"""What the table of relay wirings says, as cautions and origin of recipes."""

from __future__ import annotations

from ...trade.relay_wirings import relay_wirings
from ...trade.tables import said


def minded(letter: str) -> tuple[str, ...]:
    """What the table says is to be minded with a wiring, as one sentence."""
    mind = relay_wirings()[letter].mind
    return (f"{mind[0].upper()}{mind[1:]}.",) if mind else ()


def source(letter: str) -> str:
    """Where a wiring comes from, in words fit for a sheet."""
    wiring = relay_wirings()[letter]
    return said(wiring.origin, wiring.mark)
