"""A colour that reads, but could have been meant otherwise.

What it checks: codes written in a case or form that another book uses for another
colour, such as ``BR`` in a file of the Japanese trade.

Why it matters: colour codes mean different things in different books. A brown wire
looked for as black with red costs an evening.

Example that fails:

    colours: Japanese trade
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BR, type: TXL}  # here

What it says:

    wire 1: BR is read as brown; a book that writes stripes close together means black with a red stripe
    by it: write Br or B-R

The fix: Write the colour as its convention has it.

Example that passes:

    colours: Japanese trade
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: Br, type: TXL}

Limits and source: the code lists of IEC 60757, DIN 47002 and the trades, as far as
this program knows them.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...trade.colours import colour_doubt

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "colour-in-doubt"
SEVERITY = Severity.ADVICE
ASKS = "record"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    doubts: dict[tuple[str, str], str] = {}
    for wire in subject.harness.wires.values():
        if wire.colour is None:
            continue
        stated = (wire.colour_as_stated, wire.convention)
        if stated not in doubts:
            doubts[stated] = colour_doubt(*stated)
        if doubts[stated]:
            key = "colour" if "colour" in wire.source else "color"
            yield Finding(CODE, SEVERITY, f"wire {wire.id}: {doubts[stated]}", wire.source.place_of(key), "", at=(f"wire {wire.id}",))
