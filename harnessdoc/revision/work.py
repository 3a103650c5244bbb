"""What hands have to do at the harness, job by job, before it is told as steps.

Takes a Comparison; gives Work: the wires to make, take out, replace or re-end, the
splices to open, the contacts to terminate anew. What only became known, text and use
need no hands. A wire of which size, colour, insulation or cable was known and is
another now is replaced; so is one that is led elsewhere or another way and too short for
it. A ground or splice that sits elsewhere takes the ends of its wires along. A length that
was measured anew is knowledge.
Circuits with an airbag contact, old or new, are left alone.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from ..model.harness import Wire
from ..network.continuity import airbag_contacts, airbag_signalled
from .changes import Change, ChangeKind, Thing
from .compare import Comparison
from .jobs import EndJob, Fate, SpliceJob, WireJob, Work
from .pairing import Pairing
from .terminations import crimp_jobs, housings, re_terminations, stud_jobs

GROUND_SITS = ("place", "stud", "metal")
"""Keys of a ground that say where its eyelets are bolted."""
_ENDS = {ChangeKind.MOVED, ChangeKind.RE_ENDED, ChangeKind.SPLICED, ChangeKind.UNSPLICED}
_ANOTHER_WIRE = {"size": ChangeKind.RESIZED, "colour": ChangeKind.RECOLOURED, "type": ChangeKind.PART_CHANGED,
                 "cable": ChangeKind.RE_TWISTED, "core": ChangeKind.RE_TWISTED}
"""Key of a wire -> the change of it that makes it another wire."""
_ANOTHER_CABLE = ("part", "shield", "colour", "lay")
"""Keys of a cable that make it another one, with all its cores."""


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
    crimps = tuple(crimp_jobs(comparison, jobs, kept_off))
    return Work(tuple(jobs), tuple(_splice_jobs(comparison, jobs, kept_off)), crimps, tuple(stud_jobs(comparison, jobs, kept_off)),
                tuple(re_terminations(comparison, jobs, crimps, kept_off)), tuple(housings(comparison, kept_off)), tuple(left_alone), kept_off, frozenset(off_old))


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
    elsewhere = sits_elsewhere(comparison)
    for address in elsewhere:
        for wire in comparison.new.harness.wires_at.get(address, ()):
            before = comparison.pairing.before(Thing.WIRE, wire)
            if before is not None:
                by_wire.setdefault((before, wire), [])
    for (old_id, new_id), changes in by_wire.items():
        old = None if old_id is None else comparison.old.harness.wires[old_id]
        new = None if new_id is None else comparison.new.harness.wires[new_id]
        was_mm = None if old_id is None else comparison.old.geometry.lengths[old_id].finished_mm
        now_mm = None if new_id is None else comparison.new.geometry.lengths[new_id].finished_mm
        if old is None or new is None:
            ends = (*(EndJob(end, None, True) for end in _ends(old)), *(EndJob(None, end, True) for end in _ends(new)))
            yield WireJob(old, new, Fate.NEW if old is None else Fate.GONE, ends, (), was_mm, now_mm)
            continue
        ends = _paired_ends(old, new, changes, comparison.pairing, elsewhere)
        why = tuple(change for change in changes if change.thing is Thing.CABLE or _ANOTHER_WIRE.get(change.key) is change.kind)
        job = WireJob(old, new, Fate.KEPT, ends, (), was_mm, now_mm)
        if why or (job.too_short and (any(end.moves for end in ends) or any(change.key == "via" for change in changes))):
            whole = tuple(EndJob(end.was, end.now, True) for end in ends)
            yield WireJob(old, new, Fate.REPLACED, whole, why, was_mm, now_mm)
        elif any(end.moves for end in ends):
            yield job


def sits_elsewhere(comparison: Comparison) -> tuple[str, ...]:
    """Grounds and splices (new ids) that were known to sit at one place, stud or metal and sit at another."""
    return tuple(dict.fromkeys(change.new_id for change in comparison.changes if change.new_id is not None and change.was and change.now and (
        (change.thing is Thing.GROUND and change.key in GROUND_SITS) or (change.thing is Thing.SPLICE and change.kind is ChangeKind.RE_ROUTED))))


def _ends(wire: Wire | None) -> tuple[str, ...]:
    return () if wire is None else (wire.from_, wire.to)


def _paired_ends(old: Wire, new: Wire, changes: Sequence[Change], pairing: Pairing, elsewhere: Collection[str]) -> tuple[EndJob, ...]:
    """Both ends, as the new wire has them; an end that only became known, or is no longer known, does not move, but with what it is on."""
    was, now = [old.from_, old.to], [new.from_, new.to]
    told: list[EndJob] = []
    for change in changes:
        if change.key == "end" and change.old in was and change.new in now:
            was.remove(str(change.old))
            now.remove(str(change.new))
            told.append(EndJob(str(change.old), str(change.new), change.kind in _ENDS))
    if len(was) == 2 and pairing.address_now(was[0]) != now[0]:
        was.reverse()
    told += [EndJob(a, b, b in elsewhere and pairing.address_now(a) == b) for a, b in zip(was, now, strict=True)]
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
