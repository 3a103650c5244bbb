"""A fate for every wire: the lines of ``fates:``, read in order; later lines win.

A line names wires, or what they end at: a connector, or a device (any thing that owns contacts: a
device with its connectors, a box with its parts, a fuse, relay, ground or splice), or a circuit, or a pattern of wire ids
(``donor/2*``). What is removed or stored by `device` or `connector` leaves itself, too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fnmatch import fnmatchcase

from ..description.text import Items, Record
from ..findings import Place
from ..model.harness import Harness
from ..model.ids import nearest, printable, spread
from ..model.values import Values
from .plan import Fate, Source

SELECTORS = ("wire", "connector", "device", "circuit", "pattern")
"""By what a line of ``fates:`` names its wires."""


@dataclass(slots=True)
class Fates:
    """wires: wire -> the line that decides it; owners: thing named by a line -> that line."""

    wires: dict[str, Line] = field(default_factory=dict)
    owners: dict[str, Line] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of ``fates:``. words: "device donor/U1"; at: the ends it caps, as written."""

    fate: Fate
    why: str
    selector: str
    words: str
    at: tuple[str, ...]
    record: Record


def read_fates(values: Values, written: object, sources: Mapping[str, Source]) -> Fates:
    """Every line that names something; a name that is not there is a finding."""
    fates = Fates()
    index = _Index(sources)
    for entry in written if isinstance(written, Items) else ():
        if not isinstance(entry, Record) or entry.get("fate") not in _FATES:
            continue
        said = [key for key in SELECTORS if key in entry]
        if len(said) != 1:
            named = " and ".join(f"`{key}`" for key in said) or "none"
            values.error("fate-without-wires", f"a line of `fates` names its wires by one of {', '.join(SELECTORS)}; this one has {named}", entry.place(),
                         "write one line each" if said else "write `wire: donor/204`, `device: donor/U1` or another of them")
            continue
        for name, place in _names(entry, said[0]):
            line = Line(_FATES[entry["fate"]], values.text(entry, "why"), said[0], f"{said[0]} {name}", values.texts(entry, "at") or tuple(filter(None, [values.word(entry, "at")])), entry)
            _apply(values, fates, index, line, said[0], name, place)
    return fates


_FATES = {fate.value: fate for fate in Fate if fate is not Fate.UNDECIDED}


def _apply(values: Values, fates: Fates, index: _Index, line: Line, selector: str, name: str, place: Place) -> None:
    wires, owners = index.found(selector, name)
    if not wires and not owners:
        known = index.known(selector)
        near = nearest(name, known)
        what = "which no wire fits" if selector == "pattern" else f"but there is no such {selector}"
        hint = _in_brackets(selector, name) or (f"did you mean {near}?" if near else index.with_prefix(name, known) or index.there(name, selector, known)
                                                or f"names begin with {' or '.join(f'{source}/' for source in index.sources)}")
        values.error("fate-of-nothing", f"a line of `fates` names {selector} '{printable(name)}', {what}", place, hint)
    for wire in wires:
        fates.wires[wire] = line
    for owner in owners:
        fates.owners[owner] = line


def _in_brackets(selector: str, name: str) -> str:
    """The way out where several names stand without brackets."""
    parts = [part.strip() for part in name.split(",")]
    return f"write each name by itself, in brackets: {selector}: [{', '.join(parts)}]" if len(parts) > 1 and all(parts) else ""


def _names(entry: Record, key: str) -> Iterator[tuple[str, Place]]:
    value = entry[key]
    if isinstance(value, str):
        yield value, entry.place_of(key)
    elif isinstance(value, Items):
        for position, item in enumerate(value):
            if isinstance(item, str):
                yield item, value.place_of(position)


class _Index:
    """What a name leads to, over all sources, by ids of the merge."""

    def __init__(self, sources: Mapping[str, Source]) -> None:
        self.sources = sources
        self.wires: list[str] = []
        self.by_owner: dict[str, list[str]] = {}
        self.by_circuit: dict[str, list[str]] = {}
        self.members: dict[str, tuple[str, ...]] = {}       # device or box -> itself and what it owns
        self.connectors: list[str] = []
        for source in sources.values():
            harness = source.harness
            for wire in harness.wires.values():
                id = source.id(wire.id)
                self.wires.append(id)
                if wire.circuit:
                    self.by_circuit.setdefault(source.id(wire.circuit), []).append(id)
                for owner in {harness.contacts[end].owner: None for end in (wire.from_, wire.to) if end in harness.contacts}:
                    self.by_owner.setdefault(source.id(owner), []).append(id)
            self.connectors += map(source.id, harness.connectors)
            self.members |= {source.id(owner): tuple(map(source.id, owned)) for owner, owned in owned_by(harness).items()}

    def found(self, selector: str, name: str) -> tuple[list[str], tuple[str, ...]]:
        """The wires that a name means, and the things that leave with it."""
        match selector:
            case "wire":
                return [name] if name in self.wires else [], ()
            case "pattern":
                return [wire for wire in self.wires if fnmatchcase(wire, name)], ()
            case "circuit":
                return self.by_circuit.get(name, []), ()
        owners = self.members.get(name, ()) if selector == "device" else (name,) if name in self.connectors else ()
        return list(dict.fromkeys(wire for owner in owners for wire in self.by_owner.get(owner, ()))), owners

    def known(self, selector: str) -> Iterable[str]:
        return {"wire": self.wires, "pattern": self.wires, "circuit": self.by_circuit, "device": self.members, "connector": self.connectors}[selector]

    def there(self, name: str, selector: str, known: Iterable[str]) -> str:
        """What the source that a name begins with has, where it is one."""
        source = name.partition("/")[0]
        own = [one.partition("/")[2] for one in known if one.startswith(f"{source}/")]
        return f"the {'wire' if selector == 'pattern' else selector}s of {source} are {spread(own)}" if source in self.sources and own else ""

    def with_prefix(self, name: str, known: Iterable[str]) -> str:
        full = [one for one in known if one.partition("/")[2] == name]
        return f"write {' or '.join(full)}" if full else ""


def owned_by(harness: Harness) -> dict[str, tuple[str, ...]]:
    """Everything that owns contacts -> itself and what belongs to it: a device with its connectors, a box with its parts."""
    owned: dict[str, tuple[str, ...]] = {device.id: (device.id, *device.connectors) for device in harness.devices.values()}
    owned |= {box.id: (box.id, *(part.id for part in harness.parts.values() if part.box == box.id)) for box in harness.boxes.values()}
    for things in (harness.connectors, harness.parts, harness.splices, harness.grounds):
        for id in things:
            owned.setdefault(id, (id,))
    return owned
