"""Reading faults between key and value: a colon that is missing, too many or without its space, and signs YAML takes for its own.

Takes: a look at the fault. Gives: the finding, or None where the sign is not there.
"""

from __future__ import annotations

import re

from harnessdoc.description.fault_look import Look, short
from harnessdoc.description.traps import NO_SPACE, error, line_end, mended, no_space_after_colon, question_mark, quoted, value_end
from harnessdoc.findings import Finding

_SPACES = re.compile("[ \t]*")
_SIGN_MEANS = {"*": ": to YAML it repeats a value named before"}
# `J8 {ends: ...}` as the whole of a line, also in quotes: an id, no colon, a map on one line
_NO_COLON_BEFORE_BRACE = re.compile(r"([\"']?)(\w[^\s:#{}\[\],\"']*)[ \t]*(\{.*?)\1[ \t]*$")


def no_space(look: Look) -> Finding | None:
    """``from:E1.1`` on a line of its own, ``11:{from: ...}``, ``{face:[[1]]}``."""
    fault, text = look.fault, look.text
    if look.says("unexpected ':'") and text[fault.mark + 1 : fault.mark + 2] in ("[", "{"):
        start = fault.context if fault.context is not None else fault.mark
        if NO_SPACE.match(text, start):
            return no_space_after_colon(look.source, start)
    if look.says("could not find expected ':'") and fault.context is not None:
        starts = [fault.context]
    elif look.says("mapping values are not allowed"):
        starts = [look.first_on_line(fault.mark), look.first_on_line(fault.scalar[0])]
    else:
        return None
    for start in starts:
        match = NO_SPACE.match(text, start)
        # a colon with a space before it on the line would make this one part of a value
        if match and (
            text[match.end()] in "[{\"'" or match.start() == fault.scalar[0] or start == fault.context
        ):
            return no_space_after_colon(look.source, start)
    return None


def no_colon_before_brace(look: Look) -> Finding | None:
    """``J8 {ends: [...]}``, also as a whole in quotes: an entry on one line without the colon behind its id."""
    fault = look.fault
    # a line in quotes is told of at the line behind it
    for mark in (fault.mark, fault.context):
        if mark is None:
            continue
        start = look.first_on_line(mark)
        match = _NO_COLON_BEFORE_BRACE.match(look.text, start, line_end(look.source, start))
        if match:
            return error("missing-colon", look.source.place(start + len(match[1])), f"a colon is missing behind '{short(match[2])}'",
                         f"write: {mended(look.source, start, match.end(), f'{match[2]}: {match[3]}')}")
    return None


def missing_colon(look: Look) -> Finding | None:
    """A line with a word and no colon where a key belongs."""
    fault = look.fault
    if look.says("could not find expected ':'") and fault.context is not None:
        start = fault.context
    elif (
        look.says("mapping values are not allowed")
        and look.line_of(fault.scalar[0]) < look.line_of(fault.mark)
        and look.first_on_line(fault.scalar[0]) == fault.scalar[0]
    ):
        start = fault.scalar[0]
    else:
        return None
    end = value_end(look.source, start, in_flow=False)
    word = look.text[start:end]
    if len(word) > 60:
        do = "write 'key: value'"
    elif " " in word:
        do = f"if it is a comment, put a '#' before it: {mended(look.source, start, start, '# ')}"
    else:
        do = f"write: {mended(look.source, end, end, ':')}"
    words = f"'{short(word)}' is neither a key (it has no colon) nor the value of one"
    return error("missing-colon", look.source.place(start), words, do)


def question_mark_sign(look: Look) -> Finding | None:
    """``{to: ?}``."""
    mark = look.fault.mark
    if look.says("unexpected ':'") and look.text[mark + 1 : mark + 2] == "?":
        mark += 1
    elif look.at != "?" or not look.says("mapping keys are not allowed", "expected node content"):
        return None
    return question_mark(look.source, mark, look.in_flow)


