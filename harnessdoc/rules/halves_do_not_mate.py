"""Two halves of an in-line connector that cannot meet.

What it checks: that mated halves are one plug and one socket, that neither mates
with a third or with itself, and that every wired cavity of one half has a cavity of
the same number in the other.

Why it matters: cavity n meets cavity n. Where the other half has no such cavity,
the circuit ends in the air; two plugs or two sockets do not go together at all.

Example that fails:

    connectors:
      X1: {half: plug, mates: X2, face: [[1..2]], view: mating face}
      X2: {half: plug, face: [[1..2]], view: mating face}
      X3: {half: socket, face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X3.1}

Example that passes:

    connectors:
      X1: {half: plug, mates: X2, face: [[1..2]], view: mating face}
      X2: {half: socket, face: [[1..2]], view: mating face}
      X3: {half: socket, face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X3.1}

Limits and source: halves are judged by their terminals (common practice); coding
and keying are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..findings import Finding, Related, Severity

if TYPE_CHECKING:
    from .registry import Subject

CODE = "halves-do-not-mate"
SEVERITY = Severity.MALFUNCTION


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    mate_of: dict[str, str] = {}
    for one in harness.connectors.values():
        if one.mates is None or mate_of.get(one.id) == one.mates:
            continue   # the last: both halves say it
        other = harness.connectors[one.mates]
        place = one.source.place_of("mates")
        related = (Related(other.source.place(), f"connector {other.id} stands here"),)
        if one is other:
            yield Finding(CODE, SEVERITY, f"connector {one.id} mates with itself", place, "name the other half")
            continue
        taken = next((half for half in (one.id, other.id) if half in mate_of), None)
        if taken is not None:
            third = other.id if taken == one.id else one.id
            yield Finding(CODE, SEVERITY, f"connector {taken} mates with {mate_of[taken]} and with {third}", place,
                          "an in-line connector has two halves: take one `mates:` out", related)
            continue
        mate_of[one.id], mate_of[other.id] = other.id, one.id
        if one.half is not None and one.half == other.half:
            yield Finding(CODE, SEVERITY, f"connectors {one.id} and {other.id} mate, but both are a {one.half}", place,
                          "a plug has pins, a socket has receptacles: judge each by its terminals", related)
        for half, mate in ((one, other), (other, one)):
            lonely = [name for name in half.cavities if name not in mate.cavities and f"{half.id}.{name}" in harness.wires_at]
            if lonely and mate.cavities:
                yield Finding(CODE, SEVERITY,
                              f"{half.id} has wires in {', '.join(lonely)}, but its other half {mate.id} has no such cavity (it has {len(mate.cavities)})",
                              place, "number both halves alike: cavity n meets cavity n", related)
