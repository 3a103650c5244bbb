"""Relay sheets: symbol, terminals with their wires, what commands and what is fed."""

from __future__ import annotations

import pytest
from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of
from sheets.pinout_rows import table_rows

from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Circle, Drawing, Line, Link, Polyline, Rect, Text
from harnessdoc.sheets.context import Context, SheetKind, SheetRef
from harnessdoc.sheets.relay import LEAD, RING, draw_relay, draw_relays, relays_per_sheet

HARNESS = """
    colours: IEC 60757
    connectors:
      X1: {title: unit, face: [[1..3]], view: wire side}
      X2: {title: loads, face: [[1..6]], view: wire side}
    boxes:
      B1: {title: box, bars: {30: [K1.30, F1.1, F2.1]}}
    fuses:
      F1: {box: B1, rating: 10 A}
      F2: {box: B1, rating: 10 A}
    cavities:
      X1.1: {function: pump relay, signal: output-fuel-pump}
    relays:
      K1: {title: pump relay, box: B1, place: left wing, contacts: make, suppression: diode, coil: 85 ohm, rating: 30 A, type: mini, commanded-by: control unit, feeds: pump}
      K2: {contacts: two 87, suppression: resistor}
      K3: {contacts: changeover, suppression: none}
      K4: {contacts: break, suppression: diode}
      K5: {contacts: unknown, suppression: unknown}
    wires:
      1: {from: X1.1, to: K1.85, size: 0.5 mm2, colour: YE/BK}
      2: {from: K1.87, to: X2.1, size: 1.5 mm2, colour: RD}
      3: {from: K2.87b, to: X2.2, size: 1.5 mm2, colour: RD}
"""


def _pages(context: Context, *relays: str) -> tuple[Drawing, ...]:
    return draw_relays(context, SheetRef(12, "relays-1", SheetKind.RELAYS, "Relays", relays))


def _rows(pages: tuple[Drawing, ...]) -> dict[str, list[list[str]]]:
    return {row[0][0]: row for row in table_rows(pages, "Terminal")}


def test_each_terminal_with_its_meaning_wire_and_far_end() -> None:
    rows = _rows(_pages(context_of(HARNESS), "K1"))
    assert list(rows) == ["86", "85", "30", "87"]
    assert rows["85"] == [["85", "relay coil, end (-)", "1", "0.5 mm²", "YE/BK", "X1.1 → 7"]]
    assert rows["87"] == [["87", "relay contact, closed when the coil is fed", "2", "1.5 mm²", "RD", "X2.1 → 8"]]
    assert rows["30"] == [["30", "common contact of a relay", "bar", "F1.1 → 9", "B1.30 → 9"], ["F2.1 → 9", "B1.30 → 9"]]


def test_the_head_says_what_it_is_commanded_by_and_feeds() -> None:
    context = context_of(HARNESS)
    page, = _pages(context, "K1")
    said = texts(page)
    for words in ("K1", "pump relay", "B1 → 9", "left wing", "mini", "30 A", "85 ohm", "make", "diode", "control unit", "X1.1, output-fuel-pump → 7", "pump"):
        assert words in said
    assert context.sheet_of["X1"].name in {mark.target for mark in page.marks if isinstance(mark, Link)}
    assert any("Fuel circuit" in mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "caution")


def test_a_fact_from_memory_is_never_said_to_be_the_standard_s() -> None:
    said = " ".join(texts(_pages(context_of(HARNESS), "K2")[0]))
    assert "Terminals 30, 85, 86, 87: DIN 72552 as quoted by makers. Terminals 87b: from memory." in said


def test_what_nobody_wrote_is_a_box() -> None:
    boxes = [mark.tag for mark in _pages(context_of(HARNESS), "K5")[0].marks if isinstance(mark, Rect) and mark.tag.startswith("unknown:")]
    assert boxes == ["unknown:place", "unknown:type", "unknown:rating", "unknown:coil", "unknown:contacts", "unknown:suppression",
                     "unknown:commanded by", "unknown:feeds", *["unknown:wire"] * 5]


@pytest.mark.parametrize(("relay", "numbers"), [
    ("K1", {"86", "85", "30", "87"}), ("K2", {"86", "85", "30", "87", "87b"}), ("K3", {"86", "85", "30", "87", "87a"}),
    ("K4", {"86", "85", "30", "87a"}), ("K5", {"86", "85", "30", "87", "87a"})])
