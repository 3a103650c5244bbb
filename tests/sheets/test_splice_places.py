"""The sheet of splice places: true to scale, complete and tidy, whatever the bundle is like."""

from __future__ import annotations

import re
from math import atan2, degrees, hypot
from pathlib import Path
from random import Random

import pytest
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of

from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.record import Circle, Drawing, Line, Link, Rect, Text
from harnessdoc.sheets.bundle_tree import bundle_trees
from harnessdoc.sheets.context import Context, SheetKind, SheetRef
from harnessdoc.sheets.splice_places import draw_splice_places

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"
REF = SheetRef(40, "splice-places", SheetKind.SPLICE_PLACES, "where the splices are")
SMALL = """
    segments:
      T1: {from: P1, to: P2, length: 400 mm}
      T2: {from: P2, to: P3, length: 300 mm}
      T3: {from: P4, to: P2, length: 200 mm}
    connectors:
      X1: {place: P1, face: [[1..4]], view: wire side}
      X4: {place: P4, face: [[1..4]], view: wire side}
    splices:
      S1: {at: 150 mm from P1 toward P2, join: J7}
      S2: {place: P2}
      S3: {at: 60 mm from P2 toward P4, method: solder}
      S4: {members: [unknown]}
"""


def random_tree(segments: int, seed: int, longest: int = 900) -> str:
    """A bundle in which each segment hangs on a random earlier point, with a splice on every fourth."""
    random = Random(seed)
    tree = [(random.randrange(n + 1), n + 1, random.randrange(60, longest)) for n in range(segments)]
    lines = ["segments:", *(f"  T{b}: {{from: N{a}, to: N{b}, length: {mm} mm}}" for a, b, mm in tree)]
    lines += ["connectors:", *(f"  X{b}: {{place: N{b}, face: [[1, 2]], view: wire side}}" for _, b, _ in tree)]
    lines += ["splices:", *(f"  S{b}: {{at: {random.randrange(40, mm - 10)} mm from N{a} toward N{b}, members: [unknown]}}" for a, b, mm in tree[::4])]
    return "\n".join(lines) + "\n"


def scale_of(page: Drawing) -> int | None:
    """The scale as it is printed."""
    return next((int(text.split(": ")[1]) for text in texts(page) if text.startswith("1 : ")), None)


def marks(page: Drawing, prefix: str) -> dict[str, list[tuple[float, float]]]:
    """Where the circles are that stand for something (points are open, splices filled)."""
    found: dict[str, list[tuple[float, float]]] = {}
    for mark in page.marks:
        if isinstance(mark, Circle) and mark.tag.startswith(prefix) and (mark.fill == "#000000") == (prefix == "splice:"):
            found.setdefault(mark.tag.removeprefix(prefix), []).append((mark.cx, mark.cy))
    return found


def left_out(pages: tuple[Drawing, ...]) -> int:
    """How many segments the sheet says that it leaves out."""
    found = re.search(r"Each segment with a splice is drawn by itself; (\d+) without one (is|are) left out\.", " ".join(texts(pages[0])))
    return int(found[1]) if found else 0


def drawn_segments(context: Context, pages: tuple[Drawing, ...]) -> set[str]:
    """All segments; where the sheet leaves some out, those on which a splice sits: then it has said how many the others are."""
    segments = set(context.harness.segments)
    if not left_out(pages):
        return segments
    spliced = {station.segment for station in context.geometry.stations.values() if station.segment}
    assert left_out(pages) == len(segments - spliced)
    return spliced


def assert_to_scale(context: Context, pages: tuple[Drawing, ...]) -> int:
    """Every splice lies as far from an end of its segment as the model says, and every segment is as long; gives the splices measured."""
    lengths: dict[str, float] = {}
    measured = 0
    for page in pages:
        scale = scale_of(page)
        points = marks(page, "point:")
        for name, [(x, y)] in marks(page, "splice:").items():
            station = context.geometry.stations[name]
            measured += 1
            if station.segment is None:
                assert min(hypot(x - px, y - py) for px, py in points[station.from_point]) < 0.1
                continue
            segment = context.harness.segments[station.segment]
            from_ends = ((segment.from_, station.offset_mm), (segment.to, segment.length_mm - station.offset_mm))
            off = [abs(hypot(x - px, y - py) - mm / scale) for end, mm in from_ends for px, py in points.get(end, ())]
            assert min(off) < 0.1, (name, off)
        for mark in page.marks:
            if isinstance(mark, Line) and mark.tag.startswith("segment:"):
                name = mark.tag.removeprefix("segment:")
                lengths[name] = lengths.get(name, 0.0) + scale * hypot(mark.x2 - mark.x1, mark.y2 - mark.y1)
    expected = drawn_segments(context, pages)
    assert set(lengths) == expected
    for segment in context.harness.segments.values():
        if segment.length_mm is not None and segment.id in expected:
            assert abs(lengths[segment.id] - segment.length_mm) < 0.1 * scale_of(pages[0]), segment.id
    return measured


