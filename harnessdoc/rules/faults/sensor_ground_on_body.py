"""A sensor ground joined to body ground, or shared by two control units.

What it checks: that the copper of each sensor ground holds no ground of the body or of power, and serves the sensors of one control unit only.

Why it matters: the control unit measures against its own sensor ground. A tenth of a volt between it and the body is two per cent of a 5 V
sensor: the mixture, the boost or the pedal reads wrong, and worse the more current flows.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: sensor ground, signal: ground-sensor}
    grounds:
      GB1: {metal: body}
    wires:
      1: {from: X1.1, to: GB1, size: 0.5 mm2, colour: BK, type: TXL}  # here

What it says:

    X1.1 (sensor ground, ground-sensor) and GB1 (ground) are joined by wire 1: a second tie to ground: 0.1 V
    between them is 2 % of a 5 V ratio sensor

The fix: Lead the return of each sensor to the sensor ground of the unit that reads it, and to nothing else.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: sensor ground, signal: ground-sensor}
      X1.2: {signal: ground-sensor}
    grounds:
      GB1: {metal: body}
    wires:
      1: {from: X1.1, to: X1.2, size: 0.5 mm2, colour: BK, type: TXL}

Limits and source: worked out: 0.1 V of a 5 V ratio sensor is 2 % of its span. The one tie inside the control unit is not seen and is right.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import between, findings_of_joins, way_out

if TYPE_CHECKING:
    from ..joined import Join
    from ..subject import Subject

CODE = "sensor-ground-on-body"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (23,)
_OTHER_GROUNDS = ("ground-power", "ground-signal", "ground-case", "ground-battery")


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, do=_do, wrong=_tie)


def _tie(subject: Subject, wires: Sequence[str]) -> str:
    """The first wire on the way that ends at the body, or at another ground than that of sensors; the last where none does."""
    return next((wire for wire in wires if _ground_at(subject, wire)), wires[-1])


def _ground_at(subject: Subject, wire: str) -> str:
    """The end of a wire that is a ground, or a pin that says so; "" where neither is."""
    harness = subject.harness
    stated = harness.wires[wire]
    return next((end for end in (stated.to, stated.from_) if end in harness.grounds or end in harness.contacts and harness.contacts[end].signal in _OTHER_GROUNDS), "")


def _do(subject: Subject, join: Join) -> str:
    wires, _ = between(subject, join)
    tie = _tie(subject, wires) if wires else ""
    return f"{f'take wire {tie} off {ground}: ' if tie and (ground := _ground_at(subject, tie)) else ''}{way_out(join)}"
