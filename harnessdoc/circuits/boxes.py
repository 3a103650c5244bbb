"""Figures of units: a frame with the contacts along its upper and lower edge, each with its address and what it does.

The frame stretches; its edge is broken where only a part of the unit is on the page. Inside stand the id and the title.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..diagram.graph import Node, Port
from ..diagram.placed import PlacedNode
from ..drawing.pen import Pen
from .figure import BROKEN, FRAME, PITCH, TEXT, Figure, Line, block_height, draw_lines, widest

INSET = 0.9
"""From the frame to the text within."""
BETWEEN = 1.6
"""Kept free between the texts of neighbouring pins."""

BEHIND = 0.5
"""More between the address of a pin below and the words above it: a slash rises above the capitals, and letters reach below their line."""

UNDER, FEW_PINS = 1.2, 2
"""More between the words within and what so few pins below do, lest the one read on into the other."""


@dataclass(frozen=True, slots=True)
class Pin:
    """A contact of a unit on this page: side "top" or "bottom", and the lines it prints, its address first."""

    address: str
    side: str
    lines: tuple[Line, ...]

    @property
    def room(self) -> float:
        return max(widest(self.lines) + BETWEEN, 6.0)


def unit(id: str, owner: str, name: Sequence[Line], pins: Sequence[Pin], *, is_part: bool, kind: str = "unit", turn: tuple[str | int, ...] = (), group: str = "",
         inside: Sequence[Line] = ()) -> Figure:
    """inside: lines below the name, what the unit does with its contacts."""
    top, bottom = ([pin for pin in pins if pin.side == side] for side in ("top", "bottom"))
    text = [*name, *inside]
    above, below = (max((block_height(len(pin.lines)) for pin in side), default=0.0) for side in (top, bottom))
    below += BEHIND if any(len(pin.lines) > 1 for pin in bottom) else 0.0
    below += UNDER if text and 0 < len(bottom) <= FEW_PINS and any(len(pin.lines) > 1 for pin in bottom) else 0.0
    height = INSET + (above + 1.4 if top else 0.0) + block_height(len(text)) + 0.6 + (below + 1.4 if bottom else 0.0) + INSET
    width = max(widest(text) + 2 * INSET + 1.0, *(sum(pin.room for pin in side) for side in (top, bottom)))
    node = Node(id, "unit", tuple(Port(pin.address, pin.side, None, pin.room) for pin in pins), width, height, kind=kind, turn=turn, group=group)  # type: ignore[arg-type]

    def draw(pen: Pen, at: PlacedNode) -> None:
        tag = f"node:{id}"
        pen.rect(at.x, at.y, at.w, at.h, FRAME, dash=BROKEN if is_part else (), tag=tag)
        for pin in pins:
            x, _ = at.ports[pin.address]
            if pin.side == "top":
                draw_lines(pen, x, at.y + INSET, pin.lines, "middle", tag)
            else:
                base = at.y + at.h - INSET - 0.4
                for number, line in enumerate(pin.lines):
                    pen.text(x, base - number * PITCH - (BEHIND if number else 0.0), line.text, TEXT, "middle", "bold" if line.bold else "regular", tag=tag)
        draw_lines(pen, at.x + at.w / 2, at.y + INSET + (above + 1.4 if top else 0.0), text, "middle", tag)

    return Figure(node, draw, owner, is_part)
