"""Pinout sheets: what stands in the row of each cavity, read from the marks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of
from sheets.pinout_rows import table_rows

from harnessdoc.drawing.record import Drawing, Line, Link, Rect, Text
from harnessdoc.drawing.table import HEAD
from harnessdoc.sheets.cautions import CAUTIONS
from harnessdoc.sheets.context import Context, SheetKind, SheetRef
from harnessdoc.sheets.face import LEGEND
from harnessdoc.sheets.pinout import UNPROBED, draw_pinout

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"

HARNESS = """
    title: Test harness
    colours: DIN 47002
    devices:
      U1: {title: control unit, connectors: [X1]}
    connectors:
      X1: {title: unit plug, half: socket, face: [[1..4], [5..12]], view: mating face, housing: black, terminal: receptacle 1.5, seal: seal 1.4, plug: plug 1.5, photo: x1.jpg}
      X2: {title: lamp, half: plug, face: [[A, B]], view: wire side}
      X3: {title: no face}
    cavities:
      X1.1: {function: main supply, signal: feed-switched, draws: 9 A}
      X1.2: {function: start relay, signal: output-low, limit: 1 A}
      X1.3: {crimp: double, note: looks hot}
      X1.10: {function: left over, signal: spare}
      X2.B: {function: sensor ground, signal: ground-sensor}
    splices:
      S1: {title: crowded}
      S2: {title: small, join: J7}
    wires:
      10: {from: X1.1, to: S1, size: 2.5 mm2, colour: sw/rt}
      11: {from: S1, to: X3.1, size: 1 mm2, colour: sw}
      12: {from: S1, to: X3.2, size: 1 mm2, colour: sw}
      13: {from: S1, to: X3.10, size: 1 mm2, colour: sw}
      14: {from: S1, to: X2.A, size: 1 mm2, colour: sw}
      20: {from: X1.2, to: S2, size: 18 AWG, colour: ge}
      21: {from: S2, to: X2.B, size: 18 AWG, colour: ge}
      22: {from: S2, to: X3.3, size: 18 AWG, colour: ge}
      30: {from: X1.3, to: X3.4, size: 0.75 mm2, colour: br, evidence: guess}
      31: {from: X1.3, to: X3.5, size: 0.5 mm2, colour: bl, pair: P1}
      40: {from: X1.4, to: unknown}
      41: {from: X1.5, to: open, size: 1 mm2, colour: gn}
    pairs:
      P1: {lay: 25 mm}
