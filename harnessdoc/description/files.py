"""From a main file to all the files of a description.

Takes: the path of the main file (and, instead of the disk, a mapping of texts).
Gives: one map for each file, tables merged into the sections they belong to, every
text that was read, and all findings, sorted. This is the one room that reads the
user's files. Must not know: what the keys mean, but for ``include:`` and ``tables:`` (where a comma cut a value, the
schema is asked whether the key takes a list).
"""

from __future__ import annotations

import difflib
import os
import posixpath
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from harnessdoc.description import traps
from harnessdoc.description.reader import LINES_LEFT_OUT, read_disk, read_text, read_yaml
from harnessdoc.description.schema import takes_list
from harnessdoc.description.tables import read_table
from harnessdoc.description.text import Items, Record, SourceText, Value
from harnessdoc.findings import Finding, Place, Related

MAX_FILES = 200
MAX_TOTAL_CHARACTERS = 20 * 2**20

# The sections that may stand in tables, and the heading of the first column there.
KEY_COLUMNS = {"wires": "wire", "cavities": "cavity", "segments": "segment"}

# Names that are devices on Windows, whatever follows the first dot.
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)", re.IGNORECASE)
_ENDINGS = (".yaml", ".yml")
# No description: in which order things stand on the diagrams of the one beside it (order_file.py).
ORDER_ENDING = ".order.yaml"
_MOST_NEAR = 3
# From this likeness on a file is named as what may be meant. Design choice.
_NEAR = 0.75
_FORBIDDEN = re.compile(r'[<>:"|?*\\\x00-\x1f]')


@dataclass(frozen=True, slots=True)
class Description:
    """What was read of a description.

    main:      the text of the main file, None if it could not be read
    documents: one map a file, the main file's first, then its includes in order; each
               keeps its own settings (``colours:``); rows of tables stand in their section
    texts:     every text that was read, YAML and CSV
    findings:  about files and notation, sorted
    """

    main: SourceText | None
    documents: tuple[Record, ...]
    texts: tuple[SourceText, ...]
    findings: tuple[Finding, ...]

    @property
    def is_whole(self) -> bool:
        """False if lines or files are missing, so that a reference may miss its target for that alone."""
        return not any(finding.code in LINES_LEFT_OUT for finding in self.findings)

    def line(self, place: Place) -> str:
        """The source line of a place, "" if its file was not read."""
        return next((text.line(place.line) for text in self.texts if text.path == place.file), "")


@dataclass(frozen=True, slots=True)
class _Access:
    """How files are reached: read gives the bytes or raises OSError, real a path's true name."""

    read: Callable[[str], bytes]
    real: Callable[[str], str]


def load_files(path: str | Path, texts: Mapping[str, str | bytes] | None = None) -> Description:
    """Read the main file at ``path``, what it includes, and its tables.

    texts: read from this mapping of path (with forward slashes) to text, or to the bytes of
    a file, not from disk
    """
    shown = path.as_posix() if isinstance(path, Path) else path.replace(os.sep, "/")
    access = _Access(read_disk, _real) if texts is None else _Access(_reader_of(texts), _normal)
    loading = _Loading(access, posixpath.dirname(access.real(shown)))
    main = loading.load_main(shown)
    return Description(
        main,
        tuple(loading.documents),
        tuple(loading.texts),
        tuple(sorted(dict.fromkeys(loading.findings), key=lambda finding: finding.sort_key)),
    )


def near_files(path: str, texts: Mapping[str, str | bytes] | None = None) -> tuple[str, ...]:
    """At most three files that ``path`` may be meant for, the nearest first: descriptions in its folder and in those beside it.

    texts: as for `load_files`
    """
    folder = posixpath.dirname(path)
    known = list(texts) if texts is not None else [*_descriptions(folder or "."), *(found for beside in _folders(posixpath.dirname(folder) or ".") for found in _descriptions(beside))]
    by_path = {posixpath.normpath(one): one for one in known if one.endswith(_ENDINGS) and not one.endswith(ORDER_ENDING)}
    # a file of that very name in another folder is nearer than any misspelt one
    same = [one for one in by_path if posixpath.basename(one) == posixpath.basename(path)]
    return tuple(dict.fromkeys([*same, *difflib.get_close_matches(posixpath.normpath(path), list(by_path), n=_MOST_NEAR, cutoff=_NEAR)]))[:_MOST_NEAR]


