"""The shapes a wire's label may take, and where its pieces stand in it.

Takes pieces and the height of capitals in mm; gives shapes (widths and heights in mm) and, of a placed label,
what to draw where. Widths are those of the bundled font.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from harnessdoc.drawing.lettering import text_width

from .graph import Piece
from .placed import PlacedLabel

LINE_PITCH = 1.44
"""From baseline to baseline, in heights of capitals."""
SPACE = 0.45
"""Between two pieces of one line, in heights of capitals."""
APART = 0.9
"""Behind a piece that stands apart from the next, in heights of capitals: twice the usual, wider than any digit."""
SWATCH = 2.4
"""Width of a swatch, in heights of capitals."""


@dataclass(frozen=True, slots=True)
class ShapeOf:
    """w, h: of the box on paper; lines from the top down, or from the left where upright."""

    w: float
    h: float
    lines: tuple[tuple[Piece, ...], ...]
    upright: bool


def piece_width(piece: Piece, height: float) -> float:
    """Width in mm of a piece: of its text, or of its swatch."""
    return SWATCH * height if piece.swatch else text_width(piece.text, height)


def space_after(piece: Piece, height: float) -> float:
    """From a piece to the next of its line, in mm."""
    return (APART if piece.apart else SPACE) * height


def line_width(line: Sequence[Piece], height: float) -> float:
    """Width in mm of the pieces of one line."""
    return sum(piece_width(piece, height) for piece in line) + sum(space_after(piece, height) for piece in line[:-1])


def shapes(label: Sequence[Piece], height: float) -> tuple[ShapeOf, ...]:
    """One line, two, three lines lying; one and two lines upright. None for a label without pieces."""
    found = []
    for count in range(1, min(len(label), 3) + 1):
        best: tuple[float, tuple[tuple[Piece, ...], ...]] | None = None
        for cuts in combinations(range(1, len(label)), count - 1):
            edges = (0, *cuts, len(label))
            lines = tuple(tuple(label[a:b]) for a, b in zip(edges, edges[1:], strict=False))
            width = max(line_width(line, height) for line in lines)
            if best is None or width < best[0] - 1e-9:
                best = (width, lines)
        assert best is not None
        tall = height * (1 + LINE_PITCH * (count - 1))
        found.append(ShapeOf(best[0], tall, best[1], False))
        if count < 3:
            found.append(ShapeOf(tall, best[0], best[1], True))
    return tuple(sorted(found, key=lambda shape: (shape.upright, len(shape.lines))))


def marks(label: PlacedLabel, height: float) -> Iterator[tuple[Piece, float, float]]:
    """Each piece of a placed label with the left end of its baseline; upright: with the lower end of its baseline, which runs upward.

    A swatch stands on the baseline, ``height`` high; of an upright label it is ``height`` wide and as long as ``piece_width`` says, from
    its lower left corner (x - height, y).
    """
    for number, line in enumerate(label.lines):
        along = 0.0
        base = height * (1 + LINE_PITCH * number)
        for piece in line:
            yield (piece, label.x + base, label.y + label.h - along) if label.upright else (piece, label.x + along, label.y + base)
            along += piece_width(piece, height) + space_after(piece, height)
