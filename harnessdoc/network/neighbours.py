"""Which cavities of a connector stand next to each other.

Takes a connector; gives pairs of cavity names. With a face, two cavities are
neighbours where no third one lies on or inside the circle that has the two centres
as its diameter (the Gabriel graph: Gabriel and Sokal, Systematic Zoology 18, 1969;
from memory): in a grid the cavities beside, above and below, in staggered rows the
two nearest of the next row, on a ring the next on either side. Without a face,
cavities that follow each other in the list.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

from ..model.harness import Connector, Harness, Kind, Spot
from .cavity_order import counted

_NEARLY = 1e-6   # so that a corner of a square counts as on the circle


def neighbours(connector: Connector, cavities: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Pairs of neighbouring cavities, in the order of the face; without a face as ``cavities`` follow each other."""
    if connector.face is None:
        return tuple(pairwise(cavities))
    spots = connector.face.spots
    return tuple((a.cavity, b.cavity) for a, b in combinations(spots, 2) if not _parted(a, b, spots))


def are_neighbours(connector: Connector, cavities: Sequence[str], a: str, b: str) -> bool:
    """Whether two cavities are such a pair, in either order; ``cavities``: as for ``neighbours``."""
    if connector.face is None:
        return a in cavities and b in cavities and abs(cavities.index(a) - cavities.index(b)) == 1
    spots = {spot.cavity: spot for spot in connector.face.spots}
    return a in spots and b in spots and not _parted(spots[a], spots[b], connector.face.spots)


def cavities_of(harness: Harness) -> dict[str, tuple[str, ...]]:
    """The cavities of every connector: in the order of its face; without a face those named anywhere, counted up (2 before 10)."""
    named: dict[str, list[str]] = {connector: [] for connector in harness.connectors}
    for contact in harness.contacts.values():
        if contact.kind is Kind.CAVITY:
            named[contact.owner].append(contact.name)
    return {name: connector.cavities or tuple(sorted(named[name], key=counted)) for name, connector in harness.connectors.items()}


def _parted(a: Spot, b: Spot, spots: tuple[Spot, ...]) -> bool:
    x, y = (a.x + b.x) / 2, (a.y + b.y) / 2
    reach = (a.x - x) ** 2 + (a.y - y) ** 2 + _NEARLY
    return any((spot.x - x) ** 2 + (spot.y - y) ** 2 <= reach for spot in spots if spot is not a and spot is not b)
