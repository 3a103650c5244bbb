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
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL}
      2: {from: X1.1, to: X2.2, size: 1 mm2, colour: BU, type: TXL}  # here

What it says:

    X1.1 takes one wire, but 2 wires end there: 1, 2

The fix: Give one of the two another cavity, or a splice; where both share one terminal on purpose, say
`crimp: double`.

Example that passes:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {crimp: double}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL}
      2: {from: X1.1, to: X2.2, size: 1 mm2, colour: BU, type: TXL}

Limits and source: common practice; three or more wires in one terminal are never
accepted, whatever is written.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...findings import Finding, Place, Related, Severity
from ...model.harness import Contact, Harness, Kind, Wire
from ...model.ids import names
from ..mating import mate_of

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "cavity-used-twice"
SEVERITY = Severity.ERROR
ASKS = "record"
MODES = (43,)


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    mates = mate_of(harness)
    for address, wires in harness.wires_at.items():
        if len(wires) < 2:
            continue
        contact = harness.contacts[address]
        if contact.kind not in (Kind.CAVITY, Kind.SOCKET) or len(wires) <= (2 if contact.double else 1):
            continue
        first, *others = (harness.wires[name] for name in wires)
        most = "two wires at most" if contact.double else "one wire"
        spare = _free(harness, mates, contact)
        yield Finding(
            CODE, SEVERITY,
            f"{address} takes {most}, but {len(wires)} wires end there: {', '.join(wires)}",
            end_place(others[-1], address),
            f"give one of them another cavity{f' (free in {contact.owner}: {names(spare)})' if spare else ''}, or a splice; "
            + ("three wires in one terminal do not hold" if contact.double
               else f"where two wires share the terminal on purpose, write `{address}: {{crimp: double}}` under `cavities:`"),
            (Related(end_place(first, address), f"wire {first.id} ends there too"),),
            at=(address, *(f"wire {name}" for name in wires)),
        )


def _free(harness: Harness, mates: Mapping[str, str], contact: Contact) -> list[str]:
    """The cavities of the same connector that have no wire and no use, on either side of an in-line pair; none where it has no face."""
    connector = harness.connectors.get(contact.owner)
    sides = [side for side in (contact.owner, mates.get(contact.owner)) if side]
    return [name for name in connector.cavities if all(_is_free(harness, f"{side}.{name}") for side in sides)] if connector else []


def _is_free(harness: Harness, address: str) -> bool:
    contact = harness.contacts.get(address)
    return contact is not None and not harness.wires_at.get(address) and (contact.signal == "spare" or not (contact.signal or contact.function))


def end_place(wire: Wire, address: str) -> Place:
    """Where the end of a wire at an address is written."""
    return wire.source.place_of("to" if wire.to == address else "from")
