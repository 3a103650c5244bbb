"""The findings sheet."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of
from sheets.marked_contexts import since_context
from sheets.revision_reader import struck

from harnessdoc.findings import Finding, Place, Severity
from harnessdoc.rules.lack import Unasked
from harnessdoc.rules.waivers import Waived
from harnessdoc.sheets.context import FlaggedAt, SheetKind
from harnessdoc.sheets.findings import MEANINGS, draw_findings, printed_findings


def finding(code: str, severity: Severity, line: int, do: str = "") -> Finding:
    return Finding(code, severity, f"message of {code}", Place("folder/harness.yaml", line, 3), do)


FOUND = (finding("a-hint", Severity.ADVICE, 4), finding("b-fire", Severity.HAZARD, 9, "fit a fuse\nnear the source"), finding("c-hint", Severity.ADVICE, 2),
         finding("d-dies", Severity.DAMAGE, 5), finding("e-odd", Severity.MALFUNCTION, 1), finding("f-error", Severity.ERROR, 1))


def test_worst_first_then_by_place_and_no_errors() -> None:
    context = replace(context_of("title: t"), findings=FOUND)
    assert [one.code for one in printed_findings(context)] == ["b-fire", "d-dies", "e-odd", "c-hint", "a-hint"]


def test_a_row_holds_severity_code_message_place_and_what_to_do() -> None:
    context = replace(context_of("title: t"), findings=FOUND)
    page, = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    assert row_of(page, "b-fire") == ["1", "hazard", "b-fire", "message of b-fire", "harness.yaml:9"]
    assert {"fit a fuse", "near the source"} <= set(texts(page))
    assert_tidy(page)


def test_no_column_for_what_to_do_where_no_finding_says_it() -> None:
    context = replace(context_of("title: t"), findings=FOUND[:1])
    page, = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    assert "What to do" not in texts(page) and row_of(page, "a-hint") == ["1", "advice", "a-hint", "message of a-hint", "harness.yaml:4"]


def test_nothing_found_is_said() -> None:
    context = replace(context_of("title: t"), findings=())
    page, = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    assert "Nothing found." in texts(page)


def test_every_severity_but_error_has_its_meaning() -> None:
    assert set(MEANINGS) == set(Severity) - {Severity.ERROR}


PLUGS = """
    title: t
    connectors:
      X1: {face: [[1, 2]], view: mating face}
      X2: {face: [[1, 2]], view: mating face}
    wires:
      7: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD, type: PVC 85 C}
