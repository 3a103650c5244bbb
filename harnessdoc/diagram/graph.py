"""What a circuit diagram is made of, before it has a place: nodes with ports, wires, labels.

All lengths in mm, y downward. Current flows down: every wire leaves a port on the
bottom of its upper node and enters a port on the top of its lower node, so a graph
has no cycles. Ids are unique within the graph.

Three kinds of node. A *box* is rigid: its ports stand where they are drawn. A *unit*
(a control unit, a connector of many cavities) stretches to meet its wires, and its ports
go in any order on their side. A *bar* is a splice, a bus bar or a ground that several wires
share: a horizontal line of no height with a dot at each tap; any number of wires, from
above and from below, each at a tap of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Shape = Literal["box", "unit", "bar"]
Side = Literal["top", "bottom"]
Band = Literal["supply", "", "ground"]
"""Where a node is kept: at the top of the page, anywhere, at its bottom."""


@dataclass(frozen=True, slots=True)
class Port:
    """Where wires meet a box or a unit.

    at: from the left edge of the box to the port; None in a unit, where the placement says it
    room: width kept free about the port, for what the node prints there; ports of a unit stand
    at least half of both rooms apart
    """

    name: str
    side: Side
    at: float | None = None
    room: float = 5.0


@dataclass(frozen=True, slots=True)
class Node:
    """A thing of the diagram with what it prints: the text belongs to its width and height.

    width: of a box as drawn; of a unit the least; of a bar 0
    height: 0 for a bar
    right: kept free right of a bar's end for its number, or 0
    below: how far what stands there reaches below the feet of its capitals
    mirror: a box may stand mirrored (its ports too), what is drawn then is the owner's business
    kind: nodes of one kind like to stand on one level (lamps beside lamps)
    group: nodes of one group like to stand together; "" for none
    turn: the natural order among nodes of one kind (injector 1, 2, 3, 4)
    tie: nodes of one tie stand on one level and next to each other where that costs nothing:
    the cavities of one in-line connector, joined by a thin broken line
    band: kept at the top (supply) or at the bottom (ground)
    merge: neighbours of one merge on one level become one symbol (the wires of one ground)
    held_mm: where the middle of a box stands across the page, with its one port and the line from it all the way; one of the ground band then stands on the lowest level
    """

    id: str
    shape: Shape
    ports: tuple[Port, ...] = ()
    width: float = 0.0
    height: float = 0.0
    right: float = 0.0
    below: float = 0.0
    mirror: bool = False
    kind: str = ""
    group: str = ""
    turn: tuple[str | int, ...] = ()
    tie: str = ""
    band: Band = ""
    merge: str = ""
    held_mm: float | None = None


@dataclass(frozen=True, slots=True)
class End:
    """An end of a wire; ``port`` is "" at a bar."""

    node: str
    port: str = ""


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a label that is not broken: a text, or a colour swatch (IEC letters, as drawing.swatch takes them) of its text's height.

    apart: what follows in its line stands clearly apart, as the size behind the number of a wire, lest both are read as one number
    """

    text: str = ""
    swatch: tuple[str, ...] = ()
    apart: bool = False


@dataclass(frozen=True, slots=True)
class Wire:
    """A line from one node down to another.

    label: pieces in order, printed beside the line in one to as many lines as there are pieces, upright only where nothing else fits
    width: of the line
    weight: how much its length counts
    """

    id: str
    upper: End
    lower: End
    label: tuple[Piece, ...] = ()
    width: float = 0.5
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Graph:
    """One diagram; the order of nodes and wires is that of the description and breaks ties."""

    nodes: Mapping[str, Node]
    wires: Mapping[str, Wire]
    text_height: float = field(default=2.5, kw_only=True)
