"""First power: what the battery gives with the key off, fuse after fuse.

Takes an Operation; gives the fuses in the order in which they go in, those nearest the
source first, each with the current of the battery once it is in. Links stay where they are.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import fsum

from ..electric import Circuit, Solution, settle
from ..model.electric import Alternator
from ..model.harness import Part
from ..operation.catalogue import LINK, WIRE, part_element
from ..operation.columns import OFF, column
from ..operation.nodes import placed_supplies
from ..operation.operate import Operation, Solved
from ..operation.supplies import given_a
from ..operation.wiring import Wiring
from .bare import contacts

_NOTHING_A = 1e-6
"""A fuse that carries less with all in changes nothing when it goes in."""


@dataclass(frozen=True, slots=True)
class FuseIn:
    """A fuse that goes in. far: its terminal away from the source, "" where either side or none leads to it; after_a: of the battery, once it is in."""

    fuse: str
    far: str
    after_a: float


@dataclass(frozen=True, slots=True)
class FirstPower:
    """none_a: of the battery with every fuse out."""

    none_a: float
    fuses: tuple[FuseIn, ...]


def first_power(operation: Operation) -> FirstPower | None:
    """None where the state with the key off has no solution. Fuses of airbag circuits have no line."""
    solved = column(operation, OFF)
    if solved is None or solved.solution is None:
        return None
    wiring, off = operation.wiring, operation.wiring.nodes.off
    fuses = [part for part in wiring.harness.parts.values() if part.kind == "fuse" and not {f"{part.id}.1", f"{part.id}.2"} & off]
    fused = {wiring.nodes.of[f"{part.id}.{name}"] for part in fuses for name in ("1", "2")}
    depth = _depths(operation, {part_element(part) for part in fuses})
    order = sorted(fuses, key=lambda part: min(depth.get(wiring.nodes.of[f"{part.id}.{name}"], len(fused)) for name in ("1", "2")))
    out = {part_element(part) for part in order}
    now_a = none_a = _drained_a(operation, solved, out)
    found = []
    for part in order:
        out.remove(part_element(part))
        if abs(solved.solution.currents.get(part_element(part), 0.0)) > _NOTHING_A:
            now_a = _drained_a(operation, solved, out)
        found.append(FuseIn(part.id, _far(operation, part, depth), now_a))
    return FirstPower(none_a, tuple(found))


def drain_a(operation: Operation, solution: Solution) -> float:
    """What batteries and test supplies give together."""
    return fsum(given_a(device, solution) for device in placed_supplies(operation.wiring.harness) if not isinstance(device.supply, Alternator))


def _drained_a(operation: Operation, solved: Solved, out: set[str]) -> float:
    circuit: Circuit = replace(solved.circuit, elements=tuple(element for element in solved.circuit.elements if element.id not in out))
    result = settle(circuit, {})
    return drain_a(operation, result) if isinstance(result, Solution) else float("nan")


def _depths(operation: Operation, fuses: set[str]) -> Mapping[str, int]:
    """Node -> how many fuses lie between it and the plus of the battery at least, over every position of switches and relays."""
    near: dict[str, list[tuple[str, int]]] = {}
    for a, b, cost in _ways(operation.wiring, fuses):
        near.setdefault(a, []).append((b, cost))
        near.setdefault(b, []).append((a, cost))
    plus = operation.wiring.nodes.plus
    depth = {plus: 0}
    front = deque([plus])
    while front:
        here = front.popleft()
        for there, cost in near.get(here, ()):
            if depth[here] + cost < depth.get(there, len(near) + 1):
                depth[there] = depth[here] + cost
                (front.append if cost else front.appendleft)(there)
    return depth


def _ways(wiring: Wiring, fuses: set[str]) -> Iterator[tuple[str, str, int]]:
    for element in wiring.elements:
        if element.id in fuses or wiring.catalogue[element.id].kind in (WIRE, LINK):
            yield element.a, element.b, int(element.id in fuses)
    yield from ((piece.a, piece.b, 0) for piece in contacts(wiring))


def _far(operation: Operation, part: Part, depth: Mapping[str, int]) -> str:
    levels = {f"{part.id}.{name}": depth.get(operation.wiring.nodes.of[f"{part.id}.{name}"]) for name in ("1", "2")}
    a, b = levels.values()
    if a is None or b is None or a == b:
        return ""
    return max(levels, key=lambda address: levels[address] or 0)
