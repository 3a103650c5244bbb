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
from ..operation.columns import OFF, column
from ..operation.operate import Operation, Solved
from ..operation.supplies import elements_of
from ..operation.wiring import fuse_element, wire_element

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
    depth = _depths(operation, {fuse_element(part) for part in fuses})
    order = sorted(fuses, key=lambda part: min(depth.get(wiring.nodes.of[f"{part.id}.{name}"], len(fused)) for name in ("1", "2")))
    out = {fuse_element(part) for part in order}
    now_a = none_a = _given_a(operation, solved, out)
    found = []
    for part in order:
        out.remove(fuse_element(part))
        if abs(solved.solution.currents.get(fuse_element(part), 0.0)) > _NOTHING_A:
            now_a = _given_a(operation, solved, out)
        found.append(FuseIn(part.id, _far(operation, part, depth), now_a))
    return FirstPower(none_a, tuple(found))


def drain_a(operation: Operation, solution: Solution) -> float:
    """What batteries and test supplies give together."""
    devices = map(operation.wiring.harness.devices.__getitem__, operation.wiring.harness.supplies)
    ids = [id for device in devices if not isinstance(device.supply, Alternator) for id in elements_of(device)]
    return -fsum(solution.currents.get(id, 0.0) for id in ids)


def _given_a(operation: Operation, solved: Solved, out: set[str]) -> float:
    circuit: Circuit = replace(solved.circuit, elements=tuple(element for element in solved.circuit.elements if element.id not in out))
    result = settle(circuit, {})
    return drain_a(operation, result) if isinstance(result, Solution) else float("nan")


def _depths(operation: Operation, fuses: set[str]) -> Mapping[str, int]:
    """Node -> how many fuses lie between it and the plus of the battery at least, over every position of switches and relays."""
    near: dict[str, list[tuple[str, int]]] = {}
    for a, b, cost in _ways(operation, fuses):
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


def _ways(operation: Operation, fuses: set[str]) -> Iterator[tuple[str, str, int]]:
    wiring, of = operation.wiring, operation.wiring.nodes.of
    plain = {wire_element(id) for id in wiring.conductors} | {fuse_element(part) for part in wiring.harness.parts.values() if part.kind == "fusible link"}
    for element in wiring.elements:
        if element.id in plain or element.id in fuses:
            yield element.a, element.b, int(element.id in fuses)
    for device in wiring.harness.devices.values():
        for pairs in device.closes.values():
            for a, b in pairs:
                if a in of and b in of:
                    yield of[a], of[b], 0
    parts = wiring.harness.parts.values()
    for part in parts:
        if part.kind == "relay":
            for name in part.terminals:
                if name.startswith("87"):
                    yield of[f"{part.id}.30"], of[f"{part.id}.{name}"], 0


def _far(operation: Operation, part: Part, depth: Mapping[str, int]) -> str:
    levels = {f"{part.id}.{name}": depth.get(operation.wiring.nodes.of[f"{part.id}.{name}"]) for name in ("1", "2")}
    a, b = levels.values()
    if a is None or b is None or a == b:
        return ""
    return max(levels, key=lambda address: levels[address] or 0)
