"""Why a wire has no length: what is to be measured or written so that it gets one.

Takes a harness, its geometry and a wire; gives words, "" where the length is known.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..model.harness import OPEN, UNKNOWN, Harness
from .measure import Geometry
from .places import listed


def why_no_length(harness: Harness, geometry: Geometry, wire: str) -> str:
    """``segment T3 has no length``; ``no place is given for J4b``. "" where there is a length."""
    length = geometry.lengths[wire]
    if length.finished_mm is not None:
        return ""
    if length.zero:
        return "it is a link inside a box"
    if length.route is not None:
        segments = tuple(dict.fromkeys(step.segment for step in length.route.steps if step.length_mm is None))
        return f"segment{'s' * (len(segments) > 1)} {listed(segments)} {'have' if len(segments) > 1 else 'has'} no length"
    ends = (harness.wires[wire].from_, harness.wires[wire].to)
    homeless = tuple(dict.fromkeys(harness.contacts[address].owner for address in ends if _is_homeless(harness, address)))
    said = [f"no place is given for {listed(homeless)}"] if homeless else []
    said += dict.fromkeys(words for address in ends if (words := _end(harness, geometry, address)))
    return "; ".join(said) or _no_way(harness, ends)


def _is_homeless(harness: Harness, address: str) -> bool:
    """Whether nobody has said where what has this contact sits."""
    if address in (UNKNOWN, OPEN):
        return False
    owner = harness.contacts[address].owner
    splice = harness.splices.get(owner)
    return not splice.place and splice.at is None if splice is not None else owner not in harness.place_of


def _end(harness: Harness, geometry: Geometry, address: str) -> str:
    """What else is not known of where an end is; "" where it is."""
    if address == UNKNOWN:
        return "an end is not found yet"
    if address == OPEN:
        return "an end is open: only measuring tells"
    owner = harness.contacts[address].owner
    splice = harness.splices.get(owner)
    if splice is None or splice.at is None or not harness.segments:
        return ""
    station = geometry.stations[owner]
    return f"where {owner} sits cannot be worked out" if station.segment is None and station.toward_point is not None else ""


def _no_way(harness: Harness, ends: tuple[str, str]) -> str:
    """Both ends have a place, and no way joins them."""
    if not harness.segments:
        return "no segments are described"
    points = {point for segment in harness.segments.values() for point in (segment.from_, segment.to)}
    off = tuple(point for point in dict.fromkeys(_points(harness, ends)) if point not in points)
    return f"no segment leads to {listed(off)}" if off else f"no segment joins {' and '.join(ends)}"


def _points(harness: Harness, ends: tuple[str, str]) -> Iterator[str]:
    for address in ends:
        owner = harness.contacts[address].owner
        splice = harness.splices.get(owner)
        yield from filter(None, [splice.place] if splice is not None else [harness.place_of.get(owner)])
