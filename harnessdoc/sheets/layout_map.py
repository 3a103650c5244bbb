"""The harness layout placed: its scale, its pages, and what stands where on them.

Takes a Context; gives a Layout: pages with the bundle, the dots of splices and a place
for every label. The largest scale of ISO 5455 at which all labels find room on few pages is
taken; where none is, segments have lengths on paper that hold their words, and nothing is to
scale. ``layout_drawing.py`` draws the pages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, hypot, inf

from ..drawing.page import FOLD_CLEAR, Paper
from ..drawing.record import Area
from .bundle_layout import RING, Run, Sheetful, Spot, lay_out_bundle
from .bundle_map import SCALES, at_on, crowded, dots_on, longest_runs
from .bundle_tree import NOMINAL_MM, Tree, bundle_trees
from .context import Context
from .flow import free_area
from .label_places import MARK, Placed, Wanted, kept_labels
from .layout_coverings import CLIP_HALF, GROMMET_HALF, REACH, SECTION_FAR, SIDE, section_strokes
from .layout_labels import Label, LayoutLabels
from .layout_tree import as_built, not_to_scale, pieces
from .plane import Box, Segment

HEAD = 21.0
"""Room above the drawing for the scale and how it is to be read, mm."""
CLEARANCES = (12.0, 18.0, 22.0, 28.0, 36.0, 48.0)
"""Between lines of the bundle that do not meet, mm; the wider are tried where labels find no room."""
CLEAR = 20.0
"""The same where nothing is to scale."""
ROUNDS, GROW, MOST_STRETCH = 14, 1.3, 4.0
"""Where nothing is to scale, the segments whose labels find no room are drawn GROW times as long, up to MOST_STRETCH times, so often."""
MOST_PAGES = 24
"""No more pages than this are taken where there is another way."""
TO_SCALE = 1.5
"""A layout to scale may take so many times the pages of one that is not."""
CUT = 0.15
"""The ring of a cut weighs as much as so many pages more."""
FULL = 0.26
"""Labels that fill more of a page than this find no places that can be read."""
SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
"""Where along a run its label points to, the first that is far enough from all dots; else the farthest."""
FAR = 3.5
SHIFT, EDGE = 1.0, 3.0
"""Steps in which the bundle is moved out of the fold, mm; what stays between it and the edges of the drawing."""
NEAR_SHARE, GROMMET_SHARE = 0.25, 0.5
"""Where on its segment the mark for what it runs near, and its grommet, are drawn: where they are is not described."""


@dataclass(frozen=True, slots=True)
class LayoutPage:
    """One page; splice id -> its dot, old id of a splice that is gone -> where it was, labels and where they stand."""

    page: Sheetful
    dots: dict[str, tuple[float, float]]
    gone: dict[str, tuple[float, float]]
    labels: tuple[Label, ...]
    places: tuple[Placed | None, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """``scale`` None: nothing is to scale. ``far``: letter of a cut -> the pages on which it stands, from 1."""

    scale: int | None
    pages: tuple[LayoutPage, ...]
    far: dict[str, tuple[int, ...]]


def layout_of(context: Context) -> Layout:
    """The layout of a harness with at least one segment."""
    return context.kept("layout since" if context.since else "layout", lambda: _choose(context, drawing_area(context)))


def drawing_area(context: Context) -> Area:
    """Where the bundle is drawn on a page."""
    area = free_area(context.paper, "landscape")
    return Area(area.x, area.y + HEAD, area.w, area.h - HEAD)


def _choose(context: Context, area: Area) -> Layout:
    trees, words = bundle_trees(context.harness, context.geometry), LayoutLabels(context)
    plain = _stretched(context, words, area, trees)
    most = min(MOST_PAGES, TO_SCALE * len(plain.pages))
    scaled = [(scale, lay_out_bundle(trees, 1 / scale, area, clear)) for scale in SCALES if not crowded(context, scale) for clear in CLEARANCES]
    return _first(context, words, area, [one for one in scaled if len(one[1]) <= most]) or plain


def _stretched(context: Context, words: LayoutLabels, area: Area, trees: Sequence[Tree]) -> Layout:
    """Nothing to scale: segments at which a label finds no room are drawn longer, again and again until all have found one or ROUNDS have passed."""
    stretch = dict.fromkeys(context.harness.segments, 1.0)
    for _ in range(ROUNDS):
        drawn = pieces(context.geometry, trees, stretch)
        pages = as_built(lay_out_bundle(not_to_scale(trees, drawn), 1.0, area, CLEAR), drawn)
        dressed = _dressed(context, words, pages, area, False)
        short = {name for one in dressed for label, place in zip(one.labels, one.places) if place is None for name in _segments_of(context, label)}
        if not short:
            break
        for name in sorted(short):
            stretch[name] = min(MOST_STRETCH, GROW * stretch[name])
    return _layout(None, dressed)


def _segments_of(context: Context, label: Label) -> Iterator[str]:
    """The segments whose length decides what room a label has: its own, or all at its point."""
    kind, _, name = label.tag.partition(":")
    station = context.geometry.stations.get(name) if kind == "splice" else None
    if kind == "segment label":
        yield name
    elif kind == "section":
        yield next(segment.id for segment in context.harness.segments.values() for station in segment.sections if f"{segment.id} {station}" == name)
    elif station is not None and station.segment:
        yield station.segment
    else:
        point = name if kind == "point" else station.from_point if station is not None else None
        yield from (segment.id for segment in context.harness.segments.values() if point in (segment.from_, segment.to))


def _first(context: Context, words: LayoutLabels, area: Area, laid: Sequence[tuple[int | None, list[Sheetful]]]) -> Layout | None:
    """The first of these on which every label finds room: few pages with few cuts, and of equals the largest scale."""
    failed: list[list[Sheetful]] = []
    for scale, pages in sorted(laid, key=lambda one: (len(one[1]) + CUT * sum(len(page.cuts) for page in one[1]), one[0] or 0)):
        if pages in failed:
            continue
        dressed = _dressed(context, words, pages, area, True)
        if len(dressed) == len(pages):
            return _layout(scale, dressed)
        failed.append(pages)
    return None


def _layout(scale: int | None, pages: Sequence[LayoutPage]) -> Layout:
    far: dict[str, tuple[int, ...]] = {}
    for number, one in enumerate(pages, start=1):
        for letter in dict.fromkeys((*(cut.letter for cut in one.page.cuts), *(spot.on for spot in one.page.spots if spot.on))):
            far[letter] = (*far.get(letter, ()), number)
    return Layout(scale, tuple(pages), far)


def _dressed(context: Context, words: LayoutLabels, pages: Sequence[Sheetful], area: Area, whole: bool) -> list[LayoutPage]:
    """Dots and labels for every page. ``whole``: stop before the first page that has no room for all its labels."""
    told = Told()
    dressed = []
    for page in pages:
        one = dress(context, words, page, area, told, whole)
        if one is None:
            break
        dressed.append(one)
    return dressed


class Told:
    """What stands on an earlier page already: splices, what is gone, and points with what sits there."""

    def __init__(self) -> None:
        self.splices: set[str] = set()
        self.gone: set[str] = set()
        self.points: set[str] = set()


def dress(context: Context, words: LayoutLabels, page: Sheetful, area: Area, told: Told, whole: bool,
          is_own: Callable[[float, float], bool] = lambda x, y: True, is_told: Callable[[Run], bool] = lambda run: True,
          is_measured: bool = False) -> LayoutPage | None:
    """The dots of a page and its labels in their places. ``whole``: None where one finds no room; ``is_own``: true for a place of which the label is to stand on this page, ``is_told`` for a run of which it is;
    ``is_measured``: who builds measures on the page, so a grommet says beside it that its place is not described."""
    strip = fold_strip(context.paper, area)
    if strip is not None:
        page, in_fold = _clear_of(context, page, area, strip)
        if in_fold and whole:
            return None
    dots = {name: at for name, at in dots_on(context, page) if name not in told.splices}
    gone = {name: at for name, segment, offset, point in words.gone_splices() if name not in told.gone and (at := at_on(page, segment, offset, point))}
    told.splices.update(dots)
    told.gone.update(gone)
    labels = [words.splice(context.harness.splices[name], *at) for name, at in dots.items() if is_own(*at)]
    labels += [words.gone_splice(name, *at) for name, at in gone.items() if is_own(*at)]
    for spot in page.spots:
        if not is_own(spot.x, spot.y):
            continue
        is_first = not spot.is_again and spot.point not in told.points
        labels.append(words.point(spot, is_first))
        if is_first:
            told.points.add(spot.point)
    marked = [*dots.values(), *gone.values(), *((spot.x, spot.y) for spot in page.spots)]
    passed = [(point_on(run, mark.share), mark.reach) for run in page.runs for mark in marks_on(context, run) if mark.kind != "section"]
    stations = [(run, mark) for run in page.runs for mark in marks_on(context, run) if mark.kind == "section"]
    labels += [words.section(run.segment, mark.name, *at) for run, mark in stations if is_own(*(at := point_on(run, mark.share)))]
    marked += [point_on(run, mark.share) for run, mark in stations]
    grommets = [(run, mark) for run in page.runs for mark in marks_on(context, run) if is_measured and mark.kind == "grommet"]
    labels += [words.grommet(run.segment, *_above(run, mark)) for run, mark in grommets if is_own(*point_on(run, mark.share))]
    labels += [words.segment(run.segment, *_label_at(run, [*marked, *(at for at, _ in passed)])) for run in longest_runs(page) if is_told(run)]
    wanted = [Wanted(label.x, label.y, *label.size) for label in labels]
    if whole and sum(one.width * one.height for one in wanted) > FULL * area.w * area.h:
        return None
    boxes: list[Box] = [(x - MARK, y - MARK, x + MARK, y + MARK) for x, y in marked]
    boxes += [(one.x - RING, one.y - RING, one.x + RING, one.y + RING) for one in page.cuts]
    boxes += [(x - reach, y - reach, x + reach, y + reach) for (x, y), reach in passed]
    boxes += [strip] if strip is not None else []
    places = kept_labels(context.placer, wanted, page.strokes, boxes, area, list(_edges(context, page)), or_none=whole)
    if whole and None in places:
        return None
    return LayoutPage(page, dots, gone, tuple(labels), tuple(places))


def fold_strip(paper: Paper, area: Area) -> Box | None:
    """What stays free about the fold of two facing pages; None on a page that is not folded."""
    middle = area.x + area.w / 2
    return (middle - FOLD_CLEAR, area.y, middle + FOLD_CLEAR, area.bottom) if paper.booklet == "spread" else None


def in_strip(context: Context, page: Sheetful, strip: Box) -> int:
    """How many points, splices, rings and marks of a page stand in the fold: only the bundle may cross it."""
    reach = [(spot.x, MARK) for spot in page.spots] + [(x, MARK) for _, (x, _) in dots_on(context, page)] + [(one.x, RING) for one in page.cuts]
    reach += [(point_on(run, mark.share)[0], mark.reach) for run in page.runs for mark in marks_on(context, run)]
    return sum(strip[0] < x + far and x - far < strip[2] for x, far in reach)


def _clear_of(context: Context, page: Sheetful, area: Area, strip: Box) -> tuple[Sheetful, int]:
    """The page with each shelf moved to the side as far as it takes, or turned left for right, and how much is in the fold even so."""
    ways = ((shifted(turned, dx) for turned in (row, _mirrored(row, area)) for dx in shifts(turned, area)) for row in _rows(page))
    rows = [next_clear((there, in_strip(context, there, strip)) for there in of_row) for of_row in ways]
    parts = [[part for row, _ in rows for part in getattr(row, name)] for name in ("runs", "spots", "cuts", "strokes")]
    return Sheetful(*map(tuple, parts), page.tops), sum(count for _, count in rows)


def _rows(page: Sheetful) -> Iterator[Sheetful]:
    """What stands on each shelf, as a page of its own; nothing reaches from one shelf into another."""
    for top, below in zip(page.tops, (*page.tops[1:], inf), strict=True):
        yield Sheetful(
            tuple(run for run in page.runs if top <= run.y1 < below), tuple(spot for spot in page.spots if top <= spot.y < below),
            tuple(cut for cut in page.cuts if top <= cut.y < below), tuple(stroke for stroke in page.strokes if top <= stroke[1] < below), (top,))


def _mirrored(page: Sheetful, area: Area) -> Sheetful:
    """Left for right about the middle of the area."""
    both = 2 * area.x + area.w
    return Sheetful(tuple(replace(run, x1=both - run.x1, x2=both - run.x2) for run in page.runs), tuple(replace(spot, x=both - spot.x) for spot in page.spots),
                    tuple(replace(cut, x=both - cut.x, x1=both - cut.x1) for cut in page.cuts), tuple((both - x1, y1, both - x2, y2) for x1, y1, x2, y2 in page.strokes), page.tops)


def shifts(page: Sheetful, area: Area) -> list[float]:
    """How far to the side the bundle of a page may be moved, the least first."""
    xs = [x for run in page.runs for x in (run.x1, run.x2)] + [x for one in page.cuts for x in (one.x - RING, one.x + RING)]
    low, high = (area.x + EDGE - min(xs), area.right - EDGE - max(xs)) if xs else (0.0, 0.0)
    steps = [SHIFT * step for step in range(int(area.w / SHIFT))]
    return [0.0, *(dx for step in steps[1:] for dx in (step, -step) if low <= dx <= high)]


def next_clear(ways: Iterator[tuple[Sheetful, int]]) -> tuple[Sheetful, int]:
    """The first with nothing in the fold, else the first with least."""
    best: tuple[Sheetful, int] | None = None
    for page, count in ways:
        if best is None or count < best[1]:
            best = page, count
        if not count:
            break
    assert best is not None
    return best


def shifted(page: Sheetful, dx: float) -> Sheetful:
    """The bundle of a page so many mm further right."""
    return _moved_page(page, dx, 0.0) if dx else page


def moved(one: LayoutPage, dx: float, dy: float) -> LayoutPage:
    """A page with all that stands on it elsewhere on the paper."""
    def line(at: Segment) -> Segment:
        return at[0] + dx, at[1] + dy, at[2] + dx, at[3] + dy

    page = _moved_page(one.page, dx, dy)
    dots, gone = ({name: (x + dx, y + dy) for name, (x, y) in at.items()} for at in (one.dots, one.gone))
    places = tuple(place and Placed(line(place.box), line(place.leader) if place.leader else None, line(place.hull)) for place in one.places)
    return LayoutPage(page, dots, gone, tuple(replace(label, x=label.x + dx, y=label.y + dy) for label in one.labels), places)


def _moved_page(page: Sheetful, dx: float, dy: float) -> Sheetful:
    return Sheetful(tuple(replace(run, x1=run.x1 + dx, y1=run.y1 + dy, x2=run.x2 + dx, y2=run.y2 + dy) for run in page.runs),
                    tuple(replace(spot, x=spot.x + dx, y=spot.y + dy) for spot in page.spots),
                    tuple(replace(cut, x=cut.x + dx, y=cut.y + dy, x1=cut.x1 + dx, y1=cut.y1 + dy) for cut in page.cuts),
                    tuple((x1 + dx, y1 + dy, x2 + dx, y2 + dy) for x1, y1, x2, y2 in page.strokes),
                    tuple(top + dy for top in page.tops))


def point_on(run: Run, share: float) -> tuple[float, float]:
    """The place at a share of a run."""
    return run.x1 + share * (run.x2 - run.x1), run.y1 + share * (run.y2 - run.y1)


def _above(run: Run, mark: BundleMark) -> tuple[float, float]:
    """Where what is said of a mark points to: above it (left of it on a run that goes straight up or down), clear of the box that is kept free for it."""
    x, y = point_on(run, mark.share)
    long, far = hypot(run.x2 - run.x1, run.y2 - run.y1), hypot(mark.reach, mark.reach)
    across, down = (run.y2 - run.y1) / long, -abs(run.x2 - run.x1) / long
    return x + far * (across if run.x2 >= run.x1 else -across), y + far * down


def _label_at(run: Run, marked: Sequence[tuple[float, float]]) -> tuple[float, float]:
    def free(share: float) -> float:
        x, y = point_on(run, share)
        return min((hypot(x - mx, y - my) for mx, my in marked), default=FAR)

    best = next((share for share in SHARES if free(share) >= FAR), None)
    return point_on(run, max(SHARES, key=free) if best is None else best)


def _edges(context: Context, page: Sheetful) -> Iterator[Segment]:
    """The edges of what is drawn beside the lines of covered segments, and the strokes of stations."""
    for run in page.runs:
        long = hypot(run.x2 - run.x1, run.y2 - run.y1)
        if long > 0 and context.harness.segments[run.segment].covering:
            across, down = REACH * (run.y1 - run.y2) / long, REACH * (run.x2 - run.x1) / long
            for side in (-1, 1):
                yield run.x1 + side * across, run.y1 + side * down, run.x2 + side * across, run.y2 + side * down
        for mark in marks_on(context, run):
            if mark.kind == "section" and long > 0:
                yield from section_strokes((run.x1, run.y1, run.x2, run.y2), mark.share * long)


@dataclass(frozen=True, slots=True)
class BundleMark:
    """What is drawn on a run: "grommet", "near", "clip" or "section", at which share of it, and how far it reaches, mm; ``name``: of a station."""

    kind: str
    share: float
    reach: float
    name: str = ""


def marks_on(context: Context, run: Run) -> Iterator[BundleMark]:
    """The marks on a run. Where the grommet of a segment and its clips are is not described: they are drawn where every drawing of it has them."""
    segment = context.harness.segments[run.segment]
    length = NOMINAL_MM if segment.length_mm is None else segment.length_mm
    marks = [("grommet", GROMMET_SHARE, GROMMET_HALF + 0.4)] if segment.grommet_mm is not None else []
    marks += [("near", NEAR_SHARE, 0.8 * SIDE)] if segment.near else []
    if segment.clips and segment.clips.mm > 0:
        count = max(1, ceil(length / segment.clips.mm))
        marks += [("clip", (number + 0.5) / count, CLIP_HALF + 0.3) for number in range(count)]
    for kind, share, reach in marks:
        if run.from_mm <= share * length < run.to_mm:
            yield BundleMark(kind, (share * length - run.from_mm) / (run.to_mm - run.from_mm), reach)
    for name, stated in segment.sections.items():
        # where the length is not known, so is not the place
        at = stated.mm if segment.length_mm is not None else length / 2
        if run.from_mm <= at < run.to_mm or at == run.to_mm == length:
            yield BundleMark("section", (at - run.from_mm) / (run.to_mm - run.from_mm), SECTION_FAR + 0.3, name)


def spots_of(layout: Layout) -> Iterator[tuple[int, Spot]]:
    """Every point drawn and the page it is on, from 1."""
    for number, one in enumerate(layout.pages, start=1):
        for spot in one.page.spots:
            yield number, spot
