"""Points: the contacts that copper without a length joins.

Takes a harness and its network; gives for each address the point it is part of. Bars, mated
halves and links inside devices join; wires do not: they lie between points.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..model.harness import Harness
from .islands import Network


def find_points(harness: Harness, network: Network) -> Mapping[str, str]:
    """Address -> point, every address of the harness; a point has the name of its first address."""
    number = {address: position for position, address in enumerate(harness.contacts)}
    addresses = tuple(number)
    parents = list(range(len(addresses)))

    def top(position: int) -> int:
        while parents[position] != position:
            parents[position] = parents[parents[position]]
            position = parents[position]
        return position

    for joint in network.joints:
        a, b = sorted((top(number[joint.a]), top(number[joint.b])))
        parents[b] = a
    return {address: addresses[top(position)] for address, position in number.items()}
