"""The lines of a circuit diagram read back from the marks of its drawing: where they run, where they are joined, where they end.

Takes a Drawing; gives Lines: conductors, joining dots, bars, and every breach of form. Looks at places,
widths, strokes and fills, and never at tags. A *conductor* is a solid black line 0.5 or 0.7 mm wide
inside the frame that does not end on it (the title block's lines do). A *dot* is a filled circle
of 0.75 mm radius. A *bar* is a level conductor with a dot at each end, or a dot alone where it has no length.

Rules of form: lines run upright or level. Two ends meet without a dot only in a straight run. A line
ends at a dot, in a straight run, or at a symbol. A dot stands where three or more ends meet, or
on a bar where a line comes to it, and nowhere else.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import hypot

from harnessdoc.drawing.record import BLACK, Arc, Box, Circle, Drawing, Line, Mark, Point, Polyline, Rect, Text

ON = 0.03
"""What is nearer than this, in mm, is at one place."""
WIDTHS = (0.5, 0.7)
DOT = (0.7, 0.8)
"""Radii between which a filled circle is a joining dot."""
FRAME = 0.7
BAR_TEXT = 1.0
"""From the right end of a bar to its name, in mm; the name is at the bar's height."""

Segment = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class Conductor:
    """A line with its corners in order."""

    points: tuple[Point, ...]
    width: float

    @property
    def ends(self) -> tuple[Point, Point]:
        return self.points[0], self.points[-1]

    def segments(self) -> Iterator[Segment]:
        yield from zip(self.points, self.points[1:], strict=False)

    def bends(self) -> int:
        """How often it changes direction."""
        turns = [abs(b[0] - a[0]) < ON for a, b in self.segments() if not near(a, b)]
        return sum(one != other for one, other in zip(turns, turns[1:], strict=False))

    def passes(self, point: Point) -> bool:
        """True where the point is on the line, its ends included."""
        return any(distance(point, segment) < ON for segment in self.segments())


