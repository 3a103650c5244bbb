"""Pages of circuit diagrams spoiled in one place, and whether the readers see it.

``spoil`` takes the pages of a harness, what they must say, and a kind of mutation; gives how many were tried and which of them nobody saw.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from . import mutations
from .circuit_sheets import Page, Truth, lies, page_lies
from .reader import read_page

KINDS = {"moved": mutations.moved_lines, "dot out": mutations.without_dots, "false dot": mutations.false_dots, "labels exchanged": mutations.exchanged_labels}
EACH = 6
"""Mutations of a kind tried on each page, spread evenly over all there are."""


@dataclass(frozen=True, slots=True)
class Spoiled:
    """missed: the page and what was done to it."""

    tried: int
    missed: tuple[str, ...]


def spoil(pages: Sequence[Page], true: Truth, kind: str) -> Spoiled:
    """Tries up to EACH mutations of a kind on every page: caught where that page alone, or all together, do not say what is true."""
    missed, tried = [], 0
    for number, page in enumerate(pages):
        every = list(KINDS[kind](page.drawing))
        for what, wrong in every[::max(1, len(every) // EACH)][:EACH]:
            tried += 1
            if not page_lies(read_page(wrong), true) and not lies([wrong if at == number else other.drawing for at, other in enumerate(pages)], true):
                missed.append(f"{page.sheet}: {what}")
    return Spoiled(tried, tuple(missed))
