"""The findings sheet."""

from __future__ import annotations

from dataclasses import replace

from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of

from harnessdoc.findings import Finding, Place, Severity
from harnessdoc.sheets.context import SheetKind
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
    assert row_of(page, "b-fire") == ["hazard", "b-fire", "message of b-fire", "harness.yaml:9"]
    assert {"fit a fuse", "near the source"} <= set(texts(page))
    assert_tidy(page)


def test_no_column_for_what_to_do_where_no_finding_says_it() -> None:
    context = replace(context_of("title: t"), findings=FOUND[:1])
    page, = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    assert "What to do" not in texts(page) and row_of(page, "a-hint") == ["advice", "a-hint", "message of a-hint", "harness.yaml:4"]


def test_nothing_found_is_said() -> None:
    context = replace(context_of("title: t"), findings=())
    page, = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    assert "Nothing found." in texts(page)


def test_every_severity_but_error_has_its_meaning() -> None:
    assert set(MEANINGS) == set(Severity) - {Severity.ERROR}
