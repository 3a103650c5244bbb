"""More voltage is lost on the way to a load, or back from it, than the trade allows.

What it checks: for every load and alternator, in the state in which it takes or gives most,
the volts that its wires, fuses, contacts and grounds lose, against the limit for what it is.
Loads whose way loses most in the same thing are told together.

Why it matters: what is lost on the way does not reach the load: lamps are dim, motors slow
and hot, a control unit measures wrong. The joint or wire that loses it is the warm one.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      M3: {title: fuel pump, terminals: [1, 2], between: [M3.1, M3.2], motor: 4 A at 12 V}
    fuses:
      F1: {rating: 7.5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: M3.1, size: 0.75 mm2, colour: GN, type: TXL, length: 10 m}  # here
      3: {from: M3.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 2 m}

What it says:

    fuel pump M3: feed 1.06 V and return 0.03 V, 1.08 V at 3.83 A (off, stopped), at most 0.5 V for
    equipment that runs continuously (FAA AC 43.13-1B table 11-6, bus to equipment ground); wire 2 (0.75
    mm², 10.0 m) loses most, 0.99 V

The fix: The wire size that is named, or a shorter way, or a relay near the load with a feed of its own.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      M3: {title: fuel pump, terminals: [1, 2], between: [M3.1, M3.2], motor: 4 A at 12 V}
    fuses:
      F1: {rating: 7.5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: M3.1, size: 2 mm2, colour: GN, type: TXL, length: 10 m}
      3: {from: M3.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 2 m}

Limits and source: FAA AC 43.13-1B table 11-6 for equipment, a lamp maker's service page for
lamps, starter and alternator, technicians' 0.1 V for a ground; each message names its own. Up to
twice the limit, and over a ground, it is advice (design choice). Not judged: what a control unit feeds,
what is in series with another load, diodes and resistors put in on purpose. A bad crimp is not seen. No wire is asked for that is
thicker than its terminals take, 6 mm² where nothing is said of them (design choice).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack

if TYPE_CHECKING:
    from ...judgement.drops import Drop
    from ...judgement.path import Step
    from ...judgement.verdict import Verdict
    from ...operation.operate import Operation
    from ...trade.sizes import Size
    from ..subject import Subject

CODE = "voltage-drop"
SEVERITY = Severity.MALFUNCTION
ASKS = "solved"
MODES = (26,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    if subject.operation is None or subject.judgement is None:
        return
    failing: dict[str, list[tuple[Drop, Verdict]]] = {}
    for drop in subject.judgement.drops:
        failed = [verdict for verdict in drop.verdicts if verdict.holds is False]
        if not failed:
            continue
        # Both ways together say most; the way out or back alone only where that one holds.
        verdict = max(failed, key=lambda verdict: (verdict.about == "feed and return", _severity(verdict)))
        steps, _ = drop.held_against(verdict)
        if unknown := [step.wire for step in steps if step.wire and _is_unknown(subject.operation, step.wire)]:
            yield from (Lack(CODE, f"wire {wire}", "`size:` and `length:` to each wire") for wire in unknown)
        elif steps:
            failing.setdefault(max(steps, key=lambda step: step.drop_v).element, []).append((drop, verdict))
    for told in failing.values():
        yield _told(subject.operation, told)


def _severity(verdict: Verdict) -> Severity:
    return SEVERITY if verdict.severity is None else verdict.severity


def _is_unknown(operation: Operation, wire: str) -> bool:
    """Whether a stand-in is reckoned with for its size or length."""
    conductor = operation.wiring.conductors[wire]
    return conductor.size is None or conductor.length_mm is None


def _told(operation: Operation, failing: list[tuple[Drop, Verdict]]) -> Finding:
    """What fails by one thing, the worst of it in full."""
    from ...judgement.thicker import MOST_CRIMPED_MM2, sizes_in_words, sizes_that_lose
    from ...operation.words import listed, volts_with_unit
    from ..named import name_of

    def beyond(one: tuple[Drop, Verdict]) -> tuple[Severity, float]:
        steps, most_v = one[0].held_against(one[1])
        return _severity(one[1]), sum(step.drop_v for step in steps) / most_v

    drop, verdict = max(failing, key=beyond)
    steps, most_v = drop.held_against(verdict)
    worst = max(steps, key=lambda step: step.drop_v)
    others = list(dict.fromkeys(other.load for other, _ in failing if other.load != drop.load))
    also = f"; by the same {listed(others)} too" if others else ""
    said = f"{_named(drop)}: {verdict.words}; {_worst(operation, worst)} loses most, {volts_with_unit(worst.drop_v)}{also}"
    wanted: dict[str, Size] = {}
    holds = True
    for one, judged in failing:
        sizes, _ = sizes_that_lose(operation, *one.held_against(judged), _plus_v(operation, one))
        holds = holds and bool(sizes)
        wanted.update({wire: size for wire, size in sizes.items() if wire not in wanted or size.area_mm2 > wanted[wire].area_mm2})
    do = f"{sizes_in_words(operation, wanted)}: then {'each of them holds' if others else 'it holds'}" if holds else \
        f"no wire that the terminals take does it ({MOST_CRIMPED_MM2:g} mm² where they say nothing): a shorter way, or a relay near {drop.load} with a feed of its own; measure over {worst.words} first"
    entry = operation.wiring.catalogue[worst.element]
    wire = operation.wiring.harness.wires.get(entry.wire)
    place = wire.source.place_of("size") if wire else entry.source.place()
    loads = [load for id in (drop.load, *others) for load in operation.wiring.loads if load.id == id]
    at = (name_of(entry), *(load.a if load.kind == "draws" else load.owner for load in loads), *(id for id in (drop.load, *others) if id in operation.wiring.harness.supplies))
    related = tuple(Related(operation.wiring.catalogue[load.element].source.place(), f"{load.id} gets less") for load in loads)
    return Finding(CODE, _severity(verdict), said, place, do, related, at=tuple(dict.fromkeys(at)), state=drop.state,
                   value=volts_with_unit(sum(step.drop_v for step in steps)), limit=f"{most_v:g} V", origin=verdict.words.rpartition("(")[2].rstrip(")"))


def _plus_v(operation: Operation, drop: Drop) -> float:
    """Between the posts of the battery, in the state of a drop."""
    solution = operation.solved[drop.state].solution
    assert solution is not None
    return solution.voltages[operation.wiring.nodes.plus]


def _named(drop: Drop) -> str:
    return drop.title if drop.title.endswith(drop.load) else f"{drop.title} {drop.load}"


def _worst(operation: Operation, step: Step) -> str:
    if not step.wire:
        return step.words
    conductor = operation.wiring.conductors[step.wire]
    return f"{step.words} ({conductor.size}, {(conductor.length_mm or 0) / 1000:.1f} m)"
