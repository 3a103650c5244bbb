"""The sheet that shows where all splices sit along the bundle, to scale.

Takes a Context and the reference of the sheet; gives its pages: the bundle
straightened and drawn to scale with every splice a dot at its place, then the list
of all splices, and under it what the points are called. Where the bundle is too large for one page the drawing is cut, and
the two sides of a cut bear the same letter.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from ..description.units import Length, print_length
from ..drawing.lettering import cut, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area, Drawing
from ..drawing.table import Column, EmptyBox, Layout, LinkText, Row, draw_table, lay_out, paginate
from .bundle_layout import RING
from .bundle_map import DATA, DOT, PITCH, POINT, Label, Map, choose_maps
from .cautions import caution_lines
from .context import Context, SheetRef
from .flow import free_area
from .label_places import Placed
from .splice_words import place_words

HEAD = 14.0
"""Room above the drawing for the scale and how it is to be read, mm."""
NOTE = 1.8
LINE = 4.0
BUNDLE = 0.7
"""Width of the bundle's line; the ISO 128 step above a wide one."""
BAR = (10000, 5000, 2000, 1000, 500, 200, 100, 50, 20, 10, 5, 2, 1)
BAR_MOST = 60.0
"""The scale bar is the longest of BAR, in mm or inches of bundle, that is no longer on paper."""
INCH_MM = 25.4
UNKNOWN_DASH, STUB_DASH = (3.0, 1.5), (1.0, 1.0)
POINT_COLUMNS = (Column("Point", 34.0), Column("Title", weight=1.0), Column("Zone", 34.0))
POINTS_WIDTH, POINTS_PITCH = 150.0, 5.0
BETWEEN = 4.0
"""Between the list of splices and the table of points."""
LEAST_POINTS = 4
"""A table of points is begun under the list where so many rows, or all of them, find room."""


