"""Figures of devices with several contacts or loads, of relays and of batteries: a frame with a symbol in each column between its contacts.

Contacts that several columns share are joined inside by a thin line. What moves together is tied by a dashed line.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..diagram.graph import Node, Port, Side
from ..diagram.placed import PlacedNode
from ..drawing import symbols
from ..drawing.lettering import text_width
from ..drawing.pen import Pen
from .figure import BROKEN, FRAME, GAP, SYMBOL, TEXT, TIE, Figure, Line, block_height, draw_lines, widest
from .through import Symbol

ROW = 3.5
"""Height of the row of terminal texts."""
SHARED = 1.6
"""Height of the line that several columns share."""
LEAST_BODY = 2.9
"""Half the height of a column between its texts."""
PAD = 1.0
WIDE = 90.0
"""A frame that would be wider has the words of its loads left of the symbols, where there is room below the terminals' texts. Design choice: a page of the booklet takes about 110."""
EDGE = 0.9
"""From the frame to the capitals of a terminal's text: a slash rises above them."""


@dataclass(frozen=True, slots=True)
class Column:
    """upper, lower: addresses of its ends, which are ports but where the columns share one; words: right of the symbol (left in a wide frame); second: the other fixed contact of a symbol with two,
    on the side of the first and right of that."""

    upper: str
    lower: str
    symbol: Symbol
    words: tuple[Line, ...] = ()
    second: str = ""

    def at(self, end: str) -> float:
        """From the middle of the symbol to the lead of an end."""
        return self.symbol.fork if end == self.second else -self.symbol.fork if self.second and end == (self.lower if self.symbol.fork_below else self.upper) else 0.0

    @property
    def ends(self) -> tuple[tuple[str, Side], ...]:
        """Its ends with their sides."""
        return (self.upper, "top"), (self.lower, "bottom"), *(((self.second, "bottom" if self.symbol.fork_below else "top"),) if self.second else ())  # type: ignore[return-value]


def columns(id: str, owner: str, name: Sequence[Line], each: Sequence[Column], texts: Mapping[str, str], *, shared_upper: str = "", shared_lower: str = "", is_part: bool = False,
            tied: bool = False, kind: str = "", turn: tuple[str | int, ...] = (), earthed: bool = False) -> Figure:
    """texts: address -> what is printed beside its lead; shared_upper, shared_lower: the address all columns come from or lead to; earthed: the shared lower one is the case on
    metal and no port; tied: the columns are contacts (and a coil) that move together."""
    leftward = not tied and _across(each, texts, shared_upper, shared_lower, False)[1] > WIDE
    offsets, frame = _across(each, texts, shared_upper, shared_lower, leftward)
    middle = offsets[_middle(each)]
    above, below = ROW + (SHARED if shared_upper else 0.0), ROW + (SHARED if shared_lower else 0.0)
    body = max(LEAST_BODY, *(column.symbol.body + 0.4 for column in each), *((block_height(len(column.words)) + 0.4) / 2 for column in each))
    foot = 3.6 if earthed else 0.0
    framed = above + 2 * body + below
    ports = []
    for column, offset in zip(each, offsets, strict=True):
        ports += [Port(end, side, offset + column.at(end)) for end, side in column.ends if not (shared_upper if side == "top" else shared_lower)]
    ports += [Port(end, side, middle) for end, side in ((shared_upper, "top"), (shared_lower, "bottom")) if end and not (earthed and side == "bottom")]  # type: ignore[arg-type]
    high = max(framed, block_height(len(name)) + 0.6) + foot
    node = Node(id, "box", tuple(ports), frame + GAP + widest(name) + 0.2, high, mirror=True, kind=kind, turn=turn)  # type: ignore[arg-type]

    def draw(pen: Pen, at: PlacedNode) -> None:
        tag = f"node:{id}"
        way, anchor, other = (-1, "end", "start") if at.mirrored else (1, "start", "end")
        origin = at.x + at.w if at.mirrored else at.x
        low = at.y + at.h - foot
        pen.rect(origin - frame if at.mirrored else origin, at.y, frame, low - at.y, FRAME, dash=BROKEN if is_part else (), tag=tag)
        cy = (at.y + above + low - below) / 2
        top, bottom = (at.y + ROW + 0.7 if shared_upper else at.y), (low - ROW - 0.8 if shared_lower else low)
        for column, offset in zip(each, offsets, strict=True):
            cx = origin + way * offset
            reach = min(cy - top, bottom - cy)
            column.symbol.draw(pen, cx, cy, reach=reach, width=SYMBOL, tag=tag, **({"mirrored": way < 0} if column.symbol.sided else {}))
            side_way, toward_words = (-way, other) if leftward else (way, anchor)
            draw_lines(pen, cx + side_way * (column.symbol.half + GAP), cy - block_height(len(column.words)) / 2, column.words, toward_words, tag)
            for end, side in column.ends:
                ex = cx + way * column.at(end)
                y1, y2 = (top, cy - reach) if side == "top" else (cy + reach, bottom)
                if y2 - y1 > 1e-6:
                    pen.line(ex, y1, ex, y2, SYMBOL, tag=tag)
                if not (shared_upper if side == "top" else shared_lower):
                    beside, toward = (way, anchor) if end == column.second else (-way, other)
                    pen.text(ex + beside * GAP, at.y + EDGE + TEXT if side == "top" else low - 0.9, texts[end], TEXT, toward, tag=tag)  # type: ignore[arg-type]
        mx = origin + way * middle
        for shared, y, edge, base in ((shared_upper, top, at.y, at.y + EDGE + TEXT), (shared_lower, bottom, low, low - 0.9)):
            if shared:
                pen.line(origin + way * offsets[0], y, origin + way * offsets[-1], y, SYMBOL, tag=tag)
                pen.line(mx, y, mx, edge, SYMBOL, tag=tag)
                pen.text(mx - way * GAP, base, texts[shared], TEXT, other, tag=tag)  # type: ignore[arg-type]
        if earthed:
            symbols.ground(pen, mx, low - 0.9, width=SYMBOL, tag=tag)
        if tied:
            _tie(pen, origin, way, offsets, each, cy, tag)
        draw_lines(pen, origin + way * (frame + GAP), at.y + (low - at.y - block_height(len(name))) / 2, name, anchor, tag)

    return Figure(node, draw, owner, is_part)


