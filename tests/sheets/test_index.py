"""The index."""

from __future__ import annotations

from sheets.checks import assert_tidy, row_of
from sheets.contexts import context_of, ref_of

from harnessdoc.drawing.record import Link
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.index import draw_index


def test_every_sheet_stands_in_the_index_with_a_link() -> None:
    context = context_of("connectors:\n" + "".join(f"  X{number}: {{face: [[1, 2]], view: mating face}}\n" for number in range(60)))
    pages = draw_index(context, ref_of(context, SheetKind.INDEX))
    targets = [mark.target for page in pages for mark in page.marks if isinstance(mark, Link)]
    assert [name for name in dict.fromkeys(targets)] == [sheet.name for sheet in context.sheets]
    assert len(pages) == 2
    assert row_of(pages[0], "X3")[:3] == ["10", "Pinout", "X3"]
    for page in pages:
        assert_tidy(page)
