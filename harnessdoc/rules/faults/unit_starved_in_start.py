"""A control unit gets too few volts while the engine is cranked.

What it checks: for each supply pin of a control unit that the source reaches while the engine is
cranked, the volts between it and the unit's own ground, in every state with the engine cranking. The
sum is shown: what the battery sags to, what the feed and the ground lose, and which thing loses most.

Why it matters: the unit resets, again and again, while the starter turns: no spark, no injection, and
nothing is found wrong with the key let back.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {resistance: 18 mohm}}
      S1: {title: key switch, terminals: [30, 15, 50], closes: {run: [[S1.30, S1.15]], start: [[S1.30, S1.15], [S1.30, S1.50]]}}
      S3: {title: neutral switch, terminals: [1, 2], closes: {neutral: [[S3.1, S3.2]]}, rest: neutral}
      M1:
        terminals: [30, 50, 31]
        loads:
          solenoid: {between: [M1.50, M1.31], solenoid: {winding: 0.6 ohm, pull-in: 6 V}}
          armature: {between: [M1.30, M1.31], motor: 280 A at 10 V, closed-by: solenoid}
      U1: {title: engine control unit, terminals: [1, 2, 3]}
    cavities:
      U1.1: {function: main supply, signal: feed-switched, draws: 5 A}
      U1.2: {signal: ground-power}
      U1.3: {signal: output-injector}
      S3.1: {signal: interlock}
      S3.2: {signal: interlock}
    fuses:
      F1: {rating: 10 A, type: blade}
      F2: {rating: 40 A, type: midi}
    wires:
      1: {from: G1.+, to: M1.30, size: 70 mm2, colour: RD, type: TXL, length: 1 m}
      2: {from: M1.31, to: G1.-, size: 70 mm2, colour: BK, type: TXL, length: 1 m}
      3: {from: G1.+, to: F2.1, size: 6 mm2, colour: RD, type: TXL, length: 100 mm}
      4: {from: F2.2, to: S1.30, size: 6 mm2, colour: RD, type: TXL, length: 500 mm}
      5: {from: S1.50, to: S3.1, size: 6 mm2, colour: YE, type: TXL, length: 1 m}
      9: {from: S3.2, to: M1.50, size: 6 mm2, colour: YE, type: TXL, length: 1 m}
      6: {from: S1.15, to: F1.1, size: 2.5 mm2, colour: GN, type: TXL, length: 100 mm}
      7: {from: F1.2, to: U1.1, size: 1 mm2, colour: RD, type: TXL, length: 3 m}  # here
      8: {from: U1.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    engine control unit U1 gets 7.95 V at U1.1 against its ground in state 'start, cranking', it needs 8 V: the
    battery sags to 8.31 V, feed and ground lose 0.36 V, most of it in wire 7 (0.20 V)

The fix: Thicker wire where most is lost, or a feed and a ground of the unit's own from the battery.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {resistance: 18 mohm}}
      S1: {title: key switch, terminals: [30, 15, 50], closes: {run: [[S1.30, S1.15]], start: [[S1.30, S1.15], [S1.30, S1.50]]}}
      S3: {title: neutral switch, terminals: [1, 2], closes: {neutral: [[S3.1, S3.2]]}, rest: neutral}
      M1:
        terminals: [30, 50, 31]
        loads:
          solenoid: {between: [M1.50, M1.31], solenoid: {winding: 0.6 ohm, pull-in: 6 V}}
          armature: {between: [M1.30, M1.31], motor: 280 A at 10 V, closed-by: solenoid}
      U1: {title: engine control unit, terminals: [1, 2, 3]}
    cavities:
      U1.1: {function: main supply, signal: feed-switched, draws: 5 A}
      U1.2: {signal: ground-power}
      U1.3: {signal: output-injector}
      S3.1: {signal: interlock}
      S3.2: {signal: interlock}
    fuses:
      F1: {rating: 10 A, type: blade}
      F2: {rating: 40 A, type: midi}
    wires:
      1: {from: G1.+, to: M1.30, size: 70 mm2, colour: RD, type: TXL, length: 1 m}
      2: {from: M1.31, to: G1.-, size: 70 mm2, colour: BK, type: TXL, length: 1 m}
      3: {from: G1.+, to: F2.1, size: 6 mm2, colour: RD, type: TXL, length: 100 mm}
      4: {from: F2.2, to: S1.30, size: 6 mm2, colour: RD, type: TXL, length: 500 mm}
      5: {from: S1.50, to: S3.1, size: 6 mm2, colour: YE, type: TXL, length: 1 m}
      9: {from: S3.2, to: M1.50, size: 6 mm2, colour: YE, type: TXL, length: 1 m}
      6: {from: S1.15, to: F1.1, size: 2.5 mm2, colour: GN, type: TXL, length: 100 mm}
      7: {from: F1.2, to: U1.1, size: 4 mm2, colour: RD, type: TXL, length: 3 m}
      8: {from: U1.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: 8 V is from memory (8 to 9 V are asked for), of a 12 V system, in others in proportion. The
starter is solved as it is rated; a stiff engine in the cold takes more. Told once a unit, at its worst pin
and state. Wires whose size or length is not known are not judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ...judgement.path import Step
    from ...operation.operate import Operation
    from ..subject import Subject

CODE = "unit-starved-in-start"
SEVERITY = Severity.DAMAGE
ASKS = "solved"
MODES = (12,)
LEAST = Option(CODE, "least", "voltage", "8 V", "what a control unit of a 12 V system needs between supply and ground", "from memory")
OPTIONS = (LEAST,)
_FEEDS = ("feed-constant", "feed-switched", "feed-run", "feed-relay")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    if subject.operation is None:
        return
    from ...judgement.cranked import cranking_states
    from ...judgement.fed import fed_in
    from ...model.given import nominal_v
    from ..pins import control_units

    operation, nodes = subject.operation, subject.operation.wiring.nodes
    least_v = subject.value(LEAST).value * nominal_v(subject.harness) / 12.0
    for id, pins in control_units(subject.harness).items():
        ground = operation.wiring.units[id].ground
        feeds = [pin.address for pin in pins if pin.signal in _FEEDS and pin.address not in nodes.off]
        found = []
        for solved in cranking_states(operation):
            fed = fed_in(operation, solved)
            if ground is not None and ground in fed.behind:
                found += [(fed.solution.across(nodes.of[pin], ground), pin, solved.case.name, (*fed.feed(nodes.of[pin]), *fed.back(ground)))
                          for pin in feeds if nodes.of[pin] in fed.before]
        if not found:
            continue
        volts, pin, state, steps = min(found, key=lambda one: one[0])
        conductors = operation.wiring.conductors
        unknown = [step.wire for step in steps if step.wire and (conductors[step.wire].size is None or conductors[step.wire].length_mm is None)]
        if volts < least_v and unknown:
            yield from (Lack(CODE, f"wire {wire}", "`size:` and `length:` to each wire") for wire in unknown)
        elif volts < least_v:
            yield _told(operation, id, pin, state, volts, least_v, steps)


def _told(operation: Operation, unit: str, pin: str, state: str, volts: float, least_v: float, steps: tuple[Step, ...]) -> Finding:
    from ...judgement.thicker import sizes_in_words, sizes_that_lose
    from ...operation.words import volts_with_unit
    from ..named import name_of

    wiring = operation.wiring
    solution = operation.solved[state].solution
    assert solution is not None
    battery_v = solution.voltages[wiring.nodes.plus]
    device = wiring.harness.devices[unit]
    lost_v = battery_v - volts
    worst = max(steps, key=lambda step: step.drop_v, default=None)
    most = f", most of it in {worst.words} ({volts_with_unit(worst.drop_v)})" if worst and worst.drop_v > 0 else ""
    message = (f"{device.title or 'control unit'} {unit} gets {volts:.2f} V at {pin} against its ground in state '{state}', it needs {least_v:g} V: "
               f"the battery sags to {battery_v:.2f} V, feed and ground lose {lost_v:.2f} V{most}")
    wanted, _ = sizes_that_lose(operation, steps, battery_v - least_v, battery_v) if battery_v > least_v else ({}, 0.0)
    if battery_v <= least_v:
        do = "the battery itself sags below that: a larger battery, or thicker starter cables; no wire of the unit mends it"
    elif wanted:
        do = f"{sizes_in_words(operation, wanted)}: then it holds; or a feed of its own from the battery"
    else:
        do = f"a feed and a ground of its own from the battery; measure over {worst.words if worst else pin} while cranking first"
    entry = wiring.catalogue[worst.element] if worst else None
    wire = wiring.harness.wires.get(entry.wire) if entry else None
    place = wire.source.place_of("size") if wire else (entry.source if entry else wiring.harness.contacts[pin].source).place()
    at = (*([name_of(entry)] if entry else ()), pin, unit)
    if battery_v <= least_v:
        supply = next(supply for id in wiring.harness.supplies if (supply := wiring.harness.devices[id]).between and wiring.nodes.of.get(supply.between[0]) == wiring.nodes.plus)
        place, at = supply.source.place(), (supply.id, pin, unit)
    return Finding(CODE, SEVERITY, message, place, do, (Related(wiring.harness.contacts[pin].source.place(), f"{pin} gets too little"),), at=tuple(dict.fromkeys(at)),
                   state=state, value=f"{volts:.2f} V", limit=f"{least_v:g} V", origin=LEAST.origin)
