"""The PDF and the SVG of every kind of sheet show the same picture."""

from __future__ import annotations

from pathlib import Path

import pytest
from compare_pictures import assert_same_picture
from sheets.merged import merge_context

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.book.plan import sheets_apart
from harnessdoc.sheets.context import Context, Options, SheetKind
from harnessdoc.steps import draw_exchange, load

LINNET = Path(__file__).parent.parent.parent / "examples" / "linnet" / "linnet.yaml"

OF_A_MERGE = (SheetKind.JOINS, SheetKind.INTERFACES, SheetKind.FATES, SheetKind.CLOSURE, SheetKind.STOCK_PLAN)
OF_THE_BOOKLET = (SheetKind.QUICK,)
OF_TWO_VERSIONS = (SheetKind.CHANGES, SheetKind.REWORK, SheetKind.EXCHANGE)


@pytest.fixture(scope="module")
def context():
    loaded = load(LINNET)
    return make_context(loaded.version, Options())


@pytest.mark.outside("cairosvg on the SVG and pypdfium2 on the PDF", needs=("cairo",))
@pytest.mark.parametrize("kind", [kind for kind in SheetKind if kind not in (*OF_A_MERGE, *OF_THE_BOOKLET, *OF_TWO_VERSIONS)], ids=lambda kind: kind.value)
def test_both_pictures_are_one(context, kind: SheetKind) -> None:
    assert_same_pictures(context, kind)


@pytest.fixture(scope="module")
def merge():
    return merge_context()


@pytest.mark.outside("cairosvg on the SVG and pypdfium2 on the PDF", needs=("cairo",))
@pytest.mark.parametrize("kind", OF_A_MERGE, ids=lambda kind: kind.value)
def test_both_pictures_of_a_merge_are_one(merge, kind: SheetKind) -> None:
    assert_same_pictures(merge, kind)


def assert_same_pictures(context: Context, kind: SheetKind) -> None:
    """The first two pages of the first sheet of a kind."""
    ref = next(ref for ref in (*context.sheets, *sheets_apart(context.harness)) if ref.kind is kind)
    for drawing in draw_sheet(context, ref).pages[:2]:
        assert_same_picture(drawing)


@pytest.fixture(scope="module")
def exchange():
    text = LINNET.read_text(encoding="utf-8")
    edited = text.replace("size: 0.5 mm2,  colour: G-Y", "size: 0.75 mm2,  colour: G-R").replace("length: 430 mm", "length: 470 mm")
    assert edited != text
    return draw_exchange(load("linnet.yaml", {"linnet.yaml": text}), load("linnet.yaml", {"linnet.yaml": edited}))


@pytest.mark.outside("cairosvg on the SVG and pypdfium2 on the PDF", needs=("cairo",))
@pytest.mark.parametrize("kind", [*OF_TWO_VERSIONS, SheetKind.PINOUT, SheetKind.SPLICE_PLACES], ids=lambda kind: kind.value)
def test_both_pictures_of_a_change_are_one(exchange, kind: SheetKind) -> None:
    sheet = next(sheet for sheet in exchange.sheets if sheet.ref.kind is kind)
    assert_same_picture(sheet.pages[0])
