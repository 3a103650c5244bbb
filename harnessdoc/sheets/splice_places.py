"""The sheet that shows where all splices sit along the bundle, to scale.

Takes a Context and the reference of the sheet; gives its pages: the bundle
straightened and drawn to scale with every splice a dot at its place, then the list
of all splices, and under it what the points are called. Where the bundle is too large for one page the drawing is cut, and
the two sides of a cut bear the same letter; where it is too large for a few, the segments without a splice are left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..description.units import Length, print_length
from ..drawing.lettering import cut, wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area, Drawing
from ..drawing.revision_marks import HIGH, draw_struck, draw_triangle
from ..drawing.table import MARK_WIDTH, Column, EmptyBox, LinkText, Struck, draw_table, paginate
from ..revision.changes import Thing
from .bundle_drawing import BUNDLE, NOTE, draw_map
from .bundle_labels import DATA
from .bundle_map import Maps, choose_maps
from .cautions import caution_lines
from .context import Context, SheetKind, SheetRef
from .flags import flagged
from .flow import free_area
from .marking import is_new, marked_layout, marked_table
from .splice_words import place_words
from .tables import Key, PlainRow, PlainTable, keyed_rows, lay_table

HEAD = 14.0
"""Room above the drawing for the scale and how it is to be read, mm."""
LINE = 4.0
BAR = (10000, 5000, 2000, 1000, 500, 200, 100, 50, 20, 10, 5, 2, 1)
BAR_MOST = 60.0
"""The scale bar is the longest of BAR, in mm or inches of bundle, that is no longer on paper."""
INCH_MM = 25.4
POINT_COLUMNS = (Column("Point", 34.0), Column("Title", weight=1.0), Column("Zone", 34.0))
POINTS_WIDTH, POINTS_PITCH = 150.0, 5.0
DRAWN_HERE = "Drawn here"
BETWEEN = 4.0
"""Between the list of splices and the table of points."""
LEAST_POINTS = 4
"""A table of points is begun under the list where so many rows, or all of them, find room."""


def draw_splice_places(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The drawing to scale, where there are segments, the list of splices, and the points. In the booklet the splices are on the harness layout, and not drawn a second time."""
    area = free_area(context.paper, "landscape")
    is_drawn = context.harness.segments and not context.paper.booklet
    drawn = choose_maps(context, Area(area.x, area.y + HEAD, area.w, area.h - HEAD)) if is_drawn else Maps(0, (), 0)
    maps = drawn.pages
    shown = {name for one in maps for name in one.dots}
    absent = [name for name in context.harness.splices if name not in shown]
    tables = replace(context, since=None) if is_new(context, ref) else context
    layout = marked_layout(tables, lambda version: _flagged(tables, version, _list(version, absent if maps else [], area.w)))
    listed_points = marked_table(tables, lambda version: _flagged(tables, version, _points(version, min(area.w, POINTS_WIDTH))))
    points = lay_table(listed_points) if listed_points.rows else None
    words = _words_over_list(context, ref, area.w)
    above = max(LINE * len(words) + 3.0, HIGH + 1.0) if words else 0.0
    lists = paginate(layout, area.h - above, area.h)
    left = area.h - (above if len(lists) == 1 else 0.0) - layout.height(*lists[-1]) - BETWEEN
    under = bool(points) and left >= points.height(0, min(LEAST_POINTS, len(points.rows)))
    parts = paginate(points, left if under else area.h, area.h) if points else []
    later = parts[1:] if under else parts
    count = len(maps) + len(lists) + len(later)
    drawings = []
    for number, one in enumerate(maps, start=1):
        pen, area = context.page(ref, number, count, "landscape")
        _draw_head(pen, context, area, drawn, absent)
        draw_map(pen, context, one)
        drawings.append(pen.drawing())
    for number, (start, stop) in enumerate(lists, start=len(maps) + 1):
        pen, area = context.page(ref, number, count, "landscape")
        first = number == len(maps) + 1
        if first and words:
            _draw_words(pen, context, ref, area, words)
        low = draw_table(pen, area.x, area.y + (above if first else 0.0), layout, start, stop)
        if under and number == len(maps) + len(lists):
            draw_table(pen, area.x, low + BETWEEN, points, *parts[0])
        drawings.append(pen.drawing())
    for number, (start, stop) in enumerate(later, start=len(maps) + len(lists) + 1):
        pen, area = context.page(ref, number, count, "landscape")
        draw_table(pen, area.x, area.y, points, start, stop)
        drawings.append(pen.drawing())
    return tuple(drawings)


