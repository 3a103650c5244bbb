"""Wire colours: read in one convention, printed in another, refused in words."""

from __future__ import annotations

from itertools import permutations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harnessdoc.trade.colours import CONVENTIONS, Colour, ColourFault, Tint, colour_doubt, parse_colour, print_colour, tint_srgb, tints, word

IEC, DIN, US, JAPAN = CONVENTIONS


def colour(*codes: str) -> Colour:
    """``colour("GN dark", "WH")``"""
    read = [Tint(*code.split()) for code in codes]
    return Colour(read[0], tuple(read[1:]))


@pytest.mark.parametrize(
    ("text", "convention", "read"),
    [
        ("YE/BK", IEC, colour("YE", "BK")),
        ("yebk", IEC, colour("YE", "BK")),
        ("BKBU", IEC, colour("BK", "BU")),
        ("GNYE", IEC, colour("GN", "YE")),
        ("RD/BK/WH", IEC, colour("RD", "BK", "WH")),
        ("LT GN", IEC, colour("GN light")),
        ("sw/rt", DIN, colour("BK", "RD")),
        ("swrt", DIN, colour("BK", "RD")),
        ("SW/RT", DIN, colour("BK", "RD")),
        ("swrtws", DIN, colour("BK", "RD", "WH")),
        ("li", DIN, colour("VT")),
        ("dkgnws", DIN, colour("GN dark", "WH")),
        ("DK GRN/WHT", US, colour("GN dark", "WH")),
        ("DKGRN/WHT", US, colour("GN dark", "WH")),
        ("PPL", US, colour("VT")),
        ("GNWH", US, colour("GN", "WH")),
        ("TAN/BLK", US, colour("TAN", "BK")),
        ("NAT", US, colour("NAT")),
        ("L-Y", JAPAN, colour("BU", "YE")),
        ("G-Y", JAPAN, colour("GN", "YE")),
        ("G/Y", JAPAN, colour("GN", "YE")),
        ("RW", JAPAN, colour("RD", "WH")),
        ("BrW", JAPAN, colour("BN", "WH")),
        ("LG", JAPAN, colour("GN light")),
        ("Lg", JAPAN, colour("GN light")),
        ("Sb", JAPAN, colour("BU light")),
        ("T", JAPAN, colour("TAN")),
        ("tan/BK", IEC, colour("TAN", "BK")),
        ("dark red", JAPAN, colour("RD dark")),
    ],
)
def test_colours_that_read(text, convention, read):
    assert parse_colour(text, convention) == read


@pytest.mark.parametrize(
    ("text", "convention", "message", "do"),
    [
        ("BL", IEC, "'BL' is not a colour in IEC 60757; it is blue in DIN 47002 (bl) and in Japanese trade (Bl), black in some lists", "did you mean BU (blue) or BK (black)?"),
        ("BL", US, "'BL' is not a colour in North American trade; it is blue in DIN 47002 (bl) and in Japanese trade (Bl), black in some lists", "did you mean BLU (blue) or BLK (black)?"),
        ("B", IEC, "'B' is not a colour in IEC 60757; it is black in Japanese trade", "did you mean BK (black)?"),
        ("B", DIN, "'B' is not a colour in DIN 47002; it is black in Japanese trade", "did you mean sw (black)?"),
        ("G", IEC, "'G' is not a colour in IEC 60757; it is green in Japanese trade", "did you mean GN (green)?"),
        ("GR", US, "'GR' is not a colour in North American trade; it is grey in DIN 47002 (gr) and in Japanese trade (Gr)", "did you mean GRY (grey)?"),
        ("SB", DIN, "'SB' is not a colour in DIN 47002; it is light blue in Japanese trade (Sb), black in one Swedish book", "did you mean hl bl (light blue) or sw (black)?"),
        ("YE BK", IEC, "'YE BK' is not a colour in IEC 60757", "write YE/BK"),
        ("black", IEC, "'black' is not a colour in IEC 60757", "did you mean BK (black)?"),
        ("purple", US, "'purple' is not a colour in North American trade", "did you mean VIO (violet)?"),
        ("GRNN/WHT", US, "'GRNN' is not a colour in North American trade", "did you mean GRN (green) or ORN (orange) for 'GRNN'?"),
        ("sw/BU", DIN, "'BU' is not a colour in DIN 47002; it is blue in IEC 60757 and in North American trade", "did you mean bl (blue) for 'BU'?"),
        ("GYR", JAPAN, "'GYR' in Japanese trade may be green with a yellow and a red stripe or grey with a red stripe", "write G-Y-R or GY-R"),
        ("DK/GRN", US, "'DK' is a shade, not a colour, in North American trade", "write it before its colour: DK GRN"),
        ("GN", JAPAN, "'GN' is not a colour in Japanese trade; it is green in IEC 60757 and in DIN 47002 (gn) and in North American trade", "did you mean G (green)?"),
        ("YE/BK/RD/WH", IEC, "'YE/BK/RD/WH' has 3 stripes; a wire has at most 2", "write the base and the stripes that can be seen"),
        ("BK/BK", IEC, "'BK/BK' names black twice", "write each colour once, the base first"),
        ("/BK", IEC, "'/BK' has a stroke with no colour beside it", "write the base first, then the stripe"),
        ("", IEC, "the colour is empty", "write unknown if it is not known"),
        ("?", DIN, "'?' is not a colour in DIN 47002", "codes: sw, br, rt, or, ge, gn, bl, vi, gr, ws, rs, tk, hl gn, hl bl, dk gn"),
    ],
)
def test_colours_that_do_not_read(text, convention, message, do):
    assert parse_colour(text, convention) == ColourFault(message, do)


