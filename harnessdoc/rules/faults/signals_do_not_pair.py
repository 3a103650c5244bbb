"""Two kinds of signal on one copper that do not belong together.

What it checks: what the table of pairings says against two kinds on one copper, where no rule of its own tells it: supply and ground, start and run,
a brake, steering or immobiliser circuit and anything else.

Why it matters: such a join is a slip of the pen or of the hand, and does what nobody asked for.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: other unit, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: start, signal: feed-start}
      X2.1: {function: ignition, signal: feed-run}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X1.1 (start, feed-start) and X2.1 (ignition, feed-run) are joined by wire 1: what is live in run would command
    start

The fix: Separate them, or put between them what the finding says.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: other unit, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: start, signal: feed-start}
      X2.1: {function: ignition, signal: feed-run}

Limits and source: the table of pairings (trade/data/signal_pairs.csv; common practice, some rows from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "signals-do-not-pair"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, _asked(subject), SEVERITY)


def _asked(subject: Subject) -> tuple[int, ...]:
    """Those of none of the sixty, and of a partner left out; and, where nothing is solved, what else the states would show."""
    return (0, 19) if subject.operation is not None else (0, 19, 1, 7, 11, 13, 20, 21)
