"""The thesaurus and what is made of words: how the trade writes what a circuit does.

That a wording is used so is common practice, with no source to hold it against; the terminal numbers are those of our table after DIN 72552.
"""

from __future__ import annotations

import pytest

from harnessdoc.merge.wordings import APART, alike, same_letters, terminal_meaning, understood
from harnessdoc.trade.tables import rows

TABLE = rows("function_words")


def meaning(text: str) -> str:
    return next(iter(understood(text).functions), "")


def test_the_table_is_whole():
    functions = {row["meaning"] for row in TABLE if row["sort"] == "function"}
    assert len(functions) >= 80
    assert {row["sort"] for row in TABLE} == {"function", "word", "thing", "filler"}
    assert {row["tradition"] for row in TABLE} == {"full words", "abbreviation", "terminal"}
    assert {row["broader"] for row in TABLE if row["broader"] and row["broader"] not in functions} <= {"coolant temperature", "oil pressure", "supply", "ground", "charging"}
    words = [(row["wording"], row["meaning"]) for row in TABLE if row["sort"] == "word"]
    assert len({wording for wording, _ in words}) == len(words)         # one word, one meaning


def test_terminal_numbers_are_those_of_the_table_after_din_72552():
    stated = {row["number"]: (row["origin"], row["mark"]) for row in rows("relay_terminals")}
    here = {row["wording"]: (row["origin"], row["mark"]) for row in TABLE if row["tradition"] == "terminal"}
    assert len(here) > 25
    assert all(stated[number] == source for number, source in here.items())


@pytest.mark.parametrize("row", [row for row in TABLE if row["sort"] == "function"], ids=lambda row: f"{row['wording']} = {row['meaning']}")
def test_every_wording_means_what_its_row_says(row):
    found = understood(row["wording"]).functions
    assert found.get(row["meaning"], 0.0) >= 0.85, found


@pytest.mark.parametrize(("text", "means"), [
    ("temp gauge snd.", "coolant temperature gauge"), ("Water temp. gauge", "coolant temperature gauge"), ("L/H tail", "side lamp"), ("ign. feed", "ignition feed"), ("49a", "direction indicators"),
    ("61/L", "charge lamp"), ("chk eng lmp", "check-engine lamp"), ("A/C req", "air-conditioning request"), ("P/N switch", "start interlock"), ("brake light switch", "brake switch"),
    ("fan rly ctl", "radiator fan"), ("air conditioning switch", "air-conditioning request"), ("rev counter", "engine speed"), ("ign. 15", "ignition feed"),
])
def test_how_the_trade_writes(text, means):
    assert meaning(text) == means


@pytest.mark.parametrize(("text", "means"), [
    ("radator fan", "radiator fan"), ("charg lapm", "charge lamp"), ("oil pressrue lamp", "oil pressure lamp"), ("alternater warning lamp", "charge lamp"), ("cltch pedal swtch", "clutch switch"), ("tachomter", "engine speed"),
])
def test_misspelt_and_shortened_words_are_known_again(text, means):
    assert meaning(text) == means
    assert text.lower() not in {row["wording"] for row in TABLE}


@pytest.mark.parametrize("text", ["part 61", "plug 15", "15 A", "connector 30", "", "?", "Zylinderkopf", "x" * 300, "+", "/"])
def test_what_says_nothing_says_nothing(text):
    assert understood(text).functions == {}


def test_alike_from_apart_to_one():
    def of(one: str, other: str) -> tuple[float, str]:
        return alike(understood(one), understood(other))

    assert of("charge lamp", "61") == (pytest.approx(1.0, abs=0.11), "charge lamp")
    assert of("charge lamp", "charge lamp") == (1.0, "charge lamp")
    assert of("charge lamp", "horn")[0] == pytest.approx(APART)
    assert 0.4 < of("oil pressure", "oil pressure lamp")[0] < 0.7          # a case of the other
    assert -0.1 <= of("oil gauge", "oil warning lamp")[0] <= 0.5          # two cases of one: what is wired decides
    assert of("", "horn") == (0.0, "")
    assert of("Ladekontrolle", "Ladekontrollleuchte")[0] > 0.3            # letters alone
    assert of("Ladekontrolle", "horn")[0] == pytest.approx(0.0, abs=0.05)


def test_letters_are_compared_without_numbers():
    assert same_letters("part 17", "part 17") == same_letters("part 17", "part 18") == 1.0
    assert same_letters("17", "17") == 0.0


def test_a_terminal_number_is_none_where_it_is_not_said():
    assert terminal_meaning("61") == "charge lamp"
    assert terminal_meaning("62") == ""
