"""A line of two wires that is not twisted all the way.

What it checks: that the wires of CAN, of J1708 and of inductive sensors run as a pair, or in a cable, wherever they are longer than
500 mm; that a pair goes on as a pair behind a splice of two wires or an in-line connector; that no more than 50 mm at either end
are untwisted; that a pair of a bus has 30 turns a metre; that the wires of a pair are of one length.

Why it matters: in two wires that lie side by side a starter, a coil or an alternator writes its noise into one of them more than
into the other. Twisted, both get the same and it cancels. What one loose stretch lets in, no twist behind it takes out.

Example that fails:

    devices:
      U1: {connectors: [X1]}
      N1: {connectors: [X2]}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {signal: input-inductive-plus}
      X1.2: {signal: input-inductive-minus}
      X2.1: {signal: inductive-sensor-plus}
      X2.2: {signal: inductive-sensor-minus}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: WH, type: TXL, length: 900 mm}  # here
      2: {from: X1.2, to: X2.2, size: 0.5 mm2, colour: BU, type: TXL, length: 900 mm}

What it says:

    wires 1 and 2 of the inductive sensor run 900 mm without being twisted, where 500 mm are the most

The fix: Draw the two together as one pair; an extension too, and up to 50 mm from each end.

Example that passes:

    devices:
      U1: {connectors: [X1]}
      N1: {connectors: [X2]}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {signal: input-inductive-plus}
      X1.2: {signal: input-inductive-minus}
      X2.1: {signal: inductive-sensor-plus}
      X2.2: {signal: inductive-sensor-minus}
    pairs:
      PR1: {lay: 20 mm}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: WH, type: TXL, length: 900 mm, pair: PR1}
      2: {from: X1.2, to: X2.2, size: 0.5 mm2, colour: BU, type: TXL, length: 900 mm, pair: PR1}

Limits and source: at most 50 mm untwisted, a lay of 20 mm, equal lengths: a maker's wiring book; 30 turns a metre: a published guide to CAN; 500 mm without a
twist and 100 mm of difference in length are design choices (the joints of a pair are staggered by 65 mm, which is no fault). At a splice
of three wires and more the branches are judged by their length alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..options import Option
from ..spare_names import next_name
from ..two_wire_lines import CAN, INDUCTIVE, J1708, are_twisted, island_of_wire, lines, onward

if TYPE_CHECKING:
    from ...model.harness import Harness, Pair, Wire
    from ..subject import Subject
    from ..two_wire_lines import TwoWireLine

CODE = "pair-broken"
SEVERITY = Severity.MALFUNCTION
ASKS = "route"
MODES = (30,)
LOOSE = Option(CODE, "loose", "length", "500 mm", "the longest that two wires of a line may run without a twist", "design choice")
UNTWISTED = Option(CODE, "untwisted", "length", "50 mm", "the most untwisted at either end of a pair", "a maker's wiring book")
UNEQUAL = Option(CODE, "unequal", "length", "100 mm", "the most by which the wires of a pair differ in length", "design choice")
LAY = Option(CODE, "lay", "length", "34 mm", "the longest turn in the pair of a bus, 30 turns a metre", "a published guide to CAN")
OPTIONS = (LOOSE, UNTWISTED, UNEQUAL, LAY)
_USUAL_LAY_MM = 20.0
"""Proposed where none is stated: a maker's wiring book."""
_DUST_MM = 1e-6


def check(subject: Subject) -> Iterator[Finding | Lack]:
    of_lines = [line for kind in (CAN, J1708, INDUCTIVE) for line in lines(subject, kind)]
    buses = {island for line in of_lines if line.kind.is_bus for island in (line.a, line.b)}
    told: set[str] = set()
    for pair in subject.harness.pairs.values():
        if len(pair.wires) == 2:
            yield from _goes_on(subject, pair, told)
            yield from _as_stated(subject, pair, buses)
    if of_lines:
        yield from _loose(subject, of_lines, told)


# --------------------------------------------------------------- a pair that goes on loose

