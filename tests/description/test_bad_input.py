"""Every trap of the notation, pinned word for word: bad_input.txt holds the cases."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from harnessdoc.description.files import load_files
from harnessdoc.findings import Severity

_SIGNS = str.maketrans({"→": "\t", "␇": "\x07", "␤": "\u2028"})


def _cases() -> list[tuple[str, str, list[str], object]]:
    """(name, text, findings, what is read) of every case in bad_input.txt."""
    cases = []
    for part in re.split(r"^=== ", Path(__file__).with_name("bad_input.txt").read_text("utf-8"), flags=re.M)[
        1:
    ]:
        name, rest = part.split("\n", 1)
        expected, read = re.split(r"^\.\.\. (?=null|\{)", rest, maxsplit=1, flags=re.M)
        text, *said = re.split(r"^--- (?=\d)", expected, flags=re.M)
        cases.append((name, text.translate(_SIGNS), [words.rstrip("\n") for words in said], json.loads(read)))
    return cases


CASES = _cases()


def test_there_are_as_many_cases_as_were_asked_for():
    assert len(CASES) >= 60
    assert len({name for name, *_ in CASES}) == len(CASES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case[0])
def test_case(case):
    name, text, said, read = case
    description = load_files("heron.yaml", {"heron.yaml": text, "a.yaml": "title: a\n"})

    shown = [
        f"{finding.place.line}:{finding.place.column}: {finding.code}: {finding.message}\n{finding.do}"
        for finding in description.findings
    ]
    assert shown == said
    assert all(finding.severity is Severity.ERROR for finding in description.findings)
    assert (description.documents[0] if description.documents else None) == read


@pytest.mark.parametrize("case", CASES, ids=lambda case: case[0])
def test_the_parsers_own_words_never_reach_the_user(case):
    theirs = (
        "mapping values",
        "flow",
        "scalar",
        "block mapping",
        "token",
        "simple key",
        "node content",
        "stream",
    )
    for finding in load_files("heron.yaml", {"heron.yaml": case[1]}).findings:
        assert not any(words in finding.message + finding.do for words in theirs)


_WRITE = re.compile(
    r"(?:write|quote it|if it is [^:]*|use single quotes|put a comma between): ([^\n]+)|quote it as a whole: ([^\n]+)"
    r"|write (?:the decimal point|it as deep as that line): ([^\n]+)"
)


def _line_to_write(case) -> str | None:
    """The line the first finding of a case says to write, if its way out is a line."""
    match = _WRITE.match(case[2][0].split("\n", 1)[1])
    return next(filter(None, match.groups())) if match else None


MENDED = [case for case in CASES if _line_to_write(case)]


def test_most_ways_out_are_a_line_to_write():
    assert len(MENDED) >= 60


@pytest.mark.parametrize("case", MENDED, ids=lambda case: case[0])
def test_the_line_as_it_should_stand_can_be_read(case):
    """With the line the message prints in place of the faulty one, nothing is wrong with it."""
    _, text, said, _ = case
    number, code = int(said[0].split(":")[0]), said[0].split(": ")[1]
    lines = text.split("\n")
    written = _line_to_write(case)
    if code not in ("tab-indentation", "bad-indentation"):  # these print the indentation too
        written = re.match(" *", lines[number - 1])[0] + written
    lines[number - 1] = written
    again = load_files("heron.yaml", {"heron.yaml": "\n".join(lines), "a.yaml": "title: a\n"}).findings
    assert [finding for finding in again if finding.place.line == number] == []


def test_one_finding_for_lines_in_a_row_that_have_tabs():
    text = "wires:\n" + "".join(
        f"\t{number}: {{from: X1.{number}, to: X2.{number}}}\n" for number in range(50)
    )
    assert [finding.place.line for finding in load_files("heron.yaml", {"heron.yaml": text}).findings] == [2]


def test_after_ten_lines_that_cannot_be_read_the_rest_is_given_up():
    text = "title: Heron\n" + "".join(f"k{number}: a: b\n" for number in range(30))
    description = load_files("heron.yaml", {"heron.yaml": text})
    assert [finding.code for finding in description.findings] == ["colon-in-value"] * 10 + ["unreadable"]
    last = description.findings[-1]
    assert (last.place.line, last.place.column) == (11, 6)
    assert last.message == "after 10 lines that cannot be read the rest of the file was left out"
    assert description.documents[0]["title"] == "Heron"
    assert not description.is_whole


def test_alias_bomb():
    bomb = "a: &a [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
        f"{name}: &{name} [{', '.join(['*' + before] * 10)}]\n"
        for before, name in zip("abcdefgh", "bcdefghi", strict=True)
    )
    (finding,) = load_files("heron.yaml", {"heron.yaml": bomb}).findings
    assert (finding.code, finding.place.line, finding.place.column) == ("too-many-aliases", 5, 36)
    assert finding.message == "the repeats ('*d') add more than 100,000 values to the file"


@pytest.mark.parametrize(
    "text, line, column",
    [
        ("a: " + "[" * 41 + "]" * 41 + "\ntitle: Heron\n", 1, 43),
        ("a0: &a0 [x]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}]\n" for n in range(1, 60)), 40, 12),
    ],
    ids=["written out", "by repeats"],
)
def test_nested_too_deep(text, line, column):
    findings = load_files("heron.yaml", {"heron.yaml": text}).findings
    first = findings[0]
    assert (first.code, first.place.line, first.place.column) == ("too-deep", line, column)
    assert first.message == "more than 40 maps and lists stand inside each other"