def _words_over_list(context: Context, ref: SheetRef, width: float) -> list[str | Struck]:
    """The cautions of all circuits that have a splice, and why nothing is drawn where there are no segments; those of the version before that are gone."""
    words, since = _words(context), context.since
    if is_new(context, ref):
        words, gone = ["New sheet", *words], []
    else:
        gone = [text for text in _words(since.before) if text not in words] if since else []
    lines = [line for text in words for line in wrap(text, width - _indent(context, ref), DATA, "bold")]
    return [*lines, *(Struck(line) for text in gone for line in wrap(text, width - _indent(context, ref), DATA))]


def _words(context: Context) -> list[str]:
    words = list(caution_lines(context, context.harness.splices))
    if not context.harness.segments:
        words.append("The description has no segments: there is no bundle to draw to scale.")
    elif context.paper.booklet:
        words += [f"Drawn on the harness layout, sheet {ref.number}." for ref in context.sheets if ref.kind is SheetKind.LAYOUT]
    return words


def _indent(context: Context, ref: SheetRef) -> float:
    """Room left of the words for the triangle, where they differ from the version before."""
    since = context.since
    return MARK_WIDTH if since and (is_new(context, ref) or _words(context) != _words(since.before)) else 0.0


def _draw_words(pen: Pen, context: Context, ref: SheetRef, area: Area, words: Sequence[str | Struck]) -> None:
    indent = _indent(context, ref)
    if context.since and indent:
        draw_triangle(pen, area.x, area.y, context.since.letter)
    for place, line in enumerate(words):
        x, base = area.x + indent, area.y + DATA + place * LINE
        if isinstance(line, Struck):
            draw_struck(pen, x, base, line.text)
        else:
            pen.text(x, base, line, DATA, weight="bold", tag="words")


def _draw_head(pen: Pen, context: Context, area: Area, drawn: Maps, absent: list[str]) -> None:
    """Scale, scale bar, and how the drawing is to be read."""
    scale, maps = drawn.scale, drawn.pages
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
    if not drawn.is_whole:
        words.append(f"Each segment with a splice is drawn by itself; {drawn.left_out} without one {'is' if drawn.left_out == 1 else 'are'} left out.")
    if any(one.page.cuts for one in maps):
        words.append("The same letter twice: the bundle continues there; a dashed line to a letter has no length.")
    if any(not run.known for one in maps for run in one.page.runs):
        words.append("Dashed bundle: length not known, not to scale.")
    if any(one.gone for one in maps):
        words.append("Crossed, and struck through: no longer there.")
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


def _flagged(context: Context, version: Context, table: PlainTable) -> PlainTable:
    """The table of the version that is printed with the flags of its findings; that of the version before as it is."""
    return flagged(context, table) if version is context else table


def _list(context: Context, absent: Sequence[str], width: float) -> PlainTable:
    """All splices; join numbers, and which are ``absent`` from the drawing, have a column only where there are any."""
    harness, joins = context.harness, any(splice.join for splice in context.harness.splices.values())
    # on a page of the booklet words have no room beside an empty column, and the sheet is this one
    narrow = bool(context.paper.booklet)
    titles = not narrow or any(splice.title for splice in harness.splices.values())
    columns = [Column("Splice", 22.0 if narrow else 26.0), *([Column("Join", 10.0 if narrow else 16.0)] if joins else [])]
    columns += [Column("Title", 20.0) if narrow else Column("Title", weight=0.8)] if titles else []
    columns += [Column("Place along the bundle", weight=2.0), Column("Method", 20.0) if narrow else Column("Method", weight=0.6), Column("Wires", 10.0 if narrow else 14.0, anchor="end")]
    columns += [*([Column(DRAWN_HERE, 18.0)] if absent else []), *([] if narrow else [Column("Sheet", 16.0)])]
    rows: list[tuple[Key, PlainRow]] = []
    for splice in harness.splices.values():
        sheet = context.sheet_of.get(splice.id)
        rows.append((((Thing.SPLICE, splice.id),), (
            splice.id, *([splice.join] if joins else []), *([splice.title] if titles else []),
            place_words(harness, context.geometry, splice, context.options.units) or EmptyBox("to fill"),
            splice.method or EmptyBox("to fill"), str(len(harness.wires_at.get(splice.id, ()))),
            *(["no" if splice.id in absent else ""] if absent else []), *([] if narrow else [LinkText(f"→ {sheet.number}", sheet.name) if sheet else ""]),
        )))
    shown_here = frozenset(index for index, column in enumerate(columns) if column.head == DRAWN_HERE)
    return PlainTable(("splices",), tuple(columns), keyed_rows(rows), width, free=shown_here)


def _points(context: Context, width: float) -> PlainTable:
    """What the points are called and the zones they lie in, those that have either."""
    rows = ((((Thing.POINT, point.id),), (point.id, point.title, point.zone or "")) for point in context.harness.points.values() if point.title or point.zone)
    return PlainTable(("points",), POINT_COLUMNS, keyed_rows(rows), width, pitch=POINTS_PITCH)
