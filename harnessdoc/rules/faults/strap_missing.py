"""A metal with grounds on it that no strap joins to battery minus.

What it checks: where the description names a supply, that engine, body and frame, each as far as
a ground or a case is on it, are joined to battery minus by wires, switches and studs, and not
through the inside of a control unit alone.

Why it matters: the engine hangs on rubber. Without its strap the starter's current looks for another way: through
the ground wires of the control unit, throttle and shifter cables, which glow and burn.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    grounds:
      GE1: {metal: engine}  # here
      GB1: {metal: body}
    fuses:
      F1: {rating: 5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}
      3: {from: H1.2, to: GE1, size: 1 mm2, colour: BK, type: TXL, length: 600 mm}
      4: {from: G1.-, to: GB1, size: 16 mm2, colour: BK, type: TXL, length: 300 mm}

What it says:

    nothing joins the engine (GE1) to battery minus G1.-

The fix: A strap, as thick as the cable of the starter where its current returns there.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    grounds:
      GE1: {metal: engine}
      GE2: {metal: engine}
      GB1: {metal: body}
    fuses:
      F1: {rating: 5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}
      3: {from: H1.2, to: GE1, size: 1 mm2, colour: BK, type: TXL, length: 600 mm}
      4: {from: G1.-, to: GB1, size: 16 mm2, colour: BK, type: TXL, length: 300 mm}
      5: {from: GB1, to: GE2, size: 16 mm2, colour: BK, type: TXL, length: 500 mm}

Limits and source: common practice. Any wire passes for a strap here: whether it is thick enough is told where
its current is judged. Metals that touch without a strap do not count; where both ends lead on beyond what is described nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "strap-missing"
SEVERITY = Severity.HAZARD
ASKS = "solved"
MODES = (18,)
_MOST_NAMED = 4


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ...judgement.floating import loose_metals
    from ...operation.report import minus_of
    from ...operation.words import listed

    harness = subject.harness
    minus, _ = minus_of(subject.operation)
    for loose in loose_metals(subject.operation):
        named = [*loose.grounds[:_MOST_NAMED], *([f"{len(loose.grounds) - _MOST_NAMED} more"] if len(loose.grounds) > _MOST_NAMED else [])]
        what = f"the {loose.metal} ({', '.join(named)})"
        said = f"nothing joins {what} to battery minus {minus}"
        if loose.through:
            said = f"{what} is joined to battery minus {minus} through the inside of {listed([f'device {id}' for id in loose.through])} alone"
        if loose.assumed:
            said += f" (of none of them a metal is said, {loose.metal} is taken)"
        first = harness.contacts[loose.grounds[0]].source
        yield Finding(CODE, SEVERITY, said, first.place_of("metal"),
                      f"write the strap, a wire from {minus} to a ground on the {loose.metal}, as thick as the cable of the starter where its current returns there;\n"
                      f"where {minus} is bolted to the {loose.metal} itself, write `metal: {loose.metal}` for it under `cavities:`", at=loose.grounds)