def assert_complete(context: Context, pages: tuple[Drawing, ...]) -> None:
    """Every point and every connector on the bundle is named, with the sheet of the connector."""
    said = {text for page in pages for text in texts(page)}
    assert not any("no room" in text for text in said)
    ends = {point for id in drawn_segments(context, pages) for point in (context.harness.segments[id].from_, context.harness.segments[id].to)}
    for name in ends if left_out(pages) else context.harness.points:
        assert name in said, name
    for connector in context.harness.connectors.values():
        if connector.place and (connector.place in ends or not left_out(pages)):
            assert f"{connector.id} → {context.sheet_of[connector.id].number}" in said


def test_a_small_bundle() -> None:
    context = context_of(SMALL)
    pages = draw_splice_places(context, REF)
    assert len(pages) == 2
    assert assert_to_scale(context, pages) == 3
    assert_complete(context, pages)
    sheet = context.sheet_of["S1"]
    said = texts(pages[0])
    for words in ("1 : 5", "200 mm", f"S1, join J7 → {sheet.number}", "150 mm from P1", f"S2 → {sheet.number}", "at P2", "60 mm from P2"):
        assert words in said, words
    assert "Not drawn, no place on the bundle known: S4." in " ".join(said)
    assert sheet.name in [mark.target for mark in pages[0].marks if isinstance(mark, Link)]
    for page in pages:
        assert_tidy(page)


def test_the_list_of_all_splices() -> None:
    page = draw_splice_places(context_of(SMALL), REF)[1]
    said = texts(page)
    assert "150 mm from P1 toward P2" in said and "at P2" in said and "solder" in said and said.count("no") == 1
    # Place of S4; method of S1, S2 and S4.
    assert len([mark for mark in page.marks if isinstance(mark, Rect) and mark.tag == "to fill"]) == 4


def test_only_what_is_not_drawn_is_marked() -> None:
    whole = SMALL.replace("      S4: {members: [unknown]}\n", "")
    assert "Drawn here" not in texts(draw_splice_places(context_of(whole), REF)[1])
    said = texts(draw_splice_places(context_of(SMALL), REF)[1])
    assert "Drawn here" in said and "yes" not in said
    assert "Join" in said and "Join" not in texts(draw_splice_places(context_of(SMALL.replace(", join: J7", "")), REF)[1])


def points_of(pages: tuple[Drawing, ...]) -> list[str]:
    """The first column of the tables of points over all pages."""
    found = []
    for page in pages:
        written = [mark for mark in page.marks if isinstance(mark, Text) and mark.tag == "table"]
        heads = [mark for mark in written if mark.text == "Point"]
        found += [mark.text for mark in written for head in heads if mark.y > head.y and abs(mark.x - head.x) < 0.01]
    return found


def test_what_the_points_are_called() -> None:
    titled = SMALL + "    places:\n      P1: {title: left inner wing, zone: engine}\n      P4: {title: radiator panel}\n"
    pages = draw_splice_places(context_of(titled), REF)
    assert len(pages) == 2
    assert points_of(pages) == ["P1", "P4"]
    assert row_of(pages[1], "left inner wing") == ["P1", "left inner wing", "engine"]
    assert "Point" not in texts(draw_splice_places(context_of(SMALL), REF)[1])
    # The map keeps its short labels.
    assert "150 mm from P1" in texts(pages[0])
    assert "150 mm from P1 (left inner wing) toward P2" in texts(pages[1])


@pytest.mark.parametrize("count", [1, 15, *range(20, 34), 80])
def test_the_points_go_on_where_the_page_is_full(count: int) -> None:
    splices = "\n".join(f"  S{n}: {{members: [unknown]}}" for n in range(count))
    places = "\n".join(f"  N{n}: {{title: point number {n}}}" for n in range(12))
    pages = draw_splice_places(context_of(f"places:\n{places}\nsplices:\n{splices}\n"), REF)
    assert points_of(pages) == [f"N{n}" for n in range(12)]
    for number, page in enumerate(pages, start=1):
        assert_tidy(page)
        assert f"{number} of {len(pages)}" in texts(page)


