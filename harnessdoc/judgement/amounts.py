"""Amps where the head of their column says the unit, and shares: three digits at most, never -0.

Takes numbers in A; gives texts. In a sentence amps carry their unit: ``words.amps_shown``.
"""

from __future__ import annotations


def in_amps(amps: float) -> str:
    """``178``, ``12.4``, ``0.12``; ``0`` for what rounds to nothing."""
    return _three_digits(amps)


def in_milliamps(amps: float) -> str:
    """Amps as mA: ``105``, ``20.3``, ``0.24``."""
    return _three_digits(amps * 1000)


def in_per_cent(share: float) -> str:
    """``37 %``."""
    return f"{round(share * 100) + 0:d} %"


def _three_digits(value: float) -> str:
    places = 0 if abs(value) >= 99.95 else 1 if abs(value) >= 9.995 else 2
    shown = round(value, places)
    return f"{shown:.{places}f}" if shown else "0"
