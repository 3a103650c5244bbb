"""Clouds and old values round the texts of a drawn piece: how much room they need, and how they are drawn.

Takes a pen and a text that stands already (its baseline, width and height); draws
the cloud round it and the values that no longer hold. A cloud keeps clear of
whatever the letters reach, accents and descenders included. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..drawing.lettering import cut, wrap
from ..drawing.pen import Pen
from ..drawing.revision_marks import draw_cloud, draw_struck

DATA = 2.5
LINE = 4.0
BESIDE = 1.35
"""From a text to the outer edge of its cloud, left and right."""
UP, DOWN = 4.25, 1.5
"""From the baseline of a text 2.5 mm high to the edges of its cloud."""
STRUCK = 5.1
"""From the baseline of a text with a cloud to that of the struck one next above or below it."""
AROUND = 0.9
"""From a box to the edge of its cloud."""


def cloud_text(pen: Pen, x: float, base: float, width: float, lines: float = 1, height: float = DATA, beside: float = BESIDE) -> None:
    """A cloud round texts that begin at x, the first on the baseline ``base``, the others LINE below each other; it reaches ``beside`` to the sides."""
    up, down = (UP - 0.7) * height / DATA + 0.7, (DOWN - 0.7) * height / DATA + 0.7
    draw_cloud(pen, x - beside, base - up, width + 2 * beside, up + down + LINE * (lines - 1))


def cloud_box(pen: Pen, x: float, y: float, width: float, height: float) -> None:
    """A cloud round a box to be filled by hand."""
    draw_cloud(pen, x - AROUND, y - AROUND, width + 2 * AROUND, height + 2 * AROUND)


def struck_lines(text: str, room: float, most: int, height: float = DATA) -> tuple[str, ...]:
    """An old value in at most ``most`` lines."""
    lines = [cut(line, room, height) for line in wrap(text, room, height)] if text else []
    return tuple(lines) if len(lines) <= most else (*lines[:most - 1], cut(" ".join(lines[most - 1:most + 1]), room, height))


def draw_struck_lines(pen: Pen, x: float, base: float, lines: Sequence[str], height: float = DATA) -> None:
    """Old values one under another, the first on the baseline ``base``."""
    for place, line in enumerate(lines):
        draw_struck(pen, x, base + place * LINE, line, height)
