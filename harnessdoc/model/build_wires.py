"""Wires, and the cables and pairs they are members of.

Takes: the gathered wires and the contacts. Gives: wires with both ends resolved,
and which wires end at each contact. The one loop of the build that runs tens of
thousands of times, hence its plain style.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from ..description.text import Items, Record
from ..description.units import parse_length, parse_quantity, parse_size
from ..trade.colours import CONVENTIONS, Colour, ColourFault, parse_colour
from ..trade.wire_types import WireType, WireTypeFault, parse_wire_type
from .build_contacts import Contacts
from .harness import OPEN, UNKNOWN, Cable, Pair, Point, Segment, Wire
from .ids import no_such
from .values import Values, text_of

_CURRENT = partial(parse_quantity, kind="current")

DEFAULT_CONVENTION = CONVENTIONS[0]


@dataclass(frozen=True, slots=True)
class Wired:
    """Wires, cables and pairs by id, and address -> ids of the wires that end there."""

    wires: dict[str, Wire]
    cables: dict[str, Cable]
    pairs: dict[str, Pair]
    wires_at: dict[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class _Habits:
    """What a document says once for all of its wires. convention: None where it names one that does not exist."""

    convention: str | None
    type: WireType | None


def build_wires(values: Values, documents: Sequence[Record], sections: dict, contacts: Contacts,
                segments: dict[str, Segment], points: dict[str, Point]) -> Wired:
    """Every wire; one whose end leads nowhere keeps ``unknown`` there, with a finding."""
    habits = {id(document): _Habits(_convention(document), _wire_type(values, document, "wire-type", "the description"))
              for document in documents}
    known = contacts.by_address
    wires: dict[str, Wire] = {}
    ends: dict[str, list[str]] = {}
    cables: dict[str, list[str]] = {}
    pairs: dict[str, list[str]] = {}
    for name, (entry, document) in sections["wires"].items():
        get = entry.get
        habit = habits[id(document)]
        from_, to = _ends(values, contacts, name, entry)
        if from_ in known:
            ends.setdefault(from_, []).append(name)
        if to in known:
            ends.setdefault(to, []).append(name)
        pair, cable = values.word(entry, "pair"), values.word(entry, "cable")
        if pair:
            pairs.setdefault(pair, []).append(name)
        if cable:
            cables.setdefault(cable, []).append(name)
        stated, colour = _colour(values, f"wire {name}", entry, habit.convention)
        diameter = values.quantity(entry, "diameter", parse_length, f"wire {name}") if "diameter" in entry else None
        wires[name] = Wire(
            name, from_, to,
            values.quantity(entry, "size", parse_size, f"wire {name}"), colour, stated, habit.convention or DEFAULT_CONVENTION,
            _wire_type(values, entry, "type", f"wire {name}") if "type" in entry else habit.type,
            values.word(entry, "circuit") or "",
            values.quantity(entry, "length", parse_length, f"wire {name}") if "length" in entry else None,
            _via(values, name, entry, segments, points) if "via" in entry else (),
            pair or None, cable or None, text_of(get("core")) or "core", diameter.mm if diameter else None,
            text_of(get("evidence")), text_of(get("note")), entry,
            free_air=values.quantity(entry, "free-air", _CURRENT, f"wire {name}") if "free-air" in entry else None,
        )
    _check_declared(values, sections, pairs, cables)
    return Wired(
        wires,
        {name: _cable(values, name, sections, habits, tuple(cables.get(name, ()))) for name in {**sections["cables"], **cables}},
        {name: _pair(values, name, sections, tuple(pairs.get(name, ()))) for name in {**sections["pairs"], **pairs}},
        {address: tuple(names) for address, names in ends.items()},
    )


def _check_declared(values: Values, sections: dict, pairs: dict[str, list[str]], cables: dict[str, list[str]]) -> None:
    """Where some pairs or cables are declared, another name is a slip; where none is, a wire's word is enough."""
    wires = sections["wires"]
    for name, members in pairs.items():
        if sections["pairs"] and name not in sections["pairs"]:
            entry = wires[members[0]][0]
            no_such(values, "no-such-pair", name, sections["pairs"], "pair", f"`pair` of wire {members[0]}", entry.place_of("pair"))
    for name, members in cables.items():
        if sections["cables"] and name not in sections["cables"]:
            entry = wires[members[0]][0]
            no_such(values, "no-such-cable", name, sections["cables"], "cable", f"`cable` of wire {members[0]}", entry.place_of("cable"))


def _convention(document: Record) -> str | None:
    written = document.get("colours", DEFAULT_CONVENTION)
    return written if written in CONVENTIONS else None


