"""Splices that tie what numbered joins tie elsewhere, and bear no number themselves.

Takes a harness that has numbered joins; without one nothing says that it is a merge. Two vehicles show in
the names of circuits, the files their wires stand in, and the conventions of their colours.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import TYPE_CHECKING

from ..model.harness import Harness, Wire
from .circuit_names import one_name

if TYPE_CHECKING:
    from ..merge.plan import Merge


def unnumbered_joins(harness: Harness, merge: Merge | None) -> Mapping[str, tuple[str, str]]:
    """Splice without a number -> the two it ties, in words, in the order of the description. In a merge what a vehicle had as found ties no two."""
    numbered = [splice.id for splice in harness.splices.values() if splice.join]
    if not numbered:
        return {}
    name = one_name(harness)
    tied = {pair for splice in numbered for pair in _files(_wires(harness, splice))}
    found: dict[str, tuple[str, str]] = {}
    for splice in harness.splices.values():
        wires = _wires(harness, splice.id)
        if splice.join or merge is not None and len({source.name if (source := merge.source_of(id)) else "" for id in (splice.id, *(wire.id for wire in wires))}) == 1:
            continue
        circuits = list(dict.fromkeys(name[wire.circuit] for wire in wires if wire.circuit))
        conventions = list(dict.fromkeys(wire.convention for wire in wires if wire.colour))
        files = [pair for pair in _files(wires) if pair in tied]
        if len(circuits) > 1:
            found[splice.id] = f"circuit {circuits[0]}", f"circuit {circuits[1]}"
        elif files:
            found[splice.id] = f"a wire of {files[0][0]}", f"one of {files[0][1]}"
        elif len(conventions) > 1:
            found[splice.id] = f"a wire in colours of {conventions[0]}", f"one in colours of {conventions[1]}"
    return found


def _wires(harness: Harness, splice: str) -> list[Wire]:
    return [harness.wires[wire] for wire in harness.wires_at.get(splice, ())]


def _files(wires: list[Wire]) -> Iterator[tuple[str, str]]:
    """Each two files that the wires stand in, in order of their names; a table beside a file may hold wires of either vehicle."""
    yield from combinations(sorted({file for wire in wires if not (file := wire.source.place().file).endswith(".csv")}), 2)
