"""The index: every sheet with its number, its kind and its title, each a link."""

from __future__ import annotations

from collections.abc import Iterator

from ..drawing.record import Drawing
from ..drawing.table import Column, LinkText
from .context import Context, SheetKind, SheetRef
from .flow import free_area
from .marking import SUBJECTS, Draft, marked_pages
from .tables import Key, PlainTable, keyed_rows

NUMBER, TITLE = 0, 2
"""Columns: a sheet is known by its title; that its number is another is no difference."""


def draw_index(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """All sheets of the book in order."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    rows = keyed_rows((_key(sheet), (LinkText(str(sheet.number), sheet.name), sheet.kind.value, LinkText(sheet.title, sheet.name))) for sheet in context.sheets)
    yield PlainTable(("index",), (Column("Sheet", 14, anchor="end"), Column("Kind", 36), Column("Title")), rows, free_area(context.paper, "portrait").w, named=TITLE, free=frozenset((NUMBER,)))


def _key(sheet: SheetRef) -> Key:
    """Sheets of one thing by that, the others by their name."""
    return (sheet.kind.name, (SUBJECTS[sheet.kind], sheet.subjects[0])) if sheet.kind in (SheetKind.PINOUT, SheetKind.BOX) else (sheet.name,)
