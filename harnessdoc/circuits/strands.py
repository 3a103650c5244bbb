"""The harness as strands between contacts: wires and the copper of bus bars, and what leads on inside things.

Takes a harness and its network; gives Strands. A strand is what is drawn as a conductor: a wire, or
the piece of a bus bar to one of its contacts (it has no length and no number). Mated halves and what is inside parts and
devices are no strands: a figure stands for them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from ..model.harness import Harness, Kind, Wire
from ..network.islands import Network
from ..network.ways import Way, find_ways


@dataclass(frozen=True, slots=True)
class Strand:
    """id: of a wire as it is, of a bar's piece ``bar ADDRESS``; a, b: addresses, of a wire its UNKNOWN or OPEN end ``wire ID end``; wire: None of a bar's piece."""

    id: str
    a: str
    b: str
    wire: Wire | None

    def beyond(self, address: str) -> str:
        """The other end."""
        return self.b if address == self.a else self.a


@dataclass(frozen=True, slots=True)
class Strands:
    """all: by id, wires first; at: address -> ids of strands there; mate: cavity of an in-line connector -> that of the other half;
    inside: address -> ways through the part or device it belongs to (no wires, no metal); copper: address -> all that copper joins it to;
    returns: the addresses whose copper holds a ground; of_owner: owner -> its addresses with strands."""

    harness: Harness
    all: Mapping[str, Strand]
    at: Mapping[str, tuple[str, ...]]
    mate: Mapping[str, str]
    inside: Mapping[str, tuple[Way, ...]]
    copper: Mapping[str, tuple[str, ...]]
    returns: frozenset[str]
    of_owner: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def owner(self, address: str) -> str:
        """What an address belongs to as a figure: of a cavity the device of its connector, else the connector; a loose end is its own."""
        contact = self.harness.contacts.get(address)
        if contact is None:
            return address
        connector = self.harness.connectors.get(contact.owner)
        return connector.device if connector is not None and connector.device else contact.owner

    def kind(self, address: str) -> Kind | None:
        contact = self.harness.contacts.get(address)
        return contact.kind if contact else None


def find_strands(harness: Harness, network: Network) -> Strands:
    """All strands of a harness."""
    contacts = harness.contacts
    found: dict[str, Strand] = {}
    for wire in harness.wires.values():
        a, b = ((end if end in contacts else f"wire {wire.id} end {letter}") for end, letter in ((wire.from_, "A"), (wire.to, "B")))
        found[wire.id] = Strand(wire.id, a, b, wire)
    mate: dict[str, str] = {}
    for joint in network.joints:
        if joint.kind == "bar":
            found[f"bar {joint.id} {joint.b}"] = Strand(f"bar {joint.id} {joint.b}", joint.a, joint.b, None)
        elif joint.kind == "mated":
            mate[joint.a], mate[joint.b] = joint.b, joint.a
    at: dict[str, list[str]] = {}
    for strand in found.values():
        at.setdefault(strand.a, []).append(strand.id)
        at.setdefault(strand.b, []).append(strand.id)
    inside: dict[str, list[Way]] = {}
    for ways in find_ways(harness, network).at.values():
        for way in ways:
            if way.kind not in ("wire", "metal"):
                for end in dict.fromkeys((way.a, way.b)):
                    if way not in inside.setdefault(end, []):
                        inside[end].append(way)
    for joint in network.joints:
        if joint.kind == "link":
            way = Way("switch", joint.id, joint.a, joint.b, "link")
            inside.setdefault(joint.a, []).append(way)
            inside.setdefault(joint.b, []).append(way)
    grounded = {network.island_of[address] for address in harness.grounds if address in network.island_of}
    returns = frozenset(address for number in sorted(grounded) for address in network.islands[number])
    copper = {address: network.islands[number] for address, number in network.island_of.items()}
    strands = Strands(harness, found, {address: tuple(ids) for address, ids in at.items()}, mate, {address: tuple(ways) for address, ways in inside.items()}, copper, returns)
    owned: dict[str, list[str]] = {}
    for address in strands.at:
        owned.setdefault(strands.owner(address), []).append(address)
    return replace(strands, of_owner={owner: tuple(addresses) for owner, addresses in owned.items()})
