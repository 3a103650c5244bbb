"""A source's records with its name before every id: ``E1.13`` becomes ``donor/E1.13``.

Takes: a document of a source (a Record). Gives: a new one, of the sections a merge takes over, in which every id
and every reference carries the prefix; all else, and every place in the file, stays. Which keys
hold references is said here once, in ``_REFERENCES``.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from ..description.text import Items, Record, Value
from ..model.harness import OPEN, UNKNOWN
from ..model.ids import OTHERS, OWNERS
from .records import sifted

SECTIONS = (*OWNERS, *OTHERS)
"""What a merge takes over from a source; ``colours`` and ``wire-type`` besides, which its wires need."""

Rename = Callable[[Value], Value]


@dataclass(frozen=True, slots=True)
class Naming:
    """How the ids of a source are led into the merge.

    owners:  the ids that begin an address in the source
    aliases: point of the source -> the point of the merge that it is put on
    """

    prefix: str
    owners: Collection[str]
    aliases: Mapping[str, str] = field(default_factory=dict)

    def id(self, name: str) -> str:
        return name if name in (UNKNOWN, OPEN) else f"{self.prefix}{name}"

    def point(self, name: str) -> str:
        return name if name == UNKNOWN else self.aliases.get(name) or f"{self.prefix}{name}"

    def if_owner(self, name: str) -> str:
        """A text that may be an id or an address, or words."""
        return self.id(name) if name in self.owners or name.rpartition(".")[0] in self.owners else name

    def position(self, words: str) -> str:
        """``120 mm from P3 toward P4``."""
        length, from_, rest = words.partition(" from ")
        origin, toward, end = rest.partition(" toward ")
        return f"{length}{from_}{self.point(origin.strip())}{toward}{self.point(end.strip())}" if from_ and toward else words

    def named(self, name: str) -> str:
        """What a waiver names: ``wire 12``, ``F3``, ``E1.13``."""
        kind, space, own = name.partition(" ")
        if space and kind in _KINDS:
            return f"{kind} {self.point(own) if kind == 'point' else self.id(own)}"
        return self.if_owner(name)


_KINDS = ("wire", "cable", "pair", "circuit", "segment", "point", "state")


def prefixed(document: Record, naming: Naming) -> Record:
    """The document as the merge takes it over; without title, log and what else is said once for a whole description."""
    out = Record(document.source, document.mark)
    for position, (key, value) in enumerate(document.items()):
        marks = document.marks[2 * position], document.marks[2 * position + 1]
        if key in ("colours", "wire-type", "terminals"):
            out.add(key, value, *marks)
        elif key in SECTIONS and isinstance(value, Record):
            out.add(key, _section(key, value, naming), *marks)
        elif key == "waivers" and isinstance(value, Items):
            out.add(key, sifted(value, lambda waiver: _entry(waiver, {"at": _texts(naming.named)})), *marks)
    return out


def _section(section: str, entries: Record, naming: Naming) -> Record:
    keys = _references(section, naming)
    # a point that is put on one of the merge is described there
    described = ((name, entry) for name, entry in entries.items() if section != "places" or name not in naming.aliases)
    out = Record(entries.source, entries.mark)
    place_of = {name: position for position, name in enumerate(entries)}
    for name, entry in described:
        position = place_of[name]
        out.add(naming.point(name) if section == "places" else naming.id(name), _entry(entry, keys), entries.marks[2 * position], entries.marks[2 * position + 1])
    return out


def _entry(entry: Value, keys: Mapping[str, Rename]) -> Value:
    """A record with the values of some keys renamed; anything else as it is (the schema check spoke of it)."""
    return copied(entry, lambda key, value: keys[key](value) if key in keys else value) if isinstance(entry, Record) else entry


def copied(record: Record, value_of: Callable[[str, Value], Value], key_of: Callable[[str], str] = str) -> Record:
    """A new record with other keys and values at the same places."""
    out = Record(record.source, record.mark)
    for position, (key, value) in enumerate(record.items()):
        out.add(key_of(key), value_of(key, value), record.marks[2 * position], record.marks[2 * position + 1])
    return out


def _texts(of: Callable[[str], str]) -> Rename:
    """Renames the texts of a value, however deep in lists and in the values of maps."""
    def rename(value: Value) -> Value:
        match value:
            case str():
                return of(value)
            case Items():
                return sifted(value, rename)
            case Record():
                return copied(value, lambda _, inner: rename(inner))
        return value
    return rename


def _references(section: str, naming: Naming) -> dict[str, Rename]:
    """Key -> how its value is renamed, for the entries of a section."""
    id, point, words = _texts(naming.id), _texts(naming.point), _texts(naming.if_owner)

    def inner(keys: dict[str, Rename]) -> Rename:
        return lambda value: _entry(value, keys)

    def loads(value: Value) -> Value:
        return copied(value, lambda _, load: _entry(load, {"between": id})) if isinstance(value, Record) else value

    def switches(value: Value) -> Value:
        return copied(value, lambda _, position: position, naming.id) if isinstance(value, Record) else value

    def lid(value: Value) -> Value:
        return _texts(lambda cell: cell if cell == "gap" else naming.id(cell))(value)

    part = {"box": id, "place": point, "commanded-by": words, "circuit": id}
    return {
        "wires": {"from": id, "to": id, "circuit": id, "pair": id, "cable": id, "via": _texts(lambda step: naming.aliases.get(step) or naming.id(step))},
        "connectors": {"place": point, "mates": id},
        "cavities": {"circuit": id},
        "devices": {"place": point, "connectors": id, "links": id, "closes": id, "between": id, "loads": loads, "stays-with": words,
                    "alternator": inner({"charge-lamp": id, "sense": id})},
        "boxes": {"place": point, "lid": lid, "bars": id, "spare": id},
        "fuses": part, "fusible-links": part, "relays": part, "diodes": part, "resistors": part,
        "splices": {"place": point, "at": _texts(naming.position)},
        "grounds": {"place": point},
        "segments": {"from": point, "to": point},
        "states": {"switches": switches, "commanded": id},
    }.get(section, {})
