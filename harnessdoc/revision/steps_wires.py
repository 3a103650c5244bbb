"""The steps at the contacts: wires taken out of their cavities, terminals crimped on, wires pinned and bolted.

Takes a Comparison, the Work and its Proofs; gives steps, each with what the meter must
say of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..geometry.cut_list import fitted
from ..model.harness import OPEN, UNKNOWN, Contact, Harness, Kind, Wire
from .changes import Thing
from .compare import Comparison
from .jobs import CrimpJob, EndJob, Fate, ReTermination, StudJob, WireJob, Work
from .proofs import Proofs, proof_at
from .steps import Phase, Step, at_wire
from .terminations import fresh_at, has_eye, is_on_bolted_fuse, is_shared, left_without_wire
from .words import cavities, kind_words

_BARE = "strip it: no terminal goes on"
_NOT_STATED = "terminal, not stated which"


def wire_steps(comparison: Comparison, work: Work, proofs: Proofs) -> Iterator[Step]:
    """De-pin and pin; within a phase, what closes a contact comes behind what goes into it."""
    new = comparison.new.harness
    crimps = {crimp.address: crimp for crimp in work.crimps}
    studs = {stud.address for stud in work.studs}
    told: set[str] = set()
    for job in work.wires:
        yield from _de_pin(comparison, job, crimps, told)
        yield from _pin(comparison, job, proofs, crimps, studs)
    for crimp in work.crimps:
        yield from _draw(comparison, crimp)
        yield _crimp(comparison, crimp, proofs)
    for stud in work.studs:
        yield _close_stud(comparison, stud, proofs)
    for address in left_without_wire(comparison, work.wires):
        plug = fitted(new.contacts[address].plug)
        if plug and address not in work.kept_off:
            yield Step(Phase.PIN, address, f"close the empty cavity: {plug}")
    for group in work.terminals:
        yield _re_terminate(comparison, group)
    for housing in work.housings:
        wired = [address for address, contact in new.contacts.items() if contact.owner == housing.connector and new.wires_at.get(address)]
        yield Step(Phase.PIN, housing.connector, f"change the housing, {housing.words}; terminals over one by one: {cavities(wired, new)}")


# ------------------------------------------------------------------------------ de-pin

def _de_pin(comparison: Comparison, job: WireJob, crimps: dict[str, CrimpJob], told: set[str]) -> Iterator[Step]:
    """told: contacts of which it was said what comes along."""
    old = comparison.old.harness
    for end in job.ends:
        if not end.moves or end.was is None or end.was in old.splices or end.was == UNKNOWN or job.old is None:
            continue
        if end.was == OPEN:
            if job.fate is Fate.KEPT:
                yield at_wire(Phase.DE_PIN, "", job.old, "find its open end and take the cap off")
            continue
        contact = old.contacts[end.was]
        words = _release(old, contact)
        crimp = crimps.get(comparison.pairing.address_now(end.was) or "")
        if crimp is not None and crimp.comes_along and end.was not in told:
            told.add(end.was)
            words += f"; {', '.join(crimp.stay)} {'comes' if len(crimp.stay) == 1 else 'come'} with it: cut the terminal they share off"
        yield at_wire(Phase.DE_PIN, end.was, job.old, words, fitted(contact.terminal), fitted(contact.seal))


def _draw(comparison: Comparison, crimp: CrimpJob) -> Iterator[Step]:
    """What stays in a cavity is drawn out to be crimped anew with what comes in."""
    if crimp.comes_along or not crimp.stay or crimp.was_at is None:
        return
    old, contact = comparison.old.harness, comparison.old.harness.contacts[crimp.was_at]
    names = [before for wire in crimp.stay if (before := comparison.pairing.before(Thing.WIRE, wire)) is not None]
    words = f"{_release(old, contact)}, cut its terminal off"
    yield _at_wires(Phase.DE_PIN, crimp.was_at, [old.wires[name] for name in names], words, contact)


def _release(harness: Harness, contact: Contact) -> str:
    if is_on_bolted_fuse(harness, contact):
        return "undo the nut, take the eyelet off"
    match contact.kind:
        case Kind.CAVITY:
            return "free its lock, draw it out"
        case Kind.SOCKET:
            return "free its lock, pull it out of the socket"
        case Kind.GROUND:
            return "unbolt the eyelet from the ground"
        case Kind.BAR:
            return "unbolt it from the bar" if has_eye(contact) else "pull it off the bar"
    return "undo the nut and lift the eyelet off" if has_eye(contact) else "pull the terminal off" if fitted(contact.terminal) else "take the terminal off"


# --------------------------------------------------------------------------------- pin

def _pin(comparison: Comparison, job: WireJob, proofs: Proofs, crimps: dict[str, CrimpJob], studs: set[str]) -> Iterator[Step]:
    new = comparison.new.harness
    if job.new is None:
        return
    for end in job.ends:
        if not end.moves or end.now is None or end.now in new.splices or end.now == UNKNOWN or end.now in crimps:
            continue
        if end.now == OPEN:
            yield at_wire(Phase.PIN, "", job.new, f"seal the open end{_was_at(end)} and tie it back")
            continue
        contact = new.contacts[end.now]
        words = _pin_words(comparison, job, end, contact, end.now in studs)
        fresh = fresh_at(comparison, job, end)
        yield at_wire(Phase.PIN, end.now, job.new, words, fresh.terminal or fitted(contact.terminal), fitted(contact.seal), proof_at(comparison, proofs, end.now, (job.new.id,)))


def _pin_words(comparison: Comparison, job: WireJob, end: EndJob, contact: Contact, shares_stud: bool) -> str:
    old, fresh = comparison.old.harness, fresh_at(comparison, job, end)
    before = old.contacts.get(end.was or "")
    words = []
    if job.fate is Fate.KEPT and (fresh.is_new or fresh.is_bare) and before is not None and fitted(before.terminal) and before.kind is not Kind.SPLICE and not is_shared(old, before):
        words.append(f"cut off its {before.terminal}")
    words += _plug_out(comparison, contact)
    if fresh.is_new:
        words += ["slide its label on"] if job.is_cut else []
        words.append(f"crimp on {'a new ' if job.fate is Fate.KEPT else ''}{fresh.terminal}" if fresh.terminal else f"crimp on a {_NOT_STATED}")
    elif fresh.is_bare:
        words.append(_BARE)
    if fresh.seal:
        words.append(f"with {fresh.seal}")
    place = f"put it on {contact.address}" if shares_stud else _place_words(comparison.new.harness, contact)
    return ", ".join([*words, place + (_was_at(end) if job.fate is Fate.KEPT else "")])


def _plug_out(comparison: Comparison, contact: Contact) -> list[str]:
    before = comparison.old.harness.contacts.get(comparison.pairing.address_before(contact.address) or "")
    plug = fitted(before.plug) if before is not None else ""
    return [f"take the plug out ({plug})"] if plug else []


def _was_at(end: EndJob) -> str:
    return f" (was {end.was})" if end.was and end.was not in (OPEN, UNKNOWN, end.now) else ""


def _place_words(harness: Harness, contact: Contact) -> str:
    if is_on_bolted_fuse(harness, contact):
        return "bolt it on"
    match contact.kind:
        case Kind.CAVITY:
            return "push it in till it locks, pull to try"
        case Kind.SOCKET:
            return "push it into the socket till it locks, pull to try"
        case Kind.GROUND:
            return "bolt it on bare metal, seal it"
    return "bolt it on" if has_eye(contact) else "fit it, pull to try"


def _crimp(comparison: Comparison, crimp: CrimpJob, proofs: Proofs) -> Step:
    """All wires of one terminal at one go."""
    new = comparison.new.harness
    contact, wires = new.contacts[crimp.address], [new.wires[name] for name in crimp.members]
    terminal, seal = fitted(contact.terminal), fitted(contact.seal)
    words = _plug_out(comparison, contact)
    if crimp.is_new:
        named = " and ".join(f"{wire.id} ({kind})" if (kind := kind_words(wire)) else wire.id for wire in wires)
        part = terminal or _NOT_STATED
        if contact.terminal and not terminal:
            words.append(_BARE)
        elif len(wires) == 1:
            words.append(f"crimp on a new {part}")
        else:
            words.append(f"crimp {named} into one {part}")
        words += [f"with {seal}"] if seal else []
    proof = proof_at(comparison, proofs, crimp.address, crimp.members)
    return _at_wires(Phase.PIN, crimp.address, wires, ", ".join([*words, _place_words(new, contact)]), contact, proof)


def _close_stud(comparison: Comparison, stud: StudJob, proofs: Proofs) -> Step:
    """Behind all that was put on it or taken off."""
    new = comparison.new.harness
    contact = new.contacts[stud.address]
    members = tuple(wire for wire in new.wires_at[stud.address] if wire in (*stud.stay, *stud.into))
    how = "bare metal, tight, sealed" if contact.kind is Kind.GROUND else "clean, tight"
    words = f"bolt {stud.address} {'again ' if stud.stay else ''}with {', '.join(members)} on it: {how}"
    return Step(Phase.PIN, stud.address, words, proof=proof_at(comparison, proofs, stud.address, members))


def _re_terminate(comparison: Comparison, group: ReTermination) -> Step:
    """New terminals or seals with the wires as they are."""
    where = cavities(group.addresses, comparison.new.harness)
    if not group.now:
        return Step(Phase.PIN, group.owner, f"take the {group.key}s off at {where} ({group.was}): none is wanted")
    is_seal = group.key == "seal"
    words = f"new {group.key}s at {where}: was {group.was or 'none'}, now {group.now}"
    if not is_seal:
        contacts = comparison.new.harness.contacts
        sealed = ", with a new seal" if any(fitted(contacts[address].seal) for address in group.addresses) else ""
        words += f"; take each out, cut its terminal off (a crimp's length is lost), crimp the new one on{sealed}, put it in again, pull to try"
    return Step(Phase.PIN, group.owner, words, terminal="" if is_seal else group.now, seal=group.now if is_seal else "")


def _at_wires(phase: Phase, at: str, wires: Sequence[Wire], words: str, contact: Contact, proof: str = "") -> Step:
    """One wire as it is; of several, size and colour are in the words."""
    terminal, seal = fitted(contact.terminal), fitted(contact.seal)
    if len(wires) == 1:
        return at_wire(phase, at, wires[0], words, terminal, seal, proof)
    return Step(phase, at, words, ", ".join(wire.id for wire in wires), terminal=terminal, seal=seal, proof=proof)
