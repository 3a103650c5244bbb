"""Revision marks: the triangle with the letter, the cloud round what changed, the old value struck through.

All are lines of the narrow width, readable after a black-and-white photocopy. The
triangle and the cloud are the usual marks of revised drawings (common practice).
Lengths in mm.
"""

from __future__ import annotations

from math import asin, atan2, ceil, degrees, hypot, sqrt

from .lettering import Weight, cut, text_width
from .pen import Pen
from .record import THIN

SIDE = 5.6
"""Side of the triangle."""
HIGH = SIDE * sqrt(3) / 2
LETTERS = (1.8, 1.6, 1.4, 1.2)
"""Heights that are tried for the letters in it, that of column heads first; what is too long even for the last is cut."""
ABOVE_BASE = 0.7
"""From the base of the triangle to the baseline of its letters."""
CLEAR = 0.2
"""From the middle of a side to the letters, along the base."""
BUMP = 2.4
"""The chord of one bow of a cloud, about; a side is divided into equal bows."""
BULGE = 0.4
"""How far a bow stands out beyond the line its ends stand on."""


def draw_triangle(pen: Pen, x: float, y: float, letter: str, *, tag: str = "revision") -> None:
    """A triangle SIDE wide and HIGH high, its top left corner at x, y, with the letters of the revision in it ("": none)."""
    pen.polygon([(x, y + HIGH), (x + SIDE / 2, y), (x + SIDE, y + HIGH)], THIN, tag=tag)
    if letter:
        height = next((height for height in LETTERS if text_width(letter, height, "bold") <= _room(height)), LETTERS[-1])
        pen.text(x + SIDE / 2, y + HIGH - ABOVE_BASE, cut(letter, _room(height), height, "bold"), height, "middle", "bold", tag=tag)


def _room(height: float) -> float:
    """The width between the sides at the tops of letters of a height."""
    return SIDE * (1 - (ABOVE_BASE + height) / HIGH) - 2 * CLEAR


def draw_cloud(pen: Pen, x: float, y: float, w: float, h: float, *, tag: str = "cloud") -> None:
    """A closed line of bows inside the rectangle x, y, w, h: nothing of it leaves that, and all of it is in a margin BULGE + THIN wide."""
    inset = BULGE + THIN / 2
    left, top, right, bottom = x + inset, y + inset, x + w - inset, y + h - inset
    corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
    for (x1, y1), (x2, y2) in zip(corners, corners[1:], strict=False):
        bows = max(1, ceil(hypot(x2 - x1, y2 - y1) / BUMP))
        for bow in range(bows):
            a, b = bow / bows, (bow + 1) / bows
            _bow(pen, x1 + (x2 - x1) * a, y1 + (y2 - y1) * a, x1 + (x2 - x1) * b, y1 + (y2 - y1) * b, tag)


def _bow(pen: Pen, x1: float, y1: float, x2: float, y2: float, tag: str) -> None:
    """An arc from 1 to 2 that stands out to the left of the way by BULGE; a box drawn clockwise has its outside there."""
    chord = hypot(x2 - x1, y2 - y1)
    if chord < 1e-9:
        return
    bulge = min(BULGE, chord / 2)
    r = (chord * chord / 4 + bulge * bulge) / (2 * bulge)
    # unit vector to the right of the way: the centre lies there
    nx, ny = -(y2 - y1) / chord, (x2 - x1) / chord
    cx, cy = (x1 + x2) / 2 + nx * (r - bulge), (y1 + y2) / 2 + ny * (r - bulge)
    half = degrees(asin(min(1.0, chord / (2 * r))))
    # the bow's middle, seen from the centre, points back against the normal
    middle = _angle(-nx, -ny)
    pen.arc(cx, cy, r, middle - half, middle + half, THIN, tag=tag)


def _angle(x: float, y: float) -> float:
    """Degrees clockwise as seen, of a unit vector along an axis or any other way."""
    return degrees(atan2(y, x))


def draw_struck(pen: Pen, x: float, y: float, text: str, height: float = 2.5, weight: Weight = "regular", *, tag: str = "struck") -> float:
    """A text on the baseline y with a line through it; returns its width. What it says no longer holds."""
    length = pen.text(x, y, text, height, weight=weight, tag=tag)
    if length:
        pen.line(x, y - height * 0.45, x + length, y - height * 0.45, THIN, tag=tag)
    return text_width(text, height, weight)
