"""The sheet of changes: what differs from the version before, and what follows from it.

Not compared with itself: it is about two versions and carries no revision marks.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ..drawing.record import Drawing
from ..drawing.table import Band, CellContent, Column, LinkText, Row, lay_out
from ..findings import Finding
from ..model.harness import OPEN, UNKNOWN
from ..operation.words import volts_shown
from ..revision.changes import Change, Thing
from ..revision.follows import Follows, LabelChange, Led, LengthChange, lengths_alike
from ..revision.follows_electric import readings_alike
from ..revision.lines import Line, lines_of
from .context import Context, SheetKind, SheetRef, Since
from .flow import Block, Heading, Words, free_area, set_pages
from .list_cells import gathered

HEADINGS = {
    Thing.HARNESS: "Harness", Thing.POINT: "Places", Thing.SEGMENT: "Segments", Thing.DEVICE: "Devices", Thing.CONNECTOR: "Connectors", Thing.BOX: "Boxes",
    Thing.PART: "Fuses, relays and other parts", Thing.SPLICE: "Splices", Thing.GROUND: "Grounds", Thing.CONTACT: "Cavities and terminals",
    Thing.CIRCUIT: "Circuits", Thing.CABLE: "Cables", Thing.PAIR: "Pairs", Thing.WIRE: "Wires",
    Thing.SOURCE: "Sources of the merge", Thing.FATE: "Fates of wires", Thing.JOIN: "Joins", Thing.FAR_HALF: "Far halves", Thing.INTERFACE: "Interfaces", Thing.OPEN_END: "Open on purpose",
}
"""In the order in which the things stand in a comparison."""
_SHEET_OF_LIST = {Thing.HARNESS: SheetKind.COVER, Thing.SEGMENT: SheetKind.SPLICE_PLACES, Thing.POINT: SheetKind.SPLICE_PLACES,
                  Thing.CABLE: SheetKind.CUT_LIST, Thing.PAIR: SheetKind.CUT_LIST}
MOST_ADDRESSES = 12
"""Points that a row names, of readings that moved alike."""
MOST_SHEETS = 4
"""Sheets that a row names."""
NARROW = 200.0
SAME_MM = 0.05
TOLD_TOGETHER = 3
"""So many wires whose length changed alike stand in one row."""


def draw_changes(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Every change by what it is about, with the sheets that show it; then copper, lengths, readings, verdicts, findings and labels.

    Raises ValueError without a version before: a fault of the caller.
    """
    since = context.since
    if since is None:
        raise ValueError("changes are between two versions")
    lines = lines_of(since.comparison)
    if not lines:
        return set_pages(context, ref, [Words("Nothing has changed.", height=3.5)], "landscape")
    width = free_area(context.paper, "landscape").w
    blocks: list[Block] = [Words(_versions(context, since), "bold"), _change_table(context, lines, width)]
    blocks += _copper(context, since, width)
    blocks += _lengths(context, since.comparison.follows.lengths, width)
    blocks += _electric(since.comparison.follows, width)
    blocks += _findings("Findings that are new", since.comparison.follows.findings_new, width)
    blocks += _findings("Findings that are gone", since.comparison.follows.findings_gone, width)
    blocks += _findings("Findings that are waived now, and still there", (one.now for one in since.comparison.follows.findings_waived), width)
    blocks += _findings("Waived findings that are worse now", (one.now for one in since.comparison.follows.waived_worse), width)
    blocks += _waivers(since.comparison.follows.waivers, width)
    blocks += _labels(since.comparison.follows.labels, width)
    return set_pages(context, ref, blocks, "landscape")


def _versions(context: Context, since: Since) -> str:
    was, now = (" ".join(filter(None, (one.harness.title, revision))) for one, revision in ((since.before, _revision(since.before)), (context, _revision(context))))
    return f"Was: {was or since.before.harness.file}. Now: {now or context.harness.file}."


def _revision(context: Context) -> str:
    """``revision B of 2026-10-20``; "" where none is logged."""
    last = context.harness.log[-1] if context.harness.log else None
    return f"revision {last.revision} of {last.date}" if last else ""


# -------------------------------------------------------------------------- the changes

def _change_table(context: Context, lines: Iterable[Line], width: float) -> Block:
    by_thing: dict[Thing, list[Line]] = {}
    for line in lines:
        by_thing.setdefault(line.thing, []).append(line)
    rows: list[Row] = []
    for thing, heading in HEADINGS.items():
        if thing in by_thing:
            rows += [Band(heading), *(row for line in by_thing[thing] for row in _rows(context, line))]
    wide = width > NARROW
    columns = [Column("What", 52 if wide else 32), Column("Change", 40 if wide else 30), Column("Was"), Column("Now"), Column("Sheet", 14 if wide else 12, anchor="end")]
    return lay_out(columns, rows, width, tag="change")


def _rows(context: Context, line: Line) -> Iterator[Row]:
    """What it is about stands in the first row of it alone."""
    sheets = _sheets(context, line)
    for number, told in enumerate(line.told):
        yield (line.what if number == 0 else "", told.change, told.was, told.now, sheets if number == 0 else "")


def _sheets(context: Context, line: Line) -> CellContent:
    """The numbers of the sheets of this version that show what a line is about."""
    found = dict.fromkeys(sheet for change in line.changes for sheet in _sheets_of(context, change))
    return tuple(LinkText(str(sheet.number), sheet.name) for sheet in sorted(found, key=lambda sheet: sheet.number)[:MOST_SHEETS])


