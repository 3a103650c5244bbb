"""A fuse that what it feeds overloads.

What it checks: the largest current through each fuse in the states solved, against its rating; and what flows for good, not
only while the engine is cranked, against 80 % of it.

Why it matters: above its rating it opens, sooner or later, at night and in the rain. Near its rating it runs hot, ages,
browns its socket and opens one day for no reason that anybody finds.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      M1: {terminals: [1, 2], between: [M1.1, M1.2], motor: 12 A at 12 V}
    fuses:
      F1: {rating: 10 A, type: blade}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: M1.1, size: 4 mm2, colour: GN, type: TXL, length: 1 m}
      3: {from: M1.2, to: G1.-, size: 4 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    fuse F1: 12.1 A (off, stopped) through 10 A, 121 %: it will open

The fix: The next larger fuse that the wire bears; or another fuse for some of the loads.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      M1: {terminals: [1, 2], between: [M1.1, M1.2], motor: 12 A at 12 V}
    fuses:
      F1: {rating: 20 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: M1.1, size: 4 mm2, colour: GN, type: TXL, length: 1 m}
      3: {from: M1.2, to: G1.-, size: 4 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: the 80 % is from memory. Only what is on in a visited or named state counts: name one in which all runs that runs
together. What a motor takes to start, and a lamp cold, is not reckoned: a fuse bears that. What is pulsed is not solved. A short circuit is told by
`shorted-source`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...trade.tables import factors, said

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "fuse-under-load"
SEVERITY = Severity.MALFUNCTION
ASKS = "solved"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None or subject.judgement is None:
        return
    from ...judgement.shorts import shorted_states
    from ...operation.words import amps_shown

    usual, shorted = factors()["fuse-continuous"], shorted_states(subject.operation)
    for one in subject.judgement.protections:
        part = subject.harness.parts[one.part]
        for verdict in one.verdicts:
            if verdict.about == "load" and verdict.holds is False and verdict.severity is not None and one.rating_a is not None:
                peak = max((peak for peak in (one.carried, one.cranking) if peak is not None), key=lambda peak: peak.current_a)
                if peak.state in shorted:
                    continue
                blows = verdict.severity is Severity.MALFUNCTION
                yield Finding(CODE, verdict.severity, f"fuse {part.id}: {verdict.words}", part.source.place_of("rating"),
                              "\n".join(one.suggestions) or "part of its loads to a fuse of their own, with a wire of their own",
                              at=(part.id,), state=peak.state, value=amps_shown(peak.current_a), limit=f"{one.rating_a * (1.0 if blows else usual.value):g} A",
                              origin="its rating" if blows else said(usual.origin, usual.mark))