"""


def test_what_was_found_has_its_state_its_value_and_where_the_limit_comes_from() -> None:
    judged = replace(FOUND[3], state="driving", value="23.4 A", limit="15 A", origin="33 CFR 183.425")
    without = (replace(FOUND[1], value="3 eyelets", limit="2 eyelets"), replace(FOUND[2], state="key off", origin="common practice"), replace(FOUND[0], origin="from memory"))
    context = replace(context_of("title: t"), findings=(judged, *without))
    page, = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    found = texts(page)
    at = found.index("message of d-dies")
    assert found[at + 1] == "driving: 23.4 A, limit 15 A (33 CFR 183.425)"
    assert {"3 eyelets, limit 2 eyelets", "key off"} <= set(found)
    assert not any("common practice" in text or "from memory" in text for text in found), "the source of a limit that is not said"


@pytest.mark.parametrize("paper", ["a4", "a5", "letter"])
def test_where_says_the_sheet_and_field_of_the_first_things_and_which_page_of_several(paper: str) -> None:
    lying = replace(FOUND[1], at=("wire 7", "X2.1", "nothing known", "X1.1"))
    context = replace(context_of(PLUGS, paper=paper), findings=(lying,), flagged_on={(1, "pinout-X1"): FlaggedAt(1, 1, "B2"), (1, "pinout-X2"): FlaggedAt(2, 3, "D4")})
    page, = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    found = texts(page)
    at = found.index("harness.yaml:9")
    assert found[at + 1:at + 4] == ["wire 7 → 7 B2", "X2.1 → 8.2 D4", "nothing known"] and not any("X1.1" in text for text in found)
    unflagged = replace(context, flagged_on={(1, "cut-list"): FlaggedAt(2, 2, "A1")})
    assert {"wire 7 → 11.2 A1", "X2.1 → 8"} <= set(texts(draw_findings(unflagged, ref_of(context, SheetKind.FINDINGS))[0])), "a sheet with a flag before one without"


def test_a_sheet_and_its_field_are_never_parted() -> None:
    long = "connector-of-a-name"
    context = context_of(PLUGS.replace("X1", long))
    lying = replace(FOUND[1], at=(f"{long}.1",))
    context = replace(context, findings=(lying,), flagged_on={(1, f"pinout-{long}"): FlaggedAt(12, 13, "B2")})
    assert {f"{long}.1", "→ 7.12 B2"} <= set(texts(draw_findings(context, ref_of(context, SheetKind.FINDINGS))[0]))


@pytest.mark.parametrize("paper", ["a4", "a5", "letter"])
def test_what_is_accepted_and_what_was_not_asked(paper: str) -> None:
    waiver = SimpleNamespace(at="GE2", code="c", reason="as its maker built it", date="2026-10-20")
    waived, unasked = (Waived(FOUND[1], waiver),), (Unasked("x-rule", ("F1", "F2", "F3", "F4", "F5", "F6", "F7", "F8"), "`rating: 15 A` to each fuse"), Unasked("y-rule", (), "`clips: 200 mm`"))
    context = replace(context_of("title: t", paper=paper), findings=(), waived=waived, unasked=unasked)
    pages = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    for page in pages:
        assert_tidy(page)
    said = " ".join(text for page in pages for text in texts(page))
    assert "Nothing found but what is accepted below." in said and "hexagon" not in said
    accepted, not_asked = said.index("Accepted, with a reason"), said.index("Not asked, as the description does not say it")
    assert accepted < said.index("hazard") < said.index("b-fire") < said.index("as its maker built it") < said.index("2026-10-20") < not_asked < said.index("x-rule")
    assert "GE2" in said and "F6 and 2 more" in said and "F7" not in said and "`clips: 200 mm`" in said


BORNE = """
    title: t
    splices:
      S1: {}
    connectors:
      X1: {face: [[1, 2]], view: mating face}
    wires:
      7: {from: X1.1, to: S1, size: 1 mm2, colour: RD, type: PVC 85 C}
"""
WAIVER = """
    waivers:
      - {at: S1, code: splice-of-one, reason: the rest is not taped open yet, date: 2026-11-02}
"""


@pytest.mark.parametrize("paper", ["a4", "a5", "letter"])
def test_what_is_waived_now_is_not_struck_as_gone_but_stands_among_what_is_accepted(paper: str) -> None:
    def struck_in(old: str, new: str) -> list[str]:
        context = since_context(old, new, paper=paper)
        pages = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
        for page in pages:
            assert_tidy(page)
        return [text for page in pages for text in struck(page)]

    assert "splice-of-one" not in struck_in(BORNE, BORNE + WAIVER)
    assert "splice-of-one" in struck_in(BORNE, BORNE.replace("      7:", "      8: {from: X1.2, to: S1, size: 1 mm2, colour: RD, type: PVC 85 C}\n      7:")), "a fault that is mended is gone"
    assert "splice-of-one" in struck_in(BORNE + WAIVER, BORNE), "of what is accepted no longer the old row goes"


def test_a_page_goes_on_under_its_heads_and_its_heading() -> None:
    unasked = tuple(Unasked(f"rule-{number}", (), f"key {number}") for number in range(60))
    context = replace(context_of("title: t"), findings=FOUND, unasked=unasked)
    pages = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    assert len(pages) > 1
    for page in pages[1:]:
        assert {"Not asked of", "What to add", "Not asked, as the description does not say it (continued)"} <= set(texts(page))
    assert [text for page in pages for text in texts(page) if text.startswith("rule-")] == [f"rule-{number}" for number in range(60)]


def test_long_words_stay_in_their_cells() -> None:
    long = "".join(f"unbreakable{number}" for number in range(20))
    waiver = SimpleNamespace(at=long, code="c", reason=f"{long} {long}", date="2026-10-20")
    lying = Finding(long, Severity.ADVICE, f"{long} and words {long}", Place(f"{long}.yaml", 12345, 1), f"do {long}", at=(f"wire {long}", long), state=long, value=long, limit=long, origin=long)
    for paper in ("a4", "a5", "letter"):
        context = replace(context_of("title: t", paper=paper), findings=(lying,), waived=(Waived(lying, waiver),), unasked=(Unasked(long, (long, long), long),))
        for page in draw_findings(context, ref_of(context, SheetKind.FINDINGS)):
            assert_tidy(page)
