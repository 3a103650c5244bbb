"""What stands for one thing on a circuit diagram: a node of the graph, and how it is drawn where it was placed.

All lengths in mm. A figure prints within its node. Symbols are drawn 0.35 wide, frames 0.25; the wider lines
are left to conductors, so that a reader of the lines never mistakes one for the other.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ..diagram.graph import Node
from ..diagram.placed import PlacedNode
from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen

TEXT = 2.5
PITCH = 3.9
"""From baseline to baseline."""
SYMBOL = 0.35
FRAME = 0.25
BROKEN = (2.5, 1.25)
"""Dashes of the edge of a unit that is shown in part."""
TIE = (1.5, 1.0)
"""Dashes from a coil to its contact."""
GAP = 0.9
"""From a symbol or a lead to the text beside it."""
LEAST = 9.0
"""Text is not broken to be narrower than this."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a figure's text; ``tail`` goes on in the regular weight."""

    text: str
    bold: bool = False
    tail: str = ""

    @property
    def width(self) -> float:
        return text_width(self.text, TEXT, "bold" if self.bold else "regular") + (text_width(f" {self.tail}", TEXT) if self.tail else 0.0)


@dataclass(frozen=True, slots=True)
class Figure:
    """node: its room and ports; draw: at the place it was given; owner: what a reader looks for (id of the part or device); is_part: only a part of that is shown; beside: width of the text
    right of a symbol over a wire (left where that is mirrored); aside: printed beside the node where the page has room."""

    node: Node
    draw: Callable[[Pen, PlacedNode], None]
    owner: str = ""
    is_part: bool = False
    beside: float = 0.0
    aside: str = ""


def lines_of(text: str, width: float, most: int = 9, bold: bool = False) -> list[Line]:
    """A text in lines; what goes beyond ``most`` is cut."""
    weight = "bold" if bold else "regular"
    wrapped = [line for line in wrap(text, width, TEXT, weight) if line]
    if len(wrapped) > most:
        wrapped = [*wrapped[: most - 1], cut(" ".join(wrapped[most - 1 :]), width, TEXT, weight)]
    return [Line(line, bold) for line in wrapped]


def widest(lines: Sequence[Line]) -> float:
    return max((line.width for line in lines), default=0.0)


def block_height(count: int) -> float:
    """Of lines of text, from the top of the capitals to the last baseline."""
    return TEXT + (count - 1) * PITCH if count else 0.0


def draw_lines(pen: Pen, x: float, top: float, lines: Sequence[Line], anchor: str = "start", tag: str = "") -> None:
    """Lines one under another, the top of the first one's capitals at ``top``."""
    base = top + TEXT
    for line in lines:
        draw_line(pen, x, base, line, anchor, tag)
        base += PITCH


def draw_line(pen: Pen, x: float, base: float, line: Line, anchor: str = "start", tag: str = "") -> None:
    """One line on its baseline."""
    if not line.tail:
        pen.text(x, base, line.text, TEXT, anchor, "bold" if line.bold else "regular", tag=tag)  # type: ignore[arg-type]
        return
    x -= {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * line.width
    x += pen.text(x, base, line.text, TEXT, weight="bold" if line.bold else "regular", tag=tag)
    pen.text(x, base, f" {line.tail}", TEXT, tag=tag)


def tight(text: str, most_lines: int, least: float = LEAST, step: float = 1.5, bold: bool = False) -> list[Line]:
    """A text in at most ``most_lines`` lines, as narrow as whole words allow."""
    weight = "bold" if bold else "regular"
    words = text.replace("-", "- ").split()
    # A hair more than the widest word: sums of widths differ in their last digit.
    width = max(least, *(text_width(word, TEXT, weight) + 0.01 for word in words), 0.0) if words else least
    while len(wrapped := wrap(text, width, TEXT, weight)) > most_lines:
        width += step
    return [Line(line, bold) for line in wrapped if line]
