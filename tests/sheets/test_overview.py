"""The overview tells the truth: links and counts are rebuilt from the lines and the raw description, and nothing overlaps."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace

import pytest

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.record import Drawing, Line, Polyline, Rect, Text
from harnessdoc.model.harness import Harness
from harnessdoc.overview.blocks import FOLDS, Overview, overview_of, pairs_of
from harnessdoc.overview.columns import columns_of
from harnessdoc.overview.dot import NoEngine, dot_text
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.sheets.overview import laid_overview
from harnessdoc.steps import load
from tests.examples.raw import MERGES, NAMES, main_file
from tests.sheets.checks import assert_tidy

networkx = pytest.importorskip("networkx")
NEAR = 0.3
"""Graphviz ends a line within this of the edge of its block, in mm."""


@dataclass(frozen=True)
class Drawn:
    harness: Harness
    overview: Overview
    """What the pages show: the fold that was taken, told by what hangs at grounds and at systems."""
    pages: tuple[Drawing, ...]


@pytest.fixture(scope="module", params=(*NAMES, *MERGES))
def drawn(request):
    version = load(main_file(request.param), sweep=False).version
    context = make_context(version, Options())
    ref = next(ref for ref in context.sheets if ref.kind is SheetKind.OVERVIEW)
    return Drawn(version.harness, overview_of(version.harness, laid_overview(context)[0]), draw_sheet(context, ref).pages)


def links_of(page) -> Counter:
    """(first words of the two blocks) -> number beside the line that joins them, read off the picture."""
    blocks = [mark for mark in page.marks if isinstance(mark, Rect) and abs(mark.width - 0.35) < 1e-6]
    words = [mark for mark in page.marks if isinstance(mark, Text)]
    lines = [mark for mark in page.marks if isinstance(mark, Polyline) and not mark.closed and abs(mark.width - 0.5) < 1e-6]
    numbers = [word for word in words if word.anchor == "middle" and word.text.isdigit() and word.height == 2.5]

    def block_at(point):
        met = [block for block in blocks if block.x - NEAR <= point[0] <= block.x + block.w + NEAR and block.y - NEAR <= point[1] <= block.y + block.h + NEAR]
        assert len(met) == 1, f"a line ends at {point}, at {len(met)} blocks"
        inside = [word for word in words if met[0].x < word.x < met[0].x + met[0].w and met[0].y < word.y < met[0].y + met[0].h and word.weight == "bold"]
        return min(inside, key=lambda word: (word.y, word.x)).text

    found: Counter = Counter()
    for line in lines:
        ends = tuple(sorted((block_at(line.points[0]), block_at(line.points[-1]))))
        near = min(numbers, key=lambda word: min(_far((word.x, word.y - 1.25), a, b) for a, b in zip(line.points, line.points[1:], strict=False)))
        found[ends] += int(near.text)
    return found


def _far(p, a, b):
    (px, py), (ax, ay), (bx, by) = p, a, b
    long = (bx - ax) ** 2 + (by - ay) ** 2
    t = max(0.0, min(1.0, ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / long)) if long else 0.0
    return ((px - ax - t * (bx - ax)) ** 2 + (py - ay - t * (by - ay)) ** 2) ** 0.5


def head_of(block) -> str:
    """What stands first in a block, in bold letters."""
    return block.system or ("grounds" if block.within else block.members[0])


def said(overview) -> Counter:
    return Counter({tuple(sorted(head_of(overview.blocks[end]) for end in (link.upper, link.lower))): len(link.wires) for link in overview.links})


def test_the_lines_join_the_blocks_that_wires_join(drawn):
    assert sum((links_of(page) for page in drawn.pages), Counter()) == said(drawn.overview)


def inside_of(page) -> dict[str, tuple[list[str], int, int, tuple[str, ...]]]:
    """Head of a block -> its ids, wires within, wires to grounds, those grounds; read off the picture."""
    words = [mark for mark in page.marks if isinstance(mark, Text)]
    found = {}
    for block in (mark for mark in page.marks if isinstance(mark, Rect) and abs(mark.width - 0.35) < 1e-6):
        inside = sorted((word for word in words if block.x < word.start()[0] < block.x + block.w and block.y < word.y < block.y + block.h), key=lambda word: (round(word.y, 1), word.start()[0]))
        bold = [word.text for word in inside if word.weight == "bold"]
        within = next((int(word.text.split()[0]) for word in inside if word.anchor == "end" and word.text.endswith(" within")), 0)
        told = " ".join(word.text for word in inside if word.tag.startswith("grounds:"))
        # an id with a slash may be parted behind it
        match = re.fullmatch(r"(\d+) to (.+)", told.replace("/ ", "/"))
        headed = any(isinstance(mark, Line) and abs(mark.width - 0.25) < 1e-6 and abs(mark.x1 - block.x) < 1e-6 and mark.x2 == block.x + block.w and block.y < mark.y1 < block.y + block.h for mark in page.marks)
        found[bold[0]] = (bold[1:] if headed else bold, within, int(match[1]) if match else 0, tuple(match[2].split(", ")) if match else ())
    return found


def test_every_block_names_its_things_the_wires_within_and_those_to_grounds(drawn):
    shown = {}
    for page in drawn.pages:
        shown |= inside_of(page)
    assert shown == {head_of(block): (list(block.members), len(block.within), len(block.grounded), block.grounds) for block in drawn.overview.blocks.values()}


def test_what_a_block_counts_is_what_the_raw_wires_do(drawn):
    """Within: both ends at things of the block, splices taken together; grounded: one end at the block and one at a ground it names."""
    harness, near = drawn.harness, spliced_ends(drawn.harness)
    for block in drawn.overview.blocks.values():
        for wires, far in ((block.within, set(block.members)), (block.grounded, set(block.grounds))):
            for id in wires:
                ends = [{owner(harness, end)} if end not in near else {owner(harness, far) for far in near[end] if far in harness.contacts} for end in (harness.wires[id].from_, harness.wires[id].to)]
                assert (ends[0] & set(block.members) and ends[1] & far) or (ends[1] & set(block.members) and ends[0] & far), (block.id, id)


def test_one_page_holds_a_harness_and_two_a_merge(drawn):
    """The words are as large as everywhere, and all lines and numbers are clear of each other."""
    assert len(drawn.pages) == (2 if len(drawn.harness.wires) > 200 else 1)
    assert all(mark.height >= 2.5 for page in drawn.pages for mark in page.marks if isinstance(mark, Text) and mark.tag.startswith(("block:", "link:", "grounds:")))


def test_no_line_runs_through_a_block(drawn):
    for page in drawn.pages:
        blocks = [mark for mark in page.marks if isinstance(mark, Rect) and abs(mark.width - 0.35) < 1e-6]
        for line in (mark for mark in page.marks if isinstance(mark, Polyline) and not mark.closed and abs(mark.width - 0.5) < 1e-6):
            for a, b in zip(line.points, line.points[1:], strict=False):
                for share in range(1, 40):
                    x, y = a[0] + (b[0] - a[0]) * share / 40, a[1] + (b[1] - a[1]) * share / 40
                    assert not any(block.x + 0.2 < x < block.x + block.w - 0.2 and block.y + 0.2 < y < block.y + block.h - 0.2 for block in blocks), (line.tag, x, y)


def test_a_line_that_ends_at_another_block_and_a_wrong_number_are_seen(drawn):
    page = max(drawn.pages, key=lambda one: len(one.marks))
    line = next(mark for mark in page.marks if isinstance(mark, Polyline) and not mark.closed and abs(mark.width - 0.5) < 1e-6)
    number = next(mark for mark in page.marks if isinstance(mark, Text) and mark.anchor == "middle" and mark.text.isdigit() and mark.height == 2.5)
    read = links_of(page)
    for other in (mark for mark in page.marks if isinstance(mark, Rect) and abs(mark.width - 0.35) < 1e-6):
        if not any(other.x - 1 <= x <= other.x + other.w + 1 and other.y - 1 <= y <= other.y + other.h + 1 for x, y in (line.points[0], line.points[-1])):
            moved = replace(line, points=(*line.points[:-1], (other.x, other.y + 0.1)))
            assert links_of(replace(page, marks=tuple(moved if mark is line else mark for mark in page.marks))) != read
            break
    wrong = replace(number, text=str(int(number.text) + 1))
    assert links_of(replace(page, marks=tuple(wrong if mark is number else mark for mark in page.marks))) != read


def spliced_ends(harness) -> dict[str, set[str]]:
    """Splice -> all that its copper joins, splices that wires tie taken together; by networkx from the raw wire list."""
    graph = networkx.MultiGraph()
    for wire in harness.wires.values():
        graph.add_edge(wire.from_, wire.to, key=wire.id)
    spliced = graph.subgraph(set(harness.splices) & set(graph))
    return {splice: {end for one in part for end in graph[one]} - set(part) for part in networkx.connected_components(spliced) for splice in part}


def owner(harness, address) -> str:
    """The thing of a contact: its box, its device, of mated halves the one that comes first."""
    contact = harness.contacts[address]
    part, connector = harness.parts.get(contact.owner), harness.connectors.get(contact.owner)
    if part:
        return part.box or part.id
    return (connector.device or connector.id) if connector else contact.owner


@pytest.mark.outside("networkx: what the raw wire list joins, splices taken together")
@pytest.mark.parametrize("fold", FOLDS)
def test_every_wire_is_counted_once_between_things_that_its_copper_joins(drawn, fold):
    harness = drawn.harness
    near = spliced_ends(harness)
    overview = overview_of(harness, fold)
    counted = [wire for link in overview.links for wire in link.wires] + [wire for block in overview.blocks.values() for wire in (*block.within, *block.grounded)]
    assert len(counted) == len(set(counted)) and set(counted) == set(pairs_of(harness))
    of = {member: id for id, block in overview.blocks.items() for member in block.members}

    def block(address):
        return of.get(owner(harness, address))

    for link in overview.links:
        for id in link.wires:
            wire = harness.wires[id]
            ends = [{block(wire.from_)} if wire.from_ not in near else {block(far) for far in near[wire.from_] if far in harness.contacts},
                    {block(wire.to)} if wire.to not in near else {block(far) for far in near[wire.to] if far in harness.contacts}]
            assert (link.upper in ends[0] and link.lower in ends[1]) or (link.upper in ends[1] and link.lower in ends[0]), (id, link.upper, link.lower)


def test_nothing_overlaps(drawn):
    for page in drawn.pages:
        assert_tidy(page)


def test_the_same_harness_gives_the_same_graph_and_the_same_columns():
    harness = load(main_file("linnet")).version.harness
    overview = overview_of(harness)
    sizes = {id: (30.0, 6.0) for id in overview.blocks}
    heights = dict.fromkeys(overview.blocks, 8.0)
    columns = columns_of(overview, heights, 5, 100.0)
    assert columns == columns_of(overview, heights, 5, 100.0)
    assert all(sum(8.0 for id in columns if columns[id] == column) <= 100.0 for column in range(5))
    assert columns_of(overview, heights, 1, 100.0) is None
    assert dot_text(overview, sizes, {id: id for id in overview.blocks}) == dot_text(overview, sizes, {id: id for id in overview.blocks})


def test_without_the_engine_the_page_names_its_package(monkeypatch):
    context = make_context(load(main_file("linnet")).version, Options())
    ref = next(ref for ref in context.sheets if ref.kind is SheetKind.OVERVIEW)

    def absent(*_):
        raise NoEngine

    monkeypatch.setattr("harnessdoc.sheets.overview.place", absent)
    (page,) = draw_sheet(context, ref).pages
    assert any("pygraphviz" in mark.text for mark in page.marks if isinstance(mark, Text))


def test_a_block_higher_than_the_page_counts_what_finds_no_room():
    lines = ["title: many", "colours: IEC 60757", "devices:"] + [f"  E{n}: {{title: lamp {n}, connectors: [X{n}]}}" for n in range(1, 31)]
    lines += ["  U1: {title: unit, connectors: [X99]}", "connectors:"] + [f"  X{n}: {{face: [[1, 2]], view: wire side}}" for n in range(1, 31)]
    lines += ["  X99: {face: [[1..40]], view: wire side}", "circuits:", "  lights: {system: lights}", "wires:"]
    lines += [f"  {n}: {{from: X99.{n}, to: X{n}.1, size: 1 mm2, colour: BN, circuit: lights}}" for n in range(1, 31)]
    loaded = load("t.yaml", {"t.yaml": "\n".join(lines) + "\n"}, sweep=False)
    assert not loaded.has_errors, loaded.findings
    for paper in ("a4", "a5"):
        context = make_context(loaded.version, Options(paper=paper))
        ref = next(ref for ref in context.sheets if ref.kind is SheetKind.OVERVIEW)
        pages = draw_sheet(context, ref).pages
        for page in pages:
            assert_tidy(page)
        said = [mark.text for page in pages for mark in page.marks if isinstance(mark, Text)]
        named = {text for text in said if re.fullmatch(r"E\d+", text)}
        assert len(named) + sum(int(text.split()[1]) for text in said if re.fullmatch(r"and \d+ more", text)) == 30


PLANT = """
title: plant
colours: IEC 60757
places: {P1: {title: seat}, P2: {title: nose}}
segments:
  T1: {from: P1, to: P2, length: 1 m}
