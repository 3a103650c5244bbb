"""Circuit diagrams as sheets: what they say of each other is true, and what a reader must know stands on them."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.drawing.page import zone_of
from harnessdoc.drawing.record import Drawing, Text, bounds
from harnessdoc.sheets.cautions import CAUTIONS
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.steps import load

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
NOTE = re.compile(r"(?:to|from|and|rest) (?:sheet (\d+)(?: p\. (\d+))?|page (\d+)), ([A-Z]\d+)")


@cache
def drawn(name: str, **options: str) -> dict[tuple[int, int], Drawing]:
    """(sheet, page) -> the page, of all circuit diagrams."""
    context = make_context(load(EXAMPLES / name / f"{name}.yaml").version, Options(**options))
    found = {}
    for ref in context.sheets:
        if ref.kind is SheetKind.CIRCUIT:
            found.update({(ref.number, page): drawing for page, drawing in enumerate(draw_sheet(context, ref).pages, start=1)})
    return found


def texts(drawing: Drawing) -> list[Text]:
    return [mark for mark in drawing.marks if isinstance(mark, Text)]


def notes(pages: dict[tuple[int, int], Drawing]):
    """(thing, sheet, page, field) of every word of a bar that says where it continues: the bold text left of it on its line is the thing."""
    for (sheet, page), drawing in pages.items():
        for text in texts(drawing):
            found = NOTE.findall(text.text) if not text.text.startswith("rest") and text.tag.startswith("node:joint:") else []
            for to_sheet, to_page, own_page, field in found:
                yield text.tag.removeprefix("node:joint:"), (int(to_sheet or sheet), int(own_page or to_page or 1)), field


@pytest.mark.parametrize("name", ["linnet", "heron"])
def test_what_continues_elsewhere_is_there(name):
    """On the page that is named the thing's number stands, bold, in the field that is named, or begins in its neighbour: a bar may be wide."""
    pages = drawn(name)
    told = list(notes(pages))
    assert len(told) > 5
    for thing, at, field in told:
        there = [bounds(mark) for mark in texts(pages[at]) if mark.text == thing and mark.weight == "bold"]
        lines = [bounds(mark) for mark in pages[at].marks if mark.tag == f"node:joint:{thing}"]
        fields = {zone_of(pages[at].width_mm, pages[at].height_mm, x, (box[1] + box[3]) / 2) for box in lines for x in (box[0], box[2])}
        assert there and field in fields, (thing, at, field, fields)


def test_every_wire_of_the_model_is_printed_on_a_diagram():
    wires = load(EXAMPLES / "heron" / "heron.yaml").harness.wires
    printed = {mark.text for drawing in drawn("heron").values() for mark in texts(drawing) if mark.tag.startswith("label:")}
    assert set(wires) <= printed


@pytest.mark.parametrize("name", ["linnet", "heron"])
def test_every_page_says_how_it_is_read(name):
    for drawing in drawn(name).values():
        said = " ".join(mark.text for mark in texts(drawing) if mark.tag == "foot")
        assert "Switches and relays at rest, key off." in said and "without a dot" in said and "Broken edge" in said


def test_cautions_stand_where_such_circuits_are():
    pages = drawn("linnet")
    has = {at: [mark.text for mark in texts(drawing) if mark.tag == "caution"] for at, drawing in pages.items()}
    starter = [at for at, drawing in pages.items() if any(mark.text.startswith("M1.50") for mark in texts(drawing))]
    assert starter and all(CAUTIONS["starter"] in has[at] for at in starter)
    assert [] in has.values()


def test_feeds_say_when_they_are_hot():
    said = {mark.tag: mark.text for drawing in drawn("linnet").values() for mark in texts(drawing) if mark.tag.startswith("node:joint:B") and " hot " in mark.text}
    assert "hot at all times" in said["node:joint:B1.30"] and "hot in run and start" in said["node:joint:B1.87"] and "hot in run and start" in said["node:joint:B2.15"]


def test_a_fuse_that_other_systems_share_says_so():
    brakes = next(drawing for drawing in drawn("linnet").values() if any(mark.text == "S2" for mark in texts(drawing)))
    foot = " ".join(mark.text for mark in texts(brakes) if mark.tag == "foot")
    assert re.search(r"F21 also feeds air conditioning \(sheet \d+\) and instruments \(sheet \d+\)", foot)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_leaves_the_area_of_the_page(paper):
    for at, drawing in drawn("linnet", paper=paper).items():
        frame = next(mark for mark in drawing.marks if mark.tag == "frame")
        for mark in drawing.marks:
            if mark.tag.startswith(("node:", "wire:", "label:", "foot", "caution")):
                left, top, right, bottom = bounds(mark)
                assert frame.x < left and right < frame.x + frame.w and frame.y < top and bottom < frame.y + frame.h, (at, mark)


def test_the_same_input_gives_the_same_pages():
    drawn.cache_clear()
    first = drawn("linnet")
    drawn.cache_clear()
    assert drawn("linnet") == first


def test_a_changed_wire_has_its_cloud_and_others_none():
    from dataclasses import replace

    from harnessdoc.sheets.context import Since
    from harnessdoc.steps import compare

    text = (EXAMPLES / "linnet" / "linnet.yaml").read_text(encoding="utf-8")
    changed = text.replace("205: {from: E1.16, to: K4.85, size: 0.5 mm2,  colour: L-G", "205: {from: E1.16, to: K4.85, size: 0.75 mm2,  colour: L-R")
    assert changed != text
    old, new = (load("linnet.yaml", {"linnet.yaml": one}) for one in (text, changed))
    context = replace(make_context(new.version, Options()), since=Since(make_context(old.version, Options()), compare(old, new), "C"))
    ref = next(ref for ref in context.sheets if ref.name == "circuit-air-conditioning")
    drawing, = draw_sheet(context, ref).pages
    clouds = [bounds(mark) for mark in drawing.marks if mark.tag == "cloud"]
    label = next((mark.x, mark.y - mark.height, mark.x, mark.y) for mark in texts(drawing) if mark.text == "205")
    other = next(bounds(mark) for mark in texts(drawing) if mark.text == "274")
    left, top, right, bottom = (min(box[0] for box in clouds), min(box[1] for box in clouds), max(box[2] for box in clouds), max(box[3] for box in clouds))
    assert left < label[0] and top < label[1] and label[2] < right and label[3] < bottom
    assert not (left < other[0] < right and top < other[1] < bottom)
