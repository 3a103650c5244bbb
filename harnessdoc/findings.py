"""Findings about the user's files: values, never exceptions.

The base of the package: imports nothing of it. A finding says what is wrong,
where, with the offender and both values, and what to do about it. How findings
are shown stands in ``rules/show.py``.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum


class Severity(IntEnum):
    """How bad a finding is, mildest first, so that ``>=`` reads as "at least"."""

    ADVICE = 0
    MALFUNCTION = 1
    DAMAGE = 2
    HAZARD = 3
    ERROR = 4

    @property
    def word(self) -> str:
        return self.name.lower()


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place in a file: ``line`` and ``column`` count from 1, in characters."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Related:
    """A second place a finding speaks of, with a few words why."""

    place: Place
    words: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding.

    code:     a word or words with hyphens (``unknown-key``), listed in ``rules/codes.py``
    severity: see Severity
    message:  one line; names the offender and both values
    place:    where it stands
    do:       the way out, one or more lines ("" where the message says it all)
    related:  other places, each with words
    at:       what it lies at, the first being what a waiver names: ``wire 12``, ``F3``, ``E1.13``, ``segment T3``
    state:    the state in which it shows, "" where it shows in all or none is needed
    value, limit: what is there and what it is held against, in words, as the message says them
    origin:   where the limit comes from: a standard, a table, ``common practice``, ``from memory``
    """

    code: str
    severity: Severity
    message: str
    place: Place
    do: str = ""
    related: tuple[Related, ...] = ()
    at: tuple[str, ...] = field(default=(), kw_only=True)
    state: str = field(default="", kw_only=True)
    value: str = field(default="", kw_only=True)
    limit: str = field(default="", kw_only=True)
    origin: str = field(default="", kw_only=True)

    @property
    def sort_key(self) -> tuple:
        return (self.place, self.code, self.message)
