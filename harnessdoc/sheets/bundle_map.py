"""The bundle drawn to scale with its splices: which scale, what stands where, and what it is called.

Takes a Context and the room on a page; gives the scale and the maps, one a page,
each with the bundle placed, the dots of its splices and a place for every label.
Splices that are gone since the version before have a label where they were, and
segments whose length or ends differ one at their middle. ``bundle_drawing.py`` draws them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from ..drawing.record import Area
from .bundle_labels import Label, Labels
from .bundle_layout import RING, Run, Sheetful, lay_out_bundle
from .bundle_tree import bundle_trees
from .context import Context
from .label_places import MARK, Placed, Wanted, place_labels

SCALES = (2, 5, 10, 20, 50, 100, 200)
"""Reductions of ISO 5455; the largest drawing first."""
CLEARANCES = (7.0, 11.0, 16.0, 24.0, 36.0)
"""Between lines of the bundle that do not meet, mm; the wider are tried where labels find no room."""
MOST_PAGES = 24
"""No more pages than this are taken where there is another way."""
CROWDED, CUT = 2.0, 0.05
"""Marks that run together, and the ring of a cut, weigh as much as so many pages more."""
FULL = 0.2
"""Labels that fill more of a page than this find no places that can be read."""
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


def choose_maps(context: Context, area: Area) -> tuple[int, list[Map]]:
    """The scale and the pages at it: few pages with few cuts, and of equals the largest scale, where every label finds room.

    Where nothing leaves room for all labels, that with the most paper is taken.
    """
    trees = bundle_trees(context.harness, context.geometry)
    laid: list[tuple[float, int, list[Sheetful]]] = []
    for scale in SCALES:
        crowded = CROWDED if _crowded(context, scale) else 0.0
        for clear in CLEARANCES:
            pages = lay_out_bundle(trees, 1 / scale, area, clear)
            laid.append((len(pages) + crowded + CUT * sum(len(page.cuts) for page in pages), scale, pages))
    laid.sort(key=lambda one: one[:2])
    for _, scale, pages in laid:
        if len(pages) <= MOST_PAGES:
            maps = _label(context, pages, area, True)
            if len(maps) == len(pages):
                return scale, maps
    _, scale, pages = next((one for one in reversed(laid) if len(one[2]) <= MOST_PAGES), laid[0])
    return scale, _label(context, pages, area, False)


def _crowded(context: Context, scale: int) -> bool:
    """True where at this scale two marks on one segment run together."""
    marks: dict[str, set[float]] = {}
    for station in context.geometry.stations.values():
        if station.segment and station.offset_mm is not None:
            length = context.harness.segments[station.segment].length_mm
            marks.setdefault(station.segment, {0.0, *([length] if length is not None else [])}).add(station.offset_mm)
    return any(0 < b - a < NEAREST * scale for offsets in marks.values() for a, b in zip(sorted(offsets), sorted(offsets)[1:]))


def _label(context: Context, pages: list[Sheetful], area: Area, whole: bool) -> list[Map]:
    """Dots and labels for every page; a splice and what sits at a point stand where they come first.

    ``whole``: stop before the first page that has no room for all its labels.
    """
    words = Labels(context)
    dotted: set[str] = set()
    crossed: set[str] = set()
    named: set[str] = set()
    measured: set[str] = set()
    maps = []
    for page in pages:
        dots = {name: at for name, at in _dots(context, page) if name not in dotted}
        gone = {name: at for name, segment, offset, point in words.gone_splices() if name not in crossed and (at := _at(page, segment, offset, point))}
        dotted.update(dots)
        crossed.update(gone)
        labels = [words.splice(context.harness.splices[name], *at) for name, at in dots.items()]
        labels += [words.gone_splice(name, *at) for name, at in gone.items()]
        for spot in page.spots:
            labels.append(words.point(spot, spot.point not in named))
            named.add(spot.point)
        for run in _longest_runs(page):
            if run.segment not in measured and (label := words.segment(run.segment, (run.x1 + run.x2) / 2, (run.y1 + run.y2) / 2)):
                labels.append(label)
                measured.add(run.segment)
        marks = [(*at,) for at in (*dots.values(), *gone.values())] + [(spot.x, spot.y) for spot in page.spots]
        boxes = [(x - MARK, y - MARK, x + MARK, y + MARK) for x, y in marks]
        boxes += [(one.x - RING, one.y - RING, one.x + RING, one.y + RING) for one in page.cuts]
        wanted = [Wanted(label.x, label.y, *label.size) for label in labels]
        if whole and sum(one.width * one.height for one in wanted) > FULL * area.w * area.h:
            break
        places = place_labels(wanted, page.strokes, boxes, area)
        if whole and None in places:
            break
        maps.append(Map(page, dots, gone, tuple(labels), tuple(places)))
    return maps


def _dots(context: Context, page: Sheetful) -> Iterator[tuple[str, tuple[float, float]]]:
    """Each splice of which the place is on this page, and where."""
    for splice in context.harness.splices.values():
        station = context.geometry.stations.get(splice.id)
        if station is None:
            continue
        point = station.from_point if station.toward_point is None else None
        if at := _at(page, station.segment, station.offset_mm, point):
            yield splice.id, at


def _at(page: Sheetful, segment: str | None, offset_mm: float | None, point: str | None) -> tuple[float, float] | None:
    """Where on a page a place on a segment lies, else a point; None where it is on another page or not known."""
    if segment is not None and offset_mm is not None:
        return next((_on_run(run, offset_mm) for run in page.runs if run.segment == segment and run.from_mm - 1e-6 <= offset_mm <= run.to_mm + 1e-6), None)
    return next(((spot.x, spot.y) for spot in page.spots if spot.point == point), None)


def _on_run(run: Run, offset_mm: float) -> tuple[float, float]:
    share = (offset_mm - run.from_mm) / (run.to_mm - run.from_mm) if run.to_mm > run.from_mm else 0.0
    return run.x1 + share * (run.x2 - run.x1), run.y1 + share * (run.y2 - run.y1)


def _longest_runs(page: Sheetful) -> Iterator[Run]:
    """The longest run of each segment on a page."""
    longest: dict[str, Run] = {}
    for run in page.runs:
        if run.segment not in longest or _length(run) > _length(longest[run.segment]):
            longest[run.segment] = run
    yield from longest.values()


def _length(run: Run) -> float:
    return hypot(run.x2 - run.x1, run.y2 - run.y1)
