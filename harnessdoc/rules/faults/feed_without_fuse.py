"""A feed that leaves the battery without a fuse, or with its first fuse too far away.

What it checks: every wire that the battery reaches without passing a fuse or fusible link, contacts in any position: on the way
to a first fuse it is one, and so is the main cable of a starter; to anything else none may lead. And how much wire lies
between the source and each first fuse.

Why it matters: nothing limits what a battery gives. The first place where such a wire is chafed through takes hundreds of
amperes, and the wire burns along its whole length, until somebody finds a spanner.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    wires:
      1: {from: G1.+, to: H1.1, size: 1 mm2, colour: RD, type: TXL, length: 1 m}  # here
      2: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    no fuse protects wire 1 of 1 mm²: it leads from the battery to H1

The fix: A fuse close to the battery that fits the thinnest wire behind it.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 15 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}
      3: {from: F1.2, to: H1.1, size: 1 mm2, colour: RD, type: TXL, length: 1 m}

Limits and source: no fuse at all is a hazard, common practice. Up to the first fuse 178 mm are good, 1016 mm in a sheath (ABYC E-11 as
quoted): up to the second it is advice, beyond it a hazard; the option moves the first. A link as short between two batteries is passed over. Where the far end is
not known nothing is said: a fuse may stand there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...trade.fuse_gates import gates
from ...trade.fuses import standard_ratings
from ...trade.tables import factors
from ...trade.wire_fuses import is_customary
from ..options import Option
from ..runs_of import grouped

if TYPE_CHECKING:
    from ...judgement.protection import Protection
    from ...judgement.unprotected import Unprotected
    from ..subject import Subject

CODE = "feed-without-fuse"
SEVERITY = Severity.HAZARD
ASKS = "solved"
MODES = (3,)
MOST = Option(CODE, "most", "length", "178 mm", "the wire that is borne between the source and the first fuse", "ABYC E-11 as quoted: 7 in from the source")
OPTIONS = (MOST,)
_MOST_NAMED = 4
_NEXT_FUSE = "blade"
"""The type whose ratings are proposed."""


def check(subject: Subject) -> Iterator[Finding]:
    if subject.judgement is None:
        return
    most_mm = subject.value(MOST).value
    bare = {one.wire: one for one in subject.judgement.unprotected if one.verdict.holds is False and not _is_borne(subject, one, most_mm)}
    plus = set(subject.ways.plus)
    touched = ((id, (*(point for point in _points(subject, id) if point not in plus), *(f"to {load}" for load in one.loads))) for id, one in bare.items())
    for wires in grouped(touched):
        yield _without(subject, [bare[id] for id in wires])
    before: dict[tuple[str, ...], list[Protection]] = {}
    for protection in subject.judgement.protections:
        if protection.distance_mm is not None and protection.distance_mm > most_mm:
            wires = tuple(one.wire for one in subject.judgement.unprotected if f"{protection.kind} {protection.part}" in one.leads_to)
            before.setdefault(wires, []).append(protection)
    for wires, protections in before.items():
        yield _too_far(subject, wires, protections, most_mm)


def _points(subject: Subject, wire: str) -> tuple[str, str]:
    stated = subject.harness.wires[wire]
    return subject.ways.point(stated.from_), subject.ways.point(stated.to)


def _is_borne(subject: Subject, one: Unprotected, most_mm: float) -> bool:
    """The main cable of a starter, of which no motor is described; a short link between two batteries; what leads to where it is not known."""
    harness, ways = subject.harness, subject.ways
    points = _points(subject, one.wire)
    if all(point in ways.plus for point in points) and one.length_mm is not None and one.length_mm <= most_mm:
        return True
    if one.loads:
        return False
    reached = ways.reach([point for point in points if point not in ways.plus],
                         lambda way, point: way.kind in ("wire", "switch", "relay") and ways.beyond(way, point) not in (*ways.plus, *ways.minus))
    ends = [address for address, point in ways.point_of.items() if point in reached]
    return any(harness.contacts[address].signal == "starter-motor" or _leads_on(subject, address) for address in ends)


def _leads_on(subject: Subject, address: str) -> bool:
    """Whether something that is not described may lie there."""
    harness = subject.harness
    known = harness.contacts
    if any(end not in known for id in harness.wires_at.get(address, ()) for end in (harness.wires[id].from_, harness.wires[id].to)):
        return True
    if address in harness.splices and harness.splices[address].members_unknown:
        return True
    connector = harness.connectors.get(known[address].owner)
    return connector is not None and connector.device is None and not connector.mates and not any(other.mates == connector.id for other in harness.connectors.values())


def _without(subject: Subject, wires: Sequence[Unprotected]) -> Finding:
    from ...operation.supplies import kind_of
    from ...operation.words import listed
    from ...trade.ampacity import Ampacity

    harness, judged = subject.harness, subject.judgement.wires    # type: ignore[union-attr]
    plus = set(subject.ways.plus)
    first = next((one for one in wires if set(_points(subject, one.wire)) & plus), wires[0])
    ordered = [first, *(one for one in wires if one is not first)]
    source = next((device for id in harness.supplies if (device := harness.devices[id]).between and subject.ways.point(device.between[0]) in _points(subject, first.wire)), None)
    loads = list(dict.fromkeys(load for one in ordered for load in one.loads))
    ids = [one.wire for one in ordered]
    named = [*ids[:_MOST_NAMED], *([f"{len(ids) - _MOST_NAMED} more"] if len(ids) > _MOST_NAMED else [])]
    ends = [end for end in (harness.wires[ids[-1]].from_, harness.wires[ids[-1]].to) if subject.ways.point(end) not in plus]
    to = loads or ends[-1:] or [harness.wires[ids[-1]].to]
    shown = [*to[:_MOST_NAMED], *([f"{len(to) - _MOST_NAMED} more"] if len(to) > _MOST_NAMED else [])]
    kind = "battery" if source is None else kind_of(source)
    verb = "it leads" if len(ids) == 1 else "they lead"
    words = f"no fuse protects wire {listed(named)}{f' of {first.size}' if first.size else ''}: {verb} from the {kind} to {listed(shown)}"
    allowed_a = min((allowed.current_a for id in ids if isinstance(allowed := judged[id].allowed, Ampacity)), default=None)
    fits = _largest_a(allowed_a, min((size.area_mm2 for id in ids if (size := harness.wires[id].size)), default=0.0)) if allowed_a is not None else None
    size = f"a fuse of {fits:g} A at most" if fits else "a fuse that fits the thinnest wire"
    post = source.between[0] if source is not None and source.between else "the source"
    return Finding(CODE, SEVERITY, words, harness.wires[ids[0]].source.place(),
                   f"{size} in wire {ids[0]}, no more than {factors()['fuse-near-source'].value:g} mm from {post}",
                   tuple(Related(harness.wires[id].source.place(), f"wire {id} goes on without a fuse") for id in ids[1:_MOST_NAMED]),
                   at=tuple(f"wire {id}" for id in ids), origin="common practice")


def _largest_a(allowed_a: float, area_mm2: float) -> float | None:
    """The largest fuse that a wire bears, and a vehicle maker would put before it."""
    share = next(share for share, gate in (gates(_NEXT_FUSE) or {}).items() if gate.max_s is not None)
    bears = factors()["fuse-lets-through"].value
    return max((rating for rating in standard_ratings(_NEXT_FUSE) if share * rating <= bears * allowed_a and is_customary(rating, area_mm2)), default=None)


def _too_far(subject: Subject, wires: Sequence[str], protections: Sequence[Protection], most_mm: float) -> Finding:
    """Of the fuses that lie behind the same wires: at the one of these that leaves the source."""
    from ...operation.words import listed
    from ...trade.ampacity import Ampacity

    harness, plus = subject.harness, set(subject.ways.plus)
    ids = [one.part for one in protections]
    first = next((id for id in wires if set(_points(subject, id)) & plus), wires[0])
    stated = harness.wires[first]
    post = next((end for end in (stated.from_, stated.to) if subject.ways.point(end) in plus), "the source")
    distance_mm, sheathed_mm = max(one.distance_mm or 0.0 for one in protections), factors()["fuse-in-sheath"].value
    is_far = distance_mm > max(most_mm, sheathed_mm)
    option = subject.value(MOST)
    shown = [*ids[:_MOST_NAMED], *([f"{len(ids) - _MOST_NAMED} more"] if len(ids) > _MOST_NAMED else [])]
    kinds = [one.kind for one in protections]
    fuses = f"{kinds[0] if len(set(kinds)) == 1 else 'fuse'} {listed(shown)} {'stands' if len(ids) == 1 else 'stand up to'}"
    judged = subject.judgement.wires[first].allowed     # type: ignore[union-attr]
    bears = f" (it may carry {judged.current_a:.4g} A)" if isinstance(judged, Ampacity) else ""
    sheath = f"; or the wire in a sheath of its own, then up to {sheathed_mm:g} mm" if not is_far else ""
    limit = f"{option.stated}, {sheathed_mm:g} mm in a sheath" if is_far and sheathed_mm > most_mm else option.stated
    return Finding(CODE, SEVERITY if is_far else Severity.ADVICE,
                   f"{fuses} {distance_mm:g} mm of wire from the source (wire {listed(wires)}): up to there nothing protects it; at most {limit}", stated.source.place(),
                   f"a fuse that wire {first} bears{bears} at the source, no more than {most_mm:g} mm from {post}"
                   f"{f'; or {ids[0]} itself set there' if len(ids) == 1 else ''}{sheath}",
                   tuple(Related(harness.parts[id].source.place(), f"{id} stands here") for id in ids[:_MOST_NAMED]),
                   at=(*(f"wire {id}" for id in (first, *(id for id in wires if id != first))), *ids), value=f"{distance_mm:g} mm", limit=limit,
                   origin=MOST.origin if option.stated == MOST.default else "stated")
