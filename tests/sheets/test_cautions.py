"""Cautions: which circuit carries which, and the sheet."""

from __future__ import annotations

from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.sheets.cautions import CAUTIONS, GENERAL, caution_lines, cautions_of, draw_cautions
from harnessdoc.sheets.context import SheetKind
from harnessdoc.trade import signals

HARNESS = """
    connectors:
      X1: {face: [[1..6]], view: mating face}
      X2: {face: [[1..6]], view: mating face}
      X3: {face: [[1, 2]], view: mating face}
    cavities:
      X1.1: {signal: airbag}
      X1.2: {signal: output-injector}
      X1.3: {signal: can-high}
    splices:
      S1: {}
    wires:
      1: {from: X1.1, to: S1}
      2: {from: S1, to: X2.1}
      3: {from: X1.2, to: X3.1}
      4: {from: X1.3, to: X2.3}
      5: {from: X1.4, to: unknown}
"""


def test_a_cavity_is_covered_by_what_stands_at_the_other_end() -> None:
    context = context_of(HARNESS)
    assert cautions_of(context, ["X2.1"]) == {"airbag"}
    assert cautions_of(context, ["S1"]) == {"airbag"}
    assert caution_lines(context, ["X3.1"]) == (CAUTIONS["fuel"],)


def test_lines_come_gravest_first_whatever_the_order_asked_in() -> None:
    context = context_of(HARNESS)
    assert caution_lines(context, ["X3.1", "X2.1"]) == (CAUTIONS["airbag"], CAUTIONS["fuel"])


def test_no_line_without_a_caution() -> None:
    context = context_of(HARNESS)
    assert caution_lines(context, ["X1.3", "X1.4", "X1.6", "unknown", "open"]) == ()


def test_every_caution_of_the_trade_list_has_its_line() -> None:
    assert set(CAUTIONS) == set(signals.CAUTIONS)


def test_no_caution_gives_a_waiting_time() -> None:
    # facts section 11: makers' books differ (10 s to 10 min), so a time is never printed
    assert not any(character.isdigit() for character in CAUTIONS["airbag"])
    assert "the vehicle's own book" in CAUTIONS["airbag"].lower()


def test_the_sheet_names_where_each_circuit_is() -> None:
    context = context_of(HARNESS)
    pages = draw_cautions(context, ref_of(context, SheetKind.CAUTIONS))
    found = [text for page in pages for text in texts(page)]
    assert all(subject in found for subject, _, _ in GENERAL)
    assert found.count("X1 → 7") == 2          # airbag and fuel
    assert found.count("nothing described") == 4
    for page in pages:
        assert_tidy(page)
