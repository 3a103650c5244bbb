"""A seal that the wire is too thin or too thick for.

What it checks: the diameter of each wire over its insulation, measured or of the table for its size and type, against the range that
the words of the seal name; and that no seal has two wires in it.

Why it matters: thin-wall wire in a seal for thick insulation looks right and lets water run along the strands into the connector.
A wire that is too thick tears the lips. The fault shows as green terminals in the second winter.

Example that fails:

    connectors:
      X1: {face: [[1]], view: mating face, seal: seal 1.2 to 1.7 mm}  # here
      X2: {face: [[1]], view: mating face, seal: seal 1.9 to 2.6 mm}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL, diameter: 2.1 mm}

What it says:

    X1: its seal grips 1.2 to 1.7 mm, but wire 1 in cavity 1 is 2.1 mm thick

The fix: A seal for the wire: its range stands in the maker's list beside the diameter over the insulation.

Example that passes:

    connectors:
      X1: {face: [[1]], view: mating face, seal: seal 1.9 to 2.6 mm}
      X2: {face: [[1]], view: mating face, seal: seal 1.9 to 2.6 mm}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL, diameter: 2.1 mm}

Limits and source: the range of a seal is as its words say it; a diameter that was not measured is that of a table (supplier's
sheets read, thin sizes from memory) and is given the `doubt`. What a housing takes is not known here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import Contact, Harness, Kind
from ..lack import Lack
from ..options import Option
from ..ranges import range_in

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "seal-does-not-grip"
SEVERITY = Severity.DAMAGE
ASKS = "record"
MODES = (46,)
DOUBT = Option(CODE, "doubt", "length", "0.1 mm", "how far a diameter that was not measured may be off", "common practice")
OPTIONS = (DOUBT,)
_NONE = ("", "none", "unknown")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness, diameters = subject.harness, subject.geometry.diameters
    doubt_mm = subject.value(DOUBT).value
    ranges: dict[str, tuple[float, float] | None] = {}
    wrong: dict[tuple[str, str], list[tuple[Contact, str, float]]] = {}
    double: list[Contact] = []
    for address, wires in harness.wires_at.items():
        contact = harness.contacts[address]
        seal = contact.seal
        if seal in _NONE or contact.kind is not Kind.CAVITY:
            continue
        if seal not in ranges:
            ranges[seal] = range_in(seal, "mm")
        if len(wires) > 1:
            double.append(contact)
            continue
        takes, (wire,) = ranges[seal], wires
        diameter_mm = diameters[wire]
        if takes is None:
            yield Lack(CODE, contact.owner, "the range of the seal, as in `seal: seal 1.4 to 2.4 mm`")
        elif diameter_mm is None:
            yield Lack(CODE, f"wire {wire}", "`diameter:` over the insulation, or `size:` and `type:`")
        elif not _grips(takes, diameter_mm, 0.0 if harness.wires[wire].diameter_mm is not None else doubt_mm):
            wrong.setdefault((contact.owner, seal), []).append((contact, wire, diameter_mm))
    for contact in double:
        wires = harness.wires_at[contact.address]
        yield Finding(CODE, SEVERITY, f"{contact.address}: {len(wires)} wires ({', '.join(wires)}) go through one {contact.seal}: between them it does not seal",
                      contact.source.place_of("seal"), "join them at a splice and lead one wire into the cavity",
                      at=(contact.address, contact.owner, *(f"wire {wire}" for wire in wires)), value=f"{len(wires)} wires", limit="1 wire", origin="common practice")
    for (owner, seal), ends in wrong.items():
        yield _finding(harness, ranges, owner, seal, ends, doubt_mm)


def _grips(takes: tuple[float, float], diameter_mm: float, doubt_mm: float) -> bool:
    least, most = takes
    return least - doubt_mm - 1e-6 <= diameter_mm <= most + doubt_mm + 1e-6


def _finding(harness: Harness, ranges: dict[str, tuple[float, float] | None], owner: str, seal: str, ends: list[tuple[Contact, str, float]], doubt_mm: float) -> Finding:
    least, most = ranges[seal]   # type: ignore[misc]
    said, ways = [], []
    for contact, wire, diameter_mm in ends:
        is_measured = harness.wires[wire].diameter_mm is not None
        said.append(f"wire {wire} in cavity {contact.name} is {diameter_mm:g} mm thick{'' if is_measured else ' by the table'}")
        fits = next((other for other, takes in ranges.items() if takes and _grips(takes, diameter_mm, 0.0)), None)
        ways.append(f"`seal: {fits}`" if fits else f"one whose range holds {diameter_mm:g} mm")
    contact = ends[0][0]
    return Finding(
        CODE, SEVERITY, f"{owner}: its seal grips {least:g} to {most:g} mm, but {', '.join(said)}", contact.source.place_of("seal"),
        f"take another seal for {', '.join(contact.address for contact, _, _ in ends)}: {' or '.join(dict.fromkeys(ways))}",
        at=(owner, *(contact.address for contact, _, _ in ends), *(f"wire {wire}" for _, wire, _ in ends)),
        value=", ".join(f"{diameter_mm:g} mm" for _, _, diameter_mm in ends), limit=f"{least:g} to {most:g} mm", origin="as stated")
