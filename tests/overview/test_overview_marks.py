"""The overview shows what changed since the version before: clouds round what is new or counted otherwise, words for what it was and what is gone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sheets.checks import assert_tidy, texts
from sheets.marked_contexts import edited
from sheets.revision_reader import clouded, clouds, triangles
from tests.examples.raw import main_file

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.sheets.context import Options, SheetKind, Since
from harnessdoc.steps import compare, load

LETTER = "C"
SMALL = """
title: small
colours: IEC 60757
devices:
  M1: {title: pump, connectors: [X1]}
  M2: {title: fan, connectors: [X2]}
  S1: {title: switch, connectors: [X3]}
  S2: {title: thermoswitch, connectors: [X4]}
connectors:
  X1: {face: [[1, 2, 3]], view: wire side}
  X2: {face: [[1, 2, 3]], view: wire side}
  X3: {face: [[1, 2, 3, 4]], view: wire side}
  X4: {face: [[1, 2]], view: wire side}
grounds:
  G1: {title: left wing}
  G2: {title: right wing}
wires:
  1: {from: S1.1, to: M1.1, size: 1 mm2, colour: BN}
  2: {from: X4.1, to: M2.1, size: 1 mm2, colour: BU}
  3: {from: M1.2, to: G1, size: 1 mm2, colour: BK}
  4: {from: M2.2, to: G2, size: 1 mm2, colour: BK}
""".replace("S1.", "X3.").replace("M1.", "X1.").replace("M2.", "X2.")


def marked(old: str, new: str):
    """The pages of the new version with the changes since the old one, and the names of what is on them."""
    versions = [load("t.yaml", {"t.yaml": text}, sweep=False) for text in (old, new)]
    assert not any(one.has_errors for one in versions), [one.findings for one in versions]
    before, now = (one.version for one in versions)
    context = replace(make_context(now, Options()), since=Since(make_context(before, Options()), compare(*versions), LETTER))
    ref = next(ref for ref in context.sheets if ref.kind is SheetKind.OVERVIEW)
    pages = draw_sheet(context, ref).pages
    for page in pages:
        assert_tidy(page)
    return pages


def words_of(pages) -> list[str]:
    return [one for page in pages for one in " ".join(mark.text for mark in page.marks if getattr(mark, "tag", "") == "changes").split("; ") if one]


def test_nothing_is_marked_where_nothing_changed():
    page, = marked(SMALL, SMALL)
    assert not clouds(page) and not triangles(page) and not words_of([page])


def test_an_own_number_or_the_order_of_wires_is_no_change():
    page, = marked(SMALL, edited(SMALL, ("from: X3.1, to: X1.1", "from: X1.1, to: X3.1"), ("1 mm2, colour: BU", "2.5 mm2, colour: RD")))
    assert not clouds(page) and not words_of([page])


def test_a_link_with_more_wires_has_its_number_in_a_cloud():
    page, = marked(SMALL, edited(SMALL, ("  2: {", "  5: {from: X3.3, to: X1.3, size: 1 mm2, colour: RD}\n  2: {")))
    assert words_of([page]) == ["M1 to S1: 2 wires, was 1"]
    assert clouded(page) == {"2"} and len(clouds(page)) == 1 and {letter for *_, letter in triangles(page)} == {LETTER}


def test_a_new_thing_has_its_block_in_a_cloud():
    new = edited(SMALL, ("  S1: {", "  M3: {title: horn, connectors: [X5]}\n  S1: {"), ("  X3: {", "  X5: {face: [[1, 2]], view: wire side}\n  X3: {"),
                 ("  2: {", "  5: {from: X3.3, to: X5.1, size: 1 mm2, colour: RD}\n  2: {"))
    page, = marked(SMALL, new)
    assert set(words_of([page])) == {"M3 new", "M3 to S1: 1 wire, new"}
    assert {"M3", "horn", "1"} <= clouded(page) and not {"M2", "fan", "S1"} & clouded(page)
    # and the other way round it is gone
    page, = marked(new, SMALL)
    assert words_of([page]) == ["M3 gone"] and not clouds(page)


def test_another_name_another_ground_and_a_link_that_is_gone():
    new = edited(SMALL, ("title: fan", "title: cooling fan"), ("from: X1.2, to: G1", "from: X1.2, to: G2"), ("from: X4.1, to: X2.1", "from: X1.3, to: X2.1"))
    page, = marked(SMALL, new)
    words = set(words_of([page]))
    assert {"M2 was fan", "M1 to G2: 1 wire, new", "M1 to M2: 1 wire, new", "M1 to G1: no wire, was 1", "M2 to S2: no wire, was 1"} == words
    assert "cooling fan" in clouded(page)


@pytest.mark.parametrize("name", ["linnet", "heron"])
def test_changes_of_a_harness_whose_grounds_are_told_in_its_blocks(name):
    text = open(main_file(name), encoding="utf-8").read()
    old, new = {"linnet": ("title: radiator fan,", "title: big fan,"), "heron": ("title: wiper motor", "title: big motor")}[name]
    page, = marked(text, edited(text, (old, new)))
    assert any(word.endswith(f"was {old.removeprefix('title: ').rstrip(',')}") for word in words_of([page]))
    assert len(clouds(page)) == 1 and any(text.startswith("big") for text in clouded(page))


def test_wires_to_another_ground_cloud_the_blocks_that_tell_them():
    text = open(main_file("heron"), encoding="utf-8").read()
    wire = "127: {from: SP20,   to: GH4,"
    page, = marked(text, edited(text, (wire, wire.replace("GH4", "GH7"))))
    # the splice joins the horn with the lamps of the left corner
    assert {"lights to GH7: 4 wires, were 2", "horn to GH7: 1 wire, new", "B3 to GH4: no wire, was 1"} <= set(words_of([page]))
    assert len(clouds(page)) == 2 and {"lights", "horn"} <= clouded(page) and "wiper" not in clouded(page)


def test_each_link_is_told_once_where_a_wire_goes_to_another_ground():
    """Two things of one block, one of which goes elsewhere: apart now, and no pair of things is told twice."""
    old = edited(SMALL, ("from: X4.1, to: X2.1", "from: X3.2, to: X2.1"), ("from: X2.2, to: G2", "from: X2.2, to: G1"))
    page, = marked(old, edited(old, ("from: X2.2, to: G1", "from: X2.2, to: G2")))
    assert words_of([page]) == ["M2 to G2: 1 wire, new", "M2 to G1: no wire, was 1"]
    page, = marked(edited(old, ("from: X2.2, to: G1", "from: X2.2, to: G2")), old)
    assert words_of([page]) == ["M1, M2 to G1: 2 wires, was 1", "M2 to G2: no wire, was 1"]


def test_a_new_sheet_says_so():
    before = "title: small\nconnectors:\n  X1: {face: [[1, 2]], view: wire side}\n"
    page, = marked(before, SMALL)
    assert "New sheet" in texts(page)