def _goes_on(subject: Subject, pair: Pair, told: set[str]) -> Iterator[Finding]:
    harness = subject.harness
    one, other = (harness.wires[wire] for wire in pair.wires)
    for end, its in _ends(harness, one, other):
        a, b = onward(subject, one, end), onward(subject, other, its)
        if a is None or b is None:
            continue
        if a.id == b.id or _are_one(harness, a, b) or {a.id, b.id} & told:
            continue
        lengths = [length for wire in (a, b) if (length := subject.geometry.lengths[wire.id].finished_mm) is not None]
        if lengths and max(lengths) <= 2 * subject.value(UNTWISTED).value:
            continue
        told.update((a.id, b.id))
        yield _broken(subject, pair, (end, its), (a, b), max(lengths, default=None))


def _ends(harness: Harness, one: Wire, other: Wire) -> list[tuple[str, str]]:
    """The ends of one wire, each with that of the other at the same end of the pair."""
    def owner(end: str) -> str:
        return harness.contacts[end].owner if end in harness.contacts else end

    straight = [(one.from_, other.from_), (one.to, other.to)]
    crossed = [(one.from_, other.to), (one.to, other.from_)]
    is_crossed = any(owner(a) == owner(b) for a, b in crossed) and not any(owner(a) == owner(b) for a, b in straight)
    return crossed if is_crossed else straight


def _are_one(harness: Harness, a: Wire, b: Wire) -> bool:
    return (a.pair is not None and a.pair == b.pair) or (a.cable is not None and a.cable == b.cable)


def _broken(subject: Subject, pair: Pair, ends: tuple[str, str], wires: tuple[Wire, Wire], longest_mm: float | None) -> Finding:
    a, b = wires
    most_mm = 2 * subject.value(UNTWISTED).value
    owners = list(dict.fromkeys(subject.harness.contacts[end].owner for end in ends))
    long = f" of {longest_mm:.0f} mm" if longest_mm is not None else ""
    limit = f", where {most_mm:g} mm are the most" if longest_mm is not None else ""
    return Finding(CODE, SEVERITY, f"pair {pair.id} (wires {', '.join(pair.wires)}) goes on behind {' and '.join(owners)} in wires {a.id} and {b.id}{long}, which are no pair{limit}",
                   a.source.place(), _draw(subject, (a.id, b.id), pair), (Related(pair.source.place(), f"pair {pair.id} stands here"),),
                   at=(f"wire {a.id}", f"wire {b.id}", f"pair {pair.id}", *owners), value=f"{longest_mm:.0f} mm" if longest_mm is not None else "no pair",
                   limit=f"{most_mm:g} mm", origin=UNTWISTED.origin)


def _draw(subject: Subject, wires: Sequence[str], like: Pair | None = None) -> str:
    name = next_name(like.id if like else "PR1", subject.harness.pairs)
    lay_mm = like.lay_mm if like and like.lay_mm else _USUAL_LAY_MM
    return f"draw wires {' and '.join(wires)} as one pair: `pair: {name}` for both, and {name} with `lay: {lay_mm:g} mm` under `pairs:`"


# ---------------------------------------------------------------- a pair as it is stated

def _as_stated(subject: Subject, pair: Pair, buses: set[int]) -> Iterator[Finding]:
    harness, lengths = subject.harness, subject.geometry.lengths
    one = harness.wires[pair.wires[0]]
    at = (f"pair {pair.id}", *(f"wire {wire}" for wire in pair.wires))
    named = f"pair {pair.id} (wires {', '.join(pair.wires)})"
    ways_mm = [lengths[wire].routed_mm if lengths[wire].routed_mm is not None else lengths[wire].finished_mm for wire in pair.wires]
    known = [mm for mm in ways_mm if mm is not None]
    most_mm = subject.value(UNTWISTED).value
    if pair.twisted_mm is not None and known and min(known) - pair.twisted_mm > 2 * most_mm + _DUST_MM:
        left = min(known) - pair.twisted_mm
        yield Finding(CODE, SEVERITY, f"{named} is twisted over {pair.twisted_mm:g} of {min(known):g} mm: {left:g} mm are untwisted, where {most_mm:g} mm at either end are the most",
                      pair.source.place_of("twisted"), f"twist it over {min(known) - 2 * most_mm:g} mm or more", at=at, value=f"{left:g} mm", limit=f"{2 * most_mm:g} mm", origin=UNTWISTED.origin)
    cut = [mm for wire in pair.wires if (mm := lengths[wire].finished_mm) is not None]
    unequal_mm = subject.value(UNEQUAL).value
    if len(cut) == 2 and max(cut) - min(cut) > unequal_mm + _DUST_MM:
        longer = max(pair.wires, key=lambda wire: lengths[wire].finished_mm or 0.0)
        source = harness.wires[longer].source
        yield Finding(CODE, SEVERITY, f"the wires of {named} are {cut[0]:.0f} and {cut[1]:.0f} mm long, {max(cut) - min(cut):.0f} mm apart, where {unequal_mm:g} mm are the most",
                      source.place_of("length"), f"draw both at {max(cut):.0f} mm; or bring their ends to one place", at=(f"wire {longer}", *at),
                      value=f"{max(cut) - min(cut):.0f} mm", limit=f"{unequal_mm:g} mm", origin=UNEQUAL.origin)
    most_lay = subject.value(LAY).value
    if pair.lay_mm is not None and pair.lay_mm > most_lay + _DUST_MM and island_of_wire(subject, one) in buses:
        yield Finding(CODE, SEVERITY, f"{named} of a bus has a turn of {pair.lay_mm:g} mm, where {most_lay:g} mm are the most (30 turns a metre)", pair.source.place_of("lay"),
                      f"twist it tighter, `lay: {_USUAL_LAY_MM:g} mm`", at=at, value=f"{pair.lay_mm:g} mm", limit=f"{most_lay:g} mm", origin=LAY.origin)


