"""Widths equal the font's own tables; wrapping, cutting, characters the font lacks."""

from __future__ import annotations

import unicodedata

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from harnessdoc.drawing import lettering
from harnessdoc.drawing.lettering import cut, font_size, pieces, text_width, wrap

WEIGHTS = ("regular", "bold")
LONG = "charge lamp excitation/relay, with a verylongwordthatdoesnotfitanywhere-at-all"


@pytest.mark.parametrize("weight", WEIGHTS)
def test_advances_equal_the_fonts_own_tables(weight):
    font = TTFont(lettering.FONT_FOLDER / lettering.FONT_FILES[weight])
    scale = 1000 / font["head"].unitsPerEm
    table = lettering.font_table(weight)
    cmap = font.getBestCmap()
    assert {ord(c): w for c, w in table.widths.items()} == {
        code: font["hmtx"][glyph][0] * scale for code, glyph in cmap.items()
    }
    assert table.cap_height == font["OS/2"].sCapHeight * scale
    assert table.ascent == font["hhea"].ascent * scale
    assert table.descent == -font["hhea"].descent * scale


@pytest.mark.parametrize("weight", WEIGHTS)
def test_height_is_that_of_capitals(weight):
    """ISO 3098: the drawn H of the font, scaled by our size, is as high as asked."""
    font = TTFont(lettering.FONT_FOLDER / lettering.FONT_FILES[weight])
    top = font["glyf"][font.getBestCmap()[ord("H")]].yMax / font["head"].unitsPerEm
    assert top * font_size(2.5, weight) == pytest.approx(2.5, abs=0.03)


def test_the_font_has_what_the_sheets_need():
    needed = "Ωµμ²×±≤≥°…–→ÄÖÜäöüßéèàçñåøłž" + "".join(map(chr, range(0x20, 0x7F)))
    for weight in WEIGHTS:
        assert [c for c in needed if c not in lettering.font_table(weight).widths] == []
    assert set(lettering.font_table("regular").widths) == set(lettering.font_table("bold").widths)


def test_zero_and_o_one_l_and_i_are_different_shapes():
    font = TTFont(lettering.FONT_FOLDER / lettering.FONT_FILES["regular"])
    cmap = font.getBestCmap()
    contours = {c: font["glyf"][cmap[ord(c)]].numberOfContours for c in "0O"}
    assert contours == {"0": 3, "O": 2}, "the zero is slashed"
    outlines = {tuple(font["glyf"][cmap[ord(c)]].coordinates) for c in "1lI"}
    assert len(outlines) == 3


def test_digits_are_of_one_width():
    for weight in WEIGHTS:
        assert len({lettering.font_table(weight).widths[d] for d in "0123456789"}) == 1


def test_a_missing_character_is_as_wide_as_its_box():
    assert list(pieces("A\U0001f600B")) == [("A", False), ("\U0001f600", True), ("B", False)]
    box = lettering.code_box_width("\U0001f600", 2.5) + 2 * lettering.CODE_GAP * 2.5
    assert box > text_width("U+1F600", 2.5 * lettering.CODE_HEIGHT)
    assert text_width("A\U0001f600B", 2.5) == pytest.approx(text_width("AB", 2.5) + box)


@pytest.mark.parametrize(
    "character", ["\n", "\t", "\x00", "\x7f", "\u202e", "\u200b", "\u00ad", "\u05d0", "\ud800", "\u20d7"]
)
def test_control_direction_and_foreign_characters_are_not_drawn_by_the_font(character):
    assert lettering.lacks(character)


def test_letters_and_accents_apart_are_composed():
    apart = unicodedata.normalize("NFD", "Zündschloß é")
    assert list(pieces(apart)) == [("Zündschloß é", False)]
    assert text_width(apart, 2.5) == text_width("Zündschloß é", 2.5)
    assert wrap(apart, 12, 2.5) == wrap("Zündschloß é", 12, 2.5)


def test_wrap_pinned():
    assert wrap("", 10, 2.5) == [""]
    assert wrap("relay", 40, 2.5) == ["relay"]
    assert wrap("start relay coil", 18, 2.5) == ["start relay", "coil"]
    assert wrap("X30.4/X31.5", 11, 2.5) == ["X30.4/", "X31.5"]


@given(st.text(min_size=1, max_size=60), st.floats(14, 60), st.sampled_from(WEIGHTS))
@settings(max_examples=300, deadline=None, derandomize=True)
def test_wrap_loses_nothing_but_spaces_and_keeps_the_width(text, width, weight):
    text = unicodedata.normalize("NFC", text)
    lines = wrap(text, width, 2.5, weight)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(text_width(line, 2.5, weight) <= width + 1e-6 for line in lines)


def test_cut():
    assert cut("relay", 40, 2.5) == "relay"
    for width in range(4, 60, 3):
        short = cut(LONG, width, 2.5)
        assert short.endswith("…") and LONG.startswith(short[:-1])
        assert text_width(short, 2.5) <= width
