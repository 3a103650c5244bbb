"""An entry more in the log: the text kept byte for byte, the new text read again before it is written."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from harnessdoc.description.append_log import CannotAppend, append_entry, entry_as_written, next_revision
from harnessdoc.description.files import load_files

ENTRY = {"revision": "B", "date": "2026-02-03", "by": "", "reading": "", "why": "wire 4 moved"}
WRITTEN = "{revision: B, date: 2026-02-03, why: wire 4 moved}"
A = "{revision: A, date: 2026-01-01}"


@pytest.mark.parametrize("last, following", [
    ("", "A"), ("A", "B"), ("H", "J"), ("N", "P"), ("I", "J"), ("O", "P"), ("Z", "AA"), ("AH", "AJ"), ("AZ", "BA"), ("ZZ", "AAA"), ("HZ", "JA"),
    ("b", "c"), ("h", "j"), ("z", "aa"), ("3", "4"), ("9", "10"), ("09", "10"), ("007", "008"), ("A1", None), ("1.2", None), ("draft", None), ("ABC", None), ("Aa", None), ("-", None), ("É", None), ("٣", None)])
def test_the_next_revision(last: str, following: str | None) -> None:
    assert next_revision(last) == following


@pytest.mark.parametrize("why, written", [
    ("wire 4 moved", "wire 4 moved"), ("a: b", '"a: b"'), ("a, b", '"a, b"'), ("no #4", '"no #4"'), ("# 4", '"# 4"'), ("- a", '"- a"'), ("? a", '"? a"'), ("*a", '"*a"'), ("&a", '"&a"'),
    ("!a", '"!a"'), ("%a", '"%a"'), ("@a", '"@a"'), ("`a`", '"`a`"'), ("[a]", '"[a]"'), ("{a}", '"{a}"'), ("say 'no'", "\"say 'no'\""), ('say "no"', "'say \"no\"'"),
    ('it\'s "no"', "'it''s \"no\"'"), ("a\\b", "'a\\b'"), ("from:E1.1", '"from:E1.1"'), ("a:", '"a:"'), ("no", "no"), ("~", '"~"'), ("010", "010"), ("12:30", '"12:30"'), ("a\n  b", "a b"),
    ("  a ", "a"), ("büro 4 mm²", "büro 4 mm²"), ("1.5 mm² → 2", '"1.5 mm² → 2"'), ("<<", '"<<"'), ("=", '"="'), ("a -", '"a -"'), ("0,75", '"0,75"'), ("|", '"|"'), ("...", '"..."'), ("---", '"---"')])
def test_what_means_something_to_yaml_is_quoted(tmp_path: Path, why: str, written: str) -> None:
    assert entry_as_written(ENTRY | {"why": why}) == f"{{revision: B, date: 2026-02-03, why: {written}}}"
    path = tmp_path / "heron.yaml"
    path.write_text("title: x\n", encoding="utf-8")
    append_entry(path.as_posix(), ENTRY | {"why": why})
    description = load_files(path)
    assert description.findings == ()
    assert description.documents[0]["log"] == [{"revision": "B", "date": "2026-02-03", "why": " ".join(why.split())}]


def test_all_that_an_entry_may_say() -> None:
    assert entry_as_written({"why": "x", "reading": "148300 km", "by": "A. Wright", "date": "2026-02-03", "revision": "10"}) == (
        "{revision: 10, date: 2026-02-03, by: A. Wright, reading: 148300 km, why: x}")


TEXTS = {
    "one-line items": (f"title: x\nlog:\n  - {A}\nwires: {{}}\n", f"title: x\nlog:\n  - {A}\n  - {WRITTEN}\nwires: {{}}\n"),
    "comments": (f"# 1\ntitle: x\nlog:   # 2\n  # 3\n  - {A}  # 4\n  # 5\n\n# 6\nwires: {{}}\n", f"# 1\ntitle: x\nlog:   # 2\n  # 3\n  - {A}  # 4\n  - {WRITTEN}\n  # 5\n\n# 6\nwires: {{}}\n"),
    "dashes in the first column": (f"log:\n- {A}\nwires: {{}}\n", f"log:\n- {A}\n- {WRITTEN}\nwires: {{}}\n"),
    "deeper": (f"log:\n      -   {A}\nwires: {{}}\n", f"log:\n      -   {A}\n      - {WRITTEN}\nwires: {{}}\n"),
    "items over several lines": ("log:\n  - revision: A\n    date: 2026-01-01\n    why: two\n      lines # c\n\nwires: {}\n",
                                 f"log:\n  - revision: A\n    date: 2026-01-01\n    why: two\n      lines # c\n  - {WRITTEN}\n\nwires: {{}}\n"),
    "a dash on a line of its own": ("log:\n  -\n    revision: A\n    date: 2026-01-01\n", f"log:\n  -\n    revision: A\n    date: 2026-01-01\n  - {WRITTEN}\n"),
    "a block of text at the end": ("log:\n  - revision: A\n    date: 2026-01-01\n    why: |\n      two\n      lines\nwires: {}\n",
                                   f"log:\n  - revision: A\n    date: 2026-01-01\n    why: |\n      two\n      lines\n  - {WRITTEN}\nwires: {{}}\n"),
    "in brackets": (f"log: [{A}]  # c\nwires: {{}}\n", f"log: [{A}, {WRITTEN}]  # c\nwires: {{}}\n"),
    "in brackets over lines": (f"log: [\n  {A},\n  ]\n", f"log: [\n  {A}, {WRITTEN},\n  ]\n"),
    "empty brackets": ("title: x\nlog: []  # none yet\nwires: {}\n", f"title: x\nlog: [{WRITTEN}]  # none yet\nwires: {{}}\n"),
    "no log": ("# c\ntitle: x\ncolours: IEC 60757   # or\n\n# wires\nwires: {}\n", f"# c\ntitle: x\ncolours: IEC 60757   # or\nlog:\n  - {WRITTEN}\n\n# wires\nwires: {{}}\n"),
    "no log, sections first": ("connectors:\n  X1: {note: x}\n  # c\n", f"connectors:\n  X1: {{note: x}}\nlog:\n  - {WRITTEN}\n  # c\n"),
    "no log, blocks of text": ("note: |+\n  a\n\n  b\n\ntitle: >-\n  c\n  d\n\n# c\nwires: {}\n", f"note: |+\n  a\n\n  b\n\ntitle: >-\n  c\n  d\n\nlog:\n  - {WRITTEN}\n# c\nwires: {{}}\n"),
    "no log, ends in a block of text": ("wires: {}\nnote: |+\n  a\n\n", f"wires: {{}}\nnote: |+\n  a\n\nlog:\n  - {WRITTEN}\n"),
    "no log, all deeper": ("  title: x\n  wires: {}\n", f"  title: x\n  log:\n    - {WRITTEN}\n  wires: {{}}\n"),
    "no log, all in brackets": ("{title: x, wires: {}}\n", f"{{title: x, wires: {{}}, log: [{WRITTEN}]}}\n"),
    "all in brackets": (f"{{title: x, log: [{A}]}}", f"{{title: x, log: [{A}, {WRITTEN}]}}"),
    "CR LF": (f"title: x\r\nlog:\r\n  - {A}\r\nwires: {{}}\r\n", f"title: x\r\nlog:\r\n  - {A}\r\n  - {WRITTEN}\r\nwires: {{}}\r\n"),
    "CR LF, no log": ("title: x\r\nwires: {}\r\n", f"title: x\r\nlog:\r\n  - {WRITTEN}\r\nwires: {{}}\r\n"),
    "CR": (f"log:\r  - {A}\rwires: {{}}\r", f"log:\r  - {A}\r  - {WRITTEN}\rwires: {{}}\r"),
    "no line end at the end": (f"log:\n  - {A}", f"log:\n  - {A}\n  - {WRITTEN}"),
    "no line end, no log": ("title: x", f"title: x\nlog:\n  - {WRITTEN}"),
    "a byte order mark": (f"\ufefflog:\n  - {A}\n", f"\ufefflog:\n  - {A}\n  - {WRITTEN}\n"),
    "begin and end marks": ("---\ntitle: x\n...\n", f"---\ntitle: x\nlog:\n  - {WRITTEN}\n...\n"),
    "a quoted key": (f"'log':\n  - {A}\n", f"'log':\n  - {A}\n  - {WRITTEN}\n"),
    "letters beyond 16 bits": (f"title: \"🔧🔧\"\nlog:\n  - {A}\n", f"title: \"🔧🔧\"\nlog:\n  - {A}\n  - {WRITTEN}\n"),
    "log is a wire too": (f"wires: {{log: {{from: unknown, to: unknown}}}}\nlog:\n  - {A}\n", f"wires: {{log: {{from: unknown, to: unknown}}}}\nlog:\n  - {A}\n  - {WRITTEN}\n"),
    "a repeated item": (f"log:\n  - &first {A}\n  - *first\n", f"log:\n  - &first {A}\n  - *first\n  - {WRITTEN}\n"),
}


@pytest.mark.parametrize("name", TEXTS)
def test_the_text_is_kept_but_for_what_is_inserted(tmp_path: Path, name: str) -> None:
    before, after = TEXTS[name]
    path = tmp_path / "heron.yaml"
    path.write_bytes(before.encode())
    append_entry(path.as_posix(), ENTRY)
    assert path.read_bytes() == after.encode()
    assert load_files(path).documents[0]["log"][-1] == {"revision": "B", "date": "2026-02-03", "why": "wire 4 moved"}
    assert os.listdir(tmp_path) == ["heron.yaml"]


def test_includes_and_tables_are_read_again_and_left_alone(tmp_path: Path) -> None:
    files = {"heron.yaml": "title: x\ninclude: cabin.yaml\ntables: {wires: wires.csv}\n", "cabin.yaml": f"log:\n  - {A}\n", "wires.csv": "wire,from,to\n1,X1.1,unknown\n"}
    for name, text in files.items():
        (tmp_path / name).write_text(text)
    append_entry((tmp_path / "heron.yaml").as_posix(), ENTRY)
    assert {name: (tmp_path / name).read_text() for name in files} == files | {
        "heron.yaml": f"title: x\ninclude: cabin.yaml\nlog:\n  - {WRITTEN}\ntables: {{wires: wires.csv}}\n"}


def refused(path: Path, entry: dict[str, str]) -> tuple[str, str]:
    before = path.read_bytes()
    with pytest.raises(CannotAppend) as caught:
        append_entry(path.as_posix(), entry)
    assert path.read_bytes() == before
    assert os.listdir(path.parent) == [path.name]
    return str(caught.value), caught.value.do


def test_a_form_that_cannot_be_added_to_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "heron.yaml"
    path.write_text(f"log: &log\n  - {A}\n")     # the dashes do not stand where the list begins
    assert refused(path, ENTRY) == (
        f"the log of '{path.as_posix()}' stands in a form that cannot be added to without changing the rest", f"add by hand, as the last entry of `log:`: {WRITTEN}")


def test_an_entry_that_may_not_stand_there(tmp_path: Path) -> None:
    path = tmp_path / "heron.yaml"
    path.write_text("title: x\n")
    refused(path, ENTRY | {"date": "soon"})


def test_a_file_that_says_nothing_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "heron.yaml"
    path.write_text("{}\n")
    assert refused(path, ENTRY)[1] == f"add by hand, as the last entry of `log:`: {WRITTEN}"


def test_a_text_that_would_read_otherwise_is_not_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "heron.yaml"
    path.write_text(f"log:\n  - {A}\n")
    for wrong in (f"log:\n  - {A}\n", f"log:\n  - {WRITTEN}\n", f"log:\n  - {A}\n  - {WRITTEN}\ntitle: x\n", f"log:\n  - {A}\n  - {WRITTEN[:-1]}, who: x}}\n", "log: [", ""):
        monkeypatch.setattr("harnessdoc.description.append_log.with_entry", lambda text, written, wrong=wrong: wrong)
        assert refused(path, ENTRY)[1] == f"add by hand, as the last entry of `log:`: {WRITTEN}"


@pytest.mark.parametrize("text", ["log:\n", "log: none\n", "log: {}\n", "titel: x\n", "wires: [", ""])
def test_a_file_with_errors_is_left_alone(tmp_path: Path, text: str) -> None:
    path = tmp_path / "heron.yaml"
    path.write_text(text)
    assert refused(path, ENTRY) == (f"'{path.as_posix()}' has errors", f"mend them first: harnessdoc check '{path.as_posix()}'")


def test_a_character_that_cannot_be_seen(tmp_path: Path) -> None:
    path = tmp_path / "heron.yaml"
    path.write_text("title: x\n")
    assert refused(path, ENTRY | {"by": "a\x07b"}) == ("`by` has a character that cannot be seen", "write it without")


def test_a_write_that_fails_leaves_the_file_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "heron.yaml"
    path.write_text("title: x\n")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    with pytest.raises(OSError, match="No space left"):
        append_entry(path.as_posix(), ENTRY)
    assert (path.read_text(), os.listdir(tmp_path)) == ("title: x\n", ["heron.yaml"])


@pytest.mark.skipif(os.name == "nt", reason="links and permissions are others there")
def test_a_link_stays_a_link_and_permissions_stay(tmp_path: Path) -> None:
    (tmp_path / "store").mkdir()
    path = tmp_path / "store/heron.yaml"
    path.write_text("title: x\n")
    path.chmod(0o640)
    (tmp_path / "heron.yaml").symlink_to("store/heron.yaml")
    append_entry((tmp_path / "heron.yaml").as_posix(), ENTRY)
    assert (tmp_path / "heron.yaml").is_symlink()
    assert (path.read_text(), path.stat().st_mode & 0o777) == (f"title: x\nlog:\n  - {WRITTEN}\n", 0o640)
