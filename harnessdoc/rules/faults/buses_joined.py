"""Two buses tied together, or the two lines of one bus crossed.

What it checks: that contacts on one copper agree in `bus:` and `bit-rate:` where both say it, and that high meets high and low meets low.

Why it matters: two networks of different speed or language on one pair stop each other. Not to be solved by wiring.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: instrument cluster, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: CAN high, signal: can-high, bit-rate: 500 kbit/s}
      X2.1: {function: CAN high, signal: can-high, bit-rate: 250 kbit/s}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: YE, type: TXL}  # here

What it says:

    X1.1 (CAN high, can-high) and X2.1 (CAN high, can-high) are joined by wire 1 (500 kbit/s against 250 kbit/s):
    neither bus works

The fix: A gateway between the two, a module that speaks both; or exchange the two wires where high and low are crossed.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: instrument cluster, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {function: CAN high, signal: can-high, bit-rate: 500 kbit/s}
      X2.1: {function: CAN high, signal: can-high, bit-rate: 250 kbit/s}

Limits and source: common practice. Two buses of one rate whose messages differ are seen only where `bus:` says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins, lacks_of

if TYPE_CHECKING:
    from ..joined import Join
    from ..lack import Lack
    from ..subject import Subject

CODE = "buses-joined"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (29,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, _stated)
    yield from lacks_of(subject, CODE, ("can-high",), ("can-high",), lambda pin: pin.bit_rate, "`bit-rate: 500 kbit/s` to each pin of the bus")


def _stated(join: Join) -> str:
    """`` (500 kbit/s against 250 kbit/s)``: what both say of their bus."""
    said = [[words for words in (pin.contact.bus, pin.contact.bit_rate.stated if pin.contact.bit_rate else "") if words] for pin in (join.a, join.b)]
    return f" ({' '.join(said[0])} against {' '.join(said[1])})" if all(said) and said[0] != said[1] else ""
