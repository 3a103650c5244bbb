"""What hands have to do at the harness, job by job, before it is told as steps.

Takes a Comparison; gives Work: the wires to make, take out, replace or re-end, the
splices to open, the contacts to terminate anew. What only became known, text and use
need no hands. A wire of which size, colour, insulation or cable was known and is
another now is replaced; so is one that is longer now than it was made.
Circuits with an airbag contact, old or new, are left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from ..model.harness import OPEN, UNKNOWN, Kind, Splice, Wire
from ..network.continuity import airbag_contacts, airbag_signalled
from .changes import Change, ChangeKind, Thing
from .compare import Comparison
from .pairing import Pairing

LONGER_MM = 0.5
"""A wire that has to be longer by less than this reaches."""
_ENDS = {ChangeKind.MOVED, ChangeKind.RE_ENDED, ChangeKind.SPLICED, ChangeKind.UNSPLICED}
_ANOTHER_WIRE = {"size": ChangeKind.RESIZED, "colour": ChangeKind.RECOLOURED, "type": ChangeKind.PART_CHANGED,
                 "cable": ChangeKind.RE_TWISTED, "core": ChangeKind.RE_TWISTED}
"""Key of a wire -> the change of it that makes it another wire."""
_ANOTHER_CABLE = ("part", "shield", "colour", "lay")
"""Keys of a cable that make it another one, with all its cores."""


class Fate(Enum):
    """What becomes of a wire."""

    NEW = "new"
    GONE = "gone"
    REPLACED = "replaced"
    KEPT = "kept"         # the same wire, an end goes elsewhere


@dataclass(frozen=True, slots=True)
class EndJob:
    """One end of a wire: ``was`` in the old version's address, ``now`` in the new one's; None where there is no such wire.

    moves: the end comes out of ``was`` and goes to ``now``
    """

    was: str | None
    now: str | None
    moves: bool


@dataclass(frozen=True, slots=True)
class WireJob:
    """What is done to one wire.

    old, new: None where it is only in the other version
    why:      changes by which it is replaced; () for any other fate, or where it is too short
    was_mm, now_mm: finished lengths, None unknown
    """

    old: Wire | None
    new: Wire | None
    fate: Fate
    ends: tuple[EndJob, ...]
    why: tuple[Change, ...]
    was_mm: float | None
    now_mm: float | None

    @property
    def is_cut(self) -> bool:
        """A new piece of wire is cut for it."""
        return self.fate in (Fate.NEW, Fate.REPLACED)

    @property
    def too_short(self) -> bool:
        """The old wire would not reach."""
        return self.was_mm is not None and self.now_mm is not None and self.now_mm > self.was_mm + LONGER_MM


@dataclass(frozen=True, slots=True)
class SpliceJob:
    """A splice that is opened, made or taken away.

    old, new: None where it is only in the other version
    out:   old ids of the wires that come out
    into:  new ids of the wires that go in
    stay:  new ids of the wires that stay in it
    changes: of the splice itself (method, position...)
    """

    old: Splice | None
    new: Splice | None
    out: tuple[str, ...]
    into: tuple[str, ...]
    stay: tuple[str, ...]
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class ReTermination:
    """Contacts of one owner whose terminal or seal was one and is another, with the wires in them as they are.

    key: "terminal" or "seal"; addresses of the new version
    """

    owner: str
    key: str
    was: str
    now: str
    addresses: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Housing:
    """A connector (new id) of which housing or half was one and is another; words: ``housing was grey, now black``."""

    connector: str
    words: str


@dataclass(frozen=True, slots=True)
class Work:
    """All jobs; each in the order of the comparison.

    left_alone: wires of airbag circuits: no job is in the other fields
    kept_off:   every address of the new version on such a circuit
    """

    wires: tuple[WireJob, ...]
    splices: tuple[SpliceJob, ...]
    terminals: tuple[ReTermination, ...]
    housings: tuple[Housing, ...]
    left_alone: tuple[WireJob, ...]
    kept_off: frozenset[str]


def find_work(comparison: Comparison) -> Work:
    """What hands have to do."""
    old, new, pairing = comparison.old.harness, comparison.new.harness, comparison.pairing
    # what either version knows of an airbag holds for both
    off_old = airbag_contacts(old, filter(None, map(pairing.address_before, airbag_signalled(new))))
    off_new = airbag_contacts(new, filter(None, map(pairing.address_now, airbag_signalled(old))))
    jobs: list[WireJob] = []
    left_alone: list[WireJob] = []
    for job in _wire_jobs(comparison):
        alone = any(end.was in off_old or end.now in off_new for end in job.ends)
        (left_alone if alone else jobs).append(job)
    kept_off = frozenset(off_new | {now for address in off_old if (now := pairing.address_now(address)) in new.contacts})
    return Work(tuple(jobs), tuple(_splice_jobs(comparison, jobs, kept_off)), tuple(_re_terminations(comparison, jobs, kept_off)),
                tuple(_housings(comparison, kept_off)), tuple(left_alone), kept_off)


def contact_left(comparison: Comparison, address: str) -> str | None:
    """An old address in the new version's words, where that contact is still there."""
    now = comparison.pairing.address_now(address)
    return now if now in comparison.new.harness.contacts else None


