"""Which wires carry the number of which join: what stands large on their labels; and the next number that is free.

``join_numbers`` takes the merge and its harness; gives wire -> numbers, in the order of the joins. The stub of each end and the
piece put in between carry it, also where the join goes through an interface or ends at a stud; the other wires of a splice
at which a join ends do not: nobody cuts them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from ..model.harness import Harness
from .plan import End, Merge


def next_number(taken: Iterable[str], letter: str) -> str:
    """The first number behind the highest: J13 after J12."""
    numbers = [int(match[1]) for name in taken if (match := re.fullmatch(rf"{letter}(\d+)", name))]
    return f"{letter}{max(numbers, default=0) + 1}"


def join_numbers(merge: Merge, harness: Harness) -> dict[str, tuple[str, ...]]:
    """Wire of ``harness`` -> the numbers of the joins it belongs to; wires of none are left out."""
    found: dict[str, dict[str, None]] = {}
    for join in merge.joins.values():
        wires = [*join.piece.split(), *(wire for end in join.ends for wire in _wires_of(end, harness))]
        for wire in wires:
            found.setdefault(wire, {})[join.id] = None
    return {wire: tuple(numbers) for wire, numbers in found.items()}


def _wires_of(end: End, harness: Harness) -> Iterator[str]:
    """What is left of the wire at an end: its stub, which keeps the id or gets ``-to``, and the rest of a wire that is tapped (``joins.py`` names them)."""
    if not end.wire:
        return
    for id in (end.wire, f"{end.wire}-to"):
        stub = harness.wires.get(id)
        if stub is not None and {stub.from_, stub.to} == {end.address, end.lands}:
            yield id
    rest = harness.wires.get(f"{end.wire}-rest")
    if rest is not None and end.lands in (rest.from_, rest.to):
        yield rest.id
