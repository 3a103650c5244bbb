"""What a harness says, as plain maps; and a test-only applier of changes to them.

Takes a Harness; gives {(thing, id): {key: value}}, written apart from
``harnessdoc/revision`` so that the two can disagree. Every field of every model class
is either read here or on `LEFT_OUT` with the reason; `test_algebra.py` says so.
`applied` takes such maps and the changes alone, and gives those of the new version.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import lru_cache, partial
from typing import Any

from harnessdoc.description.measures import Curve, Pulses
from harnessdoc.description.ratings import PullUp, Rating
from harnessdoc.description.units import Length, Quantity, UnitFault, parse_length, parse_quantity
from harnessdoc.model import electric
from harnessdoc.model import harness as model
from harnessdoc.model.harness import OPEN, UNKNOWN, Harness
from harnessdoc.revision.changes import Change, ChangeKind, Thing
from harnessdoc.trade.colours import Colour, Tint
from harnessdoc.trade.sizes import Size
from harnessdoc.trade.wire_types import WireType

Plain = dict[tuple[Thing, str], dict[str, Any]]

OWNERS = (Thing.CONNECTOR, Thing.DEVICE, Thing.BOX, Thing.PART, Thing.SPLICE, Thing.GROUND)
"""What begins an address."""

SECTIONS: Mapping[Thing, str] = {
    Thing.WIRE: "wires", Thing.CABLE: "cables", Thing.PAIR: "pairs", Thing.CONNECTOR: "connectors", Thing.CONTACT: "contacts",
    Thing.DEVICE: "devices", Thing.BOX: "boxes", Thing.PART: "parts", Thing.SPLICE: "splices", Thing.GROUND: "grounds",
    Thing.CIRCUIT: "circuits", Thing.SEGMENT: "segments", Thing.POINT: "points",
}
"""Thing -> the map of the Harness that holds it."""

THINGS = (model.Harness, model.Wire, model.Cable, model.Pair, model.Connector, model.Contact, model.Device, model.Box, model.Part, model.Splice,
          model.Ground, model.Circuit, model.Segment, model.Point)
VALUES = (model.Face, model.Spot, model.Offset, model.Bar, model.Allowances, model.Revision, model.TerminalKind, model.Waiver, Size, Colour, Tint, WireType, Length, Quantity,
          electric.Battery, electric.Alternator, electric.TestSupply, electric.Load, electric.NamedLoad, electric.Inside, electric.State, Rating, PullUp, Pulses, Curve)
"""The classes inside the values of things."""

_SOURCE, _STATED, _LISTED_BACK = "where it stands, not what it says", "notation", "the same is said by each wire"
LEFT_OUT: Mapping[tuple[type, str], str] = {
    **{(kind, "source"): _SOURCE for kind in THINGS if "source" in {field.name for field in fields(kind)}},
    **{(kind, "id"): "the key of the map" for kind in THINGS if "id" in {field.name for field in fields(kind)}},
    **{(kind, "stated"): _STATED for kind in (Size, Length, Quantity, Pulses, Curve)},
    (model.Wire, "colour_as_stated"): _STATED,
    (model.Wire, "convention"): _STATED,
    (model.Harness, "convention"): _STATED,
    (model.Segment, "length_as_stated"): _STATED,
    (model.Face, "view"): "the face is read from the mating side, however written",
    (model.Cable, "wires"): _LISTED_BACK,
    (model.Pair, "wires"): _LISTED_BACK,
    (model.Connector, "device"): "the same is said by the device",
    (model.Connector, "cavities"): "the names on the face, in the order of writing",
    (model.Contact, "address"): "the key of the map",
    (model.Contact, "owner"): "part of the address",
    (model.Contact, "name"): "part of the address",
    (model.Contact, "kind"): "follows from the owner",
    (model.Contact, "terminal"): "`fits`, by whether a wire is there",
    (model.Contact, "seal"): "`fits`, by whether a wire is there",
    (model.Contact, "plug"): "`fits`, by whether a wire is there",
    (model.Part, "terminals"): "follows from the kind and the contacts",
    (model.Bar, "address"): "box and name",
    (model.Bar, "box"): "the box that holds it",
    (Size, "area_mm2"): "follows from system and number",
    (WireType, "insulation"): "follows from the name",
    (WireType, "family"): "follows from the name",
    (model.Harness, "wires_at"): _LISTED_BACK,
    (model.Harness, "place_of"): "follows from the places of the owners",
    (model.Harness, "file"): "the name of the file",
    (model.Harness, "supplies"): "follows from the devices",
    (model.Harness, "key_switch"): "follows from the devices",
    **{(kind, "source"): _SOURCE for kind in (electric.State, model.TerminalKind, model.Waiver)},
    (model.TerminalKind, "id"): "the key of the map",
    **{(model.Harness, section): "a thing each" for section in SECTIONS.values()},
}

FIELDS: Mapping[tuple[type, str], str] = {
    (model.Wire, "from_"): "end", (model.Wire, "to"): "end", (model.Wire, "diameter_mm"): "diameter", (model.Wire, "free_air"): "free-air",
    (model.Cable, "diameter_mm"): "diameter", (model.Cable, "lay_mm"): "lay", (model.Pair, "lay_mm"): "lay", (model.Pair, "twisted_mm"): "twisted",
    (model.Contact, "double"): "crimp", (model.Contact, "fits"): "terminal",
    (model.Splice, "members_unknown"): "members",
    (model.Segment, "from_"): "end", (model.Segment, "to"): "end", (model.Segment, "length_mm"): "length", (model.Segment, "grommet_mm"): "grommet",
    (model.Harness, "rule_options"): "rules",
}
"""Field -> key of the language, where it is not the field's name with hyphens."""

