"""What becomes of the terminals: which ends get a new one, which are shared, what is bolted again, what is exchanged.

Takes a Comparison and the jobs at its wires; gives jobs at contacts, in the order of
the wires, and answers what an end wants before it is placed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..geometry.cut_list import fitted
from ..model.harness import OPEN, UNKNOWN, Contact, Harness, Kind, Part
from .changes import ChangeKind, Thing
from .compare import Comparison
from .jobs import CrimpJob, EndJob, Housing, ReTermination, StudJob, WireJob

_NUTS, _PUSHED = ("midi", "mega", "link", "bolt", "strip"), ("blade", "mini", "maxi", "micro", "glass", "cartridge", "ceramic", "torpedo")
"""In the type of a fuse: nuts hold it; it is pushed into its holder."""
_HOLDS_ONE = (Kind.CAVITY, Kind.SOCKET)
"""Kinds of contact with one terminal, whatever the wires in it."""


@dataclass(frozen=True, slots=True)
class Fresh:
    """What an end that is placed wants: a terminal and a seal that are not on it yet ("" for none, or not stated).

    is_new: the end gets a new terminal, whether it is stated which or not
    is_bare: it gets none: that is stated
    """

    terminal: str
    seal: str
    is_new: bool
    is_bare: bool


def fresh_at(comparison: Comparison, job: WireJob, end: EndJob) -> Fresh:
    """What is crimped on the end of a job before it goes to ``end.now``."""
    contact = comparison.new.harness.contacts.get(end.now or "")
    if contact is None or contact.kind is Kind.SPLICE:
        return Fresh("", "", False, False)
    terminal, seal = fitted(contact.terminal), fitted(contact.seal)
    if _stays_on(comparison, job, end, contact):
        before = comparison.old.harness.contacts[end.was or ""]
        return Fresh("", seal if seal != fitted(before.seal) else "", False, False)
    # a seal sits under the wings of the terminal: a new terminal takes a new one
    is_bare = bool(contact.terminal) and not terminal
    before = comparison.old.harness.contacts.get(end.was or "")
    if terminal and before is not None and terminal == before.terminal and is_other_stud(comparison, before, contact):
        terminal = f"eyelet for stud {comparison.new.harness.grounds[contact.owner].stud}, not stated which"   # the one stated fits the stud before
    return Fresh(terminal, seal, not is_bare, is_bare)


def _stays_on(comparison: Comparison, job: WireJob, end: EndJob, contact: Contact) -> bool:
    """The terminal that is on the end is the right one, and goes along with it."""
    old, new, pairing = comparison.old.harness, comparison.new.harness, comparison.pairing
    before = old.contacts.get(end.was or "")
    if job.is_cut or job.new is None or before is None or before.kind is Kind.SPLICE:
        return False
    if contact.terminal != before.terminal if contact.terminal else contact.kind is not before.kind:
        return False
    if is_other_stud(comparison, before, contact):
        return False
    came_with = {pairing.now(Thing.WIRE, wire) for wire in old.wires_at[before.address]} if is_shared(old, before) else {job.new.id}
    goes_with = set(new.wires_at[contact.address]) if contact.kind in _HOLDS_ONE else {job.new.id}
    return came_with == goes_with


def is_other_stud(comparison: Comparison, before: Contact, contact: Contact) -> bool:
    """Two grounds of which both studs are known and differ."""
    was, now = comparison.old.harness.grounds.get(before.owner), comparison.new.harness.grounds.get(contact.owner)
    return bool(was and now and was.stud and now.stud and was.stud != now.stud)


# --------------------------------------------------------- terminals that wires share

def is_shared(harness: Harness, contact: Contact) -> bool:
    """Several wires in one terminal, on purpose."""
    return contact.double and contact.kind in _HOLDS_ONE and len(harness.wires_at.get(contact.address, ())) > 1


def crimp_jobs(comparison: Comparison, jobs: Sequence[WireJob], kept_off: frozenset[str]) -> Iterator[CrimpJob]:
    """Every cavity or socket that holds several wires now and gets one, or held several and gives one."""
    old, new, pairing = comparison.old.harness, comparison.new.harness, comparison.pairing
    out, into = _moved(comparison, jobs)
    by_new = {job.new.id: job for job in jobs if job.new}
    for address in dict.fromkeys((*out, *into)):
        contact = new.contacts[address]
        if contact.kind not in _HOLDS_ONE or address in kept_off:
            continue
        was_at = pairing.address_before(address)
        comes, goes = tuple(into.get(address, ())), tuple(out.get(address, ()))
        stay = tuple(wire for wire in new.wires_at.get(address, ()) if wire not in comes)
        before = old.contacts.get(was_at or "")
        comes_along = bool(goes and stay and before is not None and is_shared(old, before))
        if comes_along or (comes and len(comes) + len(stay) > 1):
            is_whole = not stay and all(_stays_on(comparison, by_new[wire], end, contact) for wire in comes for end in by_new[wire].ends if end.now == address)
            yield CrimpJob(address, was_at, goes, comes, stay, comes_along, not is_whole)


# ------------------------------------------------------------------------------ studs

def stud_jobs(comparison: Comparison, jobs: Sequence[WireJob], kept_off: frozenset[str]) -> Iterator[StudJob]:
    """Every stud, ground or bar that is undone for one wire and holds others."""
    new = comparison.new.harness
    out, into = _moved(comparison, jobs)
    for address in dict.fromkeys((*out, *into)):
        comes = tuple(into.get(address, ()))
        stay = tuple(wire for wire in new.wires_at.get(address, ()) if wire not in comes)
        if is_bolted(new.contacts[address]) and address not in kept_off and (stay or len(comes) > 1):
            yield StudJob(address, comes, stay)


def is_bolted(contact: Contact) -> bool:
    """A nut or bolt holds all that is on it."""
    match contact.kind:
        case Kind.GROUND:
            return True
        case Kind.STUD | Kind.BAR:
            return has_eye(contact) or (contact.kind is Kind.STUD and not fitted(contact.terminal))
    return False


def is_bolted_fuse(part: Part) -> bool:
    """A fuse or fusible link that nuts hold, by its type; where that says nothing, one outside a box (common practice)."""
    kind = part.type.lower()
    if part.kind not in ("fuse", "fusible link") or any(word in kind for word in _PUSHED):
        return False
    return any(word in kind for word in _NUTS) or part.box is None


def is_on_bolted_fuse(harness: Harness, contact: Contact) -> bool:
    """A terminal of such a fuse."""
    return contact.owner in harness.parts and is_bolted_fuse(harness.parts[contact.owner])


def has_eye(contact: Contact) -> bool:
    """Its terminal is an eyelet."""
    return any(word in contact.terminal.lower() for word in ("eyelet", "ring"))


# ------------------------------------------------- terminals, seals, housings exchanged

def re_terminations(comparison: Comparison, jobs: Sequence[WireJob], crimps: Iterable[CrimpJob], kept_off: frozenset[str]) -> Iterator[ReTermination]:
    """Contacts whose wires stay, and whose terminal or seal was known and is another."""
    new = comparison.new.harness
    placed = {end.now for job in jobs for end in job.ends if end.moves} | {crimp.address for crimp in crimps}
    groups: dict[tuple[str, str, str, str], list[str]] = {}
    for change in comparison.changes:
        address = change.new_id
        if (change.thing is Thing.CONTACT and change.kind is ChangeKind.PART_CHANGED and change.key in ("terminal", "seal") and change.now and (change.was or change.key == "seal")
                and fitted(change.was) != fitted(change.now) and address is not None and address not in placed and address not in kept_off and new.wires_at.get(address)):
            groups.setdefault((new.contacts[address].owner, change.key, fitted(change.was), fitted(change.now)), []).append(address)
    for (owner, key, was, now), addresses in groups.items():
        yield ReTermination(owner, key, was, now, tuple(addresses))


def housings(comparison: Comparison, kept_off: frozenset[str]) -> Iterator[Housing]:
    """A housing that holds a cavity of an airbag circuit is left alone."""
    contacts = comparison.new.harness.contacts
    holds_airbag = {contacts[address].owner for address in kept_off if address in contacts}
    told: dict[str, list[str]] = {}
    for change in comparison.changes:
        if change.thing is Thing.CONNECTOR and change.key in ("housing", "half") and change.was and change.now and change.id not in holds_airbag:
            told.setdefault(change.id, []).append(f"{change.key} was {change.was}, now {change.now}")
    for connector, words in told.items():
        yield Housing(connector, "; ".join(words))


# ------------------------------------------------------------------------------ shared

def left_without_wire(comparison: Comparison, jobs: Iterable[WireJob]) -> tuple[str, ...]:
    """Addresses of the new version that a wire came out of and none is in now."""
    wires_at = comparison.new.harness.wires_at
    return tuple(address for address in _moved(comparison, jobs)[0] if not wires_at.get(address))


def contact_left(comparison: Comparison, address: str) -> str | None:
    """An old address in the new version's words, where that contact is still there."""
    now = comparison.pairing.address_now(address)
    return now if now in comparison.new.harness.contacts else None


def _moved(comparison: Comparison, jobs: Iterable[WireJob]) -> tuple[Mapping[str, list[str]], Mapping[str, list[str]]]:
    """Of contacts of the new version: the wires (old ids) that come out of each, and those (new ids) that go into each."""
    out: dict[str, list[str]] = {}
    into: dict[str, list[str]] = {}
    contacts = comparison.new.harness.contacts
    for job in jobs:
        for end in job.ends:
            if not end.moves:
                continue
            left = contact_left(comparison, end.was) if end.was not in (None, OPEN, UNKNOWN) else None
            if job.old and left is not None:
                out.setdefault(left, []).append(job.old.id)
            if job.new and end.now in contacts:
                into.setdefault(str(end.now), []).append(job.new.id)
    return out, into
