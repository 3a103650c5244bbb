"""Reading faults of depth: tabs, brackets that do not close, lines that stand at no depth.

Takes: a look at the fault. Gives: the finding, or None where the sign is not there.
"""

from __future__ import annotations

import re

from harnessdoc.description.fault_look import Look, depth_of, spaces
from harnessdoc.description.traps import error, line_end, mended, opens, unquoted, value_end
from harnessdoc.findings import Finding, Related

_CLOSES = {"[": "]", "{": "}"}
# what ends a list whose bracket is missing: a key follows
_KEY_BEHIND = re.compile(r"\s*,\s*[^\s,:{}\[\]\"']+:\s")


def tab(look: Look) -> Finding | None:
    """A tab in the indentation."""
    place = look.source.place(look.fault.mark)
    line = look.source.line(place.line)
    indentation = line[: depth_of(line)]
    if "\t" not in indentation or (look.in_flow and look.at != "\t"):
        return None
    mark = look.fault.mark - place.column + 1 + indentation.index("\t")
    number = place.line - 1
    while number > 1 and (not look.source.line(number).strip() or look.source.line(number)[:1] == "\t"):
        number -= 1
    above = look.source.line(number).expandtabs(2)
    depth = depth_of(above) + 2 if above.rstrip().endswith(":") else depth_of(above)
    return error(
        "tab-indentation",
        look.source.place(mark),
        "a tab stands in the indentation; only spaces may",
        f"write: {' ' * depth}{line.strip()}\n(set the editor to write two spaces for a tab)",
    )


def bracket(look: Look) -> Finding | None:
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
    deeper = depth_of(look.source.line(look.line_of(fault.mark))) > depth_of(look.source.line(first))
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


def _missing_closers(look: Look, opener: int, end: int) -> str:
    """The brackets that are open at the end of the line of ``opener``, those around it too: ``]}``."""
    start = opener if look.fault.flow_mark is None or look.line_of(look.fault.flow_mark) != look.line_of(opener) else look.fault.flow_mark
    waiting: list[str] = []
    for sign in unquoted(look.text[start:end]):
        if sign in _CLOSES:
            waiting.append(_CLOSES[sign])
        elif waiting and sign == waiting[-1]:
            waiting.pop()
    return "".join(reversed(waiting)) or _CLOSES[look.text[opener]]


def indentation(look: Look) -> Finding | None:
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
            f"this line stands deeper ({spaces(here)}) than line {owner.line} "
            f"({spaces(owner.column - 1)}), which has a value already"
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
        f"this line is indented by {spaces(here)}, which is neither the {spaces(owner.column - 1)} "
        f"of the map from line {owner.line} nor the depth of what stands in it"
    )
    return error(
        "bad-indentation",
        place,
        words,
        "give it as many spaces as the entries it belongs beside",
        (Related(owner, "that map begins here"),),
    )