def empty(look: Look) -> Finding | None:
    """``{to:}``, ``[a, , b]``, ``: value``."""
    fault, text = look.fault, look.text
    place = look.source.place(fault.mark)
    if look.says("unexpected ':'") and fault.context is not None:
        name = text[fault.context : fault.mark]
        unknown = mended(look.source, fault.mark, fault.mark + 1, ": unknown")
        return error(
            "empty-value",
            look.source.place(fault.context),
            f"'{name}' has no value",
            f"if it is not known, write: {unknown}",
        )
    if look.at == ":" and look.says("expected node content", "expected key"):
        return error("empty-key", place, "a key is missing before the colon", "write 'key: value'")
    if (
        look.at == ","
        and look.says("flow node", "flow sequence", "flow mapping")
        and look.says("node content")
    ):
        behind = fault.mark + 1 + len(_SPACES.match(text, fault.mark + 1)[0])
        return error(
            "empty-value",
            place,
            "nothing stands before this comma",
            f"write: {mended(look.source, fault.mark, behind, '')}",
        )
    return None


def sign_at_start(look: Look) -> Finding | None:
    """``@``, ``*``, ``&``, ``%``, a backquote, ``|``, ``>`` or ``- `` where a value begins."""
    fault = look.fault
    mark = fault.mark
    if fault.context is not None and look.says(
        "scanning an alias",
        "scanning an anchor",
        "block scalar",
        "directive",
        "scanning a tag",
        "parsing a tag",
        "tag handle",
    ):
        mark = fault.context
    elif look.says("incompatible YAML"):
        words = "this line asks for another version of YAML"
        return error("unreadable", look.source.place(mark), words, "take it out")
    elif look.says("block sequence entries"):
        pass
    elif look.says("expected key", "expected ','") and look.text[:mark].rstrip(" ")[-1:].isalnum():
        # `*see below`: the alias was read, and text goes on
        mark = look.text.rfind("*", look.first_on_line(mark), mark)
        if mark < 0:
            return None
    elif not (look.says("cannot start any token") or (look.says("node content") and look.at == ",")):
        return None
    sign = look.text[mark : mark + 1]
    end = value_end(look.source, mark, look.is_in_flow(mark))
    if not sign or end <= mark:
        return None
    if sign == "!":
        code, words = (
            "tag-refused",
            f"'{look.text[mark:end].split()[0]}' is a YAML tag; a description has none",
        )
    else:
        code, words = "sign-at-start", f"a value cannot begin with '{sign}'{_SIGN_MEANS.get(sign, '')}"
    line = mended(look.source, mark, end, quoted(look.text[mark:end]))
    do = f"quote it: {line}"
    if sign == "-":
        do += "\nor, if it is the first item of a list, begin a new line with it"
    return error(code, look.source.place(mark), words, do)


def colon_in_value(look: Look) -> Finding | None:
    """``title: Heron: as found``, and ``{from: A to: B}`` where a comma is missing."""
    fault = look.fault
    start, end, style = fault.scalar
    mark = fault.mark
    if look.says("unexpected ':'") and not fault.key_next and fault.context is not None:
        start, end, style = fault.context, mark, ""
    elif look.at != ":" or style or not look.says("mapping values are not allowed", "expected ','"):
        return None
    if look.line_of(start) != look.line_of(mark):
        return None
    stop = value_end(look.source, start, look.in_flow)
    whole = look.text[start:stop]
    do = f"quote it: {mended(look.source, start, stop, quoted(whole))}"
    value, _, key = look.text[start:end].rpartition(" ")
    if value and look.in_flow:
        comma = start + len(value.rstrip(" ,"))
        do += f"\nor, if '{key}' is a key, put a comma before it: {mended(look.source, comma, comma, ',')}"
    return error(
        "colon-in-value", look.source.place(mark), f"a second colon stands in the value '{short(whole)}'", do
    )