def draw_splice_places(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The drawing to scale, where there are segments, the list of splices, and the points."""
    area = free_area(context.paper, "landscape")
    scale, maps = choose_maps(context, Area(area.x, area.y + HEAD, area.w, area.h - HEAD)) if context.harness.segments else (0, [])
    shown = {name for one in maps for name in one.dots}
    absent = [name for name in context.harness.splices if name not in shown]
    layout = _list(context, absent if maps else [], area.w)
    points = _points(context, min(area.w, POINTS_WIDTH))
    words = _words_over_list(context, bool(maps), area.w)
    above = LINE * len(words) + 3.0 if words else 0.0
    lists = paginate(layout, area.h - above, area.h)
    left = area.h - (above if len(lists) == 1 else 0.0) - layout.height(*lists[-1]) - BETWEEN
    under = bool(points) and left >= points.height(0, min(LEAST_POINTS, len(points.rows)))
    tables = paginate(points, left if under else area.h, area.h) if points else []
    later = tables[1:] if under else tables
    count = len(maps) + len(lists) + len(later)
    drawings = []
    for number, one in enumerate(maps, start=1):
        pen, area = context.page(ref, number, count, "landscape")
        _draw_head(pen, context, area, scale, maps, absent)
        _draw_map(pen, one)
        drawings.append(pen.drawing())
    for number, (start, stop) in enumerate(lists, start=len(maps) + 1):
        pen, area = context.page(ref, number, count, "landscape")
        first = number == len(maps) + 1
        for place, line in enumerate(words if first else ()):
            pen.text(area.x, area.y + DATA + place * LINE, line, DATA, weight="bold", tag="words")
        low = draw_table(pen, area.x, area.y + (above if first else 0.0), layout, start, stop)
        if under and number == len(maps) + len(lists):
            draw_table(pen, area.x, low + BETWEEN, points, *tables[0])
        drawings.append(pen.drawing())
    for number, (start, stop) in enumerate(later, start=len(maps) + len(lists) + 1):
        pen, area = context.page(ref, number, count, "landscape")
        draw_table(pen, area.x, area.y, points, start, stop)
        drawings.append(pen.drawing())
    return tuple(drawings)


def _words_over_list(context: Context, drawn: bool, width: float) -> list[str]:
    """The cautions of all circuits that have a splice, and why nothing is drawn where there are no segments."""
    words = list(caution_lines(context, context.harness.splices))
    if not drawn:
        words.append("The description has no segments: there is no bundle to draw to scale.")
    return [line for text in words for line in wrap(text, width, DATA, "bold")]


def _draw_head(pen: Pen, context: Context, area: Area, scale: int, maps: list[Map], absent: list[str]) -> None:
    """Scale, scale bar, and how the drawing is to be read."""
    unit = INCH_MM if context.options.units == "in" else 1.0
    whole = next(count for count in BAR if count * unit / scale <= BAR_MOST)
    length = whole * unit / scale
    pen.text(area.x, area.y + 5.0, f"1 : {scale}", 5.0, weight="bold", tag="scale")
    x, y = area.x + 26.0, area.y + 5.0
    pen.line(x, y, x + length, y, BUNDLE, tag="scale")
    for place in range(6):
        pen.line(x + place * length / 5, y - (2.0 if place in (0, 5) else 1.2), x + place * length / 5, y, THIN, tag="scale")
    pen.text(x, y + 3.8, "0", DATA, "middle", tag="scale")
    pen.text(x + length, y + 3.8, print_length(Length(whole * unit), context.options.units), DATA, "middle", tag="scale")
    left = x + BAR_MOST + 14.0
    words = ["Dot: splice. Open circle: point of the bundle. Lengths along the lines are to scale, directions are not."]
    if any(one.page.cuts for one in maps):
        words.append("The same letter twice: the bundle continues there; a dashed line to a letter has no length.")
    if any(not run.known for one in maps for run in one.page.runs):
        words.append("Dashed bundle: length not known, not to scale.")
    nameless = sum(place is None for one in maps for place in one.places)
    if nameless:
        words.append(f"{nameless} names find no room here.")
    if absent:
        words.append(f"Not drawn, no place on the bundle known: {', '.join(absent)}.")
    lines = wrap(" ".join(words), area.right - left, NOTE)
    if len(lines) > 4:
        lines = [*lines[:3], cut(" ".join(lines[3:]), area.right - left, NOTE)]
    for place, line in enumerate(lines):
        pen.text(left, area.y + 2.4 + place * 3.0, line, NOTE, tag="note")


def _draw_map(pen: Pen, one: Map) -> None:
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
    for label, place in zip(one.labels, one.places):
        if place is not None:
            _draw_label(pen, label, place)


def _draw_label(pen: Pen, label: Label, place: Placed) -> None:
    if place.leader:
        pen.line(*place.leader, THIN, tag=label.tag)
    left, top, right, _ = place.box
    middle = (left + right) / 2
    anchor = "middle" if left < label.x < right else "end" if middle < label.x else "start"
    x = {"start": left, "middle": middle, "end": right}[anchor]
    for row, line in enumerate(label.lines):
        base = top + DATA + row * PITCH
        width = pen.text(x, base, line.text, DATA, anchor, line.weight, tag=label.tag)
        if line.target:
            pen.link(x - {"start": 0.0, "middle": width / 2, "end": width}[anchor], base - DATA - 0.6, width, PITCH, line.target, tag=label.tag)


def _list(context: Context, absent: Sequence[str], width: float) -> Layout:
    """All splices; join numbers, and which are ``absent`` from the drawing, have a column only where there are any."""
    harness, joins = context.harness, any(splice.join for splice in context.harness.splices.values())
    columns = [Column("Splice", 26.0), *([Column("Join", 16.0)] if joins else []), Column("Title", weight=0.8)]
    columns += [Column("Place along the bundle", weight=2.0), Column("Method", weight=0.6), Column("Wires", 14.0, anchor="end")]
    columns += [*([Column("Drawn here", 18.0)] if absent else []), Column("Sheet", 16.0)]
    rows: list[Row] = []
    for splice in harness.splices.values():
        sheet = context.sheet_of.get(splice.id)
        rows.append((
            splice.id, *([splice.join] if joins else []), splice.title,
            place_words(harness, context.geometry, splice, context.options.units) or EmptyBox("to fill"),
            splice.method or EmptyBox("to fill"), str(len(harness.wires_at.get(splice.id, ()))),
            *(["no" if splice.id in absent else ""] if absent else []), LinkText(f"→ {sheet.number}", sheet.name) if sheet else "",
        ))
    return lay_out(columns, rows, width)


def _points(context: Context, width: float) -> Layout | None:
    """What the points are called and the zones they lie in; None where no point has either."""
    rows = [(point.id, point.title, point.zone or "") for point in context.harness.points.values() if point.title or point.zone]
    return lay_out(POINT_COLUMNS, rows, width, pitch=POINTS_PITCH) if rows else None
