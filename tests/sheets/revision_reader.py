"""Revision marks read back from a drawing, by their geometry: what stands in a cloud, what is struck through, where the triangles are."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from sheets.checks import inked_box, inside_frame

from harnessdoc.drawing.record import Arc, Box, Drawing, Line, Polyline, Rect, Text

NEAR = 0.05


def clouds(page: Drawing) -> list[Box]:
    """The box of every cloud: arcs drawn one after another, each beginning where the last one ended."""
    runs: list[list[Arc]] = []
    for mark in page.marks:
        if not isinstance(mark, Arc) or not (mark.tag == "cloud" or mark.tag.startswith("changed:")):
            continue
        if runs and hypot(*(a - b for a, b in zip(runs[-1][-1].at(runs[-1][-1].end_deg), mark.at(mark.start_deg), strict=True))) < NEAR:
            runs[-1].append(mark)
        else:
            runs.append([mark])
    points = [[arc.at(angle) for arc in run for angle in (arc.start_deg, (arc.start_deg + arc.end_deg) / 2, arc.end_deg)] for run in runs]
    return [(min(x for x, _ in at), min(y for _, y in at), max(x for x, _ in at), max(y for _, y in at)) for at in points]


def clouded(page: Drawing) -> set[str]:
    """The texts that stand in a cloud."""
    boxes = clouds(page)
    return {text.text for text in texts_of(page) if any(_holds(box, inked_box(text)) for box in boxes)}


def clouded_boxes(page: Drawing) -> int:
    """How many empty boxes to fill by hand stand in a cloud."""
    boxes = clouds(page)
    rects = [mark for mark in page.marks if isinstance(mark, Rect) and (mark.tag == "to fill" or mark.tag.startswith("unknown:"))]
    return sum(any(_holds(box, (rect.x, rect.y, rect.x + rect.w, rect.y + rect.h)) for box in boxes) for rect in rects)


def struck(page: Drawing) -> list[str]:
    """The texts with a line through them, whatever their tags."""
    lines = [mark for mark in page.marks if isinstance(mark, Line) and mark.y1 == mark.y2]
    return [text.text for text in texts_of(page) if any(_strikes(line, text) for line in lines)]


def triangles(page: Drawing) -> list[tuple[float, float, float, float, str]]:
    """The box of every revision triangle and the letter in it."""
    found = []
    for mark in page.marks:
        if isinstance(mark, Polyline) and mark.closed and len(mark.points) == 3 and mark.fill is None:
            xs, ys = zip(*mark.points, strict=True)
            box = min(xs), min(ys), max(xs), max(ys)
            inside = [text.text for text in texts_of(page) if box[0] < text.x < box[2] and box[1] < text.y < box[3]]
            if mark.tag == "revision":
                found.append((*box, "".join(inside)))
    return found


def texts_of(page: Drawing) -> Iterator[Text]:
    return iter(inside_frame(page))


def _holds(outer: Box, inner: Box) -> bool:
    return outer[0] <= inner[0] + NEAR and outer[1] <= inner[1] + NEAR and inner[2] <= outer[2] + NEAR and inner[3] <= outer[3] + NEAR


def _strikes(line: Line, text: Text) -> bool:
    left, top, right, _ = inked_box(text)
    x1, x2 = sorted((line.x1, line.x2))
    return abs(x1 - left) < 0.1 and abs(x2 - right) < 0.1 and top < line.y1 < text.y
