"""``assert_tidy`` catches what it is there for."""

from __future__ import annotations

import pytest
from sheets.checks import assert_tidy, row_of

from harnessdoc.drawing.page import A4, TitleBlock, new_page
from harnessdoc.drawing.pen import Pen


def page() -> Pen:
    pen, _ = new_page(A4, TitleBlock("title", "kind", "1 / 2"))
    pen.text(50, 50, "abc X1.2", 2.5)
    return pen


def test_a_tidy_page_passes() -> None:
    pen = page()
    pen.rect(48, 45, 30, 7)
    pen.text(50, 55.1, "below", 2.5)
    assert_tidy(pen.drawing())


@pytest.mark.parametrize(("plant", "fault"), [
    (lambda pen: pen.text(55, 51, "over"), "over text"),
    (lambda pen: pen.line(40, 49, 90, 49), "over a line"),
    (lambda pen: pen.line(45, 40, 60, 60), "over a line"),
    (lambda pen: pen.rect(52, 40, 80, 30), "over a line"),
    (lambda pen: pen.polyline([(40, 40), (52, 48), (90, 41)]), "over a line"),
    (lambda pen: pen.arc(52, 52, 3, 180, 360), "over a line"),
    (lambda pen: pen.circle(52, 48, 1), "over a circle"),
    (lambda pen: pen.dot(52, 48), "over a circle"),
    (lambda pen: pen.text(195, 50, "leaves the frame"), "outside the frame"),
    (lambda pen: pen.rect(15, 50, 20, 5), "outside the frame"),
])
def test_a_planted_fault_is_found(plant, fault: str) -> None:
    pen = page()
    plant(pen)
    with pytest.raises(AssertionError, match=fault):
        assert_tidy(pen.drawing())


def test_what_only_surrounds_a_text_is_no_fault() -> None:
    pen = page()
    pen.circle(55, 49, 12)
    pen.line(40, 51.2, 90, 51.2)
    assert_tidy(pen.drawing())


def test_a_row_is_read_from_left_to_right() -> None:
    pen = page()
    pen.text(40, 50, "first")
    pen.text(90, 50, "last", anchor="end")
    assert row_of(pen.drawing(), "abc X1.2") == ["first", "abc X1.2", "last"]
