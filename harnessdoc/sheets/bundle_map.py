"""The bundle drawn to scale with its splices: which scale, what stands where, and what it is called.

Takes a Context and the room on a page; gives the scale and the maps, one a page,
each with the bundle placed, the dots of its splices and a place for every label. A bundle too large for
few pages is not drawn whole: each segment with a splice on it stands by itself, and those without are left out.
Splices that are gone since the version before have a label where they were, and
segments whose length or ends differ one at their middle. ``bundle_drawing.py`` draws them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot

from ..drawing.record import Area
from .bundle_labels import Label, Labels
from .bundle_layout import RING, Run, Sheetful, lay_out_bundle
from .bundle_tree import bundle_trees
from .context import Context
from .label_places import MARK, Placed, Wanted, kept_labels

SCALES = (2, 5, 10, 20, 50, 100, 200)
"""Reductions of ISO 5455; the largest drawing first."""
CLEARANCES = (7.0, 11.0, 16.0, 24.0, 36.0)
"""Between lines of the bundle that do not meet, mm; the wider are tried where labels find no room."""
MOST_PAGES = 24
"""No more pages than this are taken where there is another way."""
WHOLE_PAGES = 4
"""A bundle that takes more pages than this is not drawn whole."""
STRIP_PADS = (9.0, 14.0, 18.0)
"""Kept free above and below a segment that is drawn by itself, mm; the wider are tried where labels find no room."""
CROWDED, CUT = 2.0, 0.05
"""Marks that run together, and the ring of a cut, weigh as much as so many pages more."""
FULL, STRIPS_FULL = 0.2, 0.35
"""Labels that fill more of a page than this find no places that can be read; beside lines that lie apart they find more."""
DOT, POINT = 1.1, 0.9
"""Radius of a splice's dot and of a point's circle, mm."""
NEAREST = 2 * DOT
"""Splices and points nearer than this on paper would run together."""


@dataclass(frozen=True, slots=True)
class Map:
    """One page of the drawing: the bundle, splice id -> its dot, old id of a splice that is gone -> where it was, labels and where they stand."""

    page: Sheetful
    dots: dict[str, tuple[float, float]]
    gone: dict[str, tuple[float, float]]
    labels: tuple[Label, ...]
    places: tuple[Placed | None, ...]


@dataclass(frozen=True, slots=True)
class Maps:
    """The pages at one scale, and how many segments are left out, as no splice is on them; 0 where the bundle is drawn whole."""

    scale: int
    pages: tuple[Map, ...]
    left_out: int

    @property
    def is_whole(self) -> bool:
        return not self.left_out


@dataclass(frozen=True, slots=True)
class _Laid:
    """Pages at a scale before they have labels; the less ``weight``, the better."""

    scale: int
    pages: list[Sheetful]
    weight: float


def choose_maps(context: Context, area: Area) -> Maps:
    """The scale and the pages at it: few pages with few cuts, and of equals the largest scale, where every label finds room.

    Where nothing leaves room for all labels, that with the most paper is taken.
    """
    laid = _laid_whole(context, area)
    whole = _first_labelled(context, area, (one for one in laid if len(one.pages) <= WHOLE_PAGES), FULL)
    if whole is not None:
        return whole
    spliced = _spliced(context)
    if 0 < len(spliced) < len(context.harness.segments):
        strips = _first_labelled(context, area, (one for one in _laid_strips(context, area, spliced) if len(one.pages) <= MOST_PAGES), STRIPS_FULL)
        if strips is not None:
            return replace(strips, left_out=len(context.harness.segments) - len(spliced))
    whole = _first_labelled(context, area, (one for one in laid if WHOLE_PAGES < len(one.pages) <= MOST_PAGES), FULL)
    if whole is not None:
        return whole
    last = next((one for one in reversed(laid) if len(one.pages) <= MOST_PAGES), laid[0])
    return Maps(last.scale, tuple(_label(context, last.pages, area, None)), 0)


def _first_labelled(context: Context, area: Area, laid: Iterable[_Laid], full: float) -> Maps | None:
    """The first of these on which every label finds room; full: as FULL."""
    for one in laid:
        maps = _label(context, one.pages, area, full)
        if len(maps) == len(one.pages):
            return Maps(one.scale, tuple(maps), 0)
    return None


def _weight(context: Context, scale: int, pages: Sequence[Sheetful]) -> float:
    return len(pages) + (CROWDED if crowded(context, scale) else 0.0) + CUT * sum(len(page.cuts) for page in pages)


def _laid_whole(context: Context, area: Area) -> list[_Laid]:
    """The whole bundle at each scale, the best first."""
    trees = bundle_trees(context.harness, context.geometry)
    laid = [_Laid(scale, pages, _weight(context, scale, pages)) for scale in SCALES for clear in CLEARANCES for pages in [lay_out_bundle(trees, 1 / scale, area, clear)]]
    return sorted(laid, key=lambda one: (one.weight, one.scale))


def _laid_strips(context: Context, area: Area, spliced: Sequence[str]) -> list[_Laid]:
    """Each of these segments by itself at each scale, the best first."""
    harness = context.harness
    trees = [tree for id in spliced for tree in bundle_trees(replace(harness, segments={id: harness.segments[id]}), context.geometry)]
    laid = [_Laid(scale, pages, _weight(context, scale, pages)) for scale in SCALES for pad in STRIP_PADS for pages in [lay_out_bundle(trees, 1 / scale, area, CLEARANCES[0], pad)]]
    return sorted(laid, key=lambda one: (one.weight, one.scale))


def _spliced(context: Context) -> list[str]:
    """The segments on which a splice sits, or one that is gone sat; of a splice at a point that none of these reaches the first segment there."""
    places = [(station.segment, station.from_point) for station in context.geometry.stations.values()]
    places += [(segment, point) for _, segment, _, point in Labels(context).gone_splices()]
    segments = context.harness.segments
    found = {segment for segment, _ in places if segment}
    reached = {point for id in found & set(segments) for point in (segments[id].from_, segments[id].to)}
    for segment, point in places:
        if not segment and point and point not in reached and (first := next((one for one in segments.values() if point in (one.from_, one.to)), None)):
            found.add(first.id)
            reached |= {first.from_, first.to}
    return [id for id in segments if id in found]


def crowded(context: Context, scale: int) -> bool:
    """True where at this scale two marks on one segment run together."""
    marks: dict[str, set[float]] = {}
    for station in context.geometry.stations.values():
        if station.segment and station.offset_mm is not None:
            length = context.harness.segments[station.segment].length_mm
            marks.setdefault(station.segment, {0.0, *([length] if length is not None else [])}).add(station.offset_mm)
    return any(0 < b - a < NEAREST * scale for offsets in marks.values() for a, b in zip(sorted(offsets), sorted(offsets)[1:]))


def _label(context: Context, pages: Sequence[Sheetful], area: Area, full: float | None) -> list[Map]:
    """Dots and labels for every page; a splice and what sits at a point stand where they come first.

    ``full``: stop before the first page that has no room for all its labels, or of which they fill more than that; None: draw it all the same.
    """
    words = Labels(context)
    dotted: set[str] = set()
    crossed: set[str] = set()
    named: set[str] = set()
    measured: set[str] = set()
    maps = []
    for page in pages:
        dots = {name: at for name, at in dots_on(context, page) if name not in dotted}
        gone = {name: at for name, segment, offset, point in words.gone_splices() if name not in crossed and (at := at_on(page, segment, offset, point))}
        dotted.update(dots)
        crossed.update(gone)
        labels = [words.splice(context.harness.splices[name], *at) for name, at in dots.items()]
        labels += [words.gone_splice(name, *at) for name, at in gone.items()]
        for spot in page.spots:
            labels.append(words.point(spot, spot.point not in named))
            named.add(spot.point)
        for run in longest_runs(page):
            if run.segment not in measured and (label := words.segment(run.segment, (run.x1 + run.x2) / 2, (run.y1 + run.y2) / 2)):
                labels.append(label)
                measured.add(run.segment)
        marks = [(*at,) for at in (*dots.values(), *gone.values())] + [(spot.x, spot.y) for spot in page.spots]
        boxes = [(x - MARK, y - MARK, x + MARK, y + MARK) for x, y in marks]
        boxes += [(one.x - RING, one.y - RING, one.x + RING, one.y + RING) for one in page.cuts]
        wanted = [Wanted(label.x, label.y, *label.size) for label in labels]
        if full is not None and sum(one.width * one.height for one in wanted) > full * area.w * area.h:
            break
        places = kept_labels(context.placer, wanted, page.strokes, boxes, area)
        if full is not None and None in places:
            break
        maps.append(Map(page, dots, gone, tuple(labels), tuple(places)))
    return maps


def dots_on(context: Context, page: Sheetful) -> Iterator[tuple[str, tuple[float, float]]]:
    """Each splice of which the place is on this page, and where."""
    for splice in context.harness.splices.values():
        station = context.geometry.stations.get(splice.id)
        if station is None:
            continue
        point = station.from_point if station.toward_point is None else None
        if at := at_on(page, station.segment, station.offset_mm, point):
            yield splice.id, at


def at_on(page: Sheetful, segment: str | None, offset_mm: float | None, point: str | None) -> tuple[float, float] | None:
    """Where on a page a place on a segment lies, else a point; None where it is on another page or not known."""
    if segment is not None and offset_mm is not None:
        return next((_on_run(run, offset_mm) for run in page.runs if run.segment == segment and run.from_mm - 1e-6 <= offset_mm <= run.to_mm + 1e-6), None)
    return next(((spot.x, spot.y) for spot in page.spots if spot.point == point), None)


def _on_run(run: Run, offset_mm: float) -> tuple[float, float]:
    share = (offset_mm - run.from_mm) / (run.to_mm - run.from_mm) if run.to_mm > run.from_mm else 0.0
    return run.x1 + share * (run.x2 - run.x1), run.y1 + share * (run.y2 - run.y1)


def longest_runs(page: Sheetful) -> Iterator[Run]:
    """The longest run of each segment on a page."""
    longest: dict[str, Run] = {}
    for run in page.runs:
        if run.segment not in longest or _length(run) > _length(longest[run.segment]):
            longest[run.segment] = run
    yield from longest.values()


def _length(run: Run) -> float:
    return hypot(run.x2 - run.x1, run.y2 - run.y1)
