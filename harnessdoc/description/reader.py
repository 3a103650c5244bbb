"""From a file's bytes to text, and from text to a map that knows its places.

Takes: a path and a way to read it; a source text. Gives: the text or the map, and
findings. No fault of a file raises here: a file that cannot be read gives a finding,
and a line that cannot be read gives a finding and is left out, with what stands
deeper below it, so that the rest is still read.
"""

from __future__ import annotations

import errno
import gc
import re
from collections.abc import Callable
from pathlib import Path

from harnessdoc.description import traps
from harnessdoc.description.builder import Built, build
from harnessdoc.description.faults import explain, lines_lost
from harnessdoc.description.text import Record, SourceText
from harnessdoc.findings import Finding, Place

# 20,000 wires with both ends described are 4.7 MB.
MAX_BYTES = 5 * 2**20
# After so many faults the rest of a file is given up: it is something else than a description.
MAX_FAULTS = 10

# Codes of findings after which lines may be missing from what was read; references to
# what stood on them cannot be judged.
LINES_LEFT_OUT = frozenset(
    {
        "bad-escape",
        "bad-indentation",
        "colon-in-value",
        "empty-key",
        "file-binary",
        "file-empty",
        "file-encoding",
        "file-missing",
        "file-too-large",
        "hash-in-value",
        "include-outside",
        "missing-colon",
        "missing-comma",
        "missing-id",
        "no-space-after-colon",
        "question-mark",
        "reserved-name",
        "second-document",
        "sign-at-start",
        "stray-bracket",
        "tab-indentation",
        "table-heading",
        "text-after-value",
        "too-deep",
        "too-many-aliases",
        "too-many-cells",
        "too-many-files",
        "unclosed-bracket",
        "unclosed-quote",
        "unknown-alias",
        "unreadable",
    }
)

_UTF16 = (b"\xff\xfe", b"\xfe\xff")


class TooLarge(OSError):
    """Raised by a way of reading for a file of more than `MAX_BYTES`; ``args[0]`` is its size."""


def read_disk(path: str) -> bytes:
    """The bytes of a file. Raises OSError, or `TooLarge` before a byte is read."""
    file = Path(path)
    if file.is_dir():
        raise IsADirectoryError(path)
    if file.exists() and not file.is_file():
        raise OSError(errno.EINVAL, "it is a device")
    size = file.stat().st_size
    if size > MAX_BYTES:
        raise TooLarge(size)
    return file.read_bytes()


def read_text(
    path: str | Path, shown_path: str, read: Callable[[str], bytes] = read_disk
) -> tuple[SourceText | None, tuple[Finding, ...]]:
    """The text of a file, decoded and without a byte order mark; or why there is none.

    path: what ``read`` takes; shown_path: what stands in messages
    """
    top = Place(shown_path, 1, 1)
    try:
        data = read(str(path))
    except TooLarge as stop:
        return None, (_too_large(top, stop.args[0]),)
    except FileNotFoundError:
        return None, (
            traps.error(
                "file-missing", top, f"there is no file '{shown_path}'", "check the name and the folder"
            ),
        )
    except IsADirectoryError:
        return None, (
            traps.error(
                "file-missing", top, f"'{shown_path}' is a folder, not a file", "name the file in it"
            ),
        )
    except (OSError, ValueError) as stop:
        reason = getattr(stop, "strerror", None) or "the name cannot be a file's name"
        return None, (
            traps.error(
                "file-missing",
                top,
                f"'{shown_path}' cannot be read: {reason.lower()}",
                "check the name and the permissions",
            ),
        )
    if len(data) > MAX_BYTES:
        return None, (_too_large(top, len(data)),)
    return _decode(data, shown_path)


def _too_large(top: Place, size: int) -> Finding:
    message = f"'{top.file}' has {size / 2**20:.1f} MB, a description may have {MAX_BYTES / 2**20:.0f} MB"
    return traps.error(
        "file-too-large", top, message, "divide it with 'include:', or put the wires into CSV tables"
    )