@dataclass(frozen=True)
class Lines:
    """What the lines of one page say; indices are those of ``conductors``.

    frame: left, top, right, bottom; inside: the marks within it that are neither conductors nor dots
    at_dot: dot -> the conductors that pass or end there
    """

    drawing: Drawing
    frame: Box
    conductors: tuple[Conductor, ...]
    dots: tuple[Point, ...]
    inside: tuple[Mark, ...]

    @cached_property
    def at_dot(self) -> dict[int, list[int]]:
        return {number: [index for index, line in enumerate(self.conductors) if line.passes(dot)] for number, dot in enumerate(self.dots)}

    @cached_property
    def bars(self) -> list[int]:
        """Conductors that are bars: straight, level, a dot at each end."""
        return [index for index, line in enumerate(self.conductors)
                if abs(line.points[0][1] - line.points[-1][1]) < ON and not line.bends() and all(self.dot_at(end) is not None for end in line.ends)]

    def dot_at(self, point: Point) -> int | None:
        return next((number for number, dot in enumerate(self.dots) if near(dot, point)), None)

    @cached_property
    def runs(self) -> list[tuple[int, int]]:
        """Pairs of conductors that go on in each other: ends that meet in a straight run without a dot."""
        out = []
        for one, two, point in self._meetings():
            if self.dot_at(point) is None and _straight(self.conductors[one], self.conductors[two], point):
                out.append((one, two))
        return out

    def _meetings(self) -> list[tuple[int, int, Point]]:
        ends = [(index, end) for index, line in enumerate(self.conductors) for end in line.ends]
        return [(i, j, p) for number, (i, p) in enumerate(ends) for j, q in ends[number + 1:] if i != j and near(p, q)]

    @cached_property
    def ports(self) -> list[tuple[int, Point]]:
        """The ends that neither a dot nor another line's end takes up, with their conductors."""
        taken = [point for *_, point in self._meetings()]
        return [(index, end) for index, line in enumerate(self.conductors) for end in line.ends
                if self.dot_at(end) is None and not any(near(end, other) for other in taken)]

    def joined(self) -> list[tuple[int, int]]:
        """Pairs of conductors that are one: at dots, and in straight runs."""
        return [*self.runs, *((members[0], other) for members in self.at_dot.values() for other in members[1:])]

    def faults(self) -> list[str]:
        """Every breach of form, as words with the place."""
        return [*self._slanted(), *self._false_meetings(), *self._loose_or_lying(), *self._false_dots()]

    def _slanted(self) -> Iterator[str]:
        for line in self.conductors:
            for a, b in line.segments():
                if abs(a[0] - b[0]) > ON and abs(a[1] - b[1]) > ON:
                    yield f"a line runs aslant from {_at(a)} to {_at(b)}"

    def _false_meetings(self) -> Iterator[str]:
        meetings: dict[tuple[float, float], set[int]] = {}
        for one, two, point in self._meetings():
            if self.dot_at(point) is None:
                meetings.setdefault((round(point[0], 1), round(point[1], 1)), set()).update((one, two))
                if not _straight(self.conductors[one], self.conductors[two], point):
                    yield f"two lines meet at {_at(point)} without a dot"
        yield from (f"{len(lines)} ends meet at {_at(point)} without a dot" for point, lines in meetings.items() if len(lines) > 2)

    def _loose_or_lying(self) -> Iterator[str]:
        for index, end in self.ports:
            if any(other != index and line.passes(end) for other, line in enumerate(self.conductors)):
                yield f"a line ends on another at {_at(end)} without a dot"
            elif not any(touches(mark, end) for mark in self.inside):
                yield f"loose end at {_at(end)}"

    def _false_dots(self) -> Iterator[str]:
        for number, dot in enumerate(self.dots):
            members = self.at_dot[number]
            arms = {index: 1 if any(near(dot, end) for end in self.conductors[index].ends) else 2 for index in members}
            ends = sum(arms.values()) + sum(starts(mark, dot) for mark in self.inside)
            bars = [index for index in members if index in self.bars]
            if bars and ends > sum(arms[index] for index in bars) or not bars and ends > max(2, max(arms.values(), default=0)):
                continue
            if not bars and members and bar_name(self.inside, dot):
                continue        # a splice of one or two lines on this page: a bar of no length
            yield f"the dot at {_at(dot)} joins nothing"

    def crossings(self) -> int:
        """How often lines cross without being joined."""
        flat = [(index, a, b) for index, line in enumerate(self.conductors) for a, b in line.segments() if abs(a[1] - b[1]) < ON and not near(a, b)]
        upright = [(index, a, b) for index, line in enumerate(self.conductors) for a, b in line.segments() if abs(a[0] - b[0]) < ON and not near(a, b)]
        return sum(
            i != j and min(a[0], b[0]) + ON < c[0] < max(a[0], b[0]) - ON and min(c[1], d[1]) + ON < a[1] < max(c[1], d[1]) - ON and self.dot_at((c[0], a[1])) is None
            for i, a, b in flat for j, c, d in upright)

    def wires(self) -> list[Conductor]:
        """The lines that are no bars, those that go on in each other as one (where a twist or a shield is marked on them)."""
        whole = {index: line for index, line in enumerate(self.conductors) if index not in self.bars}
        owner = {index: index for index in whole}
        for one, two in self.runs:
            keep, gone = owner[one], owner[two]
            if keep != gone:
                whole[keep] = _put_together(whole[keep], whole.pop(gone))
                owner = {index: keep if own == gone else own for index, own in owner.items()}
        return list(whole.values())


def read_lines(drawing: Drawing) -> Lines:
    """The lines of a page. Raises StopIteration for a drawing without a frame."""
    frame = next(mark for mark in drawing.marks if isinstance(mark, Rect) and abs(mark.width - FRAME) < ON and mark.w > 0.8 * (drawing.width_mm - 40))
    box = (frame.x, frame.y, frame.x + frame.w, frame.y + frame.h)
    conductors, dots, others = [], [], []
    for mark in drawing.marks:
        if mark is frame:
            continue
        if isinstance(mark, Circle) and mark.fill == BLACK and DOT[0] <= mark.r <= DOT[1]:
            dots.append((mark.cx, mark.cy))
        elif (line := _conductor(mark, box)) is not None:
            conductors.append(line)
        else:
            others.append(mark)
    return Lines(drawing, box, tuple(conductors), tuple(dots), tuple(others))


