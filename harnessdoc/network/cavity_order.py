"""Cavities in the order a technician counts them, and many of them in few words.

Takes names of cavities; gives them counted up (2 before 10, A2 before B1), or as
ranges: ``5, 9..12, A1..A6``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

_NUMBER = re.compile(r"([0-9]+)")
_LAST_NUMBER = re.compile(r"^(.*?)([0-9]+)$")
_LONGEST_NUMBER = 9
"""Digits that are read as a number; a longer run is a name like any other."""


def counted(cavity: str) -> tuple[tuple[int, int, str], ...]:
    """A key to sort cavities by: numbers by their value, before letters."""
    return tuple((0, int(part), part) if part.isdecimal() and len(part) <= _LONGEST_NUMBER else (1, 0, part)
                 for part in _NUMBER.split(cavity) if part)


def ranges(cavities: Iterable[str]) -> str:
    """``5, 9..12`` of cavities in their order; two that follow each other stay ``9, 10``."""
    runs: list[list[str]] = []
    for cavity in cavities:
        if runs and following(runs[-1][-1]) == cavity:
            runs[-1].append(cavity)
        else:
            runs.append([cavity])
    return ", ".join(f"{run[0]}..{run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def following(cavity: str) -> str | None:
    """The name that follows: ``10`` after ``9``, ``A7`` after ``A6``; None where there is no number to count on."""
    match = _LAST_NUMBER.match(cavity)
    if match is None or len(match[2]) > _LONGEST_NUMBER or (match[2] != "0" and match[2].startswith("0")):
        return None
    return f"{match[1]}{int(match[2]) + 1}"