def _sheets_of(context: Context, change: Change) -> Iterator[SheetRef]:
    if change.new_id is None:
        return
    name, harness = change.new_id, context.harness
    if change.thing is Thing.WIRE and name in harness.wires:
        wire = harness.wires[name]
        ends = [change.new] if change.key == "end" else [wire.from_, wire.to]
        yield from (sheet for end in ends if (sheet := context.sheet_for(str(end))) is not None)
    elif change.thing is Thing.CONTACT:
        yield from [sheet] if (sheet := context.sheet_for(name)) else []
    elif change.thing in _SHEET_OF_LIST:
        yield from [sheet for sheet in context.sheets if sheet.kind is _SHEET_OF_LIST[change.thing]][:1]
    elif name in context.sheet_of:
        yield context.sheet_of[name]


# ----------------------------------------------------------------------- what follows

def _copper(context: Context, since: Since, width: float) -> Iterator[Block]:
    """Each island as its parts: joined where they are one now, parted where they were one."""
    follows = since.comparison.follows
    told = [("joined", island.parts) for island in follows.merged] + [("parted", island.parts) for island in follows.parted]
    if told:
        yield Heading("Copper")
        yield lay_out([Column("Is now", 24), Column("Its parts, one a line")],
                      [(words, tuple(gathered(context.harness, part) for part in parts)) for words, parts in told], width, tag="copper")


def _lengths(context: Context, lengths: Iterable[LengthChange], width: float) -> Iterator[Block]:
    """Wires that became longer by the same stand in one row; one alone with both lengths."""
    rows: list[Row] = []
    for alike in lengths_alike(lengths):
        if alike.step_mm is not None and len(alike.changes) >= TOLD_TOGETHER:
            rows.append((", ".join(change.wire for change in alike.changes), "", "", _step(context, alike.step_mm)))
        else:
            rows += [(change.wire, *(context.mm(mm) if mm is not None else "unknown" for mm in (change.was_mm, change.now_mm)), _step(context, alike.step_mm)) for change in alike.changes]
    if rows:
        yield Heading("Finished lengths")
        columns = [Column("Wires"), Column("Was", 28, anchor="end"), Column("Now", 28, anchor="end"), Column("Difference", 28, anchor="end")]
        yield lay_out(columns, rows, width, tag="length")


def _step(context: Context, step_mm: float | None) -> str:
    if step_mm is None or abs(step_mm) < SAME_MM:
        return ""
    return f"{'+' if step_mm > 0 else '−'}{context.mm(abs(step_mm))}"


def _electric(follows: Follows, width: float) -> Iterator[Block]:
    verdicts = [(f"{change.kind} {change.id}", change.about, change.was, change.now, change.why) for change in follows.verdicts]
    if verdicts:
        yield Heading("Verdicts that changed")
        yield lay_out([Column("On", 26), Column("About", 28), Column("Was", 22), Column("Now", 22), Column("The sum")], verdicts, width, tag="verdict")
    readings: list[Row] = []
    for alike in readings_alike(follows.readings):
        if len(alike.changes) >= TOLD_TOGETHER:
            at = [address for change in alike.changes for address in change.at]
            more = f" and {len(at) - MOST_ADDRESSES} more" if len(at) > MOST_ADDRESSES else ""
            moved = "floats in one" if alike.step_v is None else f"{'+' if alike.step_v > 0 else '−'}{abs(alike.step_v):.1f}"
            first = alike.changes[0]
            readings.append((" ".join(at[:MOST_ADDRESSES]) + more, alike.state, volts_shown(first.was_v), volts_shown(first.now_v), moved))
        else:
            readings += [(" ".join(change.at), change.state, volts_shown(change.was_v), volts_shown(change.now_v), "") for change in alike.changes]
    if readings:
        yield Heading("Readings that moved, in volts; of many the first")
        yield lay_out([Column("At"), Column("State", 28), Column("Was", 20, anchor="end"), Column("Now", 20, anchor="end"), Column("Moved by", 26, anchor="end")], readings, width, tag="reading")


def _findings(heading: str, findings: Iterable[Finding], width: float) -> Iterator[Block]:
    rows = [(finding.severity.word, finding.code, finding.message) for finding in findings]
    if rows:
        yield Heading(heading)
        yield lay_out([Column("Severity", 22), Column("Code", 40 if width > NARROW else 30), Column("What was found")], rows, width, tag="finding")


def _waivers(led: Iterable[Led], width: float) -> Iterator[Block]:
    rows = [(one.code, one.was, one.now, one.reason) for one in led]
    if rows:
        yield Heading("Waivers to write anew")
        yield lay_out([Column("Code", 40 if width > NARROW else 30), Column("Names", 25), Column("Is now", 25), Column("Reason")], rows, width, tag="waiver")


def _labels(labels: Iterable[LabelChange], width: float) -> Iterator[Block]:
    """Labels of a wire that is gone go with it."""
    rows = [(label.wire, {UNKNOWN: "unknown end", OPEN: "open end"}.get(label.at, label.at), label.was or "none", label.now) for label in labels if label.now]
    if rows:
        yield Heading("Labels to replace")
        yield lay_out([Column("Wire", 20), Column("At", 30 if width > NARROW else 22), Column("Take off"), Column("Put on")], rows, width, tag="label")
