"""The geometry of a harness in one go.

Takes a harness; gives places, routes, lengths, bundles and splice stations, and
every finding on the way, in the order in which the steps made them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..findings import Finding
from ..model.harness import Harness
from .bundles import Bundle, bundle_diameter_mm, compute_bundles, wire_diameters
from .cuts import beyond_segments
from .lengths import CableLength, WireLength, compute_lengths
from .passage import over_grommets
from .places import find_places
from .routes import route_wires
from .stations import StationOf, find_stations


@dataclass(frozen=True, slots=True)
class Geometry:
    """lengths, diameters by wire; cables by cable; bundles by segment; stations by splice."""

    lengths: Mapping[str, WireLength]
    cables: Mapping[str, CableLength]
    bundles: Mapping[str, Bundle]
    stations: Mapping[str, StationOf]
    diameters: Mapping[str, float | None]
    findings: tuple[Finding, ...]


def measure(harness: Harness) -> Geometry:
    """All of the geometry of ``harness``."""
    places, of_places = find_places(harness)
    routes, of_routes = route_wires(harness, places)
    diameters = wire_diameters(harness)
    lengths, cables, of_lengths = compute_lengths(harness, routes, diameters)

    def side_mm(wires: Sequence[str]) -> float | None:
        single = [diameters[wire] for wire in wires]
        return None if None in single else bundle_diameter_mm(single)

    stations = find_stations(harness, places, routes, side_mm)
    bundles = compute_bundles(harness, places, routes, diameters, stations)
    of_grommets = over_grommets(harness, bundles, stations, diameters)
    return Geometry(lengths, cables, bundles, stations, diameters, (*of_places, *of_routes, *of_lengths, *of_grommets, *beyond_segments(harness)))
