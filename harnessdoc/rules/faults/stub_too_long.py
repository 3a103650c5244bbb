"""A branch of a CAN bus longer than the bus bears.

What it checks: the wires of each CAN bus as a tree: the trunk runs from terminator to terminator (of a bus whose two are not stated, between
the two members farthest apart), and what leaves it is a stub: at most 1 m, 300 mm above 500 kbit/s, and no stub on a stub.
The trunk is at most 40 m.

Why it matters: a stub has no terminator at its end. Each edge comes back from there, and on a long one it comes back in the middle
of the next bit: errors that come with one more metre of wire and go when somebody looks.

Example that fails:

    devices:
      U1: {connectors: [X1], loads: {terminator: {between: [X1.1, X1.2], load: 120 ohm}}}
      U2: {connectors: [X2], loads: {terminator: {between: [X2.1, X2.2], load: 120 ohm}}}
      U3: {connectors: [X3]}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
      X3: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {signal: can-high, bit-rate: 250 kbit/s}
      X1.2: {signal: can-low, bit-rate: 250 kbit/s}
      X3.1: {signal: can-high, bit-rate: 250 kbit/s}
      X3.2: {signal: can-low, bit-rate: 250 kbit/s}
    pairs:
      PR1: {lay: 20 mm}
      PR2: {lay: 20 mm}
      PR3: {lay: 20 mm}
    splices:
      S1: {}
      S2: {}
    wires:
      1: {from: X1.1, to: S1, size: 0.5 mm2, colour: YE, type: TXL, pair: PR1, length: 2 m}
      2: {from: X1.2, to: S2, size: 0.5 mm2, colour: GN, type: TXL, pair: PR1, length: 2 m}
      3: {from: S1, to: X2.1, size: 0.5 mm2, colour: YE, type: TXL, pair: PR2, length: 2 m}
      4: {from: S2, to: X2.2, size: 0.5 mm2, colour: GN, type: TXL, pair: PR2, length: 2 m}
      5: {from: S1, to: X3.1, size: 0.5 mm2, colour: YE, type: TXL, pair: PR3, length: 1400 mm}  # here
      6: {from: S2, to: X3.2, size: 0.5 mm2, colour: GN, type: TXL, pair: PR3, length: 1400 mm}

What it says:

    the stub of the CAN bus to X3 is 1400 mm long (wire 5), where 1000 mm are the most at 250 kbit/s

The fix: Lead the trunk past the unit, in and out again, so that what is left of the stub is short.

Example that passes:

    devices:
      U1: {connectors: [X1], loads: {terminator: {between: [X1.1, X1.2], load: 120 ohm}}}
      U2: {connectors: [X2], loads: {terminator: {between: [X2.1, X2.2], load: 120 ohm}}}
      U3: {connectors: [X3]}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
      X3: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {signal: can-high, bit-rate: 250 kbit/s}
      X1.2: {signal: can-low, bit-rate: 250 kbit/s}
      X3.1: {signal: can-high, bit-rate: 250 kbit/s}
      X3.2: {signal: can-low, bit-rate: 250 kbit/s}
    pairs:
      PR1: {lay: 20 mm}
      PR2: {lay: 20 mm}
      PR3: {lay: 20 mm}
    splices:
      S1: {}
      S2: {}
    wires:
      1: {from: X1.1, to: S1, size: 0.5 mm2, colour: YE, type: TXL, pair: PR1, length: 2 m}
      2: {from: X1.2, to: S2, size: 0.5 mm2, colour: GN, type: TXL, pair: PR1, length: 2 m}
      3: {from: S1, to: X2.1, size: 0.5 mm2, colour: YE, type: TXL, pair: PR2, length: 2 m}
      4: {from: S2, to: X2.2, size: 0.5 mm2, colour: GN, type: TXL, pair: PR2, length: 2 m}
      5: {from: S1, to: X3.1, size: 0.5 mm2, colour: YE, type: TXL, pair: PR3, length: 1000 mm}
      6: {from: S2, to: X3.2, size: 0.5 mm2, colour: GN, type: TXL, pair: PR3, length: 1000 mm}

Limits and source: 1 m and a trunk of 40 m are those of SAE J1939 (250 kbit/s, shielded) as a maker's manual has them; 300 mm at 1 Mbit/s was read in one published
guide; no stub on a stub is one maker's rule. Unshielded J1939 allows 3 m: set `most`. The lead of a tester at a diagnostic socket comes
on top and is not counted; lengths are those wires are cut to, and what lies inside a unit is not known.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..lack import Lack
from ..options import Option
from ..two_wire_lines import CAN, lines, resistances, tree

if TYPE_CHECKING:
    from ..subject import Subject
    from ..two_wire_lines import Tree, TwoWireLine

CODE = "stub-too-long"
SEVERITY = Severity.MALFUNCTION
ASKS = "route"
MODES = (28,)
MOST = Option(CODE, "most", "length", "1 m", "the longest stub up to 500 kbit/s", "SAE J1939 as a maker's manual has it")
FAST = Option(CODE, "most-fast", "length", "300 mm", "the longest stub above 500 kbit/s", "a published guide, for 1 Mbit/s")
TRUNK = Option(CODE, "trunk", "length", "40 m", "the longest trunk", "SAE J1939 as a maker's manual has it")
OPTIONS = (MOST, FAST, TRUNK)
_SLOW_BIT_S = 500_000.0
_DUST_MM = 1e-6


@dataclass(frozen=True, slots=True)
class _Stub:
    """What leaves the trunk at one point by one wire; mm: to its farthest end, the wires of unknown length as nothing."""

    owners: tuple[str, ...]     # of the contacts at its ends
    mm: float
    wires: tuple[str, ...]      # to the farthest end
    forks: tuple[str, ...]      # the points at which it branches
    unknown: tuple[str, ...]


def check(subject: Subject) -> Iterator[Finding | Lack]:
    for line in lines(subject, CAN):
        ends = _ends(subject, line)
        if ends is None:
            continue
        rate = max((pin.bit_rate.value for pin in (*line.pins_a, *line.pins_b) if pin.bit_rate), default=0.0)
        most = subject.value(FAST if rate > _SLOW_BIT_S else MOST)
        said = next((f" at {pin.bit_rate.stated}" for pin in (*line.pins_a, *line.pins_b) if pin.bit_rate and pin.bit_rate.value == rate), "")
        worst: dict[str, _Stub] = {}    # the same stub on both wires is told once
        trunk_mm = 0.0
        for (start, end), island in zip(ends, (line.a, line.b), strict=True):
            walked = tree(subject, start)
            trunk_mm = max(trunk_mm, walked.far_mm[subject.ways.point(end)])
            for stub in _stubs(subject, walked, subject.ways.point(end), island):
                key = stub.owners[0] if stub.owners else stub.wires[-1]
                if key not in worst or stub.mm > worst[key].mm:
                    worst[key] = stub
        long = sorted((stub for stub in worst.values() if stub.mm > most.value + _DUST_MM), key=lambda stub: -stub.mm)
        if long:
            yield _too_long(subject, line, long, most.value, (FAST if rate > _SLOW_BIT_S else MOST).origin, said)
        for stub in worst.values():
            if stub.forks and stub not in long:
                yield _forked(subject, line, stub)
            if stub.unknown and stub not in long:
                yield from (Lack(CODE, f"wire {wire}", "`length:` to it, or the length of the segments on its way") for wire in stub.unknown)
        if trunk_mm > subject.value(TRUNK).value + _DUST_MM:
            yield _trunk(subject, line, trunk_mm, ends[0])


def _ends(subject: Subject, line: TwoWireLine) -> tuple[tuple[str, str], tuple[str, str]] | None:
    """From where to where the trunk runs, on either wire: (addresses of high, addresses of low); None where there are no two members."""
    found = resistances(subject, line)
    if len(found) > 1:
        far = _farthest(subject, [one.a for one in found])
        a, b = ([one for one in found if one.a == end][0] for end in far)
        return far, (a.b, b.b)
    if len(line.pins_a) < 2 or len(line.pins_b) < 2:
        return None
    return _farthest(subject, [pin.address for pin in line.pins_a]), _farthest(subject, [pin.address for pin in line.pins_b])


def _farthest(subject: Subject, addresses: Sequence[str]) -> tuple[str, str]:
    """The two of some addresses of one copper that lie farthest apart; of equals the first."""
    walked = {address: tree(subject, address) for address in addresses[:-1]}

    def far(pair: tuple[str, str]) -> tuple[float, int]:
        point = subject.ways.point(pair[1])
        return walked[pair[0]].far_mm.get(point, -1.0), walked[pair[0]].hops.get(point, -1)

    return max(combinations(addresses, 2), key=far)


def _stubs(subject: Subject, walked: Tree, end: str, island: int) -> Iterator[_Stub]:
    """What leaves the way from the start to ``end``, in the order in which it leaves."""
    if end not in walked:
        return
    trunk = set(walked.points(end))
    harness, ways, lengths = subject.harness, subject.ways, subject.geometry.lengths
    owner_at = {ways.point(address): owner for address in subject.members(island) if (owner := harness.contacts[address].owner) in harness.connectors}
    root: dict[str, str] = {}               # point off the trunk -> the first point of its stub
    children: dict[str, list[str]] = {}
    for point, step in walked.before.items():
        if step is None or point in trunk:
            continue
        root[point] = point if step[1] in trunk else root[step[1]]
        children.setdefault(step[1], []).append(point)
    members: dict[str, list[str]] = {}
    for point, first in root.items():
        members.setdefault(first, []).append(point)
    for first, points in members.items():
        leaves = [point for point in points if point not in children]
        far = walked.farthest(leaves)
        step = walked.before[first]
        assert step is not None
        way = walked.way(far)
        wires = tuple(wire for wire, point in way if point in root)
        unknown = tuple(wire for point in points if (before := walked.before[point]) and (wire := before[0]) and lengths[wire].finished_mm is None and not lengths[wire].zero)
        owners = tuple(dict.fromkeys(owner_at[point] for point in (far, *leaves) if point in owner_at))
        yield _Stub(owners, walked.far_mm[far] - walked.far_mm[step[1]], wires, tuple(point for point in points if len(children.get(point, ())) > 1), unknown)


def _to(stub: _Stub) -> str:
    return f" to {stub.owners[0]}" if stub.owners else ""


def _wires(wires: Sequence[str]) -> str:
    return f"{'wire' if len(wires) == 1 else 'wires'} {', '.join(wires)}"


def _too_long(subject: Subject, line: TwoWireLine, long: Sequence[_Stub], most_mm: float, origin: str, rate: str) -> Finding:
    from ...operation.words import listed

    lengths = subject.geometry.lengths
    worst = long[0]
    if len(long) == 1:
        words = f"the stub of the {line.words}{_to(worst)} is {worst.mm:.0f} mm long ({_wires(worst.wires)})"
    else:
        words = f"{len(long)} stubs of the {line.words} are too long: {listed([f'{stub.mm:.0f} mm{_to(stub)} ({_wires(stub.wires)})' for stub in long])}"
    longest = max(worst.wires, key=lambda wire: lengths[wire].finished_mm or 0.0)
    source = subject.harness.wires[longest].source
    forks = f"; it branches at {', '.join(worst.forks)} besides" if worst.forks else ""
    return Finding(
        CODE, SEVERITY, f"{words}, where {most_mm:g} mm are the most{rate}{forks}", source.place_of("length") if subject.harness.wires[longest].length else source.place(),
        f"lead the trunk on toward {worst.owners[0] if worst.owners else 'its end'} and back, so that {_wires(worst.wires)} and the other wire of the pair are {most_mm:g} mm or less",
        at=tuple(dict.fromkeys((f"wire {longest}", *(f"wire {wire}" for stub in long for wire in stub.wires), *(owner for stub in long for owner in stub.owners)))),
        value=f"{worst.mm:.0f} mm", limit=f"{most_mm:g} mm", origin=origin)


def _forked(subject: Subject, line: TwoWireLine, stub: _Stub) -> Finding:
    from ...operation.words import listed

    fork = stub.forks[0]
    source = subject.harness.contacts[fork].source
    return Finding(CODE, Severity.ADVICE, f"the stub of the {line.words} to {listed(stub.owners)} branches at {fork}: a stub on a stub", source.place(),
                   f"lead the trunk past {fork}, or join each of {listed(stub.owners)} to the trunk by itself", at=(fork, *stub.owners), value="a stub on a stub", limit="none",
                   origin="one maker's rule")


def _trunk(subject: Subject, line: TwoWireLine, trunk_mm: float, ends: tuple[str, str]) -> Finding:
    wire = tree(subject, ends[0]).way(subject.ways.point(ends[1]))[0][0]
    most_mm = subject.value(TRUNK).value
    return Finding(CODE, SEVERITY, f"the trunk of the {line.words} from {ends[0]} to {ends[1]} is {trunk_mm / 1000:.1f} m long, where {most_mm / 1000:g} m are the most",
                   subject.harness.wires[wire].source.place(), f"lead it a shorter way; or divide the bus by a gateway, each part up to {most_mm / 1000:g} m with its own terminators",
                   at=(f"wire {wire}", *ends), value=f"{trunk_mm / 1000:.1f} m", limit=f"{most_mm / 1000:g} m", origin=TRUNK.origin)
