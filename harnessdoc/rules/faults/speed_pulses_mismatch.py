"""A road speed signal of the wrong kind or scale.

What it checks: that the pulses a distance of sender and reader agree where both say `pulses:`, and that kind and pull-up fit.

Why it matters: the speedometer, and the control unit that asks for road speed, read wrong by the ratio.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: road speed sender, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: road speed, signal: input-speed-pulses, pulses: 2000 per mile, pull-up: 4.7 kohm to 5 V}
      X1.2: {signal: feed-constant}
      X1.3: {signal: ground-power}
      X2.1: {function: road speed, signal: speed-pulses, pulses: 4000 per mile}
    wires:
      1: {from: X2.1, to: X1.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X2.1 (road speed, speed-pulses) and X1.1 (road speed, input-speed-pulses) are joined by wire 1 (4000 per mile
    against 2000 per mile): the speed shown is wrong by the ratio of the pulses

The fix: A divider where the ratio is whole, a converter elsewhere, or set the reader to the pulses of the sender.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: road speed sender, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: road speed, signal: input-speed-pulses, pulses: 4000 per mile, pull-up: 4.7 kohm to 5 V}
      X1.2: {signal: feed-constant}
      X1.3: {signal: ground-power}
      X2.1: {function: road speed, signal: speed-pulses, pulses: 4000 per mile}
    wires:
      1: {from: X2.1, to: X1.1, size: 1 mm2, colour: BU, type: TXL}

Limits and source: read in a trade source: 4000 pulses a mile to the cluster and 2000 to the control unit in one car.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins, lacks_of
from ..joined import differ

if TYPE_CHECKING:
    from ..joined import Join
    from ..lack import Lack
    from ..subject import Subject

CODE = "speed-pulses-mismatch"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (35,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, _pulses)
    yield from lacks_of(subject, CODE, ("speed-pulses", "hall-sensor"), ("input-speed-pulses",), lambda pin: pin.pulses, "`pulses: 4000 per mile` to sender and readers")


def _pulses(join: Join) -> str:
    """`` (4 per turn against 2 per turn)``."""
    one, other = join.a.contact.pulses, join.b.contact.pulses
    return f" ({one} against {other})" if one is not None and other is not None and differ(one, other) else ""
