"""A cable that no wire is a core of.

What it checks: that each cable under ``cables:`` has at least one wire that says
``cable:``.

Why it matters: a cable is cut once and listed once, from its cores. Without cores
it has no ends and no length and would vanish from the cut list.

Example that fails:

    cables:
      W1: {shield: braid}  # here
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}

What it says:

    cable W1 has 0 cores, where at least 1 is needed

The fix: Write `cable:` at each of its wires.

Example that passes:

    cables:
      W1: {shield: braid}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL, cable: W1}

Limits and source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "cable-without-cores"
SEVERITY = Severity.MALFUNCTION
ASKS = "record"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    for cable in subject.harness.cables.values():
        if not cable.wires:
            yield Finding(CODE, SEVERITY, f"cable {cable.id} has 0 cores, where at least 1 is needed", cable.source.place(),
                          f"write `cable: {cable.id}` at each of its wires", at=(f"cable {cable.id}",))
