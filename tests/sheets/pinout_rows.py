"""Rows of a table read back from the marks of a drawing, for the tests of pinout, relay and box sheets.

A row begins with the text in the first column; a line that has nothing there belongs to
the row above it.
"""

from __future__ import annotations

from collections.abc import Iterable

from sheets.checks import inside_frame

from harnessdoc.drawing.record import Drawing

SAME = 0.05


def table_rows(drawings: Iterable[Drawing], head: str) -> list[list[list[str]]]:
    """All rows below the column head ``head`` (the first column), each as its lines from left to right."""
    rows: list[list[list[str]]] = []
    for drawing in drawings:
        marks = [mark for mark in inside_frame(drawing) if mark.tag not in ("title block", "remarks")]
        for title in [mark for mark in marks if mark.text == head and mark.weight == "bold" and mark.height < 2]:
            edge = title.start()[0]
            below = [mark for mark in marks if mark.y > title.y + SAME and mark.start()[0] > edge - SAME and mark.height > 2 and (mark.weight == "regular" or mark.tag == "table")]
            for y in sorted({round(mark.y, 2) for mark in below}):
                line = sorted((mark for mark in below if abs(mark.y - y) < SAME), key=lambda mark: mark.start()[0])
                if abs(line[0].start()[0] - edge) < SAME:
                    rows.append([[mark.text for mark in line]])
                elif rows:
                    rows[-1].append([mark.text for mark in line])
    return rows
