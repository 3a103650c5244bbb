"""The lists as CSV."""

from __future__ import annotations

import csv
import io

import pytest
from sheets.contexts import context_of

from harnessdoc.book.lists import LISTS, cut_csv, guarded, labels_csv, parts_csv

HARNESS = """
    colours: IEC 60757
    wire-type: PVC 85 C
    allowances: {end: 0 mm, rounding: {step: 0 mm}}
    segments:
      T1: {from: P1, to: P2, length: 400 mm}
    connectors:
      X1: {place: P1, face: [[1..6]], view: mating face, terminal: "=HYPERLINK(1)"}
      X2: {place: P2, face: [[1..6]], view: mating face}
    cables:
      C1: {part: "core, shielded", shield: foil}
    wires:
      1: {from: X1.1, to: X2.1, size: 2 mm2, colour: RD, circuit: "@pump"}
      2: {from: X1.2, to: X2.2, size: 2 mm2, colour: RD, length: 350 mm}
      3: {from: X1.3, to: unknown}
      4: {from: X1.4, to: X2.4, size: 0.5 mm2, colour: WH, cable: C1}
"""


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_the_cut_list_reads_back() -> None:
    rows = {row["wire"]: row for row in read(cut_csv(context_of(HARNESS)))}
    assert rows["1"] == {
        "size": "2 mm²", "type": "PVC 85 C", "colour": "RD", "wire": "1", "circuit": "'@pump", "cut-mm": "400", "finished-mm": "400", "measured-minus-routed-mm": "",
        "from": "X1.1", "from-terminal": "'=HYPERLINK(1)", "from-seal": "", "from-strip-mm": "5", "from-label": "1 | 2 mm² RD | to X2.1",
        "to": "X2.1", "to-terminal": "", "to-seal": "", "to-strip-mm": "5", "to-label": "1 | 2 mm² RD | to X1.1", "pair": "", "lay-mm": "", "cable": "", "core": "",
    }
    assert rows["2"]["cut-mm"] == "350" and rows["2"]["measured-minus-routed-mm"] == "-50"
    assert rows["3"]["cut-mm"] == "" and rows["3"]["to"] == "unknown"


def test_a_cable_stands_once_before_its_cores() -> None:
    rows = read(cut_csv(context_of(HARNESS)))
    cable, core = (row for row in rows if row["cable"] == "C1")
    assert (cable["wire"], cable["type"], cable["cut-mm"]) == ("", "core, shielded", "400")
    assert (core["wire"], core["core"], core["cut-mm"]) == ("4", "core", "")


def test_parts_and_labels_read_back() -> None:
    context = context_of(HARNESS)
    terminal = read(parts_csv(context))[0]
    assert (terminal["kind"], terminal["part"], terminal["quantity"], terminal["unit"], terminal["where"]) == ("terminal", "'=HYPERLINK(1)", "4", "piece", "X1.1; X1.2; X1.3; X1.4")
    labels = read(labels_csv(context))
    assert [(row["wire"], row["end"], row["at"], row["label"]) for row in labels[:2]] == [("1", "A", "X1.1", "1 | 2 mm² RD | to X2.1"), ("1", "B", "X2.1", "1 | 2 mm² RD | to X1.1")]


def test_lines_end_in_a_line_feed_alone_and_an_empty_harness_has_headings() -> None:
    for make in LISTS.values():
        text = make(context_of("title: t"))
        assert text.count("\n") == 1 and text.endswith("\n") and "\r" not in text


@pytest.mark.parametrize(("cell", "kept"), [
    ("=1+1", "'=1+1"), ("+wire", "'+wire"), ("-wire", "'-wire"), ("@pump", "'@pump"), ("\tx", "'\tx"), ("--1", "'--1"), ("-1+2", "'-1+2"),
    ("-50", "-50"), ("-0.5", "-0.5"), ("YE/BK", "YE/BK"), ("'x", "'x"), ("", ""), ("1-2", "1-2"),
])
def test_only_what_a_spreadsheet_would_reckon_is_guarded(cell: str, kept: str) -> None:
    assert guarded(cell) == kept
