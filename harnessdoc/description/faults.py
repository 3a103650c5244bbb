"""Why the parser stopped, said in the user's words.

Takes: the source text and the fault the builder noted. Gives: one finding, and the
lines the fault makes unreadable. The parser's own words only choose which of the
sentences here is said; the user never sees them.

A parser reports where it gave up, which is often a line or two behind what the user
did wrong. So each function below looks at the text itself, and the order in which
they are asked matters: from the surest sign to the vaguest.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from harnessdoc.description.builder import Fault
from harnessdoc.description.text import SourceText
from harnessdoc.description.traps import (
    NO_SPACE,
    error,
    line_end,
    mended,
    no_space_after_colon,
    opens,
    question_mark,
    quoted,
    unquoted,
    value_end,
)
from harnessdoc.findings import Finding, Related

_CLOSES = {"[": "]", "{": "}"}
_SPACES = re.compile("[ \t]*")
_SIGN_MEANS = {"*": ": to YAML it repeats a value named before"}
# `J8 {ends: ...}` as the whole of a line, also in quotes: an id, no colon, a map on one line
_NO_COLON_BEFORE_BRACE = re.compile(r"([\"']?)(\w[^\s:#{}\[\],\"']*)[ \t]*(\{.*?)\1[ \t]*$")
# what ends a list whose bracket is missing: a key follows
_KEY_BEHIND = re.compile(r"\s*,\s*[^\s,:{}\[\]\"']+:\s")


@dataclass(frozen=True, slots=True)
class _Look:
    """The fault, with what all explanations look at."""

    source: SourceText
    text: str
    fault: Fault

    @property
    def at(self) -> str:
        """The character where the parser stopped, "" at the end of the text."""
        return self.text[self.fault.mark : self.fault.mark + 1]

    @property
    def in_flow(self) -> bool:
        return self.fault.flow_mark is not None

    def line_of(self, mark: int) -> int:
        return self.source.place(mark).line

    def first_on_line(self, mark: int) -> int:
        """The mark of the first character that is not a space on the line of ``mark``."""
        place = self.source.place(mark)
        line = self.text[mark - place.column + 1 : line_end(self.source, mark)]
        return mark - place.column + 1 + len(line) - len(line.lstrip())

    def is_in_flow(self, mark: int) -> bool:
        """Whether brackets are open at ``mark``; the parser reads ahead of those it has told of, so the line itself is looked at, too."""
        return self.in_flow or opens(self.text[mark - self.source.place(mark).column + 1 : mark])

    def says(self, *words: str) -> bool:
        return any(word in self.fault.problem for word in words)


def explain(source: SourceText, text: str, fault: Fault) -> Finding:
    """The finding for a fault."""
    if fault.finding is not None:
        return fault.finding
    look = _Look(source, text, fault)
    for explanation in _EXPLANATIONS:
        finding = explanation(look)
        if finding is not None:
            return finding
    return error(
        "unreadable",
        source.place(fault.mark),
        "the text cannot be read from here on",
        "compare the line with those above it",
    )


def lines_lost(source: SourceText, text: str, fault: Fault, finding: Finding) -> range:
    """The numbers of the lines to leave out so that the rest can be read.

    These are the line of the fault (inside brackets, the line of the outermost one)
    and all that stands deeper below it; after a tab, all lines in a row that have one.
    """
    first = finding.place.line
    if fault.flow_mark is not None:
        first = min(first, source.place(fault.flow_mark).line)
    lines = re.split(r"\r\n?|\n", text)
    depth = _depth(lines[first - 1]) if first <= len(lines) else 0
    last = first
    tabs = finding.code == "tab-indentation"
    while last < len(lines) and (
        not lines[last].strip()
        or _depth(lines[last]) > depth
        or (tabs and "\t" in lines[last][: _depth(lines[last])])
    ):
        last += 1
    return range(first, last + 1)


def _short(words: str) -> str:
    """A user's text as part of a message: at most 60 characters of it."""
    return words if len(words) <= 60 else words[:57] + "..."


def _spaces(number: int) -> str:
    return "1 space" if number == 1 else f"{number} spaces"


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip(" \t"))


def _tab(look: _Look) -> Finding | None:
    """A tab in the indentation."""
    place = look.source.place(look.fault.mark)
    line = look.source.line(place.line)
    indentation = line[: _depth(line)]
    if "\t" not in indentation or (look.in_flow and look.at != "\t"):
        return None
    mark = look.fault.mark - place.column + 1 + indentation.index("\t")
    number = place.line - 1
    while number > 1 and (not look.source.line(number).strip() or look.source.line(number)[:1] == "\t"):
        number -= 1
    above = look.source.line(number).expandtabs(2)
    depth = _depth(above) + 2 if above.rstrip().endswith(":") else _depth(above)
    return error(
        "tab-indentation",
        look.source.place(mark),
        "a tab stands in the indentation; only spaces may",
        f"write: {' ' * depth}{line.strip()}\n(set the editor to write two spaces for a tab)",
    )


