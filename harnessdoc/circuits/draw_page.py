"""Draws a placed page: figures, conductors, ties between halves of one connector, labels.

Takes a pen, the PageGraph, where everything was placed, and the top left corner of the area in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..diagram.gaps import BAR_TEXT, FOREIGN
from ..diagram.label_shapes import marks, piece_width
from ..diagram.placed import Placed, PlacedLabel, PlacedNode
from ..drawing.lettering import text_width
from ..drawing.pen import Pen
from ..drawing.record import Box
from ..drawing.swatch import draw_swatch
from .figure import FRAME, GAP, TEXT, TIE
from .page_graph import PageGraph

ASIDE = 3.0
"""Words beside a mark stand no nearer to another thing: none takes them for the name of a terminal there."""


def draw_page(pen: Pen, page: PageGraph, placed: Placed, x: float, y: float, leaves: Sequence[tuple[float, float]]) -> None:
    """Everything of the page, each mark tagged with the wire or node it stands for. leaves: from where to where across the paper, in mm, texts may stand: one, or two beside a fold."""
    for name, figure in page.figures.items():
        at = _moved(placed.nodes[name], x, y)
        lead = placed.merged.get(name)
        if lead is not None and lead != name:
            _draw_merged(pen, page, at, _moved(placed.nodes[lead], x, y), name)
        else:
            figure.draw(pen, at)
    for name, wire in page.graph.wires.items():
        pen.polyline([(px + x, py + y) for px, py in placed.wires[name]], wire.width, tag=f"wire:{name}")
    _draw_ties(pen, page, placed, x, y)
    _draw_asides(pen, page, placed, x, y, leaves)
    for label in placed.labels:
        draw_label(pen, label, x, y)


def _moved(node: PlacedNode, x: float, y: float) -> PlacedNode:
    return replace(node, x=node.x + x, y=node.y + y, ports={name: (px + x, py + y) for name, (px, py) in node.ports.items()})


def _draw_merged(pen: Pen, page: PageGraph, at: PlacedNode, lead: PlacedNode, name: str) -> None:
    """A ground that shares the symbol of its neighbour: a line to that one's port."""
    (x1, y1), (x2, y2) = at.ports["1"], lead.ports["1"]
    width = max(wire.width for wire in page.graph.wires.values() if wire.lower.node == name)
    pen.line(x1, y1, x2, y2, width, tag=f"node:{name}")


def _draw_ties(pen: Pen, page: PageGraph, placed: Placed, x: float, y: float) -> None:
    """A thin broken line between cavities of one connector that stand side by side at one height with nothing between."""
    rows: dict[str, list[tuple[PlacedNode, float]]] = {}
    for name, figure in page.figures.items():
        if figure.node.tie:
            rows.setdefault(figure.node.tie, []).append((placed.nodes[name], figure.beside))
    for nodes in rows.values():
        nodes.sort(key=lambda node: node[0].x)
        for (one, after), (other, before) in zip(nodes, nodes[1:], strict=False):
            if abs(one.y - other.y) > 0.1:
                continue
            level = y + one.y + one.h / 2
            left = max(px for px, _ in one.ports.values()) + (3.4 if after and not one.mirrored else 2.6) + (0.0 if one.mirrored else after)
            right = min(px for px, _ in other.ports.values()) - (3.4 if before and other.mirrored else 2.6) - (before if other.mirrored else 0.0)
            if right - left > 3.0 and not _crosses(page, placed, left, right, one.y + one.h / 2):
                pen.line(x + left, level, x + right, level, FRAME, dash=TIE, tag="tie")


def _crosses(page: PageGraph, placed: Placed, left: float, right: float, level: float) -> bool:
    """Whether a text, a figure or a level line is in the way."""
    for name, node in placed.nodes.items():
        number = page.figures[name].node.right
        if number and node.x + node.w < right and node.x + node.w + BAR_TEXT + number > left and abs(node.y - level) < TEXT:
            return True
        if node.x < right and node.x + max(node.w, page.figures[name].node.right) > left and node.y < level < node.y + node.h and not page.figures[name].node.tie:
            return True
    return any(label.x < right and label.x + label.w > left and label.y - 0.5 < level < label.y + label.h + 0.8 for label in placed.labels)


def _draw_asides(pen: Pen, page: PageGraph, placed: Placed, x: float, y: float, leaves: Sequence[tuple[float, float]]) -> None:
    """The words of marks over conductors, right or left of them, where nothing is near; else they are left out."""
    printed: list[Box] = []
    for name, figure in page.figures.items():
        if not figure.aside:
            continue
        node, width = placed.nodes[name], text_width(figure.aside, TEXT)
        top = node.y + (node.h - TEXT) / 2
        for left in (node.x + node.w + GAP, node.x - GAP - width):
            box = (left, top, left + width, top + TEXT)
            on_paper = any(start <= x + left and x + left + width <= stop for start, stop in leaves)
            if on_paper and _is_free(page, placed, name, box) and not any(_meet(box, other, ASIDE) for other in printed):
                printed.append(box)
                pen.text(x + left, y + top + TEXT, figure.aside, TEXT, tag=f"node:{name}")
                break


def _is_free(page: PageGraph, placed: Placed, own: str, box: Box) -> bool:
    """Whether nothing but the node itself is nearer to a text than ASIDE, no label or wire nearer than FOREIGN, and no row of ties at its height."""
    for name, node in placed.nodes.items():
        of = page.figures[name].node
        # of a bar its number, too
        tall, wide = (TEXT, BAR_TEXT + of.right) if of.shape == "bar" else (0.0, 0.0)
        if name != own and _meet(box, (node.x, node.y - tall, node.x + node.w + wide, node.y + node.h + tall), ASIDE):
            return False
        if of.tie and abs(node.y + node.h / 2 - (box[1] + box[3]) / 2) < ASIDE:
            return False
    if any(_meet(box, (label.x, label.y, label.x + label.w, label.y + label.h), FOREIGN) for label in placed.labels):
        return False
    return not any(_meet(box, (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])), FOREIGN)
                   for points in placed.wires.values() for a, b in zip(points, points[1:], strict=False))


def _meet(one: Box, other: Box, apart: float) -> bool:
    return one[0] < other[2] + apart and other[0] < one[2] + apart and one[1] < other[3] + apart and other[1] < one[3] + apart


def draw_label(pen: Pen, label: PlacedLabel, x: float, y: float) -> None:
    """The pieces of a wire's label, in its box."""
    tag = f"label:{label.wire}"
    for piece, px, py in marks(label, TEXT):
        px, py = px + x, py + y
        if piece.swatch:
            length = piece_width(piece, TEXT)
            if label.upright:
                draw_swatch(pen, px - TEXT, py - length, TEXT, length, piece.swatch, tag=tag)
            else:
                draw_swatch(pen, px, py - TEXT, length, TEXT, piece.swatch, tag=tag)
        else:
            pen.text(px, py, piece.text, TEXT, upright=label.upright, tag=tag)
