"""From addresses to nodes: what copper without a length joins is one point of the circuit.

Takes a harness and its network; gives Nodes. Bars, mated halves and links inside
devices join; wires do not: they have a resistance. Metals are nodes too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..model.electric import Alternator, Battery
from ..model.given import battery_row
from ..model.harness import Device, Harness, Kind
from ..network.continuity import airbag_signalled
from ..network.islands import Network
from ..network.points import find_points
from ..network.ways import ASSUMED_METAL

_BATTERY_METAL = "battery"


@dataclass(frozen=True, slots=True)
class Nodes:
    """of:        address -> node, every address of the harness; a node has the name of its first address
    reference: battery minus: the node of 0 V
    plus:      node of the plus of the battery, or of the supply that stands in for it
    off:       addresses of airbag circuits: no part of the circuit, no reading; they end at studs, bars and the battery
    """

    of: Mapping[str, str]
    reference: str
    plus: str
    off: frozenset[str]

    def metal(self, metal: str | None) -> str:
        """The node of a metal; that of the battery is its minus."""
        return self.reference if metal == _BATTERY_METAL else f"{metal or ASSUMED_METAL} metal"


def find_nodes(harness: Harness, network: Network) -> Nodes:
    """The nodes of ``harness``, which names a supply that stands between two addresses."""
    of = find_points(harness, network)
    plus, minus = _poles(harness)
    return Nodes(of, of[minus], of[plus], frozenset(_airbag(harness, network)))


def _airbag(harness: Harness, network: Network) -> set[str]:
    """The copper that airbag contacts sit on. What all share, a ground, a bar, a post of the battery, is on both sides: it stays in."""
    off = set(airbag_signalled(harness))
    if not off:
        return off
    shared = {address for address, contact in harness.contacts.items() if contact.kind in (Kind.GROUND, Kind.BAR)}
    shared.update(end for device in placed_supplies(harness) for end in device.between or ())
    joined: dict[str, list[str]] = {}
    for a, b in (*((wire.from_, wire.to) for wire in harness.wires.values()), *((joint.a, joint.b) for joint in network.joints)):
        joined.setdefault(a, []).append(b)
        joined.setdefault(b, []).append(a)
    queue = list(off)
    for address in queue:
        found = {other for other in joined.get(address, ()) if other in harness.contacts} - off - shared
        off |= found
        queue += sorted(found)
    return off


def _poles(harness: Harness) -> tuple[str, str]:
    """Plus and minus of the first battery and those in series with it; without one of the first test supply, then alternator."""
    first = min(placed_supplies(harness), key=lambda device: 0 if isinstance(device.supply, Battery) else 2 if isinstance(device.supply, Alternator) else 1)
    row = [harness.devices[id].between for id in battery_row(harness, first.id)]
    assert row[0] is not None and row[-1] is not None
    return row[-1][0], row[0][1]


def placed_supplies(harness: Harness) -> tuple[Device, ...]:
    """The supplies that stand between two addresses of the harness; without one nothing is solved."""
    return tuple(device for device in map(harness.devices.__getitem__, harness.supplies)
                 if device.between is not None and device.between[0] != device.between[1] and all(end in harness.contacts for end in device.between))
