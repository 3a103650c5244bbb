"""What every sheet must keep to, read from the marks alone; shared by the tests of sheets.

``assert_tidy(drawing)``: no text lies over another text, a line, an edge or a dot, and
nothing leaves the frame; the line through a text that is struck out is its own. ``texts`` and ``row_of`` find what stands where.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from math import hypot

from fontTools.ttLib import TTFont

from harnessdoc.drawing.lettering import FONT_FILES, FONT_FOLDER, Weight, font_size, text_width
from harnessdoc.drawing.record import Arc, Box, Circle, Drawing, Line, Point, Polyline, Rect, Text, bounds

TOUCH = 0.02
"""Boxes that overlap by less than this, in mm, only touch."""
BAND = 10.0
"""Height in mm of the bands in which marks are sought."""

Segment = tuple[float, float, float, float, float]
"""x1, y1, x2, y2 and half the width."""


def assert_tidy(drawing: Drawing) -> None:
    """Raises AssertionError with every fault, each naming the text and what it meets."""
    faults = [*_outside(drawing), *_overlaps(drawing)]
    assert not faults, "\n".join(faults[:20])


def texts(drawing: Drawing) -> list[str]:
    """Every text inside the frame in the order it was drawn."""
    return [mark.text for mark in inside_frame(drawing)]


def row_of(drawing: Drawing, text: str) -> list[str]:
    """The texts on the baseline of ``text`` (its first mark), from left to right."""
    found = next(mark for mark in inside_frame(drawing) if mark.text == text)
    level = [mark for mark in inside_frame(drawing) if abs(mark.y - found.y) < TOUCH]
    return [mark.text for mark in sorted(level, key=lambda mark: mark.start()[0])]


def inside_frame(drawing: Drawing) -> list[Text]:
    """The texts without the grid references, which stand outside the frame where there is one."""
    written = [mark for mark in drawing.marks if isinstance(mark, Text)]
    frame = next((mark for mark in drawing.marks if isinstance(mark, Rect) and mark.tag == "frame"), None)
    return [mark for mark in written if frame.x < mark.start()[0] < frame.x + frame.w and frame.y < mark.y] if frame else written


def inked_box(text: Text) -> Box:
    """What the letters of a text ink: as wide as it is reckoned, as high as its glyphs are in the font."""
    low, high = 0.0, 0.0
    for character in text.text:
        bottom, top = glyph_reach(text.weight, character)
        low, high = min(low, bottom), max(high, top)
    size = font_size(text.height, text.weight)
    x, y = text.start()
    length = text_width(text.text, text.height, text.weight)
    if text.upright:
        return x - high * size, y - length, x - low * size, y
    return x, y - high * size, x + length, y - low * size


@cache
def glyph_reach(weight: Weight, character: str) -> tuple[float, float]:
    """Lowest and highest point of a glyph over the baseline, in em."""
    font = _font(weight)
    glyph = font["glyf"][font.getBestCmap()[ord(character)]]
    em = font["head"].unitsPerEm
    return getattr(glyph, "yMin", 0) / em, getattr(glyph, "yMax", 0) / em


@cache
def _font(weight: Weight) -> TTFont:
    return TTFont(FONT_FOLDER / FONT_FILES[weight])


def _outside(drawing: Drawing) -> Iterator[str]:
    frame = next(mark for mark in drawing.marks if isinstance(mark, Rect) and mark.tag == "frame")
    left, top, right, bottom = frame.x, frame.y, frame.x + frame.w, frame.y + frame.h
    for mark in drawing.marks:
        if mark.tag == "frame":
            continue
        x1, y1, x2, y2 = inked_box(mark) if isinstance(mark, Text) else bounds(mark)
        half = getattr(mark, "width", 0.0) / 2
        if x1 + half < left - TOUCH or y1 + half < top - TOUCH or x2 - half > right + TOUCH or y2 - half > bottom + TOUCH:
            yield f"outside the frame: {mark}"


def _overlaps(drawing: Drawing) -> Iterator[str]:
    inked = [(mark, inked_box(mark)) for mark in drawing.marks if isinstance(mark, Text)]
    written = _banded((box, (mark, box)) for mark, box in inked)
    segments = _banded((_box_of(segment), (mark, segment)) for mark in drawing.marks for segment in _segments(mark))
    discs = [mark for mark in drawing.marks if isinstance(mark, Circle)]
    for mark, box in inked:
        for other, its in _near(written, box):
            if other is not mark and mark.start() <= other.start() and _meet(box, its):
                yield f"text {mark.text!r} over text {other.text!r}"
        for line, segment in _near(segments, box):
            if not _strikes(line, mark) and _crosses(segment, box):
                yield f"text {mark.text!r} over a line {tuple(round(value, 2) for value in segment)}"
        for disc in discs:
            if _over_circle(disc, box):
                yield f"text {mark.text!r} over a circle at {disc.cx:.2f}, {disc.cy:.2f}"


def _strikes(line: object, text: Text) -> bool:
    """True for the line through a text that is struck out: from its beginning to its end, between its baseline and the tops of its capitals."""
    if not (isinstance(line, Line) and line.tag == text.tag == "struck" and line.y1 == line.y2):
        return False
    start = text.start()[0]
    return abs(line.x1 - start) < TOUCH and abs(line.x2 - start - text_width(text.text, text.height, text.weight)) < TOUCH and text.y - text.height < line.y1 < text.y


def _banded(items: Iterable[tuple[Box, object]]) -> dict[int, list]:
    bands: dict[int, list] = {}
    for box, item in items:
        for band in range(int(box[1] // BAND), int(box[3] // BAND) + 1):
            bands.setdefault(band, []).append(item)
    return bands


def _near(bands: dict[int, list], box: Box) -> Iterator:
    seen: set[int] = set()
    for band in range(int(box[1] // BAND), int(box[3] // BAND) + 1):
        for item in bands.get(band, ()):
            if id(item) not in seen:
                seen.add(id(item))
                yield item


def _segments(mark: object) -> Iterator[Segment]:
    """The straight lines of a mark; an arc in chords of 5 degrees; no outline of width 0."""
    match mark:
        case Line():
            yield mark.x1, mark.y1, mark.x2, mark.y2, mark.width / 2
        case Polyline() if mark.width:
            points = (*mark.points, mark.points[0]) if mark.closed else mark.points
            yield from _along(points, mark.width)
        case Rect() if mark.width:
            x, y, right, bottom = mark.x, mark.y, mark.x + mark.w, mark.y + mark.h
            yield from _along(((x, y), (right, y), (right, bottom), (x, bottom), (x, y)), mark.width)
        case Arc():
            steps = max(1, int((mark.end_deg - mark.start_deg) / 5))
            yield from _along([mark.at(mark.start_deg + (mark.end_deg - mark.start_deg) * step / steps) for step in range(steps + 1)], mark.width)


def _along(points: Iterable[Point], width: float) -> Iterator[Segment]:
    points = list(points)
    for (x1, y1), (x2, y2) in zip(points, points[1:], strict=False):
        yield x1, y1, x2, y2, width / 2


def _box_of(segment: Segment) -> Box:
    x1, y1, x2, y2, half = segment
    return min(x1, x2) - half, min(y1, y2) - half, max(x1, x2) + half, max(y1, y2) + half


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] - TOUCH and b[0] < a[2] - TOUCH and a[1] < b[3] - TOUCH and b[1] < a[3] - TOUCH


def _crosses(segment: Segment, box: Box) -> bool:
    """True where a part of the line lies inside the box (Liang and Barsky's clipping), its width reckoned in."""
    x1, y1, x2, y2, half = segment
    grow = half - TOUCH
    left, top, right, bottom = box[0] - grow, box[1] - grow, box[2] + grow, box[3] + grow
    enter, leave = 0.0, 1.0
    for step, low, high, at in ((x2 - x1, left, right, x1), (y2 - y1, top, bottom, y1)):
        if step == 0:
            if not low < at < high:
                return False
            continue
        first, second = sorted(((low - at) / step, (high - at) / step))
        enter, leave = max(enter, first), min(leave, second)
    return enter < leave or (x1, y1) == (x2, y2)


def _over_circle(disc: Circle, box: Box) -> bool:
    """True where the outline runs through the box, or where a filled disc reaches into it."""
    dx = max(box[0] - disc.cx, 0.0, disc.cx - box[2])
    dy = max(box[1] - disc.cy, 0.0, disc.cy - box[3])
    nearest = hypot(dx, dy)
    farthest = hypot(max(abs(box[0] - disc.cx), abs(box[2] - disc.cx)), max(abs(box[1] - disc.cy), abs(box[3] - disc.cy)))
    half = disc.width / 2 - TOUCH
    filled = disc.fill is not None and disc.fill.upper() != "#FFFFFF"
    return nearest < disc.r + half and (filled or farthest > disc.r - half)
