"""What the supply, and what the ground, can reach without passing what takes current.

Takes Ways; gives what is reached from the plus or the minus of all supplies over wires, metals, fuses,
forward diodes, and contacts in any position: what is live, or grounded, in some state.
"""

from __future__ import annotations

from ..network.ways import Reached, Ways

_OVER = ("wire", "metal", "fuse", "fusible link", "switch", "relay", "diode")


def live(ways: Ways) -> Reached:
    """From every plus; not into a minus or a metal."""
    minus = frozenset(ways.minus)
    return ways.reach(ways.plus, lambda way, point: way.kind in _OVER and (way.kind != "diode" or ways.point(way.a) == point) and ways.beyond(way, point) not in minus)


def grounded(ways: Ways) -> Reached:
    """From every minus and metal; not into a plus."""
    plus = frozenset(ways.plus)
    return ways.reach(ways.minus, lambda way, point: way.kind in _OVER and (way.kind != "diode" or ways.point(way.b) == point) and ways.beyond(way, point) not in plus)
