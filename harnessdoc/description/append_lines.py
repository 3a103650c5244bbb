"""Lines more in sections of a description, its text kept as it is.

Takes: the path of the main file and, by section, entries as one line each. Gives: the file with
them behind the last entry of the section, or in a new section at its end. The new text is read again before anything
is written, and must say what the old one said and the entries besides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import yaml
from yaml.events import MappingEndEvent, MappingStartEvent, NodeEvent, ScalarEvent, SequenceEndEvent, SequenceStartEvent

from harnessdoc.description.append_log import CannotAppend
from harnessdoc.description.files import load_files
from harnessdoc.description.inserting import LINE_END, closes_bracket, with_line, write_over
from harnessdoc.description.reader import read_disk
from harnessdoc.description.schema import check_schema
from harnessdoc.description.text import Record

_MARK = "\ufeff"


def append_lines(path: str, lines: Mapping[str, Sequence[str]]) -> None:
    """Append entries to sections of the main file at ``path``: written aside and moved.

    lines: section -> entries, ``J1: {ends: [host/X7.2, donor/A1.L]}`` each
    Raises CannotAppend where the text cannot be kept, OSError where the file cannot be written; then it is as it was.
    """
    before = load_files(path)
    if before.main is None or before.findings:
        raise CannotAppend(f"'{path}' has errors", f"mend them first: harnessdoc check '{path}'")
    text = before.main.text
    for section, entries in lines.items():
        text = _with_entries(text, section, entries)
    new = load_files(path, {one.path: text if one is before.main else one.text for one in before.texts})
    if new.findings or not _says_the_same(before.documents[0], new.documents[0], lines) or new.documents[1:] != before.documents[1:] or check_schema(new.documents[0]) != check_schema(before.documents[0]):
        by_hand = "; ".join(f"under `{section}:` {' '.join(entries)}" for section, entries in lines.items())
        raise CannotAppend(f"'{path}' stands in a form that cannot be added to without changing the rest", f"add by hand {by_hand}")
    mark = _MARK if read_disk(path).startswith(_MARK.encode()) else ""
    write_over(path, (mark + text).encode("utf-8"))


def _says_the_same(before: Record, after: Record, lines: Mapping[str, Sequence[str]]) -> bool:
    """Whether only entries came: those of the old sections stand first, with as many more as there are lines."""
    for section, entries in lines.items():
        was, now = before.get(section) or {}, after.get(section) or {}
        if list(now)[:len(was)] != list(was) or any(now[key] != was[key] for key in was) or len(now) != len(was) + len(entries):
            return False
    return {key: value for key, value in after.items() if key not in lines} == {key: value for key, value in before.items() if key not in lines}


def _with_entries(text: str, section: str, entries: Sequence[str]) -> str:
    end = LINE_END.search(text)
    eol = end[0] if end else "\n"
    place = _end_of(text, section)
    if place is None:
        whole = text if not text or text.endswith(("\n", "\r")) else text + eol
        return whole + f"{section}:{eol}" + "".join(f"  {entry}{eol}" for entry in entries)
    mark, column = place
    return with_line(text, mark, eol.join(" " * column + entry for entry in entries), eol)


def _end_of(text: str, section: str) -> tuple[int, int] | None:
    """Mark behind the last value of a section that is a map in block form, and the column of its keys; None where it is not there."""
    depth, expects_key, key = 0, True, None
    inside: tuple[int, int] | None = None
    for event in yaml.parse(text, getattr(yaml, "CLoader", yaml.Loader)):
        if isinstance(event, MappingEndEvent | SequenceEndEvent):
            depth -= 1
            solid = event.end_mark.index if closes_bracket(text, event) else None
        elif isinstance(event, NodeEvent):
            solid = event.end_mark.index if isinstance(event, ScalarEvent) else None
        else:
            continue
        starts = isinstance(event, MappingStartEvent | SequenceStartEvent)
        if depth == 1:
            if expects_key and isinstance(event, ScalarEvent):
                key, expects_key = event.value, False
            elif not starts:
                expects_key = True
            if key == section and isinstance(event, MappingStartEvent):
                inside = (event.start_mark.index, event.start_mark.column)
        if inside is not None and key == section and depth >= 2 and solid is not None:
            inside = (solid, inside[1])
        depth += starts
    return inside