def _across(each: Sequence[Column], texts: Mapping[str, str], shared_upper: str, shared_lower: str, leftward: bool) -> tuple[list[float], float]:
    """Where the columns stand from the frame's left edge, and the width of the frame; leftward: the words stand left of the symbols."""
    offsets, x = [], 0.0
    for number, column in enumerate(each):
        own = [text_width(texts[end], TEXT) - column.at(end) for end, shared in ((column.upper, shared_upper), (column.lower, shared_lower)) if not shared]
        worded = column.symbol.half + GAP + widest(column.words) if column.words else 0.0
        # terminal texts left of the leads, that of a second fixed contact right of its own
        left = PAD + max(column.symbol.half, column.symbol.left, max(own, default=0.0) + GAP, worded if leftward else 0.0)
        if number == _middle(each) and (shared_upper or shared_lower):
            left = max(left, PAD + GAP + max(text_width(texts[end], TEXT) for end in (shared_upper, shared_lower) if end))
        offsets.append(x + left)
        x += left + max(column.symbol.half, 0.0 if leftward else worded, column.symbol.fork + GAP + text_width(texts[column.second], TEXT) if column.second else 0.0)
    return offsets, x + PAD


def _middle(each: Sequence[Column]) -> int:
    return (len(each) - 1) // 2


def _tie(pen: Pen, origin: float, way: int, offsets: Sequence[float], each: Sequence[Column], cy: float, tag: str) -> None:
    """The dashed line from column to column, left out where a column's words stand."""
    for one, other, a, b in zip(each, each[1:], offsets, offsets[1:], strict=False):
        start = a + (one.symbol.half + 2 * GAP + widest(one.words) if one.words else one.symbol.half if one.symbol.half > 3 else _blade(one, way) + 0.4)
        end = b + _blade(other, way)
        if end - start > 0.6:
            pen.line(origin + way * start, cy, origin + way * end, cy, FRAME, dash=TIE, tag=tag)


def _blade(column: Column, way: int) -> float:
    """From a column's middle to that of its blade, along the way the frame runs: but for a sided symbol it leans left, whichever way the frame stands."""
    return column.symbol.blade * (1 if column.symbol.sided else way)


def battery(id: str, owner: str, name: Sequence[Line], plus: str, minus: str, *, is_part: bool = False) -> Figure:
    """A battery: its poles below, plus right."""
    width, high = max(17.0, 10.0 + text_width(plus, TEXT) + text_width(minus, TEXT)), 12.0
    node = Node(id, "box", (Port(minus, "bottom", 3.0, 12), Port(plus, "bottom", width - 3.0, 12)), width + GAP + widest(name) + 0.2, max(high, block_height(len(name)) + 0.5),
                mirror=True, band="supply")

    def draw(pen: Pen, at: PlacedNode) -> None:
        tag = f"node:{id}"
        way, anchor, other = (-1, "end", "start") if at.mirrored else (1, "start", "end")
        origin = at.x + at.w if at.mirrored else at.x
        pen.rect(origin - width if at.mirrored else origin, at.y, width, at.h, FRAME, dash=BROKEN if is_part else (), tag=tag)
        y, low = at.y + 3.9, at.y + at.h
        poles = symbols.battery(pen, origin + way * width / 2, y, turn=0 if way > 0 else 180, width=SYMBOL, tag=tag)
        for port, pole, side, toward in ((minus, "-", anchor, way), (plus, "+", other, -way)):
            x, _ = at.ports[port]
            pen.polyline([poles[pole], (x, y), (x, low)], SYMBOL, tag=tag)
            pen.text(x + toward * GAP, low - 0.8, port, TEXT, side, tag=tag)  # type: ignore[arg-type]
        draw_lines(pen, origin + way * (width + GAP), at.y + (at.h - block_height(len(name))) / 2, name, anchor, tag)

    return Figure(node, draw, owner, is_part)
