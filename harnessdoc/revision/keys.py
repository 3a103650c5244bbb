"""What is compared of each thing: its keys, how a change of each is called, how it is printed.

One table a thing. Takes model objects; gives values that are equal where the two say
the same: a length in mm however it was written, a face from the mating side, a set
where the order says nothing. References to other things are led into the new
version's ids before they are compared (``refers``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from functools import cache, partial
from operator import attrgetter
from typing import Any, get_args

from ..description.units import KindName, Length, Quantity, UnitFault, parse_length, parse_quantity, print_length
from ..model.electric import Alternator, Battery, NamedLoad, State, Supply, TestSupply
from ..model.electric_words import LOAD_KINDS
from ..model.faces import mirrored
from ..model.harness import UNKNOWN, Box, Circuit, Connector, Contact, Device, Face, Harness, Offset, Part, Segment, View, Waiver, Wire
from ..trade.colours import Colour, print_colour
from ..trade.sizes import Size, print_size
from .changes import ChangeKind, Thing
from .names import Gone, Names

_TEXT, _USE, _PART, _ROUTE = ChangeKind.TEXT_ONLY, ChangeKind.USE_CHANGED, ChangeKind.PART_CHANGED, ChangeKind.RE_ROUTED
_LENGTH, _TWIST = ChangeKind.RE_LENGTHENED, ChangeKind.RE_TWISTED
_DIGITS = 4
"""Decimals of mm to which two faces are one."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a thing.

    name:    the key of the language
    kind:    what a change of it is called
    get:     model object -> value; None or "" where nothing is said
    unknown: nothing said means that it is not known, so that the first value is "now known"
    refers:  leads a value of the old version into the new version's names; None where it names nothing
    """

    name: str
    kind: ChangeKind
    get: Callable[[Any], Any]
    unknown: bool = False
    refers: Callable[[Names, Any], Any] | None = None


def _key(name: str, kind: ChangeKind, unknown: bool = False, refers: Callable[[Names, Any], Any] | None = None, attribute: str | None = None) -> Key:
    get = attrgetter(attribute or name.replace("-", "_"))
    return Key(name, kind, (lambda thing: _known(get(thing))) if unknown else get, unknown, refers)


def _known(value: Any) -> Any:
    """Nothing for what is said to be unknown, as if it were left out."""
    return "" if isinstance(value, str) and value == UNKNOWN else value


# --------------------------------------------------------- values as they are compared

def face_as_mated(face: Face | None) -> Face | None:
    """The face from the mating side, its lower left corner at 0, cavities by name: the same for every way to write it."""
    if face is None:
        return None
    seen = face if face.view is View.MATING else mirrored(face)
    left, low = min(spot.x for spot in seen.spots), min(spot.y for spot in seen.spots)
    spots = sorted((spot.cavity, round(spot.x - left, _DIGITS), round(spot.y - low, _DIGITS), spot.wide, spot.high) for spot in seen.spots)
    return Face(tuple(spots), View.MATING, seen.shape, seen.unit, seen.lock, seen.entry)


def _bars(box: Box) -> dict[str, frozenset[str]]:
    return {bar.name: frozenset(bar.joins) for bar in box.bars}


def _closes(device: Device) -> dict[str, frozenset[frozenset[str]]]:
    return {position: _pairs(pairs) for position, pairs in device.closes.items()}


def _pairs(pairs: Any) -> frozenset[frozenset[str]]:
    return frozenset(frozenset(pair) for pair in pairs)


def _supply(harness: Harness) -> Quantity | str:
    read = parse_quantity(harness.supply, "voltage")
    return harness.supply if isinstance(read, UnitFault) else read


def _rules(harness: Harness) -> dict[str, dict[str, Any]]:
    return {code: {name: _option(text) for name, text in stated.items()} for code, stated in harness.rule_options.items()}


@cache
def _option(text: str) -> Any:
    """A limit by its own unit, for which rule it may be; what has none is text."""
    reads = (parse_length(text, zero=True), *(parse_quantity(text, kind, zero=True) for kind in get_args(KindName)))
    return next((read for read in reads if not isinstance(read, UnitFault)), text)


def _supply_key(name: str, kind: type[Supply], refers: Callable[[Names, Any], Any] | None = None) -> Key:
    """One kind of supply in a device."""
    return Key(name, _USE, lambda device: device.supply if isinstance(device.supply, kind) else None, False, refers)


def _load_key(kind: str) -> Key:
    """One kind of load that a device is; its two addresses are `between`."""
    return Key(kind, _USE, lambda device: device.load if device.load is not None and device.load.kind == kind else None, True)


def _inside_key(name: str) -> Key:
    """One thing said of what is behind a cavity."""
    get = attrgetter(name.replace("-", "_"))
    return Key(name, _USE, lambda contact: get(contact.inside) if contact.inside is not None else None, True)


def _type(part: Part) -> str:
    """Of a relay that has a part and no kind of its own the part says it."""
    return "" if part.part and part.type == part.part else _known(part.type)


def _hot(circuit: Circuit) -> frozenset[str] | None:
    return None if circuit.hot is None else frozenset(circuit.hot)


# ------------------------------------------------------------------ references

def _point(names: Names, value: str | None) -> str | None:
    return None if value is None else names.of(Thing.POINT, value)


def _address(names: Names, value: str) -> str:
    return names.address(value) if value else value


def _addresses(names: Names, value: tuple[str, ...] | None) -> tuple[str, ...] | None:
    return None if value is None else tuple(names.address(address) for address in value)


def _address_pairs(names: Names, pairs: frozenset[frozenset[str]]) -> frozenset[frozenset[str]]:
    return frozenset(frozenset(map(names.address, pair)) for pair in pairs)


def _closed(names: Names, value: Mapping[str, frozenset]) -> dict[str, frozenset]:
    return {position: _address_pairs(names, pairs) for position, pairs in value.items()}


def _joined(names: Names, value: Mapping[str, frozenset[str]]) -> dict[str, frozenset[str]]:
    return {bar: frozenset(map(names.address, joins)) for bar, joins in value.items()}


def _alternator(names: Names, value: Alternator | None) -> Alternator | None:
    if value is None:
        return None
    return replace(value, charge_lamp=_address(names, value.charge_lamp or "") or None, sense=_address(names, value.sense or "") or None)


def _loads(names: Names, value: Mapping[str, NamedLoad]) -> dict[str, NamedLoad]:
    return {name: replace(load, between=tuple(map(names.address, load.between))) for name, load in value.items()}


def _states(names: Names, value: Mapping[str, State]) -> dict[str, State]:
    return {name: replace(state, switches={names.owner(switch): position for switch, position in state.switches.items()},
                          commanded=tuple(map(names.address, state.commanded))) for name, state in value.items()}


def _partners(names: Names, value: frozenset[str]) -> frozenset[str]:
    """A partner that is gone keeps its name: it may be one that is not there."""
    return frozenset(name if isinstance(now := names.owner(name), Gone) else now for name in value)


def _waivers(names: Names, value: frozenset[Waiver]) -> frozenset[Waiver]:
    return frozenset(replace(waiver, at=names.named(waiver.at)) for waiver in value)


def _owners(names: Names, value: Any) -> Any:
    if value is None:
        return None
    if isinstance(value, str):
        return names.owner(value) if value else ""
    return type(value)(_owners(names, item) for item in value)


def _via(names: Names, value: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(names.segment_or_point(item) for item in value)


def _offset(names: Names, value: Offset | None) -> Offset | None:
    return None if value is None else Offset(value.length, names.of(Thing.POINT, value.origin), names.of(Thing.POINT, value.toward))


def _circuit(names: Names, value: str) -> str:
    return names.of(Thing.CIRCUIT, value) if value else ""


def _thing(thing: Thing, names: Names, value: str | None) -> str | None:
    return None if value is None else names.of(thing, value)


# ----------------------------------------------------------------------- the tables

_TITLE, _NOTE, _EVIDENCE, _PHOTO = _key("title", _TEXT), _key("note", _TEXT), _key("evidence", _TEXT), _key("photo", _TEXT)
_PLACE = _key("place", _ROUTE, True, _point)
_CIRCUIT = _key("circuit", _USE, False, _circuit)

KEYS: Mapping[Thing, tuple[Key, ...]] = {
    Thing.HARNESS: (
        _TITLE, _key("owner", _TEXT), _key("number", _TEXT), _key("by", _TEXT), _key("approved", _TEXT), _NOTE,
        Key("supply", _USE, _supply), _key("allowances", _LENGTH), _key("zones", _USE), _key("ampacity", _USE), _key("states", _USE, False, _states), _key("terminals", _PART),
        Key("rules", _USE, _rules), Key("waivers", _TEXT, lambda harness: frozenset(harness.waivers), False, _waivers), _key("log", _TEXT),
    ),
    # the ends of a wire are compared apart, in revision/ends.py
    Thing.WIRE: (
        _key("size", ChangeKind.RESIZED, True), _key("colour", ChangeKind.RECOLOURED, True), _key("type", _PART, True), _CIRCUIT,
        _key("length", _LENGTH), _key("via", _ROUTE, False, _via), _key("pair", _TWIST, False, partial(_thing, Thing.PAIR)),
        _key("cable", _TWIST, False, partial(_thing, Thing.CABLE)), _key("core", _TWIST), _key("diameter", _PART, True, attribute="diameter_mm"),
        _key("free-air", _PART, attribute="free_air"), _EVIDENCE, _NOTE,
    ),
    Thing.CABLE: (
        _TITLE, _key("part", _PART, True), _key("shield", _PART, True), _key("diameter", _PART, True, attribute="diameter_mm"),
        _key("colour", ChangeKind.RECOLOURED, True), _key("lay", _TWIST, True, attribute="lay_mm"), _key("length", _LENGTH), _NOTE, _EVIDENCE,
    ),
    Thing.PAIR: (_TITLE, _key("lay", _TWIST, True, attribute="lay_mm"), _key("twisted", _TWIST, True, attribute="twisted_mm"), _NOTE),
    Thing.CONNECTOR: (
        _TITLE, _PLACE, _key("half", _PART, True), Key("face", _PART, lambda connector: face_as_mated(connector.face), True), _PHOTO,
        _key("housing", _PART, True), _key("mates", _USE, False, _owners), _key("service", _LENGTH), _NOTE, _EVIDENCE,
    ),
    Thing.CONTACT: (
        _key("function", _USE, True), _key("signal", _USE, True), _CIRCUIT,
        Key("terminal", _PART, lambda contact: contact.fits[0], True), Key("seal", _PART, lambda contact: contact.fits[1]),
        Key("plug", _PART, lambda contact: contact.fits[2]), _key("crimp", _PART, attribute="double"),
        _key("limit", _USE, True), _key("draws", _USE, True),
        *(_inside_key(name) for name in ("on-resistance", "commanded", "pull-up", "pull-down", "diode", "metal")),
        _key("bus", _USE, True), _key("bit-rate", _USE, True), _key("pulses", _USE, True), _key("curve", _USE, True), _key("clamp", _USE, True), _key("monitored", _USE),
        _NOTE, _EVIDENCE,
    ),
    Thing.DEVICE: (
        _TITLE, _PLACE, Key("connectors", _USE, lambda device: frozenset(device.connectors), False, _owners), Key("terminals", _PART, lambda device: frozenset(device.terminals)),
        Key("links", _USE, lambda device: _pairs(device.links), False, _address_pairs), Key("closes", _USE, _closes, False, _closed),
        _key("rest", _USE), _key("lamp", _USE, True), _key("between", _USE, True, _addresses),
        _supply_key("battery", Battery), _supply_key("alternator", Alternator, _alternator), _supply_key("test-supply", TestSupply),
        *(_load_key(kind) for kind in LOAD_KINDS if kind != "lamp"), _key("loads", _USE, False, _loads),
        Key("stays-with", _USE, lambda device: frozenset(device.stays_with), False, _partners), _NOTE, _EVIDENCE,
    ),
    Thing.BOX: (
        _TITLE, _PLACE, _key("lid", _PART, False, _owners), _key("lid-view", _PART), Key("bars", _PART, _bars, False, _joined),
        Key("spare", _PART, lambda box: frozenset(box.spare), False, _owners), _PHOTO, _NOTE, _EVIDENCE,
    ),
    Thing.PART: (
        _TITLE, _key("kind", _PART), _key("box", ChangeKind.MOVED, False, _owners), _PLACE, _key("rating", _PART, True), _key("size", ChangeKind.RESIZED, True),
        _key("value", _PART, True), _key("power", _PART, True), _key("contacts", _PART, True), _key("suppression", _PART, True),
        _key("commanded-by", _USE, False, _address), _key("feeds", _USE), _CIRCUIT, Key("type", _PART, _type, True),
        _key("part", _PART, True), _key("pull-in", _USE), _key("release", _USE), _key("resistance", _USE), _key("drop", _USE), _NOTE, _EVIDENCE,
    ),
    Thing.SPLICE: (
        _TITLE, _PLACE, _key("at", _ROUTE, True, _offset), _key("method", _PART, True), _key("sleeve", _PART), _key("shrink", _PART),
        _key("join", _USE), Key("members", _USE, lambda splice: splice.members_unknown), _NOTE, _EVIDENCE,
    ),
    Thing.GROUND: (_TITLE, _PLACE, _key("stud", _PART, True), _key("metal", _PART, True), _key("terminal", _PART, True), _key("hinged", _USE), _NOTE, _EVIDENCE),
    Thing.CIRCUIT: (Key("title", _TEXT, lambda circuit: "" if circuit.title == circuit.id else circuit.title), _key("system", _TEXT), _key("number", _TEXT), Key("hot", _USE, _hot, True), _key("pulsed", _USE), _NOTE),
    # the ends of a segment are compared apart, as those of a wire
    Thing.SEGMENT: (
        _key("length", _LENGTH, True, attribute="length_mm"), _key("covering", _PART, True), _key("zone", _USE, True),
        _key("grommet", _PART, True, attribute="grommet_mm"), _key("near", _USE), _key("bend", _ROUTE, True), _key("clips", _PART, True), _key("slack", _LENGTH, True), _key("covering-wall", _PART, True),
        _key("sections", _TEXT), _NOTE, _EVIDENCE,
    ),
    Thing.POINT: (_TITLE, _key("zone", _USE, True), _NOTE),
}


def same_as_written(a: Any, b: Any) -> bool:
    """Two model objects with every field alike but their ids: then all keys are, whatever they name. Quick; False proves nothing."""
    return type(a) is type(b) and (fields_of := _fields_of(type(a)))(a) == fields_of(b)


@cache
def _fields_of(kind: type) -> Callable[[Any], tuple]:
    return attrgetter(*(field.name for field in fields(kind) if field.name not in ("id", "source")))


def key_of(key: Key, thing: Any) -> str:
    """The key as the language writes it at this thing."""
    return _PART_KEYS.get((key.name, thing.kind), key.name) if isinstance(thing, Part) else key.name


_PART_KEYS = {("value", "relay"): "coil", ("type", "diode"): "part", ("type", "resistor"): "part"}
"""What the language calls a key at some kinds of part."""


# ------------------------------------------------------------------------ in words

def say(key: str, value: Any, convention: str) -> str:
    """A value as it is printed; "" where nothing is said. convention: in which colours are printed."""
    match value:
        case None | "" | ():
            return ""
        case bool():
            return _FLAGS.get(key, ("yes", "no"))[not value]
        case Colour():
            return print_colour(value, convention)
        case Size():
            return print_size(value)
        case Length():
            return print_length(value, "mm")
        case Quantity():
            return value.stated
        case float() | int():
            return print_length(Length(float(value)), "mm")
        case Offset():
            return f"{print_length(value.length, 'mm')} from {value.origin} toward {value.toward}"
        case Face():
            lock = f", lock {value.lock}" if value.lock else ""
            return f"{len(value.spots)} cavities, {value.shape}{lock}"
        case dict():
            return "; ".join(f"{name}: {say(key, items, convention)}" for name, items in value.items())
        case frozenset():
            return ", ".join(sorted(" and ".join(sorted(item)) if isinstance(item, frozenset) else str(item) for item in value))
        case tuple() if key == "log":
            return f"{value[-1].revision} of {value[-1].date}, entry {len(value)}"
        case tuple() if value and isinstance(value[0], tuple):
            return " / ".join(" ".join(item or "gap" for item in row) for row in value)
        case tuple():
            return ", ".join(map(str, value))
    return _allowances(value) if key == "allowances" else str(value)


_FLAGS = {"pulsed": ("true", ""), "hinged": ("true", ""), "monitored": ("true", ""), "crimp": ("double", ""), "members": ("more members unknown", "")}
"""Key -> the words for true and false."""


def _allowances(value: Any) -> str:
    above = f", {value.step_above_mm:g} mm from {value.above_mm:g} mm" if value.above_mm is not None else ""
    return f"end {value.end_mm:g} mm, splice {value.splice_mm:g} mm, rounding {value.step_mm:g} mm{above}"


def in_words(thing: Thing, item: Any, convention: str) -> str:
    """One line that names a thing by what it joins or is called; "" for None."""
    match item:
        case None:
            return ""
        case Wire():
            kind = " ".join(filter(None, (say("size", item.size, convention), say("colour", item.colour, convention))))
            return ", ".join(filter(None, (f"{item.from_} to {item.to}", kind, item.circuit)))
        case Contact():
            return ", ".join(filter(None, (item.function, item.signal, *item.fits)))
        case Segment():
            return ", ".join(filter(None, (f"{item.from_} to {item.to}", say("length", item.length_mm, convention))))
        case Part():
            return ", ".join(filter(None, (item.kind, say("rating", item.rating, convention), item.title or item.feeds)))
        case Connector():
            cavities = f"{len(item.cavities)} cavities" if item.cavities else ""
            return ", ".join(filter(None, (item.title, cavities)))
    return item.title
