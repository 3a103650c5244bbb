"""What is said of a wire, a drop or a fuse: whether it holds, how bad it is where not, and the sum in words."""

from __future__ import annotations

from dataclasses import dataclass

from ..findings import Severity


@dataclass(frozen=True, slots=True)
class Verdict:
    """One question, answered.

    about:    ``ampacity``, ``overload``, ``far-end short``, ``load``, ``distance``, ``fusible link``, ``feed``, ``return``, ``feed and return``
    holds:    None where nothing can be said; the words say why
    severity: of what does not hold
    words:    one line with the numbers, fit for a sheet
    """

    about: str
    holds: bool | None
    severity: Severity | None
    words: str


def holds(about: str, words: str) -> Verdict:
    return Verdict(about, True, None, words)


def fails(about: str, severity: Severity, words: str) -> Verdict:
    return Verdict(about, False, severity, words)


def not_judged(about: str, words: str) -> Verdict:
    return Verdict(about, None, None, words)
