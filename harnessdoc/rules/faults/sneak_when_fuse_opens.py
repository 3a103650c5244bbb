"""With one fuse out something comes on against what is said of its circuit.

What it checks: in every state with each fuse and fusible link opened in turn, solved again each time, that nothing comes on, pulls in or goes live that did not before, and is to be dead by its `hot:`.

Why it matters: a fuse is pulled to make a circuit dead. Where a relay then falls to its contact at rest, or the current finds another way, something else starts on its own.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      Q1: {title: master switch, terminals: [1, 2, 3], closes: {on: [[Q1.1, Q1.2], [Q1.1, Q1.3]]}}
      M1: {title: fan, terminals: [1, 2], between: [M1.1, M1.2], motor: 4 A at 12 V}
    circuits:
      fan: {hot: [start]}
    fuses:
      F1: {rating: 20 A, type: blade}
      F2: {rating: 7.5 A, type: blade}  # here
      F3: {rating: 7.5 A, type: blade}
    splices:
      SP1: {method: solder}
    relays:
      K1: {contacts: changeover, suppression: resistor, part: mini relay 40 A}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: Q1.1, size: 4 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: Q1.2, to: F2.1, size: 2 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: F2.2, to: SP1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      10: {from: SP1, to: K1.86, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      5: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      6: {from: Q1.3, to: F3.1, size: 2 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: F3.2, to: K1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      8: {from: K1.87a, to: M1.1, size: 1 mm2, colour: BU, type: TXL, length: 500 mm, circuit: fan}
      9: {from: M1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

What it says:

    with F2 out circuit fan is live (12.32 V) in state 'off, stopped, Q1 on'; the current: battery G1 > wire 1 >
    fuse F1 > wire 2 > switch Q1 > wire 6 > fuse F3 > wire 7 > relay K1

The fix: Feed the contact at rest from the fuse of its own coil, or by a relay that is at rest with the load off.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      Q1: {title: master switch, terminals: [1, 2, 3], closes: {on: [[Q1.1, Q1.2], [Q1.1, Q1.3]]}}
      M1: {title: fan, terminals: [1, 2], between: [M1.1, M1.2], motor: 4 A at 12 V}
    circuits:
      fan: {hot: [start]}
    fuses:
      F1: {rating: 20 A, type: blade}
      F2: {rating: 7.5 A, type: blade}
      F3: {rating: 7.5 A, type: blade}
    splices:
      SP1: {method: solder}
    relays:
      K1: {contacts: changeover, suppression: resistor, part: mini relay 40 A}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: Q1.1, size: 4 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: Q1.2, to: F2.1, size: 2 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: F2.2, to: SP1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      10: {from: SP1, to: K1.86, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      5: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      6: {from: Q1.3, to: F3.1, size: 2 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: SP1, to: K1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      8: {from: K1.87a, to: M1.1, size: 1 mm2, colour: BU, type: TXL, length: 500 mm, circuit: fan}
      9: {from: M1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

Limits and source: common practice. A load that goes on burning, dimmer, through another way is told only where its circuit's `hot:` is stated. A tenth of the current, of a lamp three tenths, is from memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..sneaks import finding_of, opened_fuse, sneaks_of

if TYPE_CHECKING:
    from ...judgement.sneaks import Sneak
    from ..subject import Subject

CODE = "sneak-when-fuse-opens"
SEVERITY = Severity.MALFUNCTION
ASKS = "sweep"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    by_fuse: dict[str, list[Sneak]] = {}
    for sneak in sneaks_of(subject, True):
        fuse = opened_fuse(subject, sneak)
        if fuse:
            by_fuse.setdefault(fuse, []).append(sneak)
    for fuse, sneaks in by_fuse.items():
        relay = next((element.removeprefix("relay ") for element in sneaks[0].path if element.removeprefix("relay ") in subject.harness.parts), "")
        do = f"lead the load to 87 of {relay}, or feed {relay}.30 from {fuse} too{_hub(subject, fuse)}" if relay else f"part the other way: what {fuse} feeds is to be dead with it out"
        yield finding_of(subject, CODE, SEVERITY, f"with {fuse} out ", sneaks, do, (fuse,))


def _hub(subject: Subject, fuse: str) -> str:
    """`` (at SP1)``: where the wire behind the fuse ends in a splice."""
    harness = subject.harness
    ends = [end for wire in harness.wires_at.get(f"{fuse}.2", ()) for end in (harness.wires[wire].from_, harness.wires[wire].to) if end in harness.splices]
    return f" (at {ends[0]})" if ends else ""
