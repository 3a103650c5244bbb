"""The PDF and the SVG of every kind of sheet show the same picture."""

from __future__ import annotations

from pathlib import Path

import pytest
from compare_pictures import assert_same_picture

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.steps import load

LINNET = Path(__file__).parent.parent.parent / "examples" / "linnet" / "linnet.yaml"


@pytest.fixture(scope="module")
def context():
    loaded = load(LINNET)
    return make_context(loaded.harness, loaded.network, loaded.geometry, loaded.findings, Options())


@pytest.mark.outside("cairosvg on the SVG and pypdfium2 on the PDF", needs=("cairo",))
@pytest.mark.parametrize("kind", SheetKind, ids=lambda kind: kind.value)
def test_both_pictures_are_one(context, kind: SheetKind) -> None:
    ref = next(ref for ref in context.sheets if ref.kind is kind)
    for drawing in draw_sheet(context, ref).pages[:2]:
        assert_same_picture(drawing)
