"""A fuse larger than the wire behind it bears.

What it checks: every wire that a fuse feeds, over splices, bars, contacts in any position and forward diodes, up to the
next fuse: what the fuse lets through for long against what the wire bears. Of a fusible link, whether it is thin enough.

Why it matters: the fuse is there for the wire. Where the wire is the weaker of the two it glows, melts
its neighbours and sets fire to the loom, and the fuse stays whole.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 30 A, type: blade}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 6 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 1 m}
      3: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    fuse F1 of 30 A before wire 2 of 1 mm²: for long it lets through 40.5 A (1.35 x 30 A), and the wire bears
    36.25 A (1.45 x 25 A)

The fix: A smaller fuse that still carries the load; or wire that bears the fuse; or a second fuse where the wire gets
thinner.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 15 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 6 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 1 m}
      3: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: what a wire may carry is of the table that the description names, 33 CFR 183.425 where it names none; what
a fuse lets through is the lowest gate of ISO 8820-3 that ends, as makers' sheets have it; that a wire bears 1.45 times its figure
is from memory. Of types without gates (midi, mega, cartridge) only more than 1.5 times the figure is told (ABYC E-11 as quoted). Without
a battery a wire counts as alone and at 30 C. A wire made longer with a thinner one at a splice of two is told by
`thinner-after-splice`. The handbook's fuse of FAA AC 43.13-1B table 11-3 is named beside, and decides nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...trade.fuses import standard_ratings
from ...trade.fusible_links import link_for, link_rule
from ...trade.tables import factors, said
from ...trade.wire_fuses import handbook_fuse_a, is_customary, least_wire
from ..bearing import allowances, fuse_for, is_over, long_share
from ..lack import Lack
from ..rails import live

if TYPE_CHECKING:
    from ...model.harness import Part, Wire
    from ..subject import Subject

CODE = "fuse-over-wire"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = (4,)
_PROTECTS = ("fuse", "fusible link")
_BEHIND = ("wire", "switch", "relay", "diode")
_MOST_NAMED = 4


def check(subject: Subject) -> Iterator[Finding | Lack]:
    parts = [part for part in subject.harness.parts.values() if part.kind in _PROTECTS]
    if not parts:
        return
    if subject.judgement is not None:
        solved = {one.part: one for one in subject.judgement.protections}
        behind = {part.id: solved[part.id].behind for part in parts if solved[part.id].fed}
        helps = {id: one.suggestions for id, one in solved.items() if any(verdict.about in ("overload", "fusible link") and verdict.holds is False for verdict in one.verdicts)}
    else:
        behind, helps = dict(_behind(subject, parts)), {}
    allowed_of = allowances(subject)
    for part in parts:
        wires = [subject.harness.wires[id] for id in behind.get(part.id, ())]
        if not wires:
            continue
        if (part.size if part.kind == "fusible link" else part.rating) is None:
            yield Lack(CODE, part.id, "`size: 1 mm2` to each fusible link" if part.kind == "fusible link" else "`rating: 15 A` to each fuse")
            continue
        yield from (Lack(CODE, f"wire {wire.id}", "`size:` to each wire") for wire in wires if wire.size is None)
        thin = [wire for wire in wires if is_over(part, wire, allowed_of)]
        if thin:
            thin = [wire for wire in thin if wire.id not in subject.extended.behind]
        if thin:
            yield _finding(subject, part, thin, allowed_of, helps.get(part.id, ()))
        elif part.kind == "fuse":
            yield from _by_maker(subject, part, [wire for wire in wires if wire.id not in subject.extended.behind])


def _by_maker(subject: Subject, part: Part, wires: Sequence[Wire]) -> Iterator[Finding]:
    """What holds by the sum, but is thinner than vehicle makers take."""
    least = least_wire(part.rating.value) if part.rating else None
    sized = [wire for wire in wires if wire.size is not None]
    if least is None or not sized or part.rating is None:
        return
    weakest = min(sized, key=lambda wire: wire.size.area_mm2)       # type: ignore[union-attr]
    if weakest.size is None or is_customary(part.rating.value, weakest.size.area_mm2):
        return
    area_mm2 = weakest.size.area_mm2
    smaller = max((rating for rating in standard_ratings(part.type) if rating < part.rating.value and is_customary(rating, area_mm2)), default=None)
    yield Finding(CODE, Severity.MALFUNCTION, f"fuse {part.id} of {part.rating.stated} stands before wire {weakest.id} of {weakest.size}, where a vehicle maker takes {least.value:g} mm² at least",
                  part.source.place_of("rating"), f"{f'a fuse of {smaller:g} A, or ' if smaller else ''}wire {weakest.id} of {least.value:g} mm2{_in_merge(subject, part, f'rating: {smaller:g} A') if smaller else ''}", (Related(weakest.source.place(), f"wire {weakest.id} stands here"),),
                  at=(part.id, f"wire {weakest.id}"), value=str(weakest.size), limit=f"{least.value:g} mm²", origin=said(least.origin, least.mark))


def _behind(subject: Subject, parts: Iterable[Part]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Fuse -> the wires behind it in the order of the description; the supply side is the one nearer to plus, where there is none the first terminal."""
    ways = subject.ways
    step = {point: number for number, point in enumerate(live(ways).before)}
    order = {id: number for number, id in enumerate(subject.harness.wires)}
    shut = {*ways.plus, *ways.minus}
    for part in parts:
        ends = [ways.point(f"{part.id}.{name}") for name in part.terminals]
        fed, load = sorted(ends, key=lambda point: step.get(point, len(step)))
        if fed == load:
            continue
        reached = ways.reach([load], lambda way, point: way.kind in _BEHIND and (way.kind != "diode" or ways.point(way.a) == point) and ways.beyond(way, point) not in shut)
        found = {way.thing for point in reached.before for way in ways.at.get(point, ()) if way.kind == "wire" and ways.beyond(way, point) in reached}
        yield part.id, tuple(sorted(found, key=order.__getitem__))


