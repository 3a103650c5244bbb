"""Figures of what current goes straight through: fuse, fusible link, resistor, diode, lamp, motor, coil, switch, in-line connector.

The symbol stands over the wire, its name right of it, what is printed at its leads left; in a mirrored one it is the other way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from ..diagram.graph import Node, Port
from ..diagram.placed import PlacedNode
from ..drawing import symbols
from ..drawing.pen import Pen
from .figure import GAP, SYMBOL, TEXT, Figure, Line, block_height, draw_lines, widest

ROW = 3.5
"""Height of a text beside a lead."""
LEAD = 1.2
"""Length of a lead with no text beside it."""
FAR = 0.6
"""A text beside a narrow symbol begins no farther from the end of its lead."""
APART = 0.95
"""From the middle of a symbol to the texts beside it: a broken line may pass between them."""
NARROW = 3.0
"""Half the width of a symbol beside which its terminals' texts are still near its leads."""
EARTHED = 3.6
"""Height of the sign of a case that is grounded by what it is bolted to."""


@dataclass(frozen=True, slots=True)
class Symbol:
    """draw: as those of ``drawing.symbols``, with ``reach``; half: of its width; body: half of its height without leads;
    left: how far it reaches left where that is more; fork: from its middle to each of two fixed contacts, 0 where it has one; fork_below: whether these are below; blade: from its
    middle to that of its blade, right of it; sided: it is drawn mirrored where its figure is, with ``left`` and ``blade`` so."""

    draw: Callable[..., Any]
    half: float
    body: float
    left: float = 0.0
    fork: float = 0.0
    fork_below: bool = True
    blade: float = 0.0
    sided: bool = False


FUSE = Symbol(symbols.fuse, 1.25, 2.75)
LINK = Symbol(symbols.fusible_link, 1.2, 3.4)
RESISTOR = Symbol(symbols.resistor, 1.0, 3.0)
DIODE = Symbol(symbols.diode, 1.5, 1.5)
LAMP = Symbol(symbols.lamp, 2.5, 2.5)
MOTOR = Symbol(symbols.motor, 3.0, 3.0)
COIL = Symbol(symbols.coil, 3.5, 1.75)


def straight(id: str, owner: str, upper: str, lower: str, symbol: Symbol, name: Sequence[Line], *, ends: tuple[str, str] = ("", ""), kind: str = "",
             turn: tuple[str | int, ...] = (), is_part: bool = False, earthed: bool = False, tie: str = "") -> Figure:
    """A symbol over a line from the port ``upper`` to the port ``lower``; ends: texts beside its leads; earthed: the lower one is no port but the case on metal."""
    said = [Line(end).width for end in ends if end]
    # The terminals' texts stand beside a narrow symbol, those of a wide one beside its leads.
    aside = symbol.half + GAP if symbol.half <= NARROW else GAP
    left = max(symbol.half, max(said, default=0.0) + aside if said else 0.0) + 0.1
    right = max(symbol.half, symbol.half + GAP + widest(name)) + 0.2
    half_high = max(symbol.body + (ROW if said and symbol.half > NARROW else LEAD), (TEXT + APART) if said else 0.0, block_height(len(name)) / 2 + 0.3)
    foot = EARTHED if earthed else 0.0
    ports = (Port(upper, "top", left, left + right), *(() if earthed else (Port(lower, "bottom", left, left + right),)))
    node = Node(id, "box", ports, left + right, 2 * half_high + foot, mirror=True, kind=kind, turn=turn, tie=tie)

    def draw(pen: Pen, at: PlacedNode) -> None:
        x = at.ports[upper][0]
        tag = f"node:{id}"
        # as it was placed: what is said of other sheets may take fewer lines now
        reach = (at.h - foot) / 2
        middle = at.y + reach
        way, anchor, other = (-1, "end", "start") if at.mirrored else (1, "start", "end")
        symbol.draw(pen, x, middle, reach=reach, width=SYMBOL, tag=tag)
        if earthed:
            symbols.ground(pen, x, middle + reach - 1.5, width=SYMBOL, tag=tag)
        up, down = (at.y + TEXT + 0.2, at.y + 2 * reach - 0.5) if aside == GAP else (min(middle - APART, at.y + TEXT + FAR), max(middle + TEXT + APART, at.y + 2 * reach - FAR))
        for end, base in zip(ends, (up, down), strict=True):
            if end:
                pen.text(x - way * aside, base, end, TEXT, other, tag=tag)  # type: ignore[arg-type]
        draw_lines(pen, x + way * (symbol.half + GAP), middle - block_height(len(name)) / 2, name, anchor, tag)

    return Figure(node, draw, owner, is_part, widest(name))


def switch(closed: bool) -> Symbol:
    """A contact at rest, open or closed."""
    return Symbol(partial(symbols.switch, closed=closed), 2.2, 2.6, blade=0.0 if closed else -1.0)


CHANGEOVER = Symbol(symbols.changeover_at_rest, symbols.FORK + 0.5, 2.6, fork=symbols.FORK, blade=-symbols.FORK / 2, sided=True)
TWO_MAKES = Symbol(symbols.two_makes_at_rest, symbols.FORK + 0.5, 3.5, left=symbols.FORK + 1.6, fork=symbols.FORK, blade=symbols.FORK - 0.8, sided=True)


def coil_with(suppression: str | None) -> Symbol:
    """A relay's coil, with what is across it."""
    if suppression not in ("diode", "resistor"):
        return COIL
    return Symbol(partial(symbols.suppressed_coil, suppression=suppression), COIL.half, 2.5, left=symbols.SUPPRESSION + 1.9, sided=True)


def mated(upper_half: str | None) -> Symbol:
    """Plug into socket, the plug above unless the half above is known to be the socket."""
    return Symbol(partial(symbols.mated, turn=180 if upper_half == "socket" else 0), 1.25, 1.6)


def turned(symbol: Symbol) -> Symbol:
    """The same upside down; what it has left stays left."""
    def draw(pen: Pen, x: float, y: float, *, mirrored: bool = False, **more: Any) -> None:
        symbol.draw(pen, x, y, turn=180, **more, **({"mirrored": not mirrored} if symbol.sided else {}))
    return replace(symbol, draw=draw, fork_below=not symbol.fork_below)
