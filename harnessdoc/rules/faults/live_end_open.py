"""A wire that is live and ends in nothing.

What it checks: every wire with an end that is left open, whether the battery reaches it in some position of switches and relays.

Why it matters: the tape comes off, the end touches metal or a hand with a ring. With a fuse before it the fuse blows and takes
with it what else it feeds; without one it burns.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 10 A, type: blade}
    splices:
      SP1: {}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: SP1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      3: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      4: {from: SP1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 200 mm}
      5: {from: SP1, to: open, size: 1 mm2, colour: GN, type: TXL, length: 200 mm}  # here

What it says:

    wire 5 ends open and is live always, from SP1: fuse F1 makes it dead

The fix: Take the wire out where it begins; or cap the end, label it "spare, live" and waive this finding.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 10 A, type: blade}
    splices:
      SP1: {}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: SP1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      3: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      4: {from: SP1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 200 mm}

Limits and source: common practice. An end that is `unknown` is not open: something may be there. What lies beyond a load, an output of a control unit
or a coil does not count, though a little current may come from there. Pins that are live in a plug that is pulled are told by
`live-pins-exposed`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.harness import OPEN
from ..rails import live
from ..way_words import last_fuse, switched_by

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "live-end-open"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = (51,)


def check(subject: Subject) -> Iterator[Finding]:
    harness, ways = subject.harness, subject.ways
    ends = [(wire, wire.from_ if wire.to == OPEN else wire.to) for wire in harness.wires.values() if OPEN in (wire.from_, wire.to)]
    if not ends or not ways.plus:
        return
    reached = live(ways)
    for wire, end in ends:
        point = ways.point(end)
        if end not in harness.contacts or point not in reached:
            continue
        way = reached.way(point)
        fuse = last_fuse(way)
        dead = f"fuse {fuse} makes it dead" if fuse and harness.parts[fuse].kind == "fuse" else f"fusible link {fuse} alone is before it" if fuse else "nothing but the battery's clamp makes it dead"
        off = f" with {fuse} out" if fuse else " with the battery off"
        yield Finding(CODE, SEVERITY, f"wire {wire.id} ends open and is live {switched_by(subject, way)}, from {end}: {dead}", wire.source.place(),
                      f"take wire {wire.id} out at {end}{off}; or cap it, label it \"spare, live\" and waive this",
                      (Related(harness.parts[fuse].source.place(), f"{fuse} is before it"),) if fuse else (),
                      at=(f"wire {wire.id}", *((fuse,) if fuse else ()), end), origin="common practice")
