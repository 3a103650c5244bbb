"""A resistive sender read by two.

What it checks: that no copper of a sender holds two inputs or gauges that feed it.

Why it matters: each feeds the sender with a current of its own: both read about half.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: instrument cluster, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: coolant temperature, signal: input-resistive}
      X2.1: {function: temperature gauge, signal: gauge}
    wires:
      1: {from: X2.1, to: X1.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X1.1 (coolant temperature, input-resistive) and X2.1 (temperature gauge, gauge) are joined by wire 1: each
    reader feeds the sender: both read wrong, about half

The fix: A second sender, or a sender for two gauges.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: instrument cluster, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: coolant temperature, signal: input-resistive}
      X2.1: {function: temperature gauge, signal: gauge}

Limits and source: read in a trade source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "sender-shared"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (37,)


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY)
