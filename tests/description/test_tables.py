"""CSV tables: what is read, and where every cell stands."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harnessdoc.description.tables import read_table
from harnessdoc.description.text import SourceText
from harnessdoc.findings import Place


def _read(text: str, key_column: str = "wire"):
    return read_table(SourceText("wires.csv", text), key_column)


def test_rows_read_as_if_they_were_yaml():
    table, findings = _read("wire,from,to,size\n11,X1.1,X2.1,0.75 mm2\n12,X1.2,,\n\n13,X1.3,X2.3\n")
    assert findings == ()
    assert table == {
        "11": {"from": "X1.1", "to": "X2.1", "size": "0.75 mm2"},
        "12": {"from": "X1.2"},
        "13": {"from": "X1.3", "to": "X2.3"},
    }


def test_semicolons_leave_commas_alone():
    table, findings = _read('wire;size;title\r\n11;0,75 mm2;"lamp; left"\r\n')
    assert findings == ()
    assert table == {"11": {"size": "0,75 mm2", "title": "lamp; left"}}


def test_every_cell_knows_its_place():
    table, findings = _read('wire, title ,to\r\nä🚐1, "lamp, ""left""\r\nrear" ,X2.1\r\n  12 ,x, y\r\n')
    assert findings == ()
    row = table["ä🚐1"]
    assert row == {"title": 'lamp, "left"\r\nrear', "to": "X2.1"}
    assert table.place_of_key("ä🚐1") == row.place() == Place("wires.csv", 2, 1)
    assert row.place_of("title") == row.place_of_key("title") == Place("wires.csv", 2, 6)
    assert row.place_of("to") == Place("wires.csv", 3, 8)
    assert table.place_of("12") == Place("wires.csv", 4, 3)
    assert table["12"].place_of("to") == Place("wires.csv", 4, 10)
    assert table["12"].place_of("size") == Place("wires.csv", 4, 3)


BAD = [
    (
        "another first heading",
        "id,from\n11,X1.1\n",
        (
            "table-heading",
            1,
            1,
            "the first heading of this table must be 'wire'; it is 'id'",
            "write a first line with the keys as headings: wire, ...",
        ),
        {},
    ),
    (
        "no heading line",
        ",,\n",
        (
            "table-heading",
            1,
            1,
            "the first heading of this table must be 'wire'; there is none",
            "write a first line with the keys as headings: wire, ...",
        ),
        {},
    ),
    (
        "tabs",
        "wire\tfrom\n11\tX1.1\n",
        (
            "table-heading",
            1,
            5,
            "the columns of this table are parted by tabs",
            "save the table as CSV with commas or semicolons",
        ),
        {},
    ),
    (
        "column without a heading",
        "wire,,to\n11,X1.1,X2.1\n",
        ("table-heading", 1, 6, "column 2 has no heading", "write the key it holds, or take the column out"),
        {"11": {"to": "X2.1"}},
    ),
    (
        "heading twice",
        "wire,to,to\n11,X1.1,X2.1\n",
        (
            "duplicate-key",
            1,
            9,
            "'to' stands twice: here and at wires.csv:1:6",
            "keep one of them, or give this one another name",
        ),
        {"11": {"to": "X1.1"}},
    ),
    (
        "decimal comma",
        "wire,size\n11,0,75 mm2\n12,1 mm2\n",
        (
            "too-many-cells",
            2,
            6,
            "this row has 3 cells, the heading line has 2",
            "quote a cell that holds the separator, or take out a separator at the end of the row",
        ),
        {"12": {"size": "1 mm2"}},
    ),
    (
        "no id",
        "wire,from\n,X1.1\n",
        (
            "missing-id",
            2,
            1,
            "this row has no 'wire', so nothing tells whose 'X1.1' it is",
            "write the wire's name in the first cell",
        ),
        {},
    ),
    (
        "id twice",
        "wire,from\n11,X1.1\n11,X1.2\n",
        (
            "duplicate-key",
            3,
            1,
            "'11' stands twice: here and at wires.csv:2:1",
            "keep one of them, or give this one another name",
        ),
        {"11": {"from": "X1.1"}},
    ),
    (
        "unclosed quote",
        'wire,from\n11,X1.1\n12, "X1.2\n13,X1.3\n',
        (
            "unclosed-quote",
            3,
            5,
            'the quote " that opens this cell does not close',
            'write the closing quote; a quote inside a quoted cell is written twice: ""',
        ),
        {"11": {"from": "X1.1"}},
    ),
    (
        "quote inside a quoted cell",
        'wire,from,to\n11,"the "old" one",X2.1\n12,X1.2,X2.2\n',
        (
            "text-after-value",
            2,
            10,
            'text goes on behind the closing quote of this cell: old" one"',
            'a quote inside a quoted cell is written twice: ""',
        ),
        {"12": {"from": "X1.2", "to": "X2.2"}},
    ),
    (
        "control character",
        "wire,from\n11,X1\x07.1\n",
        (
            "control-character",
            2,
            6,
            "the character U+0007 cannot be seen and is not allowed in a description",
            "delete it (the mark shows where it stands)",
        ),
        {"11": {"from": "X1 .1"}},
    ),
]


@pytest.mark.parametrize("name, text, said, read", BAD, ids=[row[0] for row in BAD])
def test_bad_table(name, text, said, read):
    table, findings = _read(text)
    assert [(f.code, f.place.line, f.place.column, f.message, f.do) for f in findings] == [said]
    assert table == read


_CELLS = st.text(alphabet="ab ,;\"'\n#:é🚐", min_size=0, max_size=6)


@given(st.lists(st.lists(_CELLS, min_size=2, max_size=2), max_size=6), st.sampled_from(",;"))
def test_what_the_library_writes_is_read_back(rows, separator):
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator, lineterminator="\n")
    writer.writerow(["wire", "from", "to"])
    writer.writerows([f"w{number}", *row] for number, row in enumerate(rows))
    table, findings = _read(out.getvalue())
    assert findings == ()
    assert table == {
        f"w{number}": {
            key: cell.strip() for key, cell in zip(("from", "to"), row, strict=True) if cell.strip()
        }
        for number, row in enumerate(rows)
    }


def test_an_empty_surplus_cell_is_what_an_unquoted_comma_leaves_behind():
    _, findings = read_table(SourceText("w.csv", "wire,to,note\n1,X1.1,left, turn\n2,X1.2,rear,\n"), "wire")
    assert [(finding.code, finding.place.line) for finding in findings] == [("too-many-cells", 2), ("too-many-cells", 3)]
    padded, findings = read_table(SourceText("w.csv", "wire,to,,\n1,X1.1,,\n2,,,\n"), "wire")
    assert (padded, findings) == ({"1": {"to": "X1.1"}, "2": {}}, ())
