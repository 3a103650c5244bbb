"""What is said about a splice: where it sits, its copper, the sleeve and the heat-shrink.

Takes a harness, its geometry and the id of a splice; gives words for the splice
sheets. None stands for what is not known: the sheet prints an empty box for it.
"""

from __future__ import annotations

from collections.abc import Iterable

from ..description.units import Length, print_length, print_length_both
from ..geometry.measure import Geometry
from ..geometry.stations import StationOf
from ..model.harness import Harness, Splice, Wire
from ..trade.sleeves import shrink_for, sleeve_for
from ..trade.tables import said

TITLE_MOST = 40
"""A point's title of more characters is left to the table of points, so that the place stays short enough to be read."""
SAME_MM = 0.05
"""A stated and a computed distance that differ by less are one."""
CRIMPED = ("crimp", "butt")
"""A method with one of these words takes a sleeve, and so may one that is not stated; any other is named instead."""


def place_words(harness: Harness, geometry: Geometry, splice: Splice, units: str) -> str | None:
    """``120 mm from P3 (left wing) toward P4``, ``at P3 (left wing)``, or None where the place is not known."""
    station = geometry.stations.get(splice.id)
    if station is not None and station.toward_point is not None:
        return f"{distance_words(splice, station, units)} from {_point(harness, station.from_point)} toward {_point(harness, station.toward_point)}"
    if splice.at is not None:
        return f"{print_length_both(splice.at.length, units)} from {_point(harness, splice.at.origin)} toward {_point(harness, splice.at.toward)}"
    return f"at {_point(harness, splice.place)}" if splice.place else None


def distance_words(splice: Splice, station: StationOf, units: str) -> str:
    """``120 mm``; a distance that was stated stands as stated, in the reader's unit with the stated one beside."""
    stated = splice.at
    if stated and stated.origin == station.from_point and abs(stated.length.mm - station.distance_mm) < SAME_MM:
        return print_length_both(stated.length, units)
    return print_length(Length(station.distance_mm), units)


def _point(harness: Harness, name: str) -> str:
    """A point with its title, ``P4 (left inner wing)``, where it has one that says more than its id."""
    title = harness.points[name].title if name in harness.points else ""
    return f"{name} ({title})" if title.casefold() not in ("", name.casefold()) and len(title) <= TITLE_MOST else name


def copper_words(wires: Iterable[Wire], more: bool = False) -> str:
    """``4.5 mm²`` for wires together; ``at least 2.5 mm², 1 of unknown size``; ``no wire``. ``more``: there are others, not found yet."""
    sizes = [wire.size for wire in wires]
    known = [size.area_mm2 for size in sizes if size is not None]
    unknown = len(sizes) - len(known)
    words = [f"{'at least ' if unknown or more else ''}{round(sum(known), 2):g} mm²"] if known else []
    words += [f"{unknown} of unknown size"] if unknown else []
    return ", ".join(words) or "no wire"


def sleeve_words(splice: Splice, station: StationOf | None) -> str | None:
    """The crimp sleeve: the stated one, or that whose range holds the copper on both sides together."""
    if splice.sleeve:
        return f"{splice.sleeve} (as stated)"
    if splice.method and not any(word in splice.method.lower() for word in CRIMPED):
        return f"none: {splice.method}"
    if station is None or not station.total_area_mm2:
        return None
    sleeve = sleeve_for(station.total_area_mm2)
    return f"{sleeve.name} ({said(sleeve.origin, sleeve.mark)})" if sleeve else "none in the table: split or solder"


def shrink_words(splice: Splice, station: StationOf | None) -> str | None:
    """The heat-shrink: the stated one, or the first that passes the thickest side and grips the thinnest."""
    if splice.shrink:
        return f"{splice.shrink} (as stated)"
    if station is None or station.largest_mm is None or station.smallest_mm is None:
        return None
    tube = shrink_for(station.largest_mm, station.smallest_mm)
    if tube is None:
        return f"none in the table passes {station.largest_mm:.1f} mm and grips {station.smallest_mm:.1f} mm: split the splice, or use tape and sleeving"
    return f"{tube.name}, over {station.largest_mm:.1f} mm ({said(tube.origin, tube.mark)})"
