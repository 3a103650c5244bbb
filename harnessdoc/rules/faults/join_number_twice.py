"""A join number that stands at two splices that are not one copper.

What it checks: that splices with the same `join:` are joined by wires, or are one.

Why it matters: the number is all that the two labels have in common. Given twice it leads from one vehicle's wire to
another one's, and the list of joins is worth nothing from there on.

Example that fails:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    splices:
      S1: {title: horn, join: J1}
      S2: {title: wiper, join: J1}  # here
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: GN, type: TXL}
      3: {from: X1.2, to: S2, size: 1 mm2, colour: WH, type: TXL}
      4: {from: S2, to: X2.2, size: 1 mm2, colour: YE, type: TXL}

What it says:

    join J1 stands at S1 and S2, which are not one copper

The fix: A number of its own for each join, on both labels; numbers that were given are not used again.

Example that passes:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    splices:
      S1: {title: horn, join: J1}
      S2: {title: wiper, join: J2}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: GN, type: TXL}
      3: {from: X1.2, to: S2, size: 1 mm2, colour: WH, type: TXL}
      4: {from: S2, to: X2.2, size: 1 mm2, colour: YE, type: TXL}

Limits and source: common practice of merges: one numbered list of joins, the same number on both ends. Numbers that differ
in capitals only count as one.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.harness import Splice
from ..spare_names import join_numbers

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "join-number-twice"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = (60,)


def check(subject: Subject) -> Iterator[Finding]:
    from ...operation.words import listed

    harness, island_of = subject.harness, subject.network.island_of
    by_number: dict[str, dict[int, Splice]] = {}
    for splice in harness.splices.values():
        if splice.join:
            by_number.setdefault(splice.join.casefold(), {}).setdefault(island_of[splice.id], splice)
    for splices in by_number.values():
        first, *others = splices.values()
        if others:
            last = others[-1]
            again = listed([splice.id for splice in others])
            yield Finding(
                CODE, SEVERITY, f"join {first.join} stands at {listed([splice.id for splice in splices.values()])}, which are not one copper",
                last.source.place_of("join"), f"give {again} a number that is free, from {next(join_numbers(harness))} on, and mend both labels",
                (Related(first.source.place_of("join"), f"splice {first.id} has it too"),),
                at=(last.id, first.id, *(splice.id for splice in others[:-1])), origin="common practice")
