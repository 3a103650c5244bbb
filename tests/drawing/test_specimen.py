"""The symbols: all on the sheet that the docs show, ports on ink, no two alike in a photocopy, and circuits draw by no other way."""

from __future__ import annotations

import ast
import inspect
from functools import cache, partial
from itertools import combinations
from math import cos, hypot, radians, sin
from pathlib import Path

import numpy as np
import pytest
from compare_pictures import pdf_picture
from refresh_readme import DOCS, docs_picture
from sheets.checks import inked_box

from harnessdoc import circuits
from harnessdoc.drawing import symbols
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Arc, Circle, Drawing, Line, Polyline, Rect, Text
from harnessdoc.drawing.specimen import RING, SPECIMENS, Specimen, draw_specimens

DPI = 200
DOTS_A_MM = (0.35 / 25.4 * DPI) * (DPI / 25.4)
"""Of a symbol's line."""
LEAST_APART = 2.0
"""So many mm of line of the two, at least, find no ink of the other within one dot."""
EACH = 6
"""Dots by which one picture may be shifted against the other to lie on it as well as it can."""
LEAST_APART = 0.15
"""Of the ink of the two that finds none of the other within one dot."""
EACH = pytest.mark.parametrize("one", SPECIMENS, ids=lambda one: one.name)


def drawn(one: Specimen, x: float = 20.0, y: float = 20.0) -> Drawing:
    pen = Pen(40.0, 40.0)
    one.draw(pen, x, y)
    return pen.drawing()


def line_ends(drawing: Drawing) -> list[tuple[float, float]]:
    """Where a line, an open polyline or an arc begins or ends, and the corners of what is filled."""
    found = []
    for mark in drawing.marks:
        match mark:
            case Line():
                found += [(mark.x1, mark.y1), (mark.x2, mark.y2)]
            case Polyline(closed=False):
                found += [mark.points[0], mark.points[-1]]
    return found


