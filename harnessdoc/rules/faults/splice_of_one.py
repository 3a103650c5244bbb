"""A splice with fewer than two members.

What it checks: that each splice joins at least two wires, unless its members are
said to be unknown.

Why it matters: a splice with one wire joins nothing. Either a wire is missing from
the list, or a wire was given the wrong splice.

Example that fails:

    splices:
      S1: {}  # here
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL}

What it says:

    splice S1 joins only wire 1, where at least 2 wires meet in a splice

The fix: Write the other wires, or `members: [unknown]` until they are found.

Example that passes:

    splices:
      S1: {}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL}
      2: {from: X2.1, to: S1, size: 1 mm2, colour: BK, type: TXL}

Limits and source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "splice-of-one"
SEVERITY = Severity.MALFUNCTION
ASKS = "record"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    for splice in harness.splices.values():
        members = harness.wires_at.get(splice.id, ())
        if len(members) < 2 and not splice.members_unknown:
            what = f"only wire {members[0]}" if members else "no wire"
            yield Finding(CODE, SEVERITY, f"splice {splice.id} joins {what}, where at least 2 wires meet in a splice", splice.source.place(), _way_out(subject, splice.id), at=(splice.id,))


def _way_out(subject: Subject, splice: str) -> str:
    unknown = f"{splice}: {{members: [unknown]}}"
    if subject.merge is not None and subject.merge.source_of(splice) is not None:
        return f"remove what is left of it: `{{fate: removed, device: {splice}}}` under `fates:`; or keep or join its other wires; or write `splices: {{{unknown}}}` in the merge file until they are found"
    return f"write the other wires, or `{unknown}` until they are found"
