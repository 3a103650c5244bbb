"""What a rework takes from the shelf, and what it brings back to it.

Takes a Comparison; gives lines as those of the parts list: wire by cut length,
terminals, seals and cavity plugs, sleeves and heat-shrink, covering, housings, fuses and
relays. Only what this rework takes; terminals nobody stated are counted as such.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..geometry.cut_list import fitted
from ..geometry.parts_list import PartLine, Use, cable_use, covering_use, is_crimped, link_use, part_lines, shrink_of, splice_uses, wire_use
from ..model.harness import Kind
from .changes import ChangeKind, Thing
from .compare import Comparison
from .jobs import Fate, Work
from .terminations import fresh_at, left_without_wire
from .words import part_words
from .work import find_work

_ANOTHER_PART = {"kind", "rating", "size", "coil", "value", "part", "power", "contacts", "suppression", "type"}
"""Keys of a fuse or relay that make it another one."""
_NOT_STATED = "terminal, not stated which"


def parts_needed(comparison: Comparison, convention: str | None = None) -> tuple[PartLine, ...]:
    """By kind, then in the order of the steps; convention: how colours are printed, None as stated."""
    work = find_work(comparison)
    return part_lines((*_at_ends(comparison, work), *_plugs(comparison, work), *_splices(comparison, work), *_wires(comparison, work, convention), *_fitted(comparison, work)))


def parts_taken_off(comparison: Comparison, convention: str | None = None) -> tuple[PartLine, ...]:
    """The wires and cables that come out, by their old finished length; where: their old ids."""
    work, old = find_work(comparison), comparison.old
    loose = [job for job in work.wires if job.old and job.fate in (Fate.GONE, Fate.REPLACED)]
    wires = [wire_use(job.old, convention, job.was_mm) for job in loose if job.old and job.old.cable is None and not old.geometry.lengths[job.old.id].zero]
    cables = dict.fromkeys(job.old.cable for job in loose if job.old and job.old.cable)
    return part_lines((*wires, *(cable_use(old.harness.cables[name], old.geometry.cables[name].finished_mm) for name in cables if name)))


def _at_ends(comparison: Comparison, work: Work) -> Iterator[Use]:
    """One terminal and one seal a cavity, whatever the wires in it; on a stud, bar or ground every wire has its own."""
    contacts = comparison.new.harness.contacts
    counted: set[tuple[str, str]] = set()

    def use(kind: str, part: str, address: str) -> Iterator[Use]:
        one = contacts[address].kind in (Kind.CAVITY, Kind.SOCKET)
        if part and not (one and (kind, address) in counted):
            counted.add((kind, address))
            yield Use(kind, part, address, False, 1, None)

    for job in work.wires:
        for end in job.ends:
            if end.moves and end.now in contacts:
                fresh = fresh_at(comparison, job, end)
                yield from use("terminal", fresh.terminal or (_NOT_STATED if fresh.is_new else ""), end.now)
                yield from use("seal", fresh.seal, end.now)
    for crimp in work.crimps:
        if crimp.is_new:
            contact = contacts[crimp.address]
            yield from use("terminal", fitted(contact.terminal or _NOT_STATED), crimp.address)
            yield from use("seal", fitted(contact.seal), crimp.address)
    for group in work.terminals:
        for address in group.addresses:
            yield from use(group.key, group.now, address)
            if group.key == "terminal":   # a seal does not survive that its terminal is cut off
                yield from use("seal", fitted(contacts[address].seal), address)


def _plugs(comparison: Comparison, work: Work) -> Iterator[Use]:
    new = comparison.new.harness
    changed = (change.id for change in comparison.changes if change.thing is Thing.CONTACT and change.key == "plug" and change.now and change.id in new.contacts)
    for address in dict.fromkeys((*left_without_wire(comparison, work.wires), *changed)):
        plug = fitted(new.contacts[address].plug)
        if plug and address not in work.kept_off:
            yield Use("cavity plug", plug, address, False, 1, None)


def _splices(comparison: Comparison, work: Work) -> Iterator[Use]:
    for job in work.splices:
        if job.new is None:
            continue
        station, members = comparison.new.geometry.stations[job.new.id], len(job.stay) + len(job.into)
        if members > 1 or job.new.members_unknown:
            uses = tuple(splice_uses(job.new, station))
            yield from uses
            named = {use.kind for use in uses}
            for kind, is_stated, is_wanted in (("crimp sleeve", job.new.sleeve, is_crimped(job.new)), ("heat-shrink", job.new.shrink, True)):
                if kind not in named and is_wanted and not is_stated:
                    yield Use(kind, f"{kind}, not stated which", job.new.id, False, 1, None)
        elif members == 1:
            part, proposed = shrink_of(job.new, station)
            yield from [Use("heat-shrink", part, job.new.id, proposed, 1, None)] if part else []


def _wires(comparison: Comparison, work: Work, convention: str | None) -> Iterator[Use]:
    new = comparison.new
    cut = [job.new for job in work.wires if job.new and job.is_cut]
    for wire in cut:
        if wire.cable is None:
            length = new.geometry.lengths[wire.id]
            yield link_use(wire, convention) if length.zero else wire_use(wire, convention, length.cut_mm)
    for name in dict.fromkeys(wire.cable for wire in cut if wire.cable):
        yield cable_use(new.harness.cables[name], new.geometry.cables[name].cut_mm)


def _fitted(comparison: Comparison, work: Work) -> Iterator[Use]:
    """Covering, housings, fuses, relays and the like that are new or another."""
    new, done = comparison.new.harness, set[tuple[Thing, str]]()
    alone = {new.contacts[address].owner for address in work.kept_off}
    for change in comparison.changes:
        is_new = change.kind is ChangeKind.ADDED and change.key == ""
        is_other = change.kind in (ChangeKind.PART_CHANGED, ChangeKind.RESIZED) and bool(change.was and change.now)
        if not (is_new or is_other) or (change.thing, change.id) in done or change.id in alone:
            continue
        match change.thing:
            case Thing.SEGMENT if is_new or change.key == "covering":
                done.add((change.thing, change.id))
                yield from covering_use(new.segments[change.id])
            case Thing.CONNECTOR if (is_new and new.connectors[change.id].housing != "none") or (change.key == "housing" and fitted(change.now)):
                done.add((change.thing, change.id))
                yield Use("housing", new.connectors[change.id].housing or "housing, not stated which", change.id, False, 1, None)
            case Thing.PART if is_new or change.key in _ANOTHER_PART:
                done.add((change.thing, change.id))
                part = new.parts[change.id]
                yield Use(part.kind, part_words(part) or f"{part.kind}, not stated which", change.id, False, 1, None)
