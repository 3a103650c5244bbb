"""Labels on label paper: rows and columns of labels of one size, one label in each.

Takes the labels and the paper as its user measures it; gives pages without frame or title
block, every label exactly on its place, and the labels whose words do not fit: these print their number
alone. What cannot be printed on is told by ``fault`` before anything is drawn. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import floor

from ..drawing.page import Paper
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area, Drawing
from ..geometry.labels import Label
from ..network.cavity_order import counted
from .label_cell import LEAST, draw_block, number_alone, stacked

PAD = 1.5
"""Kept free between the edge of a label and its text: cheap printers feed paper so exactly (common practice)."""
LEAST_WIDTH, LEAST_HEIGHT = 14.0, 7.0
"""The smallest label: one line of the smallest letters with its number of 2.5 mm, PAD around it. Whether the words fit is seen label by label."""


@dataclass(frozen=True, slots=True)
class LabelPaper:
    """Label paper: how many labels, the margins to the first and last of them, the gaps between two."""

    paper: Paper
    rows: int
    columns: int
    top: float
    bottom: float
    left: float
    right: float
    gap_across: float
    gap_down: float

    @property
    def label_width(self) -> float:
        return (self.paper.width_mm - self.left - self.right - (self.columns - 1) * self.gap_across) / self.columns

    @property
    def label_height(self) -> float:
        return (self.paper.height_mm - self.top - self.bottom - (self.rows - 1) * self.gap_down) / self.rows

    @property
    def count(self) -> int:
        """Labels on one sheet."""
        return self.rows * self.columns

    def place(self, index: int) -> Area:
        """The label ``index`` (0 is top left) of a sheet, row by row."""
        row, column = divmod(index, self.columns)
        width, height = self.label_width, self.label_height
        return Area(self.left + column * (width + self.gap_across), self.top + row * (height + self.gap_down), width, height)


@dataclass(frozen=True, slots=True)
class Unfit:
    """A label whose words do not fit into width x height mm even at the least height of letters."""

    label: Label
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class LabelPages:
    """What was drawn, and what did not fit."""

    pages: tuple[Drawing, ...]
    unfit: tuple[Unfit, ...]


def fault(paper: LabelPaper, first: int) -> tuple[str, str] | None:
    """What is wrong with the numbers and the way out; None where the paper can be printed on. first: place of the first label, from 1."""
    ways = (("rows", "a row", "high", paper.rows, paper.paper.height_mm, paper.top, paper.bottom, paper.gap_down, LEAST_HEIGHT, ("top", "bottom", "gap-down")),
            ("columns", "a column", "wide", paper.columns, paper.paper.width_mm, paper.left, paper.right, paper.gap_across, LEAST_WIDTH, ("left", "right", "gap-across")))
    for name, one, how, count, length, before, behind, gap, least, options in ways:
        if count < 1:
            return f"--{name} {count}: label paper has at least {one}", f"count the {name} of labels on the paper in your hand"
        room = length - before - behind
        if room < least:
            return (f"margins of {before:g} and {behind:g} mm leave {max(room, 0):g} mm of {paper.paper.name}, {length:g} mm {how}",
                    f"measure from the edge of the paper to the first label and from the last label to the edge: --{options[0]}, --{options[1]}")
        size = (room - (count - 1) * gap) / count
        if size < least:
            return (f"--{name} {count} makes labels {max(size, 0):.1f} mm {how}; to be read at {LEAST:g} mm letters they need {least:g} mm",
                    f"at most {floor((room + gap) / (least + gap) + 1e-9)} {name} fit between these margins and gaps; or change --{options[0]}, --{options[1]}, --{options[2]}")
    if not 1 <= first <= paper.count:
        return f"--first {first}, but the paper has {paper.count} labels", f"count the labels from the top left, row by row: 1 to {paper.count}"
    return None


def print_order(labels: Iterable[Label]) -> list[Label]:
    """Those of joins first, by number, so that what belongs together is peeled off together; the others as they come."""
    return sorted(labels, key=lambda label: (not label.joins, tuple(map(counted, label.joins))))


def draw_label_paper(labels: Sequence[Label], paper: LabelPaper, first: int = 1, outline: bool = False) -> LabelPages:
    """The pages; ``first``: the place of the first label, from 1, on a sheet already begun; ``outline``: draw the edge of every label of the paper."""
    pens: list[Pen] = []
    unfit: list[Unfit] = []
    for index, label in enumerate(labels, start=first - 1):
        page, on_page = divmod(index, paper.count)
        while len(pens) <= page:
            pens.append(_page(paper, outline))
        cell = paper.place(on_page)
        width, height = cell.w - 2 * PAD, cell.h - 2 * PAD
        block = stacked(label, width, height)
        if block is None:
            unfit.append(Unfit(label, width, height))
            block = number_alone(label, width, height)
        if block is not None:
            draw_block(pens[page], cell.x + PAD, cell.y + (cell.h - block.height) / 2, block, f"label:{label.wire}:{label.end}")
    return LabelPages(tuple(pen.drawing() for pen in pens), tuple(unfit))


def _page(paper: LabelPaper, outline: bool) -> Pen:
    pen = Pen(paper.paper.width_mm, paper.paper.height_mm)
    if outline:
        for index in range(paper.count):
            cell = paper.place(index)
            pen.rect(cell.x, cell.y, cell.w, cell.h, THIN, tag="edge")
    return pen
