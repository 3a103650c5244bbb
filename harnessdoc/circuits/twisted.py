"""Figures that lie over several conductors: the mark of a twisted pair, and the shield of a cable with its drain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..diagram.graph import Node, Port
from ..diagram.placed import PlacedNode
from ..drawing import symbols
from ..drawing.pen import Pen
from .figure import SYMBOL, Figure
from .joints import DOT

LEAST_PITCH = 8.5
"""From conductor to conductor: a label of two upright lines stands between them."""
HIGH = 4.4
SIDE = 1.6


@dataclass(frozen=True, slots=True)
class Mark:
    """What lies over which wires: ``drain`` is the wire that is tied to the shield, "" where none is; ``goes_on``: it ends there no more than the cores do; ``words``: printed beside it where
    there is room."""

    id: str
    wires: tuple[str, ...]
    shielded: bool
    drain: str = ""
    goes_on: bool = False
    words: str = ""

    @property
    def through(self) -> tuple[str, ...]:
        """The wires that go on below it."""
        return (*self.wires, self.drain) if self.goes_on else self.wires


def mark_figure(mark: Mark, widths: Sequence[float], pitch: float) -> Figure:
    """Ports ``in WIRE`` above and ``out WIRE`` below each conductor that goes through, ``drain`` above one that ends at the shield; ``pitch`` mm apart. widths: of those that go through."""
    at = {wire: SIDE + number * pitch for number, wire in enumerate(mark.through)}
    reach = SIDE + (len(mark.wires) - 1) * pitch
    width = reach + (pitch + 1.0 if mark.drain else SIDE)
    ports = [port for wire, x in at.items() for port in (Port(f"in {wire}", "top", x, pitch), Port(f"out {wire}", "bottom", x, pitch))]
    if mark.drain and not mark.goes_on:
        ports.append(Port("drain", "top", reach + pitch, pitch))
    name = f"mark:{mark.id}"
    node = Node(name, "box", tuple(ports), width, HIGH, mirror=True, kind="shield" if mark.shielded else "twist")

    def draw(pen: Pen, placed: PlacedNode) -> None:
        tag = f"node:{name}"
        xs = sorted(placed.ports[f"in {wire}"][0] for wire in mark.wires)
        middle, y = (xs[0] + xs[-1]) / 2, placed.y + HIGH / 2
        for wire, conductor in zip(mark.through, widths, strict=True):
            x, _ = placed.ports[f"in {wire}"]
            pen.line(x, placed.y, x, placed.y + HIGH, conductor, tag=f"wire:{wire}")
        if mark.shielded:
            symbols.shield(pen, middle, y, xs[-1] - xs[0] + 2 * SIDE, HIGH - 0.6, tail=False, tag=tag)
            if mark.drain:
                x, top = placed.ports[f"in {mark.drain}" if mark.goes_on else "drain"]
                edge = middle + (1 if x > middle else -1) * ((xs[-1] - xs[0]) / 2 + SIDE)
                pen.polyline([(x, y), (edge, y)] if mark.goes_on else [(x, top), (x, y), (edge, y)], SYMBOL, tag=tag)
                if mark.goes_on:
                    symbols.splice_dot(pen, x, y, radius=DOT, tag=tag)
        else:
            symbols.twisted_pair(pen, middle, y, xs[-1] - xs[0], tag=tag)

    return Figure(node, draw, aside=mark.words)


def pitch_of(ends: Sequence[tuple[Node, Port]]) -> float:
    """How far apart the ports at the ends of neighbouring conductors stand at the least, in mm; where they stand fixed, as far as that."""
    found = LEAST_PITCH
    for (one, a), (other, b) in zip(ends, ends[1:], strict=False):
        if one.id == other.id:
            found = max(found, (a.room + b.room) / 2 if a.at is None or b.at is None else abs(a.at - b.at))
    return found
