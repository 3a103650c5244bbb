"""The bundle drawn to scale with its splices: which scale, what stands where, and what it is called.

Takes a Context and the room on a page; gives the scale and the maps, one a page,
each with the bundle placed, the dots of its splices and a place for every label.
``splice_places.py`` draws them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..drawing.lettering import Weight, cut, text_width, wrap
from ..drawing.record import Area
from ..geometry.stations import StationOf
from ..model.harness import Splice
from .bundle_layout import RING, Sheetful, Spot, lay_out_bundle
from .bundle_tree import bundle_trees
from .context import Context
from .label_places import MARK, Placed, Wanted, place_labels
from .splice_words import distance_words

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
DATA = 2.5
PITCH = 4.0
DESCENT = 0.8
DOT, POINT = 1.1, 0.9
"""Radius of a splice's dot and of a point's circle, mm."""
NEAREST = 2 * DOT
"""Splices and points nearer than this on paper would run together."""
MOST_OWNERS = 4
MOST_WIDTH = 62.0


@dataclass(frozen=True, slots=True)
class LabelLine:
    """A line of a label and the sheet it leads to ("" for none)."""

    text: str
    weight: Weight = "regular"
    target: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """What stands beside the mark at x, y."""

    x: float
    y: float
    lines: tuple[LabelLine, ...]
    tag: str

    @property
    def wanted(self) -> Wanted:
        width = max(text_width(line.text, DATA, line.weight) for line in self.lines)
        return Wanted(self.x, self.y, width, DATA + PITCH * (len(self.lines) - 1) + DESCENT)


@dataclass(frozen=True, slots=True)
class Map:
    """One page of the drawing: the bundle, splice id -> its dot, labels and where they stand."""

    page: Sheetful
    dots: dict[str, tuple[float, float]]
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
    ends = _ends_of_points(context)
    dotted: set[str] = set()
    named: set[str] = set()
    maps = []
    for page in pages:
        dots = {name: at for name, at in _dots(context, page) if name not in dotted}
        dotted.update(dots)
        labels = [_splice_label(context, context.harness.splices[name], *at) for name, at in dots.items()]
        for spot in page.spots:
            labels.append(_point_label(context, spot, () if spot.point in named else ends.get(spot.point, ())))
            named.add(spot.point)
        marks = [(*at,) for at in dots.values()] + [(spot.x, spot.y) for spot in page.spots]
        boxes = [(x - MARK, y - MARK, x + MARK, y + MARK) for x, y in marks]
        boxes += [(one.x - RING, one.y - RING, one.x + RING, one.y + RING) for one in page.cuts]
        wanted = [label.wanted for label in labels]
        if whole and sum(one.width * one.height for one in wanted) > FULL * area.w * area.h:
            break
        places = place_labels(wanted, page.strokes, boxes, area)
        if whole and None in places:
            break
        maps.append(Map(page, dots, tuple(labels), tuple(places)))
    return maps


def _dots(context: Context, page: Sheetful) -> Iterator[tuple[str, tuple[float, float]]]:
    """Each splice of which the place is on this page, and where."""
    for splice in context.harness.splices.values():
        station = context.geometry.stations.get(splice.id)
        if station is None:
            continue
        if station.segment is not None and station.offset_mm is not None:
            at = _on_run(page, station)
        elif station.toward_point is None:
            at = next(((spot.x, spot.y) for spot in page.spots if spot.point == station.from_point), None)
        else:
            at = None
        if at:
            yield splice.id, at


def _on_run(page: Sheetful, station: StationOf) -> tuple[float, float] | None:
    for run in page.runs:
        if run.segment == station.segment and run.from_mm - 1e-6 <= station.offset_mm <= run.to_mm + 1e-6:
            share = (station.offset_mm - run.from_mm) / (run.to_mm - run.from_mm) if run.to_mm > run.from_mm else 0.0
            return run.x1 + share * (run.x2 - run.x1), run.y1 + share * (run.y2 - run.y1)
    return None


def _splice_label(context: Context, splice: Splice, x: float, y: float) -> Label:
    station = context.geometry.stations[splice.id]
    sheet = context.sheet_of.get(splice.id)
    first = splice.id + (f", join {splice.join}" if splice.join else "")
    second = f"{distance_words(splice, station, context.options.units)} from {station.from_point}" if station.toward_point else f"at {station.from_point}"
    number = f" → {sheet.number}" if sheet else ""
    return Label(x, y, (
        LabelLine(cut(first, MOST_WIDTH - text_width(number, DATA, "bold"), DATA, "bold") + number, "bold", sheet.name if sheet else ""),
        LabelLine(cut(second, MOST_WIDTH, DATA)),
    ), f"splice:{splice.id}")


def _point_label(context: Context, spot: Spot, owners: Sequence[str]) -> Label:
    """The name of a point and what sits there."""
    lines = [LabelLine(line) for line in _two(wrap(spot.point, MOST_WIDTH, DATA))]
    shown = owners if len(owners) <= MOST_OWNERS else owners[:MOST_OWNERS - 1]
    for name in shown:
        sheet = context.sheet_of.get(name)
        number = f" → {sheet.number}" if sheet else ""
        lines.append(LabelLine(cut(name, MOST_WIDTH - text_width(number, DATA), DATA) + number, "regular", sheet.name if sheet else ""))
    if len(shown) < len(owners):
        lines.append(LabelLine(f"and {len(owners) - len(shown)} more"))
    if spot.on:
        lines.append(LabelLine(f"continues at {spot.on}"))
    return Label(spot.x, spot.y, tuple(lines), f"point:{spot.point}")


def _two(lines: list[str]) -> list[str]:
    return lines if len(lines) <= 2 else [lines[0], cut(" ".join(lines[1:]), MOST_WIDTH, DATA)]


def _ends_of_points(context: Context) -> dict[str, list[str]]:
    """Point -> what wires end at there: connectors, boxes, grounds, and devices and parts with terminals of their own."""
    harness = context.harness
    ends: dict[str, list[str]] = {}
    for name, place in harness.place_of.items():
        inside = name in harness.parts and harness.parts[name].box
        if name not in harness.splices and not inside and not (name in harness.devices and not harness.devices[name].terminals):
            ends.setdefault(place, []).append(name)
    return ends
