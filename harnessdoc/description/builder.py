"""From the parser's events to maps and lists that know their places.

Takes: a source text (and the text to parse, which may have lines blanked out).
Gives: what could be built, the findings about traps, and the fault that stopped the
parser, if one did. Must not know: files, the schema.

Every scalar is text here: ``010``, ``1_0``, ``12:30``, ``1e3``, ``off``, ``yes`` stay
what the user wrote. The parser's own data types never come into it, since only its
events are used; that is also four times faster than its loader.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from sys import intern
from typing import NamedTuple

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from harnessdoc.description import traps
from harnessdoc.description.text import Items, Record, SourceText, Value
from harnessdoc.findings import Finding

# A description is four or five levels deep; this bounds what a hostile file can do.
MAX_DEPTH = 40
# Values that aliases may add to a file (the "billion laughs" file adds 10^9).
MAX_ALIASED = 100_000

# Findings about one file; whoever has more has another trouble than these.
MAX_FINDINGS = 1_000
# How long a value cut by commas may be to be printed whole.
MAX_COMMA_VALUE = 1_000

_Loader = getattr(yaml, "CLoader", yaml.Loader)

# Stands for a key whose value is read but not kept (it was reported).
_DROPPED = "\0dropped"


@dataclass(frozen=True, slots=True)
class Fault:
    """Where and why the parser stopped.

    problem:   the parser's words; they choose our message and are never shown
    mark:      where it stopped
    context:   the mark of what it was in the middle of, or None
    scalar:    (start, end, style) of the last scalar before it
    key_next:  True where a key was to come next
    flow_mark: where the outermost open bracket stands, or None outside brackets
    finding:   set where the builder itself stopped and knows why
    final:     True where nothing behind it can be trusted
    """

    problem: str
    mark: int
    context: int | None
    scalar: tuple[int, int, str]
    key_next: bool
    flow_mark: int | None
    finding: Finding | None = None
    final: bool = False


@dataclass(slots=True)
class Built:
    """What one pass over the text gave.

    root:  the top-level value; a map that was open when the parser stopped is in it
           as far as it was read, half-read entries are not
    spans: (start, end) of every quoted or block scalar, in order
    """

    root: Value = None
    has_document: bool = False
    findings: list[Finding] = field(default_factory=list)
    spans: list[tuple[int, int]] = field(default_factory=list)
    fault: Fault | None = None


class _Frame(NamedTuple):
    """A container the builder will come back to, and what was going on in it."""

    container: Record | Items
    key: str | None
    key_mark: int
    anchor: str | None
    flow: bool


class _Stop(Exception):
    """Raised and caught in this module: the builder refuses to go on."""

    def __init__(self, finding: Finding, mark: int, final: bool) -> None:
        self.finding, self.mark, self.final = finding, mark, final


class _Builder:
    def __init__(self, source: SourceText, text: str, blanked: list[int], takes_list: Callable[[str], bool]) -> None:
        self.source = source
        self.takes_list = takes_list  # whether a key takes a list, for the words of a finding
        self.text = text
        self.blanked = blanked  # numbers of the lines blanked out of the text
        self.built = Built()
        self.stack: list[_Frame] = []
        self.container: Record | Items | None = None
        self.key: str | None = None
        self.key_mark = 0
        self.scalar: ScalarEvent | None = None  # the last one that was not empty
        self.anchors: dict[str, Value] = {}
        self.extents: dict[int, tuple[int, int]] = {}  # of a container, by its id
        self.aliased = 0
        self.comma: Finding | None = None  # the comma trap found last

    def run(self) -> Built:
        parser = _Loader(self.text)
        try:
            self._events(parser.get_event)
        except yaml.MarkedYAMLError as stop:
            mark = stop.problem_mark or stop.context_mark
            context = stop.context_mark.index if stop.context_mark else None
            self._stopped(
                f"{stop.context or ''}: {stop.problem or ''}", mark.index if mark else len(self.text), context
            )
        except _Stop as stop:
            self._stopped("", stop.mark, None, stop.finding, stop.final)
        finally:
            parser.dispose()
        return self.built

    def _events(self, get_event) -> None:
        # One long loop on purpose: it runs 700,000 times for 20,000 wires, so what
        # nearly every event is (a plain word) is dealt with here, without a call.
        no_space = traps.NO_SPACE.match
        while True:
            event = get_event()
            kind = type(event)
            if kind is ScalarEvent:
                value = event.value
                if not value or event.style or event.anchor is not None or event.tag is not None:
                    self._unusual(event)
                    continue
                self.scalar = event
                container = self.container
                if type(container) is not Record or (":" in value and no_space(value)):
                    self._plain(value, event.start_mark.index)
                elif self.key is None:
                    if value in container:
                        self._bad_key(value, event.start_mark.index)
                    else:
                        self.key = intern(value)
                    self.key_mark = event.start_mark.index
                else:
                    key = self.key
                    self.key = None
                    if key is not _DROPPED:
                        container[key] = intern(value)
                        marks = container.marks
                        marks.append(self.key_mark)
                        marks.append(event.start_mark.index)
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                self._open(event, kind is MappingStartEvent)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                self._close()
            elif kind is AliasEvent:
                self._alias(event)
            elif kind is DocumentStartEvent:
                self._document(event.start_mark.index)
            elif kind is StreamEndEvent:
                return

    def _unusual(self, event: ScalarEvent) -> None:
        """A scalar that is quoted, a block, named, tagged or empty."""
        value, style, mark = event.value, event.style, event.start_mark.index
        if style:
            end = event.end_mark.index
            self.built.spans.append((mark, end))
            if style == '"' and "\\" in self.text[mark:end]:
                self._check_escapes(value, mark)
        if value or style:
            self.scalar = event
        if event.tag is not None or event.anchor is not None:
            self._decorated(event, value, mark)
            if not value and not style:
                value = _DROPPED
        self._place_scalar(value, mark, is_empty=not value and not style)

    def _plain(self, value: str, mark: int) -> None:
        """A plain word in a list or alone, or one like ``from:E1.1``."""
        is_value = self.container is None or (isinstance(self.container, Record) and self.key is not None)
        if is_value and traps.NO_SPACE.match(value) and self._begins_line(mark):
            self._report(traps.no_space_after_colon(self.source, mark))
            value = _DROPPED
        self._place_scalar(value, mark, is_empty=False)

    def _place_scalar(self, value: str, mark: int, is_empty: bool) -> None:
        container = self.container
        if not isinstance(container, Record) or self.key is not None:
            if is_empty:
                self._empty(mark)
            else:
                self._add(value, mark)
            return
        self.key_mark = mark
        if value in container or is_empty:
            self._bad_key(value, mark)
        else:
            self.key = value

    def _add(self, value: Value, mark: int) -> None:
        """Put a finished value where it belongs; `_DROPPED` is read and not kept."""
        container = self.container
        if type(container) is Record:
            key = self.key
            self.key = None
            if key is not _DROPPED and value is not _DROPPED:
                container[key] = value
                container.marks.append(self.key_mark)
                container.marks.append(mark)
        elif container is None:
            self.built.root = value
        elif value is not _DROPPED:
            container.append(value)
            container.marks.append(mark)

    def _report(self, finding: Finding) -> None:
        self.built.findings.append(finding)
        if len(self.built.findings) == MAX_FINDINGS:
            place = self.source.place(self.scalar.end_mark.index if self.scalar else 0)
            message = f"after {MAX_FINDINGS:,} findings the rest of the file was left out"
            stop = traps.error("unreadable", place, message, "mend those above first")
            raise _Stop(stop, self.source.mark(place.line, place.column), final=True)

    def _begins_line(self, mark: int) -> bool:
        line_start = mark - self.source.place(mark).column + 1
        return not self.text[line_start:mark].strip()

    def _open(self, event, is_map: bool) -> None:
        mark = event.start_mark.index
        if event.tag is not None:
            self._refuse_tag(mark)
        if len(self.stack) >= MAX_DEPTH:
            raise self._too_deep(mark, final=False)
        if type(self.container) is Record and self.key is None:
            self._complex_key(mark)
        self.stack.append(
            _Frame(self.container, self.key, self.key_mark, event.anchor, bool(event.flow_style))
        )
        self.container = Record(self.source, mark) if is_map else Items(self.source, mark)
        self.key = None

    def _too_deep(self, mark: int, final: bool) -> _Stop:
        message = f"more than {MAX_DEPTH} maps and lists stand inside each other"
        do = "a description needs no more than six"
        return _Stop(traps.error("too-deep", self.source.place(mark), message, do), mark, final)

    def _close(self) -> None:
        done = self.container
        frame = self.stack.pop()
        self.container, self.key, self.key_mark = frame.container, frame.key, frame.key_mark
        if frame.anchor is not None:
            self.anchors[frame.anchor] = done
        self._add_container(done)

    def _add_container(self, done: Record | Items) -> None:
        if type(self.container) is Record and self.key is None:
            self.key = _DROPPED  # it was a key; its value follows
        else:
            self._add(done, done.mark)

    def _complex_key(self, mark: int) -> None:
        self._report(traps.complex_key(self.source, mark))

    def _alias(self, event) -> None:
        mark = event.start_mark.index
        name = event.anchor
        value = self.anchors.get(name, _DROPPED)
        known = value is not _DROPPED
        if not known:
            in_flow = bool(self.stack) and self.stack[-1].flow
            self._report(traps.unknown_alias(self.source, mark, name, in_flow))
        count, depth = self._extent(value)
        self.aliased += count
        if len(self.stack) + depth > MAX_DEPTH:
            raise self._too_deep(mark, final=True)
        if self.aliased > MAX_ALIASED:
            message = f"the repeats ('*{name}') add more than {MAX_ALIASED:,} values to the file"
            do = "write the values out, or use a CSV table"
            raise _Stop(
                traps.error("too-many-aliases", self.source.place(mark), message, do), mark, final=True
            )
        if type(self.container) is Record and self.key is None:
            if known and isinstance(value, str) and value not in self.container:
                self.key, self.key_mark = value, mark
            else:
                if known:
                    self._complex_key(mark)
                self.key = _DROPPED
        else:
            self._add(value, mark)

    def _extent(self, value: Value) -> tuple[int, int]:
        """How many values and how many levels are in this one, repeats written out."""
        if not isinstance(value, (Record, Items)):
            return 1, 0
        if id(value) not in self.extents:
            inner = [self._extent(part) for part in (value.values() if isinstance(value, Record) else value)]
            self.extents[id(value)] = (
                1 + sum(count for count, _ in inner),
                1 + max((depth for _, depth in inner), default=0),
            )
        return self.extents[id(value)]

    def _decorated(self, event: ScalarEvent, value: str, mark: int) -> None:
        """A scalar with a tag or an anchor."""
        if event.anchor is not None:
            self.anchors[event.anchor] = value
        if event.tag is not None:
            self._refuse_tag(mark)
        elif not value and not event.style:
            self._report(traps.name_without_value(self.source, mark))

    def _refuse_tag(self, mark: int) -> None:
        self._report(traps.tag_refused(self.source, mark))

    def _check_escapes(self, value: str, mark: int) -> None:
        if traps.has_control_character(value):
            self._report(
                traps.error(
                    "control-character",
                    self.source.place(mark),
                    "an escape in this text makes a character that cannot be seen",
                    "delete the escape",
                )
            )

    def _bad_key(self, key: str, mark: int) -> None:
        """A key that is empty or stands in the map already; its value is not kept."""
        container = self.container
        assert isinstance(container, Record)
        self.key = _DROPPED
        if key in container:
            self._report(traps.duplicate_key(key, self.source.place(mark), container.place_of_key(key)))
        elif self.text[mark - 1 : mark] == "?":
            self._report(traps.question_mark(self.source, mark - 1, in_flow=True))
        else:
            self._report(
                traps.error(
                    "empty-key",
                    self.source.place(mark),
                    "a key is missing before the colon",
                    "write 'key: value'",
                )
            )

    def _empty(self, mark: int) -> None:
        """A plain scalar without text: nothing was written, or a comma cut a value."""
        container, key = self.container, self.key
        if not isinstance(container, Record):
            if container is not None:
                self._report(
                    traps.error(
                        "empty-value",
                        self.source.place(max(mark - 1, 0)),
                        "an item of the list is empty",
                        "write it, or take its line out",
                    )
                )
            self._add(_DROPPED if container is not None else None, mark)
            return
        if key is _DROPPED:
            self._add(None, mark)
            return
        key_mark, key_end = self.key_mark, self._key_end()
        if ":" not in self.text[key_end:mark]:
            self._without_colon(container, key, key_mark, key_end)
            self._add(_DROPPED, mark)
            return
        behind = self.text[key_end : traps.line_end(self.source, key_end)].lstrip(" \t:")
        if self._was_blanked(mark):
            self._add(_DROPPED, mark)
            return
        if not (behind.startswith("#") and behind[1:2].strip("# ")):  # else it is reported as hash-in-value
            self._report(traps.empty_value(self.source, key, key_mark, key_end, len(self.stack) == 1))
        self._add(None, mark)

    def _key_end(self) -> int:
        """Behind the pending key, which is the last scalar."""
        return self.scalar.end_mark.index if self.scalar else self.key_mark

    def _was_blanked(self, mark: int) -> bool:
        """True if what belonged to the pending key was blanked out because it held a fault."""
        if not self.blanked:
            return False
        number = self.source.place(self.key_mark).line + 1
        while number <= self.source.line_count and not self.source.line(number).split("#")[0].strip():
            number += 1
        return number in self.blanked

    def _without_colon(self, record: Record, key: str, key_mark: int, key_end: int) -> None:
        """``{size: 0,75 mm2}``: a key of a one-line map that has not even a colon."""
        findings = self.built.findings
        if traps.NO_SPACE.match(key):
            self._report(traps.no_space_after_colon(self.source, key_mark))
            name, value = key.split(":", 1)
            if name not in record:
                record.add(name, value, key_mark, key_mark + len(name) + 1)
            return
        owner = next(reversed(record), None)
        goes_on = bool(findings) and findings[-1] is self.comma and isinstance(record.get(owner), Items)
        if owner is None or not (isinstance(record[owner], str) or goes_on):
            if self.stack[-1].key is None and isinstance(self.stack[-1].container, Record):
                return  # the map is itself a key, which has been said
            self._report(traps.empty_value(self.source, key, key_mark, key_end, is_section=False))
            return
        start = record.marks[-1]
        if key_end - start > MAX_COMMA_VALUE:
            return  # it has been said of the first part
        if findings and findings[-1] is self.comma and self.comma.place == self.source.place(start):
            findings.pop()  # the same value, one comma further
        # what was meant takes the value's place, so that later steps do not complain again
        record[owner], self.comma = traps.comma_in_value(self.source, owner, start, key_end, self.takes_list(owner))
        self._report(self.comma)

    def _document(self, mark: int) -> None:
        if self.built.has_document:
            finding = traps.error(
                "second-document",
                self.source.place(mark),
                "'---' begins a second document; one file is one description",
                "take the line out, or put what follows into a file of its own and name it under 'include:'",
            )
            raise _Stop(finding, mark, final=True)
        self.built.has_document = True

    def _stopped(
        self,
        problem: str,
        mark: int,
        context: int | None,
        finding: Finding | None = None,
        final: bool = False,
    ) -> None:
        """Note the fault and close what is whole: the top level and its sections."""
        scalar = self.scalar
        last = (scalar.start_mark.index, scalar.end_mark.index, scalar.style or "") if scalar else (0, 0, "")
        opened = [frame for frame in self.stack if frame.flow]
        flow_mark = None
        key_next = type(self.container) is Record and self.key is None
        containers = [frame.container for frame in self.stack[1:]] + ([self.container] if self.stack else [])
        if opened:
            flow_mark = containers[self.stack.index(opened[0])].mark
        self.built.fault = Fault(problem, mark, context, last, key_next, flow_mark, finding, final)
        if not containers:
            return
        root = containers[0]
        self.built.root = root
        if (
            len(containers) > 1
            and isinstance(root, Record)
            and not self.stack[1].flow
            and self.stack[1].key not in (None, _DROPPED)
        ):
            root.add(self.stack[1].key, containers[1], self.stack[1].key_mark, containers[1].mark)


def build(source: SourceText, text: str, blanked: list[int], takes_list: Callable[[str], bool]) -> Built:
    """One pass over ``text``: ``source.text``, or that with some lines blanked out.

    The marks of both are the same, since a blanked character is a space. takes_list: whether a key takes a list.
    """
    return _Builder(source, text, blanked, takes_list).run()