def test_without_segments() -> None:
    pages = draw_splice_places(context_of("splices:\n  S1: {at: 80 mm from A toward B, members: [unknown]}\n  S2: {place: wing, members: [unknown]}\n"), REF)
    assert len(pages) == 1 and scale_of(pages[0]) is None
    said = texts(pages[0])
    assert "The description has no segments: there is no bundle to draw to scale." in said
    assert "at wing" in said and "S1" in said
    assert_tidy(pages[0])


def test_cautions_stand_over_the_list() -> None:
    text = SMALL + """    cavities:
      X4.1: {signal: brake-switch}
    wires:
      1: {from: X4.1, to: S3}
"""
    page = draw_splice_places(context_of(text), REF)[-1]
    assert any(text.startswith("Brake circuit:") for text in texts(page))
    assert_tidy(page)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_linnet(paper: str) -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"), paper=paper)
    pages = draw_splice_places(context, REF)
    assert assert_to_scale(context, pages) == len(context.harness.splices)
    assert_complete(context, pages)
    for page in pages:
        assert_tidy(page)
    if paper == "a4":
        assert len(pages) <= 3


@pytest.mark.parametrize(("segments", "seed"), [(1, 0), (5, 1), (20, 2), (60, 3), (60, 4)])
def test_random_bundles(segments: int, seed: int) -> None:
    context = context_of(random_tree(segments, seed))
    pages = draw_splice_places(context, REF)
    assert assert_to_scale(context, pages) == len(context.harness.splices)
    assert_complete(context, pages)
    for page in pages:
        assert_tidy(page)


VAN = Path(__file__).parents[2] / "examples" / "heron" / "heron.yaml"


def test_a_long_van_takes_few_pages_and_says_what_is_left_out() -> None:
    """Splices sit on 11 of its 43 segments, counted in the file; drawn whole it took 12 pages."""
    context = context_of(VAN.read_text(encoding="utf-8"))
    pages = draw_splice_places(context, REF)
    assert left_out(pages) == 32
    assert assert_to_scale(context, pages) == len(context.harness.splices)
    said = {text for page in pages for text in texts(page)}
    assert {point for id in drawn_segments(context, pages) for point in (context.harness.segments[id].from_, context.harness.segments[id].to)} <= said and not any("no room" in text for text in said)
    assert len([page for page in pages if scale_of(page)]) <= 3
    for page in pages:
        assert_tidy(page)


@pytest.mark.parametrize("place", ["N1", "N39"])
def test_of_a_splice_at_a_point_where_no_other_sits_a_segment_is_drawn(place: str) -> None:
    """A chain of 200 long segments, one splice on the first, and one at a point."""
    segments = "\n".join(f"  T{n}: {{from: N{n}, to: N{n + 1}, length: 9 m}}" for n in range(200))
    context = context_of(f"segments:\n{segments}\nsplices:\n  S1: {{at: 300 mm from N0 toward N1, members: [unknown]}}\n  S2: {{place: {place}, members: [unknown]}}\n")
    pages = draw_splice_places(context, REF)
    drawn = {mark.tag for page in pages for mark in page.marks if isinstance(mark, Line) and mark.tag.startswith("segment:")}
    assert drawn == {"segment:T0"} | ({"segment:T38"} if place == "N39" else set())
    assert left_out(pages) == 200 - len(drawn)
    (at,) = {name: at for page in pages for name, at in marks(page, "splice:").items()}["S2"]
    assert at


def test_a_trunk_longer_than_the_page_goes_on_at_a_letter() -> None:
    context = context_of("""
        segments:
          T1: {from: A, to: B, length: 9000 mm}
          T2: {from: B, to: C, length: 120 mm}
          T3: {from: B, to: D, length: 60 mm}
        splices:
          S1: {at: 40 mm from B toward C, members: [unknown]}
          S2: {at: 90 mm from B toward C, members: [unknown]}
    """)
    pages = draw_splice_places(context, REF)
    rings = [mark.text for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag == "cut"]
    assert rings and all(rings.count(letter) == 2 for letter in rings)
    assert "The same letter twice: the bundle continues there" in " ".join(texts(pages[0]))
    assert assert_to_scale(context, pages) == 2


