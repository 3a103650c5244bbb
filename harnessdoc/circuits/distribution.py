"""Which strands are on the pages of power distribution and of ground distribution, and what these pages show of things only by their contacts.

Takes Strands and Directions; gives a Distribution. Power: the way from the supplies to every fuse and fusible link, over links, bars, switches and
relay contacts, with all that is joined to it by copper, and the wires each of them feeds. Ground: all copper that holds a ground.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..model.harness import Kind
from .direction import Directions
from .strands import Strand, Strands
from .stubs import Cut
from .systems import PASSING

PROTECTS = ("fuse", "fusible link")
MOST_KEPT = 9
"""A joint with more strands may be parted between pages. Design choice: so many frames fill the width of a page."""


@dataclass(frozen=True, slots=True)
class Distribution:
    """strands: ids in the order of the description; cut: where its pages end; bare: fuses and links with no wire and no bar, which no page can show;
    may_cut: contacts at which one page may end and another begin, stubs among them; what a fuse feeds, and the users of a ground, stay together."""

    strands: tuple[str, ...]
    cut: Cut
    bare: tuple[str, ...] = ()
    may_cut: frozenset[str] = frozenset()


def power_distribution(strands: Strands, directions: Directions) -> Distribution:
    """From the supplies to what every fuse and fusible link feeds."""
    parts = [part for part in strands.harness.parts.values() if part.kind in PROTECTS and len(part.terminals) == 2]
    found: dict[str, None] = {}
    shown: dict[str, None] = {}
    bare = []
    for part in parts:
        ends = sorted((f"{part.id}.{name}" for name in part.terminals), key=directions.rank.__getitem__)
        if not any(strands.at.get(end) for end in ends):
            bare.append(part.id)
            continue
        shown.update(dict.fromkeys(ends))
        _climb(strands, directions, ends[0], found, shown)
        found.update(dict.fromkeys(strands.at.get(ends[0], ())))
        found.update(dict.fromkeys(_load_side(strands, ends[1])))
    for id in strands.harness.supplies:
        for end in strands.harness.devices[id].between or ():
            shown[end] = None
            found.update(dict.fromkeys(strands.at.get(end, ())))
    fed = [address for address in shown if address not in strands.returns and strands.owner(address) not in strands.harness.parts]
    for address in fed:
        found.update(dict.fromkeys(id for other in strands.copper.get(address, ()) for id in strands.at.get(other, ())))
    key = strands.harness.key_switch
    if key in {strands.owner(address) for address in shown}:
        found.update(dict.fromkeys(id for address in strands.of_owner[key] for id in strands.at[address]))
    whole = {strands.owner(address) for address in shown}
    stubs = {end: end for end in _ends(strands, found) if _may_be_stub(strands, end) and strands.owner(end) not in whole}
    fixed = (*strands.harness.parts, key)
    may_cut = frozenset(end for end in _ends(strands, found) if end in stubs or _is_large(strands, end) or (end in shown and strands.owner(end) not in fixed))
    return Distribution(_in_order(strands, found), Cut(stubs), tuple(bare), may_cut)


def ground_distribution(strands: Strands, directions: Directions) -> Distribution:
    """All strands on copper that holds a ground; of a thing that only gives to ground all contacts stand in one frame."""
    found = dict.fromkeys(id for id, strand in strands.all.items() if strand.a in strands.returns)
    gives: dict[str, bool] = {}
    ends = [end for end in _ends(strands, found) if _may_be_stub(strands, end)]
    for end in ends:
        upper = all(directions.ends(strands.all[id])[0] == end for id in strands.at[end] if id in found)
        gives[strands.owner(end)] = gives.get(strands.owner(end), True) and upper
    stubs = {end: strands.owner(end) if gives[strands.owner(end)] else end for end in ends}
    return Distribution(_in_order(strands, found), Cut(stubs, joins_grounds=True), may_cut=frozenset(end for end in _ends(strands, found) if end in stubs or _is_large(strands, end)))


def _climb(strands: Strands, directions: Directions, start: str, found: dict[str, None], shown: dict[str, None]) -> None:
    """All ways from ``start`` up to the supplies."""
    queue, seen = [start], {start}

    def go(address: str) -> None:
        if address not in seen:
            seen.add(address)
            queue.append(address)

    for address in queue:
        shown[address] = None
        for id in strands.at.get(address, ()):
            upper, lower = directions.ends(strands.all[id])
            if lower == address:
                found[id] = None
                go(upper)
        for other in (*filter(None, [strands.mate.get(address)]), *(way.b if way.a == address else way.a for way in strands.inside.get(address, ()) if way.kind in PASSING)):
            if directions.is_above(other, address):
                go(other)


def switched_by(strands: Strands, directions: Directions, address: str) -> str:
    """The nearest switch or relay whose contact lies between an address and what feeds it; "" where there is none."""
    queue, seen = [address], {address}
    for here in queue:
        above = [strands.all[id].beyond(here) for id in strands.at.get(here, ()) if directions.ends(strands.all[id])[1] == here]
        above += filter(None, [strands.mate.get(here)])
        for way in strands.inside.get(here, ()):
            other = way.b if way.a == here else way.a
            if way.kind in ("switch", "relay") and directions.is_above(other, here):
                return strands.owner(here)
            if way.kind in PASSING:
                above.append(other)
        new = [other for other in dict.fromkeys(above) if other not in seen and directions.is_above(other, here)]
        seen.update(new)
        queue += new
    return ""


def _load_side(strands: Strands, address: str) -> Iterator[str]:
    """The strands at the lower end of a fuse, and those on a bar there."""
    for id in strands.at.get(address, ()):
        yield id
        other = strands.all[id].beyond(address)
        if strands.kind(other) is Kind.BAR:
            yield from strands.at[other]


def _ends(strands: Strands, ids: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(end for id in ids for end in _both(strands.all[id])))


def _both(strand: Strand) -> tuple[str, str]:
    return strand.a, strand.b


def _may_be_stub(strands: Strands, address: str) -> bool:
    """A contact of a thing; a cavity of an in-line connector is shown with the one it meets."""
    return strands.kind(address) not in (None, Kind.SPLICE, Kind.BAR, Kind.GROUND) and address not in strands.mate


def _is_large(strands: Strands, address: str) -> bool:
    """A splice, bar or ground too wide to be kept on one page."""
    return strands.kind(address) in (Kind.SPLICE, Kind.BAR, Kind.GROUND) and len(strands.at[address]) > MOST_KEPT


def _in_order(strands: Strands, found: dict[str, None]) -> tuple[str, ...]:
    return tuple(id for id in strands.all if id in found)
