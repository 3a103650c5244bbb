"""A sender whose curve is not that of its gauge or input.

What it checks: that `curve:` of a sender and of what reads it lie within 10 % of each other at every point both cover.

Why it matters: the gauge reads wrong over its whole scale: hot is shown as warm until the engine has boiled.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: temperature sender, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: coolant temperature, signal: input-resistive, curve: {40 C: 1305 ohm, 100 C: 190 ohm}}
      X2.1: {function: coolant temperature, signal: thermistor, curve: {40 C: 450 ohm, 100 C: 70 ohm}}
    wires:
      1: {from: X2.1, to: X1.1, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X2.1 (coolant temperature, thermistor) and X1.1 (coolant temperature, input-resistive) are joined by wire 1
    (450 ohm against 1305 ohm at 40 C): the reading is wrong over the whole scale

The fix: Fit the sender that the gauge was made for into the engine.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: temperature sender, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: coolant temperature, signal: input-resistive, curve: {40 C: 1305 ohm, 100 C: 190 ohm}}
      X2.1: {function: coolant temperature, signal: thermistor, curve: {40 C: 1305 ohm, 100 C: 190 ohm}}
    wires:
      1: {from: X2.1, to: X1.1, size: 1 mm2, colour: BU, type: TXL}

Limits and source: read in trade sources: 1305 ohm against 450 ohm at one temperature. 10 % is common practice; between stated points the logarithm of the resistance is taken as straight.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...trade.pairing import kinds_of
from ..join_findings import findings_of_joins, lacks_of
from ..joined import curves_differ

if TYPE_CHECKING:
    from ..joined import Join
    from ..lack import Lack
    from ..subject import Subject

CODE = "sender-curve-mismatch"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (36,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, _curve)
    yield from lacks_of(subject, CODE, kinds_of("resistances"), kinds_of("resistance readers"), lambda pin: pin.curve, "`curve: {40 C: 1305 ohm, 100 C: 190 ohm}` to sender and reader")


def _curve(join: Join) -> str:
    """`` (1305 ohm against 450 ohm at 40 C)``: where they lie farthest apart."""
    apart = curves_differ(join.a.contact, join.b.contact)
    if apart is None or join.a.contact.curve is None:
        return ""
    at, one, other = apart
    unit = join.a.contact.curve.unit
    return f" ({one:.4g} ohm against {other:.4g} ohm at {at:g} {unit})"