"""


def _pages(context: Context, *subjects: str) -> tuple[Drawing, ...]:
    ref = SheetRef(context.sheet_of[subjects[0]].number, "pinout", SheetKind.PINOUT, " and ".join(subjects), subjects)
    return draw_pinout(context, ref)


def _rows(context: Context, *subjects: str) -> dict[str, list[list[str]]]:
    pages = _pages(context, *subjects)
    return {row[0][0]: row for row in table_rows(pages, "Cavity")}


def test_the_row_of_a_cavity() -> None:
    rows = _rows(context_of(HARNESS), "X1")
    assert rows["1"] == [["1", "10", "2.5 mm²", "sw/rt", "S1 (4 ends) → 11", "main supply (draws 9 A)", "feed-switched", "supply", "receptacle 1.5", "seal 1.4"]]
    assert list(rows)[:5] == ["1", "2", "3", "4", "5"]


def test_far_ends_through_a_splice_each_with_its_sheet() -> None:
    row = _rows(context_of(HARNESS), "X1")["2"]
    assert row == [["2", "20", "18 AWG", "ge", "X2.B → 8", "S2 (join J7) → 11", "start relay (limit 1 A)", "output-low", "out", "receptacle 1.5", "seal 1.4"],
                   ["X3.3 → 9", "S2 (join J7) → 11"]]


def test_both_wires_of_a_double_crimp_stand_in_one_row() -> None:
    row = _rows(context_of(HARNESS), "X1")["3"]
    assert [line[:5] for line in row] == [["3", "30", "0.75 mm²", "br", "X3.4 → 9"], ["31", "0.5 mm²", "bl", "X3.5 → 9"]]


def test_far_ends_stand_beside_the_wire_that_leads_there() -> None:
    rows = _rows(context_of("""
        connectors:
          X1: {face: [[1, 2]], view: wire side}
          X2: {face: [[1..4]], view: wire side}
        cavities:
          X1.1: {crimp: double}
        splices: {S1: {}, S2: {}}
        wires:
          1: {from: X1.1, to: S1, size: 1 mm2, colour: RD}
          2: {from: X1.1, to: S2, size: 1 mm2, colour: BK}
          3: {from: S1, to: X2.1, size: 1 mm2, colour: RD}
          4: {from: S1, to: X2.2, size: 1 mm2, colour: RD}
          5: {from: S2, to: X2.3, size: 1 mm2, colour: BK}
    """), "X1")
    assert rows["1"] == [["1", "1", "1 mm²", "RD", "X2.1 → 8", "S1 → 10"], ["X2.2 → 8", "S1 → 10"], ["2", "1 mm²", "BK", "X2.3 → 8", "S2 → 10"]]


def test_unknown_is_a_box_and_open_a_word() -> None:
    context = context_of(HARNESS)
    rows = _rows(context, "X1")
    assert rows["4"] == [["4", "40", "receptacle 1.5", "seal 1.4"]]
    assert rows["5"][0][:5] == ["5", "41", "1 mm²", "gn", "open"]
    boxes = [mark.tag for page in _pages(context, "X1") for mark in page.marks if isinstance(mark, Rect) and mark.tag.startswith("unknown:")]
    assert boxes.count("unknown:size") == boxes.count("unknown:colour") == boxes.count("unknown:far end") == 1


def test_empty_cavities_in_one_line_of_ranges() -> None:
    rows = _rows(context_of(HARNESS), "X1")
    assert list(rows)[5:] == ["empty: 6..12; fit plug 1.5"]


def test_the_cavities_of_a_connector_without_face_are_counted_up() -> None:
    assert list(_rows(context_of(HARNESS), "X3")) == ["1", "2", "3", "4", "5", "10"]


def test_the_head_says_which_connector_it_is() -> None:
    context = context_of(HARNESS)
    said = texts(_pages(context, "X1")[0])
    for words in ("X1", "unit plug", "U1, control unit", "socket", "black", "x1.jpg", LEGEND, "seen from the mating face", "seen from the wire side"):
        assert words in said
    assert "Colours in the letters of DIN 47002, base colour first. Far ends are found through splices; → leads to the sheet." in said


def test_the_number_of_a_cavity_is_bold() -> None:
    mated = _pages(context_of(MATED), "X30", "X31")
    for page, cavities in ((_pages(context_of(HARNESS), "X1")[0], list("12345")), (mated[0], list("123"))):
        bold = [mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "table" and mark.weight == "bold"]
        assert bold == cavities


def test_the_key_to_the_frames_stands_only_where_a_frame_is_dashed() -> None:
    context = context_of("""
        connectors:
          X1: {face: [[1, 2]], view: wire side}
          X2: {face: [[1, 2, 3]], view: wire side}
        wires:
          1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
          2: {from: X1.2, to: X2.2, size: 1 mm2, colour: RD}
    """)
    assert LEGEND not in texts(_pages(context, "X1")[0])
    assert texts(_pages(context, "X2")[0]).count(LEGEND) == 1


def test_a_lock_is_drawn_only_where_it_is_stated() -> None:
    said = [texts(_pages(context_of(f"""
        connectors:
          X1: {{face: [[1, 2]], view: wire side{more}}}
    """), "X1")[0]).count("lock") for more in ("", ", lock: top")]
    assert said == [0, 2]


def test_a_signal_whose_way_nobody_knows_has_no_direction() -> None:
    rows = _rows(context_of("""
        connectors:
          X1: {face: [[1, 2]], view: wire side}
        cavities:
          X1.1: {function: a, signal: maker}
          X1.2: {function: b, signal: can-high}
    """), "X1")
    assert rows == {"1": [["1", "empty", "a", "maker"]], "2": [["2", "empty", "b", "can-high", "both"]]}


def test_remarks_stand_below() -> None:
    said = texts(_pages(context_of(HARNESS), "X1")[0])
    assert [text for text in said if ":" in text and text.startswith(("cavity", "wire ", "wires"))] == [
        "cavity 10, empty: left over", "wires 31: twisted pair P1, lay 25 mm", "cavity 3: looks hot", "wire 30: guess"]
    assert "double crimp in 3" in said
    marks = [mark for mark in _pages(context_of(HARNESS), "X1")[0].marks if isinstance(mark, Text) and mark.tag == "remarks"]
    assert len({mark.x for mark in marks}) == 2  # two columns


def test_the_source_s_letters_stand_beside_where_they_differ() -> None:
    context = context_of(HARNESS, colours="North American trade")
    assert _rows(context, "X1")["1"][0][:6] == ["1", "10", "2.5 mm²", "BLK/RED", "sw/rt", "S1 (4 ends) → 11"]
    assert "In the source" in " ".join(texts(_pages(context, "X1")[0]))
    assert "source" not in " ".join(texts(_pages(context_of(HARNESS), "X1")[0]))


def test_far_ends_lead_to_their_sheets() -> None:
    context = context_of(HARNESS)
    links = {mark.target for page in _pages(context, "X1") for mark in page.marks if isinstance(mark, Link)}
    assert links == {context.sheet_of[name].name for name in ("X2", "X3", "S1", "S2")}


def test_a_wide_rule_after_every_five_rows_and_a_pitch_of_five_mm() -> None:
    context = context_of("""
        connectors:
          X1: {face: [[1..12]], view: wire side}
          X2: {face: [[1..12]], view: wire side}
        wires:
