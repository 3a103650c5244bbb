"""A splice with more wires than one sleeve or joint holds well.

What it checks: that no splice joins more wires than `most`, six where nothing is stated.

Why it matters: in a thick joint the inner strands are neither crimped nor wetted with solder. It passes
at the bench and opens months later, and takes with it everything that hangs on it.

Example that fails:

    connectors:
      X1: {face: [[1..7]], view: mating face}
    splices:
      S1: {}  # here
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BK, type: TXL}
      3: {from: X1.3, to: S1, size: 1 mm2, colour: BK, type: TXL}
      4: {from: X1.4, to: S1, size: 1 mm2, colour: BK, type: TXL}
      5: {from: X1.5, to: S1, size: 1 mm2, colour: BK, type: TXL}
      6: {from: X1.6, to: S1, size: 1 mm2, colour: BK, type: TXL}
      7: {from: X1.7, to: S1, size: 1 mm2, colour: BK, type: TXL}

What it says:

    splice S1 joins 7 wires, where 6 are the most that one joint holds well

The fix: Divide it: a second splice for some of the wires, and a wire between the two as thick as the thickest.

Example that passes:

    connectors:
      X1: {face: [[1..7]], view: mating face}
    splices:
      S1: {}
      S2: {}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BK, type: TXL}
      3: {from: X1.3, to: S1, size: 1 mm2, colour: BK, type: TXL}
      4: {from: X1.4, to: S1, size: 1 mm2, colour: BK, type: TXL}
      5: {from: X1.5, to: S1, size: 1 mm2, colour: BK, type: TXL}
      6: {from: X1.6, to: S2, size: 1 mm2, colour: BK, type: TXL}
      7: {from: X1.7, to: S2, size: 1 mm2, colour: BK, type: TXL}
      8: {from: S1, to: S2, size: 1 mm2, colour: BK, type: TXL}

Limits and source: five to six wires a splice is a common limit of shops (from memory). The copper against the
sleeve is splice-over-sleeve's; a welded joint may hold more: then set `most`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..options import Option
from ..spare_names import next_name, owner_ids

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "splice-of-too-many"
SEVERITY = Severity.MALFUNCTION
ASKS = "record"
MODES = (47,)
MOST = Option(CODE, "most", "count", "6", "the wires that one splice may join", "from memory")
OPTIONS = (MOST,)
_LEAST_MOVED = 2
"""A splice joins two wires at least, besides the one that ties it to the first."""


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    most = int(subject.value(MOST).value)
    ids: set[str] = set()
    second = ""
    for splice in harness.splices.values():
        wires = harness.wires_at.get(splice.id, ())
        if len(wires) <= most:
            continue
        ids = ids or owner_ids(harness)
        left = most - 1     # beside the wire that ties one splice to the next
        moved = wires[-max(len(wires) - left, _LEAST_MOVED):]
        sizes = [size for wire in wires if (size := harness.wires[wire].size)]
        tie = f"as thick as the thickest, {max(sizes, key=lambda size: size.area_mm2)}" if sizes else "as thick as the thickest"
        if len(moved) <= left:
            second = next_name(second or splice.id, ids)
            ids.add(second)
            do = f"lead {', '.join(moved)} to a second splice, {second}, and join the two with a wire {tie}"
        else:
            do = f"divide it among several, no more than {left} wires to each, and join these with wires {tie}"
        yield Finding(CODE, SEVERITY, f"splice {splice.id} joins {len(wires)} wires, where {most} are the most that one joint holds well",
                      splice.source.place(), do, at=(splice.id, *(f"wire {wire}" for wire in wires)), value=f"{len(wires)} wires", limit=f"{most} wires", origin=MOST.origin)
