"""How one page of the harness layout is drawn: the bundle with its coverings and marks, points, splices, cuts, labels.

Takes a pen, a Context and a placed page; draws it. Lengths in mm.
"""

from __future__ import annotations

from math import hypot

from ..drawing.pen import Pen
from ..model.harness import Segment
from .bundle_drawing import draw_map
from .bundle_layout import Run
from .bundle_map import Map
from .context import Context
from .layout_coverings import Stretch, draw_clip, draw_covering, draw_grommet, draw_near, draw_section_mark, pattern_of
from .layout_map import BundleMark, LayoutPage, marks_on


def draw_layout_page(pen: Pen, context: Context, one: LayoutPage) -> None:
    """The bundle of one page with everything on it."""
    for run in one.page.runs:
        segment = context.harness.segments[run.segment]
        draw_covering(pen, stretch_of(run), pattern_of(segment.covering), f"covering:{run.segment}")
    draw_map(pen, context, Map(one.page, one.dots, one.gone, one.labels, one.places))
    for run in one.page.runs:
        for mark in marks_on(context, run):
            _draw_mark(pen, context.harness.segments[run.segment], run, mark)


def _draw_mark(pen: Pen, segment: Segment, run: Run, mark: BundleMark) -> None:
    stretch, along = stretch_of(run), mark.share * hypot(run.x2 - run.x1, run.y2 - run.y1)
    tag = f"{mark.kind}:{segment.id}"
    match mark.kind:
        case "grommet":
            draw_grommet(pen, stretch, along, tag)
        case "clip":
            draw_clip(pen, stretch, along, tag)
        case "section":
            draw_section_mark(pen, stretch, along, tag)
        case "near":
            draw_near(pen, stretch, along, any(what != "moving part" for what in segment.near), tag)


def stretch_of(run: Run) -> Stretch:
    return run.x1, run.y1, run.x2, run.y2
