"""Two outputs that drive one line against each other.

What it checks: that no copper holds two outputs of which one may close to the supply while the other closes to ground, nor two sensors.

Why it matters: both control units think the line is theirs: the lamp shows nonsense, and where one drives high while the other drives low both burn.
Two outputs that only close to ground may share.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: second control unit, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: fan, signal: output-high}
      X2.1: {function: fan, signal: output-low}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X2.1 (fan, output-low) and X1.1 (fan, output-high) are joined by wire 1: one closes to the supply, the other
    to ground: a short circuit through both

The fix: Choose one of the two; or give each a relay and lay the contacts side by side.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: second control unit, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: fan, signal: output-high}
      X2.1: {function: fan, signal: output-low}

Limits and source: the table of pairings (common practice, some rows from memory). What an output without a signal does is not known.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "two-drivers-on-one-line"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (10,)


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY)
