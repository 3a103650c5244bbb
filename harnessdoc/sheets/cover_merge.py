"""What the cover says of a merge: its sources, and how far it is decided.

Takes a Context; gives blocks of the cover, none where nothing is merged. Wires without a fate are counted loud: a book can be
made at any moment, and must not look finished before it is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from ..drawing.lettering import text_width
from ..drawing.table import HEAD, PAD, Column, Mark
from ..merge.plan import Fate, Merge, Source
from ..merge.stations import without_place
from .context import Context, SheetKind, SheetRef
from .fates import FATES, undecided_words
from .flow import Block, Heading, Words
from .list_cells import sheet_link
from .marking import marked_layout
from .tables import Key, PlainRow, PlainTable, keyed_rows

COUNT_ROOM = 2 * PAD + 1.0
"""What a column of counts is wider than its head."""


def merge_blocks(context: Context, width: float) -> Iterator[Block]:
    """Sources with the fates of their wires; what is undecided, and which joins lack an end."""
    merge = context.merge
    if merge is None:
        return
    yield Heading("Merged from")
    yield marked_layout(context, lambda version: _sources(version, width))
    closing = next((sheet for sheet in context.sheets if sheet.kind is SheetKind.CLOSURE), None)
    where = f" What is still to be done is on sheet {closing.number}." if closing else ""
    words, was = _undecided(merge), _undecided(context.since.before.merge) if context.since else ""
    changed = context.since is not None and words != was
    yield Words(f"{words}{where}", "bold", 3.5 if merge.of(Fate.UNDECIDED) else 2.5, was=was if changed else "", mark=Mark(context.since.letter) if context.since and changed else None)


def _undecided(merge: Merge | None) -> str:
    return undecided_words(len(merge.of(Fate.UNDECIDED)), len(merge.decisions)) if merge else ""


def merge_counts(context: Context) -> list[tuple[str, str]]:
    """(what is counted, how many) of a merge, what there is none of left out."""
    merge = context.merge
    if merge is None:
        return []
    counts = (("joins", len(merge.joins)), ("ends not found", sum(join.has_unknown_end for join in merge.joins.values())),
              ("joins without a place", len(without_place(context.harness, merge))), ("interfaces", len(merge.interfaces)),
              ("far halves", len(merge.far_halves)))
    return [(name, str(count)) for name, count in counts if count]


def _sources(context: Context, width: float) -> PlainTable:
    """A row a source, a column a fate; the last row is of all."""
    merge = context.merge
    heads = ["Wires", *(fate.value.upper() if fate is Fate.UNDECIDED else fate.value.capitalize() for fate in FATES)]
    columns = (Column("Source"), *(Column(head, text_width(head, HEAD, "bold") + COUNT_ROOM, anchor="end") for head in heads))
    rows: list[tuple[Key, PlainRow]] = []
    if merge is not None:
        rows += [(("source", source.name), (_told(context, source), *_counts(merge, source))) for source in merge.sources.values()]
        rows.append((("all",), ("all", *_counts(merge, None))))
    return PlainTable(("sources",), columns, keyed_rows(rows), width, pitch=5.0)


def _told(context: Context, source: Source) -> tuple[object, ...]:
    """Name and role, leading to its fate list; what it describes; its file."""
    name = source.name if source.name == source.role.value else f"{source.name}, {source.role.value}"
    return (sheet_link(name, _fates_of(context, source)), *([source.harness.title] if source.harness.title else []), source.harness.file)


def _fates_of(context: Context, source: Source) -> SheetRef | None:
    return next((sheet for sheet in context.sheets if sheet.kind is SheetKind.FATES and source.name in sheet.subjects), None)


def _counts(merge: Merge, source: Source | None) -> tuple[str, ...]:
    """Wires, and how many of each fate; of one source, or of all."""
    fates = Counter(decision.fate for decision in merge.decisions.values() if source is None or decision.source == source.name)
    return (str(fates.total()), *(str(fates[fate]) for fate in FATES))
