"""The battery is drained while the vehicle stands with the key off.

What it checks: where a key switch is described, with the key off, the engine stopped and every switch at rest, what the battery gives, against
the most that is borne. What takes it is listed, the most first.

Why it matters: 50 mA empty half of a battery of 60 Ah in 25 days. A feed that was taken from an always live
wire where a switched one was meant, or a control unit that is kept awake, takes ten times that.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 15], closes: {run: [[S1.30, S1.15]]}}
      N8: {title: road speed sensor, terminals: [1, 2]}
    cavities:
      N8.1: {function: supply, signal: feed-switched, draws: 80 mA}  # here
      N8.2: {signal: ground-power}
    fuses:
      F1: {rating: 5 A, type: blade}
      F2: {rating: 5 A, type: blade}
      F3: {rating: 5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      3: {from: S1.15, to: F2.1, size: 1 mm2, colour: GN, type: TXL, length: 1 m}
      6: {from: G1.+, to: F3.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      4: {from: F3.2, to: N8.1, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      5: {from: N8.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    at rest the battery gives 84.0 mA, at most 50 mA are borne, half of 60 Ah in 15 days: road speed sensor,
    supply N8.1 84.0 mA

The fix: Feed what need not be live at rest from a circuit that is dead with the key off.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 15], closes: {run: [[S1.30, S1.15]]}}
      N8: {title: road speed sensor, terminals: [1, 2]}
    cavities:
      N8.1: {function: supply, signal: feed-switched, draws: 80 mA}
      N8.2: {signal: ground-power}
    fuses:
      F1: {rating: 5 A, type: blade}
      F2: {rating: 5 A, type: blade}
      F3: {rating: 5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      3: {from: S1.15, to: F2.1, size: 1 mm2, colour: GN, type: TXL, length: 1 m}
      6: {from: G1.+, to: F3.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      4: {from: F2.2, to: N8.1, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      5: {from: N8.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: 50 mA is common practice for a vehicle whose control units sleep; one maker's book asks for 10 to
30 mA after 5 minutes. What a pin draws is taken as stated: write for an always live pin what it draws asleep.
A clock, an alarm or a tracker may be meant: waive it with the reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ...judgement.budget import Drain
    from ...operation.operate import Operation, Solved
    from ...operation.wiring import LoadPoint
    from ..subject import Subject

CODE = "parasitic-drain"
SEVERITY = Severity.DAMAGE
ASKS = "solved"
MODES = (20,)
MOST = Option(CODE, "most", "current", "50 mA", "the drain that is borne", "common practice")
OPTIONS = (MOST,)
_LISTED_A = 0.001
_MOST_LISTED = 5


def check(subject: Subject) -> Iterator[Finding | Lack]:
    # Without a key switch nothing says that the vehicle is at rest.
    if subject.operation is None or subject.harness.key_switch is None:
        return
    from ...judgement.budget import budget

    operation = subject.operation
    drain = budget(operation).drain
    if drain is None:
        return
    yield from _lacks(subject)
    drain = _without_what_is_told(subject, operation, drain)
    if drain.total_a > subject.value(MOST).value:
        yield _told(subject, operation, drain)


def _without_what_is_told(subject: Subject, operation: Operation, drain: Drain) -> Drain:
    """The drain less what is on or held in against its circuit's `hot:` or feeds a control unit back: `load-on-unasked` and `output-feeds-back` tell that."""
    from ..feed_back import fed_back
    from ..sneaks import sneaks_of

    off = _off(operation).case.name
    on = {sneak.thing for sneak in sneaks_of(subject, False) if sneak.what == "on" and off in sneak.states}
    island_of = subject.network.island_of
    islands = {island_of[address] for address, states in fed_back(subject).items() if any(solved.case.name == off for _, solved in states)}
    coils = {f"coil of relay {id}" for id, part in subject.harness.parts.items() if part.kind == "relay" and any(island_of.get(f"{id}.{name}") in islands for name in ("85", "86"))}
    coils |= {f"coil of relay {sneak.thing}" for sneak in sneaks_of(subject, False) if sneak.what == "held" and off in sneak.states}
    parts = tuple(part for part in drain.parts if (part[1].id not in on if part[1] is not None else part[0] not in coils))
    total_a = sum(amps for _, _, amps in parts)
    return replace(drain, parts=parts, total_a=total_a, days=drain.days * drain.total_a / total_a if drain.days and total_a > 0 else None)


