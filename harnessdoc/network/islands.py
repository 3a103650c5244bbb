"""Copper islands: the contacts that are one piece of copper.

Takes a harness; gives a Network. Wires with both ends known, splices, bars of
boxes, mated halves of in-line connectors (cavity n meets cavity n) and links
inside devices join contacts. Fuses, relays, diodes, resistors and switches do
not: an island ends at their terminals.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..model.harness import Harness, Wire


@dataclass(frozen=True, slots=True)
class Joint:
    """Copper between two contacts that is no wire.

    kind: "bar", "mated" or "link"
    id:   the address of the bar; the two connectors; the device
    """

    kind: str
    id: str
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class Network:
    """Every contact of the harness stands in exactly one island.

    islands:   addresses in the order of the description; islands by their first address
    island_of: address -> position in ``islands``
    joints:    copper that is no wire
    """

    islands: tuple[tuple[str, ...], ...]
    island_of: Mapping[str, int]
    joints: tuple[Joint, ...]


def connect(harness: Harness, unplugged: bool = False) -> Network:
    """The copper islands of ``harness``.

    unplugged: in-line halves apart and devices off, as on the bench: mated halves
    and links inside devices do not count.
    """
    joints = tuple(_joints(harness, unplugged))
    number = {address: position for position, address in enumerate(harness.contacts)}
    parents = list(range(len(number)))
    for a, b in _joined(harness, number, joints):
        while parents[a] != a:
            parents[a] = parents[parents[a]]
            a = parents[a]
        while parents[b] != b:
            parents[b] = parents[parents[b]]
            b = parents[b]
        # The smaller number stays on top: an island is known by its first address.
        if a < b:
            parents[b] = a
        else:
            parents[a] = b
    members: list[list[str]] = []
    island_of: dict[str, int] = {}
    islands: list[int] = [0] * len(parents)
    for address, position in number.items():
        if parents[position] == position:
            islands[position] = len(members)
            members.append([address])
        else:
            # A parent's number is smaller than its child's: its island is known already.
            islands[position] = islands[parents[position]]
            members[islands[position]].append(address)
        island_of[address] = islands[position]
    return Network(tuple(map(tuple, members)), island_of, joints)


def other_end(wire: Wire, address: str) -> str:
    """The end of ``wire`` that is not ``address``: an address, UNKNOWN or OPEN."""
    return wire.to if wire.from_ == address else wire.from_


def _joined(harness: Harness, number: Mapping[str, int], joints: tuple[Joint, ...]) -> Iterator[tuple[int, int]]:
    for wire in harness.wires.values():
        a, b = number.get(wire.from_), number.get(wire.to)
        if a is not None and b is not None:
            yield a, b
    for joint in joints:
        yield number[joint.a], number[joint.b]


def _joints(harness: Harness, unplugged: bool) -> Iterator[Joint]:
    """Bars, mated halves and links, where both contacts exist."""
    contacts = harness.contacts
    for box in harness.boxes.values():
        for bar in box.bars:
            for address in bar.joins:
                if bar.address in contacts and address in contacts:
                    yield Joint("bar", bar.address, bar.address, address)
    if unplugged:
        return
    mates = {connector.id: connector.mates for connector in harness.connectors.values() if connector.mates}
    # Contacts, not faces, are asked for the cavities: a connector may have no face.
    for contact in tuple(contacts.values()) if mates else ():
        other = mates.get(contact.owner)
        if other is not None and f"{other}.{contact.name}" in contacts and (mates.get(other) != contact.owner or contact.owner < other):
            yield Joint("mated", f"{contact.owner} and {other}", contact.address, f"{other}.{contact.name}")
    for device in harness.devices.values():
        for a, b in device.links:
            if a in contacts and b in contacts:
                yield Joint("link", device.id, a, b)