def _descriptions(folder: str) -> list[str]:
    return [f"{folder}/{name}" for name in _listed(folder) if name.endswith(_ENDINGS)]


def _folders(folder: str) -> list[str]:
    return [f"{folder}/{name}" for name in _listed(folder) if not name.startswith(".") and os.path.isdir(f"{folder}/{name}")]


def _listed(folder: str) -> list[str]:
    """The names in a folder, sorted, at most so many that looking costs nothing; none where it cannot be looked into."""
    try:
        return sorted(os.listdir(folder))[:MAX_FILES]
    except (OSError, ValueError):
        return []


def _real(path: str) -> str:
    """The absolute path with links followed, so that a link cannot lead out of the folder."""
    try:
        return os.path.realpath(path).replace(os.sep, "/")
    except (OSError, ValueError):
        return _normal(path)  # no such name can exist; reading it says so


def _normal(path: str) -> str:
    """The same for a mapping of texts, as if it stood in a folder of its own."""
    return posixpath.normpath(posixpath.join("/texts", path))


def _reader_of(texts: Mapping[str, str | bytes]) -> Callable[[str], bytes]:
    def read(path: str) -> bytes:
        try:
            text = texts[path]
        except KeyError:
            raise FileNotFoundError(path) from None
        return text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text

    return read


