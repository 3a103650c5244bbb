"""A battery, test supply or alternator that is short-circuited.

What it checks: in every state, that something that takes the current lies between the
poles of each source, and between the ends of batteries in series: a load, a coil, a resistor; and
that what a source feeds leaves it a quarter of its voltage at least.

Why it matters: hundreds of amperes flow at once. What is not fused glows and sets fire to
the rest of the loom; a battery may burst.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}  # here
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: G1.-, size: 2.5 mm2, colour: RD, type: TXL, length: 600 mm}

What it says:

    battery G1 is short-circuited in state 'off, stopped' and 1 more: through wire 1, fuse F1 and wire 2
    nothing takes the current between G1.+ and G1.-; 360 A flow, 360 A of it in wire 1 (2.5 mm²), 9.00 V
    are left at G1.+

The fix: Find what leads to the wrong end, and put it right before any power is put on.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 600 mm}
      3: {from: H1.2, to: G1.-, size: 2.5 mm2, colour: BK, type: TXL, length: 600 mm}

Limits and source: a row of batteries is told once, as a whole; the quarter is a design choice, a
starter leaves more than half. What a wire may carry, and whether its fuse blows in time, is told
elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity

if TYPE_CHECKING:
    from ...judgement.shorts import Short
    from ...operation.catalogue import Entry
    from ..subject import Subject

CODE = "shorted-source"
SEVERITY = Severity.HAZARD
ASKS = "solved"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ...judgement.shorts import source_shorts
    from ...operation.catalogue import things_in_words
    from ...operation.supplies import supply_element
    from ...operation.words import amps_shown, in_states, listed, volts_shown

    harness, catalogue = subject.harness, subject.operation.wiring.catalogue
    for short in source_shorts(subject.operation):
        row = [harness.devices[id] for id in short.row]
        source = f"{listed([supply_element(device) for device in row])}{' in series are' if len(row) > 1 else ' is'}"
        poles, place = " and ".join(short.poles), row[0].source.place_of("between")
        if short.amps is None or short.volts is None:
            yield Finding(CODE, SEVERITY, f"{source} short-circuited: {poles} are one piece of copper{_joints(subject, short)}; nothing is solved", place,
                          "take out what joins its poles", at=short.row)
            continue
        most = catalogue[short.most[0]] if short.most else None
        carries = f", {amps_shown(short.most[1])} of it in {most.thing}{_size(subject, most)}" if short.most and most else ""
        flow = f"{amps_shown(short.amps)} flow{carries}, {volts_shown(short.volts)} V are left at {short.poles[0]}"
        if short.way:
            said = f"{source} short-circuited {in_states(short.states)}: through {things_in_words(catalogue, short.way)} nothing takes the current between {poles}; {flow}"
            do = "one of these leads to the wrong end: mend it before any power is put on"
        else:
            said = f"{source} asked for more than it can give {in_states(short.states)}: {flow}"
            do = "check what this load takes, number and unit"
        related = (Related(most.source.place(), f"{most.thing} carries most of it"),) if most else ()
        yield Finding(CODE, SEVERITY, said, place, do, related, at=short.row, state=short.states[0] if short.states else "")


def _size(subject: Subject, entry: Entry) -> str:
    wire = subject.harness.wires.get(entry.wire)
    return f" ({wire.size})" if wire is not None and wire.size is not None else ""


def _joints(subject: Subject, short: Short) -> str:
    """What joins the poles without a wire."""
    from ...judgement.bare import Piece, shortest
    from ...operation.words import listed

    plus, minus = short.poles
    if plus == minus:
        return ""
    named = {"bar": "bar {}", "mated": "the mated halves {}", "link": "a link in device {}"}
    pieces = [Piece(named[joint.kind].format(joint.id), joint.a, joint.b) for joint in subject.network.joints]
    return f" through {listed(list(dict.fromkeys(shortest(pieces, plus, (minus,)) or ())))}"
