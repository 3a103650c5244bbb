"""Wire colour codes against the published lists, written out here.

IEC 60757 letters: from memory. DIN 47002, North American and Japanese codes: two
lists each.
"""

from __future__ import annotations

import pytest

from harnessdoc.trade.colours import CONVENTIONS, Colour, parse_colour, word

IEC, DIN, US, JAPAN = CONVENTIONS

IEC_60757 = {"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue", "VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "TQ": "turquoise", "GD": "gold", "SR": "silver"}
DIN_47002 = {"sw": "black", "br": "brown", "rt": "red", "or": "orange", "ge": "yellow", "gn": "green", "bl": "blue", "vi": "violet", "li": "violet", "gr": "grey", "ws": "white", "rs": "pink", "tk": "turquoise"}
NORTH_AMERICAN = {"BLK": "black", "BK": "black", "BRN": "brown", "BN": "brown", "RED": "red", "RD": "red", "ORN": "orange", "OG": "orange", "YEL": "yellow", "YE": "yellow", "GRN": "green", "GN": "green", "BLU": "blue", "BU": "blue", "PPL": "violet", "VIO": "violet", "VT": "violet", "GRY": "grey", "GY": "grey", "WHT": "white", "WH": "white", "PNK": "pink", "PK": "pink", "TAN": "tan", "TN": "tan", "DK GRN": "dark green", "LT BLU": "light blue"}
JAPANESE = {"B": "black", "Br": "brown", "R": "red", "O": "orange", "Y": "yellow", "G": "green", "Lg": "light green", "L": "blue", "Bl": "blue", "Sb": "light blue", "Lbl": "light blue", "V": "violet", "PU": "violet", "Gr": "grey", "GY": "grey", "W": "white", "P": "pink", "T": "tan"}


def spoken(convention: str, code: str) -> str:
    read = parse_colour(code, convention)
    return word(read) if isinstance(read, Colour) else read.message


@pytest.mark.outside("IEC 60757 letter codes (from memory)")
def test_iec_60757():
    assert {code: spoken(IEC, code) for code in IEC_60757} == IEC_60757
    assert spoken(IEC, "GNYE") == "green with a yellow stripe"


@pytest.mark.outside("DIN 47002 codes, two published lists")
def test_din_47002():
    assert {code: spoken(DIN, code) for code in DIN_47002} == DIN_47002
    assert spoken(DIN, "gnge") == "green with a yellow stripe"


@pytest.mark.outside("North American wire colour abbreviations, two published lists")
def test_north_american_trade():
    assert {code: spoken(US, code) for code in NORTH_AMERICAN} == NORTH_AMERICAN


@pytest.mark.outside("Japanese wire colour letters, two published lists")
def test_japanese_trade():
    assert {code: spoken(JAPAN, code) for code in JAPANESE} == JAPANESE


@pytest.mark.outside("stripes base first, as makers' books in four countries print them")
def test_base_stands_first():
    assert spoken(US, "GN/WH") == "green with a white stripe"
    assert spoken(US, "PNK/BLK") == "pink with a black stripe"
    assert spoken(JAPAN, "L-Y") == "blue with a yellow stripe"
    assert spoken(JAPAN, "RW") == "red with a white stripe"
    assert spoken(DIN, "swrt") == spoken(DIN, "sw/rt") == "black with a red stripe"