def _conductor(mark: Mark, frame: Box) -> Conductor | None:
    match mark:
        case Line(dash=(), colour="#000000"):
            points = ((mark.x1, mark.y1), (mark.x2, mark.y2))
        case Polyline(dash=(), closed=False, fill=None):
            points = mark.points
        case _:
            return None
    if not any(abs(mark.width - width) < 0.01 for width in WIDTHS) or any(_on_frame_or_outside(end, frame) for end in (points[0], points[-1])):
        return None
    return Conductor(points, mark.width)


def _on_frame_or_outside(point: Point, frame: Box) -> bool:
    left, top, right, bottom = frame
    return not (left + ON < point[0] < right - ON and top + ON < point[1] < bottom - ON)


def near(a: Point, b: Point) -> bool:
    """True for two points at one place."""
    return hypot(a[0] - b[0], a[1] - b[1]) < ON


def distance(point: Point, segment: Segment) -> float:
    """From a point to a stretch of line."""
    (x1, y1), (x2, y2) = segment
    dx, dy = x2 - x1, y2 - y1
    length = dx * dx + dy * dy
    share = 0.0 if length == 0 else min(1.0, max(0.0, ((point[0] - x1) * dx + (point[1] - y1) * dy) / length))
    return hypot(point[0] - x1 - share * dx, point[1] - y1 - share * dy)


def strokes(mark: Mark) -> Iterator[Segment]:
    """The straight lines of a mark, arcs and circles in chords of 5 degrees; none of texts and links."""
    match mark:
        case Line():
            yield (mark.x1, mark.y1), (mark.x2, mark.y2)
        case Polyline():
            yield from _along((*mark.points, mark.points[0]) if mark.closed else mark.points)
        case Rect():
            x, y, right, bottom = mark.x, mark.y, mark.x + mark.w, mark.y + mark.h
            yield from _along(((x, y), (right, y), (right, bottom), (x, bottom), (x, y)))
        case Circle():
            arc = Arc(mark.cx, mark.cy, mark.r, 0, 360)
            yield from _along([arc.at(step * 5) for step in range(73)])
        case Arc():
            steps = max(1, int((mark.end_deg - mark.start_deg) / 5))
            yield from _along([mark.at(mark.start_deg + (mark.end_deg - mark.start_deg) * step / steps) for step in range(steps + 1)])


def _along(points: Iterable[Point]) -> Iterator[Segment]:
    points = list(points)
    yield from zip(points, points[1:], strict=False)


def touches(mark: Mark, point: Point) -> bool:
    """True where a stroke of a mark goes through a point."""
    return any(distance(point, segment) < ON for segment in strokes(mark))


def starts(mark: Mark, point: Point) -> bool:
    """True where an open line of a symbol has an end at a point."""
    match mark:
        case Line(dash=()):
            return near((mark.x1, mark.y1), point) or near((mark.x2, mark.y2), point)
        case Polyline(dash=(), closed=False):
            return near(mark.points[0], point) or near(mark.points[-1], point)
    return False


def bar_name(marks: Iterable[Mark], end: Point) -> str | None:
    """The bold text that begins right of a bar's right end, at its height; its first word."""
    for mark in marks:
        if isinstance(mark, Text) and mark.weight == "bold" and not mark.upright:
            x, y = mark.start()
            if abs(x - end[0] - BAR_TEXT) < 0.1 and abs(y - mark.height / 2 - end[1]) < 0.1:
                return mark.text.split()[0]
    return None


def _straight(one: Conductor, two: Conductor, point: Point) -> bool:
    """True where two lines that end at a point go on in each other."""
    (ax, ay), (bx, by) = (_inner(line, point) for line in (one, two))
    dx, dy, ex, ey = point[0] - ax, point[1] - ay, bx - point[0], by - point[1]
    return abs(dx * ey - dy * ex) < ON * max(1.0, hypot(dx, dy) * hypot(ex, ey)) and dx * ex + dy * ey > 0


def _inner(line: Conductor, end: Point) -> Point:
    return line.points[1] if near(line.points[0], end) else line.points[-2]


def _put_together(one: Conductor, two: Conductor) -> Conductor:
    """Two lines that share an end as one, without the point between them."""
    for a in (one.points, one.points[::-1]):
        for b in (two.points, two.points[::-1]):
            if near(a[-1], b[0]):
                return Conductor((*a, *b), one.width)
    raise ValueError(f"lines that share no end: {one} {two}")


def _at(point: Point) -> str:
    return f"{point[0]:.2f}, {point[1]:.2f}"
