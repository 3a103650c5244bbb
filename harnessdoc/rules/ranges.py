"""A range that stands in the words of a part: ``seal 1.4 to 2.4 mm``, ``sleeve 1 to 2 mm2``."""

from __future__ import annotations

import re
from typing import Literal

_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_RANGES = {
    "mm": re.compile(rf"{_NUMBER}(?: ?mm)? ?(?:to|-|\.\.) ?{_NUMBER} ?mm(?![2²])"),
    "mm2": re.compile(rf"{_NUMBER}(?: ?mm[2²])? ?(?:to|-|\.\.) ?{_NUMBER} ?mm[2²]"),
}


def range_in(words: str, unit: Literal["mm", "mm2"]) -> tuple[float, float] | None:
    """The least and the most that words name; None where they name no range in this unit."""
    found = _RANGES[unit].search(words)
    if found is None:
        return None
    least, most = sorted(map(float, found.groups()))
    return least, most
