"""How thick the bundle is, segment by segment.

Takes a harness, its places, routes and splice stations; gives a Bundle a segment and
the diameter of every wire. A wire that ends at a splice in the middle of a segment
fills only its part: a segment has a stretch between each two splices on it.

Diameter of a bundle: one wire its own, two the sum, more the larger of 1.2
sqrt(sum d^2) (trade rule, read in a source) and the two thickest together. A pair
counts as its wires, a cable as one. At a splice its members there are replaced by
the splice: its thickest side and 1 mm of heat-shrink wall all round (design choice).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot

from ..model.harness import Harness
from ..trade.bundles import random_lay_factor
from ..trade.conductors import od_mm
from .graph import Route
from .places import Places
from .stations import StationOf

SHRINK_WALL_MM = 1.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a segment that the same wires fill; positions from its ``from`` end, None without a length.

    wires:       one that passes there and back stands twice
    diameter_mm: of the wires whose diameter is known, None where there is none
    unknown:     how many wires and cables have no known diameter
    """

    from_mm: float | None
    to_mm: float | None
    wires: tuple[str, ...]
    diameter_mm: float | None
    unknown: int


@dataclass(frozen=True, slots=True)
class Bulge:
    """The bundle where splices sit; ``at_end``: at an end of the segment. diameter_mm None: a splice there has no known size.

    passing: the wires beside the splices
    """

    splices: tuple[str, ...]
    offset_mm: float | None
    at_end: bool
    diameter_mm: float | None
    passing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bundle:
    """What is in a segment; splices left out of ``diameter_mm`` and of ``unknown``, which are those of the thickest stretch."""

    segment: str
    wires: tuple[str, ...]
    diameter_mm: float | None
    unknown: int
    stretches: tuple[Stretch, ...]
    at_splices: tuple[Bulge, ...]

    @property
    def widest_mm(self) -> float | None:
        """The thickest place, splices included; None where nothing is known."""
        known = [d for d in (self.diameter_mm, *(bulge.diameter_mm for bulge in self.at_splices)) if d is not None]
        return max(known, default=None)


def bundle_diameter_mm(diameters_mm: Sequence[float]) -> float:
    """Diameter of a bundle of wires of these diameters, at least one."""
    if len(diameters_mm) < 3:
        return sum(diameters_mm)
    two = sorted(diameters_mm)[-2:]
    return max(random_lay_factor().value * hypot(*diameters_mm), two[0] + two[1])


def wire_diameters(harness: Harness) -> dict[str, float | None]:
    """Wire -> diameter over insulation: measured, else from the tables for its size and type; None unknown."""
    by_size: dict[tuple[int, int], float | None] = {}   # by identity: the reader gives one object for one text
    found: dict[str, float | None] = {}
    for wire in harness.wires.values():
        if wire.diameter_mm is not None or wire.size is None:
            found[wire.id] = wire.diameter_mm
            continue
        key = (id(wire.size), id(wire.type))
        if key not in by_size:
            fact = od_mm(wire.size, wire.type)
            by_size[key] = fact.value if fact else None
        found[wire.id] = by_size[key]
    return found


def compute_bundles(harness: Harness, places: Places, routes: Mapping[str, Route], diameters: Mapping[str, float | None],
                    stations: Mapping[str, StationOf]) -> dict[str, Bundle]:
    """Segment -> Bundle."""
    inside: list[list[str]] = [[] for _ in places.graph.forward]
    for wire, route in routes.items():
        for step in route.steps:
            inside[step.piece].append(wire)
    sizes = Sizes(harness, diameters)
    bulges: dict[str, list[Bulge]] = {}
    for segment, bulge in _bulges(places, inside, stations, sizes):
        bulges.setdefault(segment, []).append(bulge)
    bundles: dict[str, Bundle] = {}
    for segment in harness.segments.values():
        stretches = []
        for piece in places.graph.pieces_of[segment.id]:
            step = places.graph.forward[piece]
            diameter, unknown = sizes.measure(inside[piece])
            stretches.append(Stretch(step.from_mm, step.to_mm, tuple(inside[piece]), diameter, unknown))
        thickest = max(stretches, key=lambda stretch: stretch.diameter_mm or 0.0)
        wires = tuple(dict.fromkeys(wire for stretch in stretches for wire in stretch.wires))
        bundles[segment.id] = Bundle(segment.id, wires, thickest.diameter_mm, thickest.unknown, tuple(stretches), tuple(bulges.get(segment.id, ())))
    return bundles


def splice_diameter_mm(station: StationOf) -> float | None:
    """Of a splice in its heat-shrink; None where a side of it is unknown."""
    return None if station.largest_mm is None else station.largest_mm + 2 * SHRINK_WALL_MM


class Sizes:
    """Diameters of sets of wires, a cable counted once."""

    def __init__(self, harness: Harness, diameters: Mapping[str, float | None]) -> None:
        self._diameters = diameters
        self._cables = {wire: cable.id for cable in harness.cables.values() for wire in cable.wires}
        self._jackets = {cable.id: cable.diameter_mm for cable in harness.cables.values()}

    def single(self, wires: Iterable[str]) -> list[float | None]:
        """The diameter of each wire, of each cable once."""
        if not self._cables:
            return [self._diameters[wire] for wire in wires]
        return [diameter for _, _, diameter in self.named(wires)]

    def named(self, wires: Iterable[str]) -> list[tuple[str, str, float | None]]:
        """The same with what each is: ("wire" or "cable", its id, diameter)."""
        wires = tuple(wires)
        cables = dict.fromkeys(self._cables[wire] for wire in wires if wire in self._cables)
        return [*(("wire", wire, self._diameters[wire]) for wire in wires if wire not in self._cables), *(("cable", cable, self._jackets[cable]) for cable in cables)]

    def measure(self, wires: Iterable[str]) -> tuple[float | None, int]:
        """Diameter of the known ones together (None for none), and how many are unknown."""
        single = self.single(wires)
        known = [diameter for diameter in single if diameter is not None]
        return (bundle_diameter_mm(known) if known else None), len(single) - len(known)


def _bulges(places: Places, inside: Sequence[Sequence[str]], stations: Mapping[str, StationOf],
            sizes: Sizes) -> Iterator[tuple[str, Bulge]]:
    """(segment, bulge) for each place of splices on a segment, or at an end of one into which they send wires."""
    graph = places.graph
    at: dict[tuple[int, str], list[str]] = {}   # node, segment -> splices
    for station in stations.values():
        node = places.node_of.get(station.splice, -1)
        for segment in dict.fromkeys(member.segment for member in station.members if member.segment):
            at.setdefault((node, segment), []).append(station.splice)
    for (node, segment), splices in at.items():
        pieces = [piece for piece, _ in graph.near[node] if graph.forward[piece].segment == segment]
        members = {member.wire for splice in splices for member in stations[splice].members}
        passing = dict.fromkeys(wire for piece in pieces for wire in inside[piece] if wire not in members)
        thick = [splice_diameter_mm(stations[splice]) for splice in splices]
        known = [diameter for diameter in (*sizes.single(passing), *thick) if diameter is not None]
        first = graph.step(pieces[0], node)
        at_end = splices[0] not in places.on_segment
        yield segment, Bulge(tuple(splices), first.from_mm, at_end, None if None in thick else bundle_diameter_mm(known), tuple(passing))
