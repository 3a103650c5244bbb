"""The rework sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from revision.two_versions import BENCH, edited
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of
from sheets.marked_contexts import since_context

from harnessdoc.drawing.record import Drawing, Rect
from harnessdoc.revision.rework import rework
from harnessdoc.revision.steps import Phase
from harnessdoc.sheets.check import HOW
from harnessdoc.sheets.context import SheetKind, SheetRef
from harnessdoc.sheets.rework import AIRBAG_EXCEPTED, STILL_AS_BEFORE, draw_rework

LINNET = Path(__file__).parent.parent.parent / "examples" / "linnet" / "linnet.yaml"
EDITS = (("w1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}", "w1: {from: X1.5, to: X2.1, size: 1 mm2, colour: OG}"), ("w4: {from: SP1, ", "w4: {from: X1.7, "), ("rating: 10 A", "rating: 15 A"))
REF = SheetRef(5, "rework", SheetKind.REWORK, "Bench")


def pages_of(*edits: tuple[str, str], **options: str) -> tuple[Drawing, ...]:
    return draw_rework(since_context(BENCH, edited(BENCH, *edits), **options), REF)


def all_texts(pages: tuple[Drawing, ...]) -> list[str]:
    return [text for page in pages for text in texts(page)]


def test_a_step_with_all_that_hands_want_to_know() -> None:
    pages = pages_of(*EDITS)
    page = next(page for page in pages if "rings: X1.7 to X2.3" in texts(page))
    row = row_of(page, "rings: X1.7 to X2.3")
    assert [text for text in row if text in ("X1.7 → 7", "w4", "1 mm²", "GN")] == ["X1.7 → 7", "w4", "1 mm²", "GN"]
    assert {"pin 1.5", "seal A"} <= set(texts(page))


def test_every_step_has_a_box_to_tick_and_every_measured_one_a_value() -> None:
    context = since_context(BENCH, edited(BENCH, *EDITS))
    steps = rework(context.since.comparison).steps
    boxes = [mark.tag for page in draw_rework(context, REF) for mark in page.marks if isinstance(mark, Rect)]
    assert boxes.count("done") == len(steps)
    assert boxes.count("value") == sum(step.phase is Phase.TEST and bool(step.proof) for step in steps) > 0


def test_phases_follow_each_other_and_the_test_says_how() -> None:
    found = all_texts(pages_of(*EDITS, ("    connectors:\n", "    connectors:\n      X9: {}\n")))
    places = [found.index(phase.value) for phase in Phase if phase is not Phase.LEAVE]
    assert places == sorted(places)
    assert " ".join(found).count(HOW) == 1 and STILL_AS_BEFORE in " ".join(found)


def test_what_comes_out_leads_to_the_sheet_of_what_it_is_called_now() -> None:
    new = edited(BENCH.replace("X2", "X7"), ("w6: {from: X7.8, ", "w6: {from: X7.7, "))
    found = all_texts(draw_rework(since_context(BENCH, new), REF))
    assert "X2.8 → 8" in found and "X7.7 → 8" in found


def test_cautions_of_the_circuits_stand_first() -> None:
    text = edited(BENCH, ("X1.1: {function: lamp}", "X1.1: {function: pump, signal: output-fuel-pump}"))
    page = draw_rework(since_context(text, edited(text, ("w1: {from: X1.1,", "w1: {from: X1.5,"))), REF)[0]
    caution = next(place for place, one in enumerate(texts(page)) if one.startswith("Fuel circuit: "))
    assert caution < texts(page).index("Battery off")


def test_parts_and_what_comes_off() -> None:
    pages = pages_of(*EDITS)
    found = all_texts(pages)
    page = next(page for page in pages if "1 mm² PVC 85 C OG" in texts(page))
    assert row_of(page, "1 mm² PVC 85 C OG") == ["1 mm² PVC 85 C OG", "1.10 m", "w1"]
    assert found.index("Parts it takes") < found.index("15 A, blade") < found.index("Wire that comes off, to stock") < found.index("1 mm² PVC 85 C RD")


def test_lengths_in_the_readers_unit() -> None:
    assert any("43.3 in" in text for text in all_texts(pages_of(*EDITS, units="in")))


def test_nothing_to_do_by_hand_is_said() -> None:
    page, = pages_of(("X1.1: {function: lamp}", "X1.1: {function: horn}"))
    assert "Nothing to do by hand: what changed is knowledge, text and use." in texts(page)


def test_without_a_version_before_there_is_no_such_sheet() -> None:
    context = context_of(BENCH)
    with pytest.raises(ValueError, match="a rework is between two versions"):
        draw_rework(context, ref_of(context, SheetKind.COVER))


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_pages_are_tidy(paper: str) -> None:
    text = LINNET.read_text(encoding="utf-8")
    new = edited(text, ("529: {from: X26.4, to: GB2", "529: {from: X26.4, to: GB1"), ("108: {from: SP2,   to: X14.1,", "108: {from: X30.24,   to: X14.1,"),
                 ("terminal: receptacle 0.64\n    seal: seal 1.2 to 1.7 mm", "terminal: receptacle 1.0\n    seal: seal 1.2 to 1.7 mm"))
    for page in (*pages_of(*EDITS, paper=paper), *draw_rework(since_context(text, new, paper=paper), REF)):
        assert_tidy(page)


def test_airbag_units_are_excepted_from_the_tests() -> None:
    """Where either version knows of one."""
    airbag = edited(BENCH, ("X1.2: {function: pump}", "X1.2: {function: pump, signal: airbag}"))
    move = ("w1: {from: X1.1, ", "w1: {from: X1.5, ")
    for old, new in ((airbag, edited(airbag, move)), (airbag, edited(BENCH, move)), (BENCH, edited(airbag, move))):
        assert AIRBAG_EXCEPTED.strip() in " ".join(all_texts(draw_rework(since_context(old, new), REF)))
    assert AIRBAG_EXCEPTED.strip() not in " ".join(all_texts(pages_of(move)))
