"""A wire with more than one splice between its ends.

What it checks: wires that go on in another at a splice of two, and again at a second such splice before
they reach a connector, a terminal or a splice that fans out.

Why it matters: each joint is one more place to corrode, to break and to look for. An extension of an extension
is longer to find at night than one new wire is to draw.

Example that fails:

    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    splices:
      S1: {}
      S2: {}  # here
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: S1, to: S2, size: 1 mm2, colour: BU, type: TXL}
      3: {from: S2, to: X2.1, size: 1 mm2, colour: BU, type: TXL}

What it says:

    between X1.1 and X2.1 the wire is spliced 2 times, at S1 and S2 (wires 1, 2, 3), where one splice is the most

The fix: One new wire in place of the pieces.

Example that passes:

    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    splices:
      S1: {}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}
      3: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}

Limits and source: AC 43.13-1B, 11-167 c: not more than one splice in one wire segment between two connectors or other
points that disconnect, with exceptions. A splice of three wires and more is taken for the place where a circuit fans out and ends the count.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...network.islands import other_end
from ..extensions import runs

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "wire-spliced-again"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = (50,)


def check(subject: Subject) -> Iterator[Finding]:
    from ...operation.words import listed

    harness = subject.harness
    for wires, splices in runs(harness):
        if len(splices) < 2:
            continue
        first, last = (harness.wires[wires[end]] for end in (0, -1))
        here, there = other_end(first, splices[0]), other_end(last, splices[-1])
        sizes = [size for wire in wires if (size := harness.wires[wire].size)]
        thick = f" of {max(sizes, key=lambda size: size.area_mm2)}" if len(sizes) == len(wires) else ""
        yield Finding(
            CODE, SEVERITY,
            f"between {here} and {there} the wire is spliced {len(splices)} times, at {listed(splices)} (wires {', '.join(wires)}), where one splice is the most",
            harness.splices[splices[-1]].source.place(),
            f"draw one wire{thick} from {here} to {there}; or one from {splices[0]} to {there} in place of {listed([f'wire {wire}' for wire in wires[1:]])}",
            (Related(harness.splices[splices[0]].source.place(), f"splice {splices[0]} stands here"),),
            at=(*reversed(splices), *(f"wire {wire}" for wire in wires)), value=f"{len(splices)} splices", limit="1 splice", origin="AC 43.13-1B, 11-167 c")
