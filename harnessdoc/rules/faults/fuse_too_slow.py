"""A fuse that a short at the far end of its wire does not blow in time.

What it checks: of every fuse of a type whose opening times are known, the current of the weakest short behind it: an almost
flat battery, wires hot, the way back included; against 3.5 times the rating, at which it opens within half a second.

Why it matters: a long thin wire lets so little through that the fuse takes seconds or minutes, or never opens. So long the
wire heats where it chafed through, beside fuel and carpet.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}
    fuses:
      F1: {rating: 15 A, type: blade}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 8 m}
      3: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 8 m}

What it says:

    fuse F1 of 15 A, short at H1.1, back by the return of H1: 12 V / (10 battery + 5.31 to the fuse + 6.74 fuse
    + 212 out + 209 back = 443 mohm) = 27.1 A, 1.8 x 15 A: opens within 50 s (blade fuse makers' sheets, types C
    and F of ISO 8820-3)

The fix: A smaller fuse, or thicker wire, also in the way back.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}
    fuses:
      F1: {rating: 7.5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 8 m}
      3: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 8 m}

Limits and source: 3.5 times the rating is a design choice on the gates of ISO 8820-3, as makers' sheets have them; below 2 times it is a
hazard. Of midi, mega and cartridge fuses no opening times are known here and nothing is said. Metals count as copper without
resistance. A short through a poor contact draws less than this one.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...trade.tables import factors, said
from ..lack import Lack

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "fuse-too-slow"
SEVERITY = Severity.HAZARD
ASKS = "solved"
MODES = (5,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    if subject.judgement is None:
        return
    from ...operation.words import amps_shown

    for one in subject.judgement.protections:
        part = subject.harness.parts[one.part]
        for verdict in one.verdicts:
            if verdict.about != "far-end short" or one.short is None or one.rating_a is None:
                continue
            lacking = [edge.entry.wire for edge in one.short.edges if edge.entry.wire and _lacks(subject, edge.entry.wire)]
            if lacking:
                yield from (Lack(CODE, f"wire {wire}", "`size:` and `length:` to each wire") for wire in lacking)
            elif verdict.holds is False:
                good = factors()["short-good"]
                wires = dict.fromkeys(f"wire {edge.entry.wire}" for edge in (*one.short.out, *one.short.back) if edge.entry.wire)
                assert verdict.severity is not None
                yield Finding(CODE, verdict.severity, f"fuse {part.id} of {one.rating_a:g} A, {verdict.words}", part.source.place_of("rating"),
                              "\n".join(one.suggestions) or "a fuse nearer to the load, or thicker wire out and back", at=(part.id, *wires),
                              value=amps_shown(one.short.current_a), limit=amps_shown(good.value * one.rating_a), origin=said(good.origin, good.mark))


def _lacks(subject: Subject, wire: str) -> bool:
    assert subject.judgement is not None
    judged = subject.judgement.wires[wire]
    return judged.size is None or judged.length_mm is None