""" + "\n".join(f"          {n}: {{from: X1.{n}, to: X2.{n}, size: 1 mm2, colour: RD}}" for n in range(1, 13)))
    page, = _pages(context, "X1")
    rules = sorted((mark.y1, mark.width) for mark in page.marks if isinstance(mark, Line) and mark.tag == "pinout:X1" and mark.y1 == mark.y2)
    assert [width for _, width in rules] == [0.5, 0.5, *[0.25] * 4, 0.5, *[0.25] * 4, 0.5, 0.25, 0.5]
    heights = [lower - upper for (upper, _), (lower, _) in zip(rules[1:], rules[2:], strict=False)]
    assert min(heights) >= 5.0


AIRBAG = """
    connectors:
      X1: {title: airbag, face: [[1, 2]], view: wire side}
      X2: {title: unit, face: [[1, 2]], view: wire side}
    cavities:
      X1.1: {function: squib +, signal: airbag}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: YE}
      2: {from: X1.2, to: X2.2, size: 1 mm2, colour: YE}
"""


def test_an_airbag_s_cavities_have_no_room_for_a_value() -> None:
    context = context_of(AIRBAG)
    for connector in ("X1", "X2"):  # its far end neither
        page, = _pages(context, connector)
        rows = {row[0][0]: row[0] for row in table_rows([page], "Cavity")}
        assert rows["1"][-1] == UNPROBED
        assert UNPROBED not in rows["2"]
        assert sum(isinstance(mark, Rect) and mark.tag == "value" for mark in page.marks) == 1
        assert CAUTIONS["airbag"] in " ".join(mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "caution")


# --------------------------------------------------------------- mated halves

MATED = """
    connectors:
      X30: {title: engine side, half: socket, face: [[1..6]], view: mating face, mates: X31, terminal: receptacle 1.5}
      X31: {title: cabin side, half: plug, face: [[6..1]], view: mating face, terminal: pin 1.5}
      X1: {face: [[1..4]], view: wire side}
    cavities:
      X30.2: {function: fuel pump}
      X31.2: {function: pump feed}
    wires:
      1: {from: X30.1, to: X1.1, size: 1 mm2, colour: RD}
      2: {from: X30.2, to: X1.2, size: 1 mm2, colour: BK}
      3: {from: X31.2, to: X1.3, size: 2 mm2, colour: BN}
      4: {from: X31.3, to: X1.4, size: 2 mm2, colour: GN}