def _lacks(subject: Subject) -> Iterator[Lack]:
    """Pins that are always live and of which nobody says what they draw."""
    from ..pins import pins_by_device

    assert subject.operation is not None
    with_load = {end for load in subject.operation.wiring.loads for end in (load.a, load.b)}
    for id, pins in pins_by_device(subject.harness).items():
        device = subject.harness.devices[id]
        for pin in pins if not device.closes and device.supply is None else ():
            if pin.signal == "feed-constant" and pin.draws is None and pin.address not in with_load:
                yield Lack(CODE, pin.address, "`draws: 5 mA` to each pin that is always live: what it draws asleep")


def _told(subject: Subject, operation: Operation, drain: Drain) -> Finding:
    from ...operation.words import amps_shown, listed

    most = subject.value(MOST)
    parts = [part for part in drain.parts if part[2] >= _LISTED_A]
    listing = [f"{_named(words, load)} {amps_shown(amps)}" for words, load, amps in parts[:_MOST_LISTED]]
    if len(parts) > _MOST_LISTED:
        listing.append(f"{len(parts) - _MOST_LISTED} more {amps_shown(sum(part[2] for part in parts[_MOST_LISTED:]))}")
    days = drain.days or 0.0
    gone = f", half of {drain.battery_ah:g} Ah in " + (f"{days:.0f} days" if days >= 2 else f"{days * 24:.0f} hours")
    message = f"at rest the battery gives {amps_shown(drain.total_a)}, at most {most.stated} are borne{gone}: {listed(listing)}"
    loads = [load for _, load, _ in parts if load is not None]
    harness = operation.wiring.harness
    at = [load.a if load.kind == "draws" else load.owner for load in loads] + [words.rpartition(" ")[2] for words, load, _ in parts if load is None and words.rpartition(" ")[2] in harness.parts]
    supply = next(id for id in harness.supplies if "battery" in harness.devices[id].source)
    sources = [operation.wiring.catalogue[load.element].source for load in loads] + [harness.parts[id].source for id in at if id in harness.parts]
    place = (sources[0].place_of("draws") if "draws" in sources[0] else sources[0].place()) if sources else harness.devices[supply].source.place()
    return Finding(CODE, SEVERITY, message, place, _do(operation, loads[0] if loads else None), tuple(Related(source.place(), "draws too") for source in sources[1:]),
                   at=tuple(dict.fromkeys(at or [supply])), state=_off(operation).case.name, value=amps_shown(drain.total_a), limit=most.stated, origin=MOST.origin)


def _named(words: str, load: LoadPoint | None) -> str:
    return words if load is None else f"{words} {load.id}".strip()


def _off(operation: Operation) -> Solved:
    return next(solved for solved in operation.solved.values() if solved.case.key == "off" and not solved.case.named)


def _do(operation: Operation, load: LoadPoint | None) -> str:
    """Which feed to move, and to where."""
    harness = operation.wiring.harness
    if load is None:
        return "take the feed of what is held in behind the key switch"
    wires = harness.wires_at.get(load.a, ())
    what = f"{f'wire {wires[0]}' if len(wires) == 1 else 'the feed'} of {load.a}"
    switched = _switched(operation)
    behind = f"on {' or '.join(switched)}, dead with the key off and live in run" if switched else "behind the key switch"
    return f"put {what} {behind}; or mend what it draws at rest, if the control unit sleeps"


def _switched(operation: Operation) -> list[str]:
    """Up to two load sides of fuses that are dead at rest and live in run."""
    from ...judgement.hot import LIVE

    off, run = _off(operation).solution, next((solved.solution for solved in operation.solved.values() if solved.case.key == "run" and not solved.case.switches), None)
    if off is None or run is None:
        return []
    nodes, found = operation.wiring.nodes, []
    for part in operation.wiring.harness.parts.values():
        if part.kind == "fuse" and (node := nodes.of[f"{part.id}.2"]) in run.voltages:
            if abs(off.voltages.get(node, 0.0)) < LIVE * off.voltages[nodes.plus] <= run.voltages[node]:
                found.append(f"{part.id}.2")
    return found[:2]
