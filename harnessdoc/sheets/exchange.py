"""The list of sheets to exchange: what is printed and put into the binder, what is taken out and thrown away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..drawing.record import Drawing
from ..drawing.table import Column, EmptyBox, LinkText, Row, lay_out
from .context import Context, SheetRef
from .flow import Block, Heading, Words, free_area, set_pages

HOW = ("One sheet after the other: print what is named on the left and put it in, take out what is named on the right, all its pages, and throw it away. "
       "All other sheets stay as they are, with the revision of their own last change (a whole new book has the last revision on every sheet; both are right). "
       "Only numbers: those of sheets it points to, of findings, or of lines of the file, are others now.")


@dataclass(frozen=True, slots=True)
class Exchanged:
    """One sheet to exchange.

    put_in: the sheet of the new book, with how many pages; None where the sheet is gone
    take_out: the sheet of the old book, with all pages it has there (an earlier exchange may have
        put in more than the book itself has); None where the sheet is new
    why: in words
    """

    put_in: SheetRef | None
    pages: int
    take_out: SheetRef | None
    why: str


def draw_exchange(context: Context, ref: SheetRef, exchanged: Sequence[Exchanged]) -> tuple[Drawing, ...]:
    """The list, in the order of the new book, sheets that are gone where they stood."""
    area = free_area(context.paper, "portrait")
    wide = area.w > 150
    columns = [Column("Put in", 14, anchor="end"), Column("Pages", 13, anchor="end"), Column("Sheet"), Column("Why", 40 if wide else 21),
               Column("Take out", 18 if wide else 12, anchor="end"), Column("Done", 13 if wide else 11)]
    rows: list[Row] = [_row(one) for one in exchanged]
    unchanged = len(context.sheets) - sum(one.put_in is not None for one in exchanged)
    blocks: list[Block] = [Words(HOW), Heading("Sheets to exchange"), lay_out(columns, rows, area.w, pitch=6.5, tag="exchange"),
                           Words(f"{unchanged} {'sheet stays' if unchanged == 1 else 'sheets stay'} as {'it is' if unchanged == 1 else 'they are'}.")]
    return set_pages(context, ref, blocks)


def _row(one: Exchanged) -> Row:
    ref = one.put_in or one.take_out
    name = f"{ref.kind.value}: {ref.title}" if ref.subjects else ref.kind.value
    put = (LinkText(str(one.put_in.number), one.put_in.name), str(one.pages)) if one.put_in else ("", "")
    return (*put, name, one.why, str(one.take_out.number) if one.take_out else "", EmptyBox("done"))
