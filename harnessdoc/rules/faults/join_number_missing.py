"""A splice that ties two vehicles together and bears no join number.

What it checks: in a harness with numbered joins, every other splice: that it does not tie two circuits of different names, wires of
two files that numbered joins tie elsewhere, or wires of two colour conventions.

Why it matters: the numbered list of joins is the merge. What is tied without a number stands in no list, is tested by nobody, and
is found by nobody but who made it.

Example that fails:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    splices:
      S1: {title: horn, join: J1}
      S2: {title: wiper}  # here
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL, circuit: horn}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: GN, type: TXL, circuit: C 29}
      3: {from: X1.2, to: S2, size: 1 mm2, colour: WH, type: TXL, circuit: wiper}
      4: {from: S2, to: X2.2, size: 1 mm2, colour: YE, type: TXL, circuit: C 91}

What it says:

    splice S2 ties circuit wiper to circuit C 91 and bears no join number, as S1 does (J1)

The fix: The next number that is free, at the splice and on the labels of its wires.

Example that passes:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    splices:
      S1: {title: horn, join: J1}
      S2: {title: wiper, join: J2}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL, circuit: horn}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: GN, type: TXL, circuit: C 29}
      3: {from: X1.2, to: S2, size: 1 mm2, colour: WH, type: TXL, circuit: wiper}
      4: {from: S2, to: X2.2, size: 1 mm2, colour: YE, type: TXL, circuit: C 91}

Limits and source: common practice of merges: one numbered list of joins, one number on both ends of each. In-line connectors
are no joins; wires in a table beside a file are told apart by circuit and colours only. Without any numbered join a change of name is told by
circuit-changes-in-copper.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..spare_names import join_numbers
from ..unnumbered_joins import unnumbered_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "join-number-missing"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = (60,)


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    missing = unnumbered_joins(harness, subject.merge)
    if not missing:
        return
    like = next(splice for splice in harness.splices.values() if splice.join)
    for (id, (one, other)), number in zip(missing.items(), join_numbers(harness), strict=False):
        yield Finding(
            CODE, SEVERITY, f"splice {id} ties {one} to {other} and bears no join number, as {like.id} does ({like.join})",
            harness.splices[id].source.place(), f"write `join: {number}` at {id}, and the number on the labels of its wires",
            (Related(like.source.place_of("join"), f"join {like.join} stands here"),), at=(id, *(f"wire {wire}" for wire in harness.wires_at[id])), origin="common practice")
