"""Figures of what only joins: splices and bus bars, grounds, ends that are open or not known."""

from __future__ import annotations

from ..diagram.graph import Node, Port
from ..diagram.placed import PlacedNode
from ..drawing import symbols
from ..drawing.lettering import text_width
from ..drawing.pen import Pen
from .figure import GAP, SYMBOL, TEXT, Figure, Line, block_height, draw_lines, widest

DOT = 0.75
BAR_GAP = 1.0
"""From the end of a bar to its number, as ``diagram.gaps`` keeps it free."""
BELOW = 0.7
"""Words have parentheses, commas and letters that reach below their line, numbers do not."""
GROUND_HIGH, GROUND_HALF = 4.5, 3.8


def bar(id: str, number: str, note: str, width: float, *, is_feed: bool, turn: tuple[str | int, ...] = ()) -> Figure:
    """A splice, a bus bar or a stud: number, and behind it what else is to be said."""
    room = text_width(number, TEXT, "bold") + (text_width(f" {note}", TEXT) if note else 0.0)
    node = Node(id, "bar", right=room, below=BELOW if note else 0.0, kind="feed" if is_feed else "", band="supply" if is_feed else "", turn=turn)

    def draw(pen: Pen, at: PlacedNode) -> None:
        tag = f"node:{id}"
        if at.w > 1e-6:
            pen.line(at.x, at.y, at.x + at.w, at.y, width, tag=tag)
        for x, y in dict.fromkeys(at.ports.values()):
            symbols.splice_dot(pen, x, y, radius=DOT, tag=tag)
        x = at.x + at.w + BAR_GAP
        if number:
            x += pen.text(x, at.y + TEXT / 2, number, TEXT, weight="bold", tag=tag)
        if note:
            pen.text(x, at.y + TEXT / 2, f" {note}" if number else note, TEXT, tag=tag)

    return Figure(node, draw, number)


def ground(id: str, number: str, lines: list[Line], turn: tuple[str | int, ...] = ()) -> Figure:
    """The ground of one wire: the symbol, below it the number, beside both the place in words."""
    half = max(GROUND_HALF, Line(number, True).width / 2)
    high = GROUND_HIGH + GAP + TEXT + 0.8
    node = Node(id, "box", (Port("1", "top", half, 2 * half),), 2 * half + (GAP + widest(lines) if lines else 0.0) + 0.2, max(high, block_height(len(lines)) + 0.8), mirror=True,
                kind="ground", band="ground", merge=number, turn=turn)

    def draw(pen: Pen, at: PlacedNode) -> None:
        tag = f"node:{id}"
        x, y = at.ports["1"]
        symbols.ground(pen, x, y, width=SYMBOL, tag=tag)
        pen.text(x, at.y + GROUND_HIGH + GAP + TEXT, number, TEXT, "middle", "bold", tag=tag)
        way, anchor = (-1, "end") if at.mirrored else (1, "start")
        draw_lines(pen, x + way * (half + GAP), at.y + 0.4, lines, anchor, tag)

    return Figure(node, draw, number)


def loose_end(id: str, side: str, words: str) -> Figure:
    """An end that is open (a short bar across) or not known (a question mark): ``words`` beside it."""
    width, height = text_width(words, TEXT) + 3.4, 4.0
    node = Node(id, "box", (Port("1", "top" if side == "top" else "bottom", 1.5, width),), width, height, kind="end", mirror=True)

    def draw(pen: Pen, at: PlacedNode) -> None:
        tag = f"node:{id}"
        x, y = at.ports["1"]
        symbols.open_end(pen, x, y, turn=0 if side == "top" else 180, width=SYMBOL, tag=tag)
        pen.text(x - 1.9 if at.mirrored else x + 1.9, at.y + (height + TEXT) / 2, words, TEXT, "end" if at.mirrored else "start", tag=tag)

    return Figure(node, draw)
