"""A reader of pinout pages: from the PDF alone, the cells of every row.

The ruled lines give the cells, the text in a cell its words; no tag, no record and no
code of the program's drawing is used. A page with two mated halves has the cavity in
the middle: what stands left of it is of the first half, what stands right of it of the
second.
"""

from __future__ import annotations

from collections.abc import Iterator

import pypdfium2
import pypdfium2.raw as pdfium

Row = list[tuple[str, list[str]]]
"""(column head, lines of text) from left to right."""


def rows_of(pdf: bytes, halves: tuple[str, ...]) -> dict[str, dict[str, list[str]]]:
    """Address -> head ("Wire", "Colour", "Far end" ...) -> lines, for every wired cavity of the sheet."""
    found: dict[str, dict[str, list[str]]] = {}
    for page in pypdfium2.PdfDocument(pdf):
        for row in table_on(page):
            heads = [head for head, _ in row]
            middle = heads.index("Cavity")
            cavity = row[middle][1][0]
            sides = [row[:middle], row[middle + 1 :]] if len(halves) == 2 else [row]
            for half, side in zip(halves, sides, strict=True):
                cells = {head.removesuffix(f" {half}"): lines for head, lines in side if head}
                if cells["Wire"] not in ([], ["empty"]):
                    found[f"{half}.{cavity}"] = cells
    return found


def table_on(page: pypdfium2.PdfPage) -> Iterator[Row]:
    """The rows of the page's table; lines across all columns (empty cavities, remarks) left out."""
    text = page.get_textpage()
    across, down = rules(page)
    head = text.search("Cavity", match_case=True, match_whole_word=True).get_next()
    if not head:
        return  # a last page of remarks
    x, y = text.get_charbox(head[0])[:2]
    wide = [rule for rule in across if rule[0] <= x <= rule[1] and rule[1] - rule[0] > 400]
    levels = sorted({round(rule[2], 1) for rule in wide}, reverse=True)
    top = min(level for level in levels if level > y)
    levels = [level for level in levels if level <= top]
    edges = sorted({round(rule[2], 1) for rule in down if rule[0] < top - 1 <= rule[1] + 1})
    columns = list(zip(edges, edges[1:]))
    heads = [" ".join(cell(text, left, levels[1], right, levels[0])) for left, right in columns]
    for upper, lower in zip(levels[1:], levels[2:]):
        middle = (upper + lower) / 2
        if sum(rule[0] < middle < rule[1] for rule in down) >= len(columns):
            yield [(name, cell(text, left, lower, right, upper)) for name, (left, right) in zip(heads, columns)]


def rules(page: pypdfium2.PdfPage) -> tuple[list[tuple[float, float, float]], list[tuple[float, float, float]]]:
    """Straight lines in points as (least, greatest, position): those across, and those down."""
    across, down = [], []
    for thing in page.get_objects(filter=(pdfium.FPDF_PAGEOBJ_PATH,)):
        left, bottom, right, top = thing.get_bounds()
        if right - left > 20 and top - bottom < 3:
            across.append((left, right, (top + bottom) / 2))
        elif top - bottom > 5 and right - left < 3:
            down.append((bottom, top, (left + right) / 2))
    return across, down


def cell(text: pypdfium2.PdfTextPage, left: float, bottom: float, right: float, top: float) -> list[str]:
    """The lines of text in a cell."""
    words = text.get_text_bounded(left, bottom, right, top).replace("\r", "")
    return [line.strip() for line in words.split("\n") if line.strip()]