def _finding(subject: Subject, part: Part, thin: Sequence[Wire], allowed_of: Callable[[Wire], float | None], helps: Sequence[str]) -> Finding:
    from ...operation.words import listed

    if part.kind == "fusible link":
        weakest = min(thin, key=lambda wire: wire.size.area_mm2)    # type: ignore[union-attr]
    else:
        weakest = min(thin, key=lambda wire: (allowed_of(wire), wire.size.area_mm2))    # type: ignore[union-attr, type-var, return-value]
    others = [wire.id for wire in thin if wire is not weakest]
    rest = [*others[:_MOST_NAMED], *([f"{len(others) - _MOST_NAMED} more"] if len(others) > _MOST_NAMED else [])]
    also = f"; wire {listed(rest)} too" if rest else ""
    words, do, value, limit, origin = (_of_link if part.kind == "fusible link" else _of_fuse)(part, weakest, allowed_of)
    if part.kind == "fusible link":
        key, best = "size", str(link_for(weakest.size) or "")       # type: ignore[arg-type]
    else:
        key, best = "rating", f"{fits:g} A" if (fits := fuse_for(part, weakest, allowed_of)) else ""
    return Finding(CODE, SEVERITY, f"{words}{also}", part.source.place_of(key), ("\n".join(helps) or do) + (_in_merge(subject, part, f"{key}: {best}") if best else ""),
                   tuple(Related(wire.source.place(), f"wire {wire.id} stands here") for wire in (weakest,)),
                   at=(part.id, f"wire {weakest.id}", *(f"wire {id}" for id in others)), value=value, limit=limit, origin=origin)


def _in_merge(subject: Subject, part: Part, change: str) -> str:
    """How another fuse is written in place of one of a source; "" where the description has it itself."""
    if subject.merge is None or subject.merge.source_of(part.id) is None:
        return ""
    return f"; another in its place is written in the merge file: `{'fusible-links' if part.kind == 'fusible link' else 'fuses'}: {{{part.id}: {{{change}}}}}`"


def _of_link(part: Part, wire: Wire, allowed_of: object) -> tuple[str, str, str, str, str]:
    rule = link_rule()
    assert wire.size is not None
    best = link_for(wire.size)
    words = f"fusible link {part.id} of {part.size} stands before wire {wire.id} of {wire.size}: it is to burn first, {rule.value:g} AWG numbers thinner than what it protects"
    do = f"a link of {best} at most, or thicker wire" if best else "no link is that thin: a fuse"
    return words, do, str(part.size), str(best or ""), said(rule.origin, rule.mark)


def _of_fuse(part: Part, wire: Wire, allowed_of: Callable[[Wire], float | None]) -> tuple[str, str, str, str, str]:
    assert part.rating is not None and wire.size is not None
    allowed_a, rating_a, share = allowed_of(wire) or 0.0, part.rating.value, long_share(part)
    bears, above = factors()["fuse-lets-through"], factors()["fuse-above-ampacity"]
    what = f"fuse {part.id} of {rating_a:g} A before wire {wire.id} of {wire.size}"
    if share is None:
        value, limit, origin = f"{rating_a:g} A", f"{above.value * allowed_a:.4g} A", said(above.origin, above.mark)
        words = f"{what}, which may carry {allowed_a:.4g} A: more than {above.value:g} times that, {limit}"
    else:
        value, limit, origin = f"{share * rating_a:.4g} A", f"{bears.value * allowed_a:.4g} A", said(bears.origin, bears.mark)
        words = f"{what}: for long it lets through {value} ({share:g} x {rating_a:g} A), and the wire bears {limit} ({bears.value:g} x {allowed_a:.4g} A)"
    fits = fuse_for(part, wire, allowed_of)
    handbook = handbook_fuse_a(wire.size)
    do = f"a fuse of {fits:g} A at most, if it carries the load; or thicker wire" if fits else "thicker wire, or a fuse that fits the wire where it begins"
    return words, f"{do}{f'; the handbook has {handbook.value:g} A for such a wire ({handbook.origin})' if handbook else ''}", value, limit, origin
