"""The sheet of bundle cross-sections: to scale, every wire there with its number and colours, tidy on every paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import hypot
from pathlib import Path
from random import Random
from textwrap import dedent

import pytest
from sheets.checks import assert_tidy, inked_box, texts
from sheets.contexts import context_of, with_flags
from sheets.marked_contexts import all_of, edited, since_context
from sheets.revision_reader import clouded, struck, triangles

from harnessdoc.book.draw import make_context
from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.record import Circle, Drawing, Polyline, Text
from harnessdoc.geometry.passage import passages
from harnessdoc.sheets.context import Context, Options, SheetKind, SheetRef
from harnessdoc.sheets.cross_section import draw_cross_sections
from harnessdoc.sheets.flags import sheets_of_thing
from harnessdoc.steps import load
from harnessdoc.trade.colours import tint_srgb

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"
REF = SheetRef(41, "bundle-cross-sections", SheetKind.CROSS_SECTIONS, "what is in the grommets")
HARNESS = """
    colours: IEC 60757
    wire-type: PVC 85 C
    segments:
      T1: {from: P1, to: P2, length: 400 mm, grommet: 9 mm}
      T2: {from: P2, to: P3, length: 300 mm, grommet: 80 mm}
      T3: {from: P3, to: P4, length: 300 mm, grommet: 4.2 mm}
    connectors:
      X1: {place: P1, face: [[1..20]], view: wire side}
      X3: {place: P3, face: [[1..20]], view: wire side}
      X4: {place: P4, face: [[1..20]], view: wire side}
    splices:
      S1: {at: 150 mm from P1 toward P2}
    wires:
      1: {from: X1.1, to: S1, size: 1.5 mm2, colour: BN}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BN/WH}
      3: {from: S1, to: X3.1, size: 2.5 mm2, colour: RD/BK/YE}
      4: {from: X1.3, to: X3.3, size: 0.5 mm2, colour: GN}
      A: {from: X1.6, to: X3.6, size: 0.5 mm2, colour: VT}
      engine speed and more: {from: X1.4, to: X3.4, size: 0.5 mm2, colour: BU/YE}
      6: {from: X1.5, to: X3.5}
      71: {from: X3.11, to: X4.1, diameter: 2 mm, colour: DK GN}
      72: {from: X3.12, to: X4.2, diameter: 2 mm, colour: GN/YE}
      73: {from: X3.13, to: X4.3, diameter: 2 mm, colour: WH}
