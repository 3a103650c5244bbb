"""How findings are shown: the line, the long form, JSON, the count."""

from __future__ import annotations

import json

from harnessdoc.description.text import SourceText
from harnessdoc.findings import Finding, Place, Related, Severity
from harnessdoc.rules.show import as_json, line_form, long_form, mildest_first, summary

TEXT = SourceText("heron.yaml", "wires:\n\t1: {from: X1.1,\tto: X9.1}\n\n  2: {to: S1\u202e}\n")
FINDING = Finding("no-such-connector", Severity.ERROR, "`to` of wire 1 is 'X9.1', but there is no connector X9", Place("heron.yaml", 2, 22),
                  "did you mean X1?\nor declare it", (Related(Place("heron.yaml", 4, 3), "wire 2 stands here"),))


def test_the_line_form():
    assert line_form(FINDING) == "heron.yaml:2:22: no-such-connector: `to` of wire 1 is 'X9.1', but there is no connector X9"


def test_the_line_form_is_one_line_whatever_stands_in_it():
    finding = Finding("a-b", Severity.ADVICE, "one\ntwo\u2028three\x07four\u202efive", Place("a.yaml", 1, 1))
    assert line_form(finding) == "a.yaml:1:1: a-b: one two<U+2028>three<U+0007>four<U+202E>five"


def test_errors_come_last_and_those_alike_stay_as_they_are():
    findings = [Finding(code, severity, "", Place("a.yaml", line, 1)) for line, (code, severity) in enumerate((
        ("b", Severity.ERROR), ("c", Severity.ADVICE), ("a", Severity.HAZARD), ("d", Severity.ERROR), ("a", Severity.ADVICE)), 1)]
    assert [(finding.code, finding.place.line) for finding in mildest_first(findings)] == [("c", 2), ("a", 5), ("a", 3), ("b", 1), ("d", 4)]


def test_the_long_form():
    assert long_form(FINDING, {"heron.yaml": TEXT}).split("\n") == [
        "heron.yaml:2:22: no-such-connector: `to` of wire 1 is 'X9.1', but there is no connector X9",
        "    2 | \t1: {from: X1.1,\tto: X9.1}",
        "      | \t               \t    ^",
        "  severity: error",
        "  heron.yaml:4:3: wire 2 stands here",
        "    4 |   2: {to: S1\N{REPLACEMENT CHARACTER}}",
        "      |   ^",
        "  do: did you mean X1?",
        "      or declare it"]


def test_the_long_form_without_a_line_to_show():
    finding = Finding("file-missing", Severity.ERROR, "there is no file", Place("b.yaml", 1, 1), "check the name")
    assert long_form(finding, {}) == "b.yaml:1:1: file-missing: there is no file\n  severity: error\n  do: check the name"
    blank = Finding("a-b", Severity.ADVICE, "nothing here", Place("heron.yaml", 3, 1))
    assert long_form(blank, {"heron.yaml": TEXT}) == "heron.yaml:3:1: a-b: nothing here\n  severity: advice"


def test_json():
    assert json.loads(as_json([FINDING]))["findings"] == [{
        "file": "heron.yaml", "line": 2, "column": 22, "code": "no-such-connector", "severity": "error",
        "message": "`to` of wire 1 is 'X9.1', but there is no connector X9", "do": "did you mean X1?\nor declare it",
        "at": [], "state": "", "value": "", "limit": "", "origin": "",
        "related": [{"file": "heron.yaml", "line": 4, "column": 3, "words": "wire 2 stands here"}]}]
    assert json.loads(as_json([])) == {"findings": [], "waived": [], "not_asked": []}


def test_the_count_worst_first():
    def some(*severities: Severity) -> list[Finding]:
        return [Finding("a-b", severity, "", Place("a", 1, 1)) for severity in severities]

    assert summary([]) == "nothing found"
    assert summary(some(Severity.ADVICE)) == "1 advice"
    assert summary(some(Severity.ADVICE, Severity.ERROR, Severity.ADVICE, Severity.DAMAGE, Severity.ERROR)) == "2 errors, 1 damage, 2 advice"
    assert summary(some(Severity.HAZARD, Severity.HAZARD, Severity.MALFUNCTION, Severity.DAMAGE, Severity.DAMAGE)) == "2 hazards, 2 damage, 1 malfunction"


def test_a_page_of_a_long_line_is_not_cut_where_the_mark_stands():
    text = SourceText("a.yaml", "note: " + "x" * 300 + "\n")
    lines = long_form(Finding("a-b", Severity.ADVICE, "m", Place("a.yaml", 1, 200)), {"a.yaml": text}).split("\n")
    assert lines[2].index("^") - len("      | ") == 199
