"""Ids: which can be used, and what is said of the others."""

from __future__ import annotations

import pytest
from described import built, clean, said
from hypothesis import given
from hypothesis import strategies as st

from harnessdoc.model.ids import id_fault, name_fault, names, nearest, one_of, printable, spread


@pytest.mark.parametrize("name", [
    "X1", "010", "on", "12:30", "charge lamp", "B+", "87a", "engine #2", "Kühler", "東", "🔧", "<script>", "it's", 'the "big" one', "a.b", "x" * 60])
def test_an_id_that_can_be_used(name):
    assert id_fault(name) == ""


@pytest.mark.parametrize("name, fault", [
    ("", "is empty"),
    ("   ", "is empty"),
    (" X1", "begins or ends with a space"),
    ("host/X1", "has a `/` in it: a slash is kept for host/ and donor/ of a merge"),
    ("a\\b", "has a `\\` in it"),
    ("X\x071", "has the invisible character U+0007 in it"),
    ("X1\u200f", "has the invisible character U+200F in it"),
    ("\u202eX1", "has the invisible character U+202E in it"),
    ("a\u2028b", "has the invisible character U+2028 in it"),
    ("unknown", "is the word `unknown`, which has a meaning of its own"),
    ("OPEN", "is the word `open`, which has a meaning of its own"),
    ("x" * 61, "has 61 characters; at most 60 fit a label"),
])
def test_an_id_that_cannot(name, fault):
    assert id_fault(name) == fault


def test_a_name_behind_the_dot_has_no_dot():
    assert name_fault("87a") == ""
    assert name_fault("8.7") == "has a dot in it: the last dot of an address divides"


@given(st.text())
def test_what_stands_in_a_message_can_be_seen(name):
    assert id_fault(name) or not any(character in "\r\n\u200b\u202e\x07" for character in name)
    assert not any(character in "\u200b\u202e\x07\u2028" for character in printable(name))


@pytest.mark.parametrize("section", ["places", "segments", "devices", "connectors", "boxes", "fuses", "fusible-links", "relays", "diodes",
                                     "resistors", "splices", "grounds", "circuits", "cables", "pairs", "wires", "cavities"])
def test_ids_of_every_section_are_looked_at(section):
    entry = {"wires": "{from: unknown, to: unknown}", "segments": "{from: P1, to: P2}"}.get(section, "{note: seen}")
    _, findings = built(f'{section}:\n  "a/b": {entry}\n')
    assert said(findings) == [f"2:3: bad-id: the id of {one_of(section)} 'a/b' has a `/` in it: a slash is kept for host/ and donor/ of a merge"]


def test_a_refused_id_is_in_nothing_that_follows():
    harness, _ = built('connectors:\n  "a/b": {face: [[1]], view: mating face}\n  X1: {face: [[1]], view: mating face}\n')
    assert list(harness.connectors) == ["X1"]
    assert list(harness.contacts) == ["X1.1"]


def test_wires_circuits_and_owners_have_name_spaces_of_their_own():
    clean("connectors:\n  A: {face: [[1]], view: mating face}\ncircuits:\n  A: {title: lamp}\nwires:\n  A: {from: A.1, to: unknown}\npairs:\n  A: {}\n")


def test_ids_that_differ_in_case_are_two_in_one_section_too():
    _, findings = built("wires:\n  a: {from: unknown, to: G1}\n  A: {from: unknown, to: G1}\ngrounds:\n  G1: {}\n")
    assert said(findings) == ["3:3: ids-differ-by-case: wire A and wire a differ only in case"]
    assert str(findings[0].related[0].place) == "main.yaml:2:3"


def test_the_word_for_one():
    assert [one_of(section) for section in ("boxes", "fusible-links", "cavities", "wires", "splices")] == [
        "box", "fusible link", "cavity", "wire", "splice"]


def test_a_long_list_is_cut_short():
    assert names([]) == "none yet"
    assert names("ABC") == "A, B, C"
    assert names("ABCDEFGH") == "A, B, C, D, E, F and 2 more"


def test_the_nearest_id_in_any_case():
    assert nearest("x1", ["X1", "X2"]) == "X1"
    assert nearest("bulkhed", ["dashboard", "bulkhead"]) == "bulkhead"
    assert nearest("X1", ["K9"]) == ""


WIRES = [f"donor/{number}" for number in range(101, 603) if number != 206]


@pytest.mark.parametrize(("written", "meant"), [
    ("donor/206", "donor/260"),     # two digits that changed places
    ("donor/5699", "donor/569"),    # one too many, at the end
    ("doner/260", "donor/260"),     # the number is right
    ("donor/999", ""),              # as well 199 as 599
    ("donor/26", ""),               # as well 261 as 126
    ("donor/603", ""),              # as well 602 as 601
    ("donor/1", ""),
    ("donr/999", ""),
])
def test_a_number_is_near_where_one_slip_leads_to_it_alone(written, meant):
    assert nearest(written, WIRES) == meant


def test_a_missing_and_a_wrong_digit():
    assert nearest("host/4", ["host/37", "host/41"]) == "host/41"
    assert nearest("host/47", ["host/37", "host/51"]) == "host/37"
    assert nearest("host/99", ["host/37", "host/41"]) == ""
    assert nearest("E1.51", ["E1.15", "E1.2"]) == "E1.15"


def test_numbers_are_told_by_their_range():
    assert spread(map(str, range(3, 40))) == "3 to 39"
    assert spread(["12", "7", "A"]) == "12, 7, A"
    assert spread([*map(str, range(1, 10)), "9a", "x"]) == "1 to 9; 9a, x"
