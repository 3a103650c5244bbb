"""What each wire is in the circuit: its resistance, warm, with its terminals.

Takes a harness and its geometry; gives a Conductor a wire. A wire is as warm as the
zone each piece of it runs in (no load: what its own current adds is not fed back). A
terminal, eyelet or splice at an end counts with the wire: its whole current flows through.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

from ..geometry.measure import Geometry
from ..model.given import ambient_c
from ..model.harness import Contact, Harness, Kind, Wire
from ..trade.conductors import resistance_at, resistance_mohm_m
from ..trade.sizes import Size
from ..trade.tables import factors

LEAST_OHM = 1e-5
BOLTED = ("midi", "mega", "ANL", "MRBF")
"""Types of fuse whose wires end in eyelets: common practice."""
_END = {Kind.CAVITY: "contact-terminal", Kind.SOCKET: "contact-terminal", Kind.STUD: "contact-eyelet", Kind.BAR: "contact-eyelet",
        Kind.GROUND: "contact-eyelet", Kind.SPLICE: "contact-splice"}
_IN_A_BOX_MM = 100.0
"""Stands for the length of a link between two contacts of one box."""


@dataclass(frozen=True, slots=True)
class Conductor:
    """A wire as a resistor.

    size, length_mm: None where not known; then a stand-in gives the resistance, and nobody judges the wire
    warmest_c:  the hottest zone on its way; mean_c: by length, for the resistance; zone: the hottest one, None where no zone is known
    copper_ohm: of the conductor at mean_c; ends_ohm: of its terminals; ohm: both
    cold_ohm_m: of a metre at 20 C
    """

    wire: str
    size: Size | None
    length_mm: float | None
    zone: str | None
    warmest_c: float
    mean_c: float
    cold_ohm_m: float
    copper_ohm: float
    ends_ohm: float

    @property
    def ohm(self) -> float:
        return max(self.copper_ohm + self.ends_ohm, LEAST_OHM)

    def ohm_at(self, temperature_c: float) -> float:
        """With its copper at another temperature."""
        return max(resistance_at(self.copper_ohm, temperature_c) / resistance_at(1.0, self.mean_c) + self.ends_ohm, LEAST_OHM)


def conductors(harness: Harness, geometry: Geometry) -> dict[str, Conductor]:
    """Wire -> its conductor, for every wire with two known ends."""
    contacts = harness.contacts
    ambient: dict[str | None, float] = {}
    ends = {kind: factors()[name].value for kind, name in _END.items()}
    found = {}
    for id, wire in harness.wires.items():
        a, b = contacts.get(wire.from_), contacts.get(wire.to)
        if a is None or b is None:
            continue
        length_mm = _length_mm(geometry, id)
        per_m = _cold_ohm_m(wire)
        zones = list(_zones(harness, geometry, wire))
        for zone, _ in zones:
            if zone not in ambient:
                ambient[zone] = ambient_c(harness, zone).value
        way_mm = fsum(mm for _, mm in zones)
        mean_c = fsum(ambient[zone] * mm for zone, mm in zones) / way_mm if way_mm else max(ambient[zone] for zone, _ in zones)
        hottest = max(zones, key=lambda one: ambient[one[0]])[0]
        long_mm = factors()["length-not-known"].value if length_mm is None else length_mm
        copper = resistance_at(per_m * long_mm / 1000, mean_c)
        found[id] = Conductor(id, wire.size, length_mm, hottest, ambient[hottest], mean_c, per_m, copper, ends[_kind(harness, a)] + ends[_kind(harness, b)])
    return found


def _kind(harness: Harness, contact: Contact) -> Kind:
    """How a wire ends there: at a bolted fuse or a link with an eyelet, as at a stud."""
    part = harness.parts.get(contact.owner)
    return Kind.STUD if part is not None and (part.kind == "fusible link" or part.type in BOLTED) else contact.kind


def _length_mm(geometry: Geometry, wire: str) -> float | None:
    length = geometry.lengths[wire]
    return _IN_A_BOX_MM if length.zero and length.finished_mm is None else length.finished_mm


def _cold_ohm_m(wire: Wire) -> float:
    if wire.size is None:
        return factors()["copper-resistivity"].value / factors()["size-not-known"].value / 1000
    return resistance_mohm_m(wire.size).value / 1000


def _zones(harness: Harness, geometry: Geometry, wire: Wire) -> Iterator[tuple[str | None, float]]:
    """(zone, mm) of each piece of its way; without one the zones of the places at its ends."""
    route = geometry.lengths[wire.id].route
    if route is not None and route.steps:
        for step in route.steps:
            yield harness.segments[step.segment].zone, step.length_mm or 0.0
        return
    for address in (wire.from_, wire.to):
        place = harness.place_of.get(harness.contacts[address].owner, "")
        point = harness.points.get(place)
        # A place of which no zone is said is as warm as what ends there.
        ending = (segment.zone for segment in harness.segments.values() if place in (segment.from_, segment.to)) if point and point.zone is None else ()
        for zone in (point.zone if point else None, *ending):
            yield zone, 0.0