@pytest.mark.parametrize(
    ("text", "convention", "doubt"),
    [
        ("BR", JAPAN, "BR is read as brown; a book that writes stripes close together means black with a red stripe by it: write Br or B-R"),
        ("LG", JAPAN, "LG is read as light green; a book that writes stripes close together means blue with a green stripe by it: write Lg or L-G"),
        ("GY", JAPAN, "GY is read as grey; a book that writes stripes close together means green with a yellow stripe by it: write Gr or G-Y"),
        ("W-BR", JAPAN, "BR is read as brown; a book that writes stripes close together means black with a red stripe by it: write Br or B-R"),
        ("PU", JAPAN, ""),
        ("BL", DIN, "BL is read as bl, blue, but it is black in some lists"),
        ("Br", JAPAN, ""),
        ("b-r", JAPAN, ""),
        ("bl", DIN, ""),
        ("SW/RT", DIN, ""),
        ("BK", IEC, ""),
        ("rubbish", JAPAN, ""),
    ],
)
def test_a_colour_that_reads_but_may_mean_another(text, convention, doubt):
    assert colour_doubt(text, convention) == doubt


def test_every_colour_goes_through_every_convention_and_back():
    every = [Tint(code, shade) for code in dict.fromkeys(t.code for t in tints()) for shade in ("", "dark", "light")]
    pairs = [Colour(t) for t in every] + [Colour(a, (b,)) for a, b in permutations(every, 2)]
    assert len(pairs) > 2000
    wrong = [(c, v, print_colour(c, v)) for c, v in product(pairs, CONVENTIONS) if parse_colour(print_colour(c, v), v) != c]
    assert wrong == []


@pytest.mark.parametrize(
    ("read", "printed"),
    [
        (colour("YE", "BK"), ("YE/BK", "ge/sw", "YEL/BLK", "Y-B")),
        (colour("GN dark", "WH"), ("DK GN/WH", "dk gn/ws", "DK GRN/WHT", "Dg-W")),
        (colour("TAN", "BU"), ("tan/BU", "tan/bl", "TAN/BLU", "T-L")),
        (colour("TQ"), ("TQ", "tk", "turquoise", "turquoise")),
        (colour("RD", "BK", "WH"), ("RD/BK/WH", "rt/sw/ws", "RED/BLK/WHT", "R-B-W")),
    ],
)
def test_colours_print_base_first_in_each_convention(read, printed):
    assert tuple(print_colour(read, c) for c in CONVENTIONS) == printed


def test_colours_in_words():
    assert word(colour("GN", "WH")) == "green with a white stripe"
    assert word(colour("RD", "BK", "OG")) == "red with a black and an orange stripe"
    assert word(colour("BU light")) == "light blue"


def test_every_tint_has_an_ink_of_its_own_and_a_shade_without_takes_the_plain_one():
    inks = [tint_srgb(t) for t in tints()]
    assert len(set(inks)) == len(inks)
    assert tint_srgb(Tint("RD", "dark")) == tint_srgb(Tint("RD"))


@given(st.one_of(st.text(max_size=12), st.text(alphabet="BLGRSbrswtDKLT/- YW", max_size=14)), st.sampled_from(CONVENTIONS))
def test_no_text_raises(text, convention):
    assert isinstance(parse_colour(text, convention), (Colour, ColourFault))
    assert isinstance(colour_doubt(text, convention), str)