def test_a_segment_of_unknown_length_is_dashed_and_said_to_be() -> None:
    page = draw_splice_places(context_of("segments:\n  T1: {from: A, to: B}\n  T2: {from: B, to: C, length: 90 mm}\nsplices:\n  S1: {place: B, members: [unknown]}\n"), REF)[0]
    dashed = [mark.tag for mark in page.marks if isinstance(mark, Line) and mark.dash]
    assert dashed == ["segment:T1"]
    assert "Dashed bundle: length not known, not to scale." in " ".join(texts(page))


def test_a_loop_and_a_second_bundle_are_drawn_whole() -> None:
    context = context_of("""
        segments:
          T1: {from: A, to: B, length: 200 mm}
          T2: {from: B, to: C, length: 150 mm}
          T3: {from: C, to: A, length: 100 mm}
          T4: {from: Q, to: R, length: 100 mm}
        splices:
          S1: {at: 50 mm from C toward A, members: [unknown]}
    """)
    trees = bundle_trees(context.harness, context.geometry)
    assert len(trees) == 2
    assert ("A", 1) in trees[0].children
    pages = draw_splice_places(context, REF)
    assert assert_to_scale(context, pages) == 1
    assert texts(pages[0]).count("A") == 2
    assert_tidy(pages[0])


def test_many_splices_at_one_point_and_long_names() -> None:
    name = "-".join(["identifier"] * 5)
    splices = "\n".join(f"  S{n}{name}: {{place: P{name}, members: [unknown]}}" for n in range(6))
    context = context_of(f"segments:\n  T1: {{from: P{name}, to: Q{name}, length: 300 mm}}\nconnectors:\n"
                         + "\n".join(f"  X{n}{name}: {{place: Q{name}}}" for n in range(9)) + f"\nsplices:\n{splices}\n", paper="a5", units="in")
    pages = draw_splice_places(context, REF)
    assert "and 6 more" in texts(pages[0])
    for page in pages:
        assert_tidy(page)


def test_the_same_bytes_twice() -> None:
    text = random_tree(30, 7)
    assert draw_splice_places(context_of(text), REF) == draw_splice_places(context_of(text), REF)


def directions(pages: tuple[Drawing, ...]) -> dict[str, list[tuple[int, int]]]:
    """Segment -> page and direction in degrees of each of its runs."""
    found: dict[str, list[tuple[int, int]]] = {}
    for number, page in enumerate(pages):
        for mark in page.marks:
            if isinstance(mark, Line) and mark.tag.startswith("segment:"):
                found.setdefault(mark.tag, []).append((number, round(degrees(atan2(mark.y2 - mark.y1, mark.x2 - mark.x1)))))
    return found


@pytest.mark.parametrize(("segment", "old", "new"), [
    ("T13: {from: P7, to: starter,        length: ", 210, 290), ("T14: {from: P7, to: gearbox,        length: ", 160, 260), ("T30: {from: P6,         to: throttle,      length: ", 180, 240),
    ("T42: {from: P9,               to: cluster,    length: ", 180, 330), ("T6:  {from: P4, to: engine box,  length: ", 180, 340), ("T19: {from: P8, to: oil gallery,    length: ", 130, 220),
])
def test_a_segment_measured_anew_leaves_the_others_where_they_were(segment: str, old: int, new: int) -> None:
    text = LINNET.read_text(encoding="utf-8")
    assert f"{segment}{old} mm" in text
    before, after = (draw_splice_places(context_of(one), REF) for one in (text, text.replace(f"{segment}{old} mm", f"{segment}{new} mm")))
    assert scale_of(before[0]) == scale_of(after[0])
    assert directions(before) == directions(after)


def test_branches_that_hang_on_a_node_stand_in_the_order_of_the_file() -> None:
    for lengths in ((100, 150, 200), (200, 150, 100), (150, 200, 100)):
        a, b, c = lengths
        context = context_of(f"segments:\n  T1: {{from: P, to: Q, length: 900 mm}}\n  T2: {{from: Q, to: R, length: 900 mm}}\n  T3: {{from: Q, to: A, length: {a} mm}}\n"
                             f"  T4: {{from: Q, to: B, length: {b} mm}}\n  T5: {{from: Q, to: C, length: {c} mm}}\n")
        tree, = bundle_trees(context.harness, context.geometry)
        assert [step.edge.segment for step in tree.children[("Q", 0)]][1:] == ["T3", "T4", "T5"]
        assert [step.count for step in tree.children[tree.root]] == [5]
