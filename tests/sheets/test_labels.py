"""The label sheet."""

from __future__ import annotations

from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.drawing.record import Rect
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.labels import draw_labels

HARNESS = """
    colours: IEC 60757
    wire-type: PVC 85 C
    connectors:
      X1: {face: [[1..4]], view: mating face}
      X2: {face: [[1..4]], view: mating face}
    splices:
      S1: {join: J7}
    wires:
      w1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
      w2: {from: X1.2, to: S1, size: 1 mm2, colour: YE/BK}
      w3: {from: X1.3, to: unknown}
      w4: {from: X1.4, to: open, size: 1 mm2, colour: RD}
"""


def test_text_for_both_ends_differs_in_to_alone() -> None:
    context = context_of(HARNESS)
    page, = draw_labels(context, ref_of(context, SheetKind.LABELS))
    row = row_of(page, "w1")
    assert row[:6] == ["w1", "X1.1", "w1 | 1 mm² RD | to X2.1", "X2.1", "w1 | 1 mm² RD | to X1.1", "2"]
    assert float(row[6]) > 1
    assert_tidy(page)


def test_diameters_in_the_readers_unit() -> None:
    over = []
    for units, head in (("mm", "Over, mm"), ("in", "Over, in")):
        context = context_of(HARNESS, units=units)
        page, = draw_labels(context, ref_of(context, SheetKind.LABELS))
        assert head in texts(page)
        over.append(float(row_of(page, "w1")[6]))
    assert abs(over[0] / 25.4 - over[1]) < 0.01


def test_a_join_number_stands_first() -> None:
    context = context_of(HARNESS)
    page, = draw_labels(context, ref_of(context, SheetKind.LABELS))
    assert "J7 | w2 | 1 mm² YE/BK | to S1" in row_of(page, "w2")


def test_an_open_end_has_no_label_and_an_unknown_one_a_box() -> None:
    context = context_of(HARNESS)
    page, = draw_labels(context, ref_of(context, SheetKind.LABELS))
    assert row_of(page, "w4")[:4] == ["w4", "X1.4", "w4 | 1 mm² RD | open", "1"]
    tags = [mark.tag for mark in page.marks if isinstance(mark, Rect)]
    assert tags.count("far end") == 1 and tags.count("diameter") == 1 and tags.count("done") == 4


def test_no_wires_is_said() -> None:
    context = context_of("title: t")
    assert "No wires are described." in texts(draw_labels(context, ref_of(context, SheetKind.LABELS))[0])
