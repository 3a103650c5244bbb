"""Splices side by side in one bundle.

What it checks: that splices on one segment, or at one point, lie at least 40 mm apart.

Why it matters: splices at one spot make a lump that no sleeve, clip or grommet takes, and where two chafe through they
meet each other.

Example that fails:

    places:
      P1: {title: battery}
      P2: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: tape, zone: engine}
    connectors:
      X1: {face: [[1..4]], view: mating face, place: P1}
      X2: {face: [[1..2]], view: mating face, place: P2}
    splices:
      S1: {at: 100 mm from P1 toward P2, method: crimp splice}
      S2: {at: 120 mm from P1 toward P2, method: crimp splice}  # here
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      3: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      4: {from: X1.3, to: S2, size: 1 mm2, colour: GN, type: XLPE 125 C}
      5: {from: X1.4, to: S2, size: 1 mm2, colour: GN, type: XLPE 125 C}
      6: {from: S2, to: X2.2, size: 1 mm2, colour: GN, type: XLPE 125 C}

What it says:

    splices S1 and S2 sit 20 mm apart on segment T1, where 40 mm are the least: a lump of 12.4 mm in a bundle of 5.0 mm

The fix: Move one after the other along the bundle; each wire grows at one end by what it loses at the other.

Example that passes:

    places:
      P1: {title: battery}
      P2: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: tape, zone: engine}
    connectors:
      X1: {face: [[1..4]], view: mating face, place: P1}
      X2: {face: [[1..2]], view: mating face, place: P2}
    splices:
      S1: {at: 100 mm from P1 toward P2, method: crimp splice}
      S2: {at: 140 mm from P1 toward P2, method: crimp splice}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      3: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: XLPE 125 C}
      4: {from: X1.3, to: S2, size: 1 mm2, colour: GN, type: XLPE 125 C}
      5: {from: X1.4, to: S2, size: 1 mm2, colour: GN, type: XLPE 125 C}
      6: {from: S2, to: X2.2, size: 1 mm2, colour: GN, type: XLPE 125 C}

Limits and source: 40 mm from other splices is of a maker's wiring book, another asks for 50 mm; no standard gives a figure. The lump is reckoned as if all of
them sat at one spot: 1.2 times the root of the sum of the squares, each splice with 1 mm of shrink all round (design choice).
Splices on either side of a branch are not compared.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..splice_places import APART, beyond, offsets_on, stations_on

if TYPE_CHECKING:
    from ...geometry.bundles import Sizes
    from ..subject import Subject

CODE = "splices-not-staggered"
SEVERITY = Severity.ADVICE
ASKS = "route"
MODES = (49,)
OPTIONS = (APART,)
_NEARLY_MM = 1e-6


def check(subject: Subject) -> Iterator[Finding | Lack]:
    from ...geometry.bundles import Sizes

    geometry, apart = subject.geometry, subject.value(APART).value
    sizes = Sizes(subject.harness, geometry.diameters)
    for segment, stations in stations_on(subject).items():
        for close in _clusters(stations, apart):
            yield _finding(subject, sizes, close, segment, [offset for offset, _ in close], _apart_on(subject, segment, stations, close, apart))
    at_point: dict[str, list[tuple[float, str]]] = {}
    for station in geometry.stations.values():
        if station.segment is None and station.from_point is not None and station.toward_point is None and any(member.segment for member in station.members):
            at_point.setdefault(station.from_point, []).append((0.0, station.splice))
    taken = offsets_on(subject)
    for point, stations in at_point.items():
        if len(stations) > 1:
            ats = [(splice, beyond(subject, geometry.stations[splice], taken)) for _, splice in stations[1:]]
            moves = [f"{splice} to `at: {at}`" for splice, at in ats if at is not None]
            yield _finding(subject, sizes, stations, "", [], moves, point)


def _clusters(stations: Sequence[tuple[float, str]], apart: float) -> Iterator[list[tuple[float, str]]]:
    """Runs of two and more of which each is too close to the one before."""
    run = [stations[0]]
    for one in stations[1:]:
        if one[0] - run[-1][0] >= apart - _NEARLY_MM:
            if len(run) > 1:
                yield run
            run = []
        run.append(one)
    if len(run) > 1:
        yield run


def _apart_on(subject: Subject, segment: str, stations: Sequence[tuple[float, str]], close: Sequence[tuple[float, str]], apart: float) -> list[str]:
    """``S2 to `at: 140 mm from P1 toward P2` `` for each that moves, of those too close as few as can be and then of their neighbours; [] where there is no room."""
    on = subject.harness.segments[segment]
    assert on.length_mm is not None
    first = stations.index(close[0])
    last = first + len(close)
    while True:
        least = stations[first - 1][0] + apart if first else 0.0
        most = stations[last][0] - apart if last < len(stations) else on.length_mm
        new = _spread([offset for offset, _ in stations[first:last]], least, most, apart)
        if new is not None:
            break
        if first == 0 and last == len(stations):
            return []
        first, last = (first, last + 1) if last < len(stations) else (first - 1, last)
    moves = []
    for (old, splice), offset in zip(stations[first:last], new, strict=True):
        if abs(old - offset) > _NEARLY_MM:
            is_from = subject.geometry.stations[splice].from_point == on.from_
            ends = (on.from_, on.to) if is_from else (on.to, on.from_)
            moves.append(f"{splice} to `at: {offset if is_from else on.length_mm - offset:g} mm from {ends[0]} toward {ends[1]}`")
    return moves


def _spread(offsets: Sequence[float], least: float, most: float, apart: float) -> list[float] | None:
    """Offsets in mm, each pushed on from the one before, and the last of them back from ``most``; None where they have no room above ``least``."""
    new = list(offsets)
    new[0] = max(new[0], least)
    for i in range(1, len(new)):
        new[i] = max(new[i], new[i - 1] + apart)
    new[-1] = min(new[-1], most)
    for i in range(len(new) - 2, -1, -1):
        new[i] = min(new[i], new[i + 1] - apart)
    return new if new[0] >= least - _NEARLY_MM else None


def _finding(subject: Subject, sizes: Sizes, close: Sequence[tuple[float, str]], segment: str, offsets: list[float], moves: list[str], point: str = "") -> Finding:
    from ...operation.words import listed

    harness, apart = subject.harness, subject.value(APART).value
    splices = [splice for _, splice in close]
    if point:
        value, said = "0 mm", f"splices {listed(splices)} all sit at {point}" if len(splices) > 2 else f"splices {listed(splices)} both sit at {point}"
    else:
        nearest = min(b - a for a, b in zip(offsets, offsets[1:], strict=False))
        spread = f"within {offsets[-1] - offsets[0]:g} mm of one another" if len(splices) > 2 else f"{nearest:g} mm apart"
        value, said = f"{nearest:g} mm", f"splices {listed(splices)} sit {spread} on segment {segment}"
    source = harness.splices[splices[1]].source
    return Finding(
        CODE, SEVERITY, f"{said}, where {apart:g} mm are the least{_lump(subject, sizes, splices, segment)}", source.place_of("at" if harness.splices[splices[1]].at else "place"),
        f"move {listed(moves)}" if moves else f"move some of them to another segment, {apart:g} mm from each other",
        tuple(Related(harness.splices[splice].source.place(), f"splice {splice} stands here") for splice in splices if splice != splices[1]),
        at=(*splices[1:], splices[0], *((f"segment {segment}",) if segment else ())), value=value, limit=f"{apart:g} mm", origin=APART.origin)


def _lump(subject: Subject, sizes: Sizes, splices: list[str], segment: str) -> str:
    """``: a lump of 12.4 mm in a bundle of 5.0 mm``; "" where a diameter is not known."""
    from ...geometry.bundles import SHRINK_WALL_MM, bundle_diameter_mm

    stations = [subject.geometry.stations[splice] for splice in splices]
    bundle = subject.geometry.bundles[segment] if segment else None
    if bundle is None or bundle.diameter_mm is None or bundle.unknown or any(station.largest_mm is None for station in stations):
        return ""
    own = {member.wire for station in stations for member in station.members}
    inside = {station.offset_mm for station in stations}
    passing = dict.fromkeys(wire for stretch in bundle.stretches if stretch.from_mm in inside or stretch.to_mm in inside for wire in stretch.wires if wire not in own)
    known = [diameter for diameter in sizes.single(passing) if diameter is not None]
    lump = bundle_diameter_mm([*known, *(station.largest_mm + 2 * SHRINK_WALL_MM for station in stations if station.largest_mm is not None)])
    return f": a lump of {lump:.1f} mm in a bundle of {bundle.diameter_mm:.1f} mm" if lump > bundle.diameter_mm else ""
