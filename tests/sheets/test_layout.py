"""The harness layout: its figures are those of the segments, everything is on it, nothing covers anything."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import hypot
from pathlib import Path

import networkx
import pytest
import yaml
from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of
from sheets.marked_contexts import edited, since_context
from sheets.test_splice_places import random_tree

from harnessdoc.book.draw import make_context
from harnessdoc.drawing.page import PAPERS, zone_of
from harnessdoc.drawing.record import Arc, Circle, Drawing, Line, Link, Polyline, Rect, Text
from harnessdoc.sheets.context import Context, Options, SheetKind, SheetRef
from harnessdoc.sheets.layout import draw_layout
from harnessdoc.sheets.layout_coverings import PATTERNS, pattern_of
from harnessdoc.sheets.layout_labels import ItemsLine
from harnessdoc.sheets.layout_map import layout_of
from harnessdoc.sheets.layout_where import fields, where
from harnessdoc.steps import load

EXAMPLES = Path(__file__).parents[2] / "examples"
LINNET, HERON = EXAMPLES / "linnet" / "linnet.yaml", EXAMPLES / "heron" / "heron.yaml"
MERGE = EXAMPLES / "heron-linnet" / "heron-linnet.yaml"
REF = SheetRef(40, "layout", SheetKind.LAYOUT, "where everything is")
RAW = pytest.mark.outside("networkx: shortest ways over the segments as PyYAML reads them")
SMALL = """
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: tape, zone: cabin}
      T2: {from: P2, to: P3, length: 300 mm, covering: split conduit 10 mm, zone: engine, grommet: 30 mm, near: {exhaust: 60 mm, moving part: 25 mm}, clips: 100 mm}
      T3: {from: P4, to: P2, length: 200 mm, covering: glass braid, zone: engine}
      T4: {from: P2, to: P5, length: 150 mm, covering: rubber tube}
      T5: {from: P5, to: P6, length: 120 mm, covering: lacing, zone: wet}
    devices:
      U1: {title: control unit, connectors: [X1, X2], place: P1}
      M1: {title: motor, terminals: [a, b], place: P3}
    connectors:
      X1: {face: [[1..4]], view: wire side, half: plug}
      X2: {face: [[1..12]], view: wire side, half: socket}
      X4: {place: P4, face: [[1..4]], view: wire side}
      X5: {place: P6, half: socket, face: {ring: [1, 2, 3]}, view: wire side}
    splices:
      S1: {at: 150 mm from P1 toward P2, join: J7}
      S2: {place: P2}
      S3: {at: 60 mm from P2 toward P4, method: solder}
    grounds:
      G1: {place: P5}
    wires:
      1: {from: X1.1, to: S1}
      2: {from: M1.a, to: G1}
