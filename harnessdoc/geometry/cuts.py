"""The bundle at its named stations: what lies there, packed, and how wide it is with its covering.

Takes a harness and its geometry; gives a Cut for every station that segments name under ``sections:``, in the order of the
file. A station at a splice holds the splice and what passes it. One beyond the end of its segment is no Cut, and a finding.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..findings import Finding, Severity
from ..model.harness import Harness, Segment
from .bundles import Sizes
from .packing import Packing, pack
from .passage import Packed, Section, sections_of

if TYPE_CHECKING:
    from .measure import Geometry

NEARLY_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Cut:
    """A station: ``name`` on ``segment``, ``at_mm`` from its ``from`` end, and the bundle there; wall_mm: of its covering, None not known."""

    segment: str
    name: str
    at_mm: float
    packed: Packed
    wall_mm: float | None

    @property
    def outside_mm(self) -> float | None:
        """Over the covering; None where its wall or a diameter of what lies in it is not known, or nothing does."""
        if self.wall_mm is None or self.packed.section.unknown or not self.packed.section.items:
            return None
        return self.packed.diameter_mm + 2 * self.wall_mm


def has_cuts(harness: Harness) -> bool:
    """Whether a station is named that lies on its segment."""
    return any(not _is_beyond(segment, at.mm) for segment in harness.segments.values() for at in segment.sections.values())


def cuts(harness: Harness, geometry: Geometry) -> tuple[Cut, ...]:
    """A Cut for each named station that lies on its segment."""
    return tuple(_cuts(harness, geometry))


def beyond_segments(harness: Harness) -> list[Finding]:
    """A finding for each station beyond the end of its segment."""
    return [
        Finding("section-beyond-segment", Severity.ADVICE, f"station {name} is {at.stated} from {segment.from_}, but segment {segment.id} is {segment.length_mm:g} mm long",
                segment.source["sections"].place_of(name), f"write a length up to {segment.length_mm:g} mm, or put it on the next segment",
                at=(f"segment {segment.id}",), value=f"{at.mm:g} mm", limit=f"{segment.length_mm:g} mm", origin="as stated")
        for segment in harness.segments.values() for name, at in segment.sections.items() if _is_beyond(segment, at.mm)
    ]


def _is_beyond(segment: Segment, at_mm: float) -> bool:
    return segment.length_mm is not None and at_mm > segment.length_mm + NEARLY_MM


def _cuts(harness: Harness, geometry: Geometry) -> Iterator[Cut]:
    sizes = Sizes(harness, geometry.diameters)
    for segment in harness.segments.values():
        # of a merge a segment of a source may have no bundle left
        if segment.sections and segment.id in geometry.bundles:
            every = tuple(sections_of(geometry.bundles[segment.id], geometry.stations, sizes))
            wall = segment.covering_wall.mm if segment.covering_wall else None
            for name, at in segment.sections.items():
                if not _is_beyond(segment, at.mm):
                    section = _section_at(every, at.mm)
                    packing = pack(section.diameters_mm) if section.items else Packing(0.0, ())
                    yield Cut(segment.id, name, at.mm, Packed(section, packing), wall)


def _section_at(every: Sequence[Section], at_mm: float) -> Section:
    """That of the splices which sit there, else of the stretch; a segment without a length has one stretch."""
    at_splices = (section for section in every if section.splices and section.from_mm is not None and abs(section.from_mm - at_mm) <= NEARLY_MM)
    stretches = (section for section in every if not section.splices
                 and (section.from_mm is None or section.to_mm is None or section.from_mm - NEARLY_MM <= at_mm <= section.to_mm + NEARLY_MM))
    return next(at_splices, None) or next(stretches)
