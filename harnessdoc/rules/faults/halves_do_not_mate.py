"""Two halves of an in-line connector that cannot meet.

What it checks: that mated halves are one plug and one socket, that neither mates
with a third or with itself, that every wired cavity of one half has a cavity of the
same number in the other, and that their faces as drawn bring equal numbers together.

Why it matters: cavity n meets cavity n. A face written down from the wrong side, or
copied from one half to the other, sends every wire to its neighbour. Where the other half has no such cavity,
the circuit ends in the air; two plugs or two sockets do not go together at all.

Example that fails:

    connectors:
      X1: {half: plug, mates: X2, face: [[1..2]], view: mating face}  # here
      X2: {half: plug, face: [[2, 1]], view: mating face}
      X3: {half: socket, face: [[1..2]], view: mating face}
      X4: {half: socket, face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X3.1, size: 1 mm2, colour: BK, type: TXL}
      2: {from: X2.1, to: X4.1, size: 1 mm2, colour: BK, type: TXL}

What it says:

    connectors X1 and X2 mate, but both are a plug

The fix: Judge each half by its terminals: a plug has pins, a socket has receptacles. Number both halves
alike, and write each face down as it is seen.

Example that passes:

    connectors:
      X1: {half: plug, mates: X2, face: [[1..2]], view: mating face}
      X2: {half: socket, face: [[2, 1]], view: mating face}
      X3: {half: socket, face: [[1..2]], view: mating face}
      X4: {half: socket, face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X3.1, size: 1 mm2, colour: BK, type: TXL}
      2: {from: X2.1, to: X4.1, size: 1 mm2, colour: BK, type: TXL}

Limits and source: halves are judged by their terminals (common practice); coding
and keying are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity

from ...model.faces import mirrored
from ...model.harness import Connector, View

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "halves-do-not-mate"
SEVERITY = Severity.MALFUNCTION
ASKS = "record"
MODES = (44,)
_SAME = 0.3   # pitches or mm: nearer than neighbours, wider than the dust of a drawing


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
            yield Finding(CODE, SEVERITY, f"connector {one.id} mates with itself", place, "name the other half", at=(one.id,))
            continue
        taken = next((half for half in (one.id, other.id) if half in mate_of), None)
        if taken is not None:
            third = other.id if taken == one.id else one.id
            yield Finding(CODE, SEVERITY, f"connector {taken} mates with {mate_of[taken]} and with {third}", place,
                          "an in-line connector has two halves: take one `mates:` out", related, at=(taken, third))
            continue
        mate_of[one.id], mate_of[other.id] = other.id, one.id
        if one.half is not None and one.half == other.half:
            yield Finding(CODE, SEVERITY, f"connectors {one.id} and {other.id} mate, but both are a {one.half}", place,
                          "a plug has pins, a socket has receptacles: judge each by its terminals", related, at=(one.id, other.id))
        for half, mate in ((one, other), (other, one)):
            lonely = [name for name in half.cavities if name not in mate.cavities and f"{half.id}.{name}" in harness.wires_at]
            if lonely and mate.cavities:
                yield Finding(CODE, SEVERITY,
                              f"{half.id} has wires in {', '.join(lonely)}, but its other half {mate.id} has no such cavity (it has {len(mate.cavities)})",
                              place, "number both halves alike: cavity n meets cavity n", related, at=(half.id, mate.id))
        crossed = _crossed(one, other)
        if crossed is not None:
            yield Finding(CODE, SEVERITY, f"as their faces are drawn, cavity {crossed[0]} of {one.id} meets cavity {crossed[1]} of {other.id}", place,
                          "seen from their mating faces, one half is the mirror image of the other: look at `face:` and `view:` of both", related, at=(one.id, other.id))


def _crossed(one: Connector, other: Connector) -> tuple[str, str] | None:
    """The first cavity that would meet another number, None where the faces fit or cannot be compared.

    Two mating faces fit where one is the mirror image of the other, upright or
    turned by half a turn (then the lock is drawn on the other side).
    """
    if one.face is None or other.face is None or one.face.shape != other.face.shape or set(one.cavities) != set(other.cavities):
        return None
    mine, theirs = ({spot.cavity: (spot.x, spot.y) for spot in (face if face.view is View.MATING else mirrored(face)).spots}
                    for face in (one.face, other.face))
    turned = any(all(_near(theirs[cavity], (turn * -x, turn * y)) for cavity, (x, y) in mine.items()) for turn in (1, -1))
    if turned:
        return None
    for cavity, (x, y) in mine.items():
        met = next((name for name, place in theirs.items() if _near(place, (-x, y))), None)
        if met is not None and met != cavity:
            return cavity, met
    return None


def _near(place: tuple[float, float], other: tuple[float, float]) -> bool:
    return abs(place[0] - other[0]) < _SAME and abs(place[1] - other[1]) < _SAME
