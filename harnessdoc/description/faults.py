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

from harnessdoc.description.builder import Fault
from harnessdoc.description.fault_colons import colon_in_value, empty, missing_colon, no_colon_before_brace, no_space, question_mark_sign, sign_at_start
from harnessdoc.description.fault_depth import bracket, indentation, tab
from harnessdoc.description.fault_look import Look, depth_of
from harnessdoc.description.fault_quotes import escape, text_after_quote, unclosed_quote
from harnessdoc.description.text import SourceText
from harnessdoc.description.traps import error
from harnessdoc.findings import Finding


def explain(source: SourceText, text: str, fault: Fault) -> Finding:
    """The finding for a fault."""
    if fault.finding is not None:
        return fault.finding
    look = Look(source, text, fault)
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
    depth = depth_of(lines[first - 1]) if first <= len(lines) else 0
    last = first
    tabs = finding.code == "tab-indentation"
    while last < len(lines) and (
        not lines[last].strip()
        or depth_of(lines[last]) > depth
        or (tabs and "\t" in lines[last][: depth_of(lines[last])])
    ):
        last += 1
    return range(first, last + 1)


_EXPLANATIONS = (
    tab,
    unclosed_quote,
    escape,
    question_mark_sign,
    no_space,
    no_colon_before_brace,
    missing_colon,
    text_after_quote,
    colon_in_value,
    empty,
    sign_at_start,
    bracket,
    indentation,
)
