"""Connectors, devices, boxes, parts, splices and grounds: what begins an address.

Takes: the gathered sections. Gives: the model objects, and where each of them sits.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from ..description.text import Items, Record
from ..description.units import Length, UnitFault, parse_length, parse_quantity, parse_size
from .faces import read_face
from .harness import Bar, Box, Connector, Device, Ground, Offset, Part, Splice
from .electric_words import OF_DEVICE
from .ids import name_fault, nearest, no_such, printable, refuse
from .values import Values

if TYPE_CHECKING:
    from .electric import Load, NamedLoad, Supply

_CURRENT = partial(parse_quantity, kind="current")
_RESISTANCE = partial(parse_quantity, kind="resistance", zero=True)
_SOME_RESISTANCE = partial(parse_quantity, kind="resistance")
_VOLTAGE = partial(parse_quantity, kind="voltage")
_POWER = partial(parse_quantity, kind="power")
_AT = re.compile(r"^(?P<length>.+?) from (?P<origin>.+) toward (?P<toward>.+)$")
_PARTS = {"fuses": "fuse", "fusible-links": "fusible link", "relays": "relay", "diodes": "diode", "resistors": "resistor"}
_TERMINALS = {"fuse": ("1", "2"), "fusible link": ("1", "2"), "diode": ("A", "K"), "resistor": ("1", "2")}
_RELAY_TERMINALS = {
    "make": ("86", "85", "30", "87"),
    "changeover": ("86", "85", "30", "87", "87a"),
    "two 87": ("86", "85", "30", "87", "87b"),
    "break": ("86", "85", "30", "87a"),
    None: ("86", "85", "30", "87", "87a"),
}
"""Form of a relay (None: not known yet) -> terminals after DIN 72552; coil first, then contacts."""


@dataclass(frozen=True, slots=True)
class Owners:
    """Everything that owns contacts, by id, and the point at which each sits."""

    connectors: dict[str, Connector]
    devices: dict[str, Device]
    boxes: dict[str, Box]
    parts: dict[str, Part]
    splices: dict[str, Splice]
    grounds: dict[str, Ground]
    place_of: dict[str, str]

    @property
    def groups(self) -> tuple[dict, ...]:
        """The maps of owners; an id stands in one of them only."""
        return self.connectors, self.devices, self.boxes, self.parts, self.splices, self.grounds


def build_owners(values: Values, sections: dict) -> Owners:
    """All owners; references between them that lead nowhere are findings and left out."""
    device_of = _devices_of_connectors(values, sections)
    connectors = {name: _connector(values, name, entry, device_of.get(name), sections["connectors"])
                  for name, (entry, _) in sections["connectors"].items()}
    devices = {name: _device(values, name, entry, sections["connectors"]) for name, (entry, _) in sections["devices"].items()}
    positions = [owner for section in (*_PARTS, "connectors") for owner in sections[section]]
    boxes = {name: _box(values, name, entry, positions) for name, (entry, _) in sections["boxes"].items()}
    parts = {name: _part(values, name, entry, kind, boxes) for section, kind in _PARTS.items()
             for name, (entry, _) in sections[section].items()}
    splices = {name: _splice(values, name, entry) for name, (entry, _) in sections["splices"].items()}
    grounds = {name: _ground(values, name, entry) for name, (entry, _) in sections["grounds"].items()}
    place_of = {name: owner.place for group in (devices, boxes, splices, grounds) for name, owner in group.items() if owner.place}
    for part in parts.values():
        place = part.place or (place_of.get(part.box) if part.box else None)
        if place:
            place_of[part.id] = place
    for connector in connectors.values():
        place = connector.place or (place_of.get(connector.device) if connector.device else None)
        if place:
            place_of[connector.id] = place
    return Owners(connectors, devices, boxes, parts, splices, grounds, place_of)


def reference(values: Values, record: Record, key: str, known: dict, code: str, what: str, owner: str) -> str | None:
    """The id at ``key`` if it is known; else a finding with the nearest, and None."""
    name = values.word(record, key)
    if name is None or name in known:
        return name
    no_such(values, code, name, known, what, f"`{key}` of {owner}", record.place_of(key))
    return None


def _devices_of_connectors(values: Values, sections: dict) -> dict[str, str]:
    owner: dict[str, str] = {}
    for device, (entry, _) in sections["devices"].items():
        for position, connector in enumerate(values.texts(entry, "connectors")):
            if connector in owner:
                both = f"device {owner[connector]} and to device {device}" if owner[connector] != device else f"device {device} twice"
                values.error("connector-of-two-devices", f"connector {connector} belongs to {both}",
                             entry["connectors"].place_of(position), "name it once")
            owner.setdefault(connector, device)
    return owner


def _connector(values: Values, name: str, entry: Record, device: str | None, connectors: dict) -> Connector:
    owner = f"connector {name}"
    face = read_face(values, entry, owner)
    return Connector(
        id=name, title=values.text(entry, "title"), place=values.word(entry, "place"), half=values.word(entry, "half"),
        face=face, cavities=tuple(spot.cavity for spot in face.spots) if face else (), photo=values.text(entry, "photo"),
        housing=values.text(entry, "housing"), mates=reference(values, entry, "mates", connectors, "no-such-connector", "connector", owner),
        service=values.quantity(entry, "service", parse_length, owner), device=device,
        note=values.text(entry, "note"), evidence=values.text(entry, "evidence"), source=entry,
    )


def _device(values: Values, name: str, entry: Record, connectors: dict) -> Device:
    owned = []
    for position, connector in enumerate(values.texts(entry, "connectors")):
        if connector in connectors:
            owned.append(connector)
        else:
            no_such(values, "no-such-connector", connector, connectors, "connector", f"`connectors` of device {name}", entry["connectors"].place_of(position))
    closes = entry.get("closes")
    between = values.texts(entry, "between")
    rest, supply, load, loads = _in_device(values, name, entry)
    return Device(
        id=name, title=values.text(entry, "title"), place=values.word(entry, "place"), connectors=tuple(owned),
        terminals=_names(values, entry, "terminals", f"device {name}"), links=_pairs(entry.get("links")),
        closes={position: _pairs(pairs) for position, pairs in closes.items()} if isinstance(closes, Record) else {},
        lamp=values.text(entry, "lamp"), between=between if len(between) == 2 else None,
        rest=rest, supply=supply, load=load, loads=loads, stays_with=values.texts(entry, "stays-with"), note=values.text(entry, "note"), evidence=values.text(entry, "evidence"), source=entry,
    )


def _in_device(values: Values, name: str, entry: Record) -> tuple[str | None, Supply | None, Load | None, dict[str, NamedLoad]]:
    """What stands in a device; see ``build_loads``."""
    if OF_DEVICE.isdisjoint(entry):
        return None, None, None, {}
    from .build_loads import read_in_device

    return read_in_device(values, name, entry)


def _names(values: Values, entry: Record, key: str, owner: str) -> tuple[str, ...]:
    """The terminals of a device, without those that cannot be used."""
    good: list[str] = []
    for position, name in enumerate(values.texts(entry, key)):
        place = entry[key].place_of(position)
        if fault := name_fault(name):
            refuse(values, f"terminal '{printable(name)}' of {owner}", fault, place)
        elif name in good:
            values.error("terminal-twice", f"{owner} has terminal {name} twice", place, "name it once")
        else:
            good.append(name)
    return tuple(good)


def _pairs(written: object) -> tuple[tuple[str, str], ...]:
    if not isinstance(written, Items):
        return ()
    return tuple((pair[0], pair[1]) for pair in written
                 if isinstance(pair, Items) and len(pair) == 2 and all(isinstance(end, str) for end in pair))


def _box(values: Values, name: str, entry: Record, positions: Collection[str]) -> Box:
    spare = values.texts(entry, "spare")
    return Box(
        id=name, title=values.text(entry, "title"), place=values.word(entry, "place"), lid=_lid(values, name, entry, {*positions, *spare}),
        lid_view=values.text(entry, "lid-view") or "lid side", bars=_bars(values, name, entry), spare=spare,
        photo=values.text(entry, "photo"), note=values.text(entry, "note"), evidence=values.text(entry, "evidence"), source=entry,
    )


def _bars(values: Values, box: str, entry: Record) -> tuple[Bar, ...]:
    bars = entry.get("bars")
    good = []
    for name in bars if isinstance(bars, Record) else ():
        if fault := name_fault(name):
            refuse(values, f"bar '{printable(name)}' of box {box}", fault, bars.place_of_key(name))
        elif isinstance(bars[name], Items):
            good.append(Bar(f"{box}.{name}", box, name, values.texts(bars, name)))
    return tuple(good)


def _lid(values: Values, box: str, entry: Record, positions: Collection[str]) -> tuple[tuple[str, ...], ...]:
    """The rows of the lid, "" for a gap; an unknown position is a finding, and a gap."""
    rows = []
    for row in entry.get("lid") if isinstance(entry.get("lid"), Items) else ():
        cells = []
        for place, item in enumerate(row if isinstance(row, Items) else ()):
            known = isinstance(item, str) and item in positions
            if isinstance(item, str) and item != "gap" and not known:
                no_such(values, "no-such-position", item, sorted(positions), "position", f"the lid of box {box}", row.place_of(place))
            cells.append(item if known else "")
        rows.append(tuple(cells))
    return tuple(rows)


def _part(values: Values, name: str, entry: Record, kind: str, boxes: dict) -> Part:
    owner = f"{kind} {name}"
    contacts = values.word(entry, "contacts") or (None if "contacts" in entry else "make") if kind == "relay" else None
    return Part(
        id=name, kind=kind, title=values.text(entry, "title"), box=reference(values, entry, "box", boxes, "no-such-box", "box", owner),
        place=values.word(entry, "place"),
        terminals=_RELAY_TERMINALS.get(contacts, _RELAY_TERMINALS[None]) if kind == "relay" else _TERMINALS[kind],
        rating=values.quantity(entry, "rating", _CURRENT, owner), size=values.quantity(entry, "size", parse_size, owner),
        value=values.quantity(entry, "coil" if kind == "relay" else "value", _RESISTANCE, owner),
        power=values.quantity(entry, "power", _POWER, owner), contacts=contacts, suppression=values.word(entry, "suppression"),
        part=_ready_made(values, entry, owner) if kind == "relay" else "", pull_in=values.quantity(entry, "pull-in", _VOLTAGE, owner),
        release=values.quantity(entry, "release", _VOLTAGE, owner), resistance=values.quantity(entry, "resistance", _SOME_RESISTANCE, owner),
        drop=values.quantity(entry, "drop", _VOLTAGE, owner), commanded_by=values.text(entry, "commanded-by"), feeds=values.text(entry, "feeds"), circuit=values.text(entry, "circuit"),
        type=values.text(entry, "type") or values.text(entry, "part"), note=values.text(entry, "note"),
        evidence=values.text(entry, "evidence"), source=entry,
    )


def _ready_made(values: Values, entry: Record, owner: str) -> str:
    """The name of the relay's row in the table of parts; another name is a finding and left out."""
    name = values.word(entry, "part") or ""
    if not name:
        return ""
    from ..trade.relay_parts import relay_parts    # a file without parts starts without the table

    if name not in relay_parts():
        near = nearest(name, relay_parts())
        values.error("no-such-part", f"`part` of {owner} is '{printable(name)}', which is no ready-made part", entry.place_of("part"),
                     f"{f'did you mean {near}? ' if near else ''}the parts are {', '.join(relay_parts())}; what another one is called goes into `note:`")
        return ""
    return name


