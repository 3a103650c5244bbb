"""What differs at a splice from the version before: its block with the marks of revision.

Takes a Context whose sheets show what changed and a splice of it; gives its Block,
in which every member that differs knows its old values and has the room for them.
What is compared is what is printed: the block of the same splice in the version
before, laid out alike. Numbers of sheets are no difference. Members that are gone
stand at the end of the half with less in it, under a heading of their own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..drawing.flag_notes import FLAG_HIGH
from ..drawing.revision_marks import HIGH
from ..model.harness import Splice
from ..revision.changes import Thing
from .change_marks import BESIDE, DOWN, LINE, STRUCK, UP, struck_lines
from .context import Context, Since
from .flags import flags_at
from .head_marks import gone_beside
from .splice_block import DATA, GAP, SWATCH, Block, Columns, Heading, Item, Row, RowMarks, columns_of, make_block

LIFT = 0.5
"""A label with clouds stands this much higher over its line."""
DROP = 0.8
"""A circuit with a cloud stands this much lower under its line."""
TRIANGLE = 3.3
"""From a wire's line to the lower edge of the triangle over its far end."""
FLAGS = 4.4
"""From a wire's line up to the middle of the flags over its far end."""
FLAGS_ROOM = FLAGS + FLAG_HIGH / 2 + 0.3
ACCENT = 3.6
"""From a baseline to the top of what may stand on it."""
FAR_APART = 0.5
"""The far end of a member that differs stands this much further from the end of its line, so that a cloud keeps clear of that."""
EDGE = FAR_APART + BESIDE
"""Kept free at the outer ends for the clouds of far ends."""
HEADING_STRUCK = 4.2
"""From the baseline of a heading up to that of its old copper."""
HEADING_ROOM = HEADING_STRUCK + 0.7
"""A heading with old copper over it, as high as data, is this much higher."""
GONE = "no longer joined"
MOST = 4
"""Lines of an old value."""


def splice_block(context: Context, splice: Splice, width: float) -> Block:
    """The block of a splice, with what differs from the version before where there is one, and the flags of its wires."""
    block = _marked_block(context, splice, width)
    return replace(block, left=_flagged(context, block.left), right=_flagged(context, block.right)) if context.numbers_at else block


def _flagged(context: Context, half: Sequence[Item]) -> tuple[Item, ...]:
    return tuple(replace(item, flags=flags, above=max(item.above, FLAGS_ROOM)) if isinstance(item, Row) and not (item.marks and item.marks.gone)
                 and (flags := flags_at(context, (f"wire {item.wire.id}",))) else item for item in half)


def _marked_block(context: Context, splice: Splice, width: float) -> Block:
    block = make_block(context.harness, context.geometry, splice, width, context.convention)
    since = context.since
    if since is None:
        return block
    was = since.comparison.pairing.before(Thing.SPLICE, splice.id)
    if was is None:
        return replace(block, new=True)
    before = since.before
    old = make_block(before.harness, before.geometry, before.harness.splices[was], width, context.convention)
    columns = _wider(block.columns, old.columns, width)
    block = make_block(context.harness, context.geometry, splice, width, context.convention, columns)
    old = make_block(before.harness, before.geometry, before.harness.splices[was], width, context.convention, columns)
    old_rows = {row.wire.id: (row, side) for row, side in _rows(old)}
    named_once = _copper_of_sides(block)
    sides = {side: copper for side, copper in _copper_of_sides(old).items() if side in named_once}
    halves = [[_marked(since, item, side, old_rows, sides, columns) for item, side in _with_sides(half)] for half in (block.left, block.right)]
    here = {row.wire.id for row, _ in _rows(block)}
    gone = [_gone(row) for row, _ in old_rows.values() if since.comparison.pairing.now(Thing.WIRE, row.wire.id) not in here]
    if gone:
        heights = [sum(item.above + item.below for item in half) for half in halves]
        halves[0 if heights[0] <= heights[1] else 1] += [Heading(GONE), *gone]
    return replace(block, left=tuple(halves[0]), right=tuple(halves[1]), before=old)


def gone_splices(context: Context, subjects: Sequence[str]) -> list[str]:
    """The splices that are gone and stood behind one of ``subjects`` (or before the first), in words."""
    if context.since is None:
        return []
    before = context.since.before.harness
    return [f"{', '.join(filter(None, (name, before.splices[name].title)))}: {', '.join(before.wires_at.get(name, ())) or 'no wire'}"
            for name in gone_beside(context, Thing.SPLICE, before.splices, subjects)]


