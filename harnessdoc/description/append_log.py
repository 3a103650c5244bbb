"""An entry more in the change log of a description, its text kept as it is.

Takes: the path of the main file and the entry. Gives: the text to write, which differs
from the old one by what is inserted and by nothing else: comments, line ends, a byte
order mark, the style of the list stay. The new text is read again before anything is
written, and must say what the old one said and the entry besides.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

import yaml
from yaml.events import (
    AliasEvent,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from harnessdoc.description.files import Description, load_files
from harnessdoc.description.reader import read_disk
from harnessdoc.description.schema import check_schema
from harnessdoc.description.inserting import LINE_END, closes_bracket, put, with_line, write_over
from harnessdoc.description.text import Items
from harnessdoc.description.traps import has_control_character, quoted

_KEYS = ("revision", "date", "by", "reading", "why")
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
# What needs no quotes in a one-line map: no sign that means something to YAML, none at the ends.
_PLAIN = re.compile(r"\w(?:[\w ./()+-]*[\w.)])?")
_MARK = "\ufeff"


class CannotAppend(Exception):
    """The entry was not written; ``do`` says what to do by hand."""

    def __init__(self, message: str, do: str) -> None:
        super().__init__(message)
        self.do = do


def next_revision(last: str) -> str | None:
    """The revision after ``last``: A after none, B after A, J after H, AA after Z, 4 after 3; None where no rule says it.

    I and O are left out since they are read as 1 and 0 (common practice).
    """
    if not last:
        return "A"
    if last.isascii() and last.isdigit():
        return str(int(last) + 1).zfill(len(last))
    if not re.fullmatch("[A-Z]{1,2}|[a-z]{1,2}", last):
        return None
    head = last.upper()
    tail = ""
    while head and head[-1] == "Z":
        head, tail = head[:-1], tail + "A"
    head = head[:-1] + next(letter for letter in _LETTERS if letter > head[-1]) if head else "A"
    return head + tail if last.isupper() else (head + tail).lower()


def entry_as_written(entry: Mapping[str, str]) -> str:
    """The entry as a one-line map; values with signs that mean something to YAML in quotes.

    entry: revision, date, by, reading, why; "" for what is not said
    """
    said = {key: " ".join(entry.get(key, "").split()) for key in _KEYS}
    return "{" + ", ".join(f"{key}: {value if _PLAIN.fullmatch(value) else quoted(value)}" for key, value in said.items() if value) + "}"


def append_entry(path: str, entry: Mapping[str, str]) -> None:
    """Append the entry to the log of the main file at ``path``: written aside and moved.

    Raises CannotAppend where the text cannot be kept, OSError where the file cannot be
    written; then it is as it was.
    """
    unseen = next((key for key, value in entry.items() if has_control_character(" ".join(value.split()))), None)
    if unseen is not None:
        raise CannotAppend(f"`{unseen}` has a character that cannot be seen", "write it without")
    data = read_disk(path)
    before = load_files(path)
    if before.main is None or before.findings or check_schema(before.documents[0]):
        raise CannotAppend(f"'{path}' has errors", f"mend them first: harnessdoc check '{path}'")
    text = before.main.text
    written = entry_as_written(entry)
    after = with_entry(text, written)
    if after is None or not _says_the_same(before, path, after, entry):
        raise CannotAppend(f"the log of '{path}' stands in a form that cannot be added to without changing the rest", f"add by hand, as the last entry of `log:`: {written}")
    mark = _MARK if data.startswith(_MARK.encode()) else ""
    write_over(path, (mark + after).encode("utf-8"))


def with_entry(text: str, written: str) -> str | None:
    """The text with the entry in its log, None where there is no place for it.

    written: the entry as a one-line map
    """
    end = LINE_END.search(text)
    eol = end[0] if end else "\n"
    found = _find(text)
    if found.log is None:
        return _with_new_log(text, found, written, eol)
    log = found.log
    if log.in_flow:
        return put(text, log.end, f", {written}" if log.has_items else written)
    return with_line(text, log.end, " " * log.column + f"- {written}", eol)


@dataclass(slots=True)
class _List:
    """The list at ``log:``. in_flow: in brackets; column: of its dashes; end: mark behind its last item (of an empty one: its bracket)."""

    in_flow: bool
    column: int
    end: int
    has_items: bool = False


@dataclass(slots=True)
class _Found:
    """in_flow, column: of the map that is the file; head: mark behind the last of the words before its first section; end: mark behind its last value."""

    in_flow: bool = False
    column: int = 0
    head: int | None = None
    end: int | None = None
    log: _List | None = None


def _find(text: str) -> _Found:
    """Where the log stands, from the parser's events."""
    found = _Found()
    depth = 0
    key: str | None = None
    in_head = True
    expects_key = True
    for event in yaml.parse(text, getattr(yaml, "CLoader", yaml.Loader)):
        if isinstance(event, MappingEndEvent | SequenceEndEvent):
            depth -= 1
            solid = event.end_mark.index if closes_bracket(text, event) else None
        elif isinstance(event, NodeEvent):
            solid = event.end_mark.index if isinstance(event, ScalarEvent | AliasEvent) else None
        else:
            continue
        starts = isinstance(event, MappingStartEvent | SequenceStartEvent)
        if depth == 0 and starts:
            found.in_flow, found.column = bool(event.flow_style), event.start_mark.column
        elif depth == 1:
            if expects_key:
                key, expects_key = event.value if isinstance(event, ScalarEvent) else None, False
            elif not starts:
                expects_key = True
                in_head = in_head and isinstance(event, ScalarEvent)
                if in_head:
                    found.head = event.end_mark.index
            if key == "log" and isinstance(event, SequenceStartEvent):
                found.log = _List(bool(event.flow_style), event.start_mark.column, event.end_mark.index)
        if key == "log" and found.log is not None and depth >= 2 and solid is not None:
            found.log.end, found.log.has_items = solid, True
        if solid is not None and depth >= 1:
            found.end = solid
        depth += starts
    return found


def _with_new_log(text: str, found: _Found, written: str, eol: str) -> str | None:
    if found.end is None:
        return None
    if found.in_flow:
        return put(text, found.end, f", log: [{written}]")
    pad = " " * found.column
    return with_line(text, found.head if found.head is not None else found.end, f"{pad}log:{eol}{pad}  - {written}", eol)


def _says_the_same(before: Description, path: str, after: str, entry: Mapping[str, str]) -> bool:
    """Whether the new text says what the old one said, and the entry besides."""
    texts = {text.path: after if text is before.main else text.text for text in before.texts}
    new = load_files(path, texts)
    if new.findings or len(new.documents) != len(before.documents) or check_schema(new.documents[0]):
        return False
    log = before.documents[0].get("log")
    said = {key: " ".join(value.split()) for key, value in entry.items() if value.strip()}
    wanted = {**before.documents[0], "log": [*(log if isinstance(log, Items) else ()), said]}
    return new.documents[0] == wanted and new.documents[1:] == before.documents[1:]
