"""Two feeds on one copper: a pulled fuse, or the key at off, no longer makes the circuit dead.

What it checks: copper that is fed behind two fuses; copper that the key switch feeds in some position and a fuse feeds past the key;
and always live copper joined to what another device gives switched.

Why it matters: each fuse lets half of the current through, so that the wire gets twice what its fuse is for; who pulls the
fuse to work on the circuit finds it live; and what hangs on the key stays on when it is out.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 5 A, type: blade}
      F2: {rating: 10 A, type: blade}
    splices:
      SP1: {}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      3: {from: F1.2, to: SP1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: F2.2, to: SP1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      5: {from: SP1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      6: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

What it says:

    fuses F1 and F2 feed one copper, joined at SP1: with one of them out it stays live

The fix: Keep the feed that is switched as the circuit must be, and take the other off; where both must be able to feed it, a
relay, a diode in each, or an isolator between.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 5 A, type: blade}
      F2: {rating: 10 A, type: blade}
    splices:
      SP1: {}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      3: {from: F1.2, to: SP1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      5: {from: SP1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      6: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

Limits and source: common practice. A cable between two sources with a fuse at each end, and alternator and battery on one stud, are as they
should be. What meets in a load or over contacts is no copper. Batteries of different voltage are told by `battery-feeds-battery`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..join_findings import findings_of_joins
from ..rails import live

if TYPE_CHECKING:
    from ...network.ways import Reached
    from ..subject import Subject

CODE = "two-feeds-joined"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = (6,)
_PROTECTS = ("fuse", "fusible link")
_MOST_NAMED = 4
_FOR_GOOD = ("wire", "fuse", "fusible link", "diode")


def check(subject: Subject) -> Iterator[Finding]:
    told: set[int] = set()
    if subject.ways.plus:
        reached = live(subject.ways)
        for island, fuses in _fused_twice(subject, reached).items():
            told.add(island)
            yield _of_fuses(subject, island, fuses)
        yield from _past_the_key(subject, told)
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, unless=lambda _, join: join.island in told)


def _fused_twice(subject: Subject, reached: Reached) -> dict[int, list[str]]:
    """Island -> the fuses behind which it lies, where it is more than one and one source feeds them."""
    ways, island_of = subject.ways, subject.network.island_of
    step = {point: number for number, point in enumerate(reached.before)}
    # copper with a source on it is a cable between two sources
    sources = {island_of[point] for point in ways.plus}
    behind: dict[int, dict[str, str]] = {}
    for part in subject.harness.parts.values():
        if part.kind not in _PROTECTS:
            continue
        one, two = (f"{part.id}.{name}" for name in part.terminals)
        if ways.point(one) not in step or ways.point(two) not in step or island_of[one] == island_of[two]:
            continue
        near, far = sorted((one, two), key=lambda address: step[ways.point(address)])
        if island_of[far] not in sources:
            behind.setdefault(island_of[far], {})[part.id] = _source(reached, ways.point(near))
    return {island: list(fuses) for island, fuses in behind.items() if len(fuses) > len(set(fuses.values()))}


def _source(reached: Reached, point: str) -> str:
    while (before := reached.before[point]) is not None:
        point = before[1]
    return point


def _of_fuses(subject: Subject, island: int, fuses: list[str]) -> Finding:
    from ...operation.words import listed

    harness = subject.harness
    wires = [id for fuse in fuses for terminal in harness.parts[fuse].terminals for id in harness.wires_at.get(f"{fuse}.{terminal}", ())
             if subject.network.island_of[f"{fuse}.{terminal}"] == island]
    members = subject.members(island)
    joint = next((address for address in members if address in harness.splices), next((address for address in members if harness.contacts[address].kind.value in ("bar", "stud")), members[0]))
    source = harness.splices[joint].source if joint in harness.splices else harness.contacts[joint].source
    named = [*fuses[:_MOST_NAMED], *([f"{len(fuses) - _MOST_NAMED} more"] if len(fuses) > _MOST_NAMED else [])]
    off = f": take wire {wires[-1]} off" if wires else ""
    return Finding(CODE, SEVERITY, f"fuses {listed(named)} feed one copper, joined at {joint}: with one of them out it stays live", source.place(),
                   f"keep one feed and take the other out{off}; where both must feed it a diode in each, anode at its fuse, or a relay that chooses",
                   tuple(Related(harness.parts[fuse].source.place(), f"fuse {fuse} stands here") for fuse in fuses[:_MOST_NAMED]),
                   at=(joint, *fuses, *(f"wire {id}" for id in wires)), origin="common practice")


def _past_the_key(subject: Subject, told: set[int]) -> Iterator[Finding]:
    """What the key switch closes to, and what is live all the same with the key taken out."""
    harness, ways = subject.harness, subject.ways
    key = harness.devices.get(harness.key_switch or "")
    if key is None:
        return
    always = ways.reach_over(ways.plus, _FOR_GOOD, (key.id,))
    ends = {ways.point(end): end for pairs in key.closes.values() for pair in reversed(pairs) for end in reversed(pair)}
    live_ends = [end for point, end in ends.items() if point in always]
    # of its contacts the supply is live with the key out; a second one that is live on another copper is fed past it
    supply = _supply(subject, live_ends)
    for end in live_ends:
        island = subject.network.island_of[end]
        if end == supply or island in told or (supply and island == subject.network.island_of[supply] and ways.point(end) == ways.point(supply)):
            continue
        told.add(island)
        way = always.way(ways.point(end))
        fuse = next((one.thing for one in reversed(way) if one.kind in _PROTECTS), "")
        wire = next((one.thing for one in reversed(way) if one.kind == "wire"), "")
        by = f"fuse {fuse}" if fuse else "the battery"
        yield Finding(CODE, SEVERITY, f"{by} feeds {end} past key switch {key.id}, by wire {wire}: it is live with the key out", harness.wires[wire].source.place() if wire else key.source.place(),
                      f"take wire {wire} off, or lead it to the supply of the key switch{f', {supply}' if supply else ''}", (Related(key.source.place(), f"{key.id} stands here"),),
                      at=tuple(filter(None, (f"wire {wire}" if wire else "", end, fuse, key.id))), origin="common practice")


def _supply(subject: Subject, ends: list[str]) -> str:
    """Of the contacts that are live with the key out the one that every position uses most."""
    key = subject.harness.devices[subject.harness.key_switch or ""]
    used = {end: sum(end in pair for pairs in key.closes.values() for pair in pairs) for end in ends}
    return max(ends, key=lambda end: used[end], default="")