def _unclosed_quote(look: _Look) -> Finding | None:
    """A quote that never closes, or closes at the next value's opening quote."""
    start, end, style = look.fault.scalar
    if (
        look.says("quoted scalar")
        and look.says("end of stream", "document indicator")
        and look.fault.context is not None
    ):
        start = look.fault.context
    elif not (
        style in ("'", '"') and look.line_of(start) < look.line_of(end) == look.line_of(look.fault.mark)
    ):
        return None
    stop = value_end(look.source, start, look.in_flow)
    sign = look.text[start : start + 1]
    line = mended(look.source, stop, stop, sign)
    return error(
        "unclosed-quote",
        look.source.place(start),
        f"the quote {sign} that opens here does not close on this line",
        f"write: {line}",
    )


def _escape(look: _Look) -> Finding | None:
    """``"C:\\new"``: a backslash that means something else in double quotes."""
    if not look.says("quoted scalar") or look.fault.context is None:
        return None
    start = look.fault.context
    match = re.compile(r'"((?:[^"\\\n]|\\.)*)"').match(look.text, start)
    do = (
        f"use single quotes: {mended(look.source, start, match.end(), quoted(match[1]))}"
        if match
        else "use single quotes"
    )
    slash = look.text.find("\\", start, look.fault.mark + 1)
    place = look.source.place(slash if slash >= 0 else look.fault.mark)
    return error("bad-escape", place, "a backslash in double quotes begins an escape, and this is none", do)


def _text_after_quote(look: _Look) -> Finding | None:
    """``'driver's seat'``: text goes on behind the closing quote or bracket."""
    start, end, style = look.fault.scalar
    mark = look.fault.mark
    if look.at in ("", "]", "}", ":", "\n", "\r") or look.first_on_line(mark) == mark:
        return None
    stop = value_end(look.source, mark, look.in_flow)
    rest = look.text[mark:stop]
    before = look.text[:mark].rstrip(" \t")
    behind = before[-1:]
    if style in ("'", '"') and end == len(before):
        whole = look.text[start:stop]
        bare = look.text[start + 1 : end - 1] + look.text[end:stop]
        if style == "'" and whole.endswith("'"):
            bare = bare[:-1].replace(bare[:-1], whole[1:-1])
        elif style == '"':
            bare = whole
        do = f"quote it as a whole: {mended(look.source, start, stop, quoted(bare))}"
        words = f"text goes on behind the closing quote: {rest}"
    elif behind in ("]", "}"):
        do, words = (
            f"put a comma between: {mended(look.source, len(before), len(before), ',')}"
            if look.in_flow
            else "quote the value as a whole",
            f"text goes on behind the closing '{behind}': {rest}",
        )
    else:
        return None
    if look.in_flow and ": " in rest:
        do = f"put a comma between: {mended(look.source, len(before), len(before), ',')}"
    return error("text-after-value", look.source.place(mark), words, do)


def _no_space(look: _Look) -> Finding | None:
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


def _no_colon_before_brace(look: _Look) -> Finding | None:
    """``J8 {ends: [...]}``, also as a whole in quotes: an entry on one line without the colon behind its id."""
    fault = look.fault
    # a line in quotes is told of at the line behind it
    for mark in (fault.mark, fault.context):
        if mark is None:
            continue
        start = look.first_on_line(mark)
        match = _NO_COLON_BEFORE_BRACE.match(look.text, start, line_end(look.source, start))
        if match:
            return error("missing-colon", look.source.place(start + len(match[1])), f"a colon is missing behind '{_short(match[2])}'",
                         f"write: {mended(look.source, start, match.end(), f'{match[2]}: {match[3]}')}")
    return None


def _missing_colon(look: _Look) -> Finding | None:
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
    words = f"'{_short(word)}' is neither a key (it has no colon) nor the value of one"
    return error("missing-colon", look.source.place(start), words, do)


def _question_mark(look: _Look) -> Finding | None:
    """``{to: ?}``."""
    mark = look.fault.mark
    if look.says("unexpected ':'") and look.text[mark + 1 : mark + 2] == "?":
        mark += 1
    elif look.at != "?" or not look.says("mapping keys are not allowed", "expected node content"):
        return None
    return question_mark(look.source, mark, look.in_flow)


def _empty(look: _Look) -> Finding | None:
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


def _sign_at_start(look: _Look) -> Finding | None:
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


def _colon_in_value(look: _Look) -> Finding | None:
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
        "colon-in-value", look.source.place(mark), f"a second colon stands in the value '{_short(whole)}'", do
    )


