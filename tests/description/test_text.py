"""Places: line and column of marks, keys, values, items and rows."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from harnessdoc.description.reader import read_yaml
from harnessdoc.description.tables import read_table
from harnessdoc.description.text import SourceText, place_at
from harnessdoc.findings import Place


def _read(text: str):
    record, findings = read_yaml(SourceText("heron.yaml", text))
    assert findings == ()
    return record


def test_columns_count_characters_not_bytes():
    record = _read('title: "Überlänge 🚐 Ω"\nwires:\n  ä🚐1: {from: X1.Ω, to: X2.1}\n')
    wire = record["wires"]["ä🚐1"]
    assert record.place_of("title") == Place("heron.yaml", 1, 8)
    assert record["wires"].place_of_key("ä🚐1") == Place("heron.yaml", 3, 3)
    assert wire.place() == Place("heron.yaml", 3, 8)
    assert wire.place_of("from") == Place("heron.yaml", 3, 15)
    assert wire.place_of_key("to") == Place("heron.yaml", 3, 21)


def test_every_kind_of_line_end_is_one():
    for end in ("\n", "\r\n", "\r"):
        record = _read(f"title: Heron{end}{end}wires:{end}  11: {{from: X1.1, to: X2.1}}{end}")
        assert record["wires"]["11"].place_of("to") == Place("heron.yaml", 4, 24)
        assert record.source.line(4) == "  11: {from: X1.1, to: X2.1}"
        assert record.source.line_count == 4


def test_scalars_stay_the_text_that_was_written():
    words = "010 1_0 12:30 1e3 off on no yes null ~ 2024-01-01 0x1F .5 1..13 true <<".split()
    record = _read("".join(f"k{number}: {word}\n" for number, word in enumerate(words)))
    assert list(record.values()) == words
    assert list(_read("010: a\noff: b\n1..13: c\n12:30: d\n")) == ["010", "off", "1..13", "12:30"]


def test_empty_and_quoted_empty_are_two_things():
    record, findings = read_yaml(SourceText("heron.yaml", 'a:\nb: ""\n'))
    assert dict(record) == {"a": None, "b": ""}
    assert record.place_of("a") == Place("heron.yaml", 1, 1)
    assert [finding.code for finding in findings] == ["empty-value"]


def test_a_repeat_stands_where_it_is_repeated():
    record = _read("a: &name {x: y}\nb: *name\n")
    assert record["b"] == {"x": "y"}
    assert record.place_of("b") == Place("heron.yaml", 2, 4)


def test_place_at_follows_a_path_and_stops_at_the_deepest_parent():
    record = _read("connectors:\n  X1: {face: [[1, 2], [3]]}\n")
    assert place_at(record, ["connectors", "X1", "face", 1, 0]) == Place("heron.yaml", 2, 24)
    assert place_at(record, ["connectors", "X1", "face", 0, 9]) == Place("heron.yaml", 2, 15)
    assert place_at(record, ["connectors", "X1", "face"], of_key=True) == Place("heron.yaml", 2, 8)
    assert place_at(record, ["connectors", "X2", "face"]) == Place("heron.yaml", 2, 3)
    assert place_at(record, ["wires"]) == Place("heron.yaml", 1, 1)
    assert place_at(record, []) == Place("heron.yaml", 1, 1)


def test_a_large_map_answers_for_every_key():
    record = _read("".join(f"k{number}: v{number}\n" for number in range(200)))
    assert [record.place_of_key(f"k{number}").line for number in range(200)] == list(range(1, 201))


def test_replaced_and_with_rows_leave_the_first_map_as_it_was():
    record = _read("title: Heron\nwires:\n  11: {from: X1.1, to: X2.1}\n")
    rows, _ = read_table(SourceText("wires.csv", "wire,from\n12,X1.2\n11,X9.9\n"), "wire")
    wires = record["wires"].with_rows(rows)
    assert list(wires) == ["11", "12"] and list(record["wires"]) == ["11"]
    assert wires["11"]["from"] == "X1.1"
    assert wires.place_of_key("12") == wires.place_of("12") == Place("wires.csv", 2, 1)
    assert wires.place_of_key("11") == Place("heron.yaml", 3, 3)
    other = record.replaced("wires", wires, 0, 0).replaced("new", "x", 13, 20)
    assert other.place_of_key("wires") == Place("heron.yaml", 2, 1)
    assert other.place_of_key("new") == Place("heron.yaml", 2, 1)
    assert list(record) == ["title", "wires"]


@given(st.text(alphabet="ab\n\r🚐"), st.data())
def test_mark_and_place_are_inverse(text, data):
    source = SourceText("heron.yaml", text)
    mark = data.draw(st.integers(0, len(text)))
    place = source.place(mark)
    assert source.mark(place.line, place.column) == mark
    assert 1 <= place.line <= source.line_count + 1


def test_a_large_map_that_was_asked_while_it_grew():
    text = "".join(f"k{number}: v\n" for number in range(50)) + "k3: again\nlast: v\n"
    record, (finding,) = read_yaml(SourceText("heron.yaml", text))
    assert finding.related[0].place == Place("heron.yaml", 4, 1)
    assert record.place_of_key("last") == Place("heron.yaml", 52, 1)