devices:
  A1: {title: battery, place: P1, terminals: ["1", "2"]}
  A2: {title: key switch, place: P2, terminals: ["1", "2"]}
  A3: {title: left lamp, place: P2, terminals: ["1", "2"]}
  A4: {title: right lamp, place: P2, terminals: ["1", "2"]}
  A5: {title: tail lamp, place: P1, terminals: ["1", "2"]}
boxes:
  B1: {title: fuse box, place: P1}
fuses:
  F1: {box: B1, rating: 15 A}
  F2: {box: B1, rating: 15 A}
  F3: {box: B1, rating: 15 A}
  F4: {box: B1, rating: 15 A}
grounds:
  G1: {title: left frame under the driver seat, place: P1}
circuits:
  supply: {system: supply}
  lamps: {system: lamps}
wires:
  1: {from: A1.1, to: F1.1, size: 1 mm2, circuit: supply}
  2: {from: A1.2, to: G1, size: 1 mm2, circuit: supply}
  3: {from: A2.1, to: F1.2, size: 1 mm2, circuit: supply}
  4: {from: A2.2, to: F2.1, size: 1 mm2, circuit: supply}
  5: {from: A3.1, to: F2.2, size: 1 mm2, circuit: lamps}
  6: {from: A3.2, to: G1, size: 1 mm2, circuit: lamps}
  7: {from: A4.1, to: F3.2, size: 1 mm2, circuit: lamps}
  8: {from: A4.2, to: G1, size: 1 mm2, circuit: lamps}
  9: {from: A5.1, to: F4.2, size: 1 mm2, circuit: lamps}
  10: {from: A5.2, to: G1, size: 1 mm2, circuit: lamps}
