"""The chart of fuses, links, relays, diodes and studs."""

from __future__ import annotations

from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.drawing.record import Drawing, Rect
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.fuses import draw_fuses

HARNESS = """
    colours: IEC 60757
    connectors:
      X1: {face: [[1..4]], view: mating face}
    devices:
      G1: {title: battery, terminals: ["+"]}
    boxes:
      B1: {title: engine box, place: left wing, bars: {30: [F2.1, F10.1]}}
    fuses:
      F10: {box: B1, rating: 15 A, type: blade, feeds: pump, circuit: pump}
      F2: {box: B1, rating: 70 A, type: maxi, feeds: glow plugs}
      F3: {}
    fusible-links:
      L1: {size: 1 mm2, feeds: box}
    relays:
      K1: {box: B1, title: pump relay, contacts: changeover, coil: 85 ohm, commanded-by: control unit, feeds: pump}
    diodes:
      D1: {part: rectifier 400 V}
    circuits:
      pump: {hot: [run, start]}
      glow: {hot: [always]}
    wires:
      1: {from: G1.+, to: L1.1, size: 2.5 mm2, colour: RD}
      2: {from: L1.2, to: B1.30, size: 6 mm2, colour: RD}
      3: {from: F10.2, to: K1.30, size: 1.5 mm2, colour: RD/WH, circuit: pump}
      4: {from: K1.87, to: X1.1, size: 1.5 mm2, colour: BU}
      5: {from: F2.2, to: X1.2, size: 4 mm2, colour: BK, circuit: glow}
      6: {from: K1.85, to: D1.A}
"""


def drawn(text: str = HARNESS, **options: str) -> tuple[Drawing, ...]:
    context = context_of(text, **options)
    return draw_fuses(context, ref_of(context, SheetKind.FUSES))


def page_with(text: str) -> Drawing:
    return next(page for page in drawn() if text in texts(page))


def test_a_fuse_has_rating_colour_type_feeds_hot_supply_and_load() -> None:
    page = page_with("F10")
    assert row_of(page, "F10") == ["F10", "15 A", "blue", "blade", "pump", "run, start", "1, supply", "bar", "B1.30 (2 ends) → 8"]


def test_load_wire_and_its_far_end_stand_below_the_supply() -> None:
    assert row_of(page_with("RD/WH"), "RD/WH") == ["2, load", "3", "1.5 mm²", "RD/WH", "K1.30 → 9"]


def test_fuses_are_counted_up_under_their_box_and_the_rest_come_last() -> None:
    found = texts(page_with("F10"))
    order = [found.index(name) for name in ("B1 engine box, at left wing → 8", "F2", "F10", "In no box", "F3")]
    assert order == sorted(order)


def test_a_colour_that_makers_differ_in_says_so() -> None:
    page = page_with("F2")
    found = texts(page)
    assert row_of(page, "F2")[:3] == ["F2", "70 A", "brown or tan (makers differ)"]
    assert "blue" in found and "blue (makers differ)" not in found


def test_hot_comes_from_the_load_wires_circuit_where_the_fuse_names_none() -> None:
    page = page_with("F2")
    assert "always" in row_of(page, "F2")


def test_hot_is_when_the_supply_is_live_not_the_load() -> None:
    # A lamp held to F10 lights at all times once the wire that feeds its bar is known to be live at all times.
    fed = HARNESS.replace("2: {from: L1.2, to: B1.30, size: 6 mm2, colour: RD}", "2: {from: L1.2, to: B1.30, size: 6 mm2, colour: RD, circuit: glow}")
    page = next(page for page in drawn(fed) if "F10" in texts(page))
    assert row_of(page, "F10")[5] == "always"


def test_a_narrow_page_says_of_a_fuse_line_by_line_what_a_wide_one_has_in_columns() -> None:
    found = [text for page in drawn(paper="a5") for text in texts(page)]
    assert {"rating", "fuse colour", "hot when", "15 A", "blue", "run, start"} <= set(found)


def test_unknown_rating_type_and_hot_are_boxes_to_fill() -> None:
    page, = drawn("fuses:\n  F3: {}\n")
    assert [mark.tag for mark in page.marks if isinstance(mark, Rect) and mark.tag in ("rating", "type", "hot")] == ["rating", "type", "hot"]
    assert texts(page).count("nothing described") == 2


def test_a_relay_has_its_coil_suppression_commands_and_pin_map() -> None:
    page = page_with("K1 → 9")
    assert row_of(page, "K1 → 9")[:3] == ["K1 → 9", "type", "86"]
    assert row_of(page, "85 ohm")[:2] == ["coil", "85 ohm"]
    assert [mark.tag for mark in page.marks if isinstance(mark, Rect) and mark.tag == "across the coil"]
    assert "X1.1 → 7" in row_of(page, "4")
    assert {"86", "85", "30", "87", "87a"} <= set(texts(page))


def test_studs_of_devices_have_their_wires() -> None:
    found = [text for page in drawn() for text in texts(page)]
    assert "Studs and terminals of devices" in found
    assert "L1.1 → 5" in found


def test_pages_are_tidy_on_every_paper() -> None:
    for paper in ("a4", "letter", "a5"):
        for page in drawn(paper=paper):
            assert_tidy(page)


READY_MADE = """
    connectors:
      E1: {face: [[1..4]], view: mating face}
    cavities:
      E1.3: {function: pump relay, signal: output-low}
    relays:
      K1: {contacts: make, part: mini relay 40 A}
      K2: {contacts: make}
    wires:
      1: {from: K1.85, to: E1.3}
"""


def test_what_is_not_stated_of_a_ready_made_relay_is_typical_and_its_output_commands_it() -> None:
    # of the row `mini relay 40 A` of relay_parts.csv: one maker's sheets
    pages = drawn(READY_MADE)
    page = next(page for page in pages if "K1" in " ".join(texts(page)))
    assert row_of(page, "40 A at 85 °C (typical)")[0] == "rating"
    assert row_of(page, "90 ohm (typical)")[0] == "coil"
    assert any(text.startswith("E1.3, output-low → ") for text in row_of(page, "commanded by"))
    tags = [mark.tag for one in pages for mark in one.marks if isinstance(mark, Rect)]
    assert (tags.count("rating"), tags.count("coil"), tags.count("commanded by")) == (1, 1, 1)      # of K2, which names no part
