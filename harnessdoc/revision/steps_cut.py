"""The steps at the bundle: splices opened, wires taken out, cut and laid, splices made.

Takes a Comparison, the Work and its Proofs; gives steps, each with what the meter must
say of it.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..description.units import Length, print_length
from ..geometry.parts_list import shrink_of, sleeve_of, why_no_shrink, why_no_sleeve
from ..model.harness import OPEN, UNKNOWN, Kind, Splice, Wire
from .compare import Comparison
from .jobs import LONGER_MM, Fate, SpliceJob, WireJob, Work
from .kept_whole import is_kept_whole
from .opened import covering_words, led, opened_before, segments_of
from .proofs import Proofs, ringing
from .steps import Phase, Step, at_wire
from .terminations import fresh_at, is_shared
from .words import said, way_words


def cut_steps(comparison: Comparison, work: Work, proofs: Proofs, units: str) -> Iterator[Step]:
    """Of phase Cut: coverings and splices opened, wires out, cables and wires cut; then of phase Splice. units: of printed lengths."""
    old = comparison.old.harness
    covered = [covering_words(segment, units) for segment in opened_before(comparison, work)]
    if covered:
        yield Step(Phase.CUT, "", f"open the coverings: {', '.join(covered)}")
    for splice in work.splices:
        yield from _open_splice(comparison, splice)
    for job in work.wires:
        if job.old and job.fate in (Fate.GONE, Fate.REPLACED):
            length = "" if job.was_mm is None else f", {print_length(Length(job.was_mm), units)}, to stock"
            measured = comparison.old.geometry.lengths[job.old.id]
            way = "take the link out of the box" if measured.zero else "take it out of the bundle"
            through = segments_of(measured.route)
            yield at_wire(Phase.CUT, "", job.old, f"{way}: {way_words(job.old, old)}" + (f", through {', '.join(through)}" if through else "") + length)
    cables: set[str] = set()
    for job in work.wires:
        if job.new and job.is_cut:
            if job.new.cable and job.new.cable not in cables:
                cables.add(job.new.cable)
                yield _cut_cable(comparison, work, job.new.cable, units)
            yield at_wire(Phase.CUT, "", job.new, f"{way_words(job.new, comparison.new.harness)}: {_cut_words(comparison, job, job.new, units)}")
        elif job.new and job.old:
            yield from _changed(comparison, job, job.old, job.new, units)
    for splice in work.splices:
        yield from _close_splice(comparison, splice, proofs)


# --------------------------------------------------------------------------------- cut

def _cut_words(comparison: Comparison, job: WireJob, wire: Wire, units: str) -> str:
    """How long, through which segments, and why another wire is needed."""
    new = comparison.new
    length = new.geometry.lengths[wire.id]
    if wire.cable:
        words = f"{wire.core} of cable {wire.cable}"
    elif length.cut_mm is None or length.finished_mm is None:
        words = "make the link in the box, measure it there" if length.zero else "cut it when it is laid in: its length is not known"
    else:
        words = f"cut to {print_length(Length(length.cut_mm), units)}, finished {print_length(Length(length.finished_mm), units)}"
    if wire.pair:
        partners = [name for name in new.harness.pairs[wire.pair].wires if name != wire.id]
        words += f", twist with {', '.join(partners)}" if partners else ""
    way = segments_of(length.route)
    words += f", lay it through {', '.join(way)}" if way else ""
    reasons = [f"{change.key} was {was}, now {now}" for change in job.why for was, now in (said(change, comparison.old.harness, comparison.new.harness),)]
    if job.fate is Fate.REPLACED and job.too_short and job.was_mm is not None and job.now_mm is not None:
        was, now, more = (print_length(Length(mm), units) for mm in (job.was_mm, job.now_mm, job.now_mm - job.was_mm))
        reasons.append(f"the old one has {was}, {now} is wanted" + ("" if job.why or is_kept_whole(comparison, wire) else f"; or extend it by {more} and leave its other end"))
    return words + (f" ({'; '.join(reasons)})" if reasons else "")


def _changed(comparison: Comparison, job: WireJob, old: Wire, new: Wire, units: str) -> Iterator[Step]:
    """A wire that stays, an end of which goes elsewhere: led another way, cut back, its old terminal off."""
    words = []
    way = segments_of(comparison.new.geometry.lengths[new.id].route)
    if way and led(comparison.old.geometry.lengths[old.id].route, comparison.pairing) != set(way):
        words.append(f"draw it back, lay it through {', '.join(way)}")
    excess = "" if job.was_mm is None or job.now_mm is None or job.was_mm <= job.now_mm + LONGER_MM else print_length(Length(job.was_mm - job.now_mm), units)
    contacts = comparison.old.harness.contacts
    for end in job.ends:
        if not end.moves:
            continue
        if end.now in comparison.new.harness.splices:
            contact = contacts.get(end.was or "")
            has_one = contact is not None and contact.kind is not Kind.SPLICE and contact.terminal != "none" and not is_shared(comparison.old.harness, contact)
            off = [f"cut off its {contact.terminal or 'terminal'}"] if contact is not None and has_one else []
            back = []
            if excess and job.now_mm is not None:
                back = [f"pull it back to splice {end.now}", f"cut it to {print_length(Length(job.now_mm), units)}", f"{excess} to stock"]
            words.append(", ".join([*off, *back, "strip it"]) + ("" if back else f" for splice {end.now}"))
        elif end.now in (OPEN, UNKNOWN) or not excess:
            continue
        else:
            fresh = fresh_at(comparison, job, end)
            words.append(f"shorten it by {excess}" if fresh.is_new or fresh.is_bare else f"it is {excess} longer than it must be: lay the rest in a loop and tie it")
        excess = ""
    if words:
        yield at_wire(Phase.CUT, "", new, "; ".join(words))


def _cut_cable(comparison: Comparison, work: Work, name: str, units: str) -> Step:
    """A cable is cut once, for all its cores."""
    new = comparison.new
    cores = [job.new.id for job in work.wires if job.new and job.is_cut and job.new.cable == name]
    length = new.geometry.cables[name].cut_mm
    cut = "when it is laid in: its length is not known" if length is None else f"to {print_length(Length(length), units)}"
    return Step(Phase.CUT, name, f"cut the cable once, {cut}; its cores: {', '.join(cores)}")


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
    members = (*job.stay, *job.into)
    if job.new is None or not members:
        return
    station = comparison.new.geometry.stations[job.new.id]
    tube = _named(*shrink_of(job.new, station))
    if len(members) == 1 and not job.new.members_unknown:
        yield at_wire(Phase.SPLICE, job.new.id, comparison.new.harness.wires[members[0]], "nothing is left to join it to: seal its end", seal=tube)
        return
    sleeve = _named(*sleeve_of(job.new, station))
    yield Step(Phase.SPLICE, job.new.id, _join_words(job, job.new, members, sleeve, tube, why_no_sleeve(job.new, station), why_no_shrink(job.new, station)), terminal=sleeve, seal=tube, proof=ringing(proofs.through.get(job.new.id, ())))


def _join_words(job: SpliceJob, splice: Splice, members: tuple[str, ...], sleeve: str, shrink: str, no_sleeve: str, no_shrink: str) -> str:
    words = f"join {', '.join(members)}: {splice.method or 'method not known'}" + (f", {', '.join(job.into)} new in it" if job.into and job.stay else "")
    if sleeve:
        words += f", sleeve {sleeve.removeprefix('sleeve ')}"
    elif no_sleeve:
        words += f"; no sleeve proposed: {no_sleeve}"
    if shrink:
        words += f"; heat-shrink {shrink} on first, shrink it after"
    elif no_shrink:
        words += f"; no heat-shrink proposed: {no_shrink}"
    return words


def _named(part: str, is_proposed: bool) -> str:
    return f"{part} (proposed)" if is_proposed else part
