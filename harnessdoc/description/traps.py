"""The traps of the notation, said in the user's words with the line as it should stand.

Takes: the source text and marks in it. Gives: findings, all of them errors. These
are the traps a YAML parser walks through without a word (a comma that makes a key
without a value, a ``#`` that swallows the rest of a line); what stops the parser is
translated in ``faults.py``, which borrows the tools at the head of this page.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence

from harnessdoc.description.text import Items, SourceText
from harnessdoc.findings import Finding, Place, Related, Severity

# A line longer than this is not printed whole in a message.
_LONGEST_LINE = 160

# Nobody means more than this as one value of a one-line map.
_LONGEST_VALUE = 1_000

# What YAML does not allow in a text, and the three line ends that no editor shows.
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")

_HASH = re.compile(r"(?<=[ \t])#")

# `from:E1.1`: a key, a colon, and no space before the value.
NO_SPACE = re.compile(r"([^\s:#{}\[\],\"']+):(?=[^\s:/])")

# What follows a comma that parts two entries of a one-line map.
_NEXT_KEY = re.compile(r",\s*([^\s,:{}\[\]]+|\"[^\"]*\"|'[^']*'):(\s|$)", re.MULTILINE)

_QUOTED = re.compile(r"\"[^\"]*\"|'[^']*'")

_DECIMAL_COMMA = re.compile(r"(?<![\d,.])(\d+), ?(\d+)(?![\d,])")


def error(
    code: str,
    place: Place,
    message: str,
    do: str = "",
    related: tuple[Related, ...] = (),
) -> Finding:
    """A finding of severity error."""
    return Finding(code, Severity.ERROR, message, place, do, related)


def quoted(value: str) -> str:
    """The value in the quotes that need no escape: double, else single."""
    if '"' in value or "\\" in value:
        return "'" + value.replace("'", "''") + "'"
    return f'"{value}"'


def mended(source: SourceText, start: int, end: int, replacement: str) -> str:
    """The line around ``start`` with the characters up to ``end`` replaced, without indentation.

    Of a long line only the neighbourhood, with ``...`` where it was cut.
    """
    place = source.place(start)
    line = source.line(place.line)
    column = place.column - 1
    before, after = line[:column], line[column + end - start :]
    if len(line) > _LONGEST_LINE:
        before = "..." + before[-40:] if len(before) > 40 else before
        after = after[:40] + "..." if len(after) > 40 else after
    return (before + replacement + after).strip()


def line_end(source: SourceText, mark: int) -> int:
    """The mark behind the last character of the line that holds ``mark``."""
    place = source.place(mark)
    return mark - place.column + 1 + len(source.line(place.line))


def value_end(source: SourceText, start: int, in_flow: bool) -> int:
    """Where a plain value that begins at ``start`` was meant to end, on its own line.

    In a one-line list that is the next comma or closing bracket. In a one-line map a
    comma belongs to the value unless a key follows it.
    """
    end = min(line_end(source, start), start + _LONGEST_VALUE)
    if in_flow:
        text = source.text
        before = text[start - source.place(start).column + 1 : start]
        in_list = before.rfind("[") > max(before.rfind("]"), before.rfind("{"))
        depth = 0
        for index in range(start, end):
            if text[index] in "[{":
                depth += 1
            elif text[index] in "]}":
                depth -= 1
            if depth < 0 or (depth == 0 and text[index] == "," and (in_list or _NEXT_KEY.match(text, index))):
                end = index
                break
    while end > start and source.text[end - 1] in " \t":
        end -= 1
    return end


def opens(before: str) -> bool:
    """Whether brackets that open in ``before``, the part of a line before a value, are still open behind it."""
    bare = unquoted(before)
    return sum(map(bare.count, "{[")) > sum(map(bare.count, "}]"))


def unquoted(text: str) -> str:
    """The text without what stands in quotes."""
    return _QUOTED.sub("", text)


def find_control_characters(source: SourceText) -> tuple[str, list[Finding]]:
    """The text with a space for every character that no text may hold, and a finding a line."""
    findings: list[Finding] = []
    seen_line = 0
    for match in _CONTROL.finditer(source.text):
        place = source.place(match.start())
        if place.line != seen_line:
            seen_line = place.line
            findings.append(
                error(
                    "control-character",
                    place,
                    f"the character U+{ord(match[0]):04X} cannot be seen and is not allowed in a description",
                    "delete it (the mark shows where it stands)",
                )
            )
    return (_CONTROL.sub(" ", source.text) if findings else source.text), findings


def has_control_character(value: str) -> bool:
    """True if an escape (``"\\x07"``) put a character into the value that no text may hold."""
    return _CONTROL.search(value) is not None


def find_hashes(
    source: SourceText, text: str, spans: Sequence[tuple[int, int]], stop: int
) -> Iterator[Finding]:
    """Each ``#`` before ``stop`` that swallows what was meant as part of a value.

    A ``#`` with a space before and behind it is a proper comment, and so is a line
    that begins with ``#`` and what follows a closing bracket or quote.
    spans: (start, end) of every quoted or block value, in order; a ``#`` in there is text.
    """
    starts = [start for start, _ in spans]
    seen_line = 0
    for match in _HASH.finditer(text, 0, stop):
        mark = match.start()
        span = bisect_right(starts, mark) - 1
        if span >= 0 and mark < spans[span][1]:
            continue
        place = source.place(mark)
        if place.line == seen_line:
            continue
        seen_line = place.line
        before = text[mark - place.column + 1 : mark].rstrip()
        behind = text[mark + 1 : mark + 2]
        if before and before[-1] not in "}]\"'" and behind not in ("", " ", "\t", "\r", "\n", "#"):
            yield _hash_in_value(source, mark, before)


def _hash_in_value(source: SourceText, mark: int, before: str) -> Finding:
    line_start = mark - source.place(mark).column + 1
    in_flow = opens(before)
    # the value begins behind the last colon, dash, bracket or comma before the mark
    opener = max(
        before.rfind(": "),
        before.rfind("- "),
        *((before.rfind(", "), before.rfind("{"), before.rfind("[")) if in_flow else ()),
    )
    start = mark if before.endswith(":") else line_start + (opener + 1 if opener >= 0 else 0)
    start += len(source.text[start:mark]) - len(source.text[start:mark].lstrip(" \t"))
    end = value_end(source, start, in_flow)
    lost = source.text[mark:end]
    value = source.text[start:end]
    do = f"quote it: {mended(source, start, end, quoted(value))}"
    if not in_flow:  # inside brackets a comment would swallow the closing one
        do += f"\nor, if it is a comment, put a space behind the '#': {mended(source, mark, mark + 1, '# ')}"
    return error("hash-in-value", source.place(mark), f"the text stops before {lost!r}: a '#' behind a space begins a comment", do)


def duplicate_key(key: str, place: Place, first: Place) -> Finding:
    """The same key twice in one map, or the same id twice in one section."""
    return error(
        "duplicate-key",
        place,
        f"'{key}' stands twice: here and at {first}",
        "keep one of them, or give this one another name",
        (Related(first, f"'{key}' stands here first"),),
    )


def comma_in_value(source: SourceText, key: str, start: int, end: int, is_list: bool) -> tuple[str | Items, Finding]:
    """A comma cut a value in a one-line map; the value as meant, and the finding.

    start, end: the marks of the whole value as the user wrote it; is_list: whether the key takes a list, whose brackets are missing then.
    """
    whole = " ".join(source.text[start:end].split())
    if is_list:
        items = Items(source, start)
        for part in re.finditer(r"[^\s,](?:[^,]*[^\s,])?", source.text[start:end]):
            items.add(part[0], start + part.start())
        message = f"the comma cuts '{key}' short: without brackets '{whole}' would be read as '{items[0]}'"
        line = mended(source, start, end, f"[{whole}]") if "\n" not in source.text[start:end] else f"{key}: [{whole}]"
        return items, error("comma-in-value", source.place(start), message, f"put the list in brackets: {line}")
    number = _DECIMAL_COMMA.fullmatch(whole) or re.fullmatch(_DECIMAL_COMMA.pattern + r"\s*\D.*", whole)
    one_line = "\n" not in source.text[start:end]
    if number:
        meant = _DECIMAL_COMMA.sub(r"\1.\2", whole, count=1)
        line = mended(source, start, end, meant) if one_line else f"{key}: {meant}"
        message = f"the comma cuts '{key}' short: '{whole}' would be read as '{number[1]}'"
        return meant, error(
            "comma-in-value", source.place(start), message, f"write the decimal point: {line}"
        )
    line = mended(source, start, end, quoted(whole)) if one_line else f"{key}: {quoted(whole)}"
    rest = whole.split(",")[-1].strip()
    message = f"the comma cuts '{key}' short: '{whole}' would be read as '{whole.split(',')[0].strip()}'"
    do = f"quote it: {line}\nor, if '{rest}' is a key, write its value: {rest}: unknown"
    return whole, error("comma-in-value", source.place(start), message, do)


def no_space_after_colon(source: SourceText, mark: int) -> Finding:
    """``from:E1.1``: the key begins at ``mark``."""
    match = NO_SPACE.match(source.text, mark)
    assert match is not None, "the caller looked for this pattern"
    return error(
        "no-space-after-colon",
        source.place(match.end() - 1),
        f"a space is missing behind '{match[1]}:'",
        f"write: {mended(source, match.end(), match.end(), ' ')}",
    )


def empty_value(source: SourceText, key: str, key_mark: int, key_end: int, is_section: bool) -> Finding:
    """A key with nothing behind its colon, or (in a one-line map) without even a colon."""
    colon = re.compile(r"[ \t]*:[ \t]*").match(source.text, key_end)
    unknown = mended(source, key_end, colon.end() if colon else key_end, ": unknown")
    do = (
        f"write what belongs there, or take '{key}:' out"
        if is_section
        else f"if it is not known, write: {unknown}"
    )
    return error("empty-value", source.place(key_mark), f"'{key}' has no value", do)


def question_mark(source: SourceText, mark: int, in_flow: bool) -> Finding:
    """A value that begins with ``?``, which opens a key that is a map in YAML."""
    end = value_end(source, mark, in_flow)
    value = source.text[mark:end]
    if value == "?":
        unknown = " unknown" if source.text[mark - 1] == ":" else "unknown"
        do = f"if it is not known, write: {mended(source, mark, end, unknown)}"
    else:
        do = f"quote it: {mended(source, mark, end, quoted(value))}"
    return error(
        "question-mark",
        source.place(mark),
        f"'{value}' cannot be read: a '?' at the start has a meaning of its own",
        do,
    )


def complex_key(source: SourceText, mark: int) -> Finding:
    """``{a: b}: c`` or ``{{a}}``: the key is a map or a list."""
    return error(
        "complex-key",
        source.place(mark),
        "a map or a list stands where a key belongs",
        "a key is a word: for a map inside a map write 'key: {...}', "
        "for a text that begins with a bracket use quotes",
    )


def unknown_alias(source: SourceText, mark: int, name: str, in_flow: bool) -> Finding:
    """``*name`` without a ``&name`` before it."""
    end = value_end(source, mark, in_flow)
    return error(
        "unknown-alias",
        source.place(mark),
        f"'*{name}' repeats a value named '&{name}', and there is none before it",
        f"if it is plain text, quote it: {mended(source, mark, end, quoted(source.text[mark:end]))}",
    )


def name_without_value(source: SourceText, mark: int) -> Finding:
    """``&name`` with nothing behind it."""
    text = re.compile(r"[^\s,\]}]*").match(source.text, mark)[0]
    return error(
        "sign-at-start",
        source.place(mark),
        f"a '&' at the start names the value that follows, and none follows '{text}'",
        f"if it is plain text, quote it: {mended(source, mark, mark + len(text), quoted(text))}",
    )


def tag_refused(source: SourceText, mark: int) -> Finding:
    """``!important``, ``!!python/object``: a tag in front of a value, or as all of it."""
    tag = re.compile(r"[^\s,\]}]*").match(source.text, mark)[0]
    return error(
        "tag-refused",
        source.place(mark),
        f"'{tag}' is a YAML tag; a description has none",
        f"take it out, or quote the value if the '!' belongs to it: {quoted(tag)}",
    )
