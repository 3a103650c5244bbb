"""The location list: a row for everything with a number, its place in words, zone, field of the layout, sheet and photo."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of
from sheets.marked_contexts import edited, since_context
from sheets.test_layout import EXAMPLES, book_context, rows_of

from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.record import Link, Rect, Text
from harnessdoc.sheets.context import SheetKind, SheetRef
from harnessdoc.sheets.layout import draw_layout
from harnessdoc.sheets.layout_tree import zone_of
from harnessdoc.sheets.layout_where import fields
from harnessdoc.sheets.locations import draw_locations

REF = SheetRef(41, "locations", SheetKind.LOCATIONS, "where everything is")
LAYOUT = SheetRef(40, "layout", SheetKind.LAYOUT, "the bundle")
TEXT = """
    places:
      P1: {title: behind the panel, zone: cabin}
    segments:
      T1: {from: P1, to: P2, length: 400 mm, zone: engine}
      T2: {from: P2, to: P3, length: 300 mm, zone: wet}
    devices:
      U1: {title: control unit, connectors: [X1], place: P1}
    connectors:
      X1: {title: plug of the unit, face: [[1..4]], view: wire side, photo: "17"}
      X2: {title: lost plug, face: [[1..4]], view: wire side}
    boxes:
      B1: {title: fuse box, place: P2, photo: "18"}
    splices:
      S1: {title: feed, at: 150 mm from P2 toward P3, members: [unknown]}
    grounds:
      G1: {title: wing, place: P3}
"""


def test_the_rows() -> None:
    page, = draw_locations(context_of(TEXT), REF)
    rows = {row[0]: row for row in rows_of(page)}
    assert [name for name in rows if name in ("Connectors", "Devices", "Boxes", "Splices", "Grounds")] == ["Connectors", "Devices", "Boxes", "Splices", "Grounds"]
    assert rows["X1"][:4] == ["X1", "plug of the unit", "P1, behind the panel", "cabin"] and rows["X1"][-1] == "17"
    assert rows["U1"][1:4] == ["control unit", "P1, behind the panel", "cabin"]
    assert rows["B1"][1:4] == ["fuse box", "P2", "engine, wet"] and rows["B1"][-1] == "18"
    assert rows["S1"][1:4] == ["feed", "150 mm from P2 toward P3", "wet"]
    assert rows["G1"][1:4] == ["wing", "P3", "wet"]
    # X2 has no place: a box to fill
    assert sum(isinstance(mark, Rect) and mark.tag == "place" for mark in page.marks) == 1
    assert_tidy(page)


@pytest.mark.outside("PyYAML: ids and titles as it reads them")
@pytest.mark.parametrize("name", ["linnet", "heron"])
def test_nothing_is_left_out_and_the_fields_are_those_of_the_layout(name: str) -> None:
    file: Path = EXAMPLES / name / f"{name}.yaml"
    context = book_context(file)
    pages = draw_locations(context, REF)
    rows = {row[0]: row for page in pages for row in rows_of(page) if len(row) > 2}
    raw = yaml.safe_load(file.read_text(encoding="utf-8"))
    found = fields(context)
    for kind in ("connectors", "devices", "boxes", "splices", "grounds"):
        for id, one in raw[kind].items():
            assert one["title"] in rows[str(id)] or one["title"].startswith(rows[str(id)][1][:12]), id
            assert (f"→ {found[str(id)]}" if str(id) in found else "not drawn") in rows[str(id)], id
    for connector in context.harness.connectors:
        assert f"→ {context.sheet_of[connector].number}" in rows[connector]
    assert context.sheet_of["X1"].name in {mark.target for page in pages for mark in page.marks if isinstance(mark, Link)}


@pytest.mark.parametrize("paper", PAPERS)
def test_tidy_on_every_paper(paper: str) -> None:
    context = context_of(TEXT, paper=paper)
    for page in draw_locations(context, REF):
        assert_tidy(page)


def test_without_segments_there_is_no_layout_to_point_to() -> None:
    page, = draw_locations(context_of("connectors:\n  X1: {title: plug, place: left wing, face: [[1, 2]], view: wire side}\n"), REF)
    assert "On the layout" not in texts(page) and "Photo" not in texts(page)
    assert row_of(page, "X1")[:3] == ["X1", "plug", "left wing"]


def test_a_thing_that_moved_is_clouded() -> None:
    context = since_context(TEXT, edited(TEXT, ("title: wing, place: P3", "title: wing, place: P2")))
    object.__setattr__(context.since.before, "sheets", (*context.since.before.sheets, REF))
    page, = draw_locations(context, REF)
    assert "P3" in [mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "struck"]
    assert any(mark.tag == "revision" for mark in page.marks)
    assert_tidy(page)


def test_a_device_without_a_place_stands_where_its_connector_does() -> None:
    page, = draw_locations(context_of(edited(TEXT, ("connectors: [X1], place: P1", "connectors: [X1]"), ("X1: {title: plug of the unit,", "X1: {title: plug of the unit, place: P3,"))), REF)
    rows = {row[0]: row for row in rows_of(page)}
    assert rows["U1"][1:4] == ["control unit", "P3", "wet"]


def test_a_segment_without_a_zone_has_that_of_its_two_ends_where_they_have_the_same() -> None:
    both = edited(TEXT, ("P1: {title: behind the panel, zone: cabin}", "P1: {zone: cabin}\n      P2: {zone: cabin}\n      P3: {zone: cabin}"), ("length: 300 mm, zone: wet", "length: 300 mm"))
    for text, zone in ((both, "cabin"), (both.replace("P3: {zone: cabin}", "P3: {zone: wet}"), "")):
        context = context_of(text)
        page, = draw_locations(context, REF)
        assert ("cabin" in next(row for row in rows_of(page) if row[0] == "S1")) == bool(zone)
        assert (zone_of(context.harness, context.harness.segments["T2"]) or "") == zone
        assert zone_of(context.harness, context.harness.segments["T1"]) == "engine"
        said = [text for one in draw_layout(context, LAYOUT) for text in texts(one)]
        assert ("zone not described" in said) == (not zone) and ("zone cabin" in said) == bool(zone)
