"""Putting lines into a text that stays as it is otherwise, and writing it over what stood there.

Takes: text and marks (indices of characters in it), and the events of the YAML parser. What is written
is written aside and moved, so that a file is never half there.
"""

from __future__ import annotations

import os
import re
import tempfile
from pathlib import Path

from yaml.events import MappingEndEvent, SequenceEndEvent

LINE_END = re.compile(r"\r\n?|\n")


def closes_bracket(text: str, event: MappingEndEvent | SequenceEndEvent) -> bool:
    """Whether a bracket stands there: the end of a block has no sign of its own, and lies beyond the comments behind it."""
    start, end = event.start_mark.index, event.end_mark.index
    return end - start == 1 and text[start:end] in ("}", "]")


def put(text: str, mark: int, more: str) -> str:
    """The text with ``more`` at the mark."""
    return text[:mark] + more + text[mark:]


def with_line(text: str, mark: int, line: str, eol: str) -> str:
    """The text with ``line`` behind the line that holds the mark; a mark at the start of a line is behind the one before."""
    if mark and text[mark - 1] in "\r\n":
        return put(text, mark, line + eol)
    end = LINE_END.search(text, mark)
    return put(text, end.end(), line + eol) if end else text + eol + line


def write_over(path: str, data: bytes) -> None:
    """Write aside and move; a link stays a link, and who may read the file stays too."""
    target = Path(path).resolve()
    handle, aside = tempfile.mkstemp(prefix=".unfinished-", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        os.chmod(aside, target.stat().st_mode & 0o7777)
        os.replace(aside, target)
    except OSError:
        os.unlink(aside)
        raise
