"""How findings are shown: one line, the long form, JSON.

Takes: findings and the source texts they point into. Gives: text.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from ..description.text import SourceText
from ..findings import Finding, Place, Severity
from .lack import Unasked
from .registry import CODES_OF_LENGTHS, CODES_OF_RULES
from .waivers import Waived


def line_form(finding: Finding) -> str:
    """``path:line:col: code: message``, always one line."""
    return f"{finding.place}: {finding.code}: {_one_line(finding.message)}"


def long_form(finding: Finding, texts: Mapping[str, SourceText]) -> str:
    """The line form, the source line with a mark under the place, the severity, the name by which a waiver may call it, related places, and what to do."""
    lines = [line_form(finding), *_source(finding.place, texts), f"  severity: {finding.severity.word}"]
    if finding.at and finding.code in CODES_OF_RULES | CODES_OF_LENGTHS and finding.severity is not Severity.ERROR:
        lines.append(f"  at: {finding.at[0]}")       # as a waiver names it: what rules and measuring find can be waived, an error never
    for related in finding.related:
        lines += [f"  {related.place}: {_one_line(related.words)}", *_source(related.place, texts)]
    if finding.origin:
        lines.append(f"  limit: {finding.limit} ({finding.origin})" if finding.limit else f"  source: {finding.origin}")
    if finding.do:
        first, *rest = finding.do.splitlines()
        lines += [f"  do: {first}", *(f"      {line}" for line in rest)]
    return "\n".join(lines)


def mildest_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """As a terminal shows them: errors last, where the eye is when the text has run by; those alike stay in the order they have."""
    return tuple(sorted(findings, key=lambda finding: finding.severity))


def as_json(findings: Iterable[Finding], waived: Iterable[Waived] = (), not_asked: Iterable[Unasked] = ()) -> str:
    """A JSON object: the findings, those that are waived with the reason, and what was not asked; places as file, line, column."""
    return json.dumps({
        "findings": [plain(finding) for finding in findings],
        "waived": [{**plain(one.finding), "reason": one.waiver.reason, "date": one.waiver.date} for one in waived],
        "not_asked": [{"code": one.code, "things": list(one.things), "add": one.add} for one in not_asked],
    }, ensure_ascii=False, indent=1)


def summary(findings: Iterable[Finding]) -> str:
    """``2 errors, 1 advice``, worst first; ``nothing found`` where there is nothing."""
    counts: dict = {}
    for finding in findings:
        counts[finding.severity] = counts.get(finding.severity, 0) + 1
    plural = {"advice": "advice", "damage": "damage"}
    parts = [f"{n} {plural.get(s.word, s.word + ('s' if n > 1 else ''))}" for s, n in sorted(counts.items(), reverse=True)]
    return ", ".join(parts) or "nothing found"


def plain(finding: Finding) -> dict:
    """A finding as JSON has it."""
    return {
        "file": finding.place.file, "line": finding.place.line, "column": finding.place.column,
        "code": finding.code, "severity": finding.severity.word, "message": finding.message, "do": finding.do,
        "at": list(finding.at), "state": finding.state, "value": finding.value, "limit": finding.limit, "origin": finding.origin,
        "related": [{"file": r.place.file, "line": r.place.line, "column": r.place.column, "words": r.words} for r in finding.related],
    }


def _source(place: Place, texts: Mapping[str, SourceText]) -> list[str]:
    text = texts.get(place.file)
    if text is None:
        return []
    line = text.line(place.line)
    if not line.strip():
        return []
    number = f"{place.line:>5} | "
    # a tab before the mark stays a tab, so that the mark stands under its place
    before = "".join("\t" if character == "\t" else " " for character in line[: place.column - 1])
    return [number + _visible(line), " " * (len(number) - 2) + "| " + before + "^"]


def _visible(line: str) -> str:
    return "".join(c if c == "\t" or c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in line)


def _one_line(text: str) -> str:
    return "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in text.replace("\n", " "))
