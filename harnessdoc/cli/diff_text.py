"""A comparison as text for a terminal of 80 columns: what changed, what follows, how many of each kind.

Takes a Comparison; gives lines.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from operator import attrgetter
from textwrap import wrap

from ..description.units import Length, print_length, print_run
from ..geometry.parts_list import PartLine
from ..operation.words import volts_shown
from ..revision.changes import Change, ChangeKind, Thing
from ..revision.compare import Comparison
from ..revision.follows import Follows, LabelChange, LengthChange, lengths_alike, worse_in_words
from ..revision.follows_electric import ReadingChange, readings_alike
from ..revision.lines import Line, lines_of
from ..revision.parts_needed import parts_needed
from ..revision.version import Version
from ..rules.show import line_form

_WIDTH = 80
_MOST_ADDRESSES = 6
"""Of an island; how many more there are is said."""
_TOLD_TOGETHER = 4
"""Wires of which the length changed alike."""
_HEADINGS = {
    Thing.HARNESS: "the harness itself", Thing.WIRE: "wires", Thing.CABLE: "cables", Thing.PAIR: "pairs", Thing.CONNECTOR: "connectors",
    Thing.CONTACT: "cavities and terminals", Thing.DEVICE: "devices", Thing.BOX: "boxes", Thing.PART: "fuses, relays and other parts", Thing.SPLICE: "splices",
    Thing.GROUND: "grounds", Thing.CIRCUIT: "circuits", Thing.SEGMENT: "segments", Thing.POINT: "places",
    Thing.SOURCE: "sources of the merge", Thing.FATE: "fates", Thing.JOIN: "joins", Thing.FAR_HALF: "far halves", Thing.INTERFACE: "interfaces",
    Thing.OPEN_END: "open on purpose",
}


def as_text(comparison: Comparison, old: str, new: str, units: str) -> Iterator[str]:
    """All there is to say. old, new: what the user named; units: "mm" or "in"."""
    yield from _wrapped(f"old: {_titled(comparison.old)} ({old})", "", "     ")
    yield from _wrapped(f"new: {_titled(comparison.new)} ({new})", "", "     ")
    if not comparison.changes:
        yield from ("", "nothing changed")
        return
    by_thing: dict[Thing, list[Line]] = {}
    for line in lines_of(comparison):
        by_thing.setdefault(line.thing, []).append(line)
    for thing, lines in by_thing.items():
        yield from ("", _HEADINGS[thing])
        for line in lines:
            yield from _wrapped(line.text, "  ", "      ")
            if line.place is not None:
                yield f"      {line.place}"
    yield from _follows(comparison.follows, units)
    yield from _section("to buy", (_part(line, units) for line in parts_needed(comparison, comparison.new.harness.convention)))
    yield ""
    yield from _wrapped(counted_by_kind(comparison.changes), "", "  ")


def as_lines(comparison: Comparison) -> Iterator[str]:
    """The changes alone, one line each: ``path:line:col: text``."""
    for line in lines_of(comparison):
        yield f"{line.place}: {line.text}" if line.place is not None else line.text


def counted_by_kind(changes: Sequence[Change]) -> str:
    """``3 changes: 2 added, 1 moved``, in the order of the kinds."""
    return f"{len(changes)} change{'s' if len(changes) > 1 else ''}: {kinds_counted(changes)}"


def kinds_counted(changes: Sequence[Change]) -> str:
    """``2 added, 1 moved``, in the order of the kinds."""
    counts = Counter(change.kind for change in changes)
    return ", ".join(f"{counts[kind]} {kind.value}" for kind in ChangeKind if counts[kind])


def _titled(version: Version) -> str:
    harness = version.harness
    last = harness.log[-1] if harness.log else None
    return (harness.title or harness.file) + (f", revision {last.revision} of {last.date}" if last else "")


def _follows(follows: Follows, units: str) -> Iterator[str]:
    yield from _section("copper that is joined now", (" | ".join(_addresses(part) for part in merged.parts) for merged in follows.merged))
    yield from _section("copper that is parted now", (" | ".join(_addresses(part) for part in parted.parts) for parted in follows.parted))
    yield from _section("lengths", _lengths(follows.lengths, units))
    yield from _section("labels to replace", _labels(follows.labels))
    yield from _section("verdicts that changed", (f"{change.kind} {change.id}, {change.about}: was {change.was}, now {change.now}{f': {change.why}' if change.why else ''}" for change in follows.verdicts))
    yield from _section("readings that moved", _readings(follows.readings))
    yield from _section("findings that are new", map(line_form, follows.findings_new))
    yield from _section("findings that are gone", map(line_form, follows.findings_gone))
    yield from _section("findings that are waived now, and still there", (f"{line_form(one.now)} ({one.now.severity.word}; {one.waiver.reason})" for one in follows.findings_waived))
    yield from _section("waived findings that are worse now", (f"{line_form(one.now)} ({one.now.severity.word}; {worse_in_words(one)}; waived: {one.waiver.reason})" for one in follows.waived_worse))
    yield from _section("waivers to write anew", (f"{one.code} at {one.was}: it is {one.now} now, write `at: {one.now}` ({one.reason})" for one in follows.waivers))


def _section(heading: str, entries: Iterable[str]) -> Iterator[str]:
    for number, entry in enumerate(entries):
        if number == 0:
            yield from ("", heading)
        yield from _wrapped(entry, "  ", "      ")


def _addresses(part: Sequence[str]) -> str:
    more = len(part) - _MOST_ADDRESSES
    return " ".join(part[:_MOST_ADDRESSES]) + (f" and {more} more" if more > 0 else "")


def _lengths(changes: Sequence[LengthChange], units: str) -> Iterator[str]:
    """A wire a line; wires that became longer or shorter by the same are told together, as where one segment they share did."""
    for alike in lengths_alike(changes):
        if alike.step_mm is not None and len(alike.changes) >= _TOLD_TOGETHER:
            words = "longer" if alike.step_mm > 0 else "shorter"
            yield f"{len(alike.changes)} wires are {_mm(abs(alike.step_mm), units)} {words}: {', '.join(change.wire for change in alike.changes)}"
        else:
            yield from (f"wire {change.wire}: was {_mm(change.was_mm, units)}, now {_mm(change.now_mm, units)}" for change in alike.changes)


def _readings(changes: Sequence[ReadingChange]) -> Iterator[str]:
    """``run: E1.26 E1.27: was 11.97 V, now 11.20 V``; many that moved alike are told together, the first with its volts."""
    for alike in readings_alike(changes):
        if len(alike.changes) < _TOLD_TOGETHER:
            yield from (f"{change.state}: {_addresses(change.at)}: {_was_and_now(change)}" for change in alike.changes)
            continue
        first, at = alike.changes[0], [address for change in alike.changes for address in change.at]
        how = "float in one version" if alike.step_v is None else f"{abs(alike.step_v):g} V {'higher' if alike.step_v > 0 else 'lower'}"
        yield f"{alike.state}: {len(at)} points {how}: {_addresses(at)} ({first.at[0]} {_was_and_now(first)})"


def _was_and_now(change: ReadingChange) -> str:
    return f"was {_volts(change.was_v)}, now {_volts(change.now_v)}"


def _volts(volts: float | None) -> str:
    return "floating" if volts is None else f"{volts_shown(volts)} V"


def _part(line: PartLine, units: str) -> str:
    """``1.35 m of wire 0.75 mm² RD: 204``; ``2 x receptacle 1.5: E1.13 E1.14``."""
    part = line.part if line.part.startswith(line.kind) else f"{line.kind} {line.part}"
    if line.unit == "m":
        many = f"{print_run(line.quantity, units)} of {part}" if line.quantity else part
        many += f", {line.unknown} without a length" if line.unknown else ""
    else:
        many = f"{line.quantity:g} x {part}"
    return f"{many}{' (proposed)' if line.proposed else ''}: {_addresses(line.where)}"


def _mm(length_mm: float | None, units: str) -> str:
    return "unknown" if length_mm is None else print_length(Length(length_mm), units)


def _labels(labels: Sequence[LabelChange]) -> Iterator[str]:
    """A line a label; one for both labels of a wire where they change alike but for the end they lead to."""
    for wire, its in groupby(labels, attrgetter("wire")):
        both = list(its)
        cores = {(_without_end(label.was), _without_end(label.now)) for label in both}
        was, now = next(iter(cores))
        if len(both) == 2 and len(cores) == 1 and was != now:
            yield f"wire {wire} at {both[0].at} and {both[1].at}: {_exchanged(was and f'{was} | to …', now and f'{now} | to …')}"
        else:
            yield from (f"wire {wire} at {label.at}: {_exchanged(label.was, label.now)}" for label in both)


def _without_end(label: str) -> str:
    return label.rpartition(" | ")[0]


def _exchanged(was: str, now: str) -> str:
    return ", ".join(f"{words} '{text}'" for words, text in (("take off", was), ("put on", now)) if text)


def _wrapped(text: str, first: str, rest: str) -> list[str]:
    # a path with a space or a hyphen in it stays whole where it can
    return wrap(text, _WIDTH, initial_indent=first, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False)