def inked_points(drawing: Drawing) -> list[tuple[float, float]]:
    """The middles of dots, of the feet of half circles and of filled bars: where a port is that is no line's end."""
    found = []
    for mark in drawing.marks:
        match mark:
            case Circle(fill=str()):
                found.append((mark.cx, mark.cy))
            case Polyline(closed=True, fill=str()):
                found += [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in zip(mark.points, (*mark.points[1:], mark.points[0]), strict=True)]
            case Arc():
                ends = [(mark.cx + mark.r * cos(radians(turn)), mark.cy + mark.r * sin(radians(turn))) for turn in (mark.start_deg, mark.end_deg)]
                found.append(((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2))
    return found


# ------------------------------------------------------------------------------ the list

def test_every_symbol_there_is_has_its_specimen() -> None:
    public = {name for name, thing in vars(symbols).items() if inspect.isfunction(thing) and thing.__module__ == symbols.__name__ and not name.startswith("_")}
    assert {(one.draw.func if isinstance(one.draw, partial) else one.draw).__name__ for one in SPECIMENS} == public
    assert len({one.name for one in SPECIMENS}) == len(SPECIMENS)


@EACH
def test_every_port_lies_where_a_line_ends(one: Specimen) -> None:
    drawing = drawn(one)
    places = [*line_ends(drawing), *(inked_points(drawing) if set(dict(one.ports)) & {"mate"} or one.name == "Dot" else [])]
    for name, (x, y) in one.ports:
        least = min(hypot(20.0 + x - px, 20.0 + y - py) for px, py in places)
        # a battery's poles are the middles of its outer plates
        if one.name == "Battery":
            least = min(hypot(20.0 + x - (mark.x1 + mark.x2) / 2, 20.0 + y - (mark.y1 + mark.y2) / 2) for mark in drawing.marks if isinstance(mark, Line))
        assert least < 1e-6, name
    assert one.ports or one.conductors, "what has no port lies over conductors"


# ----------------------------------------------------------------------- no two are alike

@cache
def picture(one: Specimen) -> np.ndarray:
    """Black or white at 200 dots an inch, without letters but those within the symbol; the port in the middle."""
    return pdf_picture(drawn(one), DPI) > 127


def apart(one: np.ndarray, other: np.ndarray) -> float:
    """How many mm of line of both have no ink of the other within a dot, where they lie on each other best, the one turned as it may stand."""
    def widened(ink: np.ndarray) -> np.ndarray:
        for axis in (0, 1):
            ink = ink | np.roll(ink, 1, axis) | np.roll(ink, -1, axis)
        return ink

    def met(ink: np.ndarray, wide: np.ndarray) -> np.ndarray:
        """Dots of ``ink`` that ``wide`` covers, for every place where it may be moved to."""
        return np.fft.irfft2(np.fft.rfft2(wide) * np.conj(np.fft.rfft2(ink)), ink.shape)

    least = min((one.sum() + other.sum() - met(turned, widened(other)) - np.roll(met(other, widened(turned))[::-1, ::-1], (1, 1), (0, 1))).min()
                for turned in (np.rot90(one, quarter) for quarter in range(4)))
    return float(least) / DOTS_A_MM


def centred(ink: np.ndarray) -> np.ndarray:
    """Cut to a square about the middle of the ink, with room round it for every turn."""
    rows, columns = np.where(ink)
    middle = (rows.min() + rows.max()) // 2, (columns.min() + columns.max()) // 2
    half = 120
    padded = np.pad(ink, half)
    return padded[middle[0] : middle[0] + 2 * half, middle[1] : middle[1] + 2 * half]


def test_no_two_symbols_look_alike_in_black_and_white() -> None:
    for one, other in combinations(SPECIMENS, 2):
        assert apart(centred(picture(one)), centred(picture(other))) > LEAST_APART, (one.name, other.name)


def test_the_measure_knows_what_is_alike() -> None:
    fuse = SPECIMENS[0]
    again = pdf_picture(drawn(fuse, 21.3, 17.9), DPI) > 127
    assert apart(centred(picture(fuse)), centred(np.rot90(again))) < LEAST_APART / 4


# ------------------------------------------------------------------------------ the sheet

def test_the_sheet_names_every_symbol_and_its_ports_and_nothing_lies_over_a_text() -> None:
    drawing = draw_specimens()
    said = [mark for mark in drawing.marks if isinstance(mark, Text)]
    for one in SPECIMENS:
        assert one.name in [mark.text for mark in said if mark.weight == "bold"]
        rings = [mark for mark in drawing.marks if isinstance(mark, Circle) and mark.tag == f"port:{one.name}"]
        assert len(rings) == len(one.ports)
        if not one.writes:
            assert [mark.text for mark in said if mark.tag == f"port:{one.name}"] == [name for name, _ in one.ports]
    boxes = [inked_box(mark) for mark in said]
    for (l1, t1, r1, b1), (l2, t2, r2, b2) in combinations(boxes, 2):
        assert r1 < l2 or r2 < l1 or b1 < t2 or b2 < t1
    for mark in drawing.marks:
        if isinstance(mark, Line) and mark.tag.startswith("conductor:"):
            assert not any(left < mark.x1 < right and mark.y1 < bottom and mark.y2 > top for left, top, right, bottom in boxes)
    assert all(5.0 < left and right < drawing.width_mm - 5.0 and bottom < drawing.height_mm - 5.0 for left, _, right, bottom in boxes)
    assert all(mark.r == RING for mark in drawing.marks if isinstance(mark, Circle) and mark.tag.startswith("port:"))


def test_the_picture_of_the_docs_is_this_sheet() -> None:
    assert (DOCS / "symbols.svg").read_text(encoding="utf-8") == docs_picture("symbols"), "run python tests/refresh_readme.py"


# -------------------------------------------------------------------- circuits draw so only

LINES = {
    "draw_page": "conductors", "_draw_merged": "the conductor between grounds of one number", "_draw_ties": "what holds halves of one connector together",
    "bar": "a splice or bus bar is a conductor", "mark_figure": "conductors through a mark, and the drain to it", "columns": "leads within a frame", "_tie": "what moves together",
    "battery": "leads from the poles",
}
"""Where in circuits/ a straight line is drawn, and why it is no symbol's."""


def drawing_calls(text: str) -> list[tuple[str, str]]:
    """(function, method) of every call of a pen's method that draws, by the outermost function it stands in."""
    return [(outer.name, call.func.attr) for outer in ast.parse(text).body if isinstance(outer, ast.FunctionDef) for call in ast.walk(outer)
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Attribute) and isinstance(call.func.value, ast.Name) and call.func.value.id == "pen"]


def strange(calls: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Those that may draw a symbol: a figure of circuits/ draws frames, leads, ties, conductors and text."""
    return [(where, method) for where, method in calls if method not in ("rect", "text", "line", "polyline") or (method in ("line", "polyline") and where not in LINES)]


def test_circuits_draw_symbols_by_these_functions_alone() -> None:
    calls = [call for file in sorted(Path(circuits.__file__).parent.glob("*.py")) for call in drawing_calls(file.read_text(encoding="utf-8"))]
    assert strange(calls) == []
    assert {where for where, method in calls if method in ("line", "polyline")} == set(LINES)
    assert strange(drawing_calls("def lamp_figure(pen):\n    pen.circle(1, 2, 3)\n")) == [("lamp_figure", "circle")]


def test_a_frame_is_all_that_is_a_rectangle_in_circuits() -> None:
    for one in SPECIMENS:
        assert not any(isinstance(mark, Rect) for mark in drawn(one).marks), "a symbol's boxes are outlines that turn"
