"""By what a thing is known again under another id: what it joins, and what is said of it.

Takes a harness; gives for each thing its traits with their weights. Those of the old
version are led into the new version's names first, so that equal traits are the same
thing. Two things are as alike as the weight of the traits they share is to the weight of all
they have (the weighted Jaccard index).

The weights: what a thing joins counts most. Of a wire one end alone is not enough,
both ends alone are, and so is one end where everything else is the same.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from typing import Any

from ..model.harness import OPEN, UNKNOWN, Harness
from .changes import Thing
from .keys import face_as_mated
from .names import Gone, Names
from .pairing import OWNERS, things_of

Trait = tuple[str, Hashable]
Traits = dict[Trait, float]

LEAST = 0.45
"""Two things less alike than this are two things."""
CERTAIN = 0.7
"""From this on a thing is known again even where another is as like it."""
_END, _NO_END = 3.5, 2.0
_ATTRIBUTES: Mapping[Thing, Mapping[str, float]] = {
    Thing.WIRE: {"colour": 1.2, "size": 0.8, "circuit": 0.6, "type": 0.4, "length": 0.4},
    Thing.CONNECTOR: {"title": 2.0, "place": 1.0, "housing": 1.0, "half": 0.3},
    Thing.DEVICE: {"title": 2.0, "place": 1.0, "lamp": 0.5},
    Thing.BOX: {"title": 2.0, "place": 1.0},
    Thing.PART: {"title": 2.0, "feeds": 2.0, "kind": 0.5, "rating": 0.5, "type": 0.3},
    Thing.SPLICE: {"join": 2.0, "title": 1.0, "place": 1.0, "at": 1.0, "method": 0.2},
    Thing.GROUND: {"title": 2.0, "place": 1.0, "stud": 0.5, "metal": 0.2},
    Thing.SEGMENT: {"length_mm": 1.0, "covering": 0.3, "zone": 0.3},
    Thing.POINT: {"title": 2.0, "zone": 0.2},
    Thing.CIRCUIT: {"system": 0.3, "hot": 0.3},
    Thing.PAIR: {"title": 1.0, "lay_mm": 0.3},
    Thing.CABLE: {"title": 1.0, "part": 1.0, "shield": 0.3},
}
"""What is said of a thing -> its weight."""
_NAMING = {"place": Thing.POINT, "circuit": Thing.CIRCUIT}
"""What names another thing."""
_TELLING = {"title", "feeds", "join", "both", "end", "wire", "connector", "segment", "sits", "inside"}
"""Traits by which a thing can be found; the others only confirm."""


def is_telling(trait: Trait) -> bool:
    """Whether a thing can be found by this trait."""
    return trait[0] in _TELLING


def likeness(a: Traits, b: Traits) -> float:
    """0 nothing in common, 1 the same."""
    shared = sum(weight for trait, weight in a.items() if trait in b)
    return shared / (sum(a.values()) + sum(b.values()) - shared) if shared else 0.0


Joins = Mapping[tuple[Thing, str], list[tuple[str, Thing | None, str]]]
"""Thing and id -> what is joined to it: (where: the cavity or terminal, "" where there is none; what it is, None for an owner; its id)."""


def joins_of(harness: Harness) -> Joins:
    """What each thing joins but wires and segments, whose ends say it: an owner its wires, a circuit, pair or cable its wires,
    a point the segments that end and the owners that sit there."""
    found: dict[tuple[Thing, str], list[tuple[str, Thing | None, str]]] = {}

    def add(thing: Thing, name: str, where: str, what: Thing | None, other: str) -> None:
        found.setdefault((thing, name), []).append((where, what, other))

    things = things_of(harness)
    kind_of = {name: thing for thing in OWNERS for name in things[thing]}
    for address, wires in harness.wires_at.items():
        contact = harness.contacts[address]
        for wire in wires:
            add(kind_of[contact.owner], contact.owner, contact.name, Thing.WIRE, wire)
    for wire in harness.wires.values():
        for thing, name in ((Thing.CIRCUIT, wire.circuit), (Thing.PAIR, wire.pair), (Thing.CABLE, wire.cable)):
            if name:
                add(thing, name, "", Thing.WIRE, wire.id)
    for segment in harness.segments.values():
        for end in (segment.from_, segment.to):
            add(Thing.POINT, end, "", Thing.SEGMENT, segment.id)
    for owner, place in harness.place_of.items():
        add(Thing.POINT, place, "", None, owner)
    return found


class TraitMaker:
    """Gives the traits of the things of one harness.

    joins: `joins_of` it
    wire_now: leads a wire's id into the new version's, None where it is not known (yet)
    names: leads the rest; what is not known yet is `Gone` and no trait
    """

    def __init__(self, harness: Harness, joins: Joins, wire_now: Callable[[str], str | None], names: Names) -> None:
        self.harness = harness
        self.joins = joins
        self.wire_now = wire_now
        self.names = names

    def of(self, thing: Thing, name: str, item: Any) -> Traits:
        """All traits of one thing."""
        traits: Traits = {}
        for attribute, weight in _ATTRIBUTES[thing].items():
            value = getattr(item, attribute)
            if value in (None, "", ()):
                continue
            if attribute in _NAMING:
                value = self.names.of(_NAMING[attribute], value)
            traits[attribute, value] = weight
        traits.update(self._own(thing, name, item))
        for where, what, other in self.joins.get((thing, name), ()):
            traits.update(self._joined(thing, where, what, other))
        return {trait: weight for trait, weight in traits.items() if not isinstance(trait[1], Gone)}

    def _own(self, thing: Thing, name: str, item: Any) -> Iterator[tuple[Trait, float]]:
        """What a thing itself says it joins."""
        names = self.names
        match thing:
            case Thing.WIRE:
                yield from _ends(*map(names.address, (item.from_, item.to)))
            case Thing.SEGMENT:
                yield from _ends(*(names.of(Thing.POINT, end) for end in (item.from_, item.to)))
            case Thing.CONNECTOR if item.face is not None:
                yield ("face", face_as_mated(item.face)), 2.0
            case Thing.DEVICE:
                yield from ((("connector", names.owner(connector)), 2.0) for connector in item.connectors)
            case Thing.BOX:
                yield from ((("inside", names.owner(part.id)), 2.0) for part in self.harness.parts.values() if part.box == name)

    def _joined(self, thing: Thing, where: str, what: Thing | None, other: str) -> Iterator[tuple[Trait, float]]:
        """What other things say of it. The kind of wire in a cavity is known before the wires are; that and the cavity count less
        than the wire: the wires of a module may all have gone to other cavities."""
        if what is None:
            yield ("sits", self.names.owner(other)), 2.0
        elif what is Thing.SEGMENT:
            yield ("segment", self.names.of(Thing.SEGMENT, other)), 2.0
        else:
            now = self.wire_now(other)
            if thing in OWNERS:
                wire = self.harness.wires[other]
                yield ("kind of wire", (where, wire.size, wire.colour)), 0.5
            if now is not None:
                yield ("wire", now), 1.0 if thing is Thing.CIRCUIT else 1.5
                if where:
                    yield ("cavity of wire", (where, now)), 0.5


def _ends(a: str, b: str) -> Iterator[tuple[Trait, float]]:
    """Both ends in either order; two that are the same count as two."""
    for end, kind in ((a, "end"), (b, "end" if b != a else "same end")):
        yield (("no end" if end in (UNKNOWN, OPEN) else kind), end), (_NO_END if end in (UNKNOWN, OPEN) else _END)
    if not isinstance(a, Gone) and not isinstance(b, Gone):
        yield ("both", frozenset((a, b))), 0.0
