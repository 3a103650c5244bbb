"""A bundle cut across, to scale: every wire a ring in its colours with its number in the middle, the bore of the grommet or the covering round all.

Takes a packed section, what stands in each circle, and the room; gives the largest scale at which
what is round it finds room. Where the numbers do not go into the circles then, and a larger scale shows
them, only a part of the bore is drawn, with the bundle at its foot. ``draw_section`` draws it. On paper in
mm; a number always stands on white, so that any copy can be read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import acos, asin, cos, degrees, hypot, pi, radians, sin

from ..drawing.lettering import text_width
from ..drawing.pen import Pen
from ..drawing.record import THIN, WIDE, Point
from ..geometry.passage import Packed
from ..trade.colours import Colour, tint_srgb

SCALES = (10.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05)
"""The largest first: those of ISO 5455, and 4 : 1 and 3 : 1 between them, as 2 : 1 shows little of most bundles and 5 : 1 is too large for the page."""
CORE = 0.78
"""Radius of the white middle of a wire, of that of the wire: its insulation is thicker on paper than it is."""
NUMBERS = (3.5, 2.5, 1.8)
"""Heights a number is tried in."""
LINE = 1.6
"""From the number's baseline to that of the colour's letters, in heights of the number."""
TALLER = 0.35
"""How far small letters, slashes, J and Q reach above capitals or below the line at most, in heights of capitals."""
PAIRED = 0.9
"""Radius of the second ring of a wire of a twisted pair, of that of the wire: within its insulation, so that no number loses room."""
FREE = 0.1
"""Between a number and the ring round it."""
MARKS = 2
"""So often each stripe stands on its ring."""
MARK_DEG = 50.0
CHORD_MM = 1.0
LEAST_ROUND = 5.0
"""Smaller circles have the chords of this radius."""
DASH_DEG = 4.0
BORE, COVERING, ESTIMATE = "bore", "covering", "estimate"
_CAPITALS = re.compile("[A-IK-PR-Z0-9.+ -]*").fullmatch


@dataclass(frozen=True, slots=True)
class Face:
    """What stands in a circle: its number, the letters of its colour where they go in too, its colour (None unknown), what the marks stand for, and the twisted pair it is of ("" none)."""

    number: str
    letters: str
    colour: Colour | None
    tag: str
    pair: str = ""


@dataclass(frozen=True, slots=True)
class Round:
    """What is round the bundle: BORE or COVERING, and its diameter in the bundle's mm; 0 where nothing is drawn round it."""

    tag: str
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Fit:
    """How a section is drawn: mm on paper for one of the bundle, whether all that is round it is, and which circles are too small for their number."""

    scale: float
    whole: bool
    unnumbered: tuple[int, ...]


def scale_words(scale: float) -> str:
    """``4 : 1``, ``1 : 2``."""
    return f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"


def fit_section(packed: Packed, around: Round, numbers: Sequence[str], room: float) -> Fit:
    """The largest scale at which the bundle and what is round it go into a square of ``room`` mm; without the whole bore the least at which the numbers go into the circles."""
    wide, all_round = packed.diameter_mm, max(packed.diameter_mm, around.diameter_mm)

    def fit(scale: float, whole: bool) -> Fit:
        small = (_height(number, "", diameter / 2 * scale) is None for number, diameter in zip(numbers, packed.section.diameters_mm, strict=True))
        return Fit(scale, whole, tuple(index for index, is_small in enumerate(small) if is_small))

    whole = fit(next((scale for scale in SCALES if all_round * scale <= room), room / all_round), True)
    if not whole.unnumbered:
        return whole
    parts = [fit(scale, False) for scale in reversed(SCALES) if whole.scale < scale and wide * scale <= room]
    return min((whole, *parts), key=lambda one: (len(one.unnumbered), one.scale))


def drawn_height(packed: Packed, around: Round, fit: Fit) -> float:
    """The height of the picture on paper."""
    return fit.scale * max(packed.diameter_mm, around.diameter_mm if fit.whole else 0.0)