_SUPPLIES = {electric.Battery: "battery", electric.Alternator: "alternator", electric.TestSupply: "test-supply"}

FITTED = ("terminal", "seal", "plug")
"""What is fitted in a cavity; the rest is what the cavity is for."""

GONE = "\0gone "
"""Before the ids of what is removed, so that they are nobody else's."""

IMPLIED = (Thing.CONTACT, Thing.CIRCUIT, Thing.POINT, Thing.PAIR, Thing.CABLE)
"""Of these one of which nothing is said is no thing: others name it, that is all."""


# ------------------------------------------------------------------------ flattening

@lru_cache(maxsize=512)
def canonical(harness: Harness) -> Plain:
    """What the harness says. Not to be changed by the caller: it is kept."""
    plain: Plain = {(Thing.HARNESS, ""): _said(harness)}
    for thing, section in SECTIONS.items():
        for name, made in getattr(harness, section).items():
            plain[thing, name] = said(thing, made)
    return tidy(plain)


def tidy(plain: Plain) -> Plain:
    """Without what is only implied, and without the terminal of a ground where the ground says it."""
    for (thing, name), values in plain.items():
        if thing is Thing.CONTACT and "terminal" in values and plain.get((Thing.GROUND, name), {}).get("terminal") == values["terminal"]:
            del values["terminal"]
    return {key: values for key, values in plain.items() if values or key[0] not in IMPLIED}


def said(thing: Thing, made: Any) -> dict[str, Any]:
    """Key -> value of one model object; what is not said is left out."""
    values = _said(made)
    if thing in (Thing.WIRE, Thing.SEGMENT):
        values["end"] = _ends(made.from_, made.to)
    if thing is Thing.CONTACT:
        values |= {key: text for key, text in zip(("terminal", "seal", "plug"), made.fits)}
    if thing is Thing.PART:
        values["coil" if made.kind == "relay" else "value"] = values.pop("value", None)
        values["part" if made.kind in ("diode", "resistor") else "type"] = values.pop("type", None)
        if made.part and made.type == made.part:
            values.pop("type")    # the build gives the part where no kind is written
    if thing is Thing.DEVICE:
        values.pop("load", None)
        if made.load is not None and made.load.kind != "lamp":    # what is said of a lamp stands at `lamp`, read or not
            values[made.load.kind] = plain_value("load", made.load)
        if made.supply is not None:
            values[_SUPPLIES[type(made.supply)]] = values.pop("supply")
    if thing is Thing.CONTACT and values.pop("inside", None):
        values |= {field.name.replace("_", "-"): _plain(getattr(made.inside, field.name)) for field in fields(made.inside)}
    if thing is Thing.CIRCUIT and made.title == made.id:
        values.pop("title", None)    # the build gives the id where no title is written
    return {key: value for key, value in values.items() if not _nothing(value)}


