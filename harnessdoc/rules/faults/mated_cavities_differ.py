"""An in-line connector that brings different circuits together.

What it checks: at each pair of mated halves, whether the wires of cavity n on both sides are of one circuit. Where they are not, it
tries whether the numbers of one half, counted from the other side, the other end, or upside down, would make all of them agree.

Why it matters: a face numbered from the mating face in one book and from the wire side in the other is the usual slip of a merge.
Every wire then arrives at its neighbour: the first thing to find out is the ground that is now a feed.

Example that fails:

    connectors:
      X1: {half: plug, mates: X2, face: [[1..3]], view: mating face}
      X2: {half: socket, face: [[3..1]], view: mating face}
      X3: {face: [[1..2]], view: mating face}
      X4: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X3.1, size: 1 mm2, colour: BU, type: TXL, circuit: wiper}
      2: {from: X1.2, to: X3.2, size: 1 mm2, colour: GN, type: TXL, circuit: horn}
      3: {from: X2.1, to: X4.1, size: 1 mm2, colour: BU, type: TXL, circuit: wiper}
      4: {from: X2.3, to: X4.2, size: 1 mm2, colour: GN, type: TXL, circuit: horn}  # here

What it says:

    X1 and X2 bring different circuits together: 2 is horn in X1 and empty in X2, 3 is empty in X1 and horn in X2

The fix: Number both halves from the same side, or move the terminals of one half; measure which half is wrong before a terminal is pulled.

Example that passes:

    connectors:
      X1: {half: plug, mates: X2, face: [[1..3]], view: mating face}
      X2: {half: socket, face: [[3..1]], view: mating face}
      X3: {face: [[1..2]], view: mating face}
      X4: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X3.1, size: 1 mm2, colour: BU, type: TXL, circuit: wiper}
      2: {from: X1.2, to: X3.2, size: 1 mm2, colour: GN, type: TXL, circuit: horn}
      3: {from: X2.1, to: X4.1, size: 1 mm2, colour: BU, type: TXL, circuit: wiper}
      4: {from: X2.2, to: X4.2, size: 1 mm2, colour: GN, type: TXL, circuit: horn}

Limits and source: common practice. Circuits are compared by `circuit:` of the wires; names that a join number ties are one. A circuit that only
changes its name at the connector, and has no other cavity there, is told by circuit-changes-in-copper. How the faces
are drawn is looked at by halves-do-not-mate.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.harness import Harness
from ..lack import Lack
from ..mating import Mated, meetings, renumbered

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "mated-cavities-differ"
SEVERITY = Severity.DAMAGE
ASKS = "record"
MODES = (44,)
_MOST_NAMED = 4


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    for pair in meetings(harness):
        one, other = pair.one, pair.other
        for wire in pair.unnamed:
            yield Lack(CODE, f"wire {wire}", "`circuit:` to each wire in an in-line connector")
        if not pair.differing:
            continue
        said = [f"{cavity} is {_words(pair.circuits_one, cavity)} in {one.id} and {_words(pair.circuits_other, cavity)} in {other.id}" for cavity in pair.differing]
        more = f", and {len(said) - _MOST_NAMED} more" if len(said) > _MOST_NAMED else ""
        ends = [end for cavity in pair.differing for half in (one, other) if (end := f"{half.id}.{cavity}") in harness.wires_at]
        end = next((end for end in ends if end.startswith(f"{other.id}.")), ends[0])
        first = harness.wires[harness.wires_at[end][0]]
        yield Finding(
            CODE, SEVERITY, f"{one.id} and {other.id} bring different circuits together: {', '.join(said[:_MOST_NAMED])}{more}",
            first.source.place_of("from" if first.from_ == end else "to"),
            f"find out which half is wrong before a terminal is pulled: {_way_out(harness, pair)}",
            (Related(one.source.place(), f"connector {one.id} stands here"), Related(other.source.place(), f"connector {other.id} stands here")),
            at=(one.id, other.id, *ends, *dict.fromkeys(f"wire {wire}" for end in ends for wire in harness.wires_at[end])))


def _words(circuits: Mapping[str, frozenset[str]], cavity: str) -> str:
    return " and ".join(sorted(circuits.get(cavity, ()))) or "empty"


def _way_out(harness: Harness, pair: Mated) -> str:
    """Which numbering would fit; else which wire of the second half goes where."""
    for words, new_name in renumbered(pair.other):
        if pair.fits(new_name):
            moved = ", ".join(f"{old} is {new}" for old, new in new_name.items() if old in pair.circuits_other and old != new)
            return f"all of them agree where {pair.other.id} is numbered {words} ({moved}); or move the terminals of one half"
    moves = [f"wire {wire} to {pair.other.id}.{right}" for cavity in pair.differing
             if cavity in pair.circuits_other and (right := next((to for to, circuits in pair.circuits_one.items() if circuits & pair.circuits_other[cavity]), None))
             for wire in harness.wires_at[f"{pair.other.id}.{cavity}"]]
    if moves:
        return f"if it is {pair.other.id}, lead {', '.join(moves)}"
    return f"the circuits of {pair.one.id} that {pair.other.id} lacks, or the numbers of its cavities"
