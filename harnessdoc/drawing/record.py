"""The recorded drawing: lines, arcs, texts and links in millimetres.

Origin top left, y downward, lengths in mm, angles in degrees clockwise as seen
(0 points right, 90 down). A ``Drawing`` is what a sheet gives and what the SVG,
PNG and PDF backends take; the backends decide nothing. ``pen.Pen`` makes one.

Every mark carries ``tag``, what it stands for (``wire:204``); it serves tests and
viewers and never the geometry. A ``width`` of 0 draws no outline. ``fill`` and
``colour`` are "#RRGGBB"; lines are black but for those inside a colour swatch.
Line ends and corners are round.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin
from typing import Literal

from harnessdoc.drawing.lettering import Weight, font_table, text_width

BLACK = "#000000"
THIN = 0.25
"""The narrow line of a sheet in mm (ISO 128 series); nothing on a sheet is narrower."""
WIDE = 0.5
"""The wide line: twice the narrow one (ISO 128)."""

Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line; ``dash`` is mm drawn, mm left out, and so on."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float = THIN
    dash: tuple[float, ...] = ()
    colour: str = BLACK
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Polyline:
    """Straight lines from point to point; ``closed`` makes it a polygon."""

    points: tuple[Point, ...]
    width: float = THIN
    fill: str | None = None
    closed: bool = False
    dash: tuple[float, ...] = ()
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle; x, y is its top left corner."""

    x: float
    y: float
    w: float
    h: float
    width: float = THIN
    fill: str | None = None
    dash: tuple[float, ...] = ()
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle about cx, cy with radius r."""

    cx: float
    cy: float
    r: float
    width: float = THIN
    fill: str | None = None
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Arc:
    """A part of a circle, clockwise as seen from start_deg to end_deg (> start, by less than 360)."""

    cx: float
    cy: float
    r: float
    start_deg: float
    end_deg: float
    width: float = THIN
    tag: str = ""

    def at(self, degrees: float) -> Point:
        """The point of the circle at an angle."""
        angle = radians(degrees)
        return self.cx + self.r * cos(angle), self.cy + self.r * sin(angle)


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text that the font draws in full; y is its baseline.

    ``height`` is that of capitals. ``upright`` turns it counter-clockwise by a
    quarter: it reads upward, x is then the baseline and y the anchor.
    """

    x: float
    y: float
    text: str
    height: float = 2.5
    anchor: Anchor = "start"
    weight: Weight = "regular"
    upright: bool = False
    colour: str = BLACK
    tag: str = ""

    def start(self) -> Point:
        """Where the baseline begins, whatever the anchor."""
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        back = share * text_width(self.text, self.height, self.weight) if share else 0.0
        return (self.x, self.y + back) if self.upright else (self.x - back, self.y)


@dataclass(frozen=True, slots=True)
class Link:
    """A rectangle that leads to the first page of the sheet named ``target``; draws nothing."""

    x: float
    y: float
    w: float
    h: float
    target: str
    tag: str = ""


Mark = Line | Polyline | Rect | Circle | Arc | Text | Link


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle of paper to draw in; x, y is its top left corner, sizes in mm."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        return self.x + self.w

    @property
    def bottom(self) -> float:
        return self.y + self.h


@dataclass(frozen=True, slots=True)
class Drawing:
    """One page. ``missing``: the characters drawn as code points, each once, in order of first use."""

    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]
    missing: tuple[str, ...] = ()


def bounds(mark: Mark) -> Box:
    """Left, top, right, bottom of what a mark inks, half its line width included.

    A text's box goes from the top of its capitals to the font's descent; an
    arc's is that of its whole circle.
    """
    match mark:
        case Line():
            half = mark.width / 2
            x1, x2 = sorted((mark.x1, mark.x2))
            y1, y2 = sorted((mark.y1, mark.y2))
            return x1 - half, y1 - half, x2 + half, y2 + half
        case Polyline():
            half = mark.width / 2
            xs = [x for x, _ in mark.points]
            ys = [y for _, y in mark.points]
            return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half
        case Rect():
            half = mark.width / 2
            return mark.x - half, mark.y - half, mark.x + mark.w + half, mark.y + mark.h + half
        case Circle() | Arc():
            reach = mark.r + mark.width / 2
            return mark.cx - reach, mark.cy - reach, mark.cx + reach, mark.cy + reach
        case Text():
            x, y = mark.start()
            length = text_width(mark.text, mark.height, mark.weight)
            table = font_table(mark.weight)
            below = mark.height * table.descent / table.cap_height
            if mark.upright:
                return x - mark.height, y - length, x + below, y
            return x, y - mark.height, x + length, y + below
        case Link():
            return mark.x, mark.y, mark.x + mark.w, mark.y + mark.h
