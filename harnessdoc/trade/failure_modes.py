"""The failure modes of merged harnesses, ranked: what the rules answer for. Facts: ``data/failure_modes.csv``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from .tables import rows


@dataclass(frozen=True, slots=True)
class FailureMode:
    """number: from 1, the rank; severity: a word of findings.Severity."""

    number: int
    words: str
    severity: str
    origin: str
    mark: str


@cache
def failure_modes() -> tuple[FailureMode, ...]:
    """In the order of their numbers."""
    return tuple(FailureMode(int(r["number"]), r["words"], r["severity"], r["origin"], r["mark"]) for r in rows("failure_modes"))
