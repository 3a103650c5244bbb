"""A supply on a pin made for 5 V or for a sensor.

What it checks: that no copper holds both a supply, or what stands behind a fuse, and a 5 V pin, an input or output of a sensor, or a bus.

Why it matters: a pin made for 5 V is damaged above 5.5 to 6 V, and the control unit with it, the moment the key is turned.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: throttle position, signal: input-analog}
    fuses:
      F1: {rating: 5 A, type: blade}
    wires:
      1: {from: F1.2, to: X1.1, size: 0.5 mm2, colour: BU, type: TXL}  # here

What it says:

    F1.2 (fused supply) and X1.1 (throttle position, input-analog) are joined by wire 1: above 5.5 to 6 V an
    unprotected sensor pin is damaged

The fix: Separate the two: the wire belongs to another cavity.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: throttle position, signal: input-analog}
    fuses:
      F1: {rating: 5 A, type: blade}

Limits and source: the table of pairings; 5.5 to 6 V from memory. What is lifted through a switch or a load is found by the readings of the states, not here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "supply-on-signal-pin"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (9,)


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY)
