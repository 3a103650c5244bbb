"""Volts read off the plot of a path as drawn: from its axis, its numbers and its line, never from tags.

Takes a drawing with one such table; gives for each row its text and the volts at which the
line enters and leaves it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from harnessdoc.drawing.record import WIDE, Drawing, Line, Polyline, Text

NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
NEAR = 0.01

Tick = tuple[float, float]
"""x in mm, volts."""


def ticks(drawing: Drawing) -> list[Tick]:
    """The ticks of the axis from left to right: a short upright line with a number over its middle."""
    uprights = [mark for mark in drawing.marks if isinstance(mark, Line) and mark.x1 == mark.x2 and 1.0 < abs(mark.y1 - mark.y2) < 1.5]
    numbers = [mark for mark in drawing.marks if isinstance(mark, Text) and NUMBER.fullmatch(mark.text) and mark.anchor == "middle"]
    found = [(line.x1, float(text.text)) for line in uprights for text in numbers
             if abs(text.x - line.x1) < NEAR and 0 < min(line.y1, line.y2) - text.y < 2]
    return sorted(found)


def halves(drawing: Drawing) -> list[tuple[float, float]]:
    """Left and right end of the two lines the ticks stand on, with a break between them."""
    marked = ticks(drawing)
    bases = {max(mark.y1, mark.y2) for mark in drawing.marks if isinstance(mark, Line) and mark.x1 == mark.x2 == marked[0][0] and 1.0 < abs(mark.y1 - mark.y2) < 1.5}
    found = sorted((mark.x1, mark.x2) for mark in drawing.marks if isinstance(mark, Line) and mark.y1 == mark.y2 and mark.y1 in bases and any(mark.x1 - NEAR <= x <= mark.x2 + NEAR for x, _ in marked)
                   and mark.x2 - mark.x1 < marked[-1][0] - marked[0][0] + 20)
    assert len(found) == 2, found
    return found


def volts_at(x: float, axis: Sequence[Tick], sides: Sequence[tuple[float, float]]) -> float:
    """By a tick of the half of the axis over which x lies, with the scale that both halves share."""
    (x1, v1), (x2, v2) = axis[-2:]
    low, high = next(side for side in sides if side[0] - NEAR <= x <= side[1] + NEAR)
    tick_x, tick_v = next(tick for tick in axis if low - NEAR <= tick[0] <= high + NEAR)
    return tick_v + (x - tick_x) * (v2 - v1) / (x2 - x1)


def read_rows(drawing: Drawing) -> list[tuple[str, float, float]]:
    """(first text of the row, volts above, volts below) of each row with a line, from the top down."""
    axis, sides = ticks(drawing), halves(drawing)
    lines = sorted((mark.points for mark in drawing.marks if isinstance(mark, Polyline) and mark.width == WIDE and not mark.closed), key=lambda points: points[0][1])
    left = next(mark.x for mark in drawing.marks if isinstance(mark, Text) and mark.text == "The current passes")
    names = sorted((mark.y, mark.text) for mark in drawing.marks if isinstance(mark, Text) and abs(mark.x - left) < NEAR and mark.weight == "regular")
    joined: list[list[tuple[float, float]]] = []
    for points in lines:
        broken = joined and abs(joined[-1][-1][1] - points[0][1]) < NEAR < abs(joined[-1][-1][0] - points[0][0])
        if broken:                                        # the other side of the break, at the same height
            joined[-1] += points
        else:
            joined.append(list(points))
    return [(" ".join(text for y, text in names if points[0][1] < y < points[-1][1]), volts_at(points[0][0], axis, sides), volts_at(points[-1][0], axis, sides)) for points in joined]
