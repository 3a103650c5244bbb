"""Bad descriptions through all steps: bad_input.txt pins code, place and words of every finding.

The traps of the notation are pinned one by one in tests/description; here stands one
of each kind, and everything that the schema check, the builder and the rules refuse.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner

from harnessdoc.cli.main import harnessdoc
from harnessdoc.findings import Finding
from harnessdoc.rules.codes import CODES
from harnessdoc.rules.registry import CODES_OF_RULES
from harnessdoc.rules.show import long_form
from harnessdoc.steps import load

MAIN = "heron.yaml"
_SIGNS = str.maketrans({"→": "\t", "␇": "\x07", "◂": "\u202e", "▫": "\u200b"})


@dataclass(frozen=True, slots=True)
class Case:
    """A description of one or more files, and what is said of it."""

    name: str
    texts: dict[str, str]
    said: str


def _cases() -> list[Case]:
    cases = []
    for part in re.split(r"^=== ", Path(__file__).with_name("bad_input.txt").read_text("utf-8"), flags=re.M)[1:]:
        name, rest = part.split("\n", 1)
        files, dashes, said = rest.partition("--- ")
        main, *more = re.split(r"^\+\+\+ ", files.translate(_SIGNS), flags=re.M)
        cases.append(Case(name, {MAIN: main} | dict(text.split("\n", 1) for text in more), dashes + said))
    return cases


CASES = _cases()


def shown(findings: tuple[Finding, ...]) -> str:
    """Findings as bad_input.txt has them; what is merely not known yet is left out."""
    lines = []
    for finding in findings:
        if finding.code != "not-known-yet":
            file = "" if finding.place.file == MAIN else f"{finding.place.file}:"
            lines += [f"--- {file}{finding.place.line}:{finding.place.column}: {finding.code}: {finding.message}", *finding.do.splitlines()]
            lines += [f"also {related.place}: {related.words}" for related in finding.related]
    return "".join(f"{line}\n" for line in lines)


def test_there_are_as_many_cases_as_were_asked_for():
    assert len(CASES) >= 60
    assert len({case.name for case in CASES}) == len(CASES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_case(case):
    findings = load(MAIN, case.texts).findings
    assert shown(findings) == case.said
    for finding in findings:
        # of a rule the page has the worst it yields
        assert finding.severity <= CODES[finding.code].severity
        assert finding.severity == CODES[finding.code].severity or finding.code in CODES_OF_RULES


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_every_finding_can_be_shown(case):
    loaded = load(MAIN, case.texts)
    for finding in loaded.findings:
        first, *rest = long_form(finding, loaded.texts).split("\n")
        assert first.startswith(f"{finding.place}: {finding.code}: ")
        assert finding.message.isprintable()
        text = loaded.texts.get(finding.place.file)
        if text is not None and text.line(finding.place.line).strip():
            assert rest[1].rstrip().endswith("^")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_no_command_raises_or_writes_for_it(case, tmp_path):
    for name, text in case.texts.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    main, out = str(tmp_path / MAIN), tmp_path / "out"
    checked = CliRunner().invoke(harnessdoc, ["check", main])
    is_error = any(CODES[line.split(": ")[1]].severity.word == "error" for line in case.said.splitlines() if line.startswith("--- "))
    assert isinstance(checked.exception, SystemExit | None)
    assert "Traceback" not in checked.output
    if is_error:
        bound = CliRunner().invoke(harnessdoc, ["book", main, "--out", str(out)])
        assert (checked.exit_code, bound.exit_code) == (1, 1)
        assert isinstance(bound.exception, SystemExit)
        assert not out.exists()


DISK = {
    "missing": (None, "1:1: file-missing: there is no file 'heron.yaml'", "check the name and the folder"),
    "binary": (b"\x89PNG\r\n\x1a\n\x00\x00", "3:1: file-binary: 'heron.yaml' is no text file: byte 9 is zero", "name the description, a text file"),
    "UTF-16": ("title: Heron".encode("utf-16"), "1:1: file-encoding: 'heron.yaml' is written in UTF-16; a description is UTF-8",
               "save it as UTF-8 (the editor offers it under 'save as' or 'encoding')"),
    "Latin-1": ("title: Kabelschuh für Masse".encode("latin-1"),
                "1:20: file-encoding: byte 0xFC at line 1, column 20 is not UTF-8 (in Windows-1252 it would be 'ü')",
                "save it as UTF-8 (the editor offers it under 'save as' or 'encoding')"),
    "10 MB": (b"title: Heron\n" + b"#" * 10 * 2**20, "1:1: file-too-large: 'heron.yaml' has 10.0 MB, a description may have 5 MB",
              "divide it with 'include:', or put the wires into CSV tables"),
}


@pytest.mark.parametrize("name", DISK)
def test_case_on_disk(name, tmp_path, monkeypatch):
    data, said, do = DISK[name]
    monkeypatch.chdir(tmp_path)
    if data is not None:
        Path(MAIN).write_bytes(data)
    (finding,) = load(MAIN).findings
    assert (f"{finding.place.line}:{finding.place.column}: {finding.code}: {finding.message}", finding.do) == (said, do)


def test_a_folder_is_no_file(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path(MAIN).mkdir()
    (finding,) = load(MAIN).findings
    assert (finding.code, finding.message, finding.do) == ("file-missing", "'heron.yaml' is a folder, not a file", "name the file in it")


def test_alias_bomb():
    bomb = "title: &a [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"{name}: &{name} [{', '.join(['*' + before] * 10)}]\n" for before, name in zip("abcdefgh", "bcdefghi", strict=True))
    codes = [finding.code for finding in load(MAIN, {MAIN: bomb}).findings]
    assert codes[-1] == "too-many-aliases"
    assert set(codes) == {"wrong-kind", "unknown-key", "too-many-aliases"}


def test_ten_thousand_bad_addresses_are_reported_in_time():
    """The nearest id is not looked for ten thousand times."""
    text = "connectors:\n" + "".join(f"  X{n}: {{face: [[1..2]], view: wire side}}\n" for n in range(2000))
    text += "wires:\n" + "".join(f"  {n}: {{from: Y{n}.1, to: unknown, size: 1 mm2, colour: BK, type: TXL}}\n" for n in range(10000))
    loaded = load(MAIN, {MAIN: text})
    assert [finding.code for finding in loaded.findings if finding.code != "not-known-yet"] == ["no-such-connector"] * 10000
    assert loaded.seconds["build"] < 5
