"""The 5 V references of two control units joined, or a reference shorted.

What it checks: that no copper holds the references of two units, sensors of two units on one reference, or a reference and an output or ground.

Why it matters: two regulators on one line work against each other, and one sensor that shorts stops both units.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: second control unit, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: reference, signal: reference-5v}
      X2.1: {function: reference, signal: reference-5v}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X1.1 (reference, reference-5v) and X2.1 (reference, reference-5v) are joined by wire 1: two regulators work
    against each other, and a short of one sensor stops both units

The fix: One owner for each sensor: the other unit reads its signal only.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: second control unit, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: reference, signal: reference-5v}
      X2.1: {function: reference, signal: reference-5v}

Limits and source: the table of pairings (from memory). A reference shorted in a solved state is told by `shorted-reference`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..joined import Join
    from ..subject import Subject

CODE = "references-joined"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (24,)


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, unless=_shorted)


def _shorted(subject: Subject, join: Join) -> bool:
    """On ground: where the circuit is solved `shorted-reference` tells it, with its current."""
    return subject.operation is not None and "ground-" in join.a.kind + join.b.kind
