"""What can be on though nothing that is to hold it off says a word: what is live, and what is grounded, without passing a control.

Takes Ways and what counts as a control; gives Uncontrolled. A relay lets pass only where its own coil can be on uncontrolled
too, at rest always; every switch that is no control stands in whatever position helps.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from ..network.ways import Reached, Way, Ways

_OVER = ("wire", "metal", "fuse", "fusible link", "switch", "relay", "diode")


@dataclass(frozen=True, slots=True)
class Uncontrolled:
    """live, grounded: what is reached; relays: those that can be pulled in."""

    live: Reached
    grounded: Reached
    relays: frozenset[str]

    def is_on(self, ways: Ways, a: str, b: str) -> bool:
        """Whether what lies between two addresses can take current."""
        one, other = ways.point(a), ways.point(b)
        return (one in self.live and other in self.grounded) or (other in self.live and one in self.grounded)


def uncontrolled(ways: Ways, controls: Callable[[Way], bool], starts: Collection[str] | None = None, shut: Collection[str] = (),
                 pulled_in: frozenset[str] = frozenset()) -> Uncontrolled:
    """starts: where the supply comes from, every plus where none are given; shut: things that nothing passes; pulled_in: relays that are in whatever is to hold them off."""
    plus, minus = tuple(starts) if starts is not None else ways.plus, ways.minus
    coils = list(_coils(ways))
    free = pulled_in
    while True:
        live = ways.reach(plus, lambda way, point: _passes(ways, way, point, controls, free, shut, True) and ways.beyond(way, point) not in minus)
        grounded = ways.reach(minus, lambda way, point: _passes(ways, way, point, controls, free, shut, False) and ways.beyond(way, point) not in ways.plus)
        found = Uncontrolled(live, grounded, free)
        more = frozenset(way.thing for way in coils if found.is_on(ways, way.a, way.b))
        if more <= free:
            return found
        free |= more


def _passes(ways: Ways, way: Way, point: str, controls: Callable[[Way], bool], free: Collection[str], shut: Collection[str], is_feed: bool) -> bool:
    if way.kind not in _OVER or way.thing in shut or controls(way):
        return False
    if way.kind == "relay":
        return way.position == "87a" or way.thing in free
    # back from ground a diode is met from its cathode
    return way.kind != "diode" or (ways.point(way.a) == point) is is_feed


def _coils(ways: Ways) -> Iterator[Way]:
    """Each coil once."""
    return (way for point, there in ways.at.items() for way in there if way.kind == "coil" and ways.point(way.a) == point)
