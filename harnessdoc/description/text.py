"""Text that knows its places: the source text, and the maps and lists read from it.

Takes: a text and the marks (character indices) a reader found in it. Gives: plain
``dict`` and ``list`` values whose every key and value can be asked for its place.
Must not know: YAML, CSV, the schema.

A mark is the index of a character in the text. Marks are kept as packed integers
and turned into line and column only when somebody asks, because a harness of
20,000 wires has 260,000 of them and a clean file needs none.
"""

from __future__ import annotations

import re
from array import array
from bisect import bisect_right
from collections.abc import Sequence

from harnessdoc.findings import Place

# From this size on a map answers "where is this key" from an index, not by walking.
_INDEX_FROM = 16

_LINE_END = re.compile(r"\r\n?|\n")


class SourceText:
    """One file's text, and where its lines begin.

    path: as the user gave it, with forward slashes; it stands in every message
    text: decoded, without a byte order mark
    """

    __slots__ = ("path", "text", "_starts")

    def __init__(self, path: str, text: str) -> None:
        self.path = path
        self.text = text
        self._starts: list[int] | None = None

    def __repr__(self) -> str:
        return f"SourceText({self.path!r}, {len(self.text)} characters)"

    def _line_starts(self) -> list[int]:
        if self._starts is None:
            starts = [0]
            starts.extend(end.end() for end in _LINE_END.finditer(self.text))
            self._starts = starts
        return self._starts

    def place(self, mark: int) -> Place:
        """Line and column (from 1, in characters) of the character at ``mark``."""
        starts = self._line_starts()
        mark = max(0, min(mark, len(self.text)))
        line = bisect_right(starts, mark)
        return Place(self.path, line, mark - starts[line - 1] + 1)

    def mark(self, line: int, column: int) -> int:
        """The inverse of `place`; a line past the end gives the end of the text."""
        starts = self._line_starts()
        return starts[line - 1] + column - 1 if line <= len(starts) else len(self.text)

    def line(self, number: int) -> str:
        """The line with this number (from 1) without its line end; "" past the end."""
        starts = self._line_starts()
        if not 1 <= number <= len(starts):
            return ""
        end = starts[number] if number < len(starts) else len(self.text)
        return self.text[starts[number - 1] : end].rstrip("\r\n")

    @property
    def line_count(self) -> int:
        """How many lines; what follows the last line end counts only if it holds text."""
        starts = self._line_starts()
        return len(starts) - (len(starts) > 1 and starts[-1] == len(self.text))


class Record(dict):
    """A map read from a text: keys are text, in the order of the file.

    Values are text, ``None`` (written with nothing behind the colon), `Record` or
    `Items`. Readers fill it through `add`; afterwards nobody changes it.

    A value from another text (a row of a table beside the file) carries its own
    place, which is the place of its id; so one section may hold both.
    """

    __slots__ = ("source", "mark", "marks", "_index")

    def __init__(self, source: SourceText, mark: int) -> None:
        super().__init__()
        self.source = source
        self.mark = mark
        self.marks = array("I")  # key, value, key, value ... in the order of the keys
        self._index: dict[str, int] | None = None

    def add(self, key: str, value: Value, key_mark: int, value_mark: int) -> None:
        """Append a key that is not there yet, with the marks of key and value."""
        self[key] = value
        self.marks.append(key_mark)
        self.marks.append(value_mark)

    def with_rows(self, rows: Record) -> Record:
        """A new map: this one, then the entries of ``rows`` whose keys it lacks."""
        both = Record(self.source, self.mark)
        both.update(self)
        both.marks = array("I", self.marks)
        for key, row in rows.items():
            if key not in both:
                both.add(key, row, self.mark, self.mark)
        return both

    def replaced(self, key: str, value: Value, key_mark: int, value_mark: int) -> Record:
        """A new map with ``value`` at ``key``; the marks are used if the key is new."""
        other = Record(self.source, self.mark)
        other.update(self)
        other.marks = array("I", self.marks)
        if key in other:
            other[key] = value
        else:
            other.add(key, value, key_mark, value_mark)
        return other

    def place(self) -> Place:
        """Where the map begins (of a table row: its id)."""
        return self.source.place(self.mark)

    def place_of_key(self, key: str) -> Place:
        """Where the key stands; the map's own place if the key is not there."""
        return self._place(key, 0)

    def place_of(self, key: str) -> Place:
        """Where the value begins: else the key (nothing is written), else the map."""
        return self._place(key, 0 if key in self and self[key] is None else 1)

    def _place(self, key: str, which: int) -> Place:
        if key not in self:
            return self.place()
        value = self[key]
        if isinstance(value, Record) and value.source is not self.source:
            return value.place()
        return self.source.place(self.marks[2 * self._position(key) + which])

    def _position(self, key: str) -> int:
        if len(self) < _INDEX_FROM:
            return next(position for position, name in enumerate(self) if name == key)
        if self._index is None or len(self._index) != len(self):
            self._index = {name: position for position, name in enumerate(self)}
        return self._index[key]


class Items(list):
    """A list read from a text, with the place of each item."""

    __slots__ = ("source", "mark", "marks")

    def __init__(self, source: SourceText, mark: int) -> None:
        super().__init__()
        self.source = source
        self.mark = mark
        self.marks = array("I")

    def add(self, value: Value, mark: int) -> None:
        """Append an item with its mark."""
        self.append(value)
        self.marks.append(mark)

    def place(self) -> Place:
        """Where the list begins."""
        return self.source.place(self.mark)

    def place_of(self, position: int) -> Place:
        """Where the item at this position (from 0) stands; the list's place if there is none."""
        if not 0 <= position < len(self.marks):
            return self.place()
        return self.source.place(self.marks[position])


Value = str | None | Record | Items


def place_at(root: Record, path: Sequence[str | int], of_key: bool = False) -> Place:
    """The place of the value (or with ``of_key`` of the last key) that ``path`` leads to.

    path: keys and list positions from the root. Where it leads to nothing, the
    place of the deepest parent that exists: a missing key has no line of its own.
    """
    here: Value = root
    place = root.place()
    for depth, step in enumerate(path):
        last = depth == len(path) - 1
        if isinstance(here, Record) and isinstance(step, str) and step in here:
            place = here.place_of_key(step) if last and of_key else here.place_of(step)
            here = here[step]
        elif isinstance(here, Items) and isinstance(step, int) and 0 <= step < len(here):
            place = here.place_of(step)
            here = here[step]
        else:
            return place
    return place
