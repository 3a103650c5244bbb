"""The harness in operation, judged: drops, wires, fuses.

Takes an Operation and the geometry; gives a Judgement, made when a sheet, a rule or a
comparison first asks for it, and once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..geometry.measure import Geometry
from ..operation.operate import Operation
from .drops import Drop, drops
from .protection import Protection, protections
from .supply_ways import SupplyWays
from .unprotected import Unprotected, unprotected
from .wires import WireJudged, wires_judged


@dataclass(frozen=True, slots=True)
class Judgement:
    """wires: by id; all in the order of the description."""

    drops: tuple[Drop, ...]
    wires: Mapping[str, WireJudged]
    protections: tuple[Protection, ...]
    unprotected: tuple[Unprotected, ...]


def judge(operation: Operation, geometry: Geometry) -> Judgement:
    """The judgement of an operation; ``geometry``: of its harness."""
    return operation.kept("judgement", lambda: _judge(operation, geometry))


def _judge(operation: Operation, geometry: Geometry) -> Judgement:
    wires = wires_judged(operation, geometry)
    ways = SupplyWays(operation)
    return Judgement(drops(operation), wires, protections(operation, ways, wires), unprotected(ways, wires))
