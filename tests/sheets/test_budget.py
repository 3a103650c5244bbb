"""The power budget sheet."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from judgement.test_budget import BENCH
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of
from sheets.marked_contexts import edited, since_context

from harnessdoc.drawing.record import Drawing, Text
from harnessdoc.sheets.budget import draw_budget
from harnessdoc.sheets.context import Context, SheetKind, SheetRef

REF = SheetRef(7, "power-budget", SheetKind.BUDGET, "bench")


def pages_of(context: Context) -> tuple[Drawing, ...]:
    return draw_budget(context, REF)


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_nothing_lies_over_anything(paper: str) -> None:
    for page in pages_of(context_of(BENCH, paper=paper)):
        assert_tidy(page)


def test_rows_of_the_states_and_their_sum() -> None:
    """12 V behind 10 mohm into 2 ohm of seat with 28 mohm of fuse, switch, wire and terminals; beside it the 20 mA of the clock; charging (14 - 12) / 0.4 ohm."""
    page, *_ = pages_of(context_of(BENCH))
    seat_a, clock_a = 12 / 2.038, 0.020
    off, run, running, still = map(float, row_of(page, "all together")[1:])
    assert (off, run) == (pytest.approx(clock_a), pytest.approx(seat_a + clock_a, abs=0.02))
    name, title, rated, *amps = row_of(page, "heated seat")
    assert (name, title, rated) == ("R1", "heated seat", "6 A at 12 V")
    assert [float(text) for text in amps] == [0, pytest.approx(seat_a, abs=0.02), pytest.approx(running - clock_a, abs=0.02), 0]
    charges = [float(text) for text in row_of(page, "battery gives, A")[2:]]
    gives = [float(text) for text in row_of(page, "alternator gives, A")[3:]]
    assert charges[2] == pytest.approx(-(14 - 12) / 0.4, abs=0.1) and charges[:2] == [off, run]
    assert gives == [0, 0, pytest.approx(running - charges[2], abs=0.1), pytest.approx(still - charges[3], abs=0.1)]
    assert row_of(page, "share of its limit")[1:] == [f"{amps / 30 * 100:.0f} %" for amps in gives]


def test_what_is_typical_and_what_is_left_out_is_said() -> None:
    said = " ".join(text for page in pages_of(context_of(BENCH)) for text in texts(page))
    assert "Typical values stand for what is not stated of: F1" in said
    assert "Take nothing in any of these states: R3." in said
    assert "its circuit pulses" in said and "3 ohm, R4.a draws 2 A" in said
    assert "4 states are solved" in said
    assert "within the usual 50 mA (common practice" in said
    assert "lasts 63 days" in said or "lasts 62 days" in said


def test_a_battery_that_is_emptied_while_the_engine_runs_is_said_in_bold() -> None:
    page, *_ = pages_of(context_of(BENCH.replace("limit: 30 A", "limit: 4 A")))
    bold = " ".join(mark.text for mark in page.marks if getattr(mark, "weight", "") == "bold")
    assert "G1 is emptied though the engine runs: run, running" in bold
    assert "no more than 80 % of it for good" in bold and "from memory" in bold


def test_a_load_that_takes_more_is_marked() -> None:
    context = since_context(BENCH, edited(BENCH, ("6 A at 12 V", "9 A at 12 V")))
    before = replace(context.since.before, sheets=(*context.since.before.sheets, REF))         # the version before had the sheet too
    pages = pages_of(replace(context, since=replace(context.since, before=before)))
    struck = {mark.text for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag == "struck"}
    assert "6 A at 12 V" in struck and "5.89" in struck
    for page in pages:
        assert_tidy(page)


def test_states_that_do_not_fit_side_by_side_stand_in_a_further_table() -> None:
    many = BENCH + "    states:\n" + "".join(f"      state {number}: {{key: run, engine: running}}\n" for number in range(1, 15))
    heads = [text for page in pages_of(context_of(many)) for text in texts(page) if re.fullmatch(r"state \d+", text)]
    assert [f"state {number}" for number in range(1, 15)] == list(dict.fromkeys(heads))
    for page in pages_of(context_of(many)):
        assert_tidy(page)


def test_a_circuit_of_which_no_state_is_solved_still_has_its_sheet() -> None:
    pages = pages_of(context_of(BENCH.replace("F1: {rating: 10 A, type: blade}", "F1: {rating: 10 A, type: blade, resistance: 1 mohm}")))
    assert "off, stopped: no solution; the findings say why." in [text for page in pages for text in texts(page)]
