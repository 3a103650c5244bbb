"""The cover: what the book is, what it was made from, and how much of it is still open.

Fuses and grounds stand here in short where the page has room for them; else the
cover says on which sheet they are.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.record import Drawing
from ..drawing.revision_marks import HIGH, draw_cloud, draw_struck, draw_triangle
from ..drawing.table import CLOUD_INSET, CLOUD_PAD, MARK_WIDTH, PAD, Column, EmptyBox, Layout, LinkText, Mark, draw_table
from ..model.harness import Harness, Revision
from ..network.cavity_order import counted
from ..revision.changes import Thing
from ..rules.faults.not_known_yet import count_unknowns
from .context import Context, SheetKind, SheetRef
from .cover_merge import merge_blocks, merge_counts
from .findings import MEANINGS, printed_findings
from .flow import DATA, Block, Drawn, Heading, Words, free_area, height_of, set_pages
from .list_cells import sheet_link
from .marking import marked_layout, marked_table
from .tables import Key, PlainRow, PlainTable, keyed_rows, lay_table

TITLE_HEIGHTS = (10.0, 7.0, 5.0)
"""Heights the title is tried in; the last is broken into at most TITLE_LINES lines."""
TITLE_LINES = 3
CAPTION = 1.8
VALUE = 3.5
FIELD_ROW = 9.5
BETWEEN = 6.0
"""Free space between two tables side by side."""
ACROSS = (2, 3)
"""Into how many tables side by side a short list is parted: the first that leaves all on one page."""
PITCH = 5.0
"""Of the rows of its tables in mm: the least there is, so that the fuses find room."""
LAST_ENTRIES = 5
FIELD_WAS, FIELD_STRUCK = 5.5, 5.0
"""Height of a row of fields above FIELD_ROW where a value has changed, and from its baseline to that of the old one."""
NAMED = (12.0, 0.35)
"""Width of a column of ids: at least so many mm, at most this share of its table."""
NARROW = 150.0
"""A page that leaves no more width than this has fewer fields and tables side by side."""

NOT_SEEN = "What no program can see (crimps, chafe, water, a source book of another vehicle) stands as questions on the check sheet"
NOT_SOLVED = "The circuit was not solved: no current and no volt is held against wires, fuses and relays."
"""Said on the cover, so that no finding is not read as no fault."""
ACCEPTED, NOT_ASKED = "accepted, with a reason", "questions not asked"
_Entry = tuple[tuple[Thing, str], str | None, str]
"""What a line of a list in short is about, its second cell, its last."""
_PLURALS = {"fuse": "fuses", "fusible link": "fusible links", "relay": "relays", "diode": "diodes", "resistor": "resistors"}


def draw_cover(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """One page where the description allows; the lists in short are what gives way."""
    area = free_area(context.paper, "portrait")
    blocks: list[Block] = [_title(context.harness, area.w), *_was(context, "", lambda harness: harness.title), _fields(context, _about, area.w, 3 if area.w > NARROW else 2)]
    blocks += _was(context, context.harness.note, lambda harness: harness.note) or ([Words(context.harness.note)] if context.harness.note else [])
    cautions = _sheet(context, SheetKind.CAUTIONS)
    if cautions:
        blocks.append(Words(f"Read the cautions on sheet {cautions.number} before any work.", "bold", 3.5))
    blocks += merge_blocks(context, area.w)
    blocks += [Heading("In this book"), _fields(context, _counts, area.w, 6 if area.w > NARROW else 4),
               _beside([marked_layout(context, lambda version: _unknowns(version, area.w)), marked_layout(context, lambda version: _found(version, area.w))], (area.w + BETWEEN) / 2)]
    blocks += _told(context)
    log = list(_log(context, area.w))
    wanted = [(make, sheet) for make, sheet in ((_fuses, _sheet(context, SheetKind.FUSES)), (_grounds, _sheet(context, SheetKind.GROUNDS))) if sheet]
    # Room for a pointer to each list is kept until that list has found its place.
    pointers: list[Block] = [Words(f"{sheet.kind.value}: sheet {sheet.number}.") for _, sheet in wanted]
    at = 0
    for make, sheet in wanted:
        others = pointers[:at] + pointers[at + 1:]
        shorts = (make(context, sheet, area.w, across) for across in ACROSS)
        short = next((short for short in shorts if height_of([*blocks, *short, *others, *log], area) <= area.h), None)
        if short is None:
            at += 1
        else:
            blocks, pointers = [*blocks, *short], others
    return set_pages(context, ref, [*blocks, *pointers, *log])


def _told(context: Context) -> Iterator[Words]:
    """How a finding is found again, and what the findings do not speak of."""
    findings, check = _sheet(context, SheetKind.FINDINGS), _sheet(context, SheetKind.CHECK)
    if findings and context.numbers_at:
        yield Words(f"A number in a hexagon on a sheet is the finding of that number, sheet {findings.number}.")
    if context.operation is None:
        yield Words(NOT_SOLVED, "bold")
    yield Words(f"{NOT_SEEN}{f', sheet {check.number}' if check else ''}.", "bold")


def _sheet(context: Context, kind: SheetKind) -> SheetRef | None:
    return next((sheet for sheet in context.sheets if sheet.kind is kind), None)


# -------------------------------------------------------------- title and fields

def _title(harness: Harness, width: float) -> Drawn:
    """The title as large as it fits on one line, else in lines, the last cut."""
    text = harness.title or harness.file
    height = next((h for h in TITLE_HEIGHTS if text_width(text, h, "bold") <= width), TITLE_HEIGHTS[-1])
    lines = wrap(text, width, height, "bold")
    if len(lines) > TITLE_LINES:
        lines = [*lines[: TITLE_LINES - 1], cut(" ".join(lines[TITLE_LINES - 1:]), width, height, "bold")]
    pitch = 1.6 * height

    def draw(pen: Pen, x: float, y: float) -> None:
        for number, line in enumerate(lines):
            pen.text(x, y + height + number * pitch, line, height, weight="bold", tag="title")

    return Drawn(height + (len(lines) - 1) * pitch + 0.4 * height, draw)


def _was(context: Context, text: str, said: Callable[[Harness], str]) -> list[Block]:
    """Running words with what was said in the version before, where that was something else; else nothing."""
    since = context.since
    if since is None or said(since.before.harness) == said(context.harness):
        return []
    return [Words(text, was=said(since.before.harness), mark=Mark(since.letter))]


def _about(context: Context) -> list[tuple[str, str]]:
    harness = context.harness
    last = harness.log[-1] if harness.log else None
    return [
        ("Legal owner", harness.owner), ("Identification number", harness.number),
        ("Revision", f"{last.revision} of {last.date}" if last and last.date else last.revision if last else ""), ("Made from", harness.file),
        ("Created by", harness.by), ("Supply", harness.supply),
    ]


def _counts(context: Context) -> list[tuple[str, str]]:
    harness = context.harness
    kinds = Counter(part.kind for part in harness.parts.values())
    counts = [("wires", len(harness.wires)), ("connectors", len(harness.connectors)), ("splices", len(harness.splices)), ("grounds", len(harness.grounds)),
              ("segments", len(harness.segments)), ("cables", len(harness.cables)), ("pairs", len(harness.pairs)),
              *((_PLURALS[kind], kinds[kind]) for kind in _PLURALS)]
    return [*((name, str(count)) for name, count in counts if count), *merge_counts(context)]


@dataclass(frozen=True, slots=True)
class _Field:
    """A caption with its value, and where the version before had another, that."""

    caption: str
    value: str
    was: str
    differs: bool


def _fields(context: Context, fields_of: Callable[[Context], list[tuple[str, str]]], width: float, across: int) -> Drawn:
    """Captions with their values in a ruled grid; an empty value leaves room to write. What differs has a cloud, the old value struck and the triangle."""
    fields = _compared(context, fields_of)
    wide = width / across
    rows = [fields[start:start + across] for start in range(0, len(fields), across)]
    longer = [FIELD_WAS if any(field.differs for field in row) else 0.0 for row in rows]
    tops = [number * FIELD_ROW + sum(longer[:number]) for number in range(len(rows) + 1)]
    letter = context.since.letter if context.since else ""

    def draw(pen: Pen, x: float, y: float) -> None:
        for top in tops:
            pen.line(x, y + top, x + width, y + top, tag="fields")
        for row, top, more in zip(rows, tops, longer, strict=False):
            for index, field in enumerate(row):
                _draw_field(pen, x + index * wide, y + top, wide, FIELD_ROW + more, field, letter)

    return Drawn(tops[-1], draw)


def _compared(context: Context, fields_of: Callable[[Context], list[tuple[str, str]]]) -> list[_Field]:
    now = fields_of(context)
    before = dict(fields_of(context.since.before)) if context.since else dict(now)
    gone = [(caption, "") for caption in before if caption not in dict(now)]
    return [_Field(caption, value, was, was != value) for caption, value in (*now, *gone) for was in (before.get(caption, ""),)]


def _draw_field(pen: Pen, left: float, top: float, wide: float, tall: float, field: _Field, letter: str) -> None:
    x = left + 1 + (CLOUD_PAD if field.differs else 0.0)
    room = wide - 2 - (MARK_WIDTH + 2 * CLOUD_PAD if field.differs else 0.0)
    base = top + FIELD_ROW - 1.7
    pen.text(x, top + 1.5 + CAPTION, cut(field.caption, room, CAPTION), CAPTION, tag="fields")
    pen.text(x, base, cut(field.value, room, VALUE, "bold"), VALUE, weight="bold", tag="fields")
    if field.differs:
        draw_struck(pen, x, base + FIELD_STRUCK if field.value else base, cut(field.was, room, DATA))
        draw_cloud(pen, left, top + CLOUD_INSET, wide - MARK_WIDTH, tall - 2 * CLOUD_INSET)
        draw_triangle(pen, left + wide - MARK_WIDTH + PAD, top + (tall - HIGH) / 2, letter)


# ------------------------------------------------------------- what is still open

def _unknowns(context: Context, width: float) -> PlainTable:
    counts = count_unknowns(context.harness)
    rows = [((kind,), (f"{kind} of wires" if kind in ("far end", "size", "colour", "insulation") else kind, str(count), EmptyBox("found"))) for kind, count in counts.items()]
    columns = (Column("Not known yet"), Column("How many", 14, anchor="end"), Column("All found", 13))
    return PlainTable(("unknowns",), columns, keyed_rows(rows or [(("nothing",), ("nothing", "", ""))]), (width - BETWEEN) / 2, pitch=PITCH)


def _found(context: Context, width: float) -> PlainTable:
    counts = Counter(finding.severity for finding in printed_findings(context))
    sheet = _sheet(context, SheetKind.FINDINGS)
    rows = [((severity.word,), (sheet_link(severity.word, sheet if counts[severity] else None), str(counts[severity]), EmptyBox("settled") if counts[severity] else "")) for severity in MEANINGS]
    rows += [((words,), (sheet_link(words, sheet), str(len(things)), "")) for words, things in ((ACCEPTED, context.waived), (NOT_ASKED, context.unasked)) if things]
    columns = (Column("Findings"), Column("How many", 14, anchor="end"), Column("All settled", 14))
    return PlainTable(("findings",), columns, keyed_rows(rows), (width - BETWEEN) / 2, pitch=PITCH)


def _beside(tables: Sequence[Layout], step: float) -> Drawn:
    """Tables side by side, the left edges ``step`` mm apart."""

    def draw(pen: Pen, x: float, y: float) -> None:
        for number, table in enumerate(tables):
            draw_table(pen, x + number * step, y, table)

    return Drawn(max(table.height(0, len(table.rows)) for table in tables), draw)


# ---------------------------------------------------------------- the lists in short

def _fuses(context: Context, sheet: SheetRef, width: float, across: int) -> list[Block]:
    """Position, rating, feeds."""
    return _short(context, sheet, across, (Column("Position", _widest(context.harness.parts, width, across)), Column("Rating", 11), Column("Feeds")), width, _fuse_entries)


def _widest(ids: Iterable[str], width: float, across: int) -> float:
    """Width of a column of ids, so that those of a merge stand whole; a longer one is cut. width: of all tables that stand ``across`` side by side."""
    least, share = NAMED
    each = (width - (across - 1) * BETWEEN) / across
    return max(least, min(share * each, max((text_width(id, DATA) + 2 * PAD + 0.1 for id in ids), default=0.0)))


def _fuse_entries(harness: Harness) -> list[_Entry]:
    parts = sorted((part for part in harness.parts.values() if part.kind in ("fuse", "fusible link", "relay")), key=lambda part: counted(part.id))
    return [((Thing.PART, part.id), part.rating.stated if part.rating else str(part.size) if part.size else None, part.feeds or part.title) for part in parts]


def _grounds(context: Context, sheet: SheetRef, width: float, across: int) -> list[Block]:
    return _short(context, sheet, across, (Column("Ground", _widest(context.harness.grounds, width, across)), Column("Metal", 15), Column("Where")), width, _ground_entries)


def _ground_entries(harness: Harness) -> list[_Entry]:
    return [((Thing.GROUND, ground.id), ground.metal, ground.title or ground.place or "") for ground in harness.grounds.values()]


def _short(context: Context, sheet: SheetRef, across: int, columns: tuple[Column, ...], width: float, entries_of: Callable[[Harness], list[_Entry]]) -> list[Block]:
    """A list in narrow tables side by side; None is an empty box. Only what stands last may take lines: a chart at the front must be whole."""

    def whole(version: Context) -> PlainTable:
        rows: list[tuple[Key, PlainRow]] = []
        for about, second, third in entries_of(version.harness):
            name, stated = (cut(text or "", (column.width_mm or 0.0) - 2 * PAD, DATA) for text, column in zip((about[1], second), columns[:2], strict=True))
            rows.append(((about,), (LinkText(name, version.sheet_of.get(about[1], sheet).name), EmptyBox("unknown") if second is None else stated, third)))
        return PlainTable((sheet.kind.name,), columns, keyed_rows(rows), width)

    table = marked_table(context, whole)
    if not table.rows:
        return []
    across = min(len(table.rows), across)
    each = (width - (across - 1) * BETWEEN) / across
    count = -(-len(table.rows) // across)
    tables = [lay_table(replace(table, rows=table.rows[start:start + count], width=each, pitch=PITCH)) for start in range(0, len(table.rows), count)]
    return [Heading(f"{sheet.kind.value} → {sheet.number}"), _beside(tables, each + BETWEEN)]


def _log(context: Context, width: float) -> Iterator[Block]:
    """The last entries of the change log, the latest first. An older one that no longer finds room is no change."""
    log = context.harness.log
    if log:
        wide = width > NARROW
        columns = (Column("Revision", 14 if wide else 13), Column("Date", 21), Column("By", 26 if wide else 17), Column("Reading", 21 if wide else 15), Column("Why"))

        def last(version: Context) -> PlainTable:
            entries = [_log_row(entry) for entry in version.harness.log]
            shown = [row for row in entries if row not in earlier] if version is not context else entries[-LAST_ENTRIES:]
            return PlainTable(("log",), columns, keyed_rows(((row[0], row[1], row[4]), row) for row in reversed(shown)), width, pitch=PITCH)

        earlier = [_log_row(entry) for entry in log[:-LAST_ENTRIES]]
        yield Heading("Last changes" if len(log) > LAST_ENTRIES else "Changes")
        yield marked_layout(context, last)


def _log_row(entry: Revision) -> tuple[str, str, str, str, str]:
    return entry.revision, entry.date, entry.by, entry.reading, entry.why
