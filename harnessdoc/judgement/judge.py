"""The harness in operation, judged: drops, wires, fuses.

Takes an Operation and the geometry; gives a Judgement, made when a sheet, a rule or a
comparison first asks for it, and once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..geometry.measure import Geometry
from ..operation.operate import Operation
from .drops import Drop, drops
from .protection import Protection, protections
from .supply_ways import SupplyWays
from .unprotected import Unprotected, unprotected
from .verdict import Verdict
from .wires import WireJudged, wires_judged


@dataclass(frozen=True, slots=True)
class Judgement:
    """wires: by id; all in the order of the description."""

    drops: tuple[Drop, ...]
    wires: Mapping[str, WireJudged]
    protections: tuple[Protection, ...]
    unprotected: tuple[Unprotected, ...]

    @property
    def verdicts(self) -> Iterator[tuple[str, str, Verdict]]:
        """(``load``, ``wire`` or ``fuse``, its id, verdict) of all."""
        for drop in self.drops:
            yield from (("load", drop.load, verdict) for verdict in drop.verdicts)
        for wire in self.wires.values():
            yield "wire", wire.wire, wire.verdict
        for protection in self.protections:
            yield from (("fuse", protection.part, verdict) for verdict in protection.verdicts)
        for bare in self.unprotected:
            yield "wire", bare.wire, bare.verdict


def judge(operation: Operation, geometry: Geometry) -> Judgement:
    """The judgement of an operation; ``geometry``: of its harness."""
    return operation.kept("judgement", lambda: _judge(operation, geometry))


def _judge(operation: Operation, geometry: Geometry) -> Judgement:
    wires = wires_judged(operation, geometry)
    ways = SupplyWays(operation)
    return Judgement(drops(operation), wires, protections(operation, ways, wires), unprotected(ways, wires))