"""
papers = pytest.mark.parametrize("paper", PAPERS)


def linnet(**options: str) -> Context:
    return make_context(load(LINNET, solve=False).version, Options(**options))


def scales(page: Drawing) -> list[float]:
    """The scales as they are printed, in their order."""
    parts = [mark.text.split(" : ") for mark in page.marks if isinstance(mark, Text) and mark.tag == "scale"]
    return [float(over) / float(under) for over, under in parts]


def rims(page: Drawing) -> dict[str, tuple[float, float, float]]:
    """What a circle stands for -> its middle and its outer radius; of two circles of one wire the last."""
    found: dict[str, tuple[float, float, float]] = {}
    for mark in page.marks:
        if isinstance(mark, Circle) and mark.tag.startswith(("wire:", "cable:", "splice:")) and mark.fill is None:
            found[mark.tag] = mark.cx, mark.cy, mark.r + mark.width / 2
    return found


def in_circle(page: Drawing, tag: str) -> list[Text]:
    return [mark for mark in page.marks if isinstance(mark, Text) and mark.tag == tag]


def assert_to_scale(context: Context, pages: Sequence[Drawing], segment: str, section: int = 0) -> None:
    """The circles of a section lie as its packing says, at the scale printed over them, and the bore is as wide as it is."""
    passage = next(one for one in passages(context.harness, context.geometry) if one.segment == segment)
    packed = passage.sections[section]
    wanted = {f"{item.kind}:{item.id}": (item.diameter_mm, at) for item, at in zip(packed.section.items, packed.packing.centres)}
    page, = (page for page in pages if set(rims(page)) == set(wanted))
    scale, = scales(page)
    drawn = rims(page)
    for tag, (diameter, (x, y)) in wanted.items():
        assert drawn[tag][2] == pytest.approx(diameter / 2 * scale, abs=0.01)
        for other, (_, (ox, oy)) in wanted.items():
            assert hypot(drawn[tag][0] - drawn[other][0], drawn[tag][1] - drawn[other][1]) == pytest.approx(hypot(x - ox, y - oy) * scale, abs=0.01)
    bores = [mark for mark in page.marks if isinstance(mark, Circle) and mark.tag == "bore"]
    assert [bore.r for bore in bores] == pytest.approx([passage.bore_mm / 2 * scale])
    middle = bores[0].cx, bores[0].cy
    assert all(hypot(x - middle[0], y - middle[1]) + radius <= bores[0].r + 0.01 for x, y, radius in drawn.values())


@papers
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_sheets_are_tidy(paper: str, units: str) -> None:
    for context in (linnet(paper=paper, units=units), with_flags(context_of(HARNESS, paper=paper, units=units))):
        for page in draw_cross_sections(context, REF):
            assert_tidy(page)


def test_the_linnet_is_drawn_to_scale_on_one_page_with_the_whole_bore() -> None:
    context = linnet()
    assert_to_scale(context, draw_cross_sections(context, REF), "T4")


def test_every_wire_has_its_number_within_its_own_circle() -> None:
    context = linnet()
    page = draw_cross_sections(context, REF)[0]
    through = [item for one in passages(context.harness, context.geometry) for item in one.widest.section.items]
    assert len(rims(page)) == len(through) > 40
    for tag, (x, y, radius) in rims(page).items():
        number, *letters = in_circle(page, tag)
        assert number.text == tag.partition(":")[2]
        for text in (number, *letters):
            left, top, right, bottom = inked_box(text)
            assert max(hypot(px - x, py - y) for px in (left, right) for py in (top, bottom)) < radius * 0.8
    # and no two circles overlap: what is in one cannot lie over what is in another
    circles = list(rims(page).values())
    assert all(hypot(ax - bx, ay - by) >= ar + br - 0.01 for i, (ax, ay, ar) in enumerate(circles) for bx, by, br in circles[:i])


def test_base_colour_and_stripes_are_those_of_the_wire_and_numbers_stand_on_white() -> None:
    context = linnet()
    page = draw_cross_sections(context, REF)[0]
    striped = 0
    for tag in rims(page):
        kind, _, id = tag.partition(":")
        colour = (context.harness.wires if kind == "wire" else context.harness.cables)[id].colour
        inks = [mark.fill for mark in page.marks if isinstance(mark, Polyline) and mark.tag == tag]
        assert inks == [tint_srgb(colour.base), *([tint_srgb(stripe) for stripe in colour.stripes] * 2)]
        striped += bool(colour.stripes)
        assert [mark.fill for mark in page.marks if isinstance(mark, Circle) and mark.tag == tag] == ["#FFFFFF", None]
    assert striped > 30


def test_the_letters_of_every_colour_stand_in_the_key() -> None:
    context = linnet()
    said = [text for page in draw_cross_sections(context, REF) for text in texts(page)]
    for item in (item for one in passages(context.harness, context.geometry) for item in one.widest.section.items if item.kind == "wire"):
        assert context.colour(context.harness.wires[item.id].colour) in said and item.id in said


def test_the_table_says_diameters_bore_room_and_verdict() -> None:
    context = linnet()
    page = draw_cross_sections(context, REF)[0]
    one, = passages(context.harness, context.geometry)
    said = texts(page)
    for value in (context.mm(one.widest.packing.diameter), context.mm(one.widest.section.estimate_mm), "36 mm", context.mm(one.room_mm), f"{int(one.free_share * 100)} %", "goes through"):
        assert value in said


# --------------------------------------------------------------- what is not so simple

def test_a_bundle_that_is_too_thick_is_drawn_over_its_bore() -> None:
    context = context_of(HARNESS)
    pages = draw_cross_sections(context, REF)
    page, = (page for page in pages if "wire:71" in rims(page))
    bore = [point for mark in page.marks if isinstance(mark, Polyline) and mark.tag == "bore" for point in mark.points]
    xs = [x for x, _ in bore]
    three = rims(page)["wire:71"][2]
    assert max(xs) - min(xs) == pytest.approx(4.2 / 2.0 * 2 * three, rel=0.03)
    assert "too thick" in [text for page in pages for text in texts(page)]
    assert "−0.1 mm" in texts(pages[0])


def test_a_number_that_does_not_go_into_its_circle_is_a_letter_that_is_nobody_s_number() -> None:
    context = context_of(HARNESS)
    pages = draw_cross_sections(context, REF)
    numbers = {mark.text for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag == "wire:engine speed and more" and mark.weight == "bold"}
    assert numbers == {"B"}   # "A" is the number of another wire
    assert {mark.text for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag == "wire:A" and mark.weight == "bold"} == {"A"}
    # in the key the letter stands in the row of the wire
    lines = [(mark.text, mark.y) for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag == "table"]
    of_letter = [y for text, y in lines if text == "B"]
    assert of_letter and all(any(text.startswith("engine") and abs(y - at) < 6.0 for text, at in lines) for y in of_letter)


def test_of_a_bore_too_wide_for_the_page_the_foot_is_drawn_and_the_bundle_lies_in_it() -> None:
    context = context_of(HARNESS)
    page, = (page for page in draw_cross_sections(context, REF) if "Of the bore only" in " ".join(texts(page)))
    points = [mark.points for mark in page.marks if isinstance(mark, Polyline) and mark.tag == "bore" and len(mark.points) > 20]
    lowest = max(y for _, y in points[-1])
    feet = [y + radius for _, y, radius in rims(page).values()]
    assert max(feet) <= lowest + 0.3


def test_what_has_no_diameter_is_told_and_a_box_left_for_it() -> None:
    context = context_of(HARNESS)
    said = [text for page in draw_cross_sections(context, REF) for text in texts(page)]
    assert "T1: no diameter is known of wire 6; the bundle is thicker than shown." in said
    assert "not known" in said and "1 unknown" in said


def test_a_splice_has_a_picture_of_its_own_with_the_wires_beside_it() -> None:
    context = context_of(HARNESS)
    pages = draw_cross_sections(context, REF)
    passage = passages(context.harness, context.geometry)[0]
    assert [packed.section.splices for packed in passage.sections] == [(), ("S1",)]
    page = next(page for page in pages if "splice:S1" in rims(page))
    assert "wire:4" in rims(page) and in_circle(page, "splice:S1")[0].text == "S1"
    assert any(text.startswith("at splice S1, 150 mm from P1") for text in texts(page))


def test_in_a_merge_numbers_stand_without_their_source_unless_two_are_alike() -> None:
    source = "colours: IEC 60757\nconnectors:\n  X1: {place: P1}\n  X2: {place: P2}\nsegments:\n  T1: {from: P1, to: P2, length: 1 m}\nwires:\n"
    wires = "  WIRE: {from: X1.1, to: X2.1, diameter: 2 mm, colour: RD}\n  77: {from: X1.2, to: X2.2, diameter: 2 mm, colour: BU}\n"
    merge = """
        title: merged
        colours: IEC 60757
        sources: {host: {file: host.yaml, role: host}, donor: {file: donor.yaml, role: donor}}
        places: {host/P1: cab, donor/P1: cab, host/P2: engine, donor/P2: engine}
        segments: {M1: {from: cab, to: engine, length: 300 mm, grommet: 10 mm}}
        fates: [{fate: kept, pattern: "*"}]
    """
    loaded = load("merge.yaml", {"merge.yaml": dedent(merge), "host.yaml": source + wires.replace("WIRE", "4"), "donor.yaml": source + wires.replace("WIRE", "381")})
    assert loaded.geometry and loaded.geometry.bundles["M1"].wires == ("host/4", "host/77", "donor/381", "donor/77"), loaded.findings
    page, = draw_cross_sections(make_context(loaded.version, Options()), REF)
    assert {tag: in_circle(page, tag)[0].text for tag in rims(page)} == {"wire:host/4": "4", "wire:donor/381": "381", "wire:host/77": "host/77", "wire:donor/77": "donor/77"}
    assert {"host/4", "donor/381"} <= set(texts(page))
    assert "without the name of their source" in " ".join(texts(page))
    assert_tidy(page)


@pytest.mark.parametrize(("seed", "count"), [(1, 2), (2, 9), (3, 24), (4, 70), (5, 130)])
@papers
def test_any_bundle_is_tidy(paper: str, seed: int, count: int) -> None:
    random = Random(seed)
    tints = ["RD", "BK/WH", "GN/YE/RD", "BU", "LT BU/BN", "VT", "WH"]
    text = ("colours: IEC 60757\nsegments:\n  T1: {from: P1, to: P2, length: 300 mm, grommet: %d mm}\nconnectors:\n  X1: {place: P1}\n  X2: {place: P2}\nwires:\n"
            % random.choice([6, 25, 60, 150]))
    for number in range(1, count + 1):
        id = random.choice([str(number), f"engine_{number} fy", f"W{number}"])
        text += f"  {id}: {{from: X1.{number}, to: X2.{number}, diameter: {random.choice([1.3, 1.6, 2.1, 3.4, 8.2])} mm, colour: {random.choice(tints)}}}\n"
    for page in draw_cross_sections(context_of(text, paper=paper), REF):
        assert_tidy(page)


# ------------------------------------------------------------------- in the book, marked

def test_the_sheet_is_in_the_book_after_the_splice_places_where_a_wire_passes_a_grommet() -> None:
    kinds = [sheet.kind for sheet in linnet().sheets]
    assert kinds[kinds.index(SheetKind.SPLICE_PLACES) + 1] is SheetKind.CROSS_SECTIONS
    text = LINNET.read_text(encoding="utf-8")
    without = load("linnet.yaml", {"linnet.yaml": edited(text, (", grommet: 36 mm", ""))}, solve=False)
    assert SheetKind.CROSS_SECTIONS not in [sheet.kind for sheet in make_context(without.version, Options()).sheets]


def test_what_changed_is_marked_and_what_did_not_is_not() -> None:
    context = since_context(HARNESS, edited(HARNESS, ("grommet: 9 mm", "grommet: 10 mm"), ("size: 0.5 mm2, colour: GN}", "size: 0.5 mm2, colour: GN/BU}")))
    before = SheetRef(41, REF.name, REF.kind, REF.title)
    context = _listed(context, before)
    pages = draw_cross_sections(context, before)
    assert "10 mm" in all_of(pages, clouded) and "9 mm" in all_of(pages, struck)
    assert "GN/BU" in all_of(pages, clouded) and "GN" in all_of(pages, struck)
    for page in pages:
        assert_tidy(page)
    same = _listed(since_context(HARNESS, HARNESS), before)
    assert not any(triangles(page) for page in draw_cross_sections(same, before))


def _listed(context: Context, ref: SheetRef) -> Context:
    """Both versions with the sheet in their books, so that it is none that is new."""
    since = context.since
    assert since
    return replace(context, sheets=(*context.sheets, ref), since=replace(since, before=replace(since.before, sheets=(*since.before.sheets, ref))))


def test_the_finding_of_a_grommet_has_its_flag_here() -> None:
    context = with_flags(context_of(HARNESS))
    number, = context.numbers_at["segment T3"]
    page = draw_cross_sections(context, REF)[0]
    assert str(number) in texts(page)
    book = linnet()
    assert [sheet.kind for sheet in sheets_of_thing(book, "segment T4")] == [SheetKind.CROSS_SECTIONS, SheetKind.CUT_LIST]
    assert [sheet.kind for sheet in sheets_of_thing(book, "segment T5")] == [SheetKind.CUT_LIST]


def test_the_wires_of_a_pair_have_a_second_ring_and_the_key_names_it() -> None:
    paired = edited(HARNESS, ("colour: GN}", "colour: GN, pair: P9}"), ("colour: VT}", "colour: VT, pair: P9}"), ("    wires:", "    pairs:\n      P9: {title: bus}\n    wires:"))
    for text, is_paired in ((paired, True), (HARNESS, False)):
        pages = draw_cross_sections(context_of(text), REF)
        rings = [mark for page in pages for mark in page.marks if isinstance(mark, Circle) and mark.tag == "pair:P9"]
        said = " ".join(text for page in pages for text in texts(page))
        assert bool(rings) == is_paired and ("Two rings: of a twisted pair" in said) == is_paired and (" Pair " in said) == is_paired
        for page in pages:
            assert_tidy(page)
            wires = {(mark.cx, mark.cy) for mark in page.marks if isinstance(mark, Circle) and mark.tag in ("wire:4", "wire:A")}
            assert {(mark.cx, mark.cy) for mark in page.marks if isinstance(mark, Circle) and mark.tag == "pair:P9"} == (wires if is_paired else set())


def test_the_words_about_a_dashed_circle_stand_only_where_one_is_drawn() -> None:
    seen = set()
    for context in (linnet(), context_of(HARNESS)):
        for page in draw_cross_sections(context, REF):
            scale = sum(isinstance(mark, Text) and mark.tag == "scale" for mark in page.marks)
            dashed = any(mark.tag == "estimate" for mark in page.marks)
            words = " ".join(mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "note")
            if scale:
                assert ("Dashed" in words) == dashed
                seen.add(dashed)
    assert seen == {True, False}
