"""Two versions in, what changed out.

Takes two Versions; gives a Comparison: which thing is which, every change, and what
follows from them. Meaning is compared, not text: order, notation, comments and the way a
file is divided change nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ..description.text import Record
from ..findings import Place
from ..model.build_wires import DEFAULT_CONVENTION
from ..model.harness import Cable, Circuit, Contact, Harness, Pair, Point
from .changes import Change, ChangeKind, Thing
from .contacts import FITTED_KEYS, ContactPairs, blank, contact_at, is_blank_use, pair_contacts
from .ends import ends_moved, kind_of_move
from .follows import Follows, what_follows
from .keys import KEYS, Key, in_words, key_of, same_as_written, say
from .match import match
from .of_merge import merge_changes
from .names import Gone, names_of_new, names_of_old
from .pairing import OWNERS, Pairing, things_of
from .version import Version

_ORDER = (Thing.POINT, Thing.SEGMENT, Thing.DEVICE, Thing.CONNECTOR, Thing.BOX, Thing.PART, Thing.SPLICE, Thing.GROUND,
          Thing.CIRCUIT, Thing.CABLE, Thing.PAIR, Thing.WIRE)
"""In which the things of a comparison stand, as the sections of a description usually do; contacts come before the wires."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """changes: thing by thing in the order of the new description; what is gone stands after what stood before it."""

    old: Version
    new: Version
    pairing: Pairing
    changes: tuple[Change, ...]
    follows: Follows


def compare(old: Version, new: Version) -> Comparison:
    """What changed from ``old`` to ``new``."""
    pairing = match(old.harness, new.harness)
    changes = tuple(_Comparing(old, new, pairing).changes())
    return Comparison(old, new, pairing, changes, what_follows(old, new, pairing))


class _Comparing:
    """What the comparison of one pair of versions looks at."""

    def __init__(self, old: Version, new: Version, pairing: Pairing) -> None:
        self.old, self.new = old, new
        self.pairing = pairing
        self.names = names_of_old(old.harness, pairing)
        self.convention = new.harness.convention or DEFAULT_CONVENTION
        self.old_things, self.new_things = things_of(old.harness), things_of(new.harness)
        # where every name leads to itself, what is written alike is alike
        gone = self.names.owners - pairing.owner_now.keys()
        self.no_name_changed = not pairing.why and gone.isdisjoint(names_of_new(new.harness, pairing).owners)

        self.old_mates, self.new_mates = _mates(old.harness), _mates(new.harness)

    def changes(self) -> Iterator[Change]:
        yield from self._keys(Thing.HARNESS, "", "", self.old.harness, self.new.harness)
        by_thing: dict[Thing, list[Change]] = {thing: list(self._of(thing)) for thing in _ORDER}
        moves = [(change.old, change.new) for change in by_thing[Thing.WIRE] if change.key == "end"]
        contacts = list(self._contacts(pair_contacts(self.old.harness, self.new.harness, self.pairing, self.names, moves)))
        for thing in _ORDER:
            if thing is Thing.CIRCUIT:
                yield from contacts
            yield from by_thing[thing]
        yield from merge_changes(self.old.merge, self.new.merge)

    # -------------------------------------------------------------- one kind of thing

    def _of(self, thing: Thing) -> Iterator[Change]:
        olds, news = self.old_things[thing], self.new_things[thing]
        for old_id, new_id in self._in_order(thing):
            if new_id is None:
                if not _is_implied(self.old.harness, olds[old_id]):
                    yield self._whole(ChangeKind.REMOVED, thing, old_id, None)
            elif old_id is None:
                if not _is_implied(self.new.harness, news[new_id]):
                    yield self._whole(ChangeKind.ADDED, thing, None, new_id)
            elif not (self.no_name_changed and same_as_written(olds[old_id], news[new_id])):
                yield from self._pair(thing, old_id, new_id, olds[old_id], news[new_id])

    def _in_order(self, thing: Thing) -> Iterator[tuple[str | None, str | None]]:
        """(old id, new id) of everything: the new ones in their order, each followed by those gone that stood after it."""
        before, now = self.pairing.before_of[thing], self.pairing.now_of[thing]
        gone_after: dict[str | None, list[str]] = {}
        last: str | None = None
        for old_id in self.old_things[thing]:
            if old_id in now:
                last = now[old_id]
            else:
                gone_after.setdefault(last, []).append(old_id)
        yield from ((old_id, None) for old_id in gone_after.get(None, ()))
        for new_id in self.new_things[thing]:
            yield before.get(new_id), new_id
            yield from ((old_id, None) for old_id in gone_after.get(new_id, ()))

    def _whole(self, kind: ChangeKind, thing: Thing, old_id: str | None, new_id: str | None, why: str = "") -> Change:
        old = self._item(thing, old_id, is_old=True)
        new = self._item(thing, new_id, is_old=False)
        if kind is ChangeKind.RENAMED:
            return Change(kind, thing, old_id, new_id, "", old_id, new_id, str(old_id), str(new_id), why, _place(old), _place(new))
        return Change(kind, thing, old_id, new_id, "", old, new, in_words(thing, old, self.convention), in_words(thing, new, self.convention), why, _place(old), _place(new))

    def _item(self, thing: Thing, name: str | None, is_old: bool) -> Any:
        if name is None:
            return None
        version, things = (self.old, self.old_things) if is_old else (self.new, self.new_things)
        return contact_at(version.harness, name) if thing is Thing.CONTACT else things[thing][name]

    def _pair(self, thing: Thing, old_id: str, new_id: str, old: Any, new: Any) -> Iterator[Change]:
        if old_id != new_id:
            yield self._whole(ChangeKind.RENAMED, thing, old_id, new_id, self.pairing.why[thing, old_id])
        if thing in (Thing.WIRE, Thing.SEGMENT):
            yield from self._ends(thing, old_id, new_id, old, new)
        yield from self._keys(thing, old_id, new_id, old, new)

    def _ends(self, thing: Thing, old_id: str, new_id: str, old: Any, new: Any) -> Iterator[Change]:
        lead = self.names.address if thing is Thing.WIRE else lambda point: self.names.of(Thing.POINT, point)
        ends, now_ends = (old.from_, old.to), (lead(old.from_), lead(old.to))
        for was, now in ends_moved(ends, now_ends, (new.from_, new.to)):
            kind = kind_of_move(self.old.harness, self.new.harness, was, lead(was), now) if thing is Thing.WIRE else ChangeKind.RE_ROUTED
            yield Change(kind, thing, old_id, new_id, "end", was, now, was, now, self.pairing.why.get((thing, old_id), ""),
                         old.source.place_of("from" if was == old.from_ else "to"), new.source.place_of("from" if now == new.from_ else "to"))

    def _keys(self, thing: Thing, old_id: str, new_id: str, old: Any, new: Any) -> Iterator[Change]:
        for key in KEYS[thing]:
            if thing is Thing.SPLICE and key.name == "at" and self._is_one_spot(old_id, new_id):
                continue
            if thing is Thing.CONNECTOR and key.name == "mates" and self.names.owner(self.old_mates.get(old_id, "")) == self.new_mates.get(new_id, ""):
                continue   # said of the one half or of the other
            change = self._key(thing, key, old_id, new_id, old, new)
            if change is not None:
                yield change

    def _key(self, thing: Thing, key: Key, old_id: str | None, new_id: str | None, old: Any, new: Any) -> Change | None:
        was, now = key.get(old), key.get(new)
        led = key.refers(self.names, was) if key.refers else was
        if led == now:
            return None
        told_was, told_now = _what_differs(was, led, now, self._led_by(key)) if thing is Thing.HARNESS else (was, now)
        kind = key.kind
        if key.unknown and _is_blank(was):
            kind = ChangeKind.NOW_KNOWN
        elif key.unknown and _is_blank(now):
            kind = ChangeKind.NO_LONGER_KNOWN
        name = key_of(key, new)
        return Change(kind, thing, old_id, new_id, name, was, now, say(name, told_was, self.convention), say(name, told_now, self.convention),
                      self.pairing.why.get((thing, old_id or ""), ""), _place(old, name), _place(new, name))

    def _led_by(self, key: Key) -> Callable[[Any], Any]:
        """Leads one item of a set to its names as they are now."""
        return lambda item: next(iter(key.refers(self.names, frozenset((item,))))) if key.refers else item

    def _is_one_spot(self, old_id: str, new_id: str) -> bool:
        """The position of a splice may be stated from either end of a segment."""
        old, new = self.old.geometry.stations[old_id], self.new.geometry.stations[new_id]
        return (old.segment is not None and old.offset_mm is not None and new.offset_mm is not None
                and self.names.of(Thing.SEGMENT, old.segment) == new.segment and abs(old.offset_mm - new.offset_mm) < 0.05)

    # ----------------------------------------------------------------------- contacts

    def _contacts(self, pairs: ContactPairs) -> Iterator[Change]:
        """What is said of addresses, in the order of the new version; what only the old one has comes last."""
        led = {address: self.names.address(address) for address in pairs.old}
        contacts = self.new.harness.contacts
        touched = pairs.new.keys() | led.values()
        for address in (*(address for address in contacts if address in touched), *(now for now in led.values() if now not in contacts and not isinstance(now, Gone))):
            yield from self._contact(address, pairs)
        for address, now in led.items():
            if isinstance(now, Gone) and address not in pairs.moved:
                yield self._whole(ChangeKind.REMOVED, Thing.CONTACT, address, None)

    def _contact(self, address: str, pairs: ContactPairs) -> Iterator[Change]:
        before, came_from = self.pairing.address_before(address), pairs.arrived.get(address)
        new = contact_at(self.new.harness, address)
        if came_from is not None:
            yield Change(ChangeKind.MOVED, Thing.CONTACT, came_from, address, "", came_from, address, came_from, address, "it went with its wire",
                         _place(pairs.old[came_from]), _place(new))
        if before is None:
            if came_from is None:
                yield self._whole(ChangeKind.ADDED, Thing.CONTACT, None, address)
            elif new is not None:
                yield from self._contact_keys(FITTED_KEYS, None, address, blank(new, new.source), new)
            return
        old = contact_at(self.old.harness, before)
        if self.no_name_changed and old is not None and new is not None and same_as_written(old, new):
            return
        old, new = old or blank(new, self._owner_source(self.old, self.old_things, before)), new or blank(old, self._owner_source(self.new, self.new_things, address))
        if came_from is None and before not in pairs.moved:
            yield from self._contact_keys(KEYS[Thing.CONTACT], before, address, old, new)
            return
        yield from self._contact_keys(FITTED_KEYS, before, address, old, new)
        if before not in pairs.moved and not is_blank_use(old):
            yield self._whole(ChangeKind.REMOVED, Thing.CONTACT, before, None)
        if came_from is None and not is_blank_use(new):
            yield self._whole(ChangeKind.ADDED, Thing.CONTACT, None, address)

    def _contact_keys(self, keys: tuple[Key, ...], old_id: str | None, new_id: str, old: Contact, new: Contact) -> Iterator[Change]:
        for key in keys:
            change = self._key(Thing.CONTACT, key, old_id, new_id, old, new)
            if change is not None:
                yield change

    @staticmethod
    def _owner_source(version: Version, things: Mapping[Thing, Mapping[str, Any]], address: str) -> Record:
        owner = address.rpartition(".")[0]
        return next((things[thing][owner].source for thing in OWNERS if owner in things[thing]), version.harness.source)


def _what_differs(was: Any, led: Any, now: Any, led_by: Callable[[Any], Any]) -> tuple[Any, Any]:
    """Of states and the like, by name, and of waivers those that are not the same in both; anything else whole. led: what was, with its references as they are now; led_by: leads one item."""
    if isinstance(was, frozenset) and isinstance(now, frozenset):
        return frozenset(item for item in was if led_by(item) not in now), now - led
    if not all(isinstance(one, Mapping) for one in (was, led, now)) or list(was) != list(led):
        return was, now
    other = object()
    return {name: value for name, value in was.items() if led[name] != now.get(name, other)}, {name: value for name, value in now.items() if led.get(name, other) != value}


def _mates(harness: Harness) -> dict[str, str]:
    """Half -> other half, both ways, whichever of them says so."""
    said = {connector.id: connector.mates for connector in harness.connectors.values() if connector.mates}
    return {mate: half for half, mate in said.items()} | said


def _place(item: Any, key: str = "") -> Place | None:
    """Where a thing, or its key, stands; None for what is not there or only named by others."""
    if item is None or item.source is None:
        return None
    return item.source.place_of(key) if key else item.source.place()


def _is_blank(value: object) -> bool:
    return value is None or value == ""


def _is_implied(harness: Harness, item: Any) -> bool:
    """A thing of which nothing is said but that others name it: a circuit, pair or cable of wires, an end of segments."""
    match item:
        case Circuit():
            return item.source is None
        case Pair() | Cable():
            return bool(item.wires) and item.source is harness.wires[item.wires[0]].source
        case Point():
            return not (item.title or item.zone or item.note)
    return False
