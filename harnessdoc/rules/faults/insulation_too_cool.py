"""Insulation that does not stand the zone it runs through.

What it checks: the temperature class of every wire's insulation against the temperature of each zone on its way; that of a
zone of which none is stated is a usual one. A class that only equals what is stated for a zone is advice: nothing is left
for the heat of the current.

Why it matters: soft insulation flows away under a clip until metal meets copper; hard and brittle insulation cracks. Both
come after a season, when nobody thinks of the wire any more.

Example that fails:

    zones: {hot: 120 C}
    places:
      P1: {title: gearbox}
      P2: {title: exhaust}
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: glass braid, zone: hot}
    connectors:
      X1: {face: [[1]], view: mating face, place: P1}
      X2: {face: [[1]], view: mating face, place: P2}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: BU, type: PVC 85 C}  # here

What it says:

    wire 1 with PVC 85 C runs through the hot zone, 120 C (segment T1)

The fix: Wire of a class above the temperature of the zone, or another way. A heat sleeve helps where the heat is
radiated, not where the air is hot: then state the temperature in the sleeve as that of a zone.

Example that passes:

    zones: {hot: 120 C}
    places:
      P1: {title: gearbox}
      P2: {title: exhaust}
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: glass braid, zone: hot}
    connectors:
      X1: {face: [[1]], view: mating face, place: P1}
      X2: {face: [[1]], view: mating face, place: P2}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: BU, type: XLPE 125 C}

Limits and source: the class is as stated, or that of the wire type by its maker's sheet; the temperature of a zone is as
stated, else a design choice (engine and flexing 85 C, hot 125 C). The classes proposed are those of ISO 6722, from memory. What the
wire's own current adds is in the table of wires, not here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...trade.insulation_classes import type_above
from ..lack import Lack

if TYPE_CHECKING:
    from ...model.given import Given
    from ...model.harness import Wire
    from ..subject import Subject

CODE = "insulation-too-cool"
SEVERITY = Severity.DAMAGE
ASKS = "route"
MODES = (56,)
_MOST_NAMED = 8
_WARM = ("engine", "flexing", "hot")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    named = dict.fromkeys(filter(None, (*(s.zone for s in harness.segments.values()), *(p.zone for p in harness.points.values()))))
    if not named:
        return
    from ...model.given import ambient_c    # a file without a zone starts without the typical values

    zones = {zone: ambient_c(harness, zone) for zone in named}
    hottest = max((ambient.value for ambient in zones.values()), default=0.0)
    found: dict[tuple[str, str], dict[str, list[str]]] = {}     # zone, type -> where -> wires
    for wire in harness.wires.values():
        if wire.type is None:
            continue
        stands_c = wire.type.temperature_c
        if stands_c is None:
            if any(zone in _WARM for _, zone in _way(subject, wire)):
                yield Lack(CODE, f"wire {wire.id}", "the class of its insulation, as in `type: PVC 85 C`")
        elif stands_c <= hottest:
            for where, zone in _way(subject, wire):
                if _is_too_warm(zones[zone], stands_c):
                    found.setdefault((zone, str(wire.type)), {}).setdefault(where, []).append(wire.id)
    # Where a wire is too cool for one zone it need not be told that another only equals its class.
    hot = {wire for (zone, kind), places in found.items() for wires in places.values() for wire in wires if zones[zone].value > (harness.wires[wire].type.temperature_c or 0.0)}    # type: ignore[union-attr]
    for (zone, kind), places in found.items():
        if all(wire in hot and zones[zone].value == harness.wires[wire].type.temperature_c for wires in places.values() for wire in wires):     # type: ignore[union-attr]
            continue
        yield _finding(subject, zone, zones[zone], kind, places)


def _way(subject: Subject, wire: Wire) -> Iterator[tuple[str, str]]:
    """(``segment T1`` or ``place P1``, zone) of what a wire passes; of one without a way the places of its ends."""
    harness = subject.harness
    route = subject.geometry.lengths[wire.id].route
    if route is not None and route.steps:
        for segment in dict.fromkeys(step.segment for step in route.steps):
            if zone := harness.segments[segment].zone:
                yield f"segment {segment}", zone
        return
    for contact in filter(None, (harness.contacts.get(wire.from_), harness.contacts.get(wire.to))):
        point = harness.points.get(harness.place_of.get(contact.owner, ""))
        if point is not None and point.zone:
            yield f"place {point.id}", point.zone


def _is_too_warm(ambient: Given, stands_c: float) -> bool:
    # A usual temperature that only equals a class says nothing: the usual zones and the usual wires go together.
    return ambient.value > stands_c or (ambient.value == stands_c and not ambient.typical)


def _finding(subject: Subject, zone: str, ambient: Given, kind: str, places: dict[str, list[str]]) -> Finding:
    from ...operation.words import listed

    harness = subject.harness
    wires = list(dict.fromkeys(wire for inside in places.values() for wire in inside))
    first = harness.wires[wires[0]]
    stands_c = first.type.temperature_c if first.type else None
    assert stands_c is not None
    is_equal = ambient.value == stands_c
    usual = ", as is usual" if ambient.typical else ""
    better = type_above(ambient.value)
    instead = f"draw {'it' if len(wires) == 1 else 'them'} in a wire of a class above {ambient.value:g} C{f', such as {better}' if better else ''}, or lead {'it' if len(wires) == 1 else 'them'} another way"
    margin = ": nothing is left for the heat of the current" if is_equal else ""
    return Finding(
        CODE, Severity.ADVICE if is_equal else SEVERITY,
        f"wire{'' if len(wires) == 1 else 's'} {listed(_few(wires))} with {kind} {'runs' if len(wires) == 1 else 'run'} through the {zone} zone, {ambient.value:g} C{usual} "
        f"({listed(_few(list(places)))}){margin}",
        first.source.place_of("type"), instead, at=(*(f"wire {wire}" for wire in wires), *places),
        value=f"{ambient.value:g} C", limit=f"{stands_c:g} C", origin="as stated" if not ambient.typical else ambient.origin)


def _few(names: list[str]) -> list[str]:
    return names if len(names) <= _MOST_NAMED else [*names[:_MOST_NAMED - 1], f"{len(names) - _MOST_NAMED + 1} more"]
