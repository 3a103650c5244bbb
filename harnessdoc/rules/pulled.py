"""What still reaches a contact when one connector is pulled or one fuse is out.

Takes a Subject; gives, for every contact that a source reaches, the connectors, fuses and switches that lie on
each of its ways. A contact whose own connector is not among them stays live when that is pulled.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..model.harness import Contact, Harness
from ..network.islands import Network
from ..network.points import find_points

if TYPE_CHECKING:
    from .subject import Subject

_SWITCHED = ("switch", "relay", "diode")
_PARTS = ("fuse", "fusible link", *_SWITCHED)


@dataclass(frozen=True, slots=True)
class Needed:
    """Contact -> ids without which no source reaches it: connectors on the way, fuses, links, switches and relays.

    always: of what is live whatever is switched; sometimes: through contacts in any position too
    """

    always: Mapping[str, frozenset[str]]
    sometimes: Mapping[str, frozenset[str]]


def needed(subject: Subject) -> Needed:
    """What each live contact hangs on. An alternator is no source: it stands while somebody pulls connectors."""
    # Halves and plugs come apart: only bars are one point here.
    network = subject.network
    point_of = find_points(subject.harness, Network(network.islands, network.island_of, tuple(joint for joint in network.joints if joint.kind == "bar")))
    at: dict[str, list[tuple[str, frozenset[str], bool]]] = {}
    for a, b, through, one_way, is_switched in _edges(subject):
        a, b = point_of[a], point_of[b]
        at.setdefault(a, []).append((b, through, is_switched))
        if not one_way:
            at.setdefault(b, []).append((a, through, is_switched))
    always, sometimes = (_reach(subject, point_of, at, switches) for switches in (False, True))
    return Needed(*({address: found[point] for address, point in point_of.items() if point in found} for found in (always, sometimes)))


def _reach(subject: Subject, point_of: Mapping[str, str], at: Mapping[str, list[tuple[str, frozenset[str], bool]]], switches: bool) -> dict[str, frozenset[str]]:
    """Point -> what all ways to it have in common."""
    found: dict[str, frozenset[str]] = {}
    queue: deque[str] = deque()

    def reach(point: str, through: frozenset[str]) -> None:
        before = found.get(point)
        now = through if before is None else before & through
        if now != before:
            found[point] = now
            queue.append(point)

    for address in _sources(subject, switches):
        # What a device gives at its own plug is gone when that is pulled.
        owner = subject.harness.contacts[address].owner
        reach(point_of[address], frozenset((owner,)) if owner in subject.harness.connectors else frozenset())
    while queue:
        here = queue.popleft()
        for there, through, is_switched in at.get(here, ()):
            if switches or not is_switched:
                reach(there, found[here] | through if through else found[here])
    return found


def _sources(subject: Subject, switches: bool) -> Iterator[str]:
    harness = subject.harness
    for id in harness.supplies:
        device = harness.devices[id]
        if device.between and ("battery" in device.source or "test-supply" in device.source) and device.between[0] in harness.contacts:
            yield device.between[0]
    given = ("source-battery", "source-constant", "source-switched") if switches else ("source-battery", "source-constant")
    said = [(address, device, contact.signal) for address, contact in harness.contacts.items() if (device := _device(harness, contact))]
    # What a device takes from elsewhere and gives on is found by its wires, and may end at the connector that is pulled.
    fed = {device for _, device, signal in said if signal.startswith("feed-")} | {id for id, device in harness.devices.items() if device.closes}
    for address, device, signal in said:
        if signal == "source-battery" or (signal in given and device not in fed):
            yield address


def _device(harness: Harness, contact: Contact) -> str | None:
    """Of a connector without a device nothing says whether it gives the supply or takes it."""
    connector = harness.connectors.get(contact.owner)
    return connector.device if connector else contact.owner if contact.owner in harness.devices else None


def _edges(subject: Subject) -> Iterator[tuple[str, str, frozenset[str], bool, bool]]:
    """(address, address, what is needed between, whether only that way round, whether a switch may open it)."""
    harness, ways = subject.harness, subject.ways
    contacts = harness.contacts
    nothing: frozenset[str] = frozenset()
    for wire in harness.wires.values():
        if wire.from_ in contacts and wire.to in contacts:
            yield wire.from_, wire.to, nothing, False, False
    for point, leading in ways.at.items():
        for way in leading:
            if way.kind in _PARTS and ways.point(way.a) == point:   # every way stands at both its ends
                yield way.a, way.b, frozenset((way.thing, contacts[way.a].owner, contacts[way.b].owner)), way.kind == "diode", way.kind in _SWITCHED
    for joint in subject.network.joints:
        if joint.kind != "bar":
            yield joint.a, joint.b, frozenset((contacts[joint.a].owner, contacts[joint.b].owner)), False, False
