"""What the wires of a contact lead to, for a pinout.

Takes a harness and an address; gives the far ends, found through splices only. A
mated half, a bar or a link inside a device is a far end itself; what lies behind
it in the same copper is told by ``beyond``.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..model.harness import OPEN, UNKNOWN, Harness, Kind
from .islands import Network, other_end


@dataclass(frozen=True, slots=True)
class FarEnd:
    """One far end: its address, UNKNOWN or OPEN; the wires and splices on the way to it, in order."""

    address: str
    wires: tuple[str, ...]
    splices: tuple[str, ...]


def far_ends(harness: Harness, address: str) -> tuple[FarEnd, ...]:
    """The far ends of ``address``, depth first in the order of the wires in the file.

    Each address comes once, by the first way found; every unknown or open end
    comes on its own. A loop of splices is walked once.
    """
    found: list[FarEnd] = []
    seen: set[str] = set()
    walks: list[tuple[str, tuple[str, ...], tuple[str, ...]]] = [(address, (), ())]
    while walks:
        here, wires, splices = walks.pop()
        if here in (UNKNOWN, OPEN):
            found.append(FarEnd(here, wires, splices))
            continue
        if here in seen:
            continue
        seen.add(here)
        if here != address:
            if not _is_splice(harness, here):
                found.append(FarEnd(here, wires, splices))
                continue
            splices = (*splices, here)
        came_by = wires[-1] if wires else None
        for wire in reversed(harness.wires_at.get(here, ())):
            if wire != came_by:
                walks.append((other_end(harness.wires[wire], here), (*wires, wire), splices))
    return tuple(found)


def beyond(harness: Harness, network: Network, address: str) -> tuple[str, ...]:
    """The contacts of the island of ``address`` that are neither it, a splice, nor one of its far ends."""
    near = {address, *(end.address for end in far_ends(harness, address))}
    island = network.islands[network.island_of[address]]
    return tuple(other for other in island if other not in near and not _is_splice(harness, other))


def _is_splice(harness: Harness, address: str) -> bool:
    contact = harness.contacts.get(address)
    return contact is not None and contact.kind is Kind.SPLICE