def _ends(values: Values, contacts: Contacts, name: str, entry: Record) -> tuple[str, str]:
    """Both ends of a wire: addresses that exist, UNKNOWN or OPEN."""
    known = contacts.by_address
    from_, to = entry.get("from"), entry.get("to")
    if isinstance(from_, str) and isinstance(to, str):
        if from_ in known and to in known:
            if from_ != to:
                return from_, to
            values.error("wire-to-itself", f"wire {name} begins and ends at {from_}", entry.place_of("to"), "write where it goes, or `to: unknown`")
            return from_, UNKNOWN
        if from_ in (UNKNOWN, OPEN) and to in (UNKNOWN, OPEN):
            values.error("wire-without-ends", f"wire {name} has no end at all: from {from_} to {to}", entry.place(),
                         "write at least the end in your hand; if you cannot find it, take the wire out")
    return _end(contacts, name, entry, "from"), _end(contacts, name, entry, "to")


def _end(contacts: Contacts, name: str, entry: Record, key: str) -> str:
    """The contact an end leads to; ``unknown`` where it leads nowhere (a finding says so)."""
    written = entry.get(key)
    if not isinstance(written, str):
        return UNKNOWN  # missing or of a wrong kind: reported by the schema check
    if written in (UNKNOWN, OPEN):
        return written
    return contacts.find(written, f"`{key}` of wire {name}", entry.place_of(key), ", or write `unknown`") or UNKNOWN


def _colour(values: Values, owner: str, entry: Record, convention: str | None) -> tuple[str, Colour | None]:
    """The colour as stated and as read; both empty where unknown, or where the convention is."""
    key, stated = "colour", entry.get("colour")
    if "color" in entry:
        if stated is not None:
            values.error("colour-twice", f"{owner} has `colour: {text_of(stated)}` and `color: {text_of(entry['color'])}`",
                         entry.place_of_key("color"), "the two are the same key: keep one")
        else:
            key, stated = "color", entry["color"]
    if not isinstance(stated, str) or stated == UNKNOWN or convention is None:
        return "", None
    colour = parse_colour(stated, convention)
    if isinstance(colour, ColourFault):
        values.error("unknown-colour", f"`{key}` of {owner}: {colour.message}", entry.place_of(key), colour.do)
        return "", None
    return stated, colour


def _wire_type(values: Values, record: Record, key: str, owner: str) -> WireType | None:
    written = values.word(record, key)
    if written is None:
        return None
    read = parse_wire_type(written)
    if isinstance(read, WireTypeFault):
        values.error("unknown-wire-type", f"`{key}` of {owner}: {read.message}", record.place_of(key), read.do)
        return None
    return read


def _via(values: Values, name: str, entry: Record, segments: dict[str, Segment], points: dict[str, Point]) -> tuple[str, ...]:
    items = entry["via"]
    good = []
    for position, item in enumerate(items if isinstance(items, Items) else ()):
        if item in segments or item in points:
            good.append(item)
        elif isinstance(item, str):
            no_such(values, "no-such-segment", item, [*segments, *points], "segment or place", f"`via` of wire {name}", items.place_of(position))
    return tuple(good)


def _cable(values: Values, name: str, sections: dict, habits: dict[int, _Habits], wires: tuple[str, ...]) -> Cable:
    """A cable; one that only its wires name stands where the first of them does."""
    entry, document = sections["cables"].get(name, (None, None))
    if entry is None:
        return Cable(name, "", "", None, None, None, None, None, "", wires, sections["wires"][wires[0]][0])
    owner = f"cable {name}"
    diameter = values.quantity(entry, "diameter", parse_length, owner)
    lay = values.quantity(entry, "lay", parse_length, owner)
    _, colour = _colour(values, owner, entry, habits[id(document)].convention)
    return Cable(
        name, values.text(entry, "title"), values.text(entry, "part"), values.word(entry, "shield"), diameter.mm if diameter else None,
        colour, lay.mm if lay else None, values.quantity(entry, "length", parse_length, owner), values.text(entry, "note"), wires, entry,
        evidence=values.text(entry, "evidence"),
    )


def _pair(values: Values, name: str, sections: dict, wires: tuple[str, ...]) -> Pair:
    """A pair; one that only its wires name stands where the first of them does."""
    entry, _ = sections["pairs"].get(name, (None, None))
    if entry is None:
        return Pair(name, "", None, None, "", wires, sections["wires"][wires[0]][0])
    lay = values.quantity(entry, "lay", parse_length, f"pair {name}")
    twisted = values.quantity(entry, "twisted", parse_length, f"pair {name}")
    return Pair(name, values.text(entry, "title"), lay.mm if lay else None, twisted.mm if twisted else None,
                values.text(entry, "note"), wires, entry)
