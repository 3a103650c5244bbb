"""The changes in a reader's lines.

Takes a Comparison; gives Lines: all changes of one thing stand in one line, and so
does what was done at one go: every wire of a connector that went to another one,
cavity for cavity; one key of many cavities of one owner; a connector that came or went
with all that was said of its cavities.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from ..findings import Place
from ..model.harness import Harness
from .changes import Change, ChangeKind, Thing
from .compare import Comparison
from .layouts import listed
from .pairing import OWNERS
from .words import cavities, clause, is_verb, led, noun, said, thing_of, titled, wire_words

_Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """One change of a line, or many alike, in the columns of a table: ``part changed: terminal``, what was, what is now."""

    change: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Line:
    """One line: what was and what is now of one thing, or of many that changed alike.

    kinds: of its changes, each once, in order
    thing, id: what it is about; of many contacts or wires, their owner
    what, told: the same as text, parted: ``wire 204``, and each change of it
    place: where it stands in the new version, else in the old; None where in neither
    """

    kinds: tuple[ChangeKind, ...]
    thing: Thing
    id: str
    text: str
    what: str
    told: tuple[Told, ...]
    changes: tuple[Change, ...]
    place: Place | None


def lines_of(comparison: Comparison) -> tuple[Line, ...]:
    """Every change in exactly one line, in the order of the first change of each."""
    went = _whole_modules(comparison, _went_together(comparison))
    alike = _alike(comparison)
    come_or_gone = {(change.kind, change.id) for change in comparison.changes
                    if change.thing in OWNERS and change.key == "" and change.kind in (ChangeKind.ADDED, ChangeKind.REMOVED)}
    groups: dict[_Key, list[Change]] = {}
    for change in comparison.changes:
        groups.setdefault(_group(comparison, change, went, alike, come_or_gone), []).append(change)
    return tuple(_line(comparison, key, changes) for key, changes in groups.items())


def _line(comparison: Comparison, key: _Key, changes: list[Change]) -> Line:
    match key[0]:
        case "went":
            first, about = changes[0], _went_line(comparison, key[1], key[2], changes)
        case "module":
            first, about = changes[0], _module_line(comparison, key[1], key[2], changes)
        case "alike":
            first, about = changes[0], _alike_line(comparison, changes)
        case "come or gone":
            first = next(change for change in changes if change.thing is not Thing.CONTACT)
            about = _thing_line(comparison, [first], len(changes) - 1)
        case _:
            # what is said of a cavity went along with its wire, what is said of a join with its splice: their line says so
            own = [change for change in changes if change.thing.value == key[1]]
            first, about = own[0], _thing_line(comparison, own, 0)
    kinds = tuple(dict.fromkeys(change.kind for change in changes))
    return Line(kinds, about.thing, about.id, about.text, about.what, about.told, tuple(changes), first.new_place or first.old_place)


@dataclass(frozen=True, slots=True)
class _About:
    """What a line says; fields as those of Line."""

    thing: Thing
    id: str
    text: str
    what: str
    told: tuple[Told, ...]


def _group(comparison: Comparison, change: Change, went: dict[tuple[str, str], _Key], alike: set[_Key], come_or_gone: set[tuple[ChangeKind, str]]) -> _Key:
    """What a change stands in one line with."""
    if change.thing is Thing.WIRE and change.key == "end":
        together = went.get((str(change.old), str(change.new)))
        if together is not None:
            return together
    if change.thing is Thing.CONTACT:
        if change.old_id is not None and change.new_id is not None:
            together = went.get((change.old_id, change.new_id))
            if together is not None and change.kind is ChangeKind.MOVED:
                return together
        key = _alike_key(comparison, change)
        if key in alike:
            return key
        owner = _owner_of(comparison, change)
        if change.key == "" and (change.kind, owner) in come_or_gone:
            return "come or gone", change.kind.value, owner
        wire = _moved_with(comparison, change)
        if wire:
            return wire
    if change.thing is Thing.JOIN and (splice := _splice_with(comparison, change)) is not None:
        change = splice
    if change.thing in OWNERS and (change.kind, change.id) in come_or_gone and change.key == "":
        return "come or gone", change.kind.value, change.id
    return "thing", change.thing.value, change.old_id or "", change.new_id or "", "is new" if change.old_id is None else ""


def _splice_with(comparison: Comparison, change: Change) -> Change | None:
    """The change of a splice that the join makes, where that says the same: its line is enough."""
    merge = comparison.new.merge
    join = merge.joins.get(change.new_id or "") if merge else None
    if join is None or change.key != "method":
        return None
    return next((one for one in comparison.changes if one.thing is Thing.SPLICE and one.new_id in join.splices and (one.key, one.was, one.now) == (change.key, change.was, change.now)), None)


# ------------------------------------------------------------- every wire of an owner

def _went_together(comparison: Comparison) -> dict[tuple[str, str], _Key]:
    """(old end, new end) -> the key of the line, for every end of an owner all of whose wires went to one owner."""
    old, new = comparison.old.harness, comparison.new.harness
    moves: dict[str, list[tuple[str, str]]] = {}
    for change in comparison.changes:
        if change.thing is Thing.WIRE and change.key == "end" and change.old in old.contacts and change.new in new.contacts:
            moves.setdefault(old.contacts[str(change.old)].owner, []).append((str(change.old), str(change.new)))
    stayed = _ends_that_stayed(comparison, moves)
    found: dict[tuple[str, str], _Key] = {}
    for owner, pairs in moves.items():
        targets = {new.contacts[now].owner for _, now in pairs}
        if len(pairs) > 1 and len(targets) == 1 and not stayed[owner] and owner not in old.splices and owner not in old.grounds and new.contacts[pairs[0][1]].name:
            found.update({pair: ("went", owner, next(iter(targets))) for pair in pairs})
    return found


def _whole_modules(comparison: Comparison, went: dict[tuple[str, str], _Key]) -> dict[tuple[str, str], _Key]:
    """The same, but one key for a device of which every wired connector went to a connector of its own at one device."""
    old, new = comparison.old.harness, comparison.new.harness
    target_of = {key[1]: key[2] for key in went.values()}
    led_to: dict[str, list[tuple[str, str]]] = {}
    for owner, target in target_of.items():
        device = old.connectors[owner].device if owner in old.connectors else None
        if device is not None:
            led_to.setdefault(device, []).append((owner, target))
    wired = {old.contacts[address].owner for address, wires in old.wires_at.items() if wires}
    module: dict[str, _Key] = {}
    for device, pairs in led_to.items():
        targets = {target for _, target in pairs}
        devices = {new.connectors[target].device if target in new.connectors else None for target in targets}
        whole = all(connector in target_of for connector in old.devices[device].connectors if connector in wired)
        if len(pairs) > 1 and len(targets) == len(pairs) and whole and len(devices) == 1 and None not in devices:
            module.update({owner: ("module", device, str(next(iter(devices)))) for owner, _ in pairs})
    return {ends: module.get(key[1], key) for ends, key in went.items()}


def _module_line(comparison: Comparison, device: str, target: str, changes: list[Change]) -> _About:
    """``all 76 wires of U1 (engine control unit), E1 and E2, went to E3 and E4, cavity for cavity``."""
    old, new = comparison.old.harness, comparison.new.harness
    by_owner: dict[tuple[str, str], list[tuple[str, str]]] = {}
    ends = [change for change in changes if change.key == "end"]
    for change in ends:
        was, now = old.contacts[str(change.old)], new.contacts[str(change.new)]
        by_owner.setdefault((was.owner, now.owner), []).append((was.name, now.name))
    title = " ".join(filter(None, (old.devices[device].title, device)))
    what = f"{title}: all {len(ends)} wires of {listed(was for was, _ in by_owner)}"
    stays = comparison.pairing.owner_now.get(device) == target
    to = listed(now for _, now in by_owner) + ("" if stays else f" of {titled(target, new)}")
    if all(was == now for pairs in by_owner.values() for was, now in pairs):
        to += ", cavity for cavity"
    else:
        to += ": " + "; ".join(f"{was} to {now} {led(pairs)}" for (was, now), pairs in by_owner.items())
    return _About(Thing.DEVICE, target, f"{what} went to {to}", what, (Told(ends[0].kind.value, listed(was for was, _ in by_owner), to),))


def _ends_that_stayed(comparison: Comparison, moves: dict[str, list[tuple[str, str]]]) -> Counter[str]:
    """Owner -> ends of wires still there that did not move, of the owners in ``moves``."""
    old, left = comparison.old.harness, Counter[str]()
    for address, wires in old.wires_at.items():
        owner = old.contacts[address].owner
        if owner in moves:
            left[owner] += sum(comparison.pairing.now(Thing.WIRE, wire) is not None for wire in wires)
    left.subtract({owner: len(pairs) for owner, pairs in moves.items()})
    return left


def _went_line(comparison: Comparison, owner: str, target: str, changes: list[Change]) -> _About:
    old, new = comparison.old.harness, comparison.new.harness
    ends = [change for change in changes if change.key == "end"]
    pairs = [(old.contacts[str(change.old)].name, new.contacts[str(change.new)].name) for change in ends]
    what = f"all {len(ends)} wires of {titled(owner, old)}"
    stays = comparison.pairing.owner_now.get(owner) == target
    alike = ", cavity for cavity" if all(was == now for was, now in pairs) else ""
    text = f"{what} {'moved within it' if stays else f'went to {titled(target, new)}'}{alike}: {led(pairs)}"
    return _About(thing_of(target, new) or Thing.WIRE, target, text, what, (Told(ends[0].kind.value, titled(owner, old), f"{titled(target, new)}: {led(pairs)}"),))


def _moved_with(comparison: Comparison, change: Change) -> _Key | None:
    """The line of the wire that took along what is said of a cavity."""
    if change.kind is not ChangeKind.MOVED or change.key != "" or change.old_id is None or change.new_id is None:
        return None
    pairing = comparison.pairing
    for wire in comparison.old.harness.wires_at.get(change.old_id, ()):
        now = pairing.now(Thing.WIRE, wire)
        if now is not None and now in comparison.new.harness.wires_at.get(change.new_id, ()):
            return "thing", Thing.WIRE.value, wire, now, ""
    return None


# --------------------------------------------------------- many contacts of one owner

def _alike(comparison: Comparison) -> set[_Key]:
    keys = Counter(_alike_key(comparison, change) for change in comparison.changes if change.thing is Thing.CONTACT)
    return {key for key, count in keys.items() if key and count > 1}


def _alike_key(comparison: Comparison, change: Change) -> _Key:
    if change.key == "" or change.new_id is None:
        return ()
    return "alike", _owner_of(comparison, change), change.key, change.kind.value, change.was, change.now


def _alike_line(comparison: Comparison, changes: list[Change]) -> _About:
    new, first = comparison.new.harness, changes[0]
    owner = _owner_of(comparison, first)
    was, now = said(first, comparison.old.harness, new)
    thing = thing_of(owner, new) or Thing.CONTACT
    many = "cavities" if thing is Thing.CONNECTOR else "terminals"
    what = f"{noun(thing, owner, new)}, {len(changes)} {many} ({cavities((change.id for change in changes), new)})"
    return _About(thing, owner, f"{what}, {first.key}: was {was}, now {now}", what, (Told(f"{first.kind.value}: {first.key}", was, now),))


def _owner_of(comparison: Comparison, change: Change) -> str:
    harness = comparison.old.harness if change.new_id is None else comparison.new.harness
    contact = harness.contacts.get(change.id)
    return contact.owner if contact else change.id


# --------------------------------------------------------------------------- one thing

def _thing_line(comparison: Comparison, changes: list[Change], contacts: int) -> _About:
    """All changes of one thing: ``wire 204 moved: was E1.13, now E1.14 (start relay); resized: was 0.5 mm², now 0.75 mm²``.

    contacts: of how many cavities something is said, where the thing came or went with them
    """
    first = changes[0]
    harness = comparison.old.harness if first.new_id is None else comparison.new.harness
    what = noun(first.thing, first.id, harness)
    clauses = [_clause(comparison, change, contacts) for change in changes]
    apart = " " if first.key == "" or is_verb(clauses[0]) else ", "
    return _About(first.thing, first.id, f"{what}{apart}{'; '.join(clauses)}", what, tuple(_told(comparison, change, contacts) for change in changes))


def _clause(comparison: Comparison, change: Change, contacts: int) -> str:
    if change.key:
        return clause(change, comparison.old.harness, comparison.new.harness)
    told = _told(comparison, change, contacts)
    if change.kind is ChangeKind.RENAMED:
        return f"{told.change}: was {told.was}, now {told.now}" + (f" ({change.why})" if change.why else "")
    about = f"was {told.was}" if told.was else told.now
    return f"{told.change}: {about}" if about else told.change


def _told(comparison: Comparison, change: Change, contacts: int) -> Told:
    old, new = comparison.old.harness, comparison.new.harness
    if change.key:
        implied = is_verb(clause(change, old, new)) or change.key == "end"
        return Told(change.kind.value if implied else f"{change.kind.value}: {change.key}", *said(change, old, new))
    match change.kind:
        case ChangeKind.ADDED:
            return Told(change.kind.value, "", _about(change, new, contacts))
        case ChangeKind.REMOVED:
            return Told(change.kind.value, _about(change, old, contacts), "")
    return Told(change.kind.value, change.old_id or "", change.new_id or "")


def _about(change: Change, harness: Harness, contacts: int) -> str:
    """What a thing that came or went is, in a few words."""
    if change.thing is Thing.WIRE:
        return wire_words(harness.wires[change.id], harness)
    if change.thing is Thing.CONTACT:
        return harness.contacts[change.id].function
    thing = change.old if change.new_id is None else change.new
    described = f"{contacts} {'cavity' if contacts == 1 else 'cavities'} described" if contacts else ""
    title = getattr(thing, "title", "")
    return ", ".join(filter(None, (title if title != change.id else "", described)))
