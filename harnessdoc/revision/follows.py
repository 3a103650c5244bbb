"""What follows from the changes: copper that merged or parted, lengths, labels, readings, verdicts, findings.

Takes two Versions and their Pairing. What is said here is computed by the rooms that
also draw it; nothing is reckoned a second time.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from ..findings import Finding
from ..geometry.labels import labels_of_wire
from ..model.build_wires import DEFAULT_CONVENTION
from ..model.harness import UNKNOWN, Harness, Waiver, Wire
from ..rules.registry import UNUSED
from .changes import Thing
from .follows_electric import ReadingChange, VerdictChange, readings_moved, verdicts_changed
from .keys import same_as_written
from .names import Names, name_now, names_of_old
from .pairing import Pairing
from .version import Version

SAME_MM = 0.05
"""Lengths that differ by less are one."""
_NAME = re.compile(r"[A-Za-z0-9_+#-]+")
_MARKS = str.maketrans(",:;()", "     ")
_AMOUNT = re.compile(r"(-?\d+(?:\.\d+)?)( .*)?")
_NO_WORSE = 1.1
"""By how much a waived value may move away from its limit without being told. Design choice."""


@dataclass(frozen=True, slots=True)
class Merged:
    """One island of the new version that was several: each part as the old version had it, in new addresses."""

    parts: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Parted:
    """One island of the old version that is several now: each part in new addresses."""

    parts: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class LengthChange:
    """A wire that is in both versions (``wire``: its new id) and whose finished length differs; mm, None unknown."""

    wire: str
    was_mm: float | None
    now_mm: float | None


@dataclass(frozen=True, slots=True)
class LabelChange:
    """A label to take off ("" in ``was``: there was none) and one to put on ("" in ``now``: none) at an end of a wire.

    wire: its new id, the old one where the wire is gone; at: the address of the end in the
    new version (in the old one where the wire is gone)
    """

    wire: str
    at: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Led:
    """A waiver of the old version that still holds, though what it names has another name now: to be written anew."""

    code: str
    was: str
    now: str
    reason: str


@dataclass(frozen=True, slots=True)
class Borne:
    """What a waiver takes off the list now: the finding of each version, and the waiver."""

    was: Finding
    now: Finding
    waiver: Waiver


@dataclass(frozen=True, slots=True)
class Follows:
    """All that follows; readings and verdicts: nothing where one of the versions was not solved; findings_waived: what nothing took off the list before; waived_worse: what a waiver did then too."""

    merged: tuple[Merged, ...]
    parted: tuple[Parted, ...]
    lengths: tuple[LengthChange, ...]
    labels: tuple[LabelChange, ...]
    readings: tuple[ReadingChange, ...]
    verdicts: tuple[VerdictChange, ...]
    findings_new: tuple[Finding, ...]
    findings_gone: tuple[Finding, ...]
    findings_waived: tuple[Borne, ...]
    waived_worse: tuple[Borne, ...]
    waivers: tuple[Led, ...]


def what_follows(old: Version, new: Version, pairing: Pairing) -> Follows:
    """What follows from the changes between two versions."""
    return Follows(*_copper(old, new, pairing), _lengths(old, new, pairing), _labels(old, new, pairing),
                   readings_moved(old, new, pairing), verdicts_changed(old, new, pairing), *_findings(old, new, pairing))


def _copper(old: Version, new: Version, pairing: Pairing) -> tuple[tuple[Merged, ...], tuple[Parted, ...]]:
    """Islands by the contacts that are in both versions, and the cavities that a wire left or came to. A contact alone counts where a
    wire ends at it, of which the far end is open or unknown: it may be found to lead somewhere; and where a wire of both versions left
    it or came to it. A contact that got a new wire, or lost one that is gone, is no copper that was joined or parted."""
    names = names_of_old(old.harness, pairing)
    before: dict[str, int] = {}      # new address -> old island; below 0: a cavity nobody had written of
    for address, island in old.network.island_of.items():
        now = names.address(address)
        if now in new.network.island_of:
            before[now] = island
    come, left = _come_and_left(old.harness, new.harness, pairing)
    for address in come:
        if address not in before:
            before[address] = -1 - len(before)
    merged = []
    olds: dict[int, dict[int, list[str]]] = {}
    for number, island in enumerate(new.network.islands):
        parts: dict[int, list[str]] = {}
        for address in island:
            if address in before:
                parts.setdefault(before[address], []).append(address)
                olds.setdefault(before[address], {}).setdefault(number, []).append(address)
        joined = tuple(tuple(part) for was, part in parts.items() if (was >= 0 and _is_wired(old, was)) or not come.isdisjoint(part))
        if len(joined) > 1:
            merged.append(Merged(joined))
    for address, was_at in left.items():
        if address not in new.network.island_of:      # a cavity nobody writes of any more
            olds.setdefault(old.network.island_of[was_at], {})[-1 - len(olds)] = [address]
    parted = []
    for was in olds.values():
        parts_now = tuple(tuple(part) for now, part in was.items() if (now >= 0 and _is_wired(new, now)) or not left.keys().isdisjoint(part))
        if len(parts_now) > 1:
            parted.append(Parted(parts_now))
    return tuple(merged), tuple(parted)


def _come_and_left(old: Harness, new: Harness, pairing: Pairing) -> tuple[set[str], dict[str, str]]:
    """In new addresses, of owners in both versions: the contacts to which an end of a wire of both versions came, and those it left
    (with their old address)."""
    come: set[str] = set()
    left: dict[str, str] = {}
    names = names_of_old(old, pairing)
    for name, wire in new.wires.items():
        before = pairing.before(Thing.WIRE, name)
        if before is None or (not pairing.why and (old.wires[before].from_, old.wires[before].to) == (wire.from_, wire.to)):
            continue
        was = {names.address(end): end for end in (old.wires[before].from_, old.wires[before].to) if end in old.contacts}
        now = [end for end in (wire.from_, wire.to) if end in new.contacts]
        come.update(end for end in now if end not in was and new.contacts[end].owner in pairing.owner_before)
        left.update({end: at for end, at in was.items() if end not in now and old.contacts[at].owner in pairing.owner_now})
    return come, left


def _is_wired(version: Version, island: int) -> bool:
    contacts = version.network.islands[island]
    return len(contacts) > 1 or bool(version.harness.wires_at.get(contacts[0]))


def _lengths(old: Version, new: Version, pairing: Pairing) -> tuple[LengthChange, ...]:
    found = []
    for wire, length in new.geometry.lengths.items():
        before = pairing.before(Thing.WIRE, wire)
        if before is not None:
            was, now = old.geometry.lengths[before].finished_mm, length.finished_mm
            if was != now and (was is None or now is None or abs(was - now) >= SAME_MM):
                found.append(LengthChange(wire, was, now))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class LengthsAlike:
    """Wires that became longer or shorter by the same, as where one segment they share did; ``step_mm`` None where a length is unknown."""

    step_mm: float | None
    changes: tuple[LengthChange, ...]


def lengths_alike(changes: Iterable[LengthChange]) -> tuple[LengthsAlike, ...]:
    """The changes of length, those by the same step together (in tenths of a mm), in the order of the first of each."""
    by_step: dict[float | None, list[LengthChange]] = {}
    for change in changes:
        step = None if change.was_mm is None or change.now_mm is None else round(change.now_mm - change.was_mm, 1)
        by_step.setdefault(step, []).append(change)
    return tuple(LengthsAlike(step, tuple(alike)) for step, alike in by_step.items())


def _labels(old: Version, new: Version, pairing: Pairing) -> tuple[LabelChange, ...]:
    """Labels of wires in both versions end by end, as the ends were led; then those of wires gone. No label hangs at an end nobody has found."""
    convention = new.harness.convention or DEFAULT_CONVENTION
    names = names_of_old(old.harness, pairing)
    # a label says the ids of its wire and far end, and the join: where none of these can differ it is not made
    joins = {name for name, splice in new.harness.splices.items() if _join(old.harness, name) != splice.join}
    numbers, were = new.join_numbers, old.join_numbers
    found: list[LabelChange] = []
    for wire, item in new.harness.wires.items():
        before = pairing.before(Thing.WIRE, wire)
        was_item = old.harness.wires[before] if before is not None else None
        if was_item is not None and not pairing.why and same_as_written(was_item, item) and joins.isdisjoint((item.from_, item.to)) and (were or {}).get(before) == (numbers or {}).get(wire):
            continue
        left = [label for label in labels_of_wire(old.harness, was_item, convention, were) if label.at != UNKNOWN] if was_item is not None else []
        labels = [label for label in labels_of_wire(new.harness, item, convention, numbers) if label.at != UNKNOWN]
        known = item if was_item is None else _as_known(item, was_item, names)
        still = {label.at: label.text for label in labels_of_wire(new.harness, known, convention, numbers)}
        for label in sorted(labels, key=lambda label: not any(names.address(was.at) == label.at for was in left)):
            was = next((was for was in left if names.address(was.at) == label.at), left[0] if left else None)
            if was is not None:
                left.remove(was)
            if was is None or still.get(label.at) != was.text:
                found.append(LabelChange(wire, label.at, was.text if was else "", label.text))
        found += [LabelChange(wire, was.at, was.text, "") for was in left if still.get(names.address(was.at)) != was.text]
    gone = (wire for name, wire in old.harness.wires.items() if pairing.now(Thing.WIRE, name) is None)
    found += [LabelChange(wire.id, was.at, was.text, "") for wire in gone for was in labels_of_wire(old.harness, wire, convention, were) if was.at != UNKNOWN]
    return tuple(found)


def _as_known(wire: Wire, was: Wire, names: Names) -> Wire:
    """A wire with what the old version knew of it and nobody knows any more: a label that says so is right till somebody finds otherwise."""
    ends = [wire.from_, wire.to]
    known = [end for end in map(names.address, (was.from_, was.to)) if end not in ends]
    if UNKNOWN in ends and UNKNOWN not in (was.from_, was.to) and len(known) == 1:
        ends[ends.index(UNKNOWN)] = known[0]
    colour = (wire.colour, wire.colour_as_stated) if wire.colour is not None else (was.colour, was.colour_as_stated)
    return replace(wire, from_=ends[0], to=ends[1], size=wire.size or was.size, colour=colour[0], colour_as_stated=colour[1])


def _join(harness: Harness, splice: str) -> str:
    return harness.splices[splice].join if splice in harness.splices else ""


def _findings(old: Version, new: Version, pairing: Pairing) -> tuple[tuple[Finding, ...], tuple[Finding, ...], tuple[Borne, ...], tuple[Borne, ...], tuple[Led, ...]]:
    """(new, gone, waived now, waived and worse, waivers led): a finding is the same where its code and what it lies at are, renamed things led along.

    A number in it that moved makes it no other finding: that is told by the readings and verdicts. Of what lies at nothing
    that has a name the words are compared, places left out. A waiver of the old version whose thing has another name now
    still holds: what it waives is not new, and that it has to be written anew is told.
    """
    renamed = {was: pairing.now_of[thing][was] for thing, was in pairing.why}

    def same(finding: Finding, lead: bool) -> tuple[str, ...]:
        if finding.at:
            # Of its names the first in the alphabet: which of them comes first in the file is no difference.
            return finding.code, min((name_now(pairing, name) or name) if lead else name for name in finding.at)
        text = finding.message
        for place in (finding.place, *(related.place for related in finding.related)):
            text = text.replace(str(place), "")
        if lead and renamed:
            text = _NAME.sub(lambda name: renamed.get(name[0], name[0]), text)
        # the order of the file is no difference: what a message lists may stand in another
        return finding.code, *sorted(text.translate(_MARKS).split())

    was, now = ([same(finding, lead) for finding in version.findings] for version, lead in ((old, True), (new, False)))
    gone, come = Counter(was) - Counter(now), Counter(now) - Counter(was)
    led = tuple(_led(old, new, pairing))
    # What is waived still is not new, nor that the old name in its waiver matches nothing.
    still = {*((one.code, one.now) for one in led), *((UNUSED, one.was) for one in led)}
    findings_new = [finding for finding in _taken(new.findings, now, come) if not any((finding.code, name) in still for name in finding.at)]
    waived_was = {same(one.finding, True): one.finding for one in old.waived}
    waived_now = [same(one.finding, False) for one in new.waived]
    # What a waiver takes off the list now is not gone: it is there, and somebody bears it.
    put_off = Counter(waived_now) & gone
    open_was: dict[tuple[str, ...], list[Finding]] = {}
    for finding, key in zip(old.findings, was, strict=True):
        open_was.setdefault(key, []).append(finding)
    findings_waived = tuple(Borne(open_was[key].pop(0), one.finding, one.waiver) for one, key in zip(new.waived, waived_now, strict=True) if put_off[key] and open_was[key])
    worse = tuple(Borne(before, one.finding, one.waiver) for one, key in zip(new.waived, waived_now, strict=True) if (before := waived_was.get(key)) is not None and _is_worse(before, one.finding))
    return tuple(findings_new), tuple(_taken(old.findings, was, gone - put_off)), findings_waived, worse, led


def _is_worse(was: Finding, now: Finding) -> bool:
    """Whether a severity rose, or a value moved away from its limit by more than a tenth."""
    if now.severity != was.severity:
        return now.severity > was.severity
    amounts = [_AMOUNT.fullmatch(text) for text in (was.value, now.value, now.limit)]
    if any(amount is None for amount in amounts) or len({amount[2] for amount in amounts if amount}) > 1:
        return False
    before, after, limit = (float(amount[1]) for amount in amounts if amount)
    return abs(after - limit) > abs(before - limit) and max(before, after) > _NO_WORSE * min(before, after)


def worse_in_words(worse: Borne) -> str:
    """``was 12.4 A, now 19.8 A``; of what became more severe ``was advice, now hazard``."""
    was, now = worse.was, worse.now
    return f"was {was.severity.word}, now {now.severity.word}" if now.severity != was.severity else f"was {was.value}, now {now.value}"


def _led(old: Version, new: Version, pairing: Pairing) -> Iterator[Led]:
    """The waivers of the old version whose thing has another name now, and that nothing in the new version repeats."""
    written = {(waiver.code, waiver.at) for waiver in new.harness.waivers}
    for waiver in old.harness.waivers:
        now = name_now(pairing, waiver.at)
        if now is not None and now != waiver.at and (waiver.code, now) not in written:
            yield Led(waiver.code, waiver.at, now, waiver.reason)


def _taken(findings: Iterable[Finding], words: Iterable[tuple[str, ...]], wanted: Counter) -> Iterator[Finding]:
    """As many of each as are wanted, in their order."""
    for finding, its in zip(findings, words, strict=True):
        if wanted[its] > 0:
            wanted[its] -= 1
            yield finding
