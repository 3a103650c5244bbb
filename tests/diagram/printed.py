"""The letters of a sheet as an independent library finds them in its PDF, and what they must keep clear of.

``letters`` takes a Drawing; gives every text of its PDF with the boxes of its letters as pypdfium2 measures them, in mm from
the top left. ``overlaps`` sets these against the strokes and fills of the recorded marks and against each other; ``outside``
finds what leaves the frame; ``too_near`` finds parallel lines less than 1.5 mm apart.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium

from harnessdoc.drawing.pdf import Meta, PdfPage, write_pdf
from harnessdoc.drawing.record import Box, Circle, Drawing, Mark, Polyline, Rect, bounds

from .lines import FRAME, Lines, read_lines, strokes

MM = 25.4 / 72
TOUCH = 0.02
"""What overlaps by less, in mm, only touches."""
NEAREST = 1.5
"""Parallel lines are no nearer, from axis to axis in mm."""


@dataclass(frozen=True, slots=True)
class Letters:
    """One text: ``boxes`` of its letters (left, top, right, bottom)."""

    text: str
    boxes: tuple[Box, ...]


def letters(drawing: Drawing) -> list[Letters]:
    """Every text object of the PDF with the tight boxes of its letters; blanks have none."""
    page = pypdfium2.PdfDocument(write_pdf([PdfPage(drawing, "page", "1")], Meta("page")))[0]
    text = page.get_textpage()
    found: dict[int, list[tuple[str, Box]]] = {}
    for index in range(text.count_chars()):
        code = pdfium.FPDFText_GetUnicode(text, index)
        owner = pdfium.FPDFText_GetTextObject(text, index)
        if chr(code).isspace() or pdfium.FPDFText_IsGenerated(text, index):
            continue
        left, bottom, right, top = text.get_charbox(index)
        found.setdefault(ctypes.addressof(owner.contents), []).append((chr(code), (left * MM, drawing.height_mm - top * MM, right * MM, drawing.height_mm - bottom * MM)))
    return [Letters("".join(letter for letter, _ in members), tuple(box for _, box in members)) for members in found.values()]


def overlaps(drawing: Drawing) -> list[str]:
    """Letters that lie on a stroke, a fill or a letter of another text."""
    written = letters(drawing)
    lines = np.array([(*a, *b, mark.width / 2) for mark in drawing.marks if getattr(mark, "width", 0) > 0 for a, b in strokes(mark)])
    fills = np.array([bounds(mark) for mark in drawing.marks if _filled(mark)]).reshape(-1, 4)
    boxes = np.array([box for text in written for box in text.boxes])
    owner = np.array([number for number, text in enumerate(written) for _ in text.boxes])
    faults: dict[str, None] = {}
    for box, number in zip(boxes, owner, strict=True):
        text = written[number].text
        at = f"at {box[0]:.1f}, {box[3]:.1f}"
        for index in np.flatnonzero(_crossed(lines, box)):
            faults[f"text {text!r} {at} over a line {tuple(round(float(value), 2) for value in lines[index, :4])}"] = None
        if _meet(fills, box).any():
            faults[f"text {text!r} {at} over a fill"] = None
        for index in np.flatnonzero(_meet(boxes, box) & (owner > number)):
            faults[f"text {text!r} {at} over text {written[owner[index]].text!r}"] = None
    return list(faults)


def _filled(mark: Mark) -> bool:
    return isinstance(mark, (Circle, Rect, Polyline)) and mark.fill is not None and not (isinstance(mark, Rect) and mark.fill.upper() == "#FFFFFF")


def _meet(others: np.ndarray, box: np.ndarray) -> np.ndarray:
    return (others[:, 0] < box[2] - TOUCH) & (box[0] < others[:, 2] - TOUCH) & (others[:, 1] < box[3] - TOUCH) & (box[1] < others[:, 3] - TOUCH)


def _crossed(lines: np.ndarray, box: np.ndarray) -> np.ndarray:
    """Which lines, their width reckoned in, lie partly inside a box (Liang and Barsky's clipping)."""
    grow = lines[:, 4] - TOUCH
    enter, leave = np.zeros(len(lines)), np.ones(len(lines))
    for start, stop, low, high in ((lines[:, 0], lines[:, 2], box[0] - grow, box[2] + grow), (lines[:, 1], lines[:, 3], box[1] - grow, box[3] + grow)):
        step = stop - start
        flat = np.abs(step) < 1e-9
        safe = np.where(flat, 1.0, step)
        one, two = (low - start) / safe, (high - start) / safe
        within = (low < start) & (start < high)
        enter = np.where(flat, np.where(within, enter, 2.0), np.maximum(enter, np.minimum(one, two)))
        leave = np.where(flat, leave, np.minimum(leave, np.maximum(one, two)))
    return enter < leave


def outside(drawing: Drawing) -> list[str]:
    """Letters and marks beyond the frame, but for its centring marks and the letters and numbers of its zones."""
    lines = read_lines(drawing)
    left, top, right, bottom = lines.frame
    faults = []
    for text in letters(drawing):
        x1, y1, x2, y2 = _around(text.boxes)
        is_zone = len(text.text) <= 2 and (y2 < top or x1 > right)
        if not is_zone and (x1 < left or y1 < top or x2 > right or y2 > bottom):
            faults.append(f"text {text.text!r} leaves the frame")
    for mark in lines.inside:
        x1, y1, x2, y2 = bounds(mark)
        half = getattr(mark, "width", 0.0) / 2
        is_of_frame = getattr(mark, "width", 0.0) >= FRAME / 2 and (x2 - half <= left + TOUCH or y2 - half <= top + TOUCH or x1 + half >= right - TOUCH or y1 + half >= bottom - TOUCH)
        if not is_of_frame and strokes_of(mark) and (x1 + half < left - TOUCH or y1 + half < top - TOUCH or x2 - half > right + TOUCH or y2 - half > bottom + TOUCH):
            faults.append(f"outside the frame: {mark}")
    return faults


def strokes_of(mark: Mark) -> bool:
    """True for a mark that inks lines or fills."""
    return any(True for _ in strokes(mark))


def _around(boxes: tuple[Box, ...]) -> Box:
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def too_near(lines: Lines) -> Iterator[str]:
    """Parallel stretches of two conductors less than NEAREST apart over some length, which are not one straight run."""
    runs = {frozenset(pair) for pair in lines.runs}
    stretches = [(index, a, b) for index, line in enumerate(lines.conductors) for a, b in line.segments()]
    for (i, a, b), (j, c, d) in combinations(stretches, 2):
        for along, across in ((0, 1), (1, 0)):
            if i != j and abs(a[across] - b[across]) < TOUCH and abs(c[across] - d[across]) < TOUCH:
                shared = min(max(a[along], b[along]), max(c[along], d[along])) - max(min(a[along], b[along]), min(c[along], d[along]))
                if shared > TOUCH and abs(a[across] - c[across]) < NEAREST - TOUCH and frozenset((i, j)) not in runs:
                    yield f"lines {abs(a[across] - c[across]):.2f} mm apart at {a[0]:.1f}, {a[1]:.1f}"
