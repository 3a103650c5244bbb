"""A load is on, or a circuit live, in a state in which it is to be dead.

What it checks: in every state, that no circuit is live and none of its loads takes a tenth of its current against what its `hot:` says.

Why it matters: a relay contact that closes at rest runs its load whenever the control unit is dead; a pump or fan fed past its relay never stops. The battery is flat in the morning, or the fan cuts a hand.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}
      M1: {title: fan, terminals: [1, 2], between: [M1.1, M1.2], motor: 4 A at 12 V}  # here
    circuits:
      fan: {hot: [run]}
    fuses:
      F1: {rating: 5 A, type: blade}
      F2: {rating: 7.5 A, type: blade}
    relays:
      K1: {contacts: changeover, suppression: resistor, part: mini relay 40 A}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: Q1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: Q1.15, to: K1.86, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      5: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      6: {from: F2.2, to: K1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: K1.87a, to: M1.1, size: 1 mm2, colour: BU, type: TXL, length: 500 mm, circuit: fan}
      8: {from: M1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

What it says:

    fan M1 is on (4.11 A) and circuit fan is live (12.42 V) in state 'off, stopped'; the current: battery G1 >
    wire 5 > fuse F2 > wire 6 > relay K1 > wire 7 > fan > wire 8

The fix: Feed contact 30 of an inverted relay from the switched supply, or use 87 instead of 87a; part what feeds the circuit past its switch.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}
      M1: {title: fan, terminals: [1, 2], between: [M1.1, M1.2], motor: 4 A at 12 V}
    circuits:
      fan: {hot: [run]}
    fuses:
      F1: {rating: 5 A, type: blade}
      F2: {rating: 7.5 A, type: blade}
    relays:
      K1: {contacts: changeover, suppression: resistor, part: mini relay 40 A}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: Q1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: Q1.15, to: K1.86, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      5: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      6: {from: F2.2, to: K1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: K1.87, to: M1.1, size: 1 mm2, colour: BU, type: TXL, length: 500 mm, circuit: fan}
      8: {from: M1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

Limits and source: only circuits of which `hot:` is stated are held to it; a tenth of the current, of a lamp three tenths, is from memory. A load behind the recipe `inverted with 87a` of a merge is on by intent: it is told only with the key off. The moment between key-off and the engine's stop does not count.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.electric_words import KEY_OFF
from ..sneaks import by_circuit, finding_of, runs_on, sneaks_of

if TYPE_CHECKING:
    from ...judgement.sneaks import Sneak
    from ...operation.states import Case
    from ..subject import Subject

CODE = "load-on-unasked"
SEVERITY = Severity.DAMAGE
ASKS = "sweep"
MODES = (39,)
_AT_REST_A = 1.0
"""Less is a lamp that tells of something, and may be meant. Design choice."""


def check(subject: Subject) -> Iterator[Finding]:
    told: set[str] = set()
    for circuit, sneaks in by_circuit(subject, (sneak for sneak in sneaks_of(subject, False) if sneak.what != "held" or not runs_on(subject, sneak))):
        told.update(sneak.thing for sneak in sneaks)
        if any(_is_told(subject, sneak) for sneak in sneaks):
            continue
        hot = ", ".join(subject.harness.circuits[circuit].hot or ()) if circuit in subject.harness.circuits else ""
        relay = next((element for element in sneaks[0].path if element.removeprefix("relay ") in subject.harness.parts), "")
        id = relay.removeprefix("relay ")
        by = f": feed {id}.30 from the switched supply, or lead the load to {id}.87 instead of {id}.87a" if relay else ": part what it passes on the path above, at the first thing that the circuit is not to pass"
        yield finding_of(subject, CODE, SEVERITY, "", sneaks, f"circuit {circuit} is to be live in {hot or 'no state'} only{by}")
    yield from _at_rest(subject, told)


def _is_told(subject: Subject, sneak: Sneak) -> bool:
    """A pull-in winding that lasts: `pull-in-winding-held` tells it."""
    owner, _, name = sneak.thing.partition(" ")
    device = subject.harness.devices.get(owner)
    load = None if device is None else device.loads[name].load if name in device.loads else device.load
    return load is not None and load.at_most is not None


def _inverting(subject: Subject) -> frozenset[str]:
    """What the interfaces that invert put in: there a load is on by intent while nothing commands."""
    if subject.merge is None:
        return frozenset()
    from ...merge.recipes.inverted import RECIPE

    return frozenset(thing for interface in subject.merge.interfaces.values() if interface.recipe == RECIPE.name for thing in interface.things)


def _is_parked(case: Case) -> bool:
    from ...model.electric import Engine

    return case.key == KEY_OFF and case.engine is Engine.STOPPED


def _at_rest(subject: Subject, told: set[str]) -> Iterator[Finding]:
    """A load on the contact at rest of a relay of which the other contact is left free: it is on whenever nothing commands it."""
    from ...operation.words import amps_shown, in_states

    operation, harness = subject.operation, subject.harness
    if operation is None:
        return
    inverting = _inverting(subject)
    for part in harness.parts.values():
        if part.kind != "relay" or not harness.wires_at.get(f"{part.id}.87a") or harness.wires_at.get(f"{part.id}.87"):
            continue
        reached = subject.ways.reach_over([f"{part.id}.87a"], ("wire", "fuse"))
        for load in operation.wiring.loads:
            if load.kind in ("sender", "draws") or load.id in told or not load.element or not any(subject.ways.point(end) in reached for end in (load.a, load.b) if end):
                continue
            on = [(abs(solved.solution.currents.get(load.element, 0.0)), name) for name, solved in operation.solved.items()
                  if solved.solution is not None and not solved.solution.relay_states.get(f"relay {part.id}", False)
                  and not (part.id in inverting and not _is_parked(solved.case))]
            amps, state = max(on, key=lambda one: round(one[0], 6), default=(0.0, ""))
            if amps < _AT_REST_A:
                continue
            wire = harness.wires_at[f"{part.id}.87a"][0]
            do = f"feed {part.id}.30 from a supply that the key opens" if part.id in inverting else \
                f"lead wire {wire} to {part.id}.87; where it is meant so feed {part.id}.30 from a supply that is dead with the control unit, and waive this"
            yield Finding(CODE, SEVERITY, f"{load.title} {load.id} is on ({amps_shown(amps)}) {in_states([state])} and whenever relay {part.id} is not pulled in: it hangs on 87a, and 87 is free".lstrip(),
                          harness.wires[wire].source.place(), do,
                          at=(f"wire {wire}", part.id, load.owner, *([f"circuit {load.circuit}"] if load.circuit in harness.circuits else [])), state=state, value=amps_shown(amps),
                          limit=amps_shown(_AT_REST_A), origin="design choice")
