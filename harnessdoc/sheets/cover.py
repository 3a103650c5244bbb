"""The cover: what the book is, what it was made from, and how much of it is still open.

Fuses and grounds stand here in short where the page has room for them; else the
cover says on which sheet they are.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.record import Drawing
from ..drawing.table import PAD, Column, EmptyBox, Layout, LinkText, Row, draw_table, lay_out
from ..model.harness import Harness
from ..rules.not_known_yet import count_unknowns
from .cavity_order import counted
from .context import Context, SheetKind, SheetRef
from .findings import MEANINGS, printed_findings
from .flow import DATA, Block, Drawn, Heading, Words, free_area, height_of, set_pages
from .list_cells import sheet_link

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
NARROW = 150.0
"""A page that leaves no more width than this has fewer fields and tables side by side."""

NOT_CHECKED = "Not checked by the program: currents, fuses against wires, and whether the signals joined fit each other."
"""Said on the cover, so that no finding is not read as no fault."""
_PLURALS = {"fuse": "fuses", "fusible link": "fusible links", "relay": "relays", "diode": "diodes", "resistor": "resistors"}


def draw_cover(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """One page where the description allows; the lists in short are what gives way."""
    area = free_area(context.paper, "portrait")
    blocks: list[Block] = [_title(context.harness, area.w), _fields(_about(context.harness), area.w, 3 if area.w > NARROW else 2)]
    if context.harness.note:
        blocks.append(Words(context.harness.note))
    cautions = _sheet(context, SheetKind.CAUTIONS)
    if cautions:
        blocks.append(Words(f"Read the cautions on sheet {cautions.number} before any work.", "bold", 3.5))
    blocks += [Heading("In this book"), _fields(_counts(context.harness), area.w, 6 if area.w > NARROW else 4), _beside([_unknowns(context, area.w), _found(context, area.w)], (area.w + BETWEEN) / 2)]
    blocks.append(Words(NOT_CHECKED, "bold"))
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


def _about(harness: Harness) -> list[tuple[str, str]]:
    last = harness.log[-1] if harness.log else None
    return [
        ("Legal owner", harness.owner), ("Identification number", harness.number),
        ("Revision", f"{last.revision} of {last.date}" if last and last.date else last.revision if last else ""), ("Made from", harness.file),
        ("Created by", harness.by), ("Supply", harness.supply),
    ]


def _counts(harness: Harness) -> list[tuple[str, str]]:
    kinds = Counter(part.kind for part in harness.parts.values())
    counts = [("wires", len(harness.wires)), ("connectors", len(harness.connectors)), ("splices", len(harness.splices)), ("grounds", len(harness.grounds)),
              ("segments", len(harness.segments)), ("cables", len(harness.cables)), ("pairs", len(harness.pairs)),
              *((_PLURALS[kind], kinds[kind]) for kind in _PLURALS)]
    return [(name, str(count)) for name, count in counts if count]


def _fields(fields: Sequence[tuple[str, str]], width: float, across: int) -> Drawn:
    """Captions with their values in a ruled grid; an empty value leaves room to write."""
    rows = -(-len(fields) // across)
    wide = width / across

    def draw(pen: Pen, x: float, y: float) -> None:
        for number in range(rows + 1):
            pen.line(x, y + number * FIELD_ROW, x + width, y + number * FIELD_ROW, tag="fields")
        for index, (caption, value) in enumerate(fields):
            left, top = x + index % across * wide, y + index // across * FIELD_ROW
            pen.text(left + 1, top + 1.5 + CAPTION, cut(caption, wide - 2, CAPTION), CAPTION, tag="fields")
            pen.text(left + 1, top + FIELD_ROW - 1.7, cut(value, wide - 2, VALUE, "bold"), VALUE, weight="bold", tag="fields")

    return Drawn(rows * FIELD_ROW, draw)


# ------------------------------------------------------------- what is still open

def _unknowns(context: Context, width: float) -> Layout:
    counts = count_unknowns(context.harness)
    rows: list[Row] = [(f"{kind} of wires" if kind in ("far end", "size", "colour", "insulation") else kind, str(count), EmptyBox("found")) for kind, count in counts.items()]
    return lay_out([Column("Not known yet"), Column("How many", 14, anchor="end"), Column("All found", 13)], rows or [("nothing", "", "")], (width - BETWEEN) / 2, pitch=PITCH)


def _found(context: Context, width: float) -> Layout:
    counts = Counter(finding.severity for finding in printed_findings(context))
    sheet = _sheet(context, SheetKind.FINDINGS)
    rows: list[Row] = [(sheet_link(severity.word, sheet if counts[severity] else None), str(counts[severity]), EmptyBox("settled") if counts[severity] else "") for severity in MEANINGS]
    return lay_out([Column("Findings"), Column("How many", 14, anchor="end"), Column("All settled", 14)], rows, (width - BETWEEN) / 2, pitch=PITCH)


def _beside(tables: Sequence[Layout], step: float) -> Drawn:
    """Tables side by side, the left edges ``step`` mm apart."""

    def draw(pen: Pen, x: float, y: float) -> None:
        for number, table in enumerate(tables):
            draw_table(pen, x + number * step, y, table)

    return Drawn(max(table.height(0, len(table.rows)) for table in tables), draw)


# ---------------------------------------------------------------- the lists in short

def _fuses(context: Context, sheet: SheetRef, width: float, across: int) -> list[Block]:
    """Position, rating, feeds."""
    parts = sorted((part for part in context.harness.parts.values() if part.kind in ("fuse", "fusible link", "relay")), key=lambda part: counted(part.id))
    return _short(context, sheet, across, [Column("Position", 12), Column("Rating", 11), Column("Feeds")], width,
                  [(part.id, part.rating.stated if part.rating else None, part.feeds or part.title) for part in parts])


def _grounds(context: Context, sheet: SheetRef, width: float, across: int) -> list[Block]:
    return _short(context, sheet, across, [Column("Ground", 12), Column("Metal", 15), Column("Where")], width,
                  [(ground.id, ground.metal, ground.title or ground.place or "") for ground in context.harness.grounds.values()])


def _short(context: Context, sheet: SheetRef, across: int, columns: list[Column], width: float, entries: Sequence[tuple[str, str | None, str]]) -> list[Block]:
    """A list in narrow tables side by side; None is an empty box. Only what stands last may take lines: a chart at the front must be whole."""
    if not entries:
        return []
    across = min(len(entries), across)
    each = (width - (across - 1) * BETWEEN) / across
    rows: list[Row] = []
    for entry in entries:
        first, second = (cut(text or "", (column.width_mm or 0.0) - 2 * PAD, DATA) for text, column in zip(entry[:2], columns[:2], strict=True))
        rows.append((LinkText(first, context.sheet_of.get(entry[0], sheet).name), EmptyBox("unknown") if entry[1] is None else second, entry[2]))
    count = -(-len(rows) // across)
    tables = [lay_out(columns, rows[start:start + count], each, pitch=PITCH) for start in range(0, len(rows), count)]
    return [Heading(f"{sheet.kind.value} → {sheet.number}"), _beside(tables, each + BETWEEN)]


def _log(context: Context, width: float) -> Iterator[Block]:
    entries = context.harness.log[-LAST_ENTRIES:]
    if entries:
        wide = width > NARROW
        yield Heading("Last changes" if len(context.harness.log) > LAST_ENTRIES else "Changes")
        yield lay_out([Column("Revision", 14 if wide else 13), Column("Date", 21), Column("By", 26 if wide else 17), Column("Reading", 21 if wide else 15), Column("Why")],
                      [(entry.revision, entry.date, entry.by, entry.reading, entry.why) for entry in reversed(entries)], width, pitch=PITCH)
