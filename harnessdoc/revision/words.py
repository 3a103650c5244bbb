"""How changes are spoken of: one noun a thing, one clause a change, cavities in few words.

Takes changes and the harness they are of; gives text of one line.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..model.harness import OPEN, UNKNOWN, Face, Harness, Kind, Part, Wire
from ..network.cavity_order import counted, following, ranges
from ..trade.sizes import print_size
from .changes import Change, ChangeKind, Thing
from .layouts import bar_words, lid_words, rows_words
from .pairing import OWNERS, things_of

_CONTACTS = {Kind.CAVITY: "cavity", Kind.SOCKET: "terminal", Kind.STUD: "terminal", Kind.BAR: "bar", Kind.SPLICE: "splice", Kind.GROUND: "ground"}
_VERBS = {
    ("end", ChangeKind.MOVED): "moved", ("end", ChangeKind.RE_ENDED): "re-ended", ("end", ChangeKind.SPLICED): "spliced",
    ("end", ChangeKind.UNSPLICED): "unspliced", ("end", ChangeKind.NOW_KNOWN): "far end now known", ("end", ChangeKind.NO_LONGER_KNOWN): "far end no longer known",
    ("size", ChangeKind.RESIZED): "resized", ("colour", ChangeKind.RECOLOURED): "recoloured", ("via", ChangeKind.RE_ROUTED): "re-routed",
    ("length", ChangeKind.RE_LENGTHENED): "re-lengthened",
}
"""(key, kind) of a wire's change -> what a mechanic calls it; any other is called by its key."""
_NOTHING = {"length": "not measured", "crimp": "single", "waivers": "not waived"}
"""Key -> what it means where nothing is said; for other keys that is none."""
_SPOKEN = tuple(f"{verb}:" for verb in _VERBS.values() if not verb.startswith("far end"))


def noun(thing: Thing, name: str, harness: Harness) -> str:
    """``wire 204``, ``fuse F3``, ``cavity E1.13``; of the harness itself, ``harness``."""
    match thing:
        case Thing.HARNESS:
            return "harness"
        case Thing.PART if name in harness.parts:
            return f"{harness.parts[name].kind} {name}"
        case Thing.CONTACT if name in harness.contacts:
            return f"{_CONTACTS[harness.contacts[name].kind]} {name}"
    return f"{thing.value} {name}"


def thing_of(owner: str, harness: Harness) -> Thing | None:
    """What begins an address; None where nothing of that id does."""
    things = things_of(harness)
    return next((thing for thing in OWNERS if owner in things[thing]), None)


def titled(owner: str, harness: Harness) -> str:
    """``E1 (engine control unit plug 1)``, the title of what begins an address beside it."""
    thing = thing_of(owner, harness)
    title = things_of(harness)[thing][owner].title if thing else ""
    return f"{owner} ({title})" if title else owner


def end_words(address: str, harness: Harness) -> str:
    """An end of a wire: ``E1.13``, ``splice SP4``, ``unknown``, ``open``."""
    if address in harness.splices:
        return f"splice {address}"
    return address if address not in (UNKNOWN, OPEN) else {UNKNOWN: "unknown", OPEN: "open"}[address]


def wire_words(wire: Wire, harness: Harness) -> str:
    """``E1.20 to S5, 0.5 mm² GN``; what is unknown is left out, but for the far end."""
    return ", ".join(filter(None, (way_words(wire, harness), kind_words(wire))))


def kind_words(wire: Wire) -> str:
    """``0.5 mm² GN``; what is unknown is left out."""
    return " ".join(filter(None, (print_size(wire.size) if wire.size else "", wire.colour_as_stated if wire.colour else "")))


def part_words(part: Part) -> str:
    """A fuse, relay and the like as it is bought: ``15 A, blade``; ``30 A, contacts make, coil 90 ohm``; "" where nothing is said."""
    is_relay = part.kind == "relay"
    of_relay = ("contacts", part.contacts), ("coil", part.value.stated if part.value else ""), ("suppression", part.suppression)
    about = [part.rating.stated if part.rating else "", part.size.stated if part.size else "", part.type]
    about += [f"{key} {said}" for key, said in of_relay if said] if is_relay else [value.stated for value in (part.value, part.power) if value]
    return ", ".join(filter(None, about))


def way_words(wire: Wire, harness: Harness) -> str:
    """``E1.20 to splice S5``."""
    return f"{end_words(wire.from_, harness)} to {end_words(wire.to, harness)}"


def clause(change: Change, old: Harness, new: Harness) -> str:
    """``moved: was E1.13, now E1.14 (start relay)``."""
    verb = _VERBS.get((change.key, change.kind), change.key) if change.thing is Thing.WIRE else change.key
    if change.thing is Thing.BOX and change.key in ("lid", "bars") and change.was and change.now:
        return "; ".join(lid_words(change.old, change.new) if change.key == "lid" else bar_words(change.old, change.new))
    was, now = said(change, old, new)
    return f"{verb}: was {was}, now {now}"


def is_verb(text: str) -> bool:
    """Whether a clause says by itself what was done, without the key: "moved: ..."."""
    return text.startswith(_SPOKEN)


def said(change: Change, old: Harness, new: Harness) -> tuple[str, str]:
    """What was and what is, in words; where nothing is said, whether that means unknown or none."""
    if change.key == "end" and change.thing is Thing.WIRE:
        was, now = _function(str(change.old), old), _function(str(change.new), new)
        return end_words(str(change.old), old) + ("" if now else was), end_words(str(change.new), new) + now
    if isinstance(change.old, Face) and isinstance(change.new, Face) and change.was == change.now:
        return rows_words(change.old), rows_words(change.new)
    if change.thing is Thing.CONTACT and change.key == "function" and not change.now and not new.wires_at.get(change.new_id or ""):
        return change.was, "not said"     # its wire went
    nothing = _NOTHING.get(change.key, "not stated" if "none" in (change.was, change.now) else "none")
    return (change.was or ("unknown" if change.kind is ChangeKind.NOW_KNOWN else nothing),
            change.now or ("unknown" if change.kind is ChangeKind.NO_LONGER_KNOWN else nothing))


def _function(address: str, harness: Harness) -> str:
    """What a contact is for, in brackets, where it says so."""
    contact = harness.contacts.get(address)
    words = contact.function if contact else ""
    return f" ({'function unknown' if words == UNKNOWN else words})" if words else ""


def cavities(addresses: Iterable[str], harness: Harness) -> str:
    """The cavities of addresses of one owner, counted up: ``1..4, 10``."""
    return ranges(sorted((harness.contacts[address].name or address for address in addresses), key=counted))


def led(pairs: Sequence[tuple[str, str]]) -> str:
    """Cavities and where each went, counted up: ``1..12 → 14..25, 13 → 2``; a run that goes up alike is told as one."""
    runs: list[list[tuple[str, str]]] = []
    for pair in sorted(dict.fromkeys(pairs), key=lambda pair: (counted(pair[0]), counted(pair[1]))):
        if runs and (following(runs[-1][-1][0]), following(runs[-1][-1][1])) == pair:
            runs[-1].append(pair)
        else:
            runs.append([pair])
    return ", ".join(f"{run[0][0]}..{run[-1][0]} → {run[0][1]}..{run[-1][1]}" if len(run) > 2 else ", ".join(f"{a} → {b}" for a, b in run) for run in runs)
