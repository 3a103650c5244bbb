"""A terminal that does not take the wire in it.

What it checks: the copper in each terminal, both wires of a double crimp together, against what `terminals:` says the
terminal takes.

Why it matters: a barrel that is too large for its wire does not grip it, one too small leaves strands outside. Either passes
every test at the bench, grows warm, and lets go on the road.

Example that fails:

    terminals:
      receptacle 1.5: {takes: 0.5 mm2 to 1 mm2}
      receptacle 2.8: {takes: 1 mm2 to 2.5 mm2}
    connectors:
      X1: {face: [[1..2]], view: mating face, terminal: receptacle 1.5}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.2: {terminal: receptacle 1.5}  # here
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: X1.2, to: X2.2, size: 2 mm2, colour: GN, type: TXL}

What it says:

    X1: the terminal receptacle 1.5 takes 0.5 mm² to 1 mm², but wire 2 in X1.2 has 2 mm²

The fix: A terminal for the wire. Where the housing takes no other, go on in a short piece that fits at a splice close by.

Example that passes:

    terminals:
      receptacle 1.5: {takes: 0.5 mm2 to 1 mm2}
      receptacle 2.8: {takes: 1 mm2 to 2.5 mm2}
    connectors:
      X1: {face: [[1..2]], view: mating face, terminal: receptacle 1.5}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.2: {terminal: receptacle 2.8}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: X1.2, to: X2.2, size: 2 mm2, colour: GN, type: TXL}

Limits and source: what a terminal takes is as the description says it. Between sizes in AWG or SAE numbers and in mm² the
`doubt` is let pass, for makers call 14 AWG and 2 mm² one range (common practice); sizes in one system count as written. Whether
the terminal goes into the housing is not known here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.harness import Contact, Kind, TerminalKind, Wire
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "terminal-does-not-fit"
SEVERITY = Severity.DAMAGE
ASKS = "record"
MODES = (46,)
DOUBT = Option(CODE, "doubt", "share", "8 %", "what sizes of two systems may differ and count as one, as 14 AWG and 2 mm²", "common practice")
OPTIONS = (DOUBT,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    crimped = [contact for address in harness.wires_at if (contact := harness.contacts[address]).terminal]
    if not harness.terminals:
        if crimped:
            yield Lack(CODE, "", "what each terminal takes, under `terminals:`, as in `receptacle 2.8: {takes: 1 mm2 to 2.5 mm2}`")
        return
    doubt = subject.value(DOUBT).value / 100
    wrong: dict[tuple[str, str], list[tuple[Contact, list[Wire]]]] = {}
    for contact in crimped:
        kind = harness.terminals.get(contact.terminal)
        if kind is None:
            yield Lack(CODE, contact.terminal, "what the terminal takes, under `terminals:`")
            continue
        wires = [harness.wires[wire] for wire in harness.wires_at[contact.address]]
        unknown = [wire for wire in wires if wire.size is None]
        for wire in unknown:
            yield Lack(CODE, f"wire {wire.id}", "`size:` to each wire")
        if unknown:
            continue
        # At a stud each wire has an eyelet of its own.
        crimps = [wires] if contact.kind in (Kind.CAVITY, Kind.SOCKET) else [[wire] for wire in wires]
        wrong.setdefault((contact.owner, contact.terminal), []).extend((contact, crimp) for crimp in crimps if not _takes(kind, crimp, doubt))
    for (owner, terminal), ends in wrong.items():
        if ends:
            yield _finding(harness.terminals, owner, harness.terminals[terminal], ends, doubt)


def _takes(kind: TerminalKind, wires: list[Wire], doubt: float) -> bool:
    copper = sum(wire.size.area_mm2 for wire in wires)   # type: ignore[union-attr]
    systems = {wire.size.system for wire in wires}       # type: ignore[union-attr]
    least, most = (doubt if systems != {size.system} else 1e-6 for size in (kind.least, kind.most))
    return kind.least.area_mm2 * (1 - least) <= copper <= kind.most.area_mm2 * (1 + most)


def _finding(terminals: Mapping[str, TerminalKind], owner: str, kind: TerminalKind, ends: list[tuple[Contact, list[Wire]]], doubt: float) -> Finding:
    said, ways = [], []
    for contact, wires in ends:
        sizes = " and ".join(str(wire.size) for wire in wires)
        them = f"wire {wires[0].id} in {contact.address} has" if len(wires) == 1 else f"wires {' and '.join(wire.id for wire in wires)} in {contact.address} have"
        said.append(f"{them} {sizes}")
        fits = next((other.id for other in terminals.values() if _takes(other, wires, doubt)), None)
        ways.append(f"`{contact.address}: {{terminal: {fits}}}`" if fits else f"in {contact.address} a terminal that takes {sizes}{' together' if len(wires) > 1 else ''}")
    first = ends[0][0]
    return Finding(
        CODE, SEVERITY, f"{owner}: the terminal {kind.id} takes {kind.least} to {kind.most}, but {', '.join(said)}", first.source.place_of("terminal"),
        f"take another terminal: {', '.join(dict.fromkeys(ways))}; or wires that fit",
        (Related(kind.source.place(), f"what {kind.id} takes"),),
        at=(owner, *dict.fromkeys(contact.address for contact, _ in ends), *dict.fromkeys(f"wire {wire.id}" for _, wires in ends for wire in wires)),
        value=", ".join(str(wire.size) for _, wires in ends for wire in wires), limit=f"{kind.least} to {kind.most}", origin="as stated")