# ------------------------------------------------------------------------------- wires

def _wire_jobs(comparison: Comparison) -> Iterator[WireJob]:
    by_wire: dict[tuple[str | None, str | None], list[Change]] = {}
    for change in comparison.changes:
        if change.thing is Thing.WIRE:
            by_wire.setdefault((change.old_id, change.new_id), []).append(change)
        elif change.thing is Thing.CABLE and change.key in _ANOTHER_CABLE and change.was and change.now:
            for core in comparison.new.harness.cables[change.id].wires:
                before = comparison.pairing.before(Thing.WIRE, core)
                if before is not None:
                    by_wire.setdefault((before, core), []).append(change)
    for (old_id, new_id), changes in by_wire.items():
        old = None if old_id is None else comparison.old.harness.wires[old_id]
        new = None if new_id is None else comparison.new.harness.wires[new_id]
        was_mm = None if old_id is None else comparison.old.geometry.lengths[old_id].finished_mm
        now_mm = None if new_id is None else comparison.new.geometry.lengths[new_id].finished_mm
        if old is None or new is None:
            ends = (*(EndJob(end, None, True) for end in _ends(old)), *(EndJob(None, end, True) for end in _ends(new)))
            yield WireJob(old, new, Fate.NEW if old is None else Fate.GONE, ends, (), was_mm, now_mm)
            continue
        ends = _paired_ends(old, new, changes, comparison.pairing)
        why = tuple(change for change in changes if change.thing is Thing.CABLE or _ANOTHER_WIRE.get(change.key) is change.kind)
        job = WireJob(old, new, Fate.KEPT, ends, (), was_mm, now_mm)
        if why or (job.too_short and (any(end.moves for end in ends) or _made_longer(changes))):
            whole = tuple(EndJob(end.was, end.now, True) for end in ends)
            yield WireJob(old, new, Fate.REPLACED, whole, why, was_mm, now_mm)
        elif any(end.moves for end in ends):
            yield job


def _made_longer(changes: Iterable[Change]) -> bool:
    """The wire was sent another way, or its length written and written again."""
    return any(change.key == "via" or (change.key == "length" and change.was and change.now) for change in changes)


def _ends(wire: Wire | None) -> tuple[str, ...]:
    return () if wire is None else (wire.from_, wire.to)


def _paired_ends(old: Wire, new: Wire, changes: Sequence[Change], pairing: Pairing) -> tuple[EndJob, ...]:
    """Both ends, as the new wire has them; an end that only became known, or is no longer known, does not move."""
    was, now = [old.from_, old.to], [new.from_, new.to]
    told: list[EndJob] = []
    for change in changes:
        if change.key == "end" and change.old in was and change.new in now:
            was.remove(str(change.old))
            now.remove(str(change.new))
            told.append(EndJob(str(change.old), str(change.new), change.kind in _ENDS))
    if len(was) == 2 and pairing.address_now(was[0]) != now[0]:
        was.reverse()
    told += [EndJob(a, b, False) for a, b in zip(was, now, strict=True)]
    return tuple(sorted(told, key=lambda end: end.now != new.from_))


# ----------------------------------------------------------------------------- splices

def _splice_jobs(comparison: Comparison, jobs: Iterable[WireJob], kept_off: frozenset[str]) -> Iterator[SpliceJob]:
    old, new, pairing = comparison.old.harness, comparison.new.harness, comparison.pairing
    out: dict[str, list[str]] = {}
    into: dict[str, list[str]] = {}
    for job in jobs:
        for end in job.ends:
            if end.moves and job.old and end.was in old.splices:
                out.setdefault(end.was, []).append(job.old.id)
            if end.moves and job.new and end.now in new.splices:
                into.setdefault(end.now, []).append(job.new.id)
    remade: dict[str, list[Change]] = {}
    for change in comparison.changes:
        if change.thing is Thing.SPLICE and change.old_id is not None and change.new_id is not None and _remakes(change):
            remade.setdefault(change.new_id, []).append(change)
    for splice in new.splices.values():
        before = pairing.before(Thing.SPLICE, splice.id)
        comes, goes, changes = into.get(splice.id, ()), out.get(before or "", ()), remade.get(splice.id, ())
        if splice.id not in kept_off and (comes or goes or changes):
            stay = tuple(wire for wire in new.wires_at.get(splice.id, ()) if wire not in comes)
            yield SpliceJob(old.splices[before] if before else None, splice, tuple(goes), tuple(comes), stay, tuple(changes))
    for name, wires in out.items():
        if pairing.now(Thing.SPLICE, name) is None:
            yield SpliceJob(old.splices[name], None, tuple(wires), (), (), ())


