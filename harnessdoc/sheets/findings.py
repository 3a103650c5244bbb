"""The findings sheet: all that the check found and that does not block a book, worst first."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePath

from ..drawing.record import Drawing
from ..drawing.table import Column, EmptyBox
from ..findings import Finding, Severity
from .context import Context, SheetRef
from .flow import Words, free_area
from .marking import Draft, marked_pages
from .tables import PlainRow, PlainTable, keyed_rows

MEANINGS = {
    Severity.HAZARD: "fire, unintended start or motion, loss of stop",
    Severity.DAMAGE: "a part dies, the vehicle strands",
    Severity.MALFUNCTION: "something works wrongly",
    Severity.ADVICE: "worth knowing",
}
"""What a severity means (design, section 3), worst first."""


MESSAGE, PLACE = 2, 3
"""Columns. A line of the file is no difference: every line above it that comes or goes moves it."""


def printed_findings(context: Context) -> list[Finding]:
    """Every finding but the errors (with those there is no book), worst first, then by place."""
    kept = [finding for finding in context.findings if finding.severity is not Severity.ERROR]
    return sorted(kept, key=lambda finding: (-finding.severity, finding.sort_key))


def draw_findings(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Severity, code, message, place, what to do where a finding says so, and a box to tick when it is done."""
    versions = (context, context.since.before) if context.since else (context,)
    return marked_pages(context, ref, _blocks, "landscape" if any(map(printed_findings, versions)) else "portrait")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    findings = printed_findings(context)
    if not findings:
        yield Words("Nothing found.", height=3.5)
        return
    width = free_area(context.paper, "landscape").w
    with_do = any(finding.do for finding in findings)
    columns = (Column("Severity", 22), Column("Code", 30), Column("What was found", weight=1.2), Column("Where, file and line", 38),
               *([Column("What to do")] if with_do else []), Column("Done", 11))
    key = "; ".join(f"{severity.word}: {meaning}" for severity, meaning in MEANINGS.items())
    rows = keyed_rows(((finding.code, finding.message), _row(finding, with_do)) for finding in findings)
    yield PlainTable(("findings",), columns, rows, width, tag="finding", named=MESSAGE, free=frozenset((PLACE,)))
    yield Words(key + ".")


def _row(finding: Finding, with_do: bool) -> PlainRow:
    place = finding.place
    return finding.severity.word, finding.code, finding.message, f"{PurePath(place.file).name}:{place.line}", *([tuple(finding.do.splitlines())] if with_do else []), EmptyBox("done")
