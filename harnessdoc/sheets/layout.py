"""The harness layout: the bundle drawn flat with everything on it, and a list of its segments.

Takes a Context and the reference of the sheet; gives its pages. Lengths stand at each
segment as a chain, and at each point as the sum from the trunk's end. Where the bundle is
too large for one page the drawing is cut, the two sides of a cut bear the same letter, and
each page says on which the others are. Fields of the frame find what is on it
(``layout_where.py``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..description.units import Length, print_length
from ..drawing.lettering import cut, text_width, wrap
from ..drawing.page import FOLD_CLEAR
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area, Drawing
from ..drawing.revision_marks import draw_triangle
from ..drawing.table import Column, draw_table, paginate
from ..model.harness import Segment
from ..revision.changes import Thing
from .bundle_drawing import BUNDLE
from .bundle_labels import DATA
from .bundle_tree import bundle_trees
from .context import Context, SheetRef
from .facing import line_width
from .flow import free_area
from .layout_coverings import PATTERNS, draw_covering, pattern_of
from .layout_drawing import draw_layout_page
from .layout_map import Layout, layout_of
from .layout_tree import sums, zone_of
from .layout_where import not_drawn
from .list_cells import listed
from .marking import is_new, marked_layout
from .splice_places import BAR, BAR_MOST, INCH_MM
from .tables import Key, PlainRow, PlainTable, keyed_rows

NEW_SHEET, NEW_ROOM = "New sheet", 26.0
"""What a new sheet says at the right of its head, and the room that takes, mm."""
MOST_LINES, LINE = 4, 3.9
"""Of the words about how the drawing is to be read, above its samples of coverings."""
DIAMETER = "Diameter by estimate"
"""At the thickest place; the packing of a cross-section is another figure."""
BELOW_WORDS = 2.0
"""Between the words that found no room there and the table, mm."""
NO_SCALE, SCALE = "Not to scale", 5.0
BAR_AT = 26.0
"""Where the scale bar begins, behind the scale."""
SAMPLE = 12.0
"""Length of the sample of a pattern in the head."""


def draw_layout(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The drawing, then the segments in a table; a harness without segments has no such sheet."""
    fresh = is_new(context, ref)
    shown = replace(context, since=None) if fresh else context
    layout = layout_of(shown)
    area = free_area(context.paper, "landscape")
    table = marked_layout(shown, lambda version: _segments(version, area.w))
    # a table over two facing pages would have a column in the fold; lengths and coverings stand on the drawing, too
    is_marked = fresh and context.since is not None
    heads = [_head_words(context, layout, number, *_beside_scale(context, area, layout, NEW_ROOM if is_marked else 0.0)[1:]) for number in range(1, len(layout.pages) + 1)]
    further = wrap(" ".join(dict.fromkeys(sentence for head in heads for sentence in head.further)), area.w, DATA) if any(head.further for head in heads) else []
    above = len(further) * LINE + (BELOW_WORDS if further else 0.0)
    tables = [] if context.paper.booklet else paginate(table, area.h - above, area.h)
    count = len(layout.pages) + len(tables)
    drawings = []
    for number, (one, head) in enumerate(zip(layout.pages, heads, strict=True), start=1):
        pen, area = context.page(ref, number, count, "landscape")
        _draw_head(pen, context, area, layout, number, head.lines)
        if is_marked:
            draw_triangle(pen, area.right - 6.0, area.y, context.since.letter)
            pen.text(area.right - 7.0, area.y + DATA + 1.0, NEW_SHEET, DATA, "end", "bold", tag="words")
        draw_layout_page(pen, shown, one)
        drawings.append(pen.drawing())
    for number, (start, stop) in enumerate(tables, start=len(layout.pages) + 1):
        pen, area = context.page(ref, number, count, "landscape")
        is_first = start == 0
        for row, line in enumerate(further if is_first else ()):
            pen.text(area.x, area.y + DATA + row * LINE, line, DATA, tag="note")
        draw_table(pen, area.x, area.y + (above if is_first else 0.0), table, start, stop)
        drawings.append(pen.drawing())
    return tuple(drawings)


@dataclass(frozen=True, slots=True)
class _Head:
    """How a page is to be read: the lines beside its scale, and the sentences that find no room there."""

    lines: list[str]
    further: list[str]


