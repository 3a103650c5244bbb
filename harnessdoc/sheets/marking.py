"""Sheets that show what differs from the version before: tables and running words, marked.

Takes what a sheet prints of a Context (blocks, tables); where the Context knows the
version before, the same is asked of that one, and the two are set against each other.
What is compared is what is printed: a cell that differs has a cloud round it and the old
text struck through below the new, its row the revision triangle; a row that is new has
the cloud round what it is known by and, where there is room, "new" beside its triangle;
a row that is gone stands whole, struck through, with "gone". Far ends that one version
lists and the other counts are compared one by one: what is struck is joined no longer. An
expected reading is another only where it moved by more than ``operation.moved`` lets pass,
and one of a state that the other version does not have is no difference. A
sheet of what was not there says so at its top. The numbers of sheets, boxes to be filled
by hand, those of findings and the end from which a wire is written are no difference. Without
a version before everything is laid out as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest
from typing import TypeVar

from ..drawing.page import Orientation
from ..drawing.record import Drawing
from ..drawing.table import Band, Clouded, EmptyBox, Layout, LinkText, Mark, Struck
from ..model.harness import UNKNOWN, Segment, Wire
from ..operation.moved import moved
from ..revision.changes import Thing
from .context import NO_CIRCUIT, Context, SheetKind, SheetRef, Since
from .flags import flagged
from .flow import Block, Heading, Words, set_pages
from .list_cells import MOST_BEHIND
from .stacks import Behind, Flagged, Item, Large, Lines, Reading, Stack, Strong, Under
from .tables import Blocks, Key, Keyed, Listing, PlainRow, PlainTable, StackTable, Table, lay_table
from .wire_lines import UNKNOWN_MEMBER, ends_in_words

_ARROW = re.compile(r"(?:^| )→ \d+")
_BETWEEN = re.compile(r"[\s,]+")
_SUBJECT = re.compile(r"[:(0-9]")
"""Running words say what they are about before the first of these."""

SUBJECTS: Mapping[SheetKind, Thing] = {
    SheetKind.PINOUT: Thing.CONNECTOR, SheetKind.BOX: Thing.BOX, SheetKind.RELAYS: Thing.PART, SheetKind.SPLICES: Thing.SPLICE, SheetKind.GROUNDS: Thing.GROUND,
    SheetKind.ELECTRICAL: Thing.CIRCUIT,
}
"""What the subjects of a sheet are."""

ROOM_FOR_WORDS = 150.0
"""From this width of a table on "new" and "gone" stand beside the triangles; in a narrower one they would cut what it says."""

AnyTable = TypeVar("AnyTable", PlainTable, StackTable)
AnyWritten = TypeVar("AnyWritten", Wire, Segment)

Draft = Block | PlainTable | StackTable
"""A block of a sheet; a table that is not laid out yet."""


def marked_pages(context: Context, ref: SheetRef, blocks_of: Callable[[Context, SheetRef], Iterable[Draft]], orientation: Orientation = "portrait", *,
                 two_ends: bool = False) -> tuple[Drawing, ...]:
    """The pages of a sheet that is made of blocks; ``blocks_of`` is asked of both versions.

    two_ends: the sheet prints the two ends of a wire or segment in the order in which they are written
    """
    since = context.since
    if since is None:
        blocks = [flagged(context, block) for block in blocks_of(context, ref)]
    elif is_new(context, ref):
        blocks = [Words("New sheet", "bold", mark=Mark(since.letter)), *(flagged(context, block) for block in blocks_of(replace(context, since=None), ref))]
    else:
        blocks = _merge_drafts([flagged(context, block) for block in blocks_of(context, ref)], list(blocks_of(_turned(since) if two_ends else since.before, ref_before(since, ref))), since)
    return set_pages(context, ref, [laid(block) for block in blocks], orientation)


def is_new(context: Context, ref: SheetRef) -> bool:
    """True for a sheet the version before had none of: none of that kind, or of nothing that was there."""
    since = context.since
    if since is None:
        return False
    if all(sheet.kind is not ref.kind for sheet in since.before.sheets):
        return True
    return any(ref.subjects) and not any(ref_before(since, ref).subjects)


def ref_before(since: Since, ref: SheetRef) -> SheetRef:
    """The reference with the ids its subjects had; of two mated halves one that was not there is ""."""
    if ref.kind not in SUBJECTS:
        return ref
    subjects = [(since.comparison.pairing.before(SUBJECTS[ref.kind], name) or "", name) for name in ref.subjects]
    return replace(ref, subjects=tuple(was for was, name in subjects if was or ref.kind is SheetKind.PINOUT or name == NO_CIRCUIT))


def _turned(since: Since) -> Context:
    """The version before with its wires and segments written from the end from which the new version writes them."""
    before, now, pairing = since.before.harness, since.comparison.new.harness, since.comparison.pairing

    def end_now(thing: Thing, end: str) -> str | None:
        return pairing.address_now(end) if thing is Thing.WIRE else pairing.now(Thing.POINT, end)

    def turned(thing: Thing, one: AnyWritten, new: AnyWritten | None) -> AnyWritten:
        if new is None:
            return one
        a, b = end_now(thing, one.from_), end_now(thing, one.to)
        straight, other = a == new.from_ or b == new.to, a == new.to or b == new.from_
        return replace(one, from_=one.to, to=one.from_) if other and not straight else one

    wires = {name: turned(Thing.WIRE, wire, now.wires.get(pairing.now(Thing.WIRE, name) or "")) for name, wire in before.wires.items()}
    segments = {name: turned(Thing.SEGMENT, segment, now.segments.get(pairing.now(Thing.SEGMENT, name) or "")) for name, segment in before.segments.items()}
    return replace(since.before, harness=replace(before, wires=wires, segments=segments))


def marked_table(context: Context, table_of: Callable[[Context], AnyTable]) -> AnyTable:
    """A table not laid out yet, its rows marked where the version before is known and has others."""
    now, since = table_of(context), context.since
    return now if since is None else _merge_tables(now, table_of(since.before), since)


def marked_layout(context: Context, table_of: Callable[[Context], Table]) -> Layout:
    """The same, laid out."""
    return lay_table(marked_table(context, table_of))


# ------------------------------------------------------------------------------- blocks

def laid(block: Draft) -> Block:
    return lay_table(block) if isinstance(block, PlainTable | StackTable) else block


def _merge_drafts(now: Sequence[Draft], before: Sequence[Draft], since: Since) -> list[Draft]:
    """The blocks of both versions; drawn pieces are those of the new one, which show themselves what changed."""
    before = [block for block in before if isinstance(block, Words | Heading | PlainTable | StackTable)]
    keys_now, keys_before = _block_keys(now), [_led(key, since) for key in _block_keys(before)]
    merged: list[Draft] = []
    for i, j in _aligned(*_same_subjects(keys_now, keys_before)):
        new, old = None if i is None else now[i], None if j is None else before[j]
        merged += [new] if new is not None and not isinstance(new, Words | PlainTable | StackTable) else _merge_blocks(new, old, since)
    return merged


def _merge_blocks(new: Draft | None, old: Draft | None, since: Since) -> list[Draft]:
    mark = Mark(since.letter)
    match new, old:
        case PlainTable() | StackTable(), _:
            return [_merge_tables(new, old, since)]
        case None, PlainTable() | StackTable():
            return [_merge_tables(replace(old, rows=()), old, since)]
        case Words(), None:
            return [replace(new, mark=mark)]
        case Words(), Words():
            return [new if bare(new.text) == bare(old.text) else replace(new, was=bare(old.text), mark=mark)]
        case None, Words() | Heading():
            return [Words("", was=bare(old.text), mark=mark)]
    raise AssertionError((new, old))


def _block_keys(blocks: Sequence[Draft]) -> list[Key]:
    return [block.key if isinstance(block, PlainTable | StackTable) else (type(block).__name__, bare(block.text) if isinstance(block, Words | Heading) else "") for block in blocks]


def _same_subjects(now: Sequence[Key], before: Sequence[Key]) -> tuple[list[Key], list[Key]]:
    """The keys with those of running words that differ but are about the same made one."""
    by_subject: dict[str, list[Key]] = {}
    for key in before:
        if key[0] == "Words" and key not in now:
            by_subject.setdefault(_SUBJECT.split(str(key[1]))[0], []).append(key)
    again: dict[Key, Key] = {}
    for key in now:
        if key[0] == "Words" and key not in before and (olds := by_subject.get(_SUBJECT.split(str(key[1]))[0])):
            again[olds.pop(0)] = key
    return list(now), [again.get(key, key) for key in before]


# --------------------------------------------------------------------------------- rows

def _merge_tables(now: AnyTable, before: Table | None, since: Since) -> AnyTable:
    """The rows of both, in the order of the new; what is gone after what stood before it."""
    mark, new_mark, gone_mark = (Mark(since.letter, word if now.width >= ROOM_FOR_WORDS else "") for word in ("", "new", "gone"))
    olds = _under_heads(before, now) if before is not None else ()
    rows: list[Keyed] = []
    for i, j in _aligned([keyed.key for keyed in now.rows], [_led(keyed.key, since) for keyed in olds]):
        new, old = None if i is None else now.rows[i], None if j is None else olds[j]
        if new is not None and old is not None:
            row = _merge_rows(now, new.row, old.row, since)
            rows.append(Keyed(new.key, row, mark) if row != new.row else new)
        elif new is not None:
            rows.append(Keyed(new.key, _new_row(now, new.row, new_mark), new_mark))
        elif old is not None:
            rows.append(Keyed(old.key, _gone_row(now, old.row, gone_mark), gone_mark))
    return replace(now, rows=tuple(rows))


def _under_heads(before: Table, now: Table) -> tuple[Keyed, ...]:
    """The old rows in the columns of the new table, found by their heads; rows of stacks find theirs by key."""
    if isinstance(before, StackTable) or isinstance(now, StackTable):
        return before.rows if type(before) is type(now) else ()
    heads, olds = ([column.head for column in table.columns] for table in (now, before))
    if heads == olds:
        return before.rows
    return tuple(keyed if isinstance(keyed.row, Band) else replace(keyed, row=tuple(keyed.row[olds.index(head)] if head in olds else "" for head in heads)) for keyed in before.rows)


def _merge_rows(table: Table, now: PlainRow | Stack | Band, before: PlainRow | Stack | Band, since: Since) -> PlainRow | Stack | Band:
    """The new row with what differs in it marked; the same row where nothing does."""
    match now, before:
        case Band(), Band():
            return now if bare(now.text) == bare(before.text) else replace(now, was=bare(before.text), mark=Mark(since.letter))
        case Stack(), Stack():
            return _merge_stacks(now, before, table.blocks, since)
        case tuple(), tuple():
            return tuple(new if index in table.free else _merge_cells(new, old) for index, (new, old) in enumerate(zip(now, before, strict=True)))
    raise AssertionError(f"rows of two kinds in {table.key}")


def _new_row(table: Table, row: PlainRow | Stack | Band, mark: Mark) -> PlainRow | Stack | Band:
    match row:
        case Band():
            return replace(row, mark=mark)
        case Stack() if table.named in row.whole:
            return Stack(row.lines, {**row.whole, table.named: (Clouded(tuple(row.whole[table.named])),)})
        case Stack():
            return Stack(_new_lines(row.lines, table.named), row.whole)
    return tuple(_cloud(cell) if index == table.named else cell for index, cell in enumerate(row))


def _gone_row(table: Table, row: PlainRow | Stack | Band, mark: Mark) -> PlainRow | Stack | Band:
    match row:
        case Band():
            return Band("", row.weight, bare(row.text), mark)
        case Stack():
            return Stack(_gone_lines(row.lines), {key: tuple(map(_gone, items)) for key, items in row.whole.items()})
    return tuple(Listing((), cell.between, tuple(map(bare, cell.texts))) if isinstance(cell, Listing) else tuple(map(Struck, said(cell))) for cell in row)


# -------------------------------------------------------------------------------- cells

def bare(text: str) -> str:
    """A text without the numbers of sheets behind its arrows."""
    return _ARROW.sub("", text)


def said(cell: object) -> tuple[str, ...]:
    """What a cell or an item says, without the numbers of sheets and of findings; nothing for boxes to fill and swatches, whose letters stand beside them."""
    match cell:
        case str():
            return (bare(cell),) if cell else ()
        case LinkText() | Strong() | Large() | Reading():
            return (bare(cell.text),)
        case Behind():
            return said(cell.told)
        case Flagged():
            return said(cell.item)
        case Under():
            return said(cell.items)
        case tuple():
            return tuple(text for part in cell for text in said(part))
        case Listing():
            return tuple(map(bare, cell.texts))
    return ()


def differs(now: object, before: object) -> bool:
    """True where two cells say something else; where their lines break is no difference."""
    return _BETWEEN.sub(" ", " ".join(said(now))) != _BETWEEN.sub(" ", " ".join(said(before)))


def merge_items(now: Sequence[Item], before: Sequence[Item]) -> tuple[Item, ...]:
    """Items that stand one under another: as they are, or in a cloud with the old ones struck below."""
    now, before = tuple(now), tuple(before)
    before = (*map(_as_read_now, now, before), *before[len(now):])
    if not differs(now, before):
        return now
    kept = said(now)
    return (Clouded((*(item for item in now if item != ""), *(Struck(text) for text in said(before) if text not in kept))),)


def _as_read_now(now: Item, before: Item) -> Item:
    """A reading of the version before as it is printed now, where it moved too little to be said."""
    steady = isinstance(now, Reading) and isinstance(before, Reading) and None not in (now.volts, before.volts) and not moved(before.volts, now.volts)
    return now if steady else before


def _merge_cells(now: object, before: object) -> object:
    if not differs(now, _as_read_now(now, before)):
        return now
    kept = said(now)
    gone = tuple(text for text in said(before) if text not in kept)
    if isinstance(now, Listing):
        return replace(now, gone=gone, clouded=True)
    return Clouded((*_cloud(now).parts, *map(Struck, gone)))


def _cloud(cell: object) -> Clouded | Listing:
    if isinstance(cell, Listing):
        return replace(cell, clouded=True)
    return Clouded(cell if isinstance(cell, tuple) else () if cell == "" else (cell.text,) if isinstance(cell, Reading) else (cell,))


def _gone(item: Item) -> Item:
    texts = said(item)
    if isinstance(item, Under):
        return Under(tuple(map(Struck, texts)))
    return Struck(texts[0]) if texts else ""


# ------------------------------------------------------------------------ lines of stacks

def _merge_stacks(now: Stack, before: Stack, blocks: Blocks, since: Since) -> Stack:
    whole = {key: merge_items(now.whole.get(key, ()), before.whole.get(key, ())) for key in dict.fromkeys((*now.whole, *before.whole)) if not _of_one_state(key, now, before)}
    whole |= {key: items for key, items in now.whole.items() if key not in whole}
    named = [frozenset(column for level in block for column in level) for block in blocks]
    others = frozenset(column for line in (*now.lines, *before.lines) for column in line if not any(column in columns for columns in named))
    runs = [_merge_levels(_only(now.lines, columns), _only(before.lines, columns), block, since) for columns, block in zip(named, blocks, strict=True)]
    runs.append(_merge_in_order(_only(now.lines, others), _only(before.lines, others)))
    return Stack(_beside(runs), whole)


def _of_one_state(key: str, now: Stack, before: Stack) -> bool:
    """True for readings in a state that one of the two versions does not have: a remark says so once."""
    return (key in now.whole) is not (key in before.whole) and any(isinstance(item, Reading) for item in (*now.whole.get(key, ()), *before.whole.get(key, ())))


def _beside(runs: Iterable[Lines]) -> list[dict[str, Item]]:
    return [{key: item for line in lines for key, item in line.items()} for lines in zip_longest(*runs, fillvalue={})]


def _only(lines: Lines, columns: frozenset[str] | Sequence[str], *, without: bool = False) -> list[dict[str, Item]]:
    """Some columns of lines (or all ``without`` them), with no empty lines at the end."""
    kept = [{key: item for key, item in line.items() if (key in columns) is not without} for line in lines]
    while kept and not kept[-1]:
        kept.pop()
    return kept


def _merge_levels(now: Lines, before: Lines, levels: Sequence[Sequence[str]], since: Since, nested: bool = False) -> Lines:
    """Lines of nested levels: what begins on each level is found again by its name, on the innermost also by its turn."""
    if not levels:
        return _merge_in_order(now, before)
    level, inner = levels[0], levels[1:]
    news, olds = _begun(now, level[0]), _begun(before, level[0])
    keys_now, keys_before = ([_name(one, level[0]) for one in ones] for ones in (news, olds))
    keys_before = [_now_named(level[0], key, since) for key in keys_before]
    if nested and not inner:
        if any(isinstance(_led_by(one, level[0]), Behind) for one in (*news, *olds)):
            return _merge_counted(news, olds, level[0], since)
        keys_before = _by_turn(keys_now, keys_before)
    merged: list[Mapping[str, Item]] = []
    for i, j in sorted(_aligned(keys_now, keys_before), key=lambda pair: pair[0] is None):
        if i is None:
            merged += _gone_lines(olds[j])
        elif j is None:
            merged += _new_lines(news[i], level[0])
        else:
            own = _merge_in_order(_only(news[i], level), _only(olds[j], level))
            merged += _beside([own, _merge_levels(_only(news[i], level, without=True), _only(olds[j], level, without=True), inner, since, True)])
    return merged


def _begun(lines: Lines, leader: str) -> list[Lines]:
    """Lines in runs: each begins where the leading column is filled."""
    runs: list[list[Mapping[str, Item]]] = []
    for line in lines:
        if not runs or line.get(leader, "") != "":
            runs.append([])
        runs[-1].append(line)
    return runs


def _led_by(lines: Lines, leader: str) -> Item:
    return lines[0].get(leader, "") if lines else ""


def _name(lines: Lines, leader: str) -> str:
    return " ".join(said(_led_by(lines, leader)))


def _now_named(leader: str, name: str, since: Since) -> str:
    """The name of a wire as the new version has it; other names as they are."""
    if leader.lstrip("01") != "wire" or name not in since.before.harness.wires:
        return name
    return since.comparison.pairing.now(Thing.WIRE, name) or f"gone {name}"


def _by_turn(now: Sequence[str], before: Sequence[str]) -> list[str]:
    """Names with those that are not found again given the new names that are free, in their order."""
    free = [name for name in now if name not in before]
    return [name if name in now or not free else free.pop(0) for name in before]


def _merge_counted(news: Sequence[Lines], olds: Sequence[Lines], leader: str, since: Since) -> Lines:
    """Far ends of one wire, where at least one version tells them by their count: struck are those that are joined no longer.

    Where none is gone, or more than are listed, the old count is struck; where all are and what led to them, that too.
    """
    now, before = ([_led_by(run, leader) for run in runs] for runs in (news, olds))
    counted = [next((item for item in items if isinstance(item, Behind)), None) for items in (now, before)]
    new_count, old_count = counted
    if old_count and new_count and (new_count.name != old_count.name or not differs(new_count, old_count)):
        return _merge_in_order(news[0], olds[0])
    joints = {item.name for item in counted if item}
    here = _addresses(now, joints)
    was = {address: since.comparison.pairing.address_now(address) for address in _addresses(before, joints)}
    gone = [address for address, as_now in was.items() if as_now not in here and address != UNKNOWN]
    if 0 < len(gone) <= MOST_BEHIND:
        struck = gone
    elif old_count and len(gone) == len(was) and old_count.name not in said(tuple(now)):
        struck = list(said(old_count))
    else:
        struck = [old_count.count if old_count else _count(before, joints)]
    if new_count:
        first, *others = news[0]
        return [{**first, leader: Clouded((new_count, *map(Struck, struck)))}, *others]
    stays = {*was.values(), *joints}
    lines = [line for run, item in zip(news, now, strict=True)
             for line in (run if isinstance(item, EmptyBox) or " ".join(said(item)) in stays else _new_lines(run, leader))]
    return [*lines, *({leader: Struck(text)} for text in struck)]


def _addresses(ends: Iterable[Item], joints: set[str]) -> list[str]:
    """The far ends that are listed or counted; a splice or bar that is named because nothing lies behind it is none."""
    return [address for item in ends for address in (item.ends if isinstance(item, Behind) else said(item)) if address not in joints]


def _count(ends: Sequence[Item], joints: set[str]) -> str:
    """The words in which ends that are listed would be counted."""
    members = [item for item in ends if isinstance(item, EmptyBox) and item.tag == UNKNOWN_MEMBER]
    named = [item for item in ends if " ".join(said(item)) in joints]
    return ends_in_words(len(ends) - len(members) - len(named), bool(members))


def _merge_in_order(now: Lines, before: Lines) -> list[dict[str, Item]]:
    return [{key: item for column in dict.fromkeys((*new, *old)) for key, item in [(column, _merge_item(new.get(column, ""), old.get(column, "")))]}
            for new, old in zip_longest(now, before, fillvalue={})]


def _merge_item(now: Item, before: Item) -> Item:
    return merge_items((now,), (before,))[0]


def _new_lines(lines: Lines, leader: str) -> list[Mapping[str, Item]]:
    """Lines with a cloud round what they are known by; where that is empty, round what stands first."""
    first, *others = lines
    column = leader if first.get(leader, "") != "" else next((key for key, item in first.items() if item != ""), leader)
    return [{**first, column: Clouded((first.get(column, ""),))}, *others]


def _gone_lines(lines: Lines) -> list[Mapping[str, Item]]:
    return [{key: _gone(item) for key, item in line.items()} for line in lines]


# ---------------------------------------------------------------------------------- keys

def _led(key: Key, since: Since) -> Key:
    """A key of the old version with the ids the new one has; things that are gone keep theirs apart from all new ones."""
    pairing = since.comparison.pairing

    def now(thing: Thing, name: str) -> str:
        return (pairing.address_now(name) if thing is Thing.CONTACT else pairing.now(thing, name)) or f"gone {name}"

    return tuple(part if isinstance(part, str) else (part[0], now(*part)) for part in key)


def _aligned(now: Sequence[Hashable], before: Sequence[Hashable]) -> list[tuple[int | None, int | None]]:
    """Which of the new is which of the old, by equal keys (the second of equal ones by its turn), in the new order; what is gone stands after what stood before it."""
    at = {key: index for index, key in enumerate(_told_apart(now))}
    old_of: dict[int, int] = {}
    gone_after: dict[int | None, list[int]] = {}
    last = None
    for index, key in enumerate(_told_apart(before)):
        if key in at:
            last = at[key]
            old_of[last] = index
        else:
            gone_after.setdefault(last, []).append(index)
    order: list[tuple[int | None, int | None]] = [(None, index) for index in gone_after.get(None, ())]
    for index in range(len(now)):
        order += [(index, old_of.get(index)), *((None, old) for old in gone_after.get(index, ()))]
    return order


def _told_apart(keys: Sequence[Hashable]) -> list[tuple[Hashable, int]]:
    counts: dict[Hashable, int] = {}
    told = []
    for key in keys:
        counts[key] = counts.get(key, 0) + 1
        told.append((key, counts[key]))
    return told