"""


def test_where_all_fits_only_things_of_one_place_and_system_tied_alike_share_a_block():
    """All of A1 to A5 hang at B1; A2 at no ground, A1 in another system, A5 in another place."""
    loaded = load("t.yaml", {"t.yaml": PLANT}, sweep=False)
    assert not loaded.has_errors, loaded.findings
    context = make_context(loaded.version, Options())
    page, = draw_sheet(context, next(ref for ref in context.sheets if ref.kind is SheetKind.OVERVIEW)).pages
    assert sorted(ids for ids, *_ in inside_of(page).values()) == [["A1"], ["A2"], ["A3", "A4"], ["A5"], ["B1"], ["G1"]]
    said = [mark.text for mark in page.marks if isinstance(mark, Text)]
    assert any("of one place and system, tied to the same things" in text for text in said)
    assert "left frame under the driver seat" in said
    assert links_of(page) == {("A1", "B1"): 1, ("A1", "G1"): 1, ("A2", "B1"): 2, ("A3", "B1"): 2, ("A3", "G1"): 2, ("A5", "B1"): 1, ("A5", "G1"): 1}


def test_two_numbers_are_apart_so_that_they_are_not_read_as_one(drawn):
    for page in drawn.pages:
        numbers = [mark for mark in page.marks if isinstance(mark, Text) and mark.tag.startswith("link:")]
        for count, one in enumerate(numbers):
            for other in numbers[:count]:
                across = abs(one.x - other.x) - (text_width(one.text, one.height) + text_width(other.text, other.height)) / 2
                assert across >= 1.99 or abs(one.y - other.y) - one.height >= 1.99, (one, other)


def test_wires_that_join_no_two_things_leave_a_page_that_says_so():
    text = "title: t\nconnectors:\n  X1: {face: [[1, 2, 3, 4]], view: wire side}\nwires:\n  1: {from: X1.1, to: X1.2}\n  2: {from: X1.3, to: X1.4}\n"
    context = make_context(load("t.yaml", {"t.yaml": text}).version, Options())
    ref = next(ref for ref in context.sheets if ref.kind is SheetKind.OVERVIEW)
    page, = draw_sheet(context, ref).pages
    assert any(mark.text == "No wire joins two things." for mark in page.marks if isinstance(mark, Text))
