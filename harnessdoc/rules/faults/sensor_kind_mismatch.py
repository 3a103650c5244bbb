"""A sensor on an input made for another kind of sensor.

What it checks: that an inductive sensor meets an inductive input and a Hall sensor one for pulses to ground.

Why it matters: the one gives a sine that grows with speed, the other two levels: no wire turns one into the other, and there is no spark.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: crankshaft sensor, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: crankshaft, signal: input-hall}
      X2.1: {function: crankshaft +, signal: inductive-sensor-plus}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X2.1 (crankshaft +, inductive-sensor-plus) and X1.1 (crankshaft, input-hall) are joined by wire 1: an
    inductive sensor gives a sine that grows with speed; the input wants two levels

The fix: A converter between, or the sensor the unit was made for.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: crankshaft sensor, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: crankshaft, signal: input-hall}
      X2.1: {function: crankshaft +, signal: inductive-sensor-plus}

Limits and source: from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "sensor-kind-mismatch"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (33,)


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY)