class _Loading:
    """The state of one call of `load_files`: what has been read so far."""

    def __init__(self, access: _Access, folder: str) -> None:
        self.access = access
        self.folder = folder  # true name of the project folder
        self.documents: list[Record] = []
        self.texts: list[SourceText] = []
        self.findings: list[Finding] = []
        self.seen: set[str] = set()  # true names
        self.open: list[tuple[str, str]] = []  # (true, shown) names of the files that include each other

    def load_main(self, shown: str) -> SourceText | None:
        text = self._text(shown, None)
        if text is not None:
            self._document(text, self.access.real(shown))
        return text

    def _document(self, text: SourceText, real: str) -> None:
        self.seen.add(real)
        self.open.append((real, text.path))
        document, findings = read_yaml(text, takes_list)
        self.findings += findings
        if document is not None:
            slot = len(self.documents)
            self.documents.append(document)
            self.documents[slot] = self._with_tables(document)
            first: dict[str, Place] = {}
            for name, place in names_at(document, "include"):
                shown = self._reach(text.path, name, place)
                if shown is None:
                    continue
                if shown in first:
                    self._named_twice(name, place, first[shown])
                else:
                    first[shown] = place
                    self._include(shown, place)
        self.open.pop()

    def _named_twice(self, name: str, place: Place, first: Place) -> None:
        message = f"'{name}' is named twice: here and at {first}"
        self.findings.append(
            traps.error(
                "named-twice", place, message, "name a file once", (Related(first, "it is named here first"),)
            )
        )

    def _include(self, shown: str, place: Place) -> None:
        # a file that two others include is read once
        real = self.access.real(shown)
        chain = [true for true, _ in self.open]
        if real in chain:
            names = [path for _, path in self.open[chain.index(real) :]] + [shown]
            words = ", which includes ".join(f"'{path}'" for path in names[1:])
            self.findings.append(
                traps.error("include-cycle", place, f"'{names[0]}' includes {words}", "take this include out")
            )
        elif real not in self.seen:
            text = self._text(shown, place)
            if text is not None:
                self._document(text, real)

    def _reach(self, includer: str, name: str, place: Place) -> str | None:
        """The path of a file named in another, or None with a finding if it may not be named."""
        parts = name.split("/")
        bad = next(
            (part for part in parts if _DEVICE.match(part) or part.endswith((" ", ".")) and part.strip(".")),
            None,
        )
        sign = _FORBIDDEN.search(name)
        if bad is not None or sign is not None:
            why = (
                f"'{bad}' is a reserved name" if sign is None else f"'{sign[0]}' cannot stand in a file name"
            )
            do = (
                "separate folders with '/'"
                if sign is not None and sign[0] == "\\"
                else "give the file another name"
            )
            self.findings.append(
                traps.error("reserved-name", place, f"'{name}' does not work on every computer: {why}", do)
            )
            return None
        shown = posixpath.normpath(posixpath.join(posixpath.dirname(includer), name))
        if name.startswith("/") or not self.access.real(shown).startswith(self.folder.rstrip("/") + "/"):
            message = f"'{name}' is outside the folder of the main file"
            do = "put the file into that folder, or below it, and name it from there"
            self.findings.append(traps.error("include-outside", place, message, do))
            return None
        return shown

    def _text(self, shown: str, named_at: Place | None) -> SourceText | None:
        """The text of a file; named_at: the place that names it, None for the main file."""
        if len(self.texts) >= MAX_FILES:
            assert named_at is not None
            message = f"this is file {MAX_FILES + 1} of the description; it may have {MAX_FILES}"
            self.findings.append(traps.error("too-many-files", named_at, message, "put several into one"))
            return None
        text, findings = read_text(shown, shown, self.access.read)
        for finding in findings:
            # nothing can be shown of a file that is not there: point to where it is named
            missing = finding.code == "file-missing" and named_at is not None
            related = () if missing or named_at is None else (Related(named_at, "the file is named here"),)
            self.findings.append(
                replace(finding, place=named_at if missing else finding.place, related=related)
            )
        if text is None:
            return None
        total = sum(len(other.text) for other in self.texts) + len(text.text)
        if total > MAX_TOTAL_CHARACTERS:
            message = (
                f"with '{shown}' the files have {total / 2**20:.1f} MB together; "
                f"a description may have {MAX_TOTAL_CHARACTERS / 2**20:.0f} MB"
            )
            self.findings.append(
                traps.error(
                    "file-too-large", named_at or Place(shown, 1, 1), message, "divide the description"
                )
            )
            return None
        self.texts.append(text)
        return text

    def _with_tables(self, document: Record) -> Record:
        """The document with the rows of its tables in the sections they belong to."""
        tables = document.get("tables")
        if not isinstance(tables, Record):
            return document
        first: dict[str, Place] = {}
        for section in KEY_COLUMNS:
            for name, place in names_at(tables, section):
                shown = self._reach(document.source.path, name, place)
                if shown is not None and shown in first:
                    self._named_twice(name, place, first[shown])
                elif shown is not None:
                    first[shown] = place
                    document = self._with_table(document, section, shown, place)
        return document

    def _with_table(self, document: Record, section: str, shown: str, place: Place) -> Record:
        text = self._text(shown, place)
        if text is None:
            return document
        rows, findings = read_table(text, KEY_COLUMNS[section])
        self.findings += findings
        mark = document.source.mark(place.line, place.column)
        here = document.get(section) or Record(document.source, mark)
        if not isinstance(here, Record):
            return document  # the schema says that a section is a map
        for key in rows:
            if key in here:
                self.findings.append(traps.duplicate_key(key, rows.place_of_key(key), here.place_of_key(key)))
        return document.replaced(section, here.with_rows(rows), mark, mark)


def names_at(record: Record, key: str) -> Iterator[tuple[str, Place]]:
    """The file name or the list of file names at a key, each with its place."""
    value: Value = record.get(key)
    if isinstance(value, str):
        yield value, record.place_of(key)
    elif isinstance(value, Items):
        for position, name in enumerate(value):
            if isinstance(name, str):
                yield name, value.place_of(position)