def _splice(values: Values, name: str, entry: Record) -> Splice:
    at = None
    written = values.word(entry, "at")
    if written:
        at = read_offset(written)
        if isinstance(at, UnitFault):
            values.error("bad-position", f"`at` of splice {name}: {at.message}", entry.place_of("at"), at.do)
            at = None
        elif values.word(entry, "place"):
            values.error("two-positions", f"splice {name} has `place: {entry['place']}` and `at: {written}`", entry.place_of("at"),
                         "keep one: `place:` at a point, `at:` on a segment")
    return Splice(
        id=name, title=values.text(entry, "title"), place=values.word(entry, "place"), at=at, method=values.text(entry, "method"),
        sleeve=values.text(entry, "sleeve"), shrink=values.text(entry, "shrink"), join=values.text(entry, "join"),
        members_unknown="unknown" in values.texts(entry, "members"), note=values.text(entry, "note"),
        evidence=values.text(entry, "evidence"), source=entry,
    )


def read_offset(text: str) -> Offset | UnitFault:
    """``120 mm from P3 toward P4`` as an Offset."""
    match = _AT.match(text)
    if match is None:
        return UnitFault(f"'{text}' is no position", "write a length, a point and a neighbour: `120 mm from P3 toward P4`")
    length = parse_length(match["length"], zero=True)
    return Offset(length, match["origin"].strip(), match["toward"].strip()) if isinstance(length, Length) else length


def _ground(values: Values, name: str, entry: Record) -> Ground:
    return Ground(
        id=name, title=values.text(entry, "title"), place=values.word(entry, "place"), stud=values.text(entry, "stud"),
        metal=values.word(entry, "metal"), terminal=values.text(entry, "terminal"), note=values.text(entry, "note"),
        evidence=values.text(entry, "evidence"), hinged=entry.get("hinged") == "true", source=entry,
    )
