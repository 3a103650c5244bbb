"""Tables of a sheet before they are laid out: keyed rows, so that two versions of a table can be set against each other.

Takes columns and rows of cells, or stacks of lines (``sheets/stacks.py``); gives a Layout
of ``drawing.table``. A row's key says what the row is about, in both versions; parts of a
key that name a thing are (Thing, id). Where a row has a mark, the table has a column for
the revision triangles. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from ..drawing.table import PAD, Band, CellContent, Clouded, Column, Layout, Mark, Row, Struck, lay_out, mark_width
from ..revision.changes import Thing
from .list_cells import filled
from .stacks import Reading, Stack, fit_widths, stack_rows, table_columns

REV = "Rev."

Key = tuple[str | tuple[Thing, str], ...]
Blocks = tuple[tuple[tuple[str, ...], ...], ...]
"""Columns that belong together in the lines of a stack: blocks that stand independently side by side, each
of levels, the outer first (a terminal has wires, a wire has far ends). The first column of a level names what
a line begins there. Columns in no block are compared line by line."""

WIRE_BLOCK = (("wire", "size", "colour", "swatch", "stated"), ("ends", "through"))
"""The levels of the lines of ``sheets/wire_lines.py``."""


@dataclass(frozen=True, slots=True)
class Listing:
    """A cell of many short texts, set in lines as wide as the column; ``gone`` are struck below them."""

    texts: tuple[str, ...]
    between: str
    gone: tuple[str, ...] = ()
    clouded: bool = False


PlainRow = tuple[CellContent | Listing | Reading, ...]


@dataclass(frozen=True, slots=True)
class Keyed:
    """A row, what it is about, and its revision mark where it differs from the version before.

    at: things it is also about, named as findings name them: it has their flags
    """

    key: Key
    row: PlainRow | Stack | Band
    mark: Mark | None = None
    at: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlainTable:
    """Rows of cells.

    key: which table of its sheet it is; named: the column a row is known by; free: columns that are not
    compared; most_lines: a row with a cell of more lines is parted into several; across: so many rows
    stand side by side, each in its own columns, where no row has a mark; is_whole: it begins on a
    page that holds all of it, where there is one; is_flagged: its rows have the flags of the findings at what they are about
    """

    key: Key
    columns: tuple[Column, ...]
    rows: tuple[Keyed, ...]
    width: float
    pitch: float = 5.5
    tag: str = "table"
    named: int = 0
    free: frozenset[int] = frozenset()
    most_lines: int | None = None
    across: int = 1
    is_whole: bool = False
    is_flagged: bool = True


@dataclass(frozen=True, slots=True)
class StackTable:
    """Rows of stacks: heads, fixed, grows as ``stacks.fit_widths`` takes them.

    key: which table of its sheet it is; named: the column a row is known by; blocks: see Blocks;
    optional: columns left out where nothing stands in them
    """

    key: Key
    heads: Mapping[str, str]
    rows: tuple[Keyed, ...]
    width: float
    fixed: Mapping[str, float]
    grows: tuple[str, ...]
    named: str
    blocks: Blocks = (WIRE_BLOCK,)
    optional: tuple[str, ...] = ()
    tag: str = "table"
    is_flagged: bool = True


Table = PlainTable | StackTable


def lay_table(table: Table) -> Layout:
    """A table with its texts broken and its widths reckoned."""
    marks = max((mark_width(keyed.mark) for keyed in table.rows if keyed.mark), default=0.0)
    return _lay_plain(table, marks) if isinstance(table, PlainTable) else _lay_stacks(table, marks)


def _lay_plain(table: PlainTable, marks: float) -> Layout:
    """marks: the width of the column of revision marks, 0 where no row has one."""
    if table.across > 1 and not marks:
        table = _side_by_side(table)
    columns = [*table.columns, *([Column(REV, marks)] if marks else [])]
    rooms = _rooms(columns, table.width)
    rows: list[Row] = []
    for keyed in table.rows:
        if isinstance(keyed.row, Band):
            rows.append(keyed.row)
            continue
        cells = [_filled(cell, room) if isinstance(cell, Listing) else cell.text if isinstance(cell, Reading) else cell for cell, room in zip(keyed.row, rooms)]
        if marks:
            cells.append(keyed.mark or "")
        rows += _parted(cells, table.most_lines) if table.most_lines else [cells]
    return lay_out(columns, rows, table.width, pitch=table.pitch, tag=table.tag, is_whole=table.is_whole)


def _side_by_side(table: PlainTable) -> PlainTable:
    across, cells = table.across, [keyed.row for keyed in table.rows]
    columns = (*table.columns, *(replace(column, head="") for column in table.columns * (across - 1)))
    empty = [("",) * len(table.columns)] * (-len(cells) % across)
    rows = [sum(group, ()) for group in zip(*[iter([*cells, *empty])] * across, strict=True)]
    return replace(table, columns=columns, rows=keyed_rows(((), row) for row in rows), across=1)


def _rooms(columns: Sequence[Column], width: float) -> list[float]:
    """The width for text in each column."""
    left = width - sum(column.width_mm or 0.0 for column in columns)
    weights = sum(column.weight for column in columns if column.width_mm is None)
    return [(left * column.weight / weights if column.width_mm is None else column.width_mm) - 2 * PAD for column in columns]


def _filled(listing: Listing, room: float) -> CellContent:
    lines = (*filled(listing.texts, room, listing.between), *map(Struck, filled(listing.gone, room, listing.between)))
    return Clouded(lines) if listing.clouded else lines


def _parted(cells: Sequence[CellContent], most: int) -> list[Row]:
    """A row, or several of at most ``most`` lines where a cell has more; the other cells stand in each."""
    many = max((len(lines) for cell in cells if (lines := _lines_of(cell))), default=0)
    return [[_part(cell, start, most) for cell in cells] for start in range(0, max(many, 1), most)]


def _lines_of(cell: CellContent) -> tuple:
    return cell.parts if isinstance(cell, Clouded) else cell if isinstance(cell, tuple) else ()


def _part(cell: CellContent, start: int, most: int) -> CellContent:
    lines = _lines_of(cell)
    if len(lines) <= most:
        return cell
    part = lines[start:start + most]
    return Clouded(part) if isinstance(cell, Clouded) else part


def _lay_stacks(table: StackTable, marks: float) -> Layout:
    stacks = [keyed.row for keyed in table.rows if isinstance(keyed.row, Stack)]
    heads = {key: head for key, head in table.heads.items() if key not in table.optional or any(_stands(stack, key) for stack in stacks)}
    fixed = {key: width for key, width in table.fixed.items() if key in heads}
    if marks:
        heads["rev"], fixed["rev"] = REV, marks
    # where all that grow are left out, the last of the others does
    grows = [key for key in table.grows if key in heads] or [key for key in heads if key not in fixed][-1:]
    widths = fit_widths(heads, [stack.spread() for stack in stacks], table.width, fixed=fixed, grows=grows)
    rows: list[Row] = []
    for keyed in table.rows:
        if isinstance(keyed.row, Band):
            rows.append(keyed.row)
        elif isinstance(keyed.row, Stack):
            rows += stack_rows(_with_mark(keyed.row, keyed.mark) if marks else keyed.row, widths)
    return lay_out(table_columns(heads, widths), rows, table.width, tag=table.tag)


def _stands(stack: Stack, key: str) -> bool:
    return any(line.get(key) for line in stack.lines) or any(stack.whole.get(key, ()))


def _with_mark(stack: Stack, mark: Mark | None) -> Stack:
    return Stack(stack.lines, {**stack.whole, "rev": (mark or "",)})


def keyed_rows(rows: Iterable[tuple[Key, PlainRow | Stack | Band]]) -> tuple[Keyed, ...]:
    """Rows with their keys, none marked."""
    return tuple(Keyed(key, row) for key, row in rows)
