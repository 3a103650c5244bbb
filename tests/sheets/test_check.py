"""The check sheet."""

from __future__ import annotations

import re

import pytest
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.drawing.record import Drawing, Rect
from harnessdoc.network.continuity import check_list
from harnessdoc.sheets.check import QUESTIONS, draw_check
from harnessdoc.sheets.context import Context, SheetKind

HARNESS = """
    connectors:
      X1: {face: [[1..4], [5..8]], view: mating face}
      X2: {face: [[1..4], [5..8]], view: mating face}
      X9: {face: [[1, 2]], view: mating face}
    cavities:
      X9.1: {signal: airbag}
    splices:
      S1: {}
    wires:
      w1: {from: X1.1, to: X2.1}
      w2: {from: X1.2, to: S1}
      w3: {from: S1, to: X2.2}
      w4: {from: S1, to: X2.3}
      w8: {from: X9.1, to: X1.8}
      w9: {from: X9.2, to: X1.7}
"""


def pages_of(context: Context) -> tuple[Drawing, ...]:
    return draw_check(context, ref_of(context, SheetKind.CHECK))


def all_texts(context: Context) -> list[str]:
    return [text for page in pages_of(context) for text in texts(page)]


def test_a_path_with_its_sheets_and_way() -> None:
    context = context_of(HARNESS)
    page = pages_of(context)[0]
    assert row_of(page, "w1") == ["1", "X1.1 → 7", "X2.1 → 8", "w1", "rings"]
    assert row_of(page, "w2, S1, w4") == ["3", "X1.2 → 7", "X2.3 → 8", "w2, S1, w4", "rings"]


def test_every_path_has_room_for_value_and_initials() -> None:
    context = context_of(HARNESS)
    boxes = [mark.tag for page in pages_of(context) for mark in page.marks if isinstance(mark, Rect)]
    listing = check_list(context.harness)
    assert len(listing.paths) == 4
    rows = len(listing.paths) + len(listing.neighbours)
    assert boxes.count("value") == rows
    assert boxes.count("initials") == rows + len(QUESTIONS)


def test_neighbours_that_must_not_ring() -> None:
    found = all_texts(context_of(HARNESS))
    assert found.index("Must not ring") < found.index("1 / 2")      # X1: 1 and 2 are apart; so are they of X2, whose 2 and 3 are one
    assert "2 / 3" not in " ".join(found)


def test_rows_and_pairs_are_counted_up_whatever_the_order_of_the_face() -> None:
    context = context_of("""
    connectors:
      X1: {face: [[12, 3, 2]], view: mating face}
      X2: {face: [[1..3]], view: mating face}
    wires:
      w1: {from: X1.12, to: X2.1}
      w2: {from: X1.2, to: X2.2}
      w3: {from: X1.3, to: X2.3}
""")
    found = all_texts(context)
    assert [text for text in found if text.startswith("X1.")] == ["X1.2 → 7", "X1.3 → 7", "X1.12 → 7"]
    assert "2 / 3   3 / 12" in found


def test_two_cavities_at_grounds_ring_through_the_metal_and_have_no_line() -> None:
    text = """
    connectors:
      X1: {face: [[1..3]], view: mating face}
    grounds:
      G1: {}
      G2: {}
    wires:
      w1: {from: X1.1, to: G1}
      w2: {from: X1.2, to: G2}
      w3: {from: X1.3, to: unknown}
"""
    found = all_texts(context_of(text))
    assert "2 / 3" in found and not any("1 / 2" in one for one in found)


def test_what_a_bar_joins_says_so() -> None:
    context = context_of("""
    boxes:
      B1: {bars: {30: [F1.1]}}
    devices:
      G1: {terminals: ["+"]}
    fuses:
      F1: {box: B1}
    wires:
      1: {from: G1.+, to: B1.30}
""")
    assert row_of(pages_of(context)[0], "bar")[-2:] == ["bar", "rings"]


def test_no_line_for_airbag_contacts() -> None:
    found = all_texts(context_of(HARNESS))
    assert not any(re.match(r"X9\.1|X1\.8", text) for text in found)
    assert not any(re.search(r"\b8 /|/ 8\b", text) for text in found)
    assert "No line for 2 contacts of airbag circuits (at X1, X9): no meter is put on them." in found


@pytest.mark.parametrize("words", ["test crimp", "rub:", "water", "rocked by hand?", "slack at every branch", "clip hold", "latched", "source book", "fuse fitted", "bare metal"])
def test_what_no_program_can_see_is_asked_with_room_for_an_answer(words: str) -> None:
    pages = pages_of(context_of(HARNESS))
    last = [page for page in pages if "What no program can see" in texts(page) or "Question" in texts(page)]
    assert sum(words in text for page in last for text in [" ".join(texts(page))]) == 1
    assert sum(mark.tag == "answer" for page in last for mark in page.marks) == len(QUESTIONS)


def test_no_pair_of_a_large_connector_is_lost() -> None:
    rows = ", ".join(f"[{first}..{first + 19}]" for first in (101, 121, 141))
    wires = "".join(f"      w{cavity}: {{from: LONG-NAME-OF-A-CONNECTOR.{cavity}, to: X2.{cavity}}}\n" for cavity in range(101, 161))
    context = context_of(f"""
    connectors:
      LONG-NAME-OF-A-CONNECTOR: {{face: [{rows}], view: mating face}}
      X2: {{face: [{rows}], view: mating face}}
    wires:
""" + wires)
    pairs = {f"{a.rpartition('.')[2]} / {b.rpartition('.')[2]}" for check in check_list(context.harness).neighbours for a, b in check.pairs}
    found = [pair for text in all_texts(context) for pair in re.findall(r"\d+ / \d+", text) if not text.endswith(f"/ {len(context.sheets)}")]
    assert len(pairs) == 97                       # 3 rows of 19 and 2 gaps of 20 between them
    assert set(found) == pairs and len(found) == 2 * len(pairs)


def test_the_questions_are_printed() -> None:
    found = " ".join(all_texts(context_of("title: t")))
    assert all(question in found for question in QUESTIONS)


def test_pages_are_tidy_on_every_paper() -> None:
    for paper in ("a4", "letter", "a5"):
        for page in pages_of(context_of(HARNESS, paper=paper)):
            assert_tidy(page)
