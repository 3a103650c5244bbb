"""Flags of findings on circuit diagrams: at every wire, part, contact and splice on the page that a finding lies at, over nothing, moving nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from diagram.printed import overlaps
from diagram.reader import nets, read_page

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.drawing.flag_notes import number_drawn
from harnessdoc.drawing.record import Drawing, Mark, Polyline, Text, bounds
from harnessdoc.findings import Finding, Place, Severity
from harnessdoc.sheets.circuit_flags import FARTHEST
from harnessdoc.sheets.context import Context, Options, SheetKind
from harnessdoc.sheets.flags import numbers_at
from harnessdoc.steps import load

TEXT = """
title: Loom
supply: 12 V
devices:
  G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V}}
  H1: {title: lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}
fuses: {F1: {rating: 5 A, type: blade}}
splices: {S1: {}}
grounds: {GB1: {title: wing, metal: body}}
circuits: {c: {system: lamp}}
wires:
  1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, circuit: c}
  2: {from: F1.2, to: S1, size: 1 mm2, colour: RD, circuit: c}
  3: {from: S1, to: H1.1, size: 1 mm2, colour: RD, circuit: c}
  4: {from: H1.2, to: GB1, size: 1 mm2, colour: BN, circuit: c}
  5: {from: GB1, to: G1.-, size: 1 mm2, colour: BN, circuit: c}
"""
AT = ("wire 2", "F1", "S1", "H1.2", "GB1", "wire 99")
"""What the findings lie at, one each; the last is on no page."""


@pytest.fixture(scope="module")
def context() -> Context:
    found = make_context(load("loom.yaml", {"loom.yaml": TEXT}).version, Options())
    findings = tuple(Finding(f"made-{number}", Severity.ADVICE, f"something is wrong with {name}", Place("loom.yaml", number, 1), at=(name,)) for number, name in enumerate(AT, start=1))
    return replace(found, findings=findings, numbers_at=numbers_at(findings))


def page_of(context: Context) -> Drawing:
    page, = draw_sheet(context, next(ref for ref in context.sheets if ref.kind is SheetKind.CIRCUIT)).pages
    return page


def hexagons(page: Drawing, below: bool) -> dict[int, Polyline]:
    """Number -> its flag on the diagram, or that before its words beside the title block."""
    words = [mark.y for mark in page.marks if mark.tag == "finding words"]
    top = min(words, default=page.height_mm) - 4.0
    return {number: mark for mark in page.marks if isinstance(mark, Polyline) and (number := number_drawn(mark.tag)) is not None and (bounds(mark)[1] > top) is below}


def apart(one: Mark, two: Mark) -> float:
    (a, b, c, d), (e, f, g, h) = bounds(one), bounds(two)
    return max(a - g, e - c, b - h, f - d, 0.0)


def test_a_flag_stands_by_each_thing_of_the_page_that_a_finding_lies_at(context):
    page = page_of(context)
    flags = hexagons(page, below=False)
    assert sorted(flags) == [1, 2, 3, 4, 5]
    marks = {1: "label:2", 2: "node:node:F1", 3: "node:joint:S1", 4: "node:node:H1", 5: "node:ground:GB1:4"}
    for number, tag in marks.items():
        assert min(apart(flags[number], mark) for mark in page.marks if mark.tag == tag) <= FARTHEST, tag


def test_flags_lie_over_nothing_and_change_nothing_that_is_read(context):
    page, plain = page_of(context), page_of(replace(context, numbers_at={}))
    assert not hexagons(plain, below=False)
    assert overlaps(page) == []
    assert not read_page(page).faults and nets([read_page(page)]) == nets([read_page(plain)])
    drawn = [mark for mark in page.marks if number_drawn(mark.tag) is None and mark.tag != "finding words"]
    assert drawn == list(plain.marks)


def test_what_the_findings_of_the_page_say_stands_beside_the_title_block(context):
    page = page_of(context)
    said = [mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "finding words"]
    assert said == [f"something is wrong with {name}" for name in AT[:-1]]
    assert sorted(hexagons(page, below=True)) == [1, 2, 3, 4, 5]


def test_a_flag_that_finds_no_room_is_among_the_words_alone(context):
    """Forty findings at one wire: their flags in a row are wider than the page."""
    findings = tuple(Finding(f"made-{number:02}", Severity.ADVICE, "something", Place("loom.yaml", number, 1), at=("wire 2",)) for number in range(1, 41))
    page = page_of(replace(context, findings=findings, numbers_at=numbers_at(findings)))
    assert not hexagons(page, below=False) and hexagons(page, below=True)
    assert overlaps(page) == []


def said_on(page: Drawing) -> list[str]:
    return [mark.text for mark in page.marks if mark.tag == "finding words"]


def test_words_are_whole_where_there_is_room_and_else_name_the_sheet_that_has_them_whole(context: Context) -> None:
    long = "the fuse lets through more than the thinnest wire behind it can carry for as long as it likes, and the insulation goes soft where the loom is tight around the bracket"
    findings = tuple(replace(found, message=f"{found.message}: {long}") for found in context.findings)
    alone = said_on(page_of(replace(context, findings=findings[:1], numbers_at=numbers_at(findings[:1]))))
    assert " ".join(alone) == findings[0].message and len(alone) > 2
    sheet = next(ref.number for ref in context.sheets if ref.kind is SheetKind.FINDINGS)
    crowded = said_on(page_of(replace(context, findings=findings, numbers_at=numbers_at(findings))))
    assert [line.endswith(f" → {sheet}") for line in crowded] == [False, True] * (len(crowded) // 2) and crowded


@pytest.mark.parametrize("state", ["", "off, stopped"])
def test_every_flag_has_its_words_or_is_named_with_the_sheet_that_has_them(context: Context, state: str) -> None:
    """Eight findings of more words than there is height for, and with a state beside its own words, too."""
    findings = tuple(Finding(f"made-{number}", Severity.ADVICE, "something is wrong that takes more words than there is room for " * 2, Place("loom.yaml", number, 1), at=("wire 2",)) for number in range(1, 9))
    chosen = load("loom.yaml", {"loom.yaml": TEXT}).operation.solved[state] if state else None
    page = page_of(replace(context, findings=findings, numbers_at=numbers_at(findings), options=Options(state=chosen)))
    rest, = [mark.text for mark in page.marks if mark.tag == "finding rest"]
    numbers, _, where = rest.partition(": ")
    assert sorted([*hexagons(page, below=True), *map(int, numbers.removeprefix("Findings ").split(", "))] if said_on(page) else map(int, numbers.removeprefix("Findings ").split(", "))) == list(range(1, 9))
    assert where == f"see sheet {next(ref.number for ref in context.sheets if ref.kind is SheetKind.FINDINGS)}" and overlaps(page) == []


def test_paper_with_no_room_beside_the_title_block_says_the_sheet_of_its_flags(context: Context) -> None:
    small = replace(make_context(load("loom.yaml", {"loom.yaml": TEXT}).version, Options(paper="a5")), findings=context.findings, numbers_at=context.numbers_at)
    foot = " ".join(mark.text for mark in page_of(small).marks if mark.tag == "foot")
    assert f"Number in a hexagon: finding of sheet {next(ref.number for ref in small.sheets if ref.kind is SheetKind.FINDINGS)}." in foot
