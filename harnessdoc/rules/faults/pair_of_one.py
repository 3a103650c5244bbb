"""A twisted pair with fewer than two, or more than four, wires.

What it checks: that each pair has two to four members.

Why it matters: twisting only helps where the wires of one signal lie in it
together; a pair of one is a wire that lost its partner.

Example that fails:

    pairs:
      data: {lay: 25 mm}  # here
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: YE, type: TXL, pair: data}

What it says:

    pair data has wire 1, where 2 to 4 are twisted together

The fix: Write `pair:` at each of its wires.

Example that passes:

    pairs:
      data: {lay: 25 mm}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: YE, type: TXL, pair: data}
      2: {from: X1.2, to: X2.2, size: 1 mm2, colour: GN, type: TXL, pair: data}

Limits and source: common practice; the take-up of more than four wires twisted in
one lay is not known to this program. Of a pair of a merged vehicle whose wires have all left nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity

if TYPE_CHECKING:
    from ...model.harness import Pair
    from ..subject import Subject

CODE = "pair-of-one"
SEVERITY = Severity.MALFUNCTION
ASKS = "record"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    for pair in subject.harness.pairs.values():
        if not 2 <= len(pair.wires) <= 4 and not _has_left(subject, pair):
            members = f"wire{'s' if len(pair.wires) > 1 else ''} {', '.join(pair.wires)}" if pair.wires else "no wire"
            yield Finding(CODE, SEVERITY, f"pair {pair.id} has {members}, where 2 to 4 are twisted together", pair.source.place(),
                          f"write `pair: {pair.id}` at each of its wires", at=(f"pair {pair.id}",))


def _has_left(subject: Subject, pair: Pair) -> bool:
    """Whether it is a pair of a merged vehicle of which no wire is left: there is nothing to twist."""
    source = subject.merge.source_of(pair.id) if subject.merge is not None else None
    return not pair.wires and source is not None and bool(source.harness.pairs[pair.id.partition("/")[2]].wires)