def _remakes(change: Change) -> bool:
    return (change.kind is ChangeKind.PART_CHANGED and change.key in ("method", "sleeve") and bool(change.was and change.now)) or \
        (change.kind is ChangeKind.RE_ROUTED and bool(change.was and change.now))


# --------------------------------------------------------------------------- terminals

def _re_terminations(comparison: Comparison, jobs: Iterable[WireJob], kept_off: frozenset[str]) -> Iterator[ReTermination]:
    """Contacts whose wires stay, and whose terminal or seal was known and is another."""
    new = comparison.new.harness
    placed = {end.now for job in jobs for end in job.ends if end.moves}
    groups: dict[tuple[str, str, str, str], list[str]] = {}
    for change in comparison.changes:
        address = change.new_id
        if (change.thing is Thing.CONTACT and change.kind is ChangeKind.PART_CHANGED and change.key in ("terminal", "seal") and change.now and (change.was or change.key == "seal")
                and address is not None and address not in placed and address not in kept_off and new.wires_at.get(address)):
            groups.setdefault((new.contacts[address].owner, change.key, change.was, change.now), []).append(address)
    for (owner, key, was, now), addresses in groups.items():
        yield ReTermination(owner, key, was, now, tuple(addresses))


def _housings(comparison: Comparison, kept_off: frozenset[str]) -> Iterator[Housing]:
    """A housing that holds a cavity of an airbag circuit is left alone."""
    holds_airbag = {comparison.new.harness.contacts[address].owner for address in kept_off if address in comparison.new.harness.contacts}
    told: dict[str, list[str]] = {}
    for change in comparison.changes:
        if change.thing is Thing.CONNECTOR and change.key in ("housing", "half") and change.was and change.now and change.id not in holds_airbag:
            told.setdefault(change.id, []).append(f"{change.key} was {change.was}, now {change.now}")
    for connector, words in told.items():
        yield Housing(connector, "; ".join(words))


# ------------------------------------------------------------------------ new terminals

@dataclass(frozen=True, slots=True)
class Fresh:
    """What an end that is placed wants: a terminal and a seal that are not on it yet ("" for none, or not stated).

    is_new: the end gets a new terminal, whether it is stated which or not
    """

    terminal: str
    seal: str
    is_new: bool


def fresh_at(comparison: Comparison, job: WireJob, end: EndJob) -> Fresh:
    """What is crimped on the end of a job before it goes to ``end.now``."""
    contact = comparison.new.harness.contacts.get(end.now or "")
    if contact is None or contact.kind is Kind.SPLICE:
        return Fresh("", "", False)
    before = comparison.old.harness.contacts.get(end.was or "")
    if job.is_cut or before is None or before.kind is Kind.SPLICE:
        return Fresh(contact.terminal, contact.seal, True)
    one_kind = before.kind is contact.kind
    same = one_kind and (contact.terminal == before.terminal or not contact.terminal)
    terminal = "" if same else contact.terminal
    # a seal sits under the wings of the terminal: a new terminal takes a new one
    seal = contact.seal if not same or contact.seal != before.seal else ""
    return Fresh(terminal, seal, not same)


def crimped_anew(comparison: Comparison, end: EndJob) -> str | None:
    """The contact, in the new version, where a wire that shared its terminal with the one that comes out of it stays behind."""
    before, left = comparison.old.harness.contacts.get(end.was or ""), contact_left(comparison, end.was or "")
    if not end.moves or before is None or not before.double or left is None or left == end.now:
        return None
    return left if staying(comparison, left) else None


def staying(comparison: Comparison, address: str) -> tuple[str, ...]:
    """Wires (new ids) that end at an address of the new version and did so before."""
    old, new, pairing = comparison.old.harness, comparison.new.harness, comparison.pairing
    before = old.wires_at.get(pairing.address_before(address) or "", ())
    return tuple(wire for wire in new.wires_at.get(address, ()) if pairing.before(Thing.WIRE, wire) in before)


def left_without_wire(comparison: Comparison, jobs: Iterable[WireJob]) -> tuple[str, ...]:
    """Addresses of the new version that a wire came out of and none is in now."""
    new = comparison.new.harness
    left = dict.fromkeys(contact_left(comparison, end.was) for job in jobs for end in job.ends
                         if end.moves and end.was is not None and end.was not in (UNKNOWN, OPEN))
    return tuple(address for address in left if address is not None and not new.wires_at.get(address))
