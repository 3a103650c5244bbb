"""Plane geometry for placing things on a page: straight lines and upright boxes.

Lines are (x1, y1, x2, y2), boxes (left, top, right, bottom), in mm.
"""

from __future__ import annotations

from math import hypot

Segment = tuple[float, float, float, float]
Box = tuple[float, float, float, float]


def box_of(line: Segment) -> Box:
    """The smallest box that holds a line."""
    x1, y1, x2, y2 = line
    return (x1, y1, x2, y2) if x1 <= x2 and y1 <= y2 else (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


def boxes_meet(a: Box, b: Box) -> bool:
    """True where two boxes have a point in common."""
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def cross(a: Segment, b: Segment) -> bool:
    """True where two lines have a point in common."""
    if not boxes_meet(box_of(a), box_of(b)):
        return False
    return _sides(a, b) <= 0 and _sides(b, a) <= 0


def crosses_box(line: Segment, box: Box) -> bool:
    """True where a line has a point in common with a box, its inside included."""
    if not boxes_meet(box_of(line), box):
        return False
    left, top, right, bottom = box
    x1, y1, x2, y2 = line
    if (left <= x1 <= right and top <= y1 <= bottom) or (left <= x2 <= right and top <= y2 <= bottom):
        return True
    return cross(line, (left, top, right, bottom)) or cross(line, (left, bottom, right, top))


def distance(a: Segment, b: Segment) -> float:
    """The least distance between two lines; 0 where they cross."""
    if cross(a, b):
        return 0.0
    return min(_to_line(a[0], a[1], b), _to_line(a[2], a[3], b), _to_line(b[0], b[1], a), _to_line(b[2], b[3], a))


def _to_line(x: float, y: float, line: Segment) -> float:
    x1, y1, x2, y2 = line
    dx, dy = x2 - x1, y2 - y1
    square = dx * dx + dy * dy
    along = 0.0 if square == 0 else min(1.0, max(0.0, ((x - x1) * dx + (y - y1) * dy) / square))
    return hypot(x - x1 - along * dx, y - y1 - along * dy)


def _sides(a: Segment, b: Segment) -> float:
    """Below 0 where the ends of ``b`` lie on different sides of the line through ``a``."""
    x1, y1, x2, y2 = a
    first = (x2 - x1) * (b[1] - y1) - (y2 - y1) * (b[0] - x1)
    second = (x2 - x1) * (b[3] - y1) - (y2 - y1) * (b[2] - x1)
    return first * second