def _beside_scale(context: Context, area: Area, layout: Layout, kept: float) -> tuple[float, float]:
    """Where the words beside the scale begin and how wide they may be; ``kept`` mm stay free at the right."""
    if context.paper.booklet:
        return area.x + area.w / 2 + FOLD_CLEAR, line_width(context.paper, area.w)
    left = BAR_AT + _bar_length(context, layout.scale)[0] + 10.0 if layout.scale else text_width(NO_SCALE, SCALE, "bold") + 6.0
    return area.x + left, area.w - left - kept


def _head_words(context: Context, layout: Layout, page: int, room: float) -> _Head:
    """Whole sentences beside the scale, the others above the table; facing pages have no table, and the last line is cut."""
    sentences = list(_words(context, layout, page))
    lines = wrap(" ".join(sentences), room, DATA)
    if len(lines) <= MOST_LINES:
        return _Head(lines, [])
    if context.paper.booklet:
        return _Head([*lines[:MOST_LINES - 1], cut(" ".join(lines[MOST_LINES - 1:]), room, DATA)], [])
    more = f"More: page {len(layout.pages) + 1}."
    fitting = max((end for end in range(len(sentences)) if len(wrap(" ".join((*sentences[:end], more)), room, DATA)) <= MOST_LINES), default=0)
    return _Head(wrap(" ".join((*sentences[:fitting], more)), room, DATA), sentences[fitting:])


def _draw_head(pen: Pen, context: Context, area: Area, layout: Layout, page: int, lines: list[str]) -> None:
    """Scale with its bar, the patterns of coverings on this page, and how the drawing is to be read."""
    pen.text(area.x, area.y + SCALE, f"1 : {layout.scale}" if layout.scale else NO_SCALE, SCALE, weight="bold", tag="scale")
    if layout.scale:
        draw_scale_bar(pen, context, area.x + BAR_AT, area.y + SCALE, layout.scale)
    left, _ = _beside_scale(context, area, layout, 0.0)
    for place, line in enumerate(lines):
        pen.text(left, area.y + DATA + place * LINE, line, DATA, tag="note")
    _draw_patterns(pen, context, area.x, area.y + 18.5, layout, page)


def draw_scale_bar(pen: Pen, context: Context, x: float, y: float, scale: int) -> None:
    """A bar of five fields and its length as built, not longer than BAR_MOST."""
    length, built = _bar_length(context, scale)
    pen.line(x, y, x + length, y, BUNDLE, tag="scale")
    for place in range(6):
        pen.line(x + place * length / 5, y - (2.0 if place in (0, 5) else 1.2), x + place * length / 5, y, THIN, tag="scale")
    pen.text(x, y + 3.8, "0", DATA, "middle", tag="scale")
    pen.text(x + length, y + 3.8, print_length(Length(built), context.options.units), DATA, "middle", tag="scale")


def _bar_length(context: Context, scale: int) -> tuple[float, float]:
    """On paper and as built."""
    unit = INCH_MM if context.options.units == "in" else 1.0
    whole = next(count for count in BAR if count * unit / scale <= BAR_MOST)
    return whole * unit / scale, whole * unit


def _words(context: Context, layout: Layout, page: int) -> Iterator[str]:
    one = layout.pages[page - 1]
    here = dict.fromkeys((*(ring.letter for ring in one.page.cuts), *(spot.on for spot in one.page.spots if spot.on)))
    elsewhere = [f"{letter} page {other}" for letter in here for other in layout.far[letter] if other != page]
    if elsewhere:
        yield f"The bundle continues at the same letter: {', '.join(elsewhere)}."
    elif here:
        yield "The same letter twice: the bundle continues there."
    if here:
        yield "A dashed line to a letter has no length."
    if one.gone:
        yield "Crossed, and struck through: no longer there."
    if nameless := sum(place is None for place in one.places):
        yield f"{nameless} names find no room here."
    if absent := not_drawn(context, layout):
        yield f"Not drawn, no place on the bundle known: {', '.join(absent)}."
    if layout.scale:
        yield "Lengths are to scale, directions are not."
    yield "Dot: splice. Circle: point of the bundle. Frame: connector (double ends: plug; round: cavities in a ring; broken: half not described)."
    yield "Sum: from the trunk's end. Zone: from there on."
    segments = [context.harness.segments[run.segment] for run in one.page.runs]
    if layout.scale and any(not run.known for run in one.page.runs):
        yield "Dashed bundle: length not known, not to scale."
    if any(segment.grommet_mm is not None for segment in segments):
        yield "Two bars: grommet, its place not described."
    if any(segment.near for segment in segments):
        yield "Triangle: near heat or fuel (filled), a moving part (open)."
    if any(segment.clips for segment in segments):
        yield "Small boxes: clips, places not described."
    if any(segment.sections for segment in segments):
        yield "Two strokes in line: drawn cut across there."


