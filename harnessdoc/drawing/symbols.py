"""Symbols after IEC 60617 (from its descriptions in words; the drawn sizes are ours).

Each function draws one symbol at a point and returns its terminals, name ->
(x, y) in mm: the places where wires meet it. Upright means that current flows
down; ``turn`` turns the symbol clockwise by 0, 90, 180 or 270 degrees about its
point. Symbols are 10 mm from terminal to terminal unless ``reach`` says otherwise (from the point
to each), on a module of 2.5 mm, so that equal parts line up; ``width`` is that of their lines. Switches are drawn at rest. Terminal
numbers of relays are those of DIN 72552: 86 is the start of the coil (+), 85 its
end. Only ``relay`` writes them; labels are the caller's.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin
from typing import Literal

from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import BLACK, THIN, WIDE, Point

Turn = Literal[0, 90, 180, 270]
Terminals = dict[str, Point]
Suppression = Literal["none", "diode", "resistor"]

REACH = 5.0
"""From a symbol's point to each of its two terminals."""
HALF_TURN = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}
FORK = 3.0
"""From the middle of a contact with two fixed ends to each of these."""
SUPPRESSION = 6.0
"""From the middle of a coil to that of what is across it."""
LINK = (1.5, 1.0)
"""Dashes of the line that links a coil to its contacts."""


class _Stand:
    """A pen in a symbol's own axes: its point is 0, 0, turned clockwise by ``turn``."""

    def __init__(self, pen: Pen, x: float, y: float, turn: Turn, tag: str, width: float = THIN) -> None:
        self.pen, self.x, self.y, self.turn, self.tag, self.width = pen, x, y, turn, tag, width
        self.cos, self.sin = HALF_TURN[turn]

    def at(self, u: float, v: float) -> Point:
        return (
            self.x + u * self.cos - v * self.sin,
            self.y + u * self.sin + v * self.cos,
        )

    def line(self, u1: float, v1: float, u2: float, v2: float, width: float | None = None) -> None:
        self.pen.line(*self.at(u1, v1), *self.at(u2, v2), self.width if width is None else width, tag=self.tag)

    def path(self, points: Sequence[Point]) -> None:
        self.pen.polyline([self.at(*p) for p in points], self.width, tag=self.tag)

    def shape(self, points: Sequence[Point], width: float | None = None, fill: str | None = None) -> None:
        self.pen.polygon([self.at(*p) for p in points], self.width if width is None else width, fill=fill, tag=self.tag)

    def box(self, w: float, h: float, fill: str | None = None) -> None:
        self.shape([(-w / 2, -h / 2), (w / 2, -h / 2), (w / 2, h / 2), (-w / 2, h / 2)], fill=fill)

    def arc(self, u: float, v: float, r: float, start: float, end: float) -> None:
        self.pen.arc(*self.at(u, v), r, start + self.turn, end + self.turn, self.width, tag=self.tag)

    def ring(self, u: float, v: float, r: float, fill: str | None = None) -> None:
        self.pen.circle(*self.at(u, v), r, self.width, fill=fill, tag=self.tag)


