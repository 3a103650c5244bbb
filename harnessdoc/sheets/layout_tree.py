"""What the harness layout measures along the bundle: sums from the trunk's end, zones where they change, and the bundle not to scale.

Takes the trees of a bundle (``bundle_tree.py``); gives figures in mm of bundle, and trees
whose segments have the length they are to have on paper where nothing is to scale.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import sqrt

from ..geometry.measure import Geometry
from ..model.harness import Harness, Segment
from .bundle_layout import Run, Sheetful
from .bundle_tree import Node, Step, Tree

SHORTEST, GROWTH = 16.0, 1.2
"""A segment that is not drawn to scale has SHORTEST mm on paper, and GROWTH for each root of a millimetre."""
SPLICES_APART = 12.0
"""Between two splices on such a segment, at least, mm on paper."""


def walked(tree: Tree) -> Iterator[Step]:
    """Every step of a tree, those nearer the root first."""
    waiting = list(tree.children[tree.root])
    for step in waiting:
        yield step
        waiting += tree.children[step.end]


def sums(trees: Sequence[Tree]) -> dict[Node, float | None]:
    """How far every node is from its trunk's end along the bundle as it is drawn, mm; None where a segment on the way has no known length."""
    found: dict[Node, float | None] = {}
    for tree in trees:
        found[tree.root] = 0.0
        for step in walked(tree):
            before = found[step.start]
            found[step.end] = before + step.edge.length_mm if step.edge.known and before is not None else None
    return found


def splice_sums(harness: Harness, geometry: Geometry, trees: Sequence[Tree], total: Mapping[Node, float | None]) -> dict[str, float | None]:
    """The same for every splice of which the place is known."""
    found: dict[str, float | None] = {}
    steps = {step.edge.segment: step for tree in trees for step in walked(tree)}
    for name, station in geometry.stations.items():
        if station.segment in steps and station.offset_mm is not None:
            step = steps[station.segment]
            before, along = total[step.start], station.offset_mm if step.start == step.edge.a else step.edge.length_mm - station.offset_mm
            found[name] = before + along if before is not None and step.edge.known else None
        elif station.toward_point is None:
            found[name] = total.get((station.from_point, 0)) if station.from_point else None
    return found


def zone_of(harness: Harness, segment: Segment) -> str | None:
    """The zone a segment is printed with: its own, else that of its two ends where they have the same; None not described."""
    start, stop = (harness.points.get(end) for end in (segment.from_, segment.to))
    return segment.zone or (start.zone if start and stop and start.zone == stop.zone else None)


def zones(harness: Harness, trees: Sequence[Tree]) -> dict[str, str]:
    """Segment -> its zone, where it is another than that of the segment before it from the trunk's end on; "" for one without after one with."""
    found: dict[str, str] = {}
    behind: dict[Node, str] = {}
    for tree in trees:
        for step in walked(tree):
            zone = zone_of(harness, harness.segments[step.edge.segment]) or ""
            if zone != behind.get(step.start, ""):
                found[step.edge.segment] = zone
            behind[step.end] = zone
    return found


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a segment between two splices on it or its ends: where it lies on the segment, mm as built, and how long it is drawn, mm of paper."""

    from_mm: float
    to_mm: float
    paper: float


def pieces(geometry: Geometry, trees: Sequence[Tree], stretch: Mapping[str, float]) -> dict[str, tuple[Piece, ...]]:
    """Segment -> its parts where nothing is to scale: longer for a longer segment, with room for its words and between the splices on it, ``stretch`` times that."""
    on: dict[str, set[float]] = {}
    for station in geometry.stations.values():
        if station.segment and station.offset_mm is not None:
            on.setdefault(station.segment, set()).add(station.offset_mm)
    found = {}
    for name, length in lengths(trees).items():
        marks = sorted({0.0, length, *on.get(name, ())})
        whole = stretch[name] * (SHORTEST + GROWTH * sqrt(length))
        least = stretch[name] * SPLICES_APART if len(marks) > 2 else 0.0
        found[name] = tuple(Piece(a, b, max(least, whole * (b - a) / length)) for a, b in zip(marks, marks[1:]))
    return found


def not_to_scale(trees: Sequence[Tree], drawn: Mapping[str, Sequence[Piece]]) -> list[Tree]:
    """The trees with the lengths of these parts on paper."""
    def shown(step: Step) -> Step:
        return replace(step, edge=replace(step.edge, length_mm=sum(piece.paper for piece in drawn[step.edge.segment])))

    return [Tree(tree.root, {node: tuple(map(shown, steps)) for node, steps in tree.children.items()}) for tree in trees]


def as_built(pages: Sequence[Sheetful], drawn: Mapping[str, Sequence[Piece]]) -> list[Sheetful]:
    """Pages laid out from ``not_to_scale`` trees, each part of a segment a run of its own, where it begins and ends told in mm of bundle again."""
    return [replace(page, runs=tuple(part for run in page.runs for part in _parts(run, drawn[run.segment]))) for page in pages]


def _parts(run: Run, drawn: Sequence[Piece]) -> Iterator[Run]:
    """What of a run, told in mm of paper, lies on each part of its segment."""
    begin = 0.0
    for piece in drawn:
        low, high = max(begin, run.from_mm), min(begin + piece.paper, run.to_mm)
        if low < high - 1e-9:
            built = [piece.from_mm + (at - begin) / piece.paper * (piece.to_mm - piece.from_mm) for at in (low, high)]
            ends = [(at - run.from_mm) / (run.to_mm - run.from_mm) for at in (low, high)]
            (x1, y1), (x2, y2) = ((run.x1 + share * (run.x2 - run.x1), run.y1 + share * (run.y2 - run.y1)) for share in ends)
            yield Run(run.segment, built[0], built[1], x1, y1, x2, y2, run.known)
        begin += piece.paper


def lengths(trees: Sequence[Tree]) -> dict[str, float]:
    """Segment -> its length in mm as built, nominal where it is not known."""
    return {step.edge.segment: step.edge.length_mm for tree in trees for step in walked(tree)}