def _decode(data: bytes, shown_path: str) -> tuple[SourceText | None, tuple[Finding, ...]]:
    top = Place(shown_path, 1, 1)
    save = "save it as UTF-8 (the editor offers it under 'save as' or 'encoding')"
    if data.startswith(_UTF16):
        return None, (
            traps.error(
                "file-encoding", top, f"'{shown_path}' is written in UTF-16; a description is UTF-8", save
            ),
        )
    zero = data.find(b"\0")
    if zero >= 0:
        message = f"'{shown_path}' is no text file: byte {zero + 1} is zero"
        return None, (
            traps.error(
                "file-binary",
                _place_of_byte(data, zero, shown_path),
                message,
                "name the description, a text file",
            ),
        )
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as stop:
        byte = data[stop.start]
        place = _place_of_byte(data, stop.start, shown_path)
        guess = bytes([byte]).decode("cp1252", "replace")
        hint = (
            f" (in Windows-1252 it would be '{guess}')" if guess.isprintable() and guess != "\ufffd" else ""
        )
        message = f"byte 0x{byte:02X} at line {place.line}, column {place.column} is not UTF-8{hint}"
        return None, (traps.error("file-encoding", place, message, save),)
    text = text.removeprefix("\ufeff")
    if not text.strip():
        return None, (
            traps.error(
                "file-empty",
                top,
                f"'{shown_path}' is empty",
                "write 'title:', 'connectors:' and 'wires:' to begin with",
            ),
        )
    return SourceText(shown_path, text), ()


def _place_of_byte(data: bytes, index: int, shown_path: str) -> Place:
    before = data[:index].decode("utf-8", "replace").removeprefix("\ufeff")
    return SourceText(shown_path, before).place(len(before))


def read_yaml(source: SourceText, takes_list: Callable[[str], bool] = lambda _: False) -> tuple[Record | None, tuple[Finding, ...]]:
    """The map a YAML text holds, and all findings about its notation, sorted.

    None where there is no map at all. Lines with a fault are left out of it, with
    what stands deeper below them. takes_list: whether a key takes a list; asked where a comma cut a value.
    """
    # A builder of 60,000 small maps makes the collector walk all of them again and again.
    collecting = gc.isenabled()
    gc.disable()
    try:
        return _read_yaml(source, takes_list)
    finally:
        if collecting:
            gc.enable()


def _read_yaml(source: SourceText, takes_list: Callable[[str], bool]) -> tuple[Record | None, tuple[Finding, ...]]:
    text, findings = traps.find_control_characters(source)
    blanked: list[int] = []
    faults = 0
    while True:
        built = build(source, text, blanked, takes_list)
        fault = built.fault
        stop = len(text) if fault is None else fault.mark
        hashes = list(traps.find_hashes(source, text, built.spans, stop)) if "#" in text else []
        if fault is None:
            break
        finding = explain(source, text, fault)
        lost = lines_lost(source, text, fault, finding)
        # a '#' that swallows a closing bracket is what stopped the parser, lines before it noticed
        swallowed = [finding for finding in hashes if finding.place.line in lost]
        findings += swallowed or [finding]
        faults += 1
        shorter = _without_lines(text, lost)
        if fault.final or shorter == text:
            break
        if faults == MAX_FAULTS:
            findings.append(_given_up(source, fault.mark))
            break
        blanked += lost
        text = shorter
    findings += built.findings
    findings += hashes
    findings += _not_a_map(source, built, bool(faults))
    unique = sorted(dict.fromkeys(findings), key=lambda finding: finding.sort_key)
    return (built.root if isinstance(built.root, Record) else None), tuple(unique)


def _given_up(source: SourceText, mark: int) -> Finding:
    message = f"after {MAX_FAULTS} lines that cannot be read the rest of the file was left out"
    return traps.error("unreadable", source.place(mark), message, "mend those above first")


def _without_lines(text: str, lines: range) -> str:
    """The text with spaces on these lines, so that all other marks stay."""
    pieces = re.split(r"(\r\n?|\n)", text)
    for number in lines:
        if 2 * (number - 1) < len(pieces):
            pieces[2 * (number - 1)] = " " * len(pieces[2 * (number - 1)])
    return "".join(pieces)


def _not_a_map(source: SourceText, built: Built, has_faults: bool) -> list[Finding]:
    root = built.root
    if isinstance(root, Record) or has_faults:
        return []
    first = re.search(r"^(?!#|---|%)(?=\S)|(?<=\s)(?=[^\s#])", source.text, re.MULTILINE)
    if not built.has_document or root is None:
        return [
            traps.error(
                "file-empty",
                Place(source.path, 1, 1),
                f"'{source.path}' holds no entries",
                "write 'title:', 'connectors:' and 'wires:' to begin with",
            )
        ]
    place = source.place(first.start() if first else 0)
    if any(finding.place.line == place.line for finding in built.findings):
        return []
    kind = "a list" if isinstance(root, list) else "text without a key"
    return [
        traps.error(
            "not-a-map",
            place,
            f"the description begins with {kind}; it is a map of 'key: value'",
            "begin with: title: ...",
        )
    ]