def fuse(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """A fuse: a rectangle with the line through it; 1 supply, 2 load."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.box(2.5, 5.5)
    s.line(0, -reach, 0, reach)
    return {"1": s.at(0, -reach), "2": s.at(0, reach)}


def fusible_link(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """A fusible link: a bowed wire between two studs (common practice); 1 supply, 2 load."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.line(0, -reach, 0, -3.4)
    s.line(0, 3.4, 0, reach)
    s.ring(0, -2.9, 0.5)
    s.ring(0, 2.9, 0.5)
    s.arc(0, -1.2, 1.2, 90, 270)
    s.arc(0, 1.2, 1.2, -90, 90)
    return {"1": s.at(0, -reach), "2": s.at(0, reach)}


def resistor(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """A resistor: a rectangle across the line; 1 and 2."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.line(0, -reach, 0, -3)
    s.box(2, 6)
    s.line(0, 3, 0, reach)
    return {"1": s.at(0, -reach), "2": s.at(0, reach)}


def diode(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """A diode: current flows from anode to cathode, the bar's side."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.line(0, -reach, 0, reach)
    s.shape([(-1.5, -1.25), (1.5, -1.25), (0, 1.25)])
    s.line(-1.5, 1.25, 1.5, 1.25)
    return {"anode": s.at(0, -reach), "cathode": s.at(0, reach)}


def lamp(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """A lamp: a circle with a cross; 1 and 2."""
    s = _Stand(pen, x, y, turn, tag, width)
    r, d = 2.5, 2.5 / 2**0.5
    s.line(0, -reach, 0, -r)
    s.ring(0, 0, r)
    s.line(-d, -d, d, d)
    s.line(-d, d, d, -d)
    s.line(0, r, 0, reach)
    return {"1": s.at(0, -reach), "2": s.at(0, reach)}


def motor(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """A motor: a circle with M; 1 and 2."""
    s = _Stand(pen, x, y, turn, tag, width)
    r = 3.0
    s.line(0, -reach, 0, -r)
    s.ring(0, 0, r)
    s.line(0, r, 0, reach)
    pen.text(x, y + 1.25, "M", 2.5, "middle", tag=tag)
    return {"1": s.at(0, -reach), "2": s.at(0, reach)}


def coil(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """A relay coil: a rectangle across the line; 86 (+) and 85."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.line(0, -reach, 0, -1.75)
    s.box(7, 3.5)
    s.line(0, 1.75, 0, reach)
    return {"86": s.at(0, -reach), "85": s.at(0, reach)}


def make_contact(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, tag: str = "") -> Terminals:
    """A contact open at rest; 30 carries the blade, 87 is fixed."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.path([(0, -REACH), (0, -2.5), (-1.75, 2.3)])
    s.line(0, 2.5, 0, REACH)
    return {"30": s.at(0, -REACH), "87": s.at(0, REACH)}


def changeover(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, tag: str = "") -> Terminals:
    """A changeover contact: 30 carries the blade, at rest on 87a (left); 87 (right) is open."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.path([(0, -REACH), (0, -2.5), (-1.9, 2.9)])
    s.path([(-1.5, 2.5), (-2.5, 2.5), (-2.5, REACH)])
    s.path([(1.5, 2.5), (2.5, 2.5), (2.5, REACH)])
    return {"30": s.at(0, -REACH), "87a": s.at(-2.5, REACH), "87": s.at(2.5, REACH)}


def switch(pen: Pen, x: float, y: float, *, closed: bool = False, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """A contact of a switch or relay at rest, open or closed, between two small circles; 1 and 2."""
    s = _Stand(pen, x, y, turn, tag, width)
    for way in (-1, 1):
        s.line(0, way * reach, 0, way * 2.6)
        s.ring(0, way * 2.1, 0.5)
    s.line(0, 1.6, 0 if closed else -2.0, -1.6)
    return {"1": s.at(0, -reach), "2": s.at(0, reach)}


def changeover_at_rest(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, mirrored: bool = False, tag: str = "") -> Terminals:
    """A changeover contact between small circles: 30 is the pivot, at rest on 87a, 87 is open. 87a stands left, right where ``mirrored``."""
    s = _Stand(pen, x, y, turn, tag, width)
    left = FORK if mirrored else -FORK
    s.line(0, -reach, 0, -2.6)
    s.ring(0, -2.1, 0.5)
    for u in (left, -left):
        s.ring(u, 2.1, 0.5)
        s.line(u, 2.6, u, reach)
    # from the rim of one circle to the rim of the other
    across = left / (left * left + 4.2 * 4.2) ** 0.5 * 0.5
    down = 4.2 / (left * left + 4.2 * 4.2) ** 0.5 * 0.5
    s.line(across, -2.1 + down, left - across, 2.1 - down)
    return {"30": s.at(0, -reach), "87a": s.at(left, reach), "87": s.at(-left, reach)}


def two_makes_at_rest(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, mirrored: bool = False, tag: str = "") -> Terminals:
    """Two contacts that close together, open at rest: 30 leads to the pivots of both; 87 stands left, 87b right, the other way round where ``mirrored``."""
    s = _Stand(pen, x, y, turn, tag, width)
    left = FORK if mirrored else -FORK
    s.line(0, -reach, 0, -3.4)
    s.line(-FORK, -3.4, FORK, -3.4)
    for u in (left, -left):
        s.line(u, -3.4, u, -2.6)
        s.ring(u, -2.1, 0.5)
        s.line(u, -1.6, u + (1.6 if mirrored else -1.6), 1.6)
        s.ring(u, 2.1, 0.5)
        s.line(u, 2.6, u, reach)
    return {"30": s.at(0, -reach), "87": s.at(left, reach), "87b": s.at(-left, reach)}


def suppressed_coil(pen: Pen, x: float, y: float, suppression: Suppression, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, mirrored: bool = False, tag: str = "") -> Terminals:
    """A relay coil with what is across it, left of it or, where ``mirrored``, right; of a diode the cathode is at 86."""
    s = _Stand(pen, x, y, turn, tag, width)
    u = SUPPRESSION if mirrored else -SUPPRESSION
    for way in (-1, 1):
        s.path([(0, way * 2.4), (u, way * 2.4), (u, way * 1.8)])
    if suppression == "diode":
        s.line(u, -1.8, u, 1.8)
        s.shape([(u - 1.5, 1.25), (u + 1.5, 1.25), (u, -1.25)])
        s.line(u - 1.5, -1.25, u + 1.5, -1.25)
    else:
        s.shape([(u - 0.9, -1.8), (u + 0.9, -1.8), (u + 0.9, 1.8), (u - 0.9, 1.8)])
    return coil(pen, x, y, turn=turn, width=width, reach=reach, tag=tag)


def battery(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, tag: str = "") -> Terminals:
    """Two cells lying in the line, each a short plate and a long one, the long one toward +; minus left, plus right."""
    s = _Stand(pen, x, y, turn, tag, width)
    for u, half in ((-2.3, 1.2), (-0.9, 2.4), (0.9, 1.2), (2.3, 2.4)):
        s.line(u, -half, u, half)
    s.line(-0.9, 0, 0.9, 0)
    return {"-": s.at(-2.3, 0), "+": s.at(2.3, 0)}


def open_end(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, tag: str = "") -> Terminals:
    """An end that goes on nowhere, or nobody knows where: a short bar across; 1 is the point itself."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.line(0, 0, 0, 2.0)
    s.line(-1.2, 2.0, 1.2, 2.0)
    return {"1": (x, y)}


def ground(
    pen: Pen,
    x: float,
    y: float,
    *,
    kind: Literal["earth", "chassis"] = "chassis",
    turn: Turn = 0,
    width: float | None = None,
    tag: str = "",
) -> Terminals:
    """Ground: three bars (earth) or a comb (frame, body, engine); 1 is at the point itself. ``width``: of all lines, None: thin ones, and wide bars."""
    s = _Stand(pen, x, y, turn, tag, THIN if width is None else width)
    wide = WIDE if width is None else width
    s.line(0, 0, 0, 2.5)
    if kind == "earth":
        for depth, half in ((2.5, 2.5), (3.5, 1.6), (4.5, 0.7)):
            s.line(-half, depth, half, depth, wide)
    else:
        s.line(-2.5, 2.5, 2.5, 2.5, wide)
        for u in (-2.5, -0.0, 2.5):
            s.line(u, 2.5, u - 1.2, 4.5)
    return {"1": (x, y)}


def splice_dot(pen: Pen, x: float, y: float, *, radius: float = 0.6, tag: str = "") -> Terminals:
    """The dot that joins wires; 1 is its centre."""
    pen.dot(x, y, radius, tag=tag)
    return {"1": (x, y)}


def plug(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """The plug half of a contact, a filled bar; its tip, "mate", is the point, "wire" 5 mm above."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.line(0, -reach, 0, -2.5)
    s.shape([(-0.45, -2.5), (0.45, -2.5), (0.45, 0), (-0.45, 0)], 0.0, BLACK)
    return {"wire": s.at(0, -reach), "mate": (x, y)}


def socket(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """The socket half of a contact, a half circle about its "mate", the point; "wire" 5 mm below."""
    s = _Stand(pen, x, y, turn, tag, width)
    s.arc(0, 0, 1.25, 0, 180)
    s.line(0, 1.25, 0, reach)
    return {"mate": (x, y), "wire": s.at(0, reach)}


def mated(pen: Pen, x: float, y: float, *, turn: Turn = 0, width: float = THIN, reach: float = REACH, tag: str = "") -> Terminals:
    """Two mated halves of an in-line connector, the plug's wire above, the socket's below; they meet at the point."""
    return {"plug": plug(pen, x, y, turn=turn, width=width, reach=reach, tag=tag)["wire"], "socket": socket(pen, x, y, turn=turn, width=width, reach=reach, tag=tag)["wire"]}


def twisted_pair(
    pen: Pen, x: float, y: float, gap: float, *, turn: Turn = 0, tag: str = ""
) -> Terminals:
    """The mark of a twisted pair: a figure of eight over two lines ``gap`` mm apart.

    The lines run upright and lie left and right of the point. No terminals.
    """
    s = _Stand(pen, x, y, turn, tag)
    half, tall = gap / 2 + 1.0, 1.0
    steps = 32
    points = [
        (half * sin(2 * pi * i / steps), tall * sin(4 * pi * i / steps)) for i in range(steps)
    ]
    s.shape(points)
    return {}


def shield(pen: Pen, x: float, y: float, w: float, h: float, *, tail: bool = True, tag: str = "") -> Terminals:
    """A shield: a dashed ellipse of w by h mm about the conductors, with a tail below unless its drain leaves elsewhere; "drain" is its end."""
    steps = 48
    points = [
        (x + w / 2 * cos(2 * pi * i / steps), y + h / 2 * sin(2 * pi * i / steps))
        for i in range(steps)
    ]
    pen.polygon(points, dash=LINK, tag=tag)
    if not tail:
        return {}
    pen.line(x, y + h / 2, x, y + h / 2 + 2.5, tag=tag)
    return {"drain": (x, y + h / 2 + 2.5)}


def relay(
    pen: Pen,
    x: float,
    y: float,
    *,
    changes_over: bool = False,
    suppression: Suppression = "none",
    tag: str = "",
) -> Terminals:
    """A whole relay at rest: coil at the point, its contact 12.5 mm right, suppression 10 mm left.

    The terminals carry their numbers. A suppression diode has its cathode on 86.
    """
    terminals = coil(pen, x, y, tag=tag)
    contact = changeover if changes_over else make_contact
    terminals |= contact(pen, x + 12.5, y, tag=tag)
    # The dashed link meets the blade at half its height.
    pen.line(x + 3.5, y, x + 12.5 - 0.9, y, dash=LINK, tag=tag)
    if suppression != "none":
        part = (
            diode(pen, x - 10, y, turn=180, tag=tag)
            if suppression == "diode"
            else resistor(pen, x - 10, y, tag=tag)
        )
        for px, py in part.values():
            pen.line(px, py, x, py, tag=tag)
            pen.dot(x, py, tag=tag)
    for name, (tx, ty) in terminals.items():
        above = ty < y
        anchor, dx = ("end", -0.8) if name == "87a" else ("start", 0.8)
        pen.text(tx + dx, ty + (1.8 if above else -0.2), name, 1.8, anchor, tag=tag)
    return terminals
