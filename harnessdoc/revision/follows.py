"""What follows from the changes: copper that merged or parted, lengths, labels, findings.

Takes two Versions and their Pairing. What is said here is computed by the rooms that
also draw it; nothing is reckoned a second time.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..findings import Finding
from ..geometry.labels import labels_of_wire
from ..model.build_wires import DEFAULT_CONVENTION
from ..model.harness import Harness
from .changes import Thing
from .keys import same_as_written
from .names import names_of_old
from .pairing import Pairing
from .version import Version

SAME_MM = 0.05
"""Lengths that differ by less are one."""
_NAME = re.compile(r"[A-Za-z0-9_+#-]+")
_MARKS = str.maketrans(",:;", "   ")


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
class Follows:
    """All that follows."""

    merged: tuple[Merged, ...]
    parted: tuple[Parted, ...]
    lengths: tuple[LengthChange, ...]
    labels: tuple[LabelChange, ...]
    findings_new: tuple[Finding, ...]
    findings_gone: tuple[Finding, ...]


def what_follows(old: Version, new: Version, pairing: Pairing) -> Follows:
    """What follows from the changes between two versions."""
    return Follows(*_copper(old, new, pairing), _lengths(old, new, pairing), _labels(old, new, pairing), *_findings(old, new, pairing))


def _copper(old: Version, new: Version, pairing: Pairing) -> tuple[tuple[Merged, ...], tuple[Parted, ...]]:
    """Islands of more than one contact, by the contacts that are in both versions."""
    names = names_of_old(old.harness, pairing)
    before: dict[str, int] = {}      # new address -> old island
    for address, island in old.network.island_of.items():
        now = names.address(address)
        if now in new.network.island_of:
            before[now] = island
    merged = []
    olds: dict[int, dict[int, list[str]]] = {}
    for number, island in enumerate(new.network.islands):
        parts: dict[int, list[str]] = {}
        for address in island:
            if address in before:
                parts.setdefault(before[address], []).append(address)
                olds.setdefault(before[address], {}).setdefault(number, []).append(address)
        joined = tuple(tuple(part) for was, part in parts.items() if len(old.network.islands[was]) > 1)
        if len(joined) > 1:
            merged.append(Merged(joined))
    parted = []
    for was in olds.values():
        parts_now = tuple(tuple(part) for now, part in was.items() if len(new.network.islands[now]) > 1)
        if len(parts_now) > 1:
            parted.append(Parted(parts_now))
    return tuple(merged), tuple(parted)


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
    """Labels of wires in both versions end by end, as the ends were led; then those of wires gone."""
    convention = new.harness.convention or DEFAULT_CONVENTION
    names = names_of_old(old.harness, pairing)
    # a label says the ids of its wire and far end, and the join: where none of these can differ it is not made
    joins = {name for name, splice in new.harness.splices.items() if _join(old.harness, name) != splice.join}
    found: list[LabelChange] = []
    for wire, item in new.harness.wires.items():
        before = pairing.before(Thing.WIRE, wire)
        was_item = old.harness.wires[before] if before is not None else None
        if was_item is not None and not pairing.why and same_as_written(was_item, item) and joins.isdisjoint((item.from_, item.to)):
            continue
        left = list(labels_of_wire(old.harness, was_item, convention)) if was_item is not None else []
        labels = labels_of_wire(new.harness, item, convention)
        for label in sorted(labels, key=lambda label: not any(names.address(was.at) == label.at for was in left)):
            was = next((was for was in left if names.address(was.at) == label.at), left[0] if left else None)
            if was is not None:
                left.remove(was)
            if was is None or was.text != label.text:
                found.append(LabelChange(wire, label.at, was.text if was else "", label.text))
        found += [LabelChange(wire, was.at, was.text, "") for was in left]
    gone = (wire for name, wire in old.harness.wires.items() if pairing.now(Thing.WIRE, name) is None)
    found += [LabelChange(wire.id, was.at, was.text, "") for wire in gone for was in labels_of_wire(old.harness, wire, convention)]
    return tuple(found)


def _join(harness: Harness, splice: str) -> str:
    return harness.splices[splice].join if splice in harness.splices else ""


def _findings(old: Version, new: Version, pairing: Pairing) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """(new, gone): a finding is the same where its code and words are, places left out and renamed things led along."""
    renamed = {was: pairing.now_of[thing][was] for thing, was in pairing.why}

    def words(finding: Finding, lead: bool) -> tuple[str, ...]:
        text = finding.message
        for place in (finding.place, *(related.place for related in finding.related)):
            text = text.replace(str(place), "")
        if lead and renamed:
            text = _NAME.sub(lambda name: renamed.get(name[0], name[0]), text)
        # the order of the file is no difference: what a message lists may stand in another
        return finding.code, *sorted(text.translate(_MARKS).split())

    was, now = ([words(finding, lead) for finding in version.findings] for version, lead in ((old, True), (new, False)))
    gone, come = Counter(was) - Counter(now), Counter(now) - Counter(was)
    return tuple(_taken(new.findings, now, come)), tuple(_taken(old.findings, was, gone))


def _taken(findings: Iterable[Finding], words: Iterable[tuple[str, ...]], wanted: Counter) -> Iterator[Finding]:
    """As many of each as are wanted, in their order."""
    for finding, its in zip(findings, words, strict=True):
        if wanted[its] > 0:
            wanted[its] -= 1
            yield finding
