"""The pen: records marks and gives the finished, immutable drawing.

Takes coordinates in mm (origin top left, y down); gives a ``record.Drawing``.
Every method takes ``tag``, what the mark stands for. The lettering functions
(width, wrap, cut) are at hand on the pen.
"""

from __future__ import annotations

from collections.abc import Iterable

from harnessdoc.drawing import lettering
from harnessdoc.drawing.lettering import Weight
from harnessdoc.drawing.record import (
    BLACK,
    THIN,
    Anchor,
    Arc,
    Circle,
    Drawing,
    Line,
    Link,
    Mark,
    Point,
    Polyline,
    Rect,
    Text,
)


class Pen:
    """Records one page of ``width_mm`` by ``height_mm``."""

    text_width = staticmethod(lettering.text_width)
    wrap = staticmethod(lettering.wrap)
    cut = staticmethod(lettering.cut)

    def __init__(self, width_mm: float, height_mm: float) -> None:
        self.width_mm = width_mm
        self.height_mm = height_mm
        self._marks: list[Mark] = []
        self._missing: dict[str, None] = {}

    def drawing(self) -> Drawing:
        """What was recorded so far."""
        return Drawing(self.width_mm, self.height_mm, tuple(self._marks), tuple(self._missing))

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        width: float = THIN,
        *,
        dash: tuple[float, ...] = (),
        colour: str = BLACK,
        tag: str = "",
    ) -> None:
        """A straight line."""
        self._marks.append(Line(x1, y1, x2, y2, width, dash, colour, tag))

    def polyline(
        self,
        points: Iterable[Point],
        width: float = THIN,
        *,
        dash: tuple[float, ...] = (),
        tag: str = "",
    ) -> None:
        """Straight lines from point to point, left open."""
        self._marks.append(Polyline(tuple(points), width, None, False, dash, tag))

    def polygon(
        self,
        points: Iterable[Point],
        width: float = THIN,
        *,
        fill: str | None = None,
        dash: tuple[float, ...] = (),
        tag: str = "",
    ) -> None:
        """A closed outline, filled where ``fill`` is given."""
        self._marks.append(Polyline(tuple(points), width, fill, True, dash, tag))

    def rect(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        width: float = THIN,
        *,
        fill: str | None = None,
        dash: tuple[float, ...] = (),
        tag: str = "",
    ) -> None:
        """A rectangle from its top left corner."""
        self._marks.append(Rect(x, y, w, h, width, fill, dash, tag))

    def circle(
        self,
        cx: float,
        cy: float,
        r: float,
        width: float = THIN,
        *,
        fill: str | None = None,
        tag: str = "",
    ) -> None:
        """A circle about its centre."""
        self._marks.append(Circle(cx, cy, r, width, fill, tag))

    def dot(self, cx: float, cy: float, r: float = 0.6, *, tag: str = "") -> None:
        """The dot that joins lines; without it crossing lines are apart."""
        self._marks.append(Circle(cx, cy, r, 0.0, BLACK, tag))

    def arc(
        self,
        cx: float,
        cy: float,
        r: float,
        start_deg: float,
        end_deg: float,
        width: float = THIN,
        *,
        tag: str = "",
    ) -> None:
        """A part of a circle, clockwise as seen (0 right, 90 down)."""
        self._marks.append(Arc(cx, cy, r, start_deg, end_deg, width, tag))

    def link(self, x: float, y: float, w: float, h: float, target: str, *, tag: str = "") -> None:
        """A rectangle that leads to the sheet named ``target``."""
        self._marks.append(Link(x, y, w, h, target, tag))

    def text(
        self,
        x: float,
        y: float,
        text: str,
        height: float = 2.5,
        anchor: Anchor = "start",
        weight: Weight = "regular",
        *,
        upright: bool = False,
        colour: str = BLACK,
        tag: str = "",
    ) -> float:
        """One line of text on the baseline y; returns its width in mm.

        Where the font lacks a character the text becomes several marks: what the
        font draws, and a box with the code point, each at its place.
        """
        if not text:
            return 0.0
        parts = list(lettering.pieces(text))
        if len(parts) == 1 and not parts[0][1]:
            mark = Text(x, y, parts[0][0], height, anchor, weight, upright, colour, tag)
            self._marks.append(mark)
            return lettering.text_width(mark.text, height, weight)
        length = lettering.text_width(text, height, weight)
        along = -{"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * length
        for part, lacking in parts:
            px, py = (x, y - along) if upright else (x + along, y)
            if lacking:
                self._missing.setdefault(part)
                along += self._code_box(px, py, part, height, weight, upright, colour, tag)
            else:
                mark = Text(px, py, part, height, "start", weight, upright, colour, tag)
                self._marks.append(mark)
                along += lettering.text_width(part, height, weight)
        return length

    def _code_box(
        self,
        x: float,
        y: float,
        character: str,
        height: float,
        weight: Weight,
        upright: bool,
        colour: str,
        tag: str,
    ) -> float:
        """Draws a code point in its box from x, y on; returns the room it takes along the line."""
        box = lettering.code_box_width(character, height, weight)
        gap = lettering.CODE_GAP * height
        pad = lettering.CODE_PAD * height
        above = height * 1.1
        tall = height * 1.2
        small = height * lettering.CODE_HEIGHT
        rise = (height - small) / 2
        code = lettering.code_point(character)
        if upright:
            self._marks.append(Rect(x - above, y - gap - box, tall, box, tag=tag))
            sx, sy = x - rise, y - gap - pad
        else:
            self._marks.append(Rect(x + gap, y - above, box, tall, tag=tag))
            sx, sy = x + gap + pad, y - rise
        self._marks.append(Text(sx, sy, code, small, "start", weight, upright, colour, tag))
        return box + 2 * gap
