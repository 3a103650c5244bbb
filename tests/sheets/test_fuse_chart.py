"""The chart of fuses and relays begins with the lids: each position with its number, rating, colour, purpose; what is on no lid; changes."""

from __future__ import annotations

import pytest
from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of, ref_of
from sheets.marked_contexts import edited, since_context
from sheets.revision_reader import clouded

from harnessdoc.drawing.record import Drawing, Rect, Text
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.fuses import draw_fuses
from harnessdoc.sheets.lid import TINTS

LID = """
    boxes:
      B1: {title: fuse box, place: left wing, lid: [[F1, F2, F3], [F4, F5, K1]], spare: [F5]}
    fuses:
      F1: {box: B1, rating: 10 A, type: blade, feeds: lamps}
      F2: {box: B1, rating: 15 A, type: mini, feeds: horn}
      F3: {box: B1, rating: 20 A, type: blade, feeds: pump}
      F4: {box: B1, rating: 5 A, type: blade, feeds: clock}
      F9: {place: battery, rating: 80 A, type: midi, feeds: alternator}
    fusible-links:
      L1: {size: 3 mm2, title: box supply}
    relays:
      K1: {box: B1, title: pump relay, contacts: make, feeds: fuel pump}
"""
IEC = {"black": "BK", "brown": "BN", "red": "RD", "orange": "OG", "yellow": "YE", "green": "GN", "blue": "BU", "violet": "VT", "grey": "GY", "pink": "PK", "white": "WH"}


def chart(text: str = LID, **options: str) -> tuple[Drawing, ...]:
    context = context_of(text, **options)
    return draw_fuses(context, ref_of(context, SheetKind.FUSES))


def said(page: Drawing, position: str) -> list[str]:
    """The texts within the frame of a position, from the top down."""
    frame = next(mark for mark in page.marks if isinstance(mark, Rect) and mark.tag == f"position:{position}")
    inside = [mark for mark in page.marks if isinstance(mark, Text) and frame.x <= mark.x <= frame.x + frame.w and frame.y <= mark.y <= frame.y + frame.h]
    return [mark.text for mark in sorted(inside, key=lambda mark: (mark.y, mark.x))]


def test_the_first_page_has_the_lid_with_what_each_position_is() -> None:
    page = chart()[0]
    assert said(page, "F1") == ["F1", "10 A", "red", "lamps"]
    assert said(page, "F2") == ["F2", "15 A", "blue", "horn"]
    assert said(page, "F3") == ["F3", "20 A", "yellow", "pump"]
    assert said(page, "F4") == ["F4", "5 A", "tan", "clock"]
    assert said(page, "F5") == ["F5"]


def test_a_relay_has_its_name_and_its_pins() -> None:
    assert said(chart()[0], "K1") == ["K1", "pump relay", "pins 86, 85, 30, 87"]


def test_a_colour_with_letters_stands_as_a_field_too() -> None:
    page = chart()[0]
    fields = [mark for mark in page.marks if isinstance(mark, Rect) and mark.tag.startswith("colour:") and (mark.w, mark.h) == (6.0, 2.5) and mark.fill is None]
    assert sorted(mark.tag for mark in fields) == ["colour:F1", "colour:F2", "colour:F3", "colour:F4"]


@pytest.mark.outside("IEC 60757: letter codes of colours")
def test_the_letters_of_a_fuses_colour_are_those_of_the_standard() -> None:
    own = {"tan": "TAN", "natural": "NAT"}     # no colours of that standard: their swatches have the trade's words
    assert TINTS == {**IEC, **own}


def test_what_is_on_no_lid_is_told_with_its_place() -> None:
    assert "On no lid: F9 80 A, battery: alternator; L1 3 mm²: box supply." in texts(chart()[0])


def test_the_colours_are_called_makers_and_no_standards() -> None:
    everything = " ".join(text for page in chart() for text in texts(page))
    assert "makers' lists" in everything
    assert "ISO" not in everything and "standard" not in everything


def test_without_a_lid_the_chart_is_the_tables_alone() -> None:
    found = texts(chart("fuses:\n  F3: {}\n")[0])
    assert not any(text.startswith(("On no lid", "The colour of a fuse")) for text in found)


def test_a_change_is_clouded_on_the_lid_and_told_below() -> None:
    context = since_context(LID, edited(LID, ("rating: 10 A, type: blade", "rating: 7.5 A, type: blade")))
    page = draw_fuses(context, ref_of(context, SheetKind.FUSES))[0]
    assert "7.5 A" in clouded(page)
    assert {"On the lid", "10 A"} <= set(texts(page))


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_the_pages_are_tidy(paper: str) -> None:
    for page in chart(paper=paper):
        assert_tidy(page)