# ----------------------------------------------------------- wires of a line that are no pair

def _loose(subject: Subject, of_lines: Sequence[TwoWireLine], told: set[str]) -> Iterator[Finding | Lack]:
    harness, lengths, most_mm = subject.harness, subject.geometry.lengths, subject.value(LOOSE).value
    asked: dict[int, tuple[TwoWireLine, int]] = {}
    for line in of_lines:
        asked.setdefault(line.a, (line, line.b))
        if line.kind.is_bus:
            asked.setdefault(line.b, (line, line.a))
    sensors = {line.b: line for line in of_lines if not line.kind.is_bus}
    found: dict[int, list[str]] = {}
    partners: dict[int, list[str]] = {}     # of a sensor: the wires on its minus
    for wire in harness.wires.values():
        island = island_of_wire(subject, wire)
        if island is None:
            continue
        if island in sensors:
            partners.setdefault(sensors[island].a, []).append(wire.id)
        if island not in asked or wire.id in told:
            continue
        line, other = asked[island]
        if are_twisted(subject, wire, other):
            continue
        length = lengths[wire.id]
        if length.finished_mm is None and not length.zero:
            yield Lack(CODE, f"wire {wire.id}", "`pair:` to the two wires of a line, or their length")
        elif (length.finished_mm or 0.0) > most_mm + _DUST_MM:
            found.setdefault(line.a, []).append(wire.id)
    by_line = {line.a: line for line in of_lines}
    for island, wires in found.items():
        yield _untwisted(subject, by_line[island], wires, partners.get(island, []), most_mm)


def _untwisted(subject: Subject, line: TwoWireLine, wires: list[str], partners: list[str], most_mm: float) -> Finding:
    from ...operation.words import listed

    harness, lengths = subject.harness, subject.geometry.lengths
    worst = max(wires, key=lambda wire: lengths[wire].finished_mm or 0.0)
    ends = {harness.contacts[end].owner for end in (harness.wires[worst].from_, harness.wires[worst].to) if end in harness.contacts}
    beside = [wire for wire in partners if wire not in wires and ends & {harness.contacts[end].owner for end in (harness.wires[wire].from_, harness.wires[wire].to) if end in harness.contacts}]
    together = list(dict.fromkeys((*wires, *beside)))
    long = lengths[worst].finished_mm or 0.0
    all_of = f"wires {listed(together)}" if len(together) > 1 else f"wire {together[0]}"
    do = _draw(subject, together) if len(together) == 2 else f"twist {all_of} with the other wire of the line, `lay: {_USUAL_LAY_MM:g} mm`" if len(together) == 1 \
        else f"draw {all_of} as pairs, high with low and plus with minus, `lay: {_USUAL_LAY_MM:g} mm`"
    return Finding(CODE, SEVERITY, f"{all_of} of the {line.words} {'run' if len(together) > 1 else 'runs'} {long:.0f} mm without being twisted, where {most_mm:g} mm are the most",
                   harness.wires[wires[0]].source.place(), do, at=tuple(f"wire {wire}" for wire in together), value=f"{long:.0f} mm", limit=f"{most_mm:g} mm", origin=LOOSE.origin)
