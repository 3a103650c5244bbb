"""What is fitted, covered, led another way or taken off beside the wires.

Takes a Comparison and the Work; gives for each thing one job in words. A value that
only became known needs no hands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..description.units import Length, print_length
from ..geometry.graph import Route
from ..model.harness import Part
from .changes import Change, ChangeKind, Thing
from .compare import Comparison
from .pairing import Pairing
from .words import clause
from .work import LONGER_MM, Fate, Work, left_without_wire

_HANDS = {ChangeKind.PART_CHANGED, ChangeKind.RE_ROUTED, ChangeKind.RE_LENGTHENED, ChangeKind.MOVED, ChangeKind.RESIZED, ChangeKind.RE_TWISTED}
_DO = {
    Thing.CONNECTOR: "lead it there", Thing.DEVICE: "mount it so", Thing.BOX: "change it so", Thing.PART: "fit the right one", Thing.GROUND: "make it so",
    Thing.SEGMENT: "cover and lay it so", Thing.PAIR: "twist it anew", Thing.WIRE: "lay it so",
}
"""What is done to a thing whose keys changed; what is not here is done to its wires, or not at all."""
_NO_HANDS = {"face", "lid-view", "housing", "half", "service", "end", "size", "colour", "type", "cable", "core", "diameter"}
"""Keys that say how a thing is drawn, or that the steps at its wires take care of."""
_OF_PARTS = {"size", "type"}
"""The same keys of a fuse or relay mean another one."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """One thing to fit: ``thing`` and ``id`` in the new version (in the old one where it is gone)."""

    thing: Thing
    id: str
    words: str


def fittings(comparison: Comparison, work: Work, units: str) -> Iterator[Fitting]:
    """In the order of the comparison; what does not reach any more comes last. units: in which lengths are printed."""
    by_thing: dict[tuple[Thing, str | None, str | None], list[Change]] = {}
    for change in comparison.changes:
        if change.thing in _DO and not _is_left_alone(comparison, work, change):
            by_thing.setdefault((change.thing, change.old_id, change.new_id), []).append(change)
    led_anew = False
    for (thing, _, _), changes in by_thing.items():
        for change in changes:
            if change.key == "" and change.kind in (ChangeKind.ADDED, ChangeKind.REMOVED) and thing not in (Thing.WIRE, Thing.PAIR):
                yield Fitting(thing, change.id, _come_or_gone(comparison, change))
        done = [change for change in changes if _wants_hands(comparison, work, change)]
        led_anew |= any(change.kind in (ChangeKind.RE_ROUTED, ChangeKind.RE_LENGTHENED) and thing is not Thing.WIRE for change in done)
        if done:
            what = "move it" if all(change.kind is ChangeKind.MOVED for change in done) else _DO[thing]
            yield Fitting(thing, done[0].id, f"{what}: " + "; ".join(clause(change, comparison.old.harness, comparison.new.harness) for change in done))
    yield from _cavity_plugs(comparison, work)
    if led_anew:
        yield from _reach(comparison, work, units)


def _is_left_alone(comparison: Comparison, work: Work, change: Change) -> bool:
    """A part of an airbag circuit, or a wire of one."""
    if change.thing is Thing.WIRE:
        return any(change.id in (job.new and job.new.id, job.old and job.old.id) for job in work.left_alone)
    return change.thing in (Thing.PART, Thing.DEVICE) and any(address.rpartition(".")[0] == change.id for address in work.kept_off)


def _wants_hands(comparison: Comparison, work: Work, change: Change) -> bool:
    if change.kind not in _HANDS or change.key == "" or (change.key in _NO_HANDS and not (change.thing is Thing.PART and change.key in _OF_PARTS)):
        return False
    if change.thing is Thing.SEGMENT and change.key == "end":
        return True
    if change.thing is not Thing.WIRE:
        return bool(change.was and change.now)
    cut = any(job.fate is Fate.REPLACED and job.new and job.new.id == change.new_id for job in work.wires)
    match change.key:
        case "via":
            return not cut and _goes_another_way(comparison, change)
        case "pair":
            return bool(change.now)
        case "length":
            return not cut and bool(change.was and change.now)
    return False


def _goes_another_way(comparison: Comparison, change: Change) -> bool:
    was, now = (version.geometry.lengths[str(name)].route for version, name in ((comparison.old, change.old_id), (comparison.new, change.new_id)))
    return _segments(was, comparison.pairing) != _segments(now, None)


def _segments(route: Route | None, pairing: Pairing | None) -> frozenset[str | None]:
    return frozenset(pairing.now(Thing.SEGMENT, step.segment) if pairing else step.segment for step in route.steps) if route else frozenset()


def _come_or_gone(comparison: Comparison, change: Change) -> str:
    if change.new_id is None:
        return "take it off" if change.thing is not Thing.PART else "take it out"
    item = change.new
    about = [getattr(item, "title", ""), getattr(item, "housing", ""), getattr(item, "covering", "")]
    if isinstance(item, Part):
        about = [item.kind, item.rating.stated if item.rating else "", item.type, f"in box {item.box}" if item.box else ""]
    elif getattr(item, "place", None):
        about.append(f"at {item.place}")
    return ", ".join(["fit it", *filter(None, about)])


def _cavity_plugs(comparison: Comparison, work: Work) -> Iterator[Fitting]:
    """Cavities without a wire in both versions that get another plug."""
    new, left = comparison.new.harness, set(left_without_wire(comparison, work.wires))
    for change in comparison.changes:
        if change.thing is Thing.CONTACT and change.key == "plug" and change.now and change.id in new.contacts and change.id not in left and not new.wires_at.get(change.id):
            yield Fitting(Thing.CONTACT, change.id, f"close the empty cavity: {clause(change, comparison.old.harness, new).partition(': ')[2]}")


def _reach(comparison: Comparison, work: Work, units: str) -> Iterator[Fitting]:
    """Wires that have to be longer because something they run along or lead to was moved."""
    own = {job.new.id for job in work.wires if job.new} | {change.id for change in comparison.changes if change.thing is Thing.WIRE and change.key in ("length", "via", "end")}
    for length in comparison.follows.lengths:
        if length.wire not in own and length.was_mm is not None and length.now_mm is not None and length.now_mm > length.was_mm + LONGER_MM:
            was, now = (print_length(Length(mm), units) for mm in (length.was_mm, length.now_mm))
            yield Fitting(Thing.WIRE, length.wire, f"see that it reaches: was {was}, now {now}; if not, replace it or extend it")
