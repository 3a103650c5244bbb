"""A splice where the bundle flexes, where it is hot or wet, or in a grommet.

What it checks: the zone of the segment or place at which a splice sits, and whether that segment passes a grommet. In the wet zone a
splice whose `shrink:` or `method:` names adhesive, sealant or solder sleeve is left alone.

Why it matters: a splice is the stiff piece of a soft bundle: where it moves, the strands break at its edge. Heat loosens
crimps and softens solder, water creeps along the strands, and in a grommet the lump is squeezed and cannot be seen.

Example that fails:

    places:
      P1: {title: inner wing}
      P2: {title: engine mount}
      P3: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 300 mm, covering: tape, zone: engine}
      T2: {from: P2, to: P3, length: 400 mm, covering: tape, zone: flexing}
    connectors:
      X1: {face: [[1..2]], view: mating face, place: P1}
      X2: {face: [[1]], view: mating face, place: P3}
    splices:
      S1: {at: 120 mm from P2 toward P3, method: crimp splice}  # here
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      3: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: XLPE 125 C}

What it says:

    splice S1 sits on segment T2, 120 mm from P2, in the flexing zone: it breaks where it is worked

The fix: Another station, on a stretch that stays still, dry and cool; in the wet zone a sealed joint.

Example that passes:

    places:
      P1: {title: inner wing}
      P2: {title: engine mount}
      P3: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 300 mm, covering: tape, zone: engine}
      T2: {from: P2, to: P3, length: 400 mm, covering: tape, zone: flexing}
    connectors:
      X1: {face: [[1..2]], view: mating face, place: P1}
      X2: {face: [[1]], view: mating face, place: P3}
    splices:
      S1: {at: 40 mm from P2 toward P1, method: crimp splice}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      3: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: XLPE 125 C}

Limits and source: no splice in flexing areas: a published NASA book of practice (section 4.07); none in grommets: a maker's wiring book; heat and wet: common
practice. Where on its segment a grommet sits is not stated: on one longer than `grommet-on` the finding is advice, for the
splice may be clear of it. A splice beside fuel is told with the clearance of its segment (too-near).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..options import Option
from ..splice_places import beyond, offsets_on

if TYPE_CHECKING:
    from ...geometry.stations import StationOf
    from ...model.harness import Splice
    from ..subject import Subject

CODE = "splice-in-bad-place"
SEVERITY = Severity.MALFUNCTION
ASKS = "route"
MODES = (48,)
GROMMET_ON = Option(CODE, "grommet-on", "length", "300 mm", "the longest segment on which a splice is taken to sit in its grommet", "design choice")
OPTIONS = (GROMMET_ON,)
_WHY = {
    "flexing": ("it breaks where it is worked", "a NASA book of practice, 4.07"),
    "hot": ("crimps loosen and solder softens there", "common practice"),
    "wet": ("nothing says it is sealed", "common practice"),
}
_SEALED = ("adhesive", "glue", "sealant", "sealed", "solder sleeve")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    if not harness.segments:
        return
    taken = offsets_on(subject)
    if not any(segment.zone for segment in harness.segments.values()) and harness.splices:
        yield Lack(CODE, "", "`zone:` to each segment")
    by_place: dict[tuple[str, str], list[Splice]] = {}      # where, zone or grommet -> splices
    for splice in harness.splices.values():
        station = subject.geometry.stations[splice.id]
        if station.segment is None and station.toward_point is not None or station.from_point is None:
            yield Lack(CODE, splice.id, "`at: 120 mm from P3 toward P4` to the splice, and the length of the segments on the way")
            continue
        where, zone, has_grommet = _where(subject, station)
        if zone in _WHY and not (zone == "wet" and _is_sealed(splice)):
            by_place.setdefault((where, zone), []).append(splice)
        elif has_grommet:
            by_place.setdefault((where, "grommet"), []).append(splice)
    for (where, why), splices in by_place.items():
        yield _finding(subject, where, why, splices, taken)


def _where(subject: Subject, station: StationOf) -> tuple[str, str, bool]:
    """(``segment T2`` or ``place P3``, its zone, whether it passes a grommet)."""
    if station.segment is not None:
        segment = subject.harness.segments[station.segment]
        return f"segment {segment.id}", segment.zone or "", segment.grommet_mm is not None
    point = subject.harness.points.get(station.from_point or "")
    return f"place {station.from_point}", (point.zone or "") if point else "", False


def _is_sealed(splice: Splice) -> bool:
    words = f"{splice.shrink} {splice.method}".casefold()
    return any(word in words for word in _SEALED)


def _finding(subject: Subject, where: str, why: str, splices: list[Splice], taken: dict[str, list[float]]) -> Finding:
    from ...operation.words import listed

    stations = [subject.geometry.stations[splice.id] for splice in splices]
    ids = [splice.id for splice in splices]
    at = f", {stations[0].distance_mm:g} mm from {stations[0].from_point}," if len(splices) == 1 and stations[0].distance_mm else ""
    sits = f"{'splice' if len(ids) == 1 else 'splices'} {listed(ids)} {'sits' if len(ids) == 1 else 'sit'} {'on' if stations[0].segment else 'at'} {where}{at}"
    severity, origin, limit = SEVERITY, "a maker's wiring book", "no splice in a grommet"
    if why == "grommet":
        segment = subject.harness.segments[stations[0].segment or ""]
        long_mm = subject.value(GROMMET_ON).value
        if segment.length_mm is None or segment.length_mm > long_mm:
            severity = Severity.ADVICE
        said = f"{sits.rstrip(',')}, which passes a grommet of {segment.grommet_mm:g} mm: the lump does not belong in it"
    else:
        words, origin = _WHY[why]
        said, limit = f"{sits} in the {why} zone: {words}", f"no splice in the {why} zone"
    moves = []
    for station in stations:
        if (to := beyond(subject, station, taken)) is not None:
            moves.append(f"{station.splice} to `at: {to}`")
    do = f"move {listed(moves)}" if len(moves) == len(stations) else "move it to a stretch that stays still, dry and cool" if len(ids) == 1 else "move them to a stretch that stays still, dry and cool"
    if why == "wet":
        do = f"seal {'it' if len(ids) == 1 else 'them'} in shrink with adhesive and write `shrink: adhesive-lined`; or {do}"
    return Finding(CODE, severity, said, splices[0].source.place_of("at" if splices[0].at else "place"), do,
                   tuple(Related(splice.source.place(), f"splice {splice.id} stands here") for splice in splices[1:]),
                   at=(*ids, *(() if where.startswith("place") and where.partition(' ')[2] not in subject.harness.points else (where,))), value=where, limit=limit, origin=origin)
