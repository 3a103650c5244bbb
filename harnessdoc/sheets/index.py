"""The index: every sheet with its number, its kind and its title, each a link."""

from __future__ import annotations

from ..drawing.record import Drawing
from ..drawing.table import Column, LinkText, lay_out
from .context import Context, SheetRef
from .flow import free_area, set_pages


def draw_index(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """All sheets of the book in order."""
    width = free_area(context.paper, "portrait").w
    rows = [(LinkText(str(sheet.number), sheet.name), sheet.kind.value, LinkText(sheet.title, sheet.name)) for sheet in context.sheets]
    return set_pages(context, ref, [lay_out([Column("Sheet", 14, anchor="end"), Column("Kind", 36), Column("Title")], rows, width)])