def _bracket(look: _Look) -> Finding | None:
    """A bracket that does not close, closes as another kind, or closes nothing."""
    fault = look.fault
    if look.at in ("]", "}") and not look.in_flow:
        line = mended(look.source, fault.mark, fault.mark + 1, "")
        do = f"write: {line}" if line else "take it out"
        return error("stray-bracket", look.source.place(fault.mark), f"this '{look.at}' closes nothing", do)
    if not look.in_flow:
        return None
    opener = (
        fault.context
        if fault.context is not None and look.text[fault.context : fault.context + 1] in ("[", "{")
        else fault.flow_mark
    )
    assert opener is not None
    sign = look.text[opener]
    place = look.source.place(opener)
    if look.at in ("]", "}"):
        # the outermost bracket was closed by the wrong sign, an inner one was forgotten
        wrong = fault.mark + (opener == fault.flow_mark)
        key = _KEY_BEHIND.search(look.text, opener, fault.mark) if sign == "[" and wrong == fault.mark else None
        line = mended(look.source, key.start(), key.start(), "]") if key and look.line_of(key.start()) == look.line_of(opener) else mended(look.source, fault.mark, wrong, _CLOSES[sign])
        related = (Related(look.source.place(fault.mark), f"'{look.at}' stands here"),)
        return error(
            "unclosed-bracket",
            place,
            f"the '{sign}' that opens here is closed by '{look.at}'",
            f"write: {line}",
            related,
        )
    first, last = look.line_of(opener), look.line_of(fault.mark)
    deeper = _depth(look.source.line(look.line_of(fault.mark))) > _depth(look.source.line(first))
    if look.at and (last == first or deeper):
        # the line before is the one that lacks the comma
        before = len(look.text[: fault.scalar[0] if look.at == ":" else fault.mark].rstrip())
        if look.at == ":":
            before = line_end(look.source, fault.scalar[0])
        line = mended(look.source, before, before, ",")
        return error(
            "missing-comma",
            look.source.place(max(before - 1, 0)),
            "a comma is missing behind this",
            f"write: {line}",
        )
    end = line_end(look.source, opener)
    end -= len(look.text[opener:end]) - len(look.text[opener:end].rstrip(" \t,"))
    line = mended(look.source, end, end, _missing_closers(look, opener, end))
    return error("unclosed-bracket", place, f"the '{sign}' that opens here does not close", f"write: {line}")


def _missing_closers(look: _Look, opener: int, end: int) -> str:
    """The brackets that are open at the end of the line of ``opener``, those around it too: ``]}``."""
    start = opener if look.fault.flow_mark is None or look.line_of(look.fault.flow_mark) != look.line_of(opener) else look.fault.flow_mark
    waiting: list[str] = []
    for sign in unquoted(look.text[start:end]):
        if sign in _CLOSES:
            waiting.append(_CLOSES[sign])
        elif waiting and sign == waiting[-1]:
            waiting.pop()
    return "".join(reversed(waiting)) or _CLOSES[look.text[opener]]


def _indentation(look: _Look) -> Finding | None:
    """A line that stands deeper or less deep than those it belongs beside."""
    fault = look.fault
    first = look.first_on_line(fault.mark)
    place = look.source.place(first)
    here = place.column - 1
    if look.says("document start"):
        if look.text[: fault.mark].rstrip().endswith("..."):
            return error(
                "second-document",
                place,
                "'...' ended the description, and text goes on",
                "take the line '...' out",
            )
        words = f"this line stands at column {place.column}, the first entry stands further right"
        return error("bad-indentation", place, words, "indent the entries of one map alike")
    above = look.first_on_line(len(look.text[:first].rstrip()) - 1) if look.text[:first].strip() else first
    is_deeper = look.source.place(above).column < place.column
    if look.says("mapping values are not allowed") or (fault.mark == first and is_deeper):
        owner = look.source.place(above)
        words = (
            f"this line stands deeper ({_spaces(here)}) than line {owner.line} "
            f"({_spaces(owner.column - 1)}), which has a value already"
        )
        line = " " * (owner.column - 1) + look.source.line(place.line).strip()
        return error(
            "bad-indentation",
            place,
            words,
            f"write it as deep as that line: {line}",
            (Related(owner, "the line it belongs beside"),),
        )
    if not look.says("expected key", "expected '-'"):
        return None
    if fault.mark != first:
        stop = value_end(look.source, fault.mark, in_flow=False)
        return error(
            "text-after-value",
            look.source.place(fault.mark),
            f"text goes on behind the value: {look.text[fault.mark : stop]}",
            "quote the value as a whole",
        )
    if look.says("expected '-'"):
        return error(
            "bad-indentation",
            place,
            "a list stands above this line, and this is no item of it (an item begins with '- ')",
            "begin it with '- ', or indent it as the list's own key",
        )
    owner = look.source.place(fault.context) if fault.context is not None else place
    words = (
        f"this line is indented by {_spaces(here)}, which is neither the {_spaces(owner.column - 1)} "
        f"of the map from line {owner.line} nor the depth of what stands in it"
    )
    return error(
        "bad-indentation",
        place,
        words,
        "give it as many spaces as the entries it belongs beside",
        (Related(owner, "that map begins here"),),
    )


_EXPLANATIONS = (
    _tab,
    _unclosed_quote,
    _escape,
    _question_mark,
    _no_space,
    _no_colon_before_brace,
    _missing_colon,
    _text_after_quote,
    _colon_in_value,
    _empty,
    _sign_at_start,
    _bracket,
    _indentation,
)