def _said(made: Any) -> dict[str, Any]:
    kind = type(made)
    values = {}
    for field in fields(made):
        if (kind, field.name) in LEFT_OUT:
            continue
        key = FIELDS.get((kind, field.name), field.name.replace("_", "-"))
        value = plain_value(key, getattr(made, field.name))
        if not _nothing(value):
            values[key] = value
    return values


def _nothing(value: Any) -> bool:
    """Left out, the word `unknown`, and a flag that is not set say nothing."""
    return value is None or value is False or value in ("", UNKNOWN) or (isinstance(value, (tuple, Counter, frozenset)) and not value)


def _ends(one: str, other: str) -> Counter[str]:
    return Counter((one, other))


def plain_value(key: str, value: Any) -> Any:
    """A value of the model, or one out of a Change, as plain data that compares by meaning."""
    if key == "supply" and isinstance(value, str):
        read = parse_quantity(value, "voltage")
        value = value if isinstance(read, UnitFault) else read
    if key == "bars" and isinstance(value, tuple):
        return frozenset((bar.name, frozenset(bar.joins)) for bar in value)
    if key in ("bars", "closes") and isinstance(value, Mapping):
        return frozenset((name, frozenset(frozenset(item) if key == "closes" else item for item in items)) for name, items in value.items())
    if key == "links" and value is not None:
        return frozenset(map(frozenset, value))
    if key == "rules":
        return frozenset((code, name, _limit(text)) for code, options in value.items() for name, text in options.items())
    if key in ("connectors", "terminals", "spare", "hot", "stays-with", "waivers") and value is not None and not isinstance(value, Mapping):
        return frozenset(map(_plain, value))
    if isinstance(value, model.Face):
        return _face(value)
    return _plain(value)


def _limit(limit: Any) -> Any:
    """The value of an option, as written or out of a Change."""
    if isinstance(limit, str):
        read = parse_length(limit)
        limit = next((read for read in (read, *(parse_quantity(limit, kind) for kind in ("current", "voltage", "time"))) if not isinstance(read, UnitFault)), limit)
    return _plain(limit)


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float):
        return round(value, 6)
    if isinstance(value, (tuple, list)):
        return tuple(map(_plain, value))
    if isinstance(value, Mapping):
        return frozenset((name, _plain(item)) for name, item in value.items())
    if is_dataclass(value):
        kept = (field.name for field in fields(value) if (type(value), field.name) not in LEFT_OUT)
        return type(value).__name__, *((name, _plain(getattr(value, name))) for name in kept)
    return value


def _face(face: model.Face) -> tuple:
    """Cavities by name, from the mating side, the lower left one at (0, 0)."""
    turn = -1 if face.view is model.View.WIRE else 1
    spots = [spot if isinstance(spot, tuple) else (spot.cavity, spot.x, spot.y, spot.wide, spot.high) for spot in face.spots]
    left, low = min(turn * x for _, x, *_ in spots), min(y for _, _, y, *_ in spots)
    side = {"left": "right", "right": "left"} if turn < 0 else {}
    placed = frozenset((cavity, round(turn * x - left, 3) + 0.0, round(y - low, 3) + 0.0, wide, high) for cavity, x, y, wide, high in spots)
    return placed, face.shape, face.unit, side.get(face.lock, face.lock), side.get(face.entry, face.entry)


# -------------------------------------------------------------------------- applying

