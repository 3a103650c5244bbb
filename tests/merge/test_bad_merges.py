"""Bad merges through all steps: bad_merges.txt pins code, place and words of every finding about the merge itself."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner
from merge.vehicles import HEAD, texts

from harnessdoc.cli.main import harnessdoc
from harnessdoc.findings import Finding, Severity
from harnessdoc.rules.codes import CODES
from harnessdoc.steps import load

FILE = Path(__file__).with_name("bad_merges.txt")
_TOLD = ("kept-end-gone", "joined-without-join", "interface-not-joined", "join-leads-nowhere", "feed-cut-off", "stub-too-short", "kept-wire-too-short", "stub-longer-than-wire", "tap-into-what-leaves")
_WHOLE = "!\n"


@dataclass(frozen=True, slots=True)
class Case:
    """A merge, and what is said of it."""

    name: str
    texts: dict[str, str]
    said: str


def _cases() -> list[Case]:
    cases = []
    for part in re.split(r"^=== ", FILE.read_text("utf-8"), flags=re.M)[1:]:
        name, rest = part.split("\n", 1)
        files, dashes, said = rest.partition("--- ")
        main, *more = re.split(r"^\+\+\+ ", files, flags=re.M)
        whole = main.removesuffix(_WHOLE) if main.endswith(_WHOLE) else HEAD + main
        cases.append(Case(name, texts(whole) | dict(text.split("\n", 1) for text in more), dashes + said))
    return cases


CASES = _cases()


def shown(findings: tuple[Finding, ...]) -> str:
    """The errors, and what is found of the merge itself, with place, way out and related places."""
    lines = []
    for finding in findings:
        if finding.severity is Severity.ERROR or finding.code in _TOLD:
            file = "" if finding.place.file == "merge.yaml" else f"{finding.place.file}:"
            lines += [f"--- {file}{finding.place.line}:{finding.place.column}: {finding.code}: {finding.message}", *finding.do.splitlines()]
            lines += [f"also {related.place}: {related.words}" for related in finding.related]
    return "".join(f"{line}\n" for line in lines)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_case(case):
    findings = load("merge.yaml", case.texts).findings
    assert shown(findings) == case.said
    assert all(finding.code in CODES for finding in findings)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_no_command_raises_or_writes_for_it(case, tmp_path):
    for name, text in case.texts.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    main = str(tmp_path / "merge.yaml")
    for arguments in (["check", main], ["diff", main, main], ["join", main, "host/X7.2", "donor/A1.L"], ["sheet", main, "cover", "--out", str(tmp_path / "out")]):
        result = CliRunner().invoke(harnessdoc, arguments)
        assert result.exception is None or isinstance(result.exception, SystemExit), arguments
    assert {name: data for name, data in before.items() if (tmp_path / name).read_bytes() != data} == {}


def test_every_code_of_the_merge_stands_here():
    from harnessdoc.rules.codes import _MERGE

    missing = [code for code in _MERGE if f": {code}: " not in FILE.read_text("utf-8")]
    assert missing == ["device-leaves-untold", "key-switch-undecided", "fate-undecided", "cavity-left-open"]       # in test_silences, test_assemble and test_computed
