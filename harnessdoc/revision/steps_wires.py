"""The steps at the wires: taken out of their cavities, cut, spliced, and pinned.

Takes a Comparison, the Work and its Proofs; gives steps, each with what the meter must
say of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ..description.units import Length, print_length
from ..geometry.parts_list import shrink_of, sleeve_of
from ..model.harness import OPEN, UNKNOWN, Contact, Harness, Kind, Wire
from ..network.continuity import PathCheck
from ..network.islands import other_end
from .compare import Comparison
from .proofs import Proofs
from .steps import Phase, Step
from .words import cavities, said, titled, way_words
from .work import EndJob, Fate, SpliceJob, WireJob, Work, crimped_anew, fresh_at, left_without_wire, staying

MOST_NAMED = 3
"""Far ends that a proof names; the others are counted."""


def wire_steps(comparison: Comparison, work: Work, proofs: Proofs, units: str) -> Iterator[Step]:
    """Of all jobs, by phase no order; within the phase Cut: splices opened, wires out, wires cut. units: of printed lengths."""
    old, new = comparison.old.harness, comparison.new.harness
    for job in work.wires:
        yield from _de_pin(comparison, job)
    for splice in work.splices:
        yield from _open_splice(comparison, splice)
    for job in work.wires:
        if job.old and job.fate in (Fate.GONE, Fate.REPLACED):
            length = "" if job.was_mm is None else f", {print_length(Length(job.was_mm), units)}, to stock"
            yield _at_wire(Phase.CUT, "", job.old, f"take it out of the bundle: {way_words(job.old, old)}{length}")
    for job in work.wires:
        if job.new and job.is_cut:
            yield _at_wire(Phase.CUT, "", job.new, f"{way_words(job.new, new)}: {_cut_words(comparison, job, units)}")
    for splice in work.splices:
        yield from _close_splice(comparison, splice, proofs)
    for job in work.wires:
        yield from _pin(comparison, job, proofs)
    for address in left_without_wire(comparison, work.wires):
        contact = new.contacts[address]
        if contact.plug and address not in work.kept_off:
            yield Step(Phase.PIN, address, f"close the empty cavity: {contact.plug}")
    yield from _re_terminate(comparison, work)


# ------------------------------------------------------------------------------ de-pin

def _de_pin(comparison: Comparison, job: WireJob) -> Iterator[Step]:
    old = comparison.old.harness
    for end in job.ends:
        if not end.moves or end.was is None or end.was in old.splices or end.was == UNKNOWN or job.old is None:
            continue
        if end.was == OPEN:
            if job.fate is Fate.KEPT:
                yield _at_wire(Phase.DE_PIN, "", job.old, "find its open end and take the cap off")
            continue
        contact = old.contacts[end.was]
        words, left = _release(contact), crimped_anew(comparison, end)
        if left is not None:
            words += f"; {', '.join(staying(comparison, left))} stays there: cut the terminal they share off, crimp a new one on"
        yield _at_wire(Phase.DE_PIN, end.was, job.old, words, contact.terminal, contact.seal)


def _release(contact: Contact) -> str:
    bolted = any(word in contact.terminal.lower() for word in ("eyelet", "ring"))
    match contact.kind:
        case Kind.CAVITY:
            return "free its lock, draw it out"
        case Kind.SOCKET:
            return "free its lock, pull it out of the socket"
        case Kind.GROUND:
            return "unbolt the eyelet from the ground"
        case Kind.BAR:
            return "unbolt it from the bar" if bolted else "pull it off the bar"
    return "undo the nut and lift the eyelet off" if bolted else "pull the terminal off" if contact.terminal else "take the terminal off"


# --------------------------------------------------------------------------------- cut

def _cut_words(comparison: Comparison, job: WireJob, units: str) -> str:
    """How long, and why another wire is needed."""
    new = comparison.new
    length = new.geometry.lengths[job.new.id] if job.new else None
    if length is None or length.cut_mm is None or length.finished_mm is None:
        words = "make the link in the box" if length is not None and length.zero else "cut it when it is laid in: its length is not known"
    else:
        words = f"cut to {print_length(Length(length.cut_mm), units)}, finished {print_length(Length(length.finished_mm), units)}"
    if job.new and job.new.cable:
        words += f", as {job.new.core} of cable {job.new.cable}, which is cut once"
    if job.new and job.new.pair:
        partners = [wire for wire in new.harness.pairs[job.new.pair].wires if wire != job.new.id]
        words += f", twist with {', '.join(partners)}" if partners else ""
    reasons = [f"{change.key} was {was}, now {now}" for change in job.why for was, now in (said(change, comparison.old.harness, comparison.new.harness),)]
    if job.fate is Fate.REPLACED and job.too_short and job.was_mm is not None and job.now_mm is not None:
        was, now, more = (print_length(Length(mm), units) for mm in (job.was_mm, job.now_mm, job.now_mm - job.was_mm))
        reasons.append(f"the old one has {was}, {now} is wanted" + ("" if job.why else f"; or extend it by {more} and leave its other end"))
    return words + (f" ({'; '.join(reasons)})" if reasons else "")


# ------------------------------------------------------------------------------ splice

def _open_splice(comparison: Comparison, job: SpliceJob) -> Iterator[Step]:
    if job.old is None:
        return
    if job.new is None:
        words = f"cut the splice out: {', '.join(job.out)} came together there"
    else:
        moved = "; ".join(f"{change.key} was {was}, now {now}" for change in job.changes for was, now in (said(change, comparison.old.harness, comparison.new.harness),))
        words = "; ".join(filter(None, ("open the splice, or cut it out", f"out comes {', '.join(job.out)}" if job.out else "", f"in stays {', '.join(job.stay)}" if job.stay else "", moved)))
    yield Step(Phase.CUT, job.old.id, words)


def _close_splice(comparison: Comparison, job: SpliceJob, proofs: Proofs) -> Iterator[Step]:
    if job.new is None:
        return
    members = (*job.stay, *job.into)
    if not members:
        return
    station = comparison.new.geometry.stations[job.new.id]
    first = comparison.new.harness.wires[members[0]]
    if len(members) == 1 and not job.new.members_unknown:
        yield _at_wire(Phase.SPLICE, job.new.id, first, "nothing is left to join it to: seal its end", seal=shrink_of(job.new, station)[0])
        return
    method = job.new.method or "method not known"
    words = f"join {', '.join(members)}: {method}" + (f", {', '.join(job.into)} new in it" if job.into and job.stay else "")
    yield Step(Phase.SPLICE, job.new.id, words, terminal=sleeve_of(job.new, station)[0], seal=shrink_of(job.new, station)[0], proof=ringing(proofs.through.get(job.new.id, ())))


# --------------------------------------------------------------------------------- pin

def _pin(comparison: Comparison, job: WireJob, proofs: Proofs) -> Iterator[Step]:
    new = comparison.new.harness
    if job.new is None:
        return
    for end in job.ends:
        if not end.moves or end.now is None or end.now in new.splices or end.now == UNKNOWN:
            continue
        if end.now == OPEN:
            yield _at_wire(Phase.PIN, "", job.new, f"seal the open end{_was_at(end)} and tie it back")
            continue
        contact = new.contacts[end.now]
        far = other_end(job.new, end.now)
        is_direct = far in new.contacts and far not in new.splices
        proof = ringing((PathCheck(end.now, far, (job.new.id,)),) if is_direct else _measured_at(proofs.through.get(job.new.id, ()), end.now), end.now)
        yield _at_wire(Phase.PIN, end.now, job.new, _pin_words(comparison, job, end, contact), contact.terminal, contact.seal, proof)


def _pin_words(comparison: Comparison, job: WireJob, end: EndJob, contact: Contact) -> str:
    fresh = fresh_at(comparison, job, end)
    before = comparison.old.harness.contacts.get(end.was or "")
    words = []
    if job.fate is Fate.KEPT and fresh.is_new and before is not None and before.terminal and before.kind is not Kind.SPLICE:
        words.append(f"cut off its {before.terminal}")
    at_place = comparison.old.harness.contacts.get(comparison.pairing.address_before(contact.address) or "")
    if at_place is not None and at_place.plug:
        words.append(f"take the plug out ({at_place.plug})")
    if fresh.is_new:
        words.append(f"crimp on {'a new ' if job.fate is Fate.KEPT else ''}{fresh.terminal}" if fresh.terminal else "crimp on a terminal, not stated which")
    if fresh.seal:
        words.append(f"with {fresh.seal}")
    sharing = [wire for wire in comparison.new.harness.wires_at[contact.address] if job.new and wire != job.new.id]
    if sharing and contact.kind in (Kind.CAVITY, Kind.SOCKET):
        words.append(f"in one terminal with {', '.join(sharing)}")
    words.append(_place_words(contact) + (_was_at(end) if job.fate is Fate.KEPT else ""))
    return ", ".join(words)


def _was_at(end: EndJob) -> str:
    return f" (was {end.was})" if end.was and end.was not in (OPEN, UNKNOWN) else ""


def _place_words(contact: Contact) -> str:
    match contact.kind:
        case Kind.CAVITY:
            return "push it in till it locks, pull to try"
        case Kind.SOCKET:
            return "push it into the socket till it locks, pull to try"
        case Kind.GROUND:
            return "bolt it on bare metal, seal it"
    return "bolt it on" if any(word in contact.terminal.lower() for word in ("eyelet", "ring")) else "fit it, pull to try"


def _re_terminate(comparison: Comparison, work: Work) -> Iterator[Step]:
    """New terminals or seals with the wires as they are, and housings."""
    new = comparison.new.harness
    for group in work.terminals:
        words = f"new {group.key}s at {cavities(group.addresses, new)}: was {group.was or 'none'}, now {group.now}"
        is_seal = group.key == "seal"
        yield Step(Phase.PIN, group.owner, words, terminal="" if is_seal else group.now, seal=group.now if is_seal else "")
    for housing in work.housings:
        wired = [address for address, contact in new.contacts.items() if contact.owner == housing.connector and new.wires_at.get(address)]
        words = f"change the housing, {housing.words}; terminals over one by one: {cavities(wired, new)}"
        yield Step(Phase.PIN, housing.connector, words)


# ------------------------------------------------------------------------------- shared

def _measured_at(paths: Sequence[PathCheck], at: str) -> Sequence[PathCheck]:
    """Those of some paths that begin or end at a contact; all where none does."""
    return [path for path in paths if at in (path.from_, path.to)] or paths


def ringing(paths: Iterable[PathCheck], at: str = "") -> str:
    """``rings: E1.13 to K8.85, X2.3 and 2 more``; at: the contact that stands first, where the paths have it."""
    ends: dict[str, list[str]] = {}
    for path in paths:
        one, other = (path.to, path.from_) if path.to == at else (path.from_, path.to)
        ends.setdefault(one, []).append(other)
    told = []
    for one, others in ends.items():
        more = f" and {len(others) - MOST_NAMED} more" if len(others) > MOST_NAMED else ""
        told.append(f"{one} to {', '.join(others[:MOST_NAMED])}{more}")
    return f"rings: {'; '.join(told[:1])}" if told else ""


def _at_wire(phase: Phase, at: str, wire: Wire, words: str, terminal: str = "", seal: str = "", proof: str = "") -> Step:
    return Step(phase, at, words, wire.id, wire.size, wire.colour, terminal, seal, proof)


def unplug_words(harness: Harness, owner: str) -> str:
    """What a connector is unplugged from, or a part pulled out of."""
    if owner in harness.parts:
        part = harness.parts[owner]
        return f"pull the {part.kind}" + (f" out of box {part.box}" if part.box else "")
    connector = harness.connectors[owner]
    mate = connector.mates or next((other.id for other in harness.connectors.values() if other.mates == owner), None)
    away = mate or connector.device
    return f"unplug it from {titled(away, harness)}" if away else "unplug it"
