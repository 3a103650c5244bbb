"""The two wires of an inductive sensor exchanged.

What it checks: that + of an inductive sensor meets + of its input, and - its -.

Why it matters: the control unit counts the zero crossing on one side only: exchanged, the timing is out by half a tooth or the engine does not start.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: crankshaft sensor, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: crankshaft +, signal: input-inductive-plus}
      X2.1: {function: sensor -, signal: inductive-sensor-minus}
      X2.2: {function: sensor +, signal: inductive-sensor-plus}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X2.1 (sensor -, inductive-sensor-minus) and X1.1 (crankshaft +, input-inductive-plus) are joined by wire 1:
    polarity exchanged: the timing is wrong or the engine does not start

The fix: Exchange the two wires at one end.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: crankshaft sensor, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: crankshaft +, signal: input-inductive-plus}
      X2.1: {function: sensor -, signal: inductive-sensor-minus}
      X2.2: {function: sensor +, signal: inductive-sensor-plus}
    wires:
      1: {from: X1.1, to: X2.2, size: 1 mm2, colour: BU, type: TXL}

Limits and source: from memory. Where the book does not say which end is +, leave the signal out and try.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..joined import Join
    from ..subject import Subject

CODE = "sensor-polarity-crossed"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (32,)


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, do=_exchange)


def _exchange(subject: Subject, join: Join) -> str:
    """Where the input belongs: to the other end of the same sensor."""
    other = {"inductive-sensor-plus": "inductive-sensor-minus", "inductive-sensor-minus": "inductive-sensor-plus"}
    sensor, reader = (join.a, join.b) if join.a.kind in other else (join.b, join.a)
    right = [contact.address for contact in subject.harness.contacts.values() if contact.owner == sensor.contact.owner and contact.signal == other.get(sensor.kind)]
    return f"{join.row.needs}: {reader.contact.address} belongs to {right[0]}" if len(right) == 1 and reader.kind.startswith("input-") else join.row.needs
