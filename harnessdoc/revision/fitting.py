"""What is mounted, fitted, covered, led another way or taken off beside the wires.

Takes a Comparison and the Work; gives for each thing one job in words, in the phase in
which it is done. A value that only became known, or was measured anew, needs no hands;
where a length grew with it, it is worth a look.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..description.units import Length, print_length
from ..geometry.cut_list import fitted
from ..judgement.judge import judge
from ..model.harness import Part
from ..trade.sizes import print_size
from .changes import Change, ChangeKind, Thing
from .compare import Comparison
from .jobs import LONGER_MM, Fate, Work
from .kept_whole import is_kept_whole
from .opened import closed_after, covering_words, led, segments_of
from .steps import Phase
from .terminations import left_without_wire
from .words import clause, part_words, way_words

PULLED = ("fuse", "fusible link", "relay")
"""Kinds of part that are out while the harness is measured; the others are mounted."""
_HANDS = {ChangeKind.PART_CHANGED, ChangeKind.RE_ROUTED, ChangeKind.RE_LENGTHENED, ChangeKind.MOVED, ChangeKind.RESIZED, ChangeKind.RE_TWISTED}
_DO = {
    Thing.CONNECTOR: "lead it there", Thing.DEVICE: "mount it so", Thing.BOX: "change it so", Thing.PART: "fit another", Thing.GROUND: "make the stud ready, bare to the metal",
    Thing.SEGMENT: "cover and lay it so", Thing.PAIR: "twist it anew", Thing.WIRE: "lay it so",
}
"""What is done to a thing whose keys changed; what is not here is done to its wires, or not at all."""
_MOUNTED = {Thing.DEVICE, Thing.BOX, Thing.GROUND}
"""Things that have to be as they will be before a wire comes to them."""
_NO_HANDS = {"face", "lid-view", "housing", "half", "service", "end", "size", "colour", "type", "cable", "core", "diameter", "length"}
"""Keys that say how a thing is drawn, that the steps at its wires take care of, or that a tape says."""
_OF_PARTS = {"size", "type"}
"""The same keys of a fuse or relay mean another one."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """One thing to fit: ``thing`` and ``id`` in the new version (in the old one where it is gone).

    is_look: somebody looks whether there is anything to do
    """

    phase: Phase
    thing: Thing
    id: str
    words: str
    is_look: bool


def fittings(comparison: Comparison, work: Work, units: str) -> Iterator[Fitting]:
    """In the order of the comparison; what may not reach any more comes last. units: in which lengths are printed."""
    by_thing: dict[tuple[Thing, str | None, str | None], list[Change]] = {}
    for change in comparison.changes:
        if change.thing in _DO and not _is_left_alone(comparison, work, change):
            by_thing.setdefault((change.thing, change.old_id, change.new_id), []).append(change)
    led_anew = False
    for (thing, _, _), changes in by_thing.items():
        for change in changes:
            if change.key == "" and change.kind in (ChangeKind.ADDED, ChangeKind.REMOVED) and thing not in (Thing.WIRE, Thing.PAIR) and not comes_off(comparison, change):
                yield _fitting(comparison, change, _come_or_gone(change))
            led_anew |= thing is Thing.SEGMENT and change.key == "length" and change.kind is ChangeKind.RE_LENGTHENED
        done = [change for change in changes if _wants_hands(comparison, work, change)]
        led_anew |= any(change.kind is ChangeKind.RE_ROUTED and thing is not Thing.WIRE for change in done)
        if done:
            what = "move it" if all(change.kind is ChangeKind.MOVED for change in done) else _DO[thing]
            told = "; ".join(clause(change, comparison.old.harness, comparison.new.harness) for change in done)
            yield _fitting(comparison, done[0], f"{what}: {told.replace(': was ', ' was ') if what == _DO[Thing.PART] else told}{_larger(comparison, done)}")
    yield from _cavity_plugs(comparison, work)
    yield from _covered_again(comparison, work, units)
    yield from _reach(comparison, work, led_anew, units)


def _larger(comparison: Comparison, changes: Sequence[Change]) -> str:
    """The question that a larger fuse asks, with the wires at its terminals; "" for any other change."""
    first = changes[0]
    if first.thing is not Thing.PART or first.old_id is None or first.new_id is None:
        return ""
    was, now = comparison.old.harness.parts[first.old_id], comparison.new.harness.parts[first.new_id]
    if now.kind not in ("fuse", "fusible link"):
        return ""
    amps, link = (was.rating, now.rating), (was.size, now.size)
    if not ((amps[0] and amps[1] and amps[1].value > amps[0].value) or (link[0] and link[1] and link[1].area_mm2 > link[0].area_mm2)):
        return ""
    new = comparison.new.harness
    wires = dict.fromkeys(wire for name in now.terminals for wire in new.wires_at.get(f"{now.id}.{name}", ()))
    sizes = ", ".join(f"{wire} {print_size(size) if (size := new.wires[wire].size) else 'of unknown size'}" for wire in wires)
    judged = _judged(comparison, now.id)
    if judged:
        return f"; larger: {judged}"
    return "; larger: will every wire behind it bear it?" + (f" At its terminals: {sizes}" if sizes else "")


def _judged(comparison: Comparison, part: str) -> str:
    """What the solved circuit says of a fuse or link of the new version; "" where it was not solved or cannot say."""
    new = comparison.new
    if new.operation is None:
        return ""
    protection = next((one for one in judge(new.operation, new.geometry).protections if one.part == part), None)
    of = [verdict for verdict in protection.verdicts if verdict.about in ("overload", "fusible link", "far-end short")] if protection else []
    failing = [f"NO, {verdict.severity.word}: {verdict.words}" for verdict in of if verdict.severity is not None]
    if failing:
        return f"{'; '.join(failing)}. Do not fit it before that is mended"
    return "the wires behind it bear it: " + "; ".join(verdict.words for verdict in of) if of and all(verdict.holds for verdict in of) else ""


def comes_off(comparison: Comparison, change: Change) -> bool:
    """A connector, fuse or relay that is gone: it is unplugged for good, and that is all."""
    if change.kind is not ChangeKind.REMOVED or change.key != "" or change.old_id is None:
        return False
    return change.thing is Thing.CONNECTOR or (change.thing is Thing.PART and comparison.old.harness.parts[change.old_id].kind in PULLED)


def _fitting(comparison: Comparison, change: Change, words: str) -> Fitting:
    is_new = change.key == "" and change.kind is ChangeKind.ADDED
    if change.thing is Thing.PART:
        parts = (comparison.old if change.new_id is None else comparison.new).harness.parts
        phase = Phase.PLUG_IN if parts[change.id].kind in PULLED else Phase.MOUNT
    else:
        phase = Phase.MOUNT if change.thing in _MOUNTED or (change.thing is Thing.CONNECTOR and is_new) else Phase.FIT
    return Fitting(phase, change.thing, change.id, words, False)


def _is_left_alone(comparison: Comparison, work: Work, change: Change) -> bool:
    """A part of an airbag circuit, or a wire of one."""
    if change.thing is Thing.WIRE:
        return any(change.id in (job.new and job.new.id, job.old and job.old.id) for job in work.left_alone)
    kept_off = work.kept_off_before if change.new_id is None else work.kept_off
    return (change.thing is Thing.GROUND and change.id in kept_off) or \
        (change.thing in (Thing.PART, Thing.DEVICE) and any(address.rpartition(".")[0] == change.id for address in kept_off))


def _wants_hands(comparison: Comparison, work: Work, change: Change) -> bool:
    if change.kind not in _HANDS or change.key == "" or (change.key in _NO_HANDS and not (change.thing is Thing.PART and change.key in _OF_PARTS)):
        return change.thing is Thing.SEGMENT and change.key == "end"
    if change.thing is not Thing.WIRE:
        return bool(change.was and change.now)
    if change.key == "via":
        cut = any(job.fate is Fate.REPLACED and job.new and job.new.id == change.new_id for job in work.wires)
        return not cut and _goes_another_way(comparison, change)
    return change.key == "pair" and bool(change.now)


def _goes_another_way(comparison: Comparison, change: Change) -> bool:
    was, now = (version.geometry.lengths[str(name)].route for version, name in ((comparison.old, change.old_id), (comparison.new, change.new_id)))
    return led(was, comparison.pairing) != set(segments_of(now))


def _come_or_gone(change: Change) -> str:
    if change.new_id is None:
        return "take it off" if change.thing is not Thing.PART else "take it out"
    item = change.new
    about: Sequence[str] = [getattr(item, "title", ""), getattr(item, "housing", ""), fitted(getattr(item, "covering", ""))]
    if isinstance(item, Part):
        about = [item.kind, part_words(item), f"in box {item.box}" if item.box else ""]
    elif getattr(item, "place", None):
        about = [*about, f"at {item.place}"]
    return ", ".join(["fit it", *filter(None, about)])


def _cavity_plugs(comparison: Comparison, work: Work) -> Iterator[Fitting]:
    """Cavities without a wire in both versions that get another plug."""
    new, left = comparison.new.harness, set(left_without_wire(comparison, work.wires))
    for change in comparison.changes:
        if change.thing is Thing.CONTACT and change.key == "plug" and fitted(change.was) != fitted(change.now) and change.now and change.id in new.contacts and change.id not in left \
                and not new.wires_at.get(change.id) and change.id not in work.kept_off:
            words = f"close the empty cavity: {clause(change, comparison.old.harness, new).partition(': ')[2]}" if fitted(change.now) else f"take the plug out ({change.was}): none is wanted"
            yield Fitting(Phase.FIT, Thing.CONTACT, change.id, words, False)


def _covered_again(comparison: Comparison, work: Work, units: str) -> Iterator[Fitting]:
    """The coverings that were opened."""
    told = [covering_words(segment, units) for segment in closed_after(comparison, work)]
    if told:
        yield Fitting(Phase.FIT, Thing.SEGMENT, "", f"cover again what was opened: {', '.join(told)}", False)


def _reach(comparison: Comparison, work: Work, led_anew: bool, units: str) -> Iterator[Fitting]:
    """Wires that stay and have to be longer, because something they run along or lead to was moved or measured anew."""
    measured = {change.id: bool(change.was and change.now) for change in comparison.changes if change.thing is Thing.WIRE and change.key == "length"}
    own = {job.new.id for job in work.wires if job.new} | {change.id for change in comparison.changes if change.thing is Thing.WIRE and change.key in ("via", "end")}
    for length in comparison.follows.lengths:
        wire = comparison.new.harness.wires[length.wire]
        if wire.id in own or not work.kept_off.isdisjoint((wire.from_, wire.to)) or not measured.get(wire.id, led_anew):
            continue
        if length.was_mm is not None and length.now_mm is not None and length.now_mm > length.was_mm + LONGER_MM:
            was, now = (print_length(Length(mm), units) for mm in (length.was_mm, length.now_mm))
            yield Fitting(Phase.FIT, Thing.WIRE, wire.id, f"see that it reaches from {way_words(wire, comparison.new.harness)}: was {was}, now {now}; if not, replace it{'' if is_kept_whole(comparison, wire) else ' or extend it'}", True)
