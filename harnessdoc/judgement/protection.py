"""What each fuse and fusible link protects: the wires behind it against its rating, and a short at their far end.

Takes the ways of the supply and the verdicts of the wires; gives a Protection for each fuse and
link. Which way the sums go is told in ``supply_ways.py``. Of fuses whose gates are not known there
is no verdict on the time. The handbook's fuse is shown beside, and decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from ..findings import Severity
from ..model.harness import Part
from ..operation.catalogue import LINK, PROTECTS, WIRE, part_element
from ..operation.operate import Operation
from ..operation.words import amps_shown
from ..trade.ampacity import Ampacity
from ..trade.fuse_gates import gates
from ..trade.fusible_links import area_ratio, link_for, link_rule, protects
from ..trade.tables import Fact, factors
from ..trade.tables import said as told
from ..trade.wire_fuses import handbook_fuse_a
from .flow import NO_CURRENT_A
from .reach import Reached, lengths_mm
from .remedy import long_share, remedies
from .supply_ways import Short, SupplyWays
from .verdict import Verdict, fails, holds, not_judged
from .wires import Peak, WireJudged, allows, peaks


@dataclass(frozen=True, slots=True)
class Overload:
    """What the fuse lets through for long, against what the weakest wire behind it bears.

    share, bears: what both are multiplied by; passes_a, borne_a: the two products
    """

    wire: str
    share: float
    passes_a: float
    bears: float
    borne_a: float


@dataclass(frozen=True, slots=True)
class Protection:
    """One fuse or fusible link.

    rating_a:     None where it is not known
    fed:          address of the terminal the source reaches, "" where it reaches both or none
    behind:       the wires it protects; unsure: of them those whose size, length or far end is not known
    not_counted:  loads behind it whose current is in no solved state, in words
    weakest:      the wire behind it that may carry least; allowed_a: what it may carry, None where no table has it
    carried, cranking: the largest solved current through it, for good and while cranking
    handbook:     the fuse of the handbook for the thinnest wire behind it, to be shown beside
    distance_mm:  along the wires from the source; None where another fuse comes first, or a length is not known
    suggestions:  what would hold, each with its sum in words
    """

    part: str
    kind: str
    title: str
    rating_a: float | None
    fed: str
    behind: tuple[str, ...]
    unsure: tuple[str, ...]
    not_counted: tuple[str, ...]
    weakest: str
    allowed_a: float | None
    carried: Peak | None
    cranking: Peak | None
    handbook: Fact | None
    overload: Overload | None
    short: Short | None
    distance_mm: float | None
    verdicts: tuple[Verdict, ...]
    suggestions: tuple[str, ...]

    @property
    def severity(self) -> Severity | None:
        """The worst of its verdicts; None where all hold or nothing can be said."""
        return max((verdict.severity for verdict in self.verdicts if verdict.severity is not None), default=None)


def protections(operation: Operation, ways: SupplyWays, wires: Mapping[str, WireJudged]) -> tuple[Protection, ...]:
    """Every fuse and link, in the order of the description."""
    return tuple(_protection(operation, ways, wires, part) for part in ways.wiring.harness.parts.values() if part.kind in PROTECTS)


def _protection(operation: Operation, ways: SupplyWays, wires: Mapping[str, WireJudged], part: Part) -> Protection:
    carried, cranking = peaks(operation, part_element(part))
    rating_a = part.rating.value if part.rating else None
    edge = ways.graph.edges.get(part_element(part))
    if any(f"{part.id}.{name}" in ways.wiring.nodes.off for name in part.terminals):
        node, why = "", "airbag circuit"
    else:
        node, why = ways.fed_end(edge) if edge else ("", "both its terminals are one point")
    if edge is None or not node:
        return Protection(part.id, part.kind, part.title, rating_a, "", (), (), (), "", None, carried, cranking, None, None, None, None,
                          (not_judged("overload", f"{why}: nothing is judged"),), ())
    behind = ways.behind(edge, node)
    inside, dangling = ways.wires_among(behind), ways.dangling_among(behind)
    sized = [wires[id] for id in inside if wires[id].size is not None]
    unsure = (*(id for id in inside if _lacks(wires[id])), *dangling)
    weakest = min(sized, key=lambda wire: (_allowed_a(wire), wire.size.area_mm2), default=None)  # type: ignore[union-attr]
    thinnest = min((size for id in (*inside, *dangling) if (size := ways.wiring.harness.wires[id].size)), key=lambda size: size.area_mm2, default=None)
    before = ways.fed.way(node)
    is_first = bool(before) and not any(step.entry.kind in PROTECTS for step in before)
    distance_mm = lengths_mm(before) if is_first else None
    not_counted = tuple(_not_counted(operation, ways, behind))
    short = ways.short(edge, node, behind, rating_a, part.type) if rating_a is not None and part.kind != LINK else None
    overload, of_overload = _overload(part, bool(inside or dangling), sized, weakest)
    verdicts = (of_overload, *_of_short(ways, wires, part, short), *_of_load(part, carried, cranking, not_counted), *_of_distance(distance_mm), *_of_unsure(unsure))
    made = Protection(part.id, part.kind, part.title, rating_a, edge.entry.a if node == edge.a else edge.entry.b, (*inside, *dangling), unsure, not_counted,
                      weakest.wire if weakest else "", _allowed_a(weakest) or None if weakest else None, carried, cranking,
                      handbook_fuse_a(thinnest) if thinnest else None, overload, short, distance_mm, verdicts, ())
    return replace(made, suggestions=remedies(operation, ways, part, sized, short, carried, cranking, not_counted)) if _asks(verdicts) else made


def _asks(verdicts: Sequence[Verdict]) -> bool:
    """Whether a fuse or a wire of another size would help."""
    return any(verdict.holds is False and verdict.about in ("overload", "far-end short", "load") for verdict in verdicts)


def _allowed_a(wire: WireJudged) -> float:
    """What it may carry; 0 where no table has it."""
    return wire.allowed.current_a if isinstance(wire.allowed, Ampacity) else 0.0


def _lacks(wire: WireJudged) -> bool:
    return wire.size is None or wire.length_mm is None


# ------------------------------------------------------------------------- the verdicts

def _overload(part: Part, lies_behind: bool, sized: Sequence[WireJudged], weakest: WireJudged | None) -> tuple[Overload | None, Verdict]:
    if weakest is None:
        return None, not_judged("overload", "no wire of known size lies behind it" if lies_behind else "no wire lies behind it: it feeds its box")
    if part.kind == LINK:
        return None, _of_link(part, min(sized, key=lambda wire: wire.size.area_mm2))  # type: ignore[union-attr]
    what = f"wire {weakest.wire}, {weakest.size},"
    if part.rating is None:
        return None, not_judged("overload", f"its rating is not known; weakest behind it: {what}")
    if not isinstance(weakest.allowed, Ampacity):
        return None, not_judged("overload", f"wire {weakest.wire}: {weakest.allowed.words if weakest.allowed else 'its size is not known'}")
    share, rating_a = long_share(part.type), part.rating.value
    if share is None:
        return None, _by_rating(part, what, weakest.allowed)
    bears = factors()["fuse-lets-through"]
    overload = Overload(weakest.wire, share, share * rating_a, bears.value, bears.value * weakest.allowed.current_a)
    words = (f"for long it lets through {share:g} x {rating_a:g} A = {overload.passes_a:.4g} A, {what} bears {bears.value:g} x {weakest.allowed.current_a:.4g} A = "
             f"{overload.borne_a:.4g} A (the {bears.value:g} {told(bears.origin, bears.mark)}); it {allows(weakest.allowed)}")
    return overload, holds("overload", words) if overload.passes_a <= overload.borne_a else fails("overload", Severity.HAZARD, words)


def _by_rating(part: Part, what: str, allowed: Ampacity) -> Verdict:
    """Of a fuse without gates: its rating against what the wire may carry."""
    assert part.rating is not None
    most, rating_a = factors()["fuse-above-ampacity"], part.rating.value
    words = f"{rating_a:g} A before {what} which {allows(allowed)}"
    if rating_a <= allowed.current_a:
        return holds("overload", words)
    if rating_a <= most.value * allowed.current_a:
        return not_judged("overload", f"{words}; {_no_gates(part)}")
    return fails("overload", Severity.HAZARD, f"{words}: more than {most.value:g} times that ({told(most.origin, most.mark)})")


def _of_link(part: Part, thinnest: WireJudged) -> Verdict:
    wire, rule = thinnest.size, link_rule()
    assert wire is not None
    if part.size is None:
        return not_judged("fusible link", f"its size is not known; thinnest behind it: wire {thinnest.wire}, {wire}")
    words = (f"{part.size} before wire {thinnest.wire}, {wire}: a link is {rule.value:g} AWG numbers thinner, {area_ratio():.2f} times less copper; "
             f"here {wire.area_mm2 / part.size.area_mm2:.2f} times ({told(rule.origin, rule.mark)})")
    if protects(part.size, wire):
        return holds("fusible link", words)
    best = link_for(wire)
    return fails("fusible link", Severity.HAZARD, f"{words}; {f'{best} at most' if best else 'no link is that thin'}")


def _of_short(ways: SupplyWays, wires: Mapping[str, WireJudged], part: Part, short: Short | None) -> Iterator[Verdict]:
    if part.kind == LINK or part.rating is None:
        return
    if short is None:
        yield not_judged("far-end short", "no battery is described: what a short would draw is not known" if ways.source.volts is None else "nothing leads back to battery minus")
        return
    words = short_words(part, short)
    lacking = [edge.entry.wire for edge in short.edges if edge.entry.kind == WIRE and _lacks(wires[edge.entry.wire])]
    if lacking:
        yield not_judged("far-end short", f"size or length of wire {', '.join(lacking)} is not known; with what stands in for them {words}")
    elif gates(part.type) is None:
        yield not_judged("far-end short", f"{words}; {_no_gates(part)}")
    elif short.share >= factors()["short-good"].value:
        yield holds("far-end short", words)
    else:
        yield fails("far-end short", Severity.HAZARD if short.share < factors()["short-slow"].value else Severity.MALFUNCTION, words)


def _no_gates(part: Part) -> str:
    return f"no opening times are known of {f'{part.type} fuses' if part.type else 'this fuse'}: its maker's sheet decides"


def short_words(part: Part, short: Short) -> str:
    """``short at X24.1, back by the return of fuel pump: 12 V / (8 battery + 14 to the fuse + ... = 197 mohm) = 61 A, 6.1 x 10 A: opens within 0.1 s``."""
    assert part.rating is not None
    terms = (("battery", short.source_ohm), ("to the fuse", short.to_fuse_ohm), ("fuse", short.fuse_ohm), ("out", short.out_ohm), ("back", short.back_ohm))
    summed = " + ".join(f"{ohm * 1000:.3g} {name}" for name, ohm in terms)
    opens = f": opens within {short.opens.value:g} s ({told(short.opens.origin, short.opens.mark)})" if short.opens else ": it may never open" if gates(part.type) else ""
    return (f"short at {short.far}, back by {short.back_by}: {short.source_v:g} V / ({summed} = {short.loop_ohm * 1000:.3g} mohm) = "
            f"{amps_shown(short.current_a)}, {short.share:.3g} x {part.rating.value:g} A{opens}")


def _of_load(part: Part, carried: Peak | None, cranking: Peak | None, not_counted: Sequence[str]) -> Iterator[Verdict]:
    if part.rating is None or carried is None and cranking is None:
        return
    rating_a, usual = part.rating.value, factors()["fuse-continuous"]
    lacking = f"; not in it: {', '.join(not_counted)}" if not_counted else ""
    most = max((peak for peak in (carried, cranking) if peak is not None), key=lambda peak: peak.current_a)
    seconds = " for seconds" if most is cranking else ""
    words = f"{amps_shown(most.current_a)}{seconds} ({most.state}) through {rating_a:g} A, {most.current_a / rating_a * 100:.0f} %{lacking}"
    if most.current_a < NO_CURRENT_A:
        yield not_judged("load", f"nothing flows through it in the states that were solved{lacking}")
    elif most.current_a > rating_a:
        yield fails("load", Severity.MALFUNCTION, f"{words}: it will open")
    elif carried is not None and carried.current_a > usual.value * rating_a:
        yield fails("load", Severity.ADVICE, f"{words}: for good at most {usual.value * 100:.0f} % ({told(usual.origin, usual.mark)})")
    else:
        yield holds("load", words)


def _of_distance(distance_mm: float | None) -> Iterator[Verdict]:
    if distance_mm is None:
        return
    near, sheathed = factors()["fuse-near-source"], factors()["fuse-in-sheath"]
    words = f"{distance_mm:g} mm of wire from the source, at most {near.value:g} mm, in a sheath {sheathed.value:g} mm ({told(near.origin, near.mark)})"
    severity = Severity.ADVICE if distance_mm <= sheathed.value else Severity.HAZARD
    yield holds("distance", words) if distance_mm <= near.value else fails("distance", severity, f"{words}: up to there nothing protects it")


def _of_unsure(unsure: Sequence[str]) -> Iterator[Verdict]:
    if unsure:
        yield not_judged("overload", f"size, length or far end is not known of wire {', '.join(unsure)} behind it")


def _not_counted(operation: Operation, ways: SupplyWays, behind: Reached) -> Iterator[str]:
    """Loads behind a fuse of which no solved state has the current: ``injector 1 (pulses, 14 ohm)``."""
    for load in ways.loads_among(behind):
        if load.pulsed:
            yield f"{load.title or load.id} (pulses, {load.rated})"
        elif not load.element:
            yield f"{load.title or load.id} (what it takes is not known)"
        elif all((peak is None or peak.current_a < NO_CURRENT_A) for peak in peaks(operation, load.element)):
            yield f"{load.title or load.id} (on in no state, {load.rated})"
