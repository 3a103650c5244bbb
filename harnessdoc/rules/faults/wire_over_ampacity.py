"""A wire that carries more than it may for good.

What it checks: the largest current through each wire in the states that last (not while the engine is cranked), against what the table
that the description names allows for its size, insulation, zone and bundle. Wires that follow each other are told together.

Why it matters: the wire runs hot every time, its insulation and that of its neighbours goes hard and cracks, and the voltage that
heats it is missing at the load. Glow plugs, heaters and fans on a wire of the old vehicle are the usual case.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      E1: {terminals: [1, 2], between: [E1.1, E1.2], heater: 31 A at 12 V}
    fuses:
      F1: {rating: 40 A, type: midi}
    wires:
      1: {from: G1.+, to: F1.1, size: 6 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: E1.1, size: 2 mm2, colour: RD, type: TXL, length: 200 mm}  # here
      3: {from: E1.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 200 mm}

What it says:

    wire 2 carries 31.2 A (off, stopped) through 2 mm²; allows 30 A (33 CFR 183.425: 2 mm² takes the row of 16 AWG,
    1.31 mm²; 125 C column; ambient 30 C); conductor 127 C by the circular's formula

The fix: Thicker wire; a feed of its own with a relay near the load; or less on one wire.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      E1: {terminals: [1, 2], between: [E1.1, E1.2], heater: 31 A at 12 V}
    fuses:
      F1: {rating: 40 A, type: midi}
    wires:
      1: {from: G1.+, to: F1.1, size: 6 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: E1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 200 mm}
      3: {from: E1.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 200 mm}

Limits and source: where `terminals:` says that an end does not take the larger size, the way out says so. The table is named in the message: 33 CFR 183.425 where the description names none. In a zone hotter than the table stands
for, what the heat alone allows is worked out and only advice. Insulation whose class is below the zone is told by
`insulation-too-cool`. A current of seconds, as of a starter, is in no table. What is pulsed or in no state is not seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..runs_of import grouped

if TYPE_CHECKING:
    from ...judgement.wires import WireJudged
    from ...trade.sizes import Size
    from ..subject import Subject

CODE = "wire-over-ampacity"
SEVERITY = Severity.HAZARD
ASKS = "solved"
MODES = (17,)
_MOST_NAMED = 4


def check(subject: Subject) -> Iterator[Finding | Lack]:
    if subject.operation is None or subject.judgement is None:
        return
    from ...judgement.shorts import shorted_states

    shorted = shorted_states(subject.operation)
    over: dict[str, WireJudged] = {}
    for judged in subject.judgement.wires.values():
        if judged.carried is not None and judged.carried.state in shorted:
            continue        # shorted-source tells
        if judged.verdict.severity in (Severity.HAZARD, Severity.ADVICE):    # between them: the class of the insulation
            over[judged.wire] = judged
        elif judged.size is None:
            yield Lack(CODE, f"wire {judged.wire}", "`size:` to each wire")
    wires = subject.harness.wires
    of_severity = {severity: [id for id, judged in over.items() if judged.verdict.severity is severity] for severity in (Severity.HAZARD, Severity.ADVICE)}
    for ids in of_severity.values():
        # a fuse between two wires parts their points, and carries the same current
        for run in grouped((id, [thing for end in (wires[id].from_, wires[id].to) for thing in (subject.ways.point(end), _fuse_at(subject, end)) if thing]) for id in ids):
            yield _told(subject, [over[id] for id in run])


def _fuse_at(subject: Subject, end: str) -> str:
    part = subject.harness.parts.get(subject.harness.contacts[end].owner)
    return part.id if part is not None and part.kind in ("fuse", "fusible link") else ""


def _told(subject: Subject, run: Sequence[WireJudged]) -> Finding:
    from ...judgement.thicker import terminals_too_small
    from ...operation.words import amps_shown, listed

    worst = max(run, key=_share)
    assert worst.carried is not None and worst.verdict.severity is not None
    others = [judged.wire for judged in run if judged is not worst]
    named = [*others[:_MOST_NAMED], *([f"{len(others) - _MOST_NAMED} more"] if len(others) > _MOST_NAMED else [])]
    also = f"; wire {listed(named)} too" if named else ""
    allowed = worst.allowed
    sizes: dict[Size | None, list[str]] = {}
    for judged in run:
        sizes.setdefault(_holds(subject, judged), []).append(judged.wire)
    mends = [f"wire {', '.join(ids)} of {size}" if size else f"for wire {', '.join(ids)} no size of the table does: a second wire beside it" for size, ids in sizes.items()]
    small = [words for size, ids in sizes.items() if size for id in ids for words in terminals_too_small(subject.harness, id, size)]
    if small:
        mends.append(f"another terminal too, for {'; '.join(dict.fromkeys(small))}")
    return Finding(CODE, worst.verdict.severity, f"wire {worst.wire} carries {worst.verdict.words}{also}", subject.harness.wires[worst.wire].source.place_of("size"),
                   f"{'; '.join(mends)}; or a feed of its own for the load", tuple(Related(subject.harness.wires[id].source.place(), f"wire {id} too") for id in others[:_MOST_NAMED]),
                   at=(f"wire {worst.wire}", *(f"wire {id}" for id in others)), state=worst.carried.state, value=amps_shown(worst.carried.current_a),
                   limit=amps_shown(allowed.current_a), origin="from memory" if allowed.mark == "MEMORY" else allowed.origin)    # type: ignore[union-attr]


def _share(judged: WireJudged) -> float:
    assert judged.carried is not None
    return judged.carried.current_a / judged.allowed.current_a    # type: ignore[union-attr]


def _holds(subject: Subject, judged: WireJudged) -> Size | None:
    """The next thicker size that may carry it where it lies, by its heat too."""
    from ...judgement.thicker import thicker
    from ...judgement.wires import allowed_for, by_its_heat
    from ...trade.ampacity import Ampacity

    assert subject.operation is not None and judged.size is not None and judged.carried is not None
    conductor = subject.operation.wiring.conductors[judged.wire]
    for size in thicker(judged.size):
        allowed = allowed_for(subject.operation, conductor, size, judged.bundled)
        if isinstance(allowed, Ampacity):
            cooler_a = by_its_heat(allowed, conductor)
            if judged.carried.current_a <= min(allowed.current_a, cooler_a if cooler_a is not None else allowed.current_a):
                return size
    return None