def draw_section(pen: Pen, x: float, y: float, width: float, packed: Packed, around: Round, faces: Sequence[Face], fit: Fit) -> None:
    """The picture in the middle of ``width``, its top at y; faces in the order of the items."""
    scale = fit.scale
    cx, cy = x + width / 2, y + drawn_height(packed, around, fit) / 2
    bundle = packed.packing.diameter / 2 * scale
    circles = [(cx + px * scale, cy + py * scale, diameter / 2 * scale) for (px, py), diameter in zip(packed.packing.centres, packed.section.diameters_mm, strict=True)]
    bore = around.diameter_mm / 2 * scale
    if not fit.whole:
        half = min(asin(min(1.0, width / 2 / bore)), acos(max(-1.0, 1 - 2 * bundle / bore)))
        pen.polyline(_chords(cx, cy + bundle - bore, bore, 90 - degrees(half), 90 + degrees(half)), WIDE, tag=around.tag)
    elif bore >= bundle:
        pen.circle(cx, cy, bore, WIDE, tag=around.tag)
    for (wx, wy, radius), face in zip(circles, faces, strict=True):
        _draw_wire(pen, wx, wy, radius, face)
    if fit.whole and 0 < bore < bundle:
        for points in _beside_numbers(cx, cy, bore, circles):
            pen.polyline(points, WIDE, tag=around.tag)
    if is_estimate_drawn(packed):
        estimate = (packed.section.estimate_mm or 0.0) / 2 * scale
        for start in range(0, 360, int(2 * DASH_DEG)):
            pen.polyline(_chords(cx, cy, estimate, start, start + DASH_DEG), THIN, tag=ESTIMATE)


def is_estimate_drawn(packed: Packed) -> bool:
    """Whether the bundle by estimate is thicker than as packed: only then it is drawn."""
    return (packed.section.estimate_mm or 0.0) > packed.packing.diameter


def _draw_wire(pen: Pen, x: float, y: float, radius: float, face: Face) -> None:
    core = CORE * radius
    if face.colour:
        pen.polygon(_chords(x, y, radius, 0, 360), 0.0, fill=tint_srgb(face.colour.base), tag=face.tag)
        stripes = face.colour.stripes
        turn = 360 / (MARKS * len(stripes)) if stripes else 0.0
        for place in range(MARKS * len(stripes)):
            middle = -45 + place * turn
            ring = [*_chords(x, y, radius, middle - MARK_DEG / 2, middle + MARK_DEG / 2), *reversed(_chords(x, y, core, middle - MARK_DEG / 2, middle + MARK_DEG / 2))]
            pen.polygon(ring, THIN, fill=tint_srgb(stripes[place % len(stripes)]), tag=face.tag)
    pen.circle(x, y, core, THIN, fill="#FFFFFF", tag=face.tag)
    if face.pair:
        # on white, to be seen on black insulation too
        pen.polygon([*_chords(x, y, PAIRED * radius + THIN, 0, 360), *reversed(_chords(x, y, PAIRED * radius - THIN, 0, 360))], 0.0, fill="#FFFFFF", tag=f"pair:{face.pair}")
        pen.circle(x, y, PAIRED * radius, THIN, tag=f"pair:{face.pair}")
    pen.circle(x, y, max(radius - THIN / 2, THIN / 2), THIN, tag=face.tag)
    both = _height(face.number, face.letters, radius) if face.letters else None
    alone = _height(face.number, "", radius)
    if both:
        pen.text(x, y + both * (1 - LINE) / 2, face.number, both, "middle", "bold", tag=face.tag)
        pen.text(x, y + both * (1 + LINE) / 2, face.letters, both, "middle", tag=face.tag)
    elif alone:
        pen.text(x, y + alone / 2, face.number, alone, "middle", "bold", tag=face.tag)


def _height(number: str, letters: str, radius: float) -> float | None:
    """The largest height at which a number, with letters below it, goes into the white of a circle; None where it does at none."""
    for height in NUMBERS:
        half = height * (1 + LINE if letters else 1) / 2
        top, bottom = (hypot(text_width(text, height, weight) / 2, half + height * (0.0 if _CAPITALS(text) else TALLER))
                       for text, weight in ((number, "bold"), (letters or number, "regular")))
        if max(top, bottom) + FREE + THIN / 2 <= CORE * radius:
            return height
    return None


def _chords(x: float, y: float, radius: float, start_deg: float, end_deg: float) -> list[Point]:
    """Points of a part of a circle, clockwise as seen, near enough to look round."""
    steps = max(2, round(radians(end_deg - start_deg) * max(radius, LEAST_ROUND) / CHORD_MM))
    angles = [radians(start_deg + (end_deg - start_deg) * step / steps) for step in range(steps + 1)]
    return [(x + radius * cos(angle), y + radius * sin(angle)) for angle in angles]


def _beside_numbers(x: float, y: float, radius: float, circles: Sequence[tuple[float, float, float]]) -> Iterator[list[Point]]:
    """The parts of a circle that run through no white of a wire."""
    parts = max(90, int(2 * pi * radius))     # a point a millimetre
    points = ((x + radius * cos(2 * pi * part / parts), y + radius * sin(2 * pi * part / parts)) for part in range(parts + 1))
    for is_free, run in groupby(points, lambda point: all(hypot(point[0] - wx, point[1] - wy) > CORE * wire + WIDE for wx, wy, wire in circles)):
        line = list(run)
        if is_free and len(line) > 1:
            yield line
