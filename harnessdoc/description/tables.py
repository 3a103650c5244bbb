"""From a CSV table to a map of rows that know their places.

Takes: a source text, and the heading its first column must have. Gives: a map from
id to row, as if the rows had been written in YAML, and findings. A table is
RFC 4180 CSV with commas, or semicolons where the heading line has those (what
spreadsheets write in countries with a decimal comma). Must not know: files, the
schema; so a heading that is no key is left to the schema.

The csv module of the library says on which line a row ends, not where a cell
begins; that is why cells are taken apart here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from sys import intern
from typing import NamedTuple

from harnessdoc.description import traps
from harnessdoc.description.text import Record, SourceText
from harnessdoc.findings import Finding

_CELL = {
    sign: re.compile(rf'[ \t]*+(?:"([^"]*(?:""[^"]*)*)"|(?!")([^{sign}\r\n]*))[ \t]*') for sign in (",", ";")
}
_REST_OF_LINE = re.compile(r"[^\r\n]*")


class _Cell(NamedTuple):
    """A cell's text without quotes and outer spaces, and the mark of its first character."""

    text: str
    mark: int


def read_table(source: SourceText, key_column: str) -> tuple[Record, tuple[Finding, ...]]:
    """The rows of a table by their id, and all findings about its form, sorted.

    key_column: the heading of the first column, which holds the id: ``wire``,
    ``cavity``, ``segment``. A row's map leaves out the id and every empty cell; its
    own place is its id's. A row with a fault is left out.
    """
    text, findings = traps.find_control_characters(source)
    table = Record(source, 0)
    separator, complaint = _separator(source, text)
    if complaint is not None:
        return table, (complaint,)
    rows = _rows(source, text, separator, findings)
    first = next(rows, [])
    headings = _headings(source, first, key_column, findings)
    if headings is not None:
        for cells in rows:
            # a spreadsheet pads every row to the same width, the heading line too
            while len(headings) < len(cells) <= len(first) and not cells[-1].text:
                cells.pop()
            _add_row(table, source, headings, cells, findings)
    return table, tuple(sorted(findings, key=lambda finding: finding.sort_key))


def _separator(source: SourceText, text: str) -> tuple[str, Finding | None]:
    first = text.lstrip("\r\n").split("\n", 1)[0]
    bare = re.sub(r'"[^"]*"', "", first)
    if "\t" in bare and "," not in bare and ";" not in bare:
        mark = text.index("\t")
        do = "save the table as CSV with commas or semicolons"
        return ",", traps.error(
            "table-heading", source.place(mark), "the columns of this table are parted by tabs", do
        )
    return (";" if bare.count(";") > bare.count(",") else ","), None


def _rows(source: SourceText, text: str, separator: str, findings: list[Finding]) -> Iterator[list[_Cell]]:
    """The rows that are not blank; one that cannot be taken apart gives a finding instead."""
    cell = _CELL[separator]
    position, length = 0, len(text)
    row: list[_Cell] = []
    broken = False
    while position < length:
        match = cell.match(text, position)
        if match is None:
            # only an opening quote without its partner keeps a cell from matching
            mark = text.index('"', position)
            do = 'write the closing quote; a quote inside a quoted cell is written twice: ""'
            findings.append(
                traps.error(
                    "unclosed-quote",
                    source.place(mark),
                    'the quote " that opens this cell does not close',
                    do,
                )
            )
            return
        if match[1] is not None:
            row.append(_Cell(match[1].replace('""', '"').strip(), match.start(1) - 1))
        else:
            bare = match[2].rstrip()
            row.append(_Cell(bare, match.start(2)))
        position = match.end()
        sign = text[position : position + 1]
        if sign == separator:
            position += 1
            if position < length and text[position] not in "\r\n":
                continue
            row.append(_Cell("", position))
        elif sign not in ("\r", "\n", ""):
            rest = _REST_OF_LINE.match(text, position)[0]
            message = f"text goes on behind the closing quote of this cell: {rest.split(separator)[0]}"
            findings.append(
                traps.error(
                    "text-after-value",
                    source.place(position),
                    message,
                    'a quote inside a quoted cell is written twice: ""',
                )
            )
            position += len(rest)
            broken = True
        # the end of a line, \r\n counted once
        position += 2 if text.startswith("\r\n", position) else 1
        if not broken and any(cell.text for cell in row):
            yield row
        row, broken = [], False


def _headings(
    source: SourceText, cells: list[_Cell], key_column: str, findings: list[Finding]
) -> list[str] | None:
    """The headings, or None if the first is not the one the table must have."""
    while cells and not cells[-1].text:
        cells = cells[:-1]
    place = source.place(cells[0].mark if cells else 0)
    if not cells or cells[0].text != key_column:
        found = f"it is '{cells[0].text}'" if cells else "there is none"
        do = f"write a first line with the keys as headings: {key_column}, ..."
        findings.append(
            traps.error(
                "table-heading", place, f"the first heading of this table must be '{key_column}'; {found}", do
            )
        )
        return None
    first: dict[str, _Cell] = {}
    for number, cell in enumerate(cells, start=1):
        if not cell.text:
            message = f"column {number} has no heading"
            findings.append(
                traps.error(
                    "table-heading",
                    source.place(cell.mark),
                    message,
                    "write the key it holds, or take the column out",
                )
            )
        elif cell.text in first:
            findings.append(
                traps.duplicate_key(cell.text, source.place(cell.mark), source.place(first[cell.text].mark))
            )
        first.setdefault(cell.text, cell)
    return [intern(cell.text) for cell in cells]


def _add_row(
    table: Record, source: SourceText, headings: list[str], cells: list[_Cell], findings: list[Finding]
) -> None:
    key = cells[0]
    # an empty surplus cell counts too: it is what an unquoted comma leaves behind
    if len(cells) > len(headings):
        message = f"this row has {len(cells)} cells, the heading line has {len(headings)}"
        findings.append(
            traps.error(
                "too-many-cells",
                source.place(cells[len(headings)].mark),
                message,
                "quote a cell that holds the separator, or take out a separator at the end of the row",
            )
        )
    elif not key.text:
        filled = next(cell for cell in cells if cell.text)
        message = f"this row has no '{headings[0]}', so nothing tells whose '{filled.text}' it is"
        findings.append(
            traps.error(
                "missing-id",
                source.place(key.mark),
                message,
                f"write the {headings[0]}'s name in the first cell",
            )
        )
    elif key.text in table:
        findings.append(traps.duplicate_key(key.text, source.place(key.mark), table.place_of_key(key.text)))
    else:
        row = Record(source, key.mark)
        for position in range(1, len(cells)):
            cell, heading = cells[position], headings[position]
            if cell.text and heading and heading not in row:
                row.add(heading, intern(cell.text), cell.mark, cell.mark)
        table.add(key.text, row, key.mark, key.mark)