class _Names:
    """Old ids to new ones, by the changes alone; what is gone gets a name that nothing else can have."""

    def __init__(self, changes: Iterable[Change]) -> None:
        self.maps: dict[Thing, dict[str, str]] = {thing: {} for thing in Thing}
        for change in changes:
            if change.key == "" and change.old_id is not None and change.thing is not Thing.CONTACT:
                if change.kind is ChangeKind.RENAMED:
                    assert change.new_id is not None
                    self.maps[change.thing][change.old_id] = change.new_id
                elif change.kind is ChangeKind.REMOVED:
                    self.maps[change.thing][change.old_id] = f"{GONE}{change.old_id}"
        self.owners = {old: new for thing in OWNERS for old, new in self.maps[thing].items()}

    def of(self, thing: Thing, name: str) -> str:
        return self.maps[thing].get(name, name)

    def owner(self, name: str) -> str:
        return self.owners.get(name, name)

    def address(self, address: str) -> str:
        if address in (UNKNOWN, OPEN) or address in self.owners:
            return self.owner(address)
        owner, dot, name = address.rpartition(".")
        return f"{self.owner(owner)}.{name}" if dot else address

    def passed(self, name: str) -> str:
        """A segment or a place of `via`; a name is one of the two."""
        return self.of(Thing.SEGMENT, name) if name in self.maps[Thing.SEGMENT] else self.of(Thing.POINT, name)

    def value(self, thing: Thing, key: str, value: Any) -> Any:
        """A value of the old version in the names of the new one."""
        reader: Callable[[Any], Any] | None = {
            "place": partial(self.of, Thing.POINT), "circuit": partial(self.of, Thing.CIRCUIT), "mates": self.owner, "box": self.owner,
            "connectors": partial(_each, self.owner), "spare": partial(_each, self.owner), "lid": lambda rows: tuple(_each(self.owner, row) for row in rows),
            "via": partial(_each, self.passed), "between": partial(_each, self.address),
            "links": lambda pairs: frozenset(_each(self.address, pair) for pair in pairs),
            "closes": lambda closed: frozenset((name, frozenset(_each(self.address, pair) for pair in pairs)) for name, pairs in closed),
            "bars": lambda bars: frozenset((name, _each(self.address, joins)) for name, joins in bars),
            "at": lambda at: (*at[:2], *((name, self.of(Thing.POINT, point)) for name, point in at[2:])),
            "pair": partial(self.of, Thing.PAIR), "cable": partial(self.of, Thing.CABLE), "commanded-by": self.address,
            "loads": lambda loads: frozenset((name, _led(load, between=partial(_each, self.address))) for name, load in loads),
            "alternator": partial(_led, charge_lamp=self._address_or_none, sense=self._address_or_none),
            "states": lambda states: frozenset((name, _led(state, commanded=partial(_each, self.address), switches=self._switches)) for name, state in states),
            "stays-with": lambda partners: frozenset(_still(name, self.owner(name)) for name in partners),
            "waivers": lambda waivers: frozenset(_led(waiver, at=self._named) for waiver in waivers),
        }.get(key)
        if key == "end":
            reader = self._wire_ends if thing is Thing.WIRE else self._segment_ends
        return reader(value) if reader else value

    def _named(self, at: str) -> str:
        """``wire 12`` or an address."""
        word, _, name = at.partition(" ")
        thing = next((thing for thing in (Thing.WIRE, Thing.SEGMENT, Thing.CIRCUIT, Thing.PAIR, Thing.CABLE, Thing.POINT) if thing.value == word and name), None)
        return _still(at, self.address(at)) if thing is None else _still(at, f"{word} {self.of(thing, name)}")

    def _address_or_none(self, address: str | None) -> str | None:
        return None if address is None else self.address(address)

    def _switches(self, held: frozenset) -> frozenset:
        return frozenset((self.owner(switch), position) for switch, position in held)

    def _wire_ends(self, ends: Counter[str]) -> Counter[str]:
        return Counter(map(self.address, ends.elements()))

    def _segment_ends(self, ends: Counter[str]) -> Counter[str]:
        return Counter(self.of(Thing.POINT, name) for name in ends.elements())


def _still(name: str, now: str) -> str:
    """A name that may name what is not there stays where it is gone."""
    return name if GONE in now else now


def _led(plain: tuple, **turns: Callable[[Any], Any]) -> tuple:
    """A plain dataclass with some of its fields turned."""
    name, *said = plain
    return name, *((field, turns[field](value) if field in turns else value) for field, value in said)


def _each(turn: Callable[[str], str], values: Any) -> Any:
    return type(values)(turn(value) for value in values)


