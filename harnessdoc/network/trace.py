"""A circuit from one address end to end.

Takes a harness, its network and an address; gives the whole island as steps, depth
first, and the places where the copper stops with what goes on behind them. Plain
values; ``lines`` makes the text that a command prints.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..model.harness import OPEN, UNKNOWN, Harness, Kind
from ..trade.sizes import print_size
from .islands import Network, other_end
from .stops import Stop, stop_at


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the walk; steps are in order and ``depth`` (from 1) makes them a tree.

    kind:  "wire", or "bar", "mated", "link" as of a Joint
    id:    of the wire or joint
    to:    an address, UNKNOWN or OPEN
    size, colour: of a wire, as text; "" unknown or no wire
    again: ``to`` was reached before: a loop closes here
    """

    depth: int
    kind: str
    id: str
    from_: str
    to: str
    size: str
    colour: str
    again: bool


@dataclass(frozen=True, slots=True)
class Trace:
    """``stops``: where the copper ends, in the order of the walk, the start first."""

    start: str
    steps: tuple[Step, ...]
    stops: tuple[Stop, ...]


def trace(harness: Harness, network: Network, address: str) -> Trace:
    """The island of ``address`` (an address of the harness), every wire and joint once."""
    joints = _joints_at(network, network.island_of[address])
    steps: list[Step] = []
    done: set[tuple[str, str, str]] = set()
    reached = {address}
    ways: list[Iterator[Step]] = [_ways_on(harness, joints, address, 1)]
    while ways:
        step = next(ways[-1], None)
        if step is None:
            ways.pop()
            continue
        key = (step.id, *sorted((step.from_, step.to))) if step.kind != "wire" else (step.id, "", "")
        if key in done:
            continue
        done.add(key)
        if step.to in reached:
            steps.append(_again(step))
            continue
        steps.append(step)
        if step.to not in (UNKNOWN, OPEN):
            reached.add(step.to)
            ways.append(_ways_on(harness, joints, step.to, step.depth + 1))
    walked = [address, *(step.to for step in steps if not step.again)]
    stops = (stop_at(harness, there) for there in walked if there in harness.contacts)
    return Trace(address, tuple(steps), tuple(stop for stop in stops if stop is not None))


def lines(traced: Trace, harness: Harness) -> list[str]:
    """The trace as text: a line for each step, indented by its depth, with what stands at its end."""
    words = {stop.address: stop.words for stop in traced.stops}

    def there(address: str) -> str:
        if address in (UNKNOWN, OPEN):
            return {UNKNOWN: "an unknown end", OPEN: "an open end"}[address]
        if harness.contacts[address].kind is Kind.SPLICE:
            return f"splice {address}"
        return f"{address}, {words[address]}" if address in words else address

    text = [there(traced.start)]
    for step in traced.steps:
        by = {"wire": f"wire {step.id}, {step.size or 'size unknown'}, {step.colour or 'colour unknown'},",
              "bar": f"bar {step.id}", "mated": f"mated halves {step.id}", "link": f"link in {step.id}"}[step.kind]
        text.append(f"{'  ' * step.depth}{by} to {there(step.to)}{' (again)' if step.again else ''}")
    return text


def _joints_at(network: Network, island: int) -> Mapping[str, list[tuple[str, str, str]]]:
    """Address -> (kind, id, the other address) of each joint of an island."""
    joints: dict[str, list[tuple[str, str, str]]] = {}
    for joint in network.joints:
        if network.island_of[joint.a] == island:
            joints.setdefault(joint.a, []).append((joint.kind, joint.id, joint.b))
            joints.setdefault(joint.b, []).append((joint.kind, joint.id, joint.a))
    return joints


def _ways_on(harness: Harness, joints: Mapping[str, list[tuple[str, str, str]]], here: str, depth: int) -> Iterator[Step]:
    for wire_id in harness.wires_at.get(here, ()):
        wire = harness.wires[wire_id]
        size = print_size(wire.size) if wire.size else ""
        yield Step(depth, "wire", wire_id, here, other_end(wire, here), size, wire.colour_as_stated if wire.colour else "", False)
    for kind, name, there in joints.get(here, ()):
        yield Step(depth, kind, name, here, there, "", "", False)


def _again(step: Step) -> Step:
    return Step(step.depth, step.kind, step.id, step.from_, step.to, step.size, step.colour, True)
