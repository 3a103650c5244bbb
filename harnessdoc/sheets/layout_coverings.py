"""Coverings of the bundle by the pattern of their line, and the marks of what is on a segment: grommet, clips, heat and moving parts, stations.

Takes a pen and a straight stretch of bundle; draws beside and across its line. The
patterns differ by shape alone, so that a photocopy keeps them apart; what a covering is
stands in words beside its segment. The patterns are our own. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from ..drawing.pen import Pen
from ..drawing.record import THIN

REACH = 1.0
"""How far a pattern reaches beside the line of the bundle."""
END = 1.4
"""From the ends of a stretch to its pattern: room for the circles of points."""
PATTERNS = {"tape": "slanted ticks", "conduit": "ladder", "tube": "two lines", "braid": "crosses", "other": "two broken lines"}
"""Kinds of covering in the order of the legend, and what their patterns look like."""
_WORDS = (("conduit", "conduit"), ("tape", "tape"), ("braid", "braid"), ("sleeving", "braid"), ("sock", "braid"), ("tube", "tube"), ("tubing", "tube"), ("hose", "tube"), ("shrink", "tube"))
BROKEN = (1.6, 1.2)
GROMMET_HALF, GROMMET_APART, HEAVY = 2.2, 0.9, 0.7
SIDE = 3.0
"""Of the triangle that warns of heat, fuel or a moving part."""
CLIP_HALF = 1.7
SECTION_NEAR, SECTION_FAR, SECTION_WIDTH = 1.6, 3.4, 0.5
"""Where the two strokes of a station begin and end beside the bundle."""

Stretch = tuple[float, float, float, float]


def pattern_of(covering: str) -> str:
    """The kind of a covering as described, a key of PATTERNS; "" for none."""
    if covering.strip().lower() in ("", "none", "unknown"):
        return ""
    return next((kind for word, kind in _WORDS if word in covering.lower()), "other")


def draw_covering(pen: Pen, stretch: Stretch, kind: str, tag: str) -> None:
    """The pattern of a kind along a stretch."""
    line = _Line(stretch)
    if line.long <= 2 * END or not kind:
        return
    if kind in ("conduit", "tube", "other"):
        for side in (-REACH, REACH):
            pen.line(*line.at(END, side), *line.at(line.long - END, side), THIN, dash=BROKEN if kind == "other" else (), tag=tag)
    pitch = {"tape": 3.2, "conduit": 1.8, "braid": 3.2}.get(kind)
    if pitch is None:
        return
    for along in _spread(line.long, pitch):
        if kind == "conduit":
            pen.line(*line.at(along, -REACH), *line.at(along, REACH), THIN, tag=tag)
        else:
            pen.line(*line.at(along - 0.6, -REACH), *line.at(along + 0.6, REACH), THIN, tag=tag)
        if kind == "braid":
            pen.line(*line.at(along + 0.6, -REACH), *line.at(along - 0.6, REACH), THIN, tag=tag)


def draw_grommet(pen: Pen, stretch: Stretch, along: float, tag: str) -> None:
    """Two heavy bars across the bundle, ``along`` mm from the beginning of the stretch."""
    line = _Line(stretch)
    for at in (along - GROMMET_APART, along + GROMMET_APART):
        pen.line(*line.at(at, -GROMMET_HALF), *line.at(at, GROMMET_HALF), HEAVY, tag=tag)


def draw_clip(pen: Pen, stretch: Stretch, along: float, tag: str) -> None:
    """A small open box round the bundle."""
    line = _Line(stretch)
    corners = [line.at(along + step, side) for step, side in ((-0.8, -CLIP_HALF), (0.8, -CLIP_HALF), (0.8, CLIP_HALF), (-0.8, CLIP_HALF))]
    pen.polygon(corners, THIN, fill="#FFFFFF", tag=tag)


def draw_section_mark(pen: Pen, stretch: Stretch, along: float, tag: str) -> None:
    """Two strokes in line across the bundle, as a cutting plane is marked."""
    for stroke in section_strokes(stretch, along):
        pen.line(*stroke, SECTION_WIDTH, tag=tag)


def section_strokes(stretch: Stretch, along: float) -> Iterator[Stretch]:
    """The lines of ``draw_section_mark``."""
    line = _Line(stretch)
    for side in (-1, 1):
        yield *line.at(along, side * SECTION_NEAR), *line.at(along, side * SECTION_FAR)


def draw_near(pen: Pen, stretch: Stretch, along: float, filled: bool, tag: str) -> None:
    """A triangle on the bundle: filled for heat or fuel, open for a moving part."""
    x, y = _Line(stretch).at(along, 0.0)
    high = SIDE * 0.866
    pen.polygon([(x - SIDE / 2, y + high / 3), (x, y - 2 * high / 3), (x + SIDE / 2, y + high / 3)], 0.35, fill="#000000" if filled else "#FFFFFF", tag=tag)


class _Line:
    """A stretch as a line with a beginning and two sides."""

    def __init__(self, stretch: Stretch) -> None:
        self.x, self.y, x2, y2 = stretch
        self.long = hypot(x2 - self.x, y2 - self.y)
        self.dx, self.dy = ((x2 - self.x) / self.long, (y2 - self.y) / self.long) if self.long else (1.0, 0.0)

    def at(self, along: float, side: float) -> tuple[float, float]:
        return self.x + along * self.dx - side * self.dy, self.y + along * self.dy + side * self.dx


def _spread(long: float, pitch: float) -> Iterator[float]:
    """Places between the ends, even and about ``pitch`` apart."""
    room = long - 2 * (END + 0.6)
    count = max(1, round(room / pitch))
    for number in range(count + 1 if room > 0 else 0):
        yield END + 0.6 + room * number / count