"""


def _lines_with(page: Drawing, text: str) -> list[str]:
    """What stands level with the cavity ``text`` between the halves, from left to right."""
    head = next(mark for mark in page.marks if isinstance(mark, Text) and mark.text == "Cavity")
    cavity = next(mark for mark in page.marks if isinstance(mark, Text) and mark.text == text and mark.x == head.x and mark.y > head.y)
    level = [mark for mark in page.marks if isinstance(mark, Text) and abs(mark.y - cavity.y) < 0.05]
    return [mark.text for mark in sorted(level, key=lambda mark: mark.start()[0])]


def test_mated_halves_meet_at_the_cavity() -> None:
    page, = _pages(context_of(MATED), "X30", "X31")
    assert _lines_with(page, "1") == ["X1.1 → 9", "RD", "1 mm²", "1", "1", "empty"]
    assert _lines_with(page, "2") == ["X1.2 → 9", "BK", "1 mm²", "2", "2", "3", "2 mm²", "BN", "X1.3 → 9", "fuel pump / pump feed"]
    assert _lines_with(page, "3") == ["empty", "3", "4", "2 mm²", "GN", "X1.4 → 9"]
    said = texts(page)
    assert "X30: empty: 4..6" in said
    assert "X31: empty: 4..6" in said
    assert "receptacle 1.5 in 1, 2" in said
    assert "pin 1.5 in 2, 3" in said
    assert said.count(LEGEND) == 1
    assert said.count("seen from the mating face") == said.count("seen from the wire side") == 2


def test_on_narrow_paper_each_half_has_its_table() -> None:
    pages = _pages(context_of(MATED, paper="a5"), "X30", "X31")
    rows = [row[0][:5] for row in table_rows(pages, "Cavity") if not row[0][0].startswith("empty")]
    assert rows == [["1", "1", "1 mm²", "RD", "X1.1 → 9"], ["2", "2", "1 mm²", "BK", "X1.2 → 9"], ["2", "3", "2 mm²", "BN", "X1.3 → 9"], ["3", "4", "2 mm²", "GN", "X1.4 → 9"]]


# --------------------------------------------------------------------- tidiness

LONG = "a text that goes on and on, further than anybody would write on a label at the bench, " * 3
NAME = "a-name-of-sixty-characters-0123456789-0123456789-0123456789"
HARD = f"""
    title: {LONG!r}
    connectors:
      X1: {{title: {LONG!r}, half: socket, face: [[1..30], [31..60]], view: mating face, lock: bottom, entry: left, terminal: {LONG!r}, seal: {LONG!r}, note: {LONG!r}}}
      {NAME}: {{title: {LONG!r}, face: {{xy: {{A: [0, 0], B: [4.2, 0], C: [9, -5]}}}}, view: wire side, lock: right, entry: top}}
      X3: {{title: 'tall', face: [[1], [2], [3], [4], [5], [6], [7], [8], [9], [10], [11], [12]], view: wire side}}
      X4: {{title: 'one row', face: [[1..60]], view: wire side}}
      X5: {{title: 'names', face: [[IGNITION_SUPPLY_1, IGNITION_SUPPLY_2]], view: wire side}}
      X6: {{}}
    cavities:
      X1.2: {{function: {LONG!r}, signal: output-ignition-trigger, crimp: double}}
    splices:
      S1: {{join: J1}}
    wires:
      1: {{from: X1.1, to: S1}}
      2: {{from: S1, to: {NAME}.A, size: 1 mm2, colour: BK/RD/YE}}
      3: {{from: S1, to: unknown, colour: BK}}
      4: {{from: X1.2, to: X3.1, size: 1 mm2, colour: LT GN/BK, evidence: {LONG!r}}}
      {NAME}: {{from: X1.2, to: {NAME}.B}}
"""


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
@pytest.mark.parametrize("colours", ["IEC 60757", "North American trade"])
def test_nothing_overlaps_however_long_the_texts(paper: str, colours: str) -> None:
    context = context_of(HARD, paper=paper, colours=colours)
    for connector in context.harness.connectors:
        for page in _pages(context, connector):
            assert_tidy(page)


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_the_sheets_of_the_linnet_are_tidy(paper: str) -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"), paper=paper)
    for name, connector in context.harness.connectors.items():
        for page in _pages(context, *([name, connector.mates] if connector.mates else [name])):
            assert_tidy(page)


def test_a_table_goes_on_under_its_heads() -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"))
    pages = _pages(context, "E2")
    assert len(pages) == 4
    rows = [row[0][0] for row in table_rows(pages, "Cavity")]
    assert rows[:41] == [str(n) for n in range(1, 51) if n not in (16, 27, 42, 43, 44, 45, 46, 48, 50)]
    assert rows[41] == "empty: 16, 27, 42..46, 48, 50; fit cavity plug 0.64"
    heads = [mark.height for page in pages[:2] for mark in page.marks if isinstance(mark, Text) and mark.text == "Cavity"]
    assert heads == [HEAD, HEAD]


def test_the_same_harness_gives_the_same_marks() -> None:
    assert _pages(context_of(HARNESS), "X1") == _pages(context_of(HARNESS), "X1")
    context = context_of(HARNESS)
    assert _pages(replace(context), "X1") == _pages(context, "X1")
