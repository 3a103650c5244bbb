"""A tachometer on a signal it cannot read.

What it checks: that the pulses a turn of output and gauge agree where both say `pulses:`, that an output that only closes to ground is pulled up, and
that neither hundreds of volts of a coil nor road speed reach the gauge.

Why it matters: the gauge shows nothing, or half or double; the pulses of a coil burn a gauge made for 12 V.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: instrument cluster, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: engine speed, signal: output-tachometer, pulses: 4 per turn}
      X2.1: {function: engine speed, signal: tachometer, pulses: 2 per turn}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X1.1 (engine speed, output-tachometer) and X2.1 (engine speed, tachometer) are joined by wire 1 (4 per turn
    against 2 per turn): the engine speed shown is wrong by the ratio of the pulses

The fix: Set gauge or output to the pulses of the other; a pull-up of 1 to 10 kohm to a switched supply; a converter.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: instrument cluster, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: engine speed, signal: output-tachometer, pulses: 4 per turn}
      X2.1: {function: engine speed, signal: tachometer, pulses: 4 per turn}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}

Limits and source: read in a trade source: 10 kohm of half a watt; gauges that read 2 pulses a turn. Whether a gauge pulls up inside is asked of `pull-up:`; where nothing is said of it nothing is found.
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

CODE = "tachometer-mismatch"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (34,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, _pulses)
    yield from lacks_of(subject, CODE, ("output-tachometer", "output-open-collector"), ("tachometer",), lambda pin: pin.pulses, "`pulses: 2 per turn` to output and gauge")


def _pulses(join: Join) -> str:
    """`` (4 per turn against 2 per turn)``."""
    one, other = join.a.contact.pulses, join.b.contact.pulses
    return f" ({one} against {other})" if one is not None and other is not None and differ(one, other) else ""
