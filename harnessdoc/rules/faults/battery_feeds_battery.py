"""A battery that drives current into another one.

What it checks: in every state in which the engine does not run, that no battery takes
more than 1 A from another source.

Why it matters: two batteries, or a host's feed and a donor's, that are tied for good level each other
out: a tenth of a volt of difference is tens of amperes through wires meant for a lamp, the weaker
one drains the better, and a pulled fuse no longer makes a circuit dead.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.8 V}}
      G2: {terminals: ["+", "-"], between: [G2.+, G2.-], battery: {emf: 11.8 V}}  # here
    fuses:
      F1: {rating: 80 A, type: midi}
      F2: {rating: 80 A, type: midi}
    wires:
      1: {from: G1.+, to: F1.1, size: 25 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: F2.2, size: 25 mm2, colour: RD, type: TXL, length: 200 mm}
      3: {from: F2.1, to: G2.+, size: 25 mm2, colour: RD, type: TXL, length: 100 mm}
      4: {from: G1.-, to: G2.-, size: 25 mm2, colour: BK, type: TXL, length: 400 mm}

What it says:

    battery G1 drives 41.4 A into battery G2 in state 'off, stopped': 12.21 V stand at G2.+

The fix: Take out what ties them, or put an isolator between that parts them while nothing charges.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.8 V}}
      G2: {terminals: ["+", "-"], between: [G2.+, G2.-], battery: {emf: 11.8 V}}
    fuses:
      F1: {rating: 80 A, type: midi}
      F2: {rating: 80 A, type: midi}
    wires:
      1: {from: G1.+, to: F1.1, size: 25 mm2, colour: RD, type: TXL, length: 100 mm}
      3: {from: F2.1, to: G2.+, size: 25 mm2, colour: RD, type: TXL, length: 100 mm}
      4: {from: G1.-, to: G2.-, size: 25 mm2, colour: BK, type: TXL, length: 400 mm}

Limits and source: common practice; the 1 A is a design choice. Two batteries of one voltage are not told, though they
never stay that: give them the voltages they may come to.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.electric_words import SUPPLY_KINDS

if TYPE_CHECKING:
    from ...model.harness import Device
    from ..subject import Subject

CODE = "battery-feeds-battery"
SEVERITY = Severity.MALFUNCTION
ASKS = "solved"
MODES = (6,)
_MOST_A = 1.0


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ...model.electric import Battery, Engine
    from ...operation.supplies import given_a, kind_of
    from ...operation.words import in_states
    from ...operation.words import amps_shown, volts_shown

    operation, harness = subject.operation, subject.harness
    supplies = [device for id in harness.supplies if (device := harness.devices[id]).between]
    for battery in supplies:
        if not isinstance(battery.supply, Battery):
            continue
        taken = {name: -given_a(battery, solved.solution) for name, solved in operation.solved.items()
                 if solved.solution is not None and solved.case.engine is not Engine.RUNNING}
        states = sorted((name for name, amps in taken.items() if amps > _MOST_A), key=lambda name: -taken[name])
        if not states:
            continue
        solution = operation.solved[states[0]].solution
        assert solution is not None and battery.between is not None
        giver = max((device for device in supplies if device is not battery), key=lambda device: given_a(device, solution))
        plus, minus = (operation.wiring.nodes.of[end] for end in battery.between)
        kind = next(kind for kind in SUPPLY_KINDS if kind in giver.source)
        yield Finding(CODE, SEVERITY, f"{kind_of(giver)} {giver.id} drives {amps_shown(taken[states[0]])} into battery {battery.id} {in_states(states)}: "
                      f"{volts_shown(solution.across(plus, minus))} V stand at {battery.between[0]}",
                      battery.source.place_of("battery"), f"take out what ties them ({_tie(subject, giver, battery)}), or put an isolator between that parts them while nothing charges",
                      (Related(giver.source.place_of(kind), f"{kind_of(giver)} {giver.id} stands here"),),
                      at=(battery.id, giver.id), state=states[0], value=amps_shown(taken[states[0]]), limit=amps_shown(_MOST_A), origin="design choice")


def _tie(subject: Subject, giver: Device, taker: Device) -> str:
    """What lies between the two, thing by thing; the shortest way over wires, fuses and contacts."""
    from ...network.ways import CONTACTS, PLAIN, PROTECTS
    from ...operation.words import listed

    assert giver.between is not None and taker.between is not None
    reached = subject.ways.reach_over([giver.between[0]], (*PLAIN, *PROTECTS, *CONTACTS))
    end = subject.ways.point(taker.between[0])
    words = [f"wire {way.thing}" if way.kind == "wire" else way.thing for way in (reached.way(end) if end in reached else ())]
    return listed(words) or "a bar or a link"
