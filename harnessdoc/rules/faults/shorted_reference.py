"""A 5 V reference of a control unit that is joined to ground or to battery plus.

What it checks: in every state, that something that takes the current (a sensor, a resistor)
lies between each pin of the kind `reference-5v` and ground, and between it and battery plus.

Why it matters: a reference on ground pulls down every sensor on it, and the engine stops
or limps; battery plus on it can destroy the control unit and the sensors.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {connectors: [X1]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {signal: feed-constant, draws: 10 mA}
      X1.2: {signal: ground-power}
      X1.3: {signal: reference-5v}  # here
    fuses:
      F1: {rating: 5 A, type: blade}
    splices:
      SP1: {}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: X1.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}
      3: {from: X1.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 600 mm}
      4: {from: SP1, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 100 mm}
      5: {from: X1.3, to: SP1, size: 1 mm2, colour: WH, type: TXL, length: 500 mm}

What it says:

    5 V reference X1.3 is joined to ground through wire 5 and wire 3 in state 'off, stopped' and 1 more:
    0.13 V stand there, 4.86 A flow out of the control unit, 4.86 A in wire 5

The fix: One of the wires named leads to the wrong cavity: put it right before the control unit is plugged
in.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {connectors: [X1]}
      U2: {terminals: [1, 2], between: [U2.1, U2.2], load: 1 kohm}
    connectors:
      X1: {face: [[1..3]], view: mating face}
    cavities:
      X1.1: {signal: feed-constant, draws: 10 mA}
      X1.2: {signal: ground-power}
      X1.3: {signal: reference-5v}
    fuses:
      F1: {rating: 5 A, type: blade}
    splices:
      SP1: {}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: X1.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}
      3: {from: X1.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 600 mm}
      4: {from: SP1, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 100 mm}
      5: {from: X1.3, to: U2.1, size: 1 mm2, colour: WH, type: TXL, length: 500 mm}
      6: {from: U2.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

Limits and source: common practice. A reference is taken for 5 V behind 1 ohm; a real one
limits its current, so the current printed is no more than a sign of how hard it is shorted. Two references tied to
each other are not told here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "shorted-reference"
SEVERITY = Severity.DAMAGE
ASKS = "solved"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ...judgement.shorts import reference_shorts
    from ...operation.catalogue import things_in_words
    from ...operation.words import amps_shown, in_states, volts_with_unit

    harness, catalogue = subject.harness, subject.operation.wiring.catalogue
    for short in reference_shorts(subject.operation):
        contact = harness.contacts[short.source]
        assert short.amps is not None and short.volts is not None
        way = f" through {things_in_words(catalogue, short.way)}" if short.way else ""
        flows = "into" if short.amps < 0 else "out of"
        most = catalogue[short.most[0]] if short.most else None
        carries = f", {amps_shown(short.most[1])} in {most.thing}" if short.most and most else ""
        yield Finding(
            CODE, SEVERITY,
            f"5 V reference {short.source} is joined to {'battery plus' if short.to_plus else 'ground'}{way} {in_states(short.states)}: "
            f"{volts_with_unit(short.volts)} stand there, {amps_shown(abs(short.amps))} flow {flows} the control unit{carries}",
            contact.source.place(), "one of these leads to the wrong cavity, where a sensor, a load of 1 kohm or so, belongs between: mend it before the control unit is plugged in",
            (Related(most.source.place(), f"{most.thing} stands here"),) if most else (),
            at=(short.source,), state=short.states[0])
