"""What passes through each grommet, and whether it goes through.

Takes a harness and its geometry; gives a Passage for every segment with a grommet that anything passes:
what lies in it at each place where something else may be in it (between splices, and where splices sit),
how thick that is by the estimate of ``bundles`` and by packing, and the room left in the bore; and a
finding for each grommet that is too small.

Where on its segment a grommet sits is not stated, so the thickest place counts. The verdict takes the larger
of two diameters: the estimate, as a bundle is laid by hand, and the packing, which is the least there is
(of three to five wires the estimate is below it). The covering is not reckoned: it often ends at the grommet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import TYPE_CHECKING

from ..findings import Finding, Severity
from ..model.harness import Harness, Segment
from .bundles import Bundle, Sizes, bundle_diameter_mm, splice_diameter_mm
from .packing import Packing, lay, pack
from .stations import StationOf

if TYPE_CHECKING:
    from .measure import Geometry

EQUAL_MM = 0.01
"""A bundle that is thicker than the bore by less than this is as thick: nobody measures closer."""
SURE = sqrt(2)
"""Circles that fill at most half of a circle find room in it: Fekete, Keldenich, Scheffer, Packing Disks into Disks with
Optimal Worst-Case Density (SoCG 2019), read in its abstract. The root of the sum of squared diameters times this is thus enough."""


@dataclass(frozen=True, slots=True)
class Item:
    """What lies in a section: kind "wire", "cable" or "splice"; diameter_mm over insulation, jacket or heat-shrink, None unknown."""

    kind: str
    id: str
    diameter_mm: float | None


@dataclass(frozen=True, slots=True)
class Section:
    """The bundle cut across at one place of a segment.

    from_mm, to_mm: where, from its ``from`` end, equal at splices; None without a length
    items:       what lies there and has a diameter, in the order of ``packing.centres``; a wire that passes there and back stands twice
    unknown:     what lies there and has none
    splices:     those among them
    estimate_mm: of the items, None where there are none
    """

    from_mm: float | None
    to_mm: float | None
    items: tuple[Item, ...]
    unknown: tuple[Item, ...]
    splices: tuple[str, ...]
    estimate_mm: float | None

    @property
    def diameters_mm(self) -> list[float]:
        return [item.diameter_mm for item in self.items if item.diameter_mm is not None]


@dataclass(frozen=True, slots=True)
class Packed:
    """A section with its items packed; diameter_mm: the larger of packing and estimate, 0 for none known."""

    section: Section
    packing: Packing

    @property
    def diameter_mm(self) -> float:
        return max(self.section.estimate_mm or 0.0, self.packing.diameter)


@dataclass(frozen=True, slots=True)
class Passage:
    """A grommet and what passes it; sections: the fullest between splices, then one for each place of splices.

    widest: that which counts. unknown: everything in the segment that has no diameter
    """

    segment: str
    bore_mm: float
    sections: tuple[Packed, ...]
    widest: Packed
    unknown: tuple[Item, ...]

    @property
    def room_mm(self) -> float:
        """What is left of the bore, as a diameter; below 0 where the bundle is too thick."""
        return self.room_beside(self.widest)

    @property
    def free_share(self) -> float:
        """What is left of the area of the bore beside the bundle; below 0 where it is too thick."""
        return self.free_beside(self.widest)

    @property
    def passes(self) -> bool | None:
        """Whether it goes through; None where it would, but something has no known diameter."""
        return None if self.unknown and self.lets_through(self.widest) else self.lets_through(self.widest)

    def room_beside(self, packed: Packed) -> float:
        """``room_mm`` at one of the sections."""
        return self.bore_mm - packed.diameter_mm

    def free_beside(self, packed: Packed) -> float:
        """``free_share`` at one of the sections."""
        return 1 - (packed.diameter_mm / self.bore_mm) ** 2

    def lets_through(self, packed: Packed) -> bool | None:
        """``passes`` for one of the sections."""
        if _is_over(packed.diameter_mm, self.bore_mm):
            return False
        return None if packed.section.unknown else True


def passages(harness: Harness, geometry: Geometry) -> tuple[Passage, ...]:
    """A Passage for each segment with a grommet through which a wire passes, in the order of the file."""
    sizes = Sizes(harness, geometry.diameters)
    return tuple(_passage(segment, bore, tuple(sections_of(geometry.bundles[segment.id], geometry.stations, sizes)))
                 for segment, bore in _grommets(harness) if geometry.bundles[segment.id].wires)


def over_grommets(harness: Harness, bundles: Mapping[str, Bundle], stations: Mapping[str, StationOf], diameters: Mapping[str, float | None]) -> list[Finding]:
    """A finding for each grommet that is too small; packs only where the estimate alone does not say it."""
    sizes = Sizes(harness, diameters)
    found = []
    for segment, bore in _grommets(harness):
        sections = tuple(sections_of(bundles[segment.id], stations, sizes))
        if any(_is_wider(section, bore) for section in sections):
            found.append(_finding(segment, _passage(segment, bore, sections)))
    return found


def has_passages(harness: Harness, geometry: Geometry) -> bool:
    """Whether ``passages`` gives any; packs nothing."""
    return any(geometry.bundles[segment.id].wires for segment, _ in _grommets(harness))


def _grommets(harness: Harness) -> Iterator[tuple[Segment, float]]:
    return ((segment, segment.grommet_mm) for segment in harness.segments.values() if segment.grommet_mm is not None)


def _passage(segment: Segment, bore_mm: float, sections: Sequence[Section]) -> Passage:
    plain = [section for section in sections if not section.splices]
    fullest = max(plain, key=_least_mm)
    packed = tuple(Packed(section, pack(section.diameters_mm)) for section in (fullest, *(section for section in sections if section.splices)))
    widest = max(packed, key=lambda one: one.diameter_mm)
    unknown = tuple(dict.fromkeys(item for section in sections for item in section.unknown))
    return Passage(segment.id, bore_mm, packed, widest, unknown)


def sections_of(bundle: Bundle, stations: Mapping[str, StationOf], sizes: Sizes) -> Iterator[Section]:
    """Every place of a segment at which something else lies in it: its stretches, then where splices sit."""
    for stretch in bundle.stretches:
        yield _section(stretch.from_mm, stretch.to_mm, sizes.named(stretch.wires), ())
    for bulge in bundle.at_splices:
        splices = [("splice", splice, splice_diameter_mm(stations[splice])) for splice in bulge.splices]
        yield _section(bulge.offset_mm, bulge.offset_mm, [*sizes.named(bulge.passing), *splices], bulge.splices)


def _section(from_mm: float | None, to_mm: float | None, named: Sequence[tuple[str, str, float | None]], splices: tuple[str, ...]) -> Section:
    every = [Item(*one) for one in named]
    items, unknown = tuple(item for item in every if item.diameter_mm is not None), tuple(dict.fromkeys(item for item in every if item.diameter_mm is None))
    section = Section(from_mm, to_mm, items, unknown, splices, None)
    return replace(section, estimate_mm=bundle_diameter_mm(section.diameters_mm)) if items else section


def _least_mm(section: Section) -> float:
    """The larger of estimate and quick packing."""
    return max(section.estimate_mm or 0.0, lay(section.diameters_mm).diameter)


def _is_wider(section: Section, bore_mm: float) -> bool:
    """True where the larger of estimate and packing is more than the bore; from what is cheap to what takes longer."""
    known = section.diameters_mm
    if SURE * hypot(*known) <= bore_mm:
        return False
    if _is_over(section.estimate_mm or 0.0, bore_mm):
        return True
    return _is_over(lay(known).diameter, bore_mm) and _is_over(pack(known).diameter, bore_mm)


def _is_over(diameter_mm: float, bore_mm: float) -> bool:
    return diameter_mm > bore_mm + EQUAL_MM


def _finding(segment: Segment, passage: Passage) -> Finding:
    bore = passage.bore_mm
    # The lump of a splice is told only where the bundle beside it would go through.
    told = passage.sections[0] if _is_over(passage.sections[0].diameter_mm, bore) else passage.widest
    splices = told.section.splices
    thick, decimals = told.diameter_mm, 1 if told.diameter_mm - bore >= 0.05 else 2
    words = f"{thick:.{decimals}f} mm thick" + (f" at splice {', '.join(splices)}" if splices else "")
    return Finding("bundle-over-grommet", Severity.MALFUNCTION,
                   f"the bundle in segment {segment.id} is {words}, but the bore of its grommet is {bore:g} mm: {thick - bore:.{decimals}f} mm too little; "
                   f"the tightest packing found takes {told.packing.diameter:.1f} mm",
                   segment.source.place_of("grommet"), "take a larger grommet, or move wires or the splice to another segment",
                   at=(f"segment {segment.id}", *splices), value=f"{passage.widest.diameter_mm:.1f} mm", limit=f"{bore:g} mm", origin="as stated")
