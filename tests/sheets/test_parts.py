"""The parts list."""

from __future__ import annotations

from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.list_cells import gathered
from harnessdoc.sheets.parts import draw_parts

HARNESS = """
    colours: IEC 60757
    wire-type: PVC 85 C
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: tape}
    connectors:
      X1: {place: P1, face: [[1..12]], view: mating face, terminal: pin 1.5}
      X2: {place: P2, face: [[1..12]], view: mating face, terminal: pin 1.5}
    splices:
      S1: {place: P1, method: crimp splice}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
      2: {from: X1.2, to: X2.2, size: 1 mm2, colour: RD}
      3: {from: X1.10, to: X2.9, size: 1 mm2, colour: RD}
      4: {from: X1.3, to: unknown, size: 1 mm2, colour: RD}
      5: {from: X1.4, to: S1, size: 1 mm2, colour: BU}
      6: {from: X2.4, to: S1, size: 1 mm2, colour: BU}
"""


def test_quantity_and_where_used() -> None:
    context = context_of(HARNESS)
    page, = draw_parts(context, ref_of(context, SheetKind.PARTS))
    assert row_of(page, "pin 1.5") == ["pin 1.5", "9", "X1: 1..4, 10; X2: 1, 2, 4, 9"]
    assert row_of(page, "tape") == ["tape", "0.40 m", "T1"]
    assert "+ 1 not known" in texts(page) and "(proposed)" in " ".join(texts(page))
    assert_tidy(page)


def test_lengths_in_feet_for_who_reads_inches() -> None:
    context = context_of(HARNESS, units="in")
    page, = draw_parts(context, ref_of(context, SheetKind.PARTS))
    assert row_of(page, "tape") == ["tape", "1.3 ft", "T1"]


def test_bands_by_kind_once_each() -> None:
    context = context_of(HARNESS)
    page, = draw_parts(context, ref_of(context, SheetKind.PARTS))
    assert [texts(page).count(kind) for kind in ("terminal", "wire", "covering")] == [1, 1, 1]


def test_addresses_are_gathered_by_owner_and_other_names_stay() -> None:
    harness = context_of(HARNESS).harness
    assert gathered(harness, ["X2.9", "S1", "X2.2", "T1", "X2.10"]) == "X2: 2, 9, 10; S1; T1"
    assert gathered(harness, []) == ""


def test_nothing_to_buy_is_said() -> None:
    context = context_of("title: t")
    assert "Nothing to buy is described." in texts(draw_parts(context, ref_of(context, SheetKind.PARTS))[0])
