"""The wires that no fuse protects, seen from the battery.

Takes the ways of the supply and the verdicts of the wires; gives an Unprotected for each. The way to the first
fuse is one, and the main cable of a starter; what feeds anything else without a fuse is a hazard.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..findings import Severity
from ..operation.catalogue import PROTECTS, WIRE
from ..operation.wiring import LoadPoint
from ..trade.sizes import Size
from .reach import Reached
from .supply_ways import SupplyWays
from .verdict import Verdict, fails, not_judged
from .wires import WireJudged


@dataclass(frozen=True, slots=True)
class Unprotected:
    """One wire; leads_to: fuses and links, in words, that it is on the way to; loads: those it feeds with no fuse at all."""

    wire: str
    size: Size | None
    length_mm: float | None
    leads_to: tuple[str, ...]
    loads: tuple[str, ...]
    verdict: Verdict


def unprotected(ways: SupplyWays, wires: Mapping[str, WireJudged]) -> tuple[Unprotected, ...]:
    """In the order of the description."""
    bare = ways.unfused()
    leads: dict[str, list[str]] = {}
    feeds: dict[str, list[LoadPoint]] = {}
    for edge in ways.graph.edges.values():
        for node in (edge.a, edge.b) if edge.entry.kind in PROTECTS else ():
            for wire in _wires_to(bare, node):
                leads.setdefault(wire, []).append(edge.entry.words)
    for load in ways.loads_among(bare):
        for wire in _wires_to(bare, load.node_a if load.node_a in bare.cost else load.node_b):
            feeds.setdefault(wire, []).append(load)
    return tuple(_one(ways, wires[id], tuple(dict.fromkeys(leads.get(id, ()))), feeds.get(id, [])) for id in ways.wires_among(bare))


def is_starter(ways: SupplyWays, load: LoadPoint) -> bool:
    """The motor that a solenoid of its own device joins."""
    loads = ways.wiring.harness.devices[load.owner].loads
    name = load.id.removeprefix(load.owner).strip()
    return load.kind == "motor" and name in loads and bool(loads[name].closed_by)


def _wires_to(bare: Reached, node: str) -> Iterator[str]:
    return (edge.entry.wire for edge in bare.way(node) if edge.entry.kind == WIRE) if node in bare.cost else iter(())


def _one(ways: SupplyWays, wire: WireJudged, leads_to: tuple[str, ...], loads: Sequence[LoadPoint]) -> Unprotected:
    others = [load.title or load.id for load in loads if not is_starter(ways, load)]
    what = f"{wire.size or 'a size that is not known'}, {f'{wire.length_mm:g} mm' if wire.length_mm is not None else 'length not known'}, from the source with no fuse"
    if others:
        verdict = fails("no fuse", Severity.HAZARD, f"{what}, to {', '.join(others)}")
    elif loads:
        verdict = not_judged("no fuse", f"{what}, to {', '.join(load.title or load.id for load in loads)}: the main cable of a starter goes without one; keep it clear of metal edges and fuel")
    elif leads_to:
        verdict = not_judged("no fuse", f"{what}, to {', '.join(leads_to)}")
    else:
        verdict = fails("no fuse", Severity.HAZARD, f"{what}, and nothing is described at its end")
    return Unprotected(wire.wire, wire.size, wire.length_mm, leads_to, tuple(load.title or load.id for load in loads), verdict)
