"""A switch that gives the supply where ground is wanted, or the reverse.

What it checks: that a switch to ground meets an input that is pulled up or a load fed from the other side, and one to the supply its own kind.

Why it matters: the host's brake, clutch or air conditioning switch gives 12 V, the donor's control unit waits for ground: it never sees the switch.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: clutch switch, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: clutch pedal, signal: input-switch-to-ground}
      X2.1: {function: clutch pedal, signal: switch-to-supply}
    wires:
      1: {from: X2.1, to: X1.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X2.1 (clutch pedal, switch-to-supply) and X1.1 (clutch pedal, input-switch-to-ground) are joined by wire 1:
    the input is made for ground; the supply leaves it as it is when open

The fix: A small relay or a transistor that turns the one into the other, or move the switch to the other rail.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: clutch switch, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: clutch pedal, signal: input-switch-to-supply}
      X2.1: {function: clutch pedal, signal: switch-to-supply}
    wires:
      1: {from: X2.1, to: X1.1, size: 1 mm2, colour: BU, type: TXL}

Limits and source: common practice. A power relay is a bad contact for the few milliamperes of an input.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "switch-to-wrong-rail"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (42,)


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY)
