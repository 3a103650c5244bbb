"""Which thing of the old version is which of the new.

A Pairing is made by ``revision/match.py``; everything later asks it, never the ids.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..model.harness import OPEN, UNKNOWN, Harness
from .changes import Thing

OWNERS = (Thing.CONNECTOR, Thing.DEVICE, Thing.BOX, Thing.PART, Thing.SPLICE, Thing.GROUND)
"""What begins an address; an id belongs to one of them only."""


def things_of(harness: Harness) -> Mapping[Thing, Mapping[str, Any]]:
    """Thing -> id -> model object, of all that has an id (contacts and the harness itself have none to match by)."""
    return {
        Thing.CONNECTOR: harness.connectors, Thing.DEVICE: harness.devices, Thing.BOX: harness.boxes, Thing.PART: harness.parts,
        Thing.SPLICE: harness.splices, Thing.GROUND: harness.grounds, Thing.WIRE: harness.wires, Thing.CABLE: harness.cables,
        Thing.PAIR: harness.pairs, Thing.CIRCUIT: harness.circuits, Thing.SEGMENT: harness.segments, Thing.POINT: harness.points,
    }


@dataclass(frozen=True, slots=True)
class Pairing:
    """Old id -> new id by thing, the way back, and why where the ids differ.

    now_of, before_of: thing -> id -> id; what is only in one version is not in them
    why: (thing, old id) -> by what it was known again, for what has another id now
    owner_now, owner_before: the same for everything that begins an address (connector, device,
        box, part, splice, ground)
    """

    now_of: Mapping[Thing, Mapping[str, str]]
    before_of: Mapping[Thing, Mapping[str, str]]
    why: Mapping[tuple[Thing, str], str]
    owner_now: Mapping[str, str]
    owner_before: Mapping[str, str]

    def now(self, thing: Thing, old_id: str) -> str | None:
        """The id in the new version; None where it is gone."""
        return self.now_of[thing].get(old_id)

    def before(self, thing: Thing, new_id: str) -> str | None:
        """The id in the old version; None where it is new."""
        return self.before_of[thing].get(new_id)

    def address_now(self, address: str) -> str | None:
        """An old address (UNKNOWN and OPEN as they are) as the new version writes it; None where its owner is gone."""
        return _address(self.owner_now, address)

    def address_before(self, address: str) -> str | None:
        """A new address as the old version writes it; None where its owner is new."""
        return _address(self.owner_before, address)


def _address(owners: Mapping[str, str], address: str) -> str | None:
    if address in (UNKNOWN, OPEN):
        return address
    if address in owners:          # a splice or ground
        return owners[address]
    owner, dot, name = address.rpartition(".")
    other = owners.get(owner) if dot else None
    return None if other is None else f"{other}.{name}"