def _wider(a: Columns, b: Columns, width: float) -> Columns:
    return columns_of(max(a.number, b.number), max(a.size, b.size), max(a.letters, b.letters), width - 2 * EDGE)


def _copper_of_sides(block: Block) -> dict[str, str]:
    """The copper of each side; not where both halves bear one name, as then the wires are only spread over them."""
    headings = [item for item in (*block.left, *block.right) if isinstance(item, Heading)]
    names = [heading.side for heading in headings]
    return {heading.side: heading.copper for heading in headings if names.count(heading.side) == 1}


def _with_sides(half: Sequence[Item]) -> Iterator[tuple[Item, str]]:
    """Each item with the side it stands under."""
    side = ""
    for item in half:
        side = item.side if isinstance(item, Heading) else side
        yield item, side


def _rows(block: Block) -> Iterator[tuple[Row, str]]:
    return ((item, side) for half in (block.left, block.right) for item, side in _with_sides(half) if isinstance(item, Row))


def _marked(since: Since, item: Item, side: str, old_rows: dict[str, tuple[Row, str]], sides: dict[str, str], columns: Columns) -> Item:
    if isinstance(item, Heading):
        was = sides.get(side, item.copper)
        return replace(item, was=was, above=item.above + HEADING_ROOM) if was != item.copper else item
    old_id = since.comparison.pairing.before(Thing.WIRE, item.wire.id)
    if old_id not in old_rows:
        return _with_room(item, RowMarks(new=True), columns)
    row, old_side = old_rows[old_id]
    marks = _differences(item, side, row, old_side, columns)
    return _with_room(item, marks, columns) if marks != RowMarks() else item


def _differences(row: Row, side: str, old: Row, old_side: str, columns: Columns) -> RowMarks:
    size, old_size = str(row.wire.size or ""), str(old.wire.size or "")
    far, old_far, words = [line.text for line in row.far], [line.text for line in old.far], {line.whole for line in row.far}
    pairs = {
        "number": (row.wire.id, old.wire.id), "size": (size, old_size), "letters": (row.letters, old.letters),
        "circuit": (row.wire.circuit, old.wire.circuit), "far": (far, old_far), "side": (side, old_side),
    }
    differ = frozenset(name for name, (now, was) in pairs.items() if now != was)
    return RowMarks(
        differ, old.wire.id if "number" in differ else "", old_size if "size" in differ else "", old.letters if "letters" in differ else "",
        struck_lines(old.wire.circuit, columns.label, MOST) if "circuit" in differ else (), old_side if "side" in differ else "",
        tuple(line.text for line in old.far if line.text and line.whole not in words) if "far" in differ else (),
    )


def _with_room(row: Row, marks: RowMarks, columns: Columns) -> Row:
    """The row with its marks, and as much higher as they need."""
    number = LINE * len(row.number) + 1.2 if row.apart else 0.0
    struck = STRUCK - UP + ACCENT if marks.was_number or marks.was_size or marks.was_letters else 0.0
    above = max(row.above + LIFT, 1.5 + LIFT + UP + number + struck, TRIANGLE + HIGH + 0.2)
    circuit = 1.3 + DATA + LINE * (max(len(row.circuit), 1 if row.beside else 0) - 1)
    if "circuit" in marks.clouds:
        circuit += DROP + DOWN
    lines = len(marks.was_circuit) + (1 if marks.was_side else 0)
    under = circuit + (STRUCK - DOWN + LINE * (lines - 1) + DOWN if lines else 0.8)
    far = DATA / 2 + LINE * max(0, len(row.far) - 1) + (STRUCK + LINE * (len(marks.was_far) - 1) if marks.was_far else DOWN)
    return replace(row, marks=marks, above=above, below=max(row.below, under + 0.5, far + 1.2))


def _gone(row: Row) -> Row:
    """An old member as it is drawn struck through: nothing of it goes on."""
    return replace(row, marks=RowMarks(gone=True), above=max(row.above + LIFT, TRIANGLE + HIGH + 0.2))


def label_rise(row: Row) -> float:
    """How much higher than usual the label of a row stands over its line."""
    return LIFT if row.marks else 0.0


def struck_rise(row: Row) -> float:
    """From the baseline of a row's label up to that of its old values."""
    return (LINE * len(row.number) + 1.2 if row.apart else 0.0) + STRUCK


def letters_room(columns: Columns) -> float:
    """Room for old colour letters, which may go on over the swatch."""
    return columns.letters + GAP + SWATCH[0]
