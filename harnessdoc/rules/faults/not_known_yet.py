"""What is not known yet.

What it checks: far end, size, colour and insulation of wires, the rating of fuses,
the members of splices; functions and places where `unknown` is written.

Why it matters: what can hurt has no default. An unknown prints as an empty box to
fill by hand, is counted on the cover, and blocks nothing.

Example that fails:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: unknown, colour: BK, type: TXL}  # here

What it says:

    wire 1: size not known yet

The fix: Find it out at the bench, and write it.

Example that passes:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: BK, type: TXL}

Limits and source: design choice. Functions and places that are left out may be
left out for good and are not counted.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import UNKNOWN, Contact, Harness, Wire

if TYPE_CHECKING:
    from ...description.text import Record
    from ...merge.plan import Interface
    from ..subject import Subject

CODE = "not-known-yet"
SEVERITY = Severity.ADVICE
ASKS = "record"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    added = {wire: interface for interface in (subject.merge.interfaces.values() if subject.merge is not None else ()) for wire in interface.wires}
    for wire in harness.wires.values():
        lacks = unknowns_of_wire(wire)
        if lacks:
            do = _write_at(added[wire.id], wire, lacks) if wire.id in added else _write(lacks)
            yield Finding(CODE, SEVERITY, f"wire {wire.id}: {' and '.join(lacks)} not known yet{evidence(wire.evidence)}", wire.source.place(), do, at=(f"wire {wire.id}",))
    for part in harness.parts.values():
        if part.kind == "fuse" and part.rating is None:
            yield Finding(CODE, SEVERITY, f"fuse {part.id}: rating not known yet", part.source.place(), "read it off the fuse and write `rating: 15 A`", at=(part.id,))
    for splice in harness.splices.values():
        if splice.members_unknown:
            count = len(harness.wires_at.get(splice.id, ()))
            yield Finding(CODE, SEVERITY, f"splice {splice.id}: not all members known yet ({count} are)", splice.source.place(), "ring them out, and write the wires", at=(splice.id,))
    for contact in _without_function(harness):
        yield Finding(CODE, SEVERITY, f"{contact.address}: function not known yet{evidence(contact.evidence)}", contact.source.place_of("function"), "", at=(contact.address,))
    for name, source in _without_place(harness):
        yield Finding(CODE, SEVERITY, f"{name}: place not known yet", source.place_of("place"), "", at=(name,))


_WRITTEN = {"far end": "`to: X9.1`", "size": "`size: 0.5 mm2`", "colour": "`colour: BK`", "insulation": "`type: PVC 85 C`"}
"""How what a wire may lack is written."""


def _write(lacks: list[str]) -> str:
    return f"find it out at the bench, and write it: {', '.join(_WRITTEN[word] for word in lacks)} for example"


def _write_at(interface: Interface, wire: Wire, lacks: list[str]) -> str:
    """Of a wire that an interface adds: its roles say size and colour, and what the whole file says the insulation."""
    grounds = [end for role, end in interface.given.items() if role.endswith("ground")]
    colour = "ground-colour" if wire.from_ in grounds or wire.to in grounds else "colour"
    said = {"size": "`size: 0.5 mm2`", "colour": f"`{colour}: BK`"}
    roles = [said[word] for word in lacks if word in said]
    ways = [f"at {interface.id} {' and '.join(roles)}"] if roles else []
    if "insulation" in lacks:
        ways.append("at the top of the file `wire-type: PVC 85 C`")
    return f"write {', '.join(ways)} for example" if ways else ""


def _without_function(harness: Harness) -> list[Contact]:
    return [contact for contact in harness.contacts.values() if contact.function == UNKNOWN]


def _without_place(harness: Harness) -> list[tuple[str, Record]]:
    groups = (harness.connectors, harness.devices, harness.boxes, harness.parts, harness.splices, harness.grounds)
    return [(name, owner.source) for group in groups for name, owner in group.items() if owner.source.get("place") == UNKNOWN]


def unknowns_of_wire(wire: Wire) -> list[str]:
    """What a wire lacks, in words, in the order of a table row."""
    lacks = ["far end"] if UNKNOWN in (wire.from_, wire.to) else []
    lacks += [word for word, value in (("size", wire.size), ("colour", wire.colour), ("insulation", wire.type)) if value is None]
    return lacks


def count_unknowns(harness: Harness) -> dict[str, int]:
    """Kind of unknown -> how many, for the cover; kinds without any left out."""
    counts: dict[str, int] = {}
    for wire in harness.wires.values():
        for word in unknowns_of_wire(wire):
            counts[word] = counts.get(word, 0) + 1
    counts["fuse rating"] = sum(part.kind == "fuse" and part.rating is None for part in harness.parts.values())
    counts["splice members"] = sum(splice.members_unknown for splice in harness.splices.values())
    counts["function"] = len(_without_function(harness))
    counts["place"] = len(_without_place(harness))
    return {word: count for word, count in counts.items() if count}


def evidence(words: str) -> str:
    return f" (evidence: {words})" if words else ""
