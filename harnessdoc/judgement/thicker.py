"""Wires with more copper: the sizes above one, and which wires of a way must have them so that the way loses no more than it may.

Takes sizes, conductors, steps of a path; gives sizes and the same wires with other copper.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import fsum, inf

from ..model.harness import Harness, Kind
from ..operation.catalogue import WIRE
from ..operation.conductors import Conductor
from ..operation.operate import Operation
from ..trade.conductors import resistance_mohm_m
from ..trade.size_rows import row_size
from ..trade.sizes import AWG_NUMBERS, Size, sae_areas_mm2
from ..trade.tables import rows
from .path import Step

MOST_CRIMPED_MM2 = 6.0
"""The thickest wire that is asked for where no terminal says what it takes; one that is thicker already has studs at its ends. Design choice."""
_ONE_RANGE = 1.08
"""Sizes of two systems that differ by less are one to a terminal, as 14 AWG and 2 mm². Common practice."""
_MOST_COPPER = 8.0
"""Times its area up to which a wire is asked to grow; beyond that the way is too long, or another thing is at fault. Design choice."""
_MARGIN = 1.01
"""What else hangs on the same wires takes more too. Design choice."""


def thicker(size: Size) -> Iterator[Size]:
    """The sizes of the same system with more copper, thinnest first."""
    if size.system == "mm2":
        sizes = [row_size("mm2", row["area_mm2"]) for row in rows("conductors")]
    elif size.system == "SAE":
        sizes = [row_size("SAE", number) for number in sae_areas_mm2()]
    else:
        sizes = [row_size("AWG", number) for number in AWG_NUMBERS]
    return iter(sorted((other for other in sizes if other.area_mm2 > size.area_mm2 * (1 + 1e-9)), key=lambda other: other.area_mm2))


def of_size(conductor: Conductor, size: Size) -> Conductor:
    """The same wire with other copper."""
    cold_ohm_m = resistance_mohm_m(size).value / 1000
    return replace(conductor, size=size, cold_ohm_m=cold_ohm_m, copper_ohm=conductor.copper_ohm * cold_ohm_m / conductor.cold_ohm_m)


def sizes_that_lose(operation: Operation, steps: Sequence[Step], most_v: float, source_v: float) -> tuple[dict[str, Size], float]:
    """Wire -> the size it needs, and the volts that are lost then: the wire that loses most one size up, again and again, until no more than ``most_v`` is lost.

    Empty where that is not to be had with up to eight times the copper, and no more than the terminals take. steps: what loses, in any order; source_v: between the
    posts of the source: what is not lost is across the rest, which takes more current in proportion.
    """
    conductors = {step.wire: operation.wiring.conductors[step.wire] for step in steps if step.kind == WIRE}
    amps = {step.wire: step.current_a for step in steps if step.kind == WIRE}
    beside_v = fsum(step.drop_v for step in steps if step.kind != WIRE)
    most = {id: most_mm2(operation, id) for id in conductors}
    now, wanted = dict(conductors), dict[str, Size]()
    was_v = fsum(step.drop_v for step in steps)
    while True:
        same_current_v = beside_v + fsum(amps[id] * conductor.ohm for id, conductor in now.items())
        lost_v = same_current_v * source_v / (source_v - was_v + same_current_v)
        if lost_v * _MARGIN <= most_v:
            return wanted, lost_v
        grown = {id: size for id, conductor in now.items() if (size := _next(conductors[id], conductor, most[id])) is not None}
        worst = max(grown, key=lambda id: amps[id] * now[id].copper_ohm, default=None)
        if worst is None:
            return {}, lost_v
        wanted[worst] = grown[worst]
        now[worst] = of_size(conductors[worst], grown[worst])


def most_mm2(operation: Operation, wire: str) -> float:
    """The copper in mm2 that the terminals at both ends of a wire take, besides the other wires in them; where one does not say it no more than 6 mm2, unless the wire has more already."""
    harness, size = operation.wiring.harness, operation.wiring.conductors[wire].size
    own_mm2 = size.area_mm2 if size else 0.0
    stated = harness.wires[wire]
    most = [_takes_mm2(harness, end, wire) for end in (stated.from_, stated.to)]
    at_studs = own_mm2 > MOST_CRIMPED_MM2
    return min((taken if taken is not None else inf if at_studs else MOST_CRIMPED_MM2 for taken in most), default=inf)


def terminals_too_small(harness: Harness, wire: str, size: Size) -> tuple[str, ...]:
    """The ends of a wire whose terminal does not take it in another size, in words: ``X1.1 has receptacle 1.5, which takes 0.5 mm² to 1 mm²``; none where no terminal says what it takes."""
    said = []
    for end in (harness.wires[wire].from_, harness.wires[wire].to):
        taken = _takes_mm2(harness, end, wire)
        if taken is not None and size.area_mm2 > taken:
            kind = harness.terminals[harness.contacts[end].terminal]
            said.append(f"{end} has {kind.id}, which takes {kind.least} to {kind.most}")
    return tuple(said)


def _takes_mm2(harness: Harness, address: str, wire: str) -> float | None:
    contact = harness.contacts.get(address)
    kind = harness.terminals.get(contact.terminal) if contact is not None else None
    if contact is None or kind is None:
        return None
    # at a stud each wire has an eyelet of its own
    others = [harness.wires[other].size for other in harness.wires_at[address] if other != wire] if contact.kind in (Kind.CAVITY, Kind.SOCKET) else []
    return kind.most.area_mm2 * _ONE_RANGE - fsum(size.area_mm2 for size in others if size)


def sizes_in_words(operation: Operation, wanted: dict[str, Size]) -> str:
    """``wire 12 of 2.5 mm² instead of 1 mm²``, one after another."""
    return ", ".join(f"wire {id} of {size} instead of {operation.wiring.conductors[id].size}" for id, size in wanted.items())


def _next(was: Conductor, now: Conductor, most: float) -> Size | None:
    """most: mm2 that its terminals take"""
    size = next(thicker(now.size), None) if now.size else None
    return size if size is not None and was.size is not None and size.area_mm2 <= min(_MOST_COPPER * was.size.area_mm2, most) else None
