"""How one page of the bundle is drawn: its lines, cuts, points and dots, and the labels beside them.

Takes a pen, a Context and a Map; draws it. A splice that is gone is two crossed lines
where it was; a label that differs from the version before has a cloud round its lines,
the old ones struck through below, and the revision triangle. Lengths in mm.
"""

from __future__ import annotations

from math import hypot

from ..drawing.pen import Pen
from ..drawing.record import THIN
from ..drawing.revision_marks import draw_struck, draw_triangle
from .bundle_labels import DATA, PITCH, Label
from .bundle_layout import RING
from .bundle_map import DOT, POINT, Map
from .change_marks import BESIDE, cloud_text
from .context import Context
from .label_places import Placed

NOTE = 1.8
BUNDLE = 0.7
"""Width of the bundle's line; the ISO 128 step above a wide one."""
UNKNOWN_DASH, STUB_DASH = (3.0, 1.5), (1.0, 1.0)


def draw_map(pen: Pen, context: Context, one: Map) -> None:
    """The bundle of one page with everything on it."""
    for run in one.page.runs:
        pen.line(run.x1, run.y1, run.x2, run.y2, BUNDLE, dash=() if run.known else UNKNOWN_DASH, tag=f"segment:{run.segment}")
    for end in one.page.cuts:
        reach = hypot(end.x - end.x1, end.y - end.y1)
        share = (reach - RING) / reach
        if reach > RING + 1e-6:
            pen.line(end.x1, end.y1, end.x1 + share * (end.x - end.x1), end.y1 + share * (end.y - end.y1), THIN, dash=STUB_DASH, tag="cut")
        pen.circle(end.x, end.y, RING, THIN, tag="cut")
        pen.text(end.x, end.y + DATA / 2, end.letter, DATA if len(end.letter) == 1 else NOTE, "middle", "bold", tag="cut")
    for spot in one.page.spots:
        pen.circle(spot.x, spot.y, POINT, 0.35, fill="#FFFFFF", tag=f"point:{spot.point}")
    for name, (x, y) in one.dots.items():
        pen.dot(x, y, DOT, tag=f"splice:{name}")
    for name, (x, y) in one.gone.items():
        for way in (-1, 1):
            pen.line(x - DOT, y - way * DOT, x + DOT, y + way * DOT, THIN, tag=f"gone:{name}")
    for label, place in zip(one.labels, one.places):
        if place is not None:
            draw_label(pen, label, place)
            if label.is_changed:
                _mark_label(pen, label, place, context.since.letter if context.since else "")


def draw_label(pen: Pen, label: Label, place: Placed) -> None:
    if place.leader:
        pen.line(*place.leader, THIN, tag=label.tag)
    left, top, right, _ = place.box
    middle = (left + right) / 2
    anchor = "middle" if left < label.x < right else "end" if middle < label.x else "start"
    x = {"start": left, "middle": middle, "end": right}[anchor]
    if label.is_changed:
        anchor, x = "start", left + BESIDE
    for row, line in enumerate(label.lines):
        base = top + label.base(row)
        line.draw(pen, x - {"start": 0.0, "middle": line.width / 2, "end": line.width}[anchor], base, label.tag)


def _mark_label(pen: Pen, label: Label, place: Placed, letter: str) -> None:
    """The cloud, what no longer holds, and the triangle right of its lines."""
    left, top, _, _ = place.box
    x = left + BESIDE
    if label.lines:
        cloud_text(pen, x, top + label.first_base, max(line.width for line in label.lines), 1 + (label.base(len(label.lines) - 1) - label.first_base) / PITCH)
    for row, text in enumerate(label.was):
        draw_struck(pen, x, top + label.first_old_base + row * PITCH, text, DATA)
    draw_triangle(pen, left + label.triangle_at, top, letter)