def _draw_patterns(pen: Pen, context: Context, x: float, y: float, layout: Layout, page: int) -> None:
    """A sample of every covering pattern on the page, with the coverings it stands for."""
    covered: dict[str, list[str]] = {}
    for run in layout.pages[page - 1].page.runs:
        covering = context.harness.segments[run.segment].covering
        covered.setdefault(pattern_of(covering), []).append(covering)
    kinds = [kind for kind in PATTERNS if kind in covered]
    room = (line_width(context.paper, free_area(context.paper, "landscape").w) - len(kinds) * (SAMPLE + 6.0)) / max(1, len(kinds))
    for kind in kinds:
        words = kind if kind != "other" else listed(covered[kind])
        draw_covering(pen, (x, y - DATA / 2, x + SAMPLE, y - DATA / 2), kind, "legend")
        pen.line(x, y - DATA / 2, x + SAMPLE, y - DATA / 2, BUNDLE, tag="legend")
        text = cut(words, room, DATA)
        pen.text(x + SAMPLE + 1.5, y, text, DATA, tag="legend")
        x += SAMPLE + 1.5 + text_width(text, DATA) + 6.0


# ------------------------------------------------------------------------------ the table

def _segments(context: Context, width: float) -> PlainTable:
    """Every segment in the order of the file; columns of what is said nowhere are left out."""
    harness = context.harness
    total = sums(bundle_trees(harness, context.geometry))
    figures = {id: _figures(context, segment) for id, segment in harness.segments.items()}
    heads = [head for head in (DIAMETER, "Covering", "Zone", "Grommet", "Near", "Clips", "Bend", "Slack", "Stations", "Note") if any(row[head] for row in figures.values())]
    narrow = {DIAMETER: 20.0, "Zone": 15.0, "Grommet": 15.0, "Clips": 15.0, "Bend": 15.0, "Slack": 15.0}
    columns = [Column("Segment", 22.0), Column("From"), Column("To"), Column("Length", 20.0, anchor="end"), Column("Sum at from", 20.0, anchor="end"), Column("Sum at to", 20.0, anchor="end")]
    columns += [Column(head, narrow.get(head)) for head in heads]
    rows: list[tuple[Key, PlainRow]] = []
    for id, segment in harness.segments.items():
        far = [context.mm(at) if (at := total.get((point, 0))) is not None else "not known" for point in (segment.from_, segment.to)]
        length = "not known" if segment.length_mm is None else context.mm(segment.length_mm)
        rows.append((((Thing.SEGMENT, id),), (id, segment.from_, segment.to, length, *far, *(figures[id][head] for head in heads))))
    return PlainTable(("segments",), tuple(columns), keyed_rows(rows), width, is_flagged=False)


def _figures(context: Context, segment: Segment) -> dict[str, str]:
    def mm(length: Length | None) -> str:
        return context.mm(length.mm) if length else ""

    widest = context.geometry.bundles[segment.id].widest_mm if segment.id in context.geometry.bundles else None
    return {
        DIAMETER: "" if widest is None else context.mm(round(widest, 1)), "Covering": ", ".join(filter(None, (segment.covering, f"{mm(segment.covering_wall)} thick" if segment.covering_wall else ""))), "Zone": zone_of(context.harness, segment) or "", "Grommet": "" if segment.grommet_mm is None else context.mm(segment.grommet_mm),
        "Near": listed(f"{what} {context.mm(far.mm)}" for what, far in segment.near.items()), "Clips": mm(segment.clips), "Bend": mm(segment.bend), "Slack": mm(segment.slack), "Stations": listed(f"{name} {context.mm(at.mm)}" for name, at in segment.sections.items()), "Note": segment.note,
    }
