"""A cavity with more than one wire.

What it checks: that each cavity of a connector, and each socket terminal of a fuse
or relay, holds one wire, unless ``crimp: double`` says that two share a terminal.

Why it matters: one terminal takes one crimp. A second wire in a list is nearly
always a slip of the pen, and the second wire then hangs in the air.

Example that fails:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1}
      2: {from: X1.1, to: X2.2}

Example that passes:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {crimp: double}
    wires:
      1: {from: X1.1, to: X2.1}
      2: {from: X1.1, to: X2.2}

Limits and source: common practice; three or more wires in one terminal are never
accepted, whatever is written.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..findings import Finding, Place, Related, Severity
from ..model.harness import Kind, Wire

if TYPE_CHECKING:
    from .registry import Subject

CODE = "cavity-used-twice"
SEVERITY = Severity.ERROR


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    for address, wires in harness.wires_at.items():
        if len(wires) < 2:
            continue
        contact = harness.contacts[address]
        if contact.kind not in (Kind.CAVITY, Kind.SOCKET) or len(wires) <= (2 if contact.double else 1):
            continue
        first, *others = (harness.wires[name] for name in wires)
        most = "two wires at most" if contact.double else "one wire"
        yield Finding(
            CODE, SEVERITY,
            f"{address} takes {most}, but {len(wires)} wires end there: {', '.join(wires)}",
            end_place(others[-1], address),
            "give one of them another cavity, or a splice; "
            + ("three wires in one terminal do not hold" if contact.double
               else f"where two wires share the terminal on purpose, write `{address}: {{crimp: double}}` under `cavities:`"),
            (Related(end_place(first, address), f"wire {first.id} ends there too"),),
        )


def end_place(wire: Wire, address: str) -> Place:
    """Where the end of a wire at an address is written."""
    return wire.source.place_of("to" if wire.to == address else "from")
