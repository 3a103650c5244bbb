"""The ground list."""

from __future__ import annotations

from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.drawing.record import Rect
from harnessdoc.sheets.cautions import CAUTIONS
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.grounds import draw_grounds

HARNESS = """
    colours: IEC 60757
    connectors:
      X1: {face: [[1..8]], view: mating face}
    grounds:
      G1: {title: left wing, place: wing, stud: M6, metal: body, terminal: eyelet M6}
      G2: {title: gearbox}
    cavities:
      X1.1: {signal: fuel-pump}
    splices:
      S1: {}
      S2: {}
    wires:
      1: {from: X1.1, to: G1, size: 2 mm2, colour: BK, circuit: pump}
      2: {from: G1, to: S1, size: 1 mm2, colour: BK/WH}
      3: {from: S1, to: X1.2}
      4: {from: S1, to: X1.3}
      5: {from: unknown, to: G1}
      6: {from: S2, to: G1}
      7: {from: S2, to: X1.4}
      8: {from: S2, to: X1.5}
      9: {from: S2, to: X1.6}
      10: {from: S2, to: X1.7}
"""


def test_ground_and_wires_with_far_ends() -> None:
    context = context_of(HARNESS)
    page, = draw_grounds(context, ref_of(context, SheetKind.GROUNDS))
    assert row_of(page, "G1") == ["G1", "left wing", "wing", "M6", "body", "4"]
    assert row_of(page, "1") == ["1", "2 mm²", "BK", "X1.1 → 7", "pump", "eyelet M6"]
    assert row_of(page, "2")[:5] == ["2", "1 mm²", "BK/WH", "X1.2 → 7", "S1 → 9"]
    assert "X1.3 → 7" in texts(page)
    assert "S2 (4 ends) → 9" in texts(page)
    assert "no wire described" in texts(page)
    assert_tidy(page)


def test_a_place_says_what_it_is_called() -> None:
    context = context_of(HARNESS + """
    places:
      wing: {title: behind the headlamp}
""")
    page, = draw_grounds(context, ref_of(context, SheetKind.GROUNDS))
    assert "wing, behind the headlamp" in " ".join(texts(page))


def test_room_to_write_and_unknowns_as_boxes() -> None:
    context = context_of(HARNESS)
    page, = draw_grounds(context, ref_of(context, SheetKind.GROUNDS))
    boxes = [mark.tag for mark in page.marks if isinstance(mark, Rect)]
    assert boxes.count("measured drop") == boxes.count("date") == 2
    assert boxes.count("stud") == boxes.count("metal") == boxes.count("place") == 1
    assert boxes.count("unknown:far end") == 1


def test_the_caution_of_what_the_grounds_carry_stands_first() -> None:
    context = context_of(HARNESS)
    page, = draw_grounds(context, ref_of(context, SheetKind.GROUNDS))
    caution = " ".join(mark.text for mark in page.marks if mark.tag == "caution")
    assert caution == CAUTIONS["fuel"]
