"""Where everything of a diagram stands: what the placement gives, in mm from the top left corner of its area."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from .graph import Piece

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PlacedNode:
    """x, y: top left; ports: name -> where its wires end (all taps of a bar: wire id -> point).

    A bar runs from x to x + w at y; ``mirrored`` boxes have their ports mirrored already.
    """

    x: float
    y: float
    w: float
    h: float
    mirrored: bool
    ports: Mapping[str, Point]


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A label beside its wire: its box, the lines of pieces from the top down (upright: from the left, read upward)."""

    wire: str
    x: float
    y: float
    w: float
    h: float
    lines: tuple[tuple[Piece, ...], ...]
    upright: bool


@dataclass(frozen=True, slots=True)
class Order:
    """The picture without its measures; given again, the next picture starts from it.

    levels, ranks: of each node its level and its rank there, from the left, among nodes and wires that pass; ways: wire -> its rank on each level that it passes, from the
    top down; mirrored: the boxes that stand mirrored
    """

    levels: Mapping[str, int]
    ranks: Mapping[str, int]
    ways: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    mirrored: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """A placed diagram.

    wires: id -> the points of its line from the upper to the lower end, each stretch upright or level
    merged: node -> the node whose symbol it shares (grounds that stand side by side)
    over_mm: (right, down) how far it does not fit its area; (0, 0) where it fits
    """

    nodes: Mapping[str, PlacedNode]
    wires: Mapping[str, tuple[Point, ...]]
    labels: tuple[PlacedLabel, ...]
    merged: Mapping[str, str]
    order: Order
    over_mm: tuple[float, float]
    crossings: int
    bends: int
