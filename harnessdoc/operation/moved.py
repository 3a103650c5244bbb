"""When a reading of one version is another in the next: more than a meter and a warmer day make of it."""

from __future__ import annotations

STEP_V, SHARE = 0.1, 0.02
"""What a reading may move without being said: 0.1 V and 2 % of it. Design choice."""


def moved(was: float | None, now: float | None) -> bool:
    """True where a reading in V moved by more than that, or floats in one of the two (None) alone."""
    if was is None or now is None:
        return was is not now
    return abs(now - was) > STEP_V + SHARE * max(abs(was), abs(now))
