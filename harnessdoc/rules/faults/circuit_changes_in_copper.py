"""A circuit that changes its name where nothing parts it.

What it checks: the circuits of wires that splices and in-line connectors join, with no join number, fuse, switch or other
part between them.

Why it matters: two names on one copper are looked for on two pages, and whoever opens one to make it safe leaves the
other live. Or the two were never meant to meet, and the splice is the fault.

Example that fails:

    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    splices:
      S1: {}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL, circuit: wiper}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: TXL, circuit: washer}  # here

What it says:

    one copper is called wiper (wire 1) and washer (wire 2); the name changes at S1, where nothing stands between

The fix: One name from end to end; or, where two vehicles meet, the number of the join, which makes the two names one; or,
where they were never meant to meet, take them apart.

Example that passes:

    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    splices:
      S1: {}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL, circuit: wiper}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: TXL, circuit: wiper}

Limits and source: a circuit keeps its number until a switch or an active part changes it (a standard for wiring of
military vehicles, read in an extract). At studs, bars, grounds and inside devices names may change: there circuits part. In a
harness with join numbers a splice that ties two names is told by join-number-missing. Circuits with one `number:` count as one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.harness import Harness
from ...model.ids import names
from ..circuit_names import lengths_of_copper, one_name
from ..lack import Lack
from ..mating import mate_of, meetings
from ..spare_names import join_numbers
from ..unnumbered_joins import unnumbered_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "circuit-changes-in-copper"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = (60,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    name, mates, joins = one_name(harness), mate_of(harness), join_numbers(harness)
    told = unnumbered_joins(harness, subject.merge)
    differing = [f"{half.id}.{cavity}" for pair in meetings(harness) for half in (pair.one, pair.other) for cavity in pair.differing]
    for wires in lengths_of_copper(harness, subject.network, differing):
        if len(wires) < 2:
            continue
        called: dict[str, list[str]] = {}
        for wire in wires:
            if circuit := harness.wires[wire].circuit:
                called.setdefault(name[circuit], []).append(wire)
        if called:
            yield from (Lack(CODE, f"wire {wire}", "`circuit:` to each wire") for wire in wires if not harness.wires[wire].circuit)
        if len(called) > 1:
            where = _where(harness, mates, called)
            if told.keys().isdisjoint(address for spot in where for address in spot):
                yield _finding(harness, joins, where, called)


def _where(harness: Harness, mates: Mapping[str, str], called: Mapping[str, list[str]]) -> list[tuple[str, ...]]:
    """The spots at which wires of different names meet: one contact, or two mated cavities."""
    by_wire = {wire: circuit for circuit, its in called.items() for wire in its}

    def spot(address: str) -> tuple[str, ...]:
        owner, _, cavity = address.rpartition(".")
        return tuple(sorted((address, f"{mates[owner]}.{cavity}"))) if owner in mates else (address,)

    spots = dict.fromkeys(spot(address) for wire in by_wire for address in (harness.wires[wire].from_, harness.wires[wire].to))
    return [spot for spot in spots if len({by_wire[wire] for address in spot for wire in harness.wires_at.get(address, ()) if wire in by_wire}) > 1]


def _finding(harness: Harness, joins: Iterator[str], where: list[tuple[str, ...]], called: Mapping[str, list[str]]) -> Finding:
    """joins: numbers that are free."""
    contacts = [address for spot in where for address in spot]
    said = " and ".join(f"{circuit} (wire{'s' if len(its) > 1 else ''} {names(its)})" for circuit, its in called.items())
    splices = [address for address in contacts if address in harness.splices]
    at = f"; the name changes at {names(' and '.join(spot) for spot in where)}, where nothing stands between" if where else ", with nothing between"
    most = max(called, key=lambda circuit: len(called[circuit]))
    number = f" (where {splices[0]} is a join of two vehicles, write `join: {next(joins)}` there)" if splices else ""
    # the odd one is looked for first
    fewer = min((its for circuit, its in called.items() if circuit != most), key=len)
    apart = f" at {names(' and '.join(spot) for spot in where)}" if where else ""
    return Finding(
        CODE, SEVERITY, f"one copper is called {said}{at}", harness.wires[fewer[0]].source.place_of("circuit"),
        f"if they were meant to meet, call all of it {most}{number}; if not, part wire{'s' if len(fewer) > 1 else ''} {names(fewer)} from the others{apart}", (Related(harness.wires[called[most][0]].source.place_of("circuit"), f"here it is {most}"),),
        at=(*(f"circuit {circuit}" for circuit in called), *contacts, *(f"wire {wire}" for its in called.values() for wire in its)),
        value=f"{len(called)} names", limit="1 name", origin="common practice")
