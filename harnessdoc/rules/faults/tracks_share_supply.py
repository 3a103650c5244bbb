"""The two tracks of an accelerator pedal or throttle on one reference, one ground or one signal.

What it checks: that each track of a pedal or throttle that has a reference and a ground of its own keeps them as far as the control unit.

Why it matters: the two tracks watch each other so that one fault cannot open the throttle. On one wire one fault takes both, and nothing notices.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: accelerator pedal, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..4]], view: mating face}
    cavities:
      X1.1: {function: pedal reference 1, signal: reference-5v}
      X1.2: {function: pedal reference 2, signal: reference-5v}
      X2.1: {function: reference 1, signal: feed-5v}
      X2.2: {function: reference 2, signal: feed-5v}
      X2.3: {function: track 1, signal: pedal-track}
      X2.4: {function: track 2, signal: pedal-track}
    splices:
      S1: {method: solder}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: RD, type: TXL}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: RD, type: TXL}
      3: {from: S1, to: X2.2, size: 1 mm2, colour: OG, type: TXL}  # here

What it says:

    X2.1 (reference 1, feed-5v) and X2.2 (reference 2, feed-5v) are joined by wire 2 and wire 3 over S1: both
    tracks of a pedal or throttle hang on one reference: one fault takes both

The fix: A reference, a ground and a signal wire for each track, as the donor had it.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: accelerator pedal, connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..4]], view: mating face}
    cavities:
      X1.1: {function: pedal reference 1, signal: reference-5v}
      X1.2: {function: pedal reference 2, signal: reference-5v}
      X2.1: {function: reference 1, signal: feed-5v}
      X2.2: {function: reference 2, signal: feed-5v}
      X2.3: {function: track 1, signal: pedal-track}
      X2.4: {function: track 2, signal: pedal-track}
    splices:
      S1: {method: solder}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: RD, type: TXL}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: RD, type: TXL}
      3: {from: X1.2, to: X2.2, size: 1 mm2, colour: OG, type: TXL}

Limits and source: read in a trade source: a six-wire pedal has two references, two grounds and two signals. A pedal whose tracks share one pin inside is as its maker built it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..join_findings import findings_of_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "tracks-share-supply"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = (25,)


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY)
