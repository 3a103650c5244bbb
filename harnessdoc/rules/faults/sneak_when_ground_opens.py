"""With one ground lost something else comes on: the current finds a way back through it.

What it checks: in every state with each ground opened in turn, solved again each time, that no load takes a tenth of its current, no relay pulls in and no circuit goes live that did not before.

Why it matters: lamps and motors let current through both ways. Where several share one ground and that comes loose, the one is grounded through the other: the brake lights the tail lamps, a dead control unit wakes.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: tail lamp switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
      S2: {title: brake pedal switch, terminals: [1, 2], closes: {pressed: [[S2.1, S2.2]]}}
      H1: {title: tail lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}
      H2: {title: stop lamp, terminals: [1, 2], between: [H2.1, H2.2], lamp: 21 W at 12 V}
      H3: {title: side lamp, terminals: [1, 2], between: [H3.1, H3.2], lamp: 5 W at 12 V}
    grounds:
      GB2: {metal: battery}  # here
      GB3: {metal: battery}
    fuses:
      F1: {rating: 7.5 A, type: blade}
      F2: {rating: 7.5 A, type: blade}
    splices:
      SP1: {method: solder}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: S1.2, to: H1.1, size: 1 mm2, colour: GY, type: TXL, length: 500 mm}
      4: {from: S1.2, to: H3.1, size: 1 mm2, colour: GY, type: TXL, length: 500 mm}
      5: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      6: {from: F2.2, to: S2.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: S2.2, to: H2.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      8: {from: H3.2, to: GB3, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      10: {from: H1.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      11: {from: H2.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      12: {from: SP1, to: GB2, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

What it says:

    with GB2 open tail lamp H1 is on (286 mA) and side lamp H3 is on (286 mA) in state 'off, stopped, S2 pressed';
    the current: battery G1 > wire 5 > fuse F2 > wire 6 > switch S2 > wire 7 > stop lamp > wire 11 > wire 10 >
    tail lamp > wire 3 > wire 4 > side lamp > wire 8 > GB3 on battery

The fix: A ground of its own for each, or a second way to ground from where they meet.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: tail lamp switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
      S2: {title: brake pedal switch, terminals: [1, 2], closes: {pressed: [[S2.1, S2.2]]}}
      H1: {title: tail lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}
      H2: {title: stop lamp, terminals: [1, 2], between: [H2.1, H2.2], lamp: 21 W at 12 V}
      H3: {title: side lamp, terminals: [1, 2], between: [H3.1, H3.2], lamp: 5 W at 12 V}
    grounds:
      GB2: {metal: battery}
      GB3: {metal: battery}
    fuses:
      F1: {rating: 7.5 A, type: blade}
      F2: {rating: 7.5 A, type: blade}
    splices:
      SP1: {method: solder}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: S1.2, to: H1.1, size: 1 mm2, colour: GY, type: TXL, length: 500 mm}
      4: {from: S1.2, to: H3.1, size: 1 mm2, colour: GY, type: TXL, length: 500 mm}
      5: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      6: {from: F2.2, to: S2.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: S2.2, to: H2.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      8: {from: H3.2, to: GB3, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      10: {from: H1.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      11: {from: H2.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      12: {from: SP1, to: GB2, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      13: {from: SP1, to: GB3, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

Limits and source: read in a trade source: a dashboard that grounded itself through the bow light. The method is sneak circuit analysis with one element removed. A tenth of the current, of a lamp three tenths, is from memory. Wires that break elsewhere are not tried.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..sneaks import finding_of, opened_ground, sneaks_of

if TYPE_CHECKING:
    from ...judgement.sneaks import Sneak
    from ..subject import Subject

CODE = "sneak-when-ground-opens"
SEVERITY = Severity.DAMAGE
ASKS = "sweep"
MODES = (22,)


def check(subject: Subject) -> Iterator[Finding]:
    by_ground: dict[str, list[Sneak]] = {}
    for sneak in sneaks_of(subject, True):
        ground = opened_ground(subject, sneak)
        if ground:
            by_ground.setdefault(ground, []).append(sneak)
    for ground, sneaks in by_ground.items():
        hub, other = _mend(subject, ground)
        second = f"a second wire from {hub} to a ground of its own{other}" if hub else f"a second way to ground from what hangs on {ground}{other}"
        yield finding_of(subject, CODE, SEVERITY, f"with {ground} open ", sneaks, f"{second}; or a ground of its own for each that meets there", (ground,))


def _mend(subject: Subject, ground: str) -> tuple[str, str]:
    """Where what hangs on a ground meets (the far end of its only wire), and another ground on the same metal."""
    harness = subject.harness
    wires = harness.wires_at.get(ground, ())
    hub = ""
    if len(wires) == 1:
        wire = harness.wires[wires[0]]
        hub = wire.to if wire.from_ == ground else wire.from_
    metal = harness.grounds[ground].metal if ground in harness.grounds else None
    others = [id for id, one in harness.grounds.items() if id != ground and one.metal == metal]
    return hub, f", {others[0]}" if others else ""