def test_the_symbol_has_a_lead_and_a_number_for_every_terminal(relay: str, numbers: set[str]) -> None:
    part = context_of(HARNESS).harness.parts[relay]
    pen = Pen(100, 100)
    draw_relay(pen, 40, 40, part)
    marks = pen.drawing().marks
    assert {mark.text for mark in marks if isinstance(mark, Text)} == set(part.terminals) == numbers
    rings = [mark for mark in marks if isinstance(mark, Circle) and mark.r == RING]
    assert len(rings) == len(numbers)
    for number in (mark for mark in marks if isinstance(mark, Text)):
        nearest = min(rings, key=lambda ring: abs(ring.cx - number.start()[0]) + abs(ring.cy - number.y))
        assert abs(nearest.cx - number.x) == pytest.approx(0.8)


def _points(mark: Line | Polyline) -> list[tuple[float, float]]:
    return [(mark.x1, mark.y1), (mark.x2, mark.y2)] if isinstance(mark, Line) else list(mark.points)


def _reached(relay: str, start: str) -> set[str]:
    """Terminals joined by solid lines with that terminal, from the symbol's lines alone (ends that meet, or a dot)."""
    pen = Pen(100, 100)
    part = context_of(HARNESS).harness.parts[relay]
    draw_relay(pen, 40, 40, part)
    marks = pen.drawing().marks
    lines = [_points(mark) for mark in marks if isinstance(mark, Line | Polyline) and not mark.dash and not getattr(mark, "closed", False)]
    dots = [(mark.cx, mark.cy) for mark in marks if isinstance(mark, Circle) and mark.fill]
    at = {}
    for number in (mark for mark in marks if isinstance(mark, Text)):
        x = number.start()[0] - 0.8 if number.anchor == "start" else number.x + 0.8
        at[number.text] = (x, 40 - 5 - LEAD if number.y < 40 else 40 + 5 + LEAD)
    near = {at[start]}
    grown = True
    while grown:
        grown = False
        for points in lines:
            ends = {points[0], points[-1]} | {dot for dot in dots if _on(points, dot)}
            if any(_same(end, other) for end in ends for other in near) and not ends <= near:
                near |= ends
                grown = True
    return {name for name, point in at.items() if any(_same(point, other) for other in near)}


def _same(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return abs(a[0] - b[0]) < 0.01 and abs(a[1] - b[1]) < 0.01


def _on(points: list[tuple[float, float]], dot: tuple[float, float]) -> bool:
    """True where the dot lies on one of the level or upright stretches."""
    return any(min(x1, x2) - 0.01 <= dot[0] <= max(x1, x2) + 0.01 and min(y1, y2) - 0.01 <= dot[1] <= max(y1, y2) + 0.01 and (x1 == x2 or y1 == y2)
               for (x1, y1), (x2, y2) in zip(points, points[1:], strict=False))


def test_contacts_stand_at_rest() -> None:
    assert _reached("K1", "30") == {"30"}                    # open
    assert _reached("K2", "30") == {"30"}                    # both open
    assert "87" not in _reached("K3", "87a")


def test_both_contacts_of_two_87_hang_on_30_with_a_dot() -> None:
    pen = Pen(100, 100)
    draw_relay(pen, 40, 40, context_of(HARNESS).harness.parts["K2"])
    marks = pen.drawing().marks
    number = next(mark for mark in marks if isinstance(mark, Text) and mark.text == "30")
    dots = [(mark.cx, mark.cy) for mark in marks if isinstance(mark, Circle) and mark.fill]
    branch = next(mark for mark in marks if isinstance(mark, Polyline) and any(_same(mark.points[0], dot) for dot in dots))
    assert branch.points[0][0] == pytest.approx(number.x - 0.8)
    assert [mark for mark in marks if isinstance(mark, Polyline) and _same(mark.points[0], branch.points[-1])], "a blade begins where the branch ends"


def test_how_many_share_a_sheet() -> None:
    assert [relays_per_sheet(PAPERS[name]) for name in ("a4", "letter", "a5")] == [2, 2, 1]


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_sheets_are_tidy_and_a_relay_stays_whole(paper: str) -> None:
    context = context_of(HARNESS, paper=paper)
    relays = [name for name, part in context.harness.parts.items() if part.kind == "relay"]
    size = relays_per_sheet(context.paper)
    for start in range(0, len(relays), size):
        pages = _pages(context, *relays[start:start + size])
        assert len(pages) == 1
        assert_tidy(pages[0])


def test_a_ready_made_relay_has_the_typical_values_of_its_row() -> None:
    # of the row `mini relay 40 A` of relay_parts.csv: one maker's sheets
    stated = "relays:\n  K1: {contacts: make, part: mini relay 40 A}\n  K2: {contacts: break, part: mini relay 40 A, coil: 85 ohm}\n"
    said = [text for page in _pages(context_of(stated), "K1", "K2") for text in texts(page)]
    assert {"40 A at 85 °C (typical)", "90 ohm (typical)", "30 A at 85 °C (typical)", "85 ohm"} <= set(said)