def applied(old: Plain, changes: Iterable[Change]) -> Plain:
    """The new version's map, from the old one's and the changes: nothing else is looked at."""
    changes = tuple(changes)
    names = _Names(changes)
    plain: Plain = {}
    for (thing, name), values in old.items():
        now = names.address(name) if thing is Thing.CONTACT else names.of(thing, name)
        assert (thing, now) not in plain, f"two things are called {now} after renaming"
        plain[thing, now] = {key: names.value(thing, key, value) for key, value in values.items()}
    for change in changes:
        if change.key == "" and change.kind is ChangeKind.REMOVED:
            _remove(plain, names, change)
    for change in changes:
        if change.key == "" and change.kind is ChangeKind.ADDED:
            assert change.new_id is not None and (change.thing, change.new_id) not in plain, f"{change.new_id} is added but was there"
            plain[change.thing, change.new_id] = said(change.thing, change.new)
    _move_contacts(plain, names, changes)
    for change in changes:
        if change.key:
            _set(plain, names, change)
    return tidy({key: {name: value for name, value in values.items() if not _nothing(value)} for key, values in plain.items()})


def _remove(plain: Plain, names: _Names, change: Change) -> None:
    assert change.old_id is not None
    if change.thing is Thing.CONTACT:
        del plain[change.thing, names.address(change.old_id)]
        return
    gone = names.of(change.thing, change.old_id)
    plain.pop((change.thing, gone), None) if change.thing in IMPLIED else plain.pop((change.thing, gone))


def _move_contacts(plain: Plain, names: _Names, changes: Iterable[Change]) -> None:
    """What a cavity is for goes along with its wire; what is fitted in it has changes of its own."""
    moves = {names.address(change.old_id): change.new_id for change in changes
             if change.thing is Thing.CONTACT and change.kind is ChangeKind.MOVED and change.key == "" and change.old_id and change.new_id}
    before = {address: plain.get((Thing.CONTACT, address), {}) for pair in moves.items() for address in pair}
    for address in {*moves, *moves.values()}:
        came_from = next((start for start, end in moves.items() if end == address), None)
        use = {} if came_from is None else {key: value for key, value in before[came_from].items() if key not in FITTED}
        fitted = {} if address.startswith(GONE) else {key: value for key, value in before[address].items() if key in FITTED}
        plain[Thing.CONTACT, address] = use | fitted


def _set(plain: Plain, names: _Names, change: Change) -> None:
    """One value of one thing. Each change must find the old value it speaks of."""
    thing, name = change.thing, change.new_id if change.new_id is not None else names.of(change.thing, change.old_id or "")
    if thing is Thing.CONTACT and change.new_id is None:
        name = names.address(change.old_id or "")
    values = plain.setdefault((thing, name), {}) if thing in IMPLIED else plain[thing, name]
    if change.key == "end":
        ends = values["end"].copy()
        was = names.address(change.old) if thing is Thing.WIRE else names.of(Thing.POINT, change.old)
        assert ends[was] > 0, f"{change} speaks of an end that was not there: {ends}"
        ends[was] -= 1
        ends[change.new] += 1
        values["end"] = +ends
        return
    was = plain_value(change.key, change.old)
    was = names.value(thing, change.key, None if _nothing(was) else was) if not _nothing(was) else None
    assert was == values.get(change.key), f"{change} speaks of a value that was not there: {values.get(change.key)}"
    values[change.key] = plain_value(change.key, change.new)


# ------------------------------------------------------------------ changes to compare

def told(change: Change) -> tuple:
    """All a change tells but for where it stands and why, so that two changes compare."""
    return (change.kind, change.thing, change.old_id, change.new_id, change.key, _object(change.key, change.old), _object(change.key, change.new), change.was, change.now)


def mirrored(change: Change) -> tuple:
    """`told` of the same change seen from the other side."""
    return (change.kind.mirror, change.thing, change.new_id, change.old_id, change.key, _object(change.key, change.new), _object(change.key, change.old), change.now, change.was)


def _object(key: str, value: Any) -> Any:
    return ("object", getattr(value, "id", "")) if key == "" else plain_value(key, value)
