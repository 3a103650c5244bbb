"""Volts, amperes and ohms as a meter at the bench shows them, and lists of things and states.

Takes numbers in V, A, ohm, or words; gives short texts. The unit of volts and ohms stands in the head of
their column; amperes carry theirs, for a drain is read in mA and a starter in A.
"""

from __future__ import annotations

from collections.abc import Sequence

FLOATING = "float"
PULSED = "pulsed"
UNSAID = "unknown"


def volts_shown(volts: float | None) -> str:
    """``12.35``: to 10 mV, what a meter shows in its range of 20 V; ``float`` where nothing ties the point."""
    return FLOATING if volts is None else _plain(f"{volts:.2f}")


def volts_with_unit(volts: float) -> str:
    """``12.35 V``, ``68.4 mV`` below 0.1 V, ``0.00 V`` for what a meter does not show."""
    milli = abs(volts) * 1000
    return f"{volts * 1000:.1f} mV" if 0.05 <= milli < 99.95 else f"{volts_shown(volts)} V"


def ohms_shown(ohm: float) -> str:
    """``0.06``, ``14.0``, ``120``, ``2.5 k``: no finer than the leads of a meter are known."""
    if ohm < 9.995:
        return f"{ohm:.2f}"
    if ohm < 99.95:
        return f"{ohm:.1f}"
    return f"{ohm:.0f}" if ohm < 999.5 else f"{float(f'{ohm / 1000:.3g}'):g} k"


def amps_shown(amps: float) -> str:
    """``105 mA``, ``16.5 A``: three digits, to 0.1 mA."""
    milli = abs(amps) * 1000
    if milli < 999.5:
        return f"{_plain(f'{amps * 1000:.1f}' if milli < 99.95 else f'{amps * 1000:.0f}')} mA"
    return f"{amps:.2f} A" if milli < 9_995 else f"{amps:.1f} A" if milli < 99_950 else f"{amps:.0f} A"


def listed(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def in_states(states: Sequence[str]) -> str:
    """``in state 'run, stopped' and 4 more``."""
    return f"in state '{states[0]}'" + (f" and {len(states) - 1} more" if len(states) > 1 else "")


def _plain(number: str) -> str:
    """No minus before a nought."""
    return number.lstrip("-") if not number.strip("-0.") else number
