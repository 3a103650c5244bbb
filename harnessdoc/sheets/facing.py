"""Running text above and below a drawing: across the page, or in a column on each of two facing pages, so that none is in the fold.

Takes the paper and the texts; sets them in lines, says how wide a line may be and how many rows they take, and draws them. Lengths in mm.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from ..drawing.lettering import Weight, wrap
from ..drawing.page import FOLD_CLEAR, Paper
from ..drawing.pen import Pen
from ..drawing.record import Area

_SENTENCE_ENDS = re.compile(r"(?<=\.) (?=[A-Z(])")


def line_width(paper: Paper, width: float) -> float:
    """The width of a line on a page with ``width`` free."""
    return width / 2 - FOLD_CLEAR if paper.booklet == "spread" else width


def rows_of(paper: Paper, lines: Sequence[str]) -> int:
    """How many rows the lines take."""
    return -(-len(lines) // 2) if paper.booklet == "spread" else len(lines)


def set_lines(paper: Paper, texts: Sequence[str], width: float, height: float, weight: Weight = "regular") -> list[str]:
    """The texts in lines as ``draw_lines`` takes them, each text on a line of its own; on facing pages no sentence goes on beyond the fold, unless it alone is longer than a column."""
    room = line_width(paper, width)

    def wrapped(some: Sequence[str]) -> list[str]:
        return [line for text in some for line in wrap(text, room, height, weight)]

    plain = wrapped(texts)
    if paper.booklet != "spread" or len(plain) < 2:
        return plain
    parted = [[wrapped(one) for one in columns] for columns in _parted(texts)]
    left, right = min(parted, key=lambda columns: (max(map(len, columns)), len(columns[1])))
    rows = max(len(left), len(right))
    if rows > rows_of(paper, plain) + 1:
        return plain
    # empty lines below either, so that the right column begins with its own
    return [*left, *[""] * (rows - len(left)), *right, *[""] * (rows - len(right))]


def _parted(texts: Sequence[str]) -> Iterator[tuple[list[str], list[str]]]:
    """Every way to part texts behind a sentence: what is left of the fold, and what is right of it."""
    for number, text in enumerate(texts):
        said = _SENTENCE_ENDS.split(text)
        for end in range(1, len(said) + 1):
            rest = " ".join(said[end:])
            yield [*texts[:number], " ".join(said[:end])], [*([rest] if rest else []), *texts[number + 1:]]


def draw_lines(pen: Pen, paper: Paper, area: Area, base: float, pitch: float, lines: Sequence[str], height: float, weight: Weight = "regular", tag: str = "") -> None:
    """The lines, the first on the baseline ``base``; on facing pages the left column is read first. An empty line keeps its room."""
    for x, row, line in _places(paper, area, lines):
        if line:
            pen.text(x, base + row * pitch, line, height, weight=weight, tag=tag)


def _places(paper: Paper, area: Area, lines: Sequence[str]) -> Iterator[tuple[float, int, str]]:
    rows = rows_of(paper, lines)
    for number, line in enumerate(lines):
        column, row = divmod(number, rows)
        yield (area.x + area.w / 2 + FOLD_CLEAR if column else area.x), row, line
