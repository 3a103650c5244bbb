"""The findings sheet: all that the check found and that does not block a book, worst first.

Each finding has the number that stands in a hexagon, its flag, beside what it lies at on
the other sheets; where that is says the sheet, and the field of its grid. Below it what is
accepted with a reason, and what the rules could not ask.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import PurePath

from ..drawing.lettering import text_width
from ..drawing.record import Drawing
from ..drawing.table import PAD, Band, CellLine, Column, EmptyBox, LinkText
from ..findings import Finding, Severity
from ..rules.lack import Unasked
from ..rules.waivers import Waived
from .context import Context, FlaggedAt, SheetRef
from .flags import numbered, sheets_of_thing
from .flow import DATA, Words, free_area
from .marking import Draft, marked_pages
from .tables import Keyed, PlainRow, PlainTable, keyed_rows

MEANINGS = {
    Severity.HAZARD: "fire, unintended start or motion, loss of stop",
    Severity.DAMAGE: "a part dies, the vehicle strands",
    Severity.MALFUNCTION: "something works wrongly",
    Severity.ADVICE: "worth knowing",
}
"""What a severity means (design, section 3), worst first."""

WIDE_ENOUGH = 200.0
"""From this width on severity and code have a column each."""
MOST_THINGS = 3
"""So many of the things a finding lies at have their sheet named."""
FLAG_WORDS = ("A number in a hexagon on another sheet is the number of the finding here. Behind → stands the sheet, or sheet and page, and the field of its grid: "
              "letters down the right edge, numbers along the top.")


def printed_findings(context: Context) -> list[Finding]:
    """Every finding but the errors (with those there is no book), worst first, then by place."""
    return numbered(context.findings)


def draw_findings(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """What was found with what to do and where, what is accepted, what could not be asked."""
    if context.since is not None:
        # what is waived now is not gone: it stands among what is accepted
        waived = {id(one.was) for one in context.since.comparison.follows.findings_waived}
        before = replace(context.since.before, findings=tuple(finding for finding in context.since.before.findings if id(finding) not in waived))
        context = replace(context, since=replace(context.since, before=before))
    versions = (context, context.since.before) if context.since else (context,)
    return marked_pages(context, ref, _blocks, "landscape" if any(map(_says_anything, versions)) else "portrait")


def sheets_with_flags(context: Context) -> list[SheetRef]:
    """The sheets on which the findings sheet says a field, in the order of the book."""
    wanted = {sheet.name for finding in printed_findings(context) for name in finding.at[:MOST_THINGS] for sheet in sheets_of_thing(context, name)}
    return [sheet for sheet in context.sheets if sheet.name in wanted]


def _says_anything(context: Context) -> bool:
    return bool(printed_findings(context) or context.waived or context.unasked)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    findings = printed_findings(context)
    width = free_area(context.paper, "landscape").w
    if findings:
        yield Words("; ".join(f"{severity.word}: {meaning}" for severity, meaning in MEANINGS.items()) + ". " + FLAG_WORDS)
        yield _found_table(context, findings, width)
    else:
        yield Words("Nothing found but what is accepted below." if context.waived else "Nothing found.", height=3.5)
    if context.waived:
        yield _waived_table(context.waived, width)
    if context.unasked:
        yield _unasked_table(context.unasked, width)


def _found_table(context: Context, findings: list[Finding], width: float) -> PlainTable:
    """A line of the file, the number and the sheets are no difference: what comes or goes elsewhere moves them."""
    wide = width > WIDE_ENOUGH
    kind = (Column("Severity", 22), Column("Code", 32)) if wide else (Column("Severity, code", 27),)
    with_do = any(finding.do for finding in findings)
    columns = (Column("No.", 10, anchor="end"), *kind, Column("What was found", weight=1.3), *([Column("What to do")] if with_do else []), Column("Where", _where_width(wide)), Column("Done", 11))
    rows = keyed_rows(((finding.code, finding.message), _row(context, number, finding, wide, with_do)) for number, finding in enumerate(findings, start=1))
    return PlainTable(("findings",), columns, rows, width, tag="finding", named=len(kind) + 1, free=frozenset((0, len(columns) - 2)))


def _where_width(wide: bool) -> float:
    return 42.0 if wide else 33.0


def _row(context: Context, number: int, finding: Finding, wide: bool, with_do: bool) -> PlainRow:
    kind = (finding.severity.word, finding.code) if wide else ((finding.severity.word, finding.code),)
    do = [tuple(finding.do.splitlines())] if with_do else []
    return (str(number), *kind, (finding.message, *_against(finding)), *do, tuple(_where(context, number, finding, _where_width(wide) - 2 * PAD)), EmptyBox("done"))


def _against(finding: Finding) -> Iterator[str]:
    """``driving: 0.81 V, limit 0.5 V (common practice)``, as far as the finding says it."""
    limit = f"limit {finding.limit}" if finding.limit else ""
    words = ", ".join(filter(None, (finding.value, limit))) + (f" ({finding.origin})" if finding.origin and finding.limit else "")
    if finding.state or words:
        yield ": ".join(filter(None, (finding.state, words)))


def _where(context: Context, number: int, finding: Finding, room: float) -> Iterator[CellLine]:
    """File and line, then the first things it lies at, each with its sheet and the field in which its flag stands there; these stay on one line."""
    yield f"{PurePath(finding.place.file).name}:{finding.place.line}"
    for name in finding.at[:MOST_THINGS]:
        sheets = sheets_of_thing(context, name)
        sheet = next((sheet for sheet in sheets if (number, sheet.name) in context.flagged_on), sheets[0] if sheets else None)
        if sheet is None:
            yield name
            continue
        arrow = f"→ {_sheet_and_field(sheet, context.flagged_on.get((number, sheet.name)))}"
        together = f"{name} {arrow}"
        yield from (LinkText(text, sheet.name) for text in ((together,) if text_width(together, DATA) <= room else (name, arrow)))


def _sheet_and_field(sheet: SheetRef, flagged: FlaggedAt | None) -> str:
    """``33.2 C4``: sheet, its page where it has several, the field."""
    if flagged is None:
        return str(sheet.number)
    return f"{sheet.number}{f'.{flagged.page}' if flagged.pages > 1 else ''} {flagged.zone}"


def _waived_table(waived: tuple[Waived, ...], width: float) -> PlainTable:
    wide = width > WIDE_ENOUGH
    columns = (Column("Severity, code", 32 if wide else 27), Column("At", 28 if wide else 20), Column("What was found", weight=1.3), Column("Reason"), Column("Date", 22 if wide else 21))
    worst_first = sorted(waived, key=lambda one: (-one.finding.severity, one.finding.sort_key))
    rows = keyed_rows(((one.finding.code, one.finding.message), ((one.finding.severity.word, one.finding.code), one.waiver.at, one.finding.message, one.waiver.reason, one.waiver.date)) for one in worst_first)
    return PlainTable(("waived",), columns, (Keyed(("heading",), Band("Accepted, with a reason")), *rows), width, tag="waived", named=2)


def _unasked_table(unasked: tuple[Unasked, ...], width: float) -> PlainTable:
    columns = (Column("Code", 42 if width > WIDE_ENOUGH else 32), Column("Not asked of"), Column("What to add", weight=1.5))
    rows = keyed_rows(((one.code, one.add), (one.code, one.named, one.add)) for one in unasked)
    return PlainTable(("not asked",), columns, (Keyed(("heading",), Band("Not asked, as the description does not say it")), *rows), width, tag="not asked")
