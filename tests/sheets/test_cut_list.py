"""The cut list."""

from __future__ import annotations

from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.drawing.record import Drawing, Rect, Text
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.cut_list import draw_cut_list

HARNESS = """
    colours: IEC 60757
    wire-type: PVC 85 C
    allowances: {end: 50 mm, splice: 10 mm, rounding: {step: 50 mm, above: 2000 mm, step-above: 100 mm}}
    segments:
      T1: {from: P1, to: P2, length: 400 mm}
      T2: {from: P2, to: P3, length: 200 mm}
    connectors:
      X1: {place: P1, face: [[1..8]], view: mating face, terminal: pin 1.5, seal: seal A}
      X2: {place: P2, face: [[1..4]], view: mating face}
      X3: {place: P3, face: [[1..4]], view: mating face}
    boxes:
      B1: {place: P1}
    fuses:
      F1: {box: B1}
      F2: {box: B1}
    pairs:
      PR1: {lay: 20 mm}
    cables:
      C1: {part: two cores, shield: foil}
    wires:
      1: {from: X1.1, to: X2.1, size: 2 mm2, colour: RD, circuit: pump}
      2: {from: X1.2, to: X3.1, size: 2 mm2, colour: RD}
      3: {from: X1.3, to: X3.2, size: 1 mm2, colour: GN, pair: PR1}
      4: {from: X1.4, to: X3.3, size: 1 mm2, colour: YE, pair: PR1}
      5: {from: X1.5, to: unknown, size: 1 mm2, colour: YE}
      6: {from: X1.6, to: X2.2, size: 2 mm2, colour: RD, length: 540 mm}
      7: {from: X1.7, to: X3.4, size: 0.5 mm2, colour: WH, cable: C1}
      8: {from: X1.8, to: X2.4, size: 0.5 mm2, colour: BU, cable: C1}
      9: {from: F1.2, to: F2.1, size: 1 mm2, colour: BK}
"""


def pages_of(text: str = HARNESS, **options: str) -> tuple[Drawing, ...]:
    context = context_of(text, **options)
    return draw_cut_list(context, ref_of(context, SheetKind.CUT_LIST))


def all_texts(**options: str) -> list[str]:
    return [text for page in pages_of(**options) for text in texts(page)]


def test_both_lengths_side_by_side_and_end_a_over_end_b() -> None:
    page = pages_of()[0]
    # 400 mm + two ends of 50 mm = 500 mm, a multiple of 50 mm
    assert row_of(page, "1") == ["1", "RD", "500 mm", "500 mm", "A", "X1.1", "pin 1.5", "seal A", "5 mm", "1 | 2 mm² RD | to X2.1"]
    assert row_of(page, "pump") == ["pump", "B", "X2.1", "5 mm", "1 | 2 mm² RD | to X1.1"]


def test_spools_of_one_size_are_headed_by_their_total_and_the_longest_comes_first() -> None:
    found = all_texts()
    # 700 + 550 + 500 mm: 600 mm of route and 100 mm of ends; 540 mm measured, rounded up; 500 mm
    band = found.index("2 mm², PVC 85 C: 3 wires, 1.75 m")
    wires = [found.index(wire, band) for wire in ("2", "6", "1")]
    assert wires == sorted(wires)
    # 750 mm of each of two colours, twisted; one of them without a far end
    assert any(text.startswith("1 mm², PVC 85 C: 3 wires in 2 colours, ") and text.endswith(", 1 of them without a length") for text in found)


def test_a_measured_length_shows_by_how_much_it_differs() -> None:
    found = all_texts()
    assert "540 mm" in found and "+40 mm" in found
    assert found.count("+40 mm") == 1


def test_members_of_a_pair_stand_together_with_their_lay() -> None:
    found = all_texts()
    assert found.count("PR1 with 4") == found.count("PR1 with 3") == 1 and found.count("lay 20 mm") == 2
    page = next(page for page in pages_of() if "PR1 with 4" in texts(page))
    rows = sorted({round(mark.y, 2) for mark in page.marks if isinstance(mark, Text) and mark.text.startswith("PR1")})
    between = [mark.text for mark in page.marks if isinstance(mark, Text) and rows[0] < round(mark.y, 2) < rows[1] and mark.weight == "bold"]
    assert between == []


def test_a_partner_of_another_size_says_of_which() -> None:
    thicker = HARNESS.replace("4: {from: X1.4, to: X3.3, size: 1 mm2", "4: {from: X1.4, to: X3.3, size: 2 mm2")
    found = [text for page in pages_of(thicker) for text in texts(page)]
    assert sum(text in ("of 1 mm², PVC 85 C", "of 2 mm², PVC 85 C") for text in found) == 1
    assert not any(text.startswith("of 1 mm²") or text.startswith("of 2 mm²") for text in all_texts())


def test_a_cable_is_cut_once_with_its_cores_beneath() -> None:
    found = all_texts()
    heading = found.index("Cables, each cut once; its cores beneath it")
    assert found.index("C1", heading) < found.index("7", heading) < found.index("8", heading)
    assert found.count("in C1") == 2
    assert "two cores, shield: foil" in found


def test_an_unknown_length_is_a_box_and_every_wire_has_one_to_tick() -> None:
    boxes = [mark.tag for page in pages_of() for mark in page.marks if isinstance(mark, Rect)]
    assert boxes.count("length") == 2        # cut and finished of wire 5
    assert boxes.count("far end") == 1
    assert boxes.count("done") == 9          # wires 1 to 8 and the cable


def test_a_link_inside_a_box_is_not_cut_but_named() -> None:
    assert "Not to cut: links inside one box (9)." in all_texts()


BUNDLE = """
    allowances: {end: 0 mm}
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: tape, grommet: 12 mm}
      T2: {from: P2, to: P3}
    connectors:
      X1: {place: P1, face: [[1..2]], view: mating face}
      X2: {place: P2, face: [[1..2]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 2 mm2, diameter: 3.1 mm}
      2: {from: X1.2, to: X2.2}
"""


def test_the_bundle_segment_by_segment() -> None:
    page = pages_of(BUNDLE)[-1]
    # one wire of 3.1 mm, rounded up to half a millimetre, and one whose size nobody knows
    assert row_of(page, "T1") == ["T1", "P1 to P2", "400 mm", "2", "3.5 mm", "1", "tape", "12 mm"]
    assert row_of(page, "T2") == ["T2", "P2 to P3", "0"]


def test_lengths_in_inches() -> None:
    found = all_texts(units="in")
    assert "19.7 in" in found
    assert "2 mm², PVC 85 C: 3 wires, 5.7 ft" in found      # 1.75 m
    assert not any(text.endswith(" m") for text in found)


def test_on_a_narrow_page_nothing_is_lost_and_no_word_is_broken() -> None:
    found = all_texts(paper="a5")
    assert {"pin 1.5", "seal A", "500 mm", "PR1 with 4", "lay 20 mm", "pump", "+40 mm", "1 | 2 mm² RD |", "to X2.1", "in C1"} <= set(found)
    boxes = [mark.tag for page in pages_of(paper="a5") for mark in page.marks if isinstance(mark, Rect)]
    assert boxes.count("length") == 2 and boxes.count("done") == 9


def test_pages_are_landscape_and_tidy_on_every_paper() -> None:
    for paper in ("a4", "letter", "a5"):
        for page in pages_of(paper=paper):
            assert page.width_mm > page.height_mm
            assert_tidy(page)


def test_nothing_to_cut_is_said() -> None:
    assert "No wire to cut is described." in texts(pages_of("title: t")[0])
