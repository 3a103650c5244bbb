"""A feed that goes on thinner behind a splice.

What it checks: splices of two wires behind a fuse, where the wire toward the load has less copper than the one that feeds it.

Why it matters: the fuse was chosen for the thick wire, and is the only one the thin wire has. In a short the thin wire glows before the fuse
lets go; without one it is the piece that drops the volts.

Example that fails:

    devices:
      G1: {terminals: ["+"]}
    connectors:
      X1: {face: [[1]], view: mating face}
    fuses:
      F1: {rating: 30 A, type: blade}
    splices:
      S1: {}
    wires:
      1: {from: G1.+, to: F1.1, size: 5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1, size: 5 mm2, colour: RD, type: TXL, length: 400 mm}
      3: {from: S1, to: X1.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}  # here

What it says:

    behind splice S1 wire 2 of 5 mm² goes on as wire 3 of 1 mm², and the fuse F1 of 30 A is too large for it

The fix: A wire as thick as the one it continues; or a fuse for the thin wire where the copper gets thinner.

Example that passes:

    devices:
      G1: {terminals: ["+"]}
    connectors:
      X1: {face: [[1]], view: mating face}
    fuses:
      F1: {rating: 30 A, type: blade}
    splices:
      S1: {}
    wires:
      1: {from: G1.+, to: F1.1, size: 5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1, size: 5 mm2, colour: RD, type: TXL, length: 400 mm}
      3: {from: S1, to: X1.1, size: 5 mm2, colour: RD, type: TXL, length: 600 mm}

Limits and source: a wire that extends another shall be as thick or thicker (common practice). It is a hazard where the thin wire does not bear
the fuse (judged as by fuse-over-wire), else a malfunction. A splice of three and more fans
out: its thin branches are fuse-over-wire's. Extensions without a fuse before them are not judged.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Place, Related, Severity
from ...model.harness import Wire
from ..bearing import allowances, fuse_for, is_over
from ..extensions import SAME, Thinner
from ..lack import Lack

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "thinner-after-splice"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = (55,)
OPTIONS = (SAME,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    found = subject.extended.thinner
    if not found:
        return
    allowed_of = allowances(subject)
    for one in found.values():
        if (one.fuse.rating if one.fuse.kind == "fuse" else one.fuse.size) is None:
            yield Lack(CODE, one.fuse.id, "`rating: 15 A` to each fuse" if one.fuse.kind == "fuse" else "`size: 1 mm2` to each fusible link")
        else:
            yield _finding(one, allowed_of, subject.harness.splices[one.splice].source.place())


def _finding(one: Thinner, allowed_of: Callable[[Wire], float | None], splice: Place) -> Finding:
    fuse, thick, thin = one.fuse, one.thick, one.thin
    rated = f"{fuse.kind} {fuse.id} of {fuse.rating.stated if fuse.rating else fuse.size}"
    is_hazard = is_over(fuse, thin, allowed_of)
    fits = fuse_for(fuse, thin, allowed_of) if is_hazard and fuse.kind == "fuse" else None
    return Finding(
        CODE, SEVERITY if is_hazard else Severity.MALFUNCTION,
        f"behind splice {one.splice} wire {thick.id} of {thick.size} goes on as wire {thin.id} of {thin.size}, "
        f"{'and the' if is_hazard else 'behind the same'} {rated}{' is too large for it' if is_hazard else ''}",
        thin.source.place_of("size"),
        f"draw wire {thin.id} in {thick.size}, as wire {thick.id} is" + (f"; or put a fuse of {fits:g} A at {one.splice}, if it carries the load" if fits else ""),
        (Related(splice, f"splice {one.splice} stands here"), Related(fuse.source.place(), f"{fuse.kind} {fuse.id} feeds both")),
        at=(f"wire {thin.id}", one.splice, f"wire {thick.id}", fuse.id), value=str(thin.size), limit=str(thick.size), origin="common practice")
