"""An empty cavity of a sealed connector, where it gets wet, without a plug.

What it checks: connectors that have seals, in zone engine, wet, hot or flexing: each cavity without a wire has a plug.

Why it matters: one open cavity lets water in to all the others. The connector was sealed for nothing.

Example that fails:

    segments:
      T1: {from: head, to: P1, length: 300 mm, covering: tape, zone: engine}
    connectors:
      X1: {place: head, face: [[1..3]], view: mating face, seal: seal 1.4 to 2.4 mm}  # here
      X2: {place: P1, face: [[1..2]], view: mating face, seal: seal 1.4 to 2.4 mm}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: X1.2, to: X2.2, size: 1 mm2, colour: GN, type: TXL}

What it says:

    X1 is sealed and sits in zone engine, but cavity 3 is empty and has no plug

The fix: A cavity plug in each, and `plug:` at the connector.

Example that passes:

    segments:
      T1: {from: head, to: P1, length: 300 mm, covering: tape, zone: engine}
    connectors:
      X1: {place: head, face: [[1..3]], view: mating face, seal: seal 1.4 to 2.4 mm, plug: cavity plug}
      X2: {place: P1, face: [[1..2]], view: mating face, seal: seal 1.4 to 2.4 mm}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: X1.2, to: X2.2, size: 1 mm2, colour: GN, type: TXL}

Limits and source: common practice. The zone is that of the place, else of the segments that end there. A connector without a
face has no empty cavities that are known; a socket closed by its own skin behind the seal counts as empty: write `plug: none needed`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...network.cavity_order import ranges
from ..lack import Lack

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "cavity-without-plug"
SEVERITY = Severity.DAMAGE
ASKS = "route"
MODES = (46,)
_WET = ("engine", "wet", "hot", "flexing")
_NO_SEAL = ("", "none", "unknown")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    ending: dict[str, list[str]] = {}
    for segment in harness.segments.values():
        for end in (segment.from_, segment.to):
            ending.setdefault(end, []).append(segment.zone or "")
    for connector in harness.connectors.values():
        contacts = [harness.contacts[f"{connector.id}.{name}"] for name in connector.cavities]
        if all(contact.fits[1] in _NO_SEAL for contact in contacts):
            continue
        empty = [contact for contact in contacts if contact.address not in harness.wires_at and not contact.plug]
        if not empty:
            continue
        place = harness.place_of.get(connector.id, "")
        point = harness.points.get(place)
        zones = [point.zone] if point and point.zone else [zone for zone in ending.get(place, ()) if zone]
        if not zones:
            yield Lack(CODE, connector.id, "`zone:` to its place")
            continue
        wet = next((zone for zone in zones if zone in _WET), None)
        if wet is None:
            continue
        plug = next((contact.fits[2] for contact in contacts if contact.fits[2]), "cavity plug")
        several = len(empty) > 1
        yield Finding(
            CODE, SEVERITY,
            f"{connector.id} is sealed and sits in zone {wet}, but {'cavities' if several else 'cavity'} {ranges(contact.name for contact in empty)} "
            f"{'are empty and have no plug' if several else 'is empty and has no plug'}",
            connector.source.place(), f"put a plug into each, and write `plug: {plug}` at {connector.id}",
            at=(connector.id, *(contact.address for contact in empty)))
