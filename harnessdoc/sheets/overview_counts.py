"""Where the number of a link stands beside its line: over no line, block or other number.

Takes lines, the boxes of blocks and the sizes of numbers, in mm; gives the middle of each number and how many of them are crowded. Places along the line are
tried from its middle outward, on both sides, all clear of the clouds that blocks and other numbers may have; where none is free the nearest to the middle that lies over least.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

from ..drawing.record import Point
from .change_marks import AROUND

Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""
CLEAR, CLEAR_OF_OTHERS = 0.5, 1.3
"""From a number to its own line, and at least to every other, so that a reader sees whose it is."""
APART = 2.0
"""Between two numbers, so that they are not read as one."""
STEPS = 40


def number_places(lines: Sequence[Sequence[Point]], blocks: Sequence[Box], sizes: Sequence[tuple[float, float]]) -> tuple[list[Point], int]:
    """The middle of the number of each line, in their order, and how many numbers found no free place."""
    pieces = [list(zip(line, line[1:], strict=False)) for line in lines]
    blocks = [_grown(block, AROUND) for block in blocks]
    taken: list[Box] = []
    found: list[Point] = [(0.0, 0.0)] * len(lines)
    crowded = 0
    # short lines have least choice
    for number in sorted(range(len(lines)), key=lambda one: (_length(lines[one]), one)):
        line, (wide, high) = lines[number], sizes[number]
        others = [piece for other, its in enumerate(pieces) if other != number for piece in its]
        tried = [(x, y) for x, y in _beside(line, wide / 2 + CLEAR, high / 2 + CLEAR)]
        boxes = [(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2) for x, y in tried]
        best, least = 0, None
        for place, box in enumerate(boxes):
            over = _over(box, pieces[number], others, [*blocks, *taken])
            if least is None or over < least:
                best, least = place, over
            if not over:
                break
        crowded += bool(least)
        found[number] = tried[best]
        taken.append(_grown(boxes[best], max(AROUND, APART - CLEAR / 2)))
    return found, crowded


def _length(line: Sequence[Point]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(line, line[1:], strict=False))


def _beside(line: Sequence[Point], half_wide: float, half_high: float) -> Iterator[Point]:
    pieces = [(a, b, hypot(b[0] - a[0], b[1] - a[1])) for a, b in zip(line, line[1:], strict=False)]
    length = sum(piece[2] for piece in pieces)
    for step in sorted(range(1, STEPS), key=lambda one: abs(one - STEPS / 2)):
        at = length * step / STEPS
        for (ax, ay), (bx, by), long in pieces:
            if at <= long and long > 0:
                x, y = ax + (bx - ax) * at / long, ay + (by - ay) * at / long
                # far enough along the normal that the box clears its own line
                nx, ny = -(by - ay) / long, (bx - ax) / long
                off = abs(nx) * half_wide + abs(ny) * half_high
                yield x + nx * off, y + ny * off
                yield x - nx * off, y - ny * off
                break
            at -= long


def _over(box: Box, own: Sequence[tuple[Point, Point]], others: Sequence[tuple[Point, Point]], boxes: Sequence[Box]) -> int:
    """How many lines and boxes a number would lie over, or too near to."""
    near, far = _grown(box, CLEAR / 2), _grown(box, CLEAR_OF_OTHERS)
    met = sum(other[0] < near[2] and near[0] < other[2] and other[1] < near[3] and near[1] < other[3] for other in boxes)
    return met + sum(_meets(a, b, near) for a, b in own) + sum(_meets(a, b, far) for a, b in others)


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _meets(a: Point, b: Point, box: Box) -> bool:
    """Whether a straight line enters a box (clipped side by side)."""
    low, high = 0.0, 1.0
    for start, end, least, most in ((a[0], b[0], box[0], box[2]), (a[1], b[1], box[1], box[3])):
        if abs(end - start) < 1e-9:
            if not least < start < most:
                return False
            continue
        one, other = (least - start) / (end - start), (most - start) / (end - start)
        low, high = max(low, min(one, other)), min(high, max(one, other))
    return low < high
