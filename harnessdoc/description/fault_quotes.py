"""Reading faults with quotes: one that is not closed, a backslash in it, text behind it.

Takes: a look at the fault. Gives: the finding, or None where the sign is not there.
"""

from __future__ import annotations

import re

from harnessdoc.description.fault_look import Look
from harnessdoc.description.traps import error, mended, opens, quoted, value_end
from harnessdoc.findings import Finding


def unclosed_quote(look: Look) -> Finding | None:
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


def escape(look: Look) -> Finding | None:
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


def text_after_quote(look: Look) -> Finding | None:
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