"""


def said_by(pages: Iterable[Drawing], tag: str) -> dict[str, list[str]]:
    """What a label says, by what it is of, its lines joined; a label for each page it stands on."""
    found: dict[str, list[str]] = {}
    for page in pages:
        lines: dict[str, list[str]] = {}
        for mark in page.marks:
            if isinstance(mark, Text) and mark.tag.startswith(tag):
                lines.setdefault(mark.tag.removeprefix(tag), []).append(mark.text)
        for name, words in lines.items():
            found.setdefault(name, []).append(" ".join(words))
    return found


def scale_of(page: Drawing) -> int | None:
    return next((int(text.split(": ")[1]) for text in texts(page) if text.startswith("1 : ")), None)


def with_bundle(pages: tuple[Drawing, ...]) -> list[Drawing]:
    """The pages with a drawing."""
    return [page for page in pages if any(isinstance(mark, Line) and mark.tag.startswith("segment:") for mark in page.marks)]


def mm_of(text: str) -> float:
    return float(text.removesuffix(" mm"))


def sums_printed(pages: Iterable[Drawing]) -> dict[str, set[float]]:
    """Point or splice -> the sums that stand at it."""
    found: dict[str, set[float]] = {}
    for tag in ("point:", "splice:"):
        for name, labels in said_by(pages, tag).items():
            for label in labels:
                total = re.search(r"sum ([0-9.]+) mm", label)
                assert total or "0, trunk's end" in label, label
                found.setdefault(name, set()).add(float(total[1]) if total else 0.0)
    return found


def raw_graph(file: Path) -> tuple[networkx.Graph, dict[str, float]]:
    """The bundle from the raw text: points, and segments with their lengths in mm."""
    raw = yaml.safe_load(file.read_text(encoding="utf-8"))["segments"]
    graph = networkx.Graph()
    for name, one in raw.items():
        graph.add_edge(one["from"], one["to"], weight=mm_of(one["length"]), name=name)
    return graph, {name: mm_of(one["length"]) for name, one in raw.items()}


def raw_splices(file: Path) -> Iterator[tuple[str, str, str, float]]:
    """Splice, from which point, toward which, and how far."""
    for name, one in yaml.safe_load(file.read_text(encoding="utf-8"))["splices"].items():
        if "at" in one:
            far, origin, toward = re.fullmatch(r"([0-9.]+) mm from (.+) toward (.+)", one["at"]).groups()
            yield name, origin, toward, float(far)


@RAW
@pytest.mark.parametrize("file", [LINNET, HERON], ids=lambda file: file.stem)
def test_the_figures_are_those_of_the_segments(file: Path) -> None:
    context = context_of(file.read_text(encoding="utf-8"))
    pages = draw_layout(context, REF)
    graph, lengths = raw_graph(file)
    printed = sums_printed(pages)
    root = next(name for name, found in printed.items() if found == {0.0})
    far = networkx.shortest_path_length(graph, root, weight="weight")
    assert {name: found for name, found in printed.items() if name in far} == {name: {total} for name, total in far.items()}
    for name, labels in said_by(pages, "segment label:").items():
        for label in labels:
            assert mm_of(re.match(rf"{name}: ([0-9.]+ mm)", label)[1]) == lengths[name]
    assert set(said_by(pages, "segment label:")) == set(lengths)
    measured = 0
    for splice, origin, toward, mm in raw_splices(file):
        way = networkx.shortest_path(graph, origin, toward, weight="weight")
        for a, b in zip(way, way[1:]):
            length = graph.edges[a, b]["weight"]
            if mm <= length:
                assert printed[splice] == {round(far[a] + (mm if far[b] > far[a] else -mm), 3)}, splice
                measured += 1
                break
            mm -= length
    assert measured >= 15


def drawn_lengths(pages: Iterable[Drawing], scale: float) -> dict[str, float]:
    found: dict[str, float] = {}
    for page in pages:
        for mark in page.marks:
            if isinstance(mark, Line) and mark.tag.startswith("segment:"):
                name = mark.tag.removeprefix("segment:")
                found[name] = found.get(name, 0.0) + scale * hypot(mark.x2 - mark.x1, mark.y2 - mark.y1)
    return found


@pytest.mark.parametrize("text", [SMALL, HERON.read_text(encoding="utf-8"), random_tree(12, 3)], ids=["small", "heron", "random"])
def test_lengths_are_to_the_scale_that_is_printed(text: str) -> None:
    context = context_of(text)
    pages = with_bundle(draw_layout(context, REF))
    scales = {scale_of(page) for page in pages}
    assert len(scales) == 1
    scale = scales.pop()
    assert scale is not None
    drawn = drawn_lengths(pages, scale)
    for segment in context.harness.segments.values():
        assert abs(drawn[segment.id] - segment.length_mm) < 0.1 * scale, segment.id
    for page in pages:
        bar, = (mark for mark in page.marks if isinstance(mark, Line) and mark.tag == "scale" and mark.width == 0.7)
        end = next(mark for mark in page.marks if isinstance(mark, Text) and mark.tag == "scale" and mark.text.endswith(" mm"))
        assert abs((bar.x2 - bar.x1) * scale - mm_of(end.text)) < 1e-6


def test_what_is_not_to_scale_says_so_and_keeps_the_order() -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"))
    assert layout_of(context).scale is None
    pages = with_bundle(draw_layout(context, REF))
    assert all("Not to scale" in texts(page) and scale_of(page) is None for page in pages)
    assert min(drawn_lengths(pages, 1.0).values()) > 16.0
    for page in pages:
        dots = {mark.tag.removeprefix("splice:"): (mark.cx, mark.cy) for mark in page.marks if isinstance(mark, Circle) and mark.tag.startswith("splice:")}
        points = {mark.tag.removeprefix("point:"): (mark.cx, mark.cy) for mark in page.marks if isinstance(mark, Circle) and mark.tag.startswith("point:")}
        for name, at in dots.items():
            station = context.geometry.stations[name]
            if station.segment:
                segment = context.harness.segments[station.segment]
                on = [(one.offset_mm, dots[other]) for other, one in context.geometry.stations.items() if one.segment == station.segment and other in dots]
                assert segment.from_ not in points or sorted(on) == sorted(on, key=lambda one: hypot(one[1][0] - points[segment.from_][0], one[1][1] - points[segment.from_][1]))
                assert min(hypot(at[0] - x, at[1] - y) for x, y in (*points.values(), *(xy for other, xy in dots.items() if other != name))) > 5.0


@pytest.mark.parametrize("file", [LINNET, HERON, MERGE], ids=lambda file: file.stem)
def test_everything_with_a_place_is_on_it(file: Path) -> None:
    context = book_context(file)
    pages = with_bundle(draw_layout(context, REF))
    said = " ".join(text for page in pages for text in texts(page))
    words = set(re.split(r"[ ,]+", said))
    harness = context.harness
    assert not any("no room" in text for page in pages for text in texts(page))
    for name in (*harness.connectors, *harness.splices, *harness.grounds, *harness.devices, *harness.boxes):
        assert name in words, name
    for splice in harness.splices.values():
        assert not splice.join or splice.join in words, splice.id
    targets = {mark.target for page in pages for mark in page.marks if isinstance(mark, Link)}
    for name in (*harness.connectors, *harness.splices):
        assert context.sheet_of[name].name in targets, name


def book_context(file: Path) -> Context:
    loaded = load(str(file), sweep=False)
    assert not loaded.has_errors, loaded.findings
    return make_context(loaded.version, Options())


@pytest.mark.parametrize("file", [LINNET, HERON, MERGE], ids=lambda file: file.stem)
@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_covers_anything(file: Path, paper: str) -> None:
    loaded = load(str(file), sweep=False)
    context = make_context(loaded.version, Options(paper=paper))
    for page in draw_layout(context, REF):
        assert_tidy(page)


@pytest.mark.parametrize(("segments", "seed"), [(1, 0), (5, 1), (20, 2), (60, 3)])
def test_random_bundles(segments: int, seed: int) -> None:
    context = context_of(random_tree(segments, seed))
    pages = draw_layout(context, REF)
    names = {name for name, labels in said_by(pages, "point:").items()}
    assert names == set(context.harness.points)
    assert set(said_by(pages, "segment label:")) == set(context.harness.segments)
    for page in pages:
        assert_tidy(page)


def test_what_a_segment_says_and_its_marks() -> None:
    page = draw_layout(context_of(SMALL), REF)[0]
    said = {name: labels[0] for name, labels in said_by([page], "segment label:").items()}
    for words in ("grommet 30 mm", "near exhaust, 60 mm", "near moving part, 25 mm", "clips 100 mm apart"):
        assert words in said["T2"], words
    tags = [mark.tag for mark in page.marks]
    assert tags.count("grommet:T2") == 2 and tags.count("clip:T2") == 3 and tags.count("near:T2") == 1
    triangle, = (mark for mark in page.marks if isinstance(mark, Polyline) and mark.tag == "near:T2")
    assert triangle.fill == "#000000"
    assert "clip:T1" not in tags and "grommet:T1" not in tags


def test_zones_are_written_where_they_change() -> None:
    said = said_by(draw_layout(context_of(SMALL), REF)[:1], "segment label:")
    # the trunk runs from P1 over T1 (cabin) and T2 (engine)
    zoned = {name: re.search(r"zone (\w+( \w+)?)", labels[0]) for name, labels in said.items()}
    assert zoned["T1"][1] == "cabin" and zoned["T2"][1] == "engine" and zoned["T3"][1] == "engine" and zoned["T4"][1] == "not described" and zoned["T5"][1] == "wet"
    one_zone = SMALL.replace("zone: cabin", "zone: engine")
    assert not re.search("zone", said_by(draw_layout(context_of(one_zone), REF)[:1], "segment label:")["T2"][0])


def test_patterns_differ_and_are_said() -> None:
    assert [pattern_of(words) for words in ("tape", "split conduit 22 mm", "rubber tube", "glass braid", "lacing", "", "none")] == ["tape", "conduit", "tube", "braid", "other", "", ""]
    page = draw_layout(context_of(SMALL), REF)[0]
    legend = [mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "legend"]
    assert legend == ["tape", "conduit", "tube", "braid", "lacing"]
    shapes = {}
    for name in ("T1", "T2", "T3", "T4", "T5"):
        lines = [mark for mark in page.marks if mark.tag == f"covering:{name}"]
        along = max(lines, key=lambda mark: hypot(mark.x2 - mark.x1, mark.y2 - mark.y1))
        long = hypot(along.x2 - along.x1, along.y2 - along.y1) > 3.0
        shapes[name] = (long, bool(along.dash), sum(hypot(mark.x2 - mark.x1, mark.y2 - mark.y1) < 3.0 for mark in lines) > 0)
    assert shapes["T2"] == (True, False, True) and shapes["T4"] == (True, False, False) and shapes["T5"] == (True, True, False)
    assert shapes["T1"] == shapes["T3"] == (False, False, True)
    ticks, crosses = (sum(mark.tag == f"covering:{name}" for mark in page.marks) for name in ("T1", "T3"))
    assert crosses > 1.4 * ticks * 200 / 400 and len(PATTERNS) == 5


def test_connectors_in_their_outlines() -> None:
    page = draw_layout(context_of(SMALL), REF)[0]

    def outline(name: str) -> tuple[list[Line], list[Arc]]:
        marks = [mark for mark in page.marks if mark.tag == f"connector:{name}"]
        return [mark for mark in marks if isinstance(mark, Line)], [mark for mark in marks if isinstance(mark, Arc)]

    def upright(lines: list[Line]) -> list[Line]:
        return [line for line in lines if line.x1 == line.x2]

    plug, socket, unknown, ring = (outline(name) for name in ("X1", "X2", "X4", "X5"))
    assert len(upright(plug[0])) == 4 and len(upright(socket[0])) == 2
    assert all(line.dash for line in unknown[0]) and not any(line.dash for line in (*plug[0], *socket[0]))
    assert len(ring[1]) == 2 and not socket[1]
    wide = [max(line.x2 for line in lines) - min(line.x1 for line in lines) for lines, _ in (plug, socket)]
    assert wide[1] > 1.5 * wide[0]
    for name in ("X1", "X2", "X4", "X5"):
        text, = (mark for mark in page.marks if isinstance(mark, Text) and mark.text == name)
        lines, arcs = outline(name)
        left, right = (pick([*(line.x1 for line in lines), *(arc.cx + side * arc.r for arc in arcs)]) for pick, side in ((min, -1), (max, 1)))
        assert left < text.start()[0] and text.start()[0] + 4.0 < right


def test_lengths_that_are_not_known() -> None:
    context = context_of("segments:\n  T1: {from: A, to: B}\n  T2: {from: B, to: C, length: 900 mm}\n  T3: {from: C, to: D, length: 100 mm}\n  T4: {from: C, to: E, length: 90 mm}\n")
    pages = draw_layout(context, REF)
    said = said_by(pages, "segment label:")
    assert said["T1"] == ["T1: length not known"]
    # the trunk runs from A on; behind T1 nothing is known
    assert [said_by(pages, "point:")[name][0].split(", ")[1] for name in "ABCD"] == ["0", "sum not known", "sum not known", "sum not known"]
    dashed = {mark.tag for mark in pages[0].marks if isinstance(mark, Line) and mark.dash and mark.tag.startswith("segment:")}
    assert dashed == {"segment:T1"}


def test_cuts_are_named_on_both_pages() -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"))
    pages = with_bundle(draw_layout(context, REF))
    on: dict[str, list[int]] = {}
    for number, page in enumerate(pages, start=1):
        for mark in page.marks:
            if isinstance(mark, Text) and mark.tag == "cut":
                on.setdefault(mark.text, []).append(number)
    assert on and all(len(found) == 2 for found in on.values())
    for letter, (a, b) in on.items():
        for here, there in ((a, b), (b, a)):
            if here != there:
                assert re.search(rf"same letter:[^.]*\b{letter} page {there}\b", " ".join(texts(pages[here - 1]))), letter
                assert f"page {here}" not in re.search("same letter:[^.]*", " ".join(texts(pages[here - 1])))[0]


def test_where_everything_is_found() -> None:
    context = book_context(HERON)
    sheet = next(ref for ref in context.sheets if ref.kind is SheetKind.LAYOUT)
    pages = with_bundle(draw_layout(context, sheet))
    found = where(context)
    for name, words in found.items():
        number, page, zone = re.fullmatch(r"sheet (\d+)\.(\d+), ([A-Z]\d)", words).groups()
        assert int(number) == sheet.number
        drawing = pages[int(page) - 1]
        tag = f"splice:{name}" if name in context.harness.splices else f"point:{context.harness.place_of.get(name) or context.harness.place_of[context.harness.devices[name].connectors[0]]}"
        circles = [mark for mark in drawing.marks if isinstance(mark, Circle) and mark.tag == tag]
        assert zone in {zone_of(drawing.width_mm, drawing.height_mm, mark.cx, mark.cy) for mark in circles}, name
    harness = context.harness
    assert {*harness.connectors, *harness.splices, *harness.grounds, *harness.devices} <= set(found)
    assert where(context) == found and fields(context) is fields(context)


def test_a_harness_on_one_page_has_no_page_in_its_fields() -> None:
    context = context_of(SMALL)
    context = replace(context, sheets=(*context.sheets, REF))
    assert re.fullmatch(r"sheet 40, [A-D]\d", where(context)["X4"])
    assert where(context)["U1"] == where(context)["X1"]
    assert where(context_of("connectors:\n  X1: {face: [[1]], view: wire side}\n")) == {}


def test_what_has_no_place_on_the_bundle_is_told() -> None:
    text = SMALL + "      3: {from: Y1.1, to: S2}\n"
    text = text.replace("      X4: {", "      Y1: {face: [[1, 2]], view: wire side}\n      X4: {")
    said = " ".join(texts(draw_layout(context_of(text), REF)[0]))
    assert "Not drawn, no place on the bundle known: Y1." in said
    assert "Not drawn" not in " ".join(texts(draw_layout(context_of(SMALL), REF)[0]))


def test_the_table_of_segments() -> None:
    page = draw_layout(context_of(SMALL), REF)[-1]
    rows = {row[0]: row for row in rows_of(page)}
    assert rows["T2"][:6] == ["T2", "P2", "P3", "300 mm", "400 mm", "700 mm"]
    assert rows["T3"][3:6] == ["200 mm", "600 mm", "400 mm"]
    assert {"split conduit 10 mm", "engine", "30 mm", "100 mm"} <= set(rows["T2"])
    assert "Slack" not in texts(page) and "Grommet" in texts(page)


def rows_of(page: Drawing) -> list[list[str]]:
    lines: dict[float, list[Text]] = {}
    for mark in page.marks:
        if isinstance(mark, Text) and mark.tag == "table":
            lines.setdefault(round(mark.y, 2), []).append(mark)
    return [[mark.text for mark in sorted(line, key=lambda mark: mark.start()[0])] for _, line in sorted(lines.items())]


# ------------------------------------------------------------------------------- changes

def struck(pages: Iterable[Drawing]) -> list[str]:
    return [mark.text for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag == "struck"]


def triangles(pages: Iterable[Drawing]) -> int:
    return sum(isinstance(mark, Polyline) and mark.tag == "revision" for page in pages for mark in page.marks)


def test_a_segment_measured_anew_is_clouded_with_its_old_length() -> None:
    context = since_context(SMALL, edited(SMALL, ("to: P5, length: 150 mm", "to: P5, length: 180 mm")))
    pages = draw_layout(context, ref_since(context))
    on_drawing = with_bundle(pages)
    assert "T4: 150 mm" in struck(on_drawing)
    # the sums behind it are others, too: P5 and P6 were at 550 and 670 mm
    assert {"P5, sum 550 mm", "P6, sum 670 mm"} <= set(struck(on_drawing))
    assert triangles(on_drawing) == 3 and any(isinstance(mark, Arc) and mark.tag == "cloud" for mark in on_drawing[0].marks)
    for page in pages:
        assert_tidy(page)


def ref_since(context: Context) -> SheetRef:
    """A reference of a sheet that both versions have."""
    sheets = (*context.since.before.sheets, REF)
    object.__setattr__(context.since.before, "sheets", sheets)
    return REF


def test_a_covering_a_thing_and_a_segment_that_are_others() -> None:
    new = edited(SMALL, ("covering: rubber tube", "covering: tape"), ("X4: {place: P4", "X4: {place: P3"),
                 ("      T5: {from: P5", "      T6: {from: P3, to: P7, length: 90 mm}\n      T5: {from: P5"))
    context = since_context(SMALL, new)
    pages = with_bundle(draw_layout(context, ref_since(context)))
    gone = struck(pages)
    assert any("rubber tube" in text for text in gone) and any(text.startswith("X4") for text in gone)
    said = said_by(pages, "segment label:")
    assert said["T6"][0].startswith("T6: 90 mm")
    for page in pages:
        assert_tidy(page)


def test_a_segment_and_a_splice_that_are_gone() -> None:
    new = edited(SMALL, ("      T5: {from: P5, to: P6, length: 120 mm, covering: lacing, zone: wet}\n", ""), ("      X5: {place: P6, half: socket, face: {ring: [1, 2, 3]}, view: wire side}\n", ""),
                 ("      S3: {at: 60 mm from P2 toward P4, method: solder}\n", ""))
    context = since_context(SMALL, new)
    pages = with_bundle(draw_layout(context, ref_since(context)))
    assert "T5 to P6" in struck(pages) and "S3" in struck(pages)
    assert sum(mark.tag == "gone:S3" for page in pages for mark in page.marks if isinstance(mark, Line)) == 2


def test_nothing_is_marked_where_nothing_changed() -> None:
    context = since_context(SMALL, SMALL)
    assert draw_layout(context, ref_since(context)) == draw_layout(context_of(SMALL), REF)


def test_a_new_sheet_says_so() -> None:
    context = since_context(SMALL, SMALL)
    pages = draw_layout(context, REF)
    assert all("New sheet" in texts(page) for page in with_bundle(pages))
    for page in pages:
        assert_tidy(page)


# ------------------------------------------------------------------------------- the book

def test_it_is_in_the_book_before_the_splice_places() -> None:
    kinds = [ref.kind for ref in book_context(LINNET).sheets]
    at = kinds.index(SheetKind.LAYOUT)
    assert kinds[at:at + 3] == [SheetKind.LAYOUT, SheetKind.LOCATIONS, SheetKind.SPLICE_PLACES]
    assert SheetKind.LAYOUT_1TO1 not in kinds
    bare = load("t.yaml", {"t.yaml": "connectors:\n  X1: {face: [[1, 2]], view: wire side}\nwires:\n  1: {from: X1.1, to: X1.2}\n"})
    assert SheetKind.LAYOUT not in [ref.kind for ref in make_context(bare.version, Options()).sheets]


def test_the_same_marks_twice() -> None:
    text = random_tree(20, 5)
    assert draw_layout(context_of(text), REF) == draw_layout(context_of(text), REF)


def test_a_rectangle_is_no_outline() -> None:
    """Outlines are lines, so that `to fill` boxes and tables stay the only rectangles beside the frame."""
    page = draw_layout(context_of(SMALL), REF)[0]
    assert [mark.tag for mark in page.marks if isinstance(mark, Rect)] == ["frame"]


def test_what_sits_at_a_point_stands_where_its_bundle_comes_by_and_once() -> None:
    """Not where branches that found no room there go on from it, even where those stand on an earlier page."""
    for file in (HERON, MERGE):
        told: dict[str, int] = {}
        for page in layout_of(book_context(file)).pages:
            again = {(spot.x, spot.y) for spot in page.page.spots if spot.is_again}
            for label in page.labels:
                if label.tag.startswith("point:") and any(isinstance(line, ItemsLine) for line in label.lines):
                    told[label.tag] = told.get(label.tag, 0) + 1
                    assert (label.x, label.y) not in again, label.tag
        assert told and set(told.values()) == {1}


def test_findings_at_segments_points_and_splices_have_their_flags() -> None:
    context = replace(context_of(SMALL), numbers_at={"segment T2": (3, 14), "place P4": (2,), "S2": (5,), "X1": (9,)})
    pages = with_bundle(draw_layout(context, REF))
    flags = {mark.tag: mark for page in pages for mark in page.marks if isinstance(mark, Polyline) and mark.tag.startswith("finding:")}
    assert sorted(flags) == ["finding:14", "finding:2", "finding:3", "finding:5"]
    for name, number in (("segment label:T2", 3), ("point:P4", 2), ("splice:S2", 5)):
        own = [mark for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag == name]
        assert min(hypot(mark.x - flags[f"finding:{number}"].points[0][0], mark.y - flags[f"finding:{number}"].points[0][1]) for mark in own) < 16.0, name
    for page in pages:
        assert_tidy(page)
