"""The commands: what they print, what they write, how they end."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from harnessdoc.cli.main import harnessdoc
from harnessdoc.cli.starter import STARTER
from harnessdoc.rules.codes import CODES, page

TWO = "connectors:\n  X1: {face: [[1..3]], view: mating face}\n  X2: {face: [[1..3]], view: mating face}\n"
WIRE = "size: 1 mm2, colour: BK, type: TXL"
CLEAN = TWO + f"wires:\n  1: {{from: X1.1, to: X2.1, {WIRE}}}\n"
ADVICE = TWO + f"wires:\n  1: {{from: X1.1, to: unknown, {WIRE}}}\n"
MALFUNCTION = CLEAN + "splices:\n  S1: {}\n"
ERROR = CLEAN + "titel: Heron\n"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*arguments: str, text: str | None = None) -> Result:
    if text is not None:
        Path("heron.yaml").write_text(text, encoding="utf-8")
    result = CliRunner().invoke(harnessdoc, arguments)
    assert isinstance(result.exception, SystemExit | None), result.exception
    assert "Traceback" not in result.output
    return result


def test_help_names_every_command():
    result = run("--help")
    assert result.exit_code == 0
    assert re.findall(r"^  ([a-z][\w-]+)  ", result.output, re.MULTILINE) == ["book", "booklet", "check", "diff", "give", "join", "keep-order", "labels", "log", "match", "new", "readings", "recipe", "sheet", "trace", "why"]


def test_version():
    assert re.fullmatch(r"harnessdoc \d+\.\d+\.\d+\n", run("--version").output)


# ---------------------------------------------------------------- new


def test_new_writes_a_file_that_is_clean_but_for_one_unknown():
    result = run("new", "heron")
    assert (result.exit_code, result.output) == (0, "heron.yaml is written; next: harnessdoc check heron.yaml\n")
    assert Path("heron.yaml").read_text() == STARTER
    checked = run("check", "heron.yaml", "--quiet")
    assert checked.exit_code == 0
    assert [line.split(": ")[1] for line in checked.output.splitlines()] == ["not-known-yet"]


def test_new_leaves_an_existing_file_alone():
    result = run("new", "heron.yaml", text="mine")
    assert result.exit_code == 2
    assert result.stderr == "harnessdoc: heron.yaml is there already and was left alone\n  do: give another name, or move the old file away\n"
    assert Path("heron.yaml").read_text() == "mine"


def test_new_in_a_folder_that_is_not_there():
    result = run("new", "no/heron.yaml")
    assert result.exit_code == 2
    assert result.stderr == f"harnessdoc: {Path('no/heron.yaml')} cannot be written: No such file or directory\n  do: choose a folder you may write to\n"


# ---------------------------------------------------------------- check


@pytest.mark.parametrize("text, level, code", [
    (CLEAN, None, 0), (CLEAN, "advice", 0), (ADVICE, None, 0), (ADVICE, "advice", 1), (MALFUNCTION, None, 1), (MALFUNCTION, "malfunction", 1),
    (MALFUNCTION, "damage", 0), (MALFUNCTION, "error", 0), (ERROR, None, 1), (ERROR, "error", 1)])
def test_check_exits_by_the_level(text, level, code):
    assert run("check", "heron.yaml", *(["--level", level] if level else []), text=text).exit_code == code


def test_check_prints_the_long_form_and_the_count():
    result = run("check", "heron.yaml", text=ADVICE)
    assert result.stdout == (
        "heron.yaml:5:6: not-known-yet: wire 1: far end not known yet\n"
        "    5 |   1: {from: X1.1, to: unknown, size: 1 mm2, colour: BK, type: TXL}\n"
        "      |      ^\n"
        "  severity: advice\n"
        "  at: wire 1\n"
        "  do: find it out at the bench, and write it: `to: X9.1` for example\n\n"
        "1 advice\n")
    assert result.stderr == ""


def test_check_of_a_clean_file_says_so():
    result = run("check", "heron.yaml", text=CLEAN)
    assert (result.stdout, result.stderr) == ("nothing found\n", "")


def test_check_quietly_prints_one_line_a_finding_and_nothing_else():
    result = run("check", "heron.yaml", "--quiet", text=ERROR)
    assert (result.stdout, result.stderr) == ("heron.yaml:6:1: unknown-key: the description has no key `titel`\n", "")


def test_check_prints_errors_last_and_json_in_the_order_of_the_file():
    Path("order.yaml").write_text("title: a\nconnectors:\n  X1: {face: [[1, 2]], view: wire side}\nwires:\n  1: {from: X1.9, to: unknown}\n  2: {from: X1.2, to: unknown}\n", encoding="utf-8")
    lines = run("check", "order.yaml", "--quiet").output.splitlines()
    assert [line.split(": ")[1] for line in lines] == ["not-known-yet", "not-known-yet", "no-such-cavity"]
    found = json.loads(run("check", "order.yaml", "--format", "json").output)["findings"]
    assert [finding["line"] for finding in found] == sorted(finding["line"] for finding in found)
    assert "no-such-cavity" in [finding["code"] for finding in found[:-1]]


def test_check_as_json():
    result = run("check", "heron.yaml", "--format", "json", text=ERROR)
    (finding,) = json.loads(result.stdout)["findings"]
    assert (finding["line"], finding["column"], finding["code"], finding["severity"], result.stderr) == (6, 1, "unknown-key", "error", "")
    assert run("check", "heron.yaml", "--format", "json", text=CLEAN).stdout == '{\n "findings": [],\n "waived": [],\n "not_asked": []\n}\n'


def test_check_times_the_steps_when_asked():
    lines = run("check", "heron.yaml", "--timing", text=CLEAN).stderr.splitlines()
    assert [line.split()[0] for line in lines] == ["read", "validate", "build", "connect", "route", "check"]


def test_check_of_a_file_that_is_not_there():
    result = run("check", "heron.yaml", "--quiet")
    assert (result.exit_code, result.stdout) == (1, "heron.yaml:1:1: file-missing: there is no file 'heron.yaml'\n")


@pytest.mark.parametrize("arguments", [
    ("check",), ("check", "a", "b"), ("check", "a", "--level", "awful"), ("book", "a"), ("give", "a"), ("give", "a", "--as", "bom.csv"),
    ("trace", "a"), ("why", "a", "b"), ("readings",), ("readings", "a", "--engine", "idling"), ("draw", "a"), ("book", "a", "--out", "o", "--paper", "a0"), ("book", "a", "--out", "o", "--units", "cm")])
def test_wrong_usage_ends_with_2(arguments):
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stderr.startswith("Usage: ")


# ---------------------------------------------------------------- trace and why


def test_trace_prints_the_copper():
    result = run("trace", "heron.yaml", "X1.1", text=CLEAN)
    assert result.exit_code == 0
    assert "X2.1" in result.stdout and result.stderr == ""


def test_trace_of_an_address_that_is_not_there():
    result = run("trace", "heron.yaml", "X1.9", text=CLEAN)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("harnessdoc: heron.yaml has no address 'X1.9'\n  do: did you mean X1.")


def test_trace_goes_on_beside_an_error_and_says_it():
    result = run("trace", "heron.yaml", "X1.1", text=ERROR)
    assert result.exit_code == 1
    assert "X2.1" in result.stdout
    assert result.stderr == "heron.yaml:6:1: unknown-key: the description has no key `titel`\n"


@pytest.mark.parametrize("code", CODES)
def test_why_prints_the_page(code):
    result = run("why", code)
    assert (result.exit_code, result.stdout) == (0, page(code) + "\n")


def test_why_of_another_word():
    result = run("why", "unknown-keys")
    assert result.exit_code == 2
    assert result.stderr.startswith("harnessdoc: there is no code 'unknown-keys'\n  do: did you mean unknown-key")


# ---------------------------------------------------------------- book, sheet, give


def test_an_error_blocks_book_sheet_and_give():
    for arguments in (("book", "heron.yaml", "--out", "out"), ("sheet", "heron.yaml", "pinout-X1"), ("give", "heron.yaml", "--as", "cut.csv")):
        result = run(*arguments, text=ERROR)
        assert result.exit_code == 1
        assert result.stdout == ""
        assert "heron.yaml:6:1: unknown-key:" in result.stderr
        assert os.listdir() == ["heron.yaml"]


def test_a_book_is_bound_and_what_is_not_known_does_not_block_it():
    result = run("book", "heron.yaml", "--out", "out", text=ADVICE)
    assert result.exit_code == 0
    assert re.fullmatch(r"out.heron\.pdf: \d+ pages; every sheet as SVG in out.sheets\n", result.stdout)
    assert result.stderr == "heron.yaml: 1 advice; `harnessdoc check heron.yaml` prints them\n"
    assert Path("out/heron.pdf").read_bytes().startswith(b"%PDF-")
    assert {"cut.csv", "parts.csv", "labels.csv", "sheets", "heron.pdf"} == set(os.listdir("out"))


def contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def test_a_failing_write_leaves_the_old_book_whole(monkeypatch):
    run("book", "heron.yaml", "--out", "out", text=CLEAN)
    before = contents(Path("out"))
    assert before

    def full(path: Path, *_: object, **__: object) -> None:
        raise OSError(28, "No space left on device", str(path))

    with monkeypatch.context() as broken:
        broken.setattr(Path, "write_bytes", full)
        result = run("book", "heron.yaml", "--out", "out")
    assert result.exit_code == 2
    assert "cannot be written: No space left on device\n  do: what stood there is whole; name another folder\n" in result.stderr
    assert contents(Path("out")) == before


def test_an_error_after_a_good_run_leaves_the_old_book_whole():
    run("book", "heron.yaml", "--out", "out", text=CLEAN)
    before = contents(Path("out"))
    assert run("book", "heron.yaml", "--out", "out", text=ERROR).exit_code == 1
    assert contents(Path("out")) == before


def test_a_file_where_the_folder_should_be():
    Path("out").write_text("mine")
    result = run("book", "heron.yaml", "--out", "out", text=CLEAN)
    assert result.exit_code == 2
    assert Path("out").read_text() == "mine"


NASTY = ["<script>alert(1)<!script>", "it's", 'a"b', "a&b", "🔧", "naïve", "..", "con", "a b", "%s{}$x"]


def quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def test_ids_that_mean_something_elsewhere_are_only_text_here():
    """Markup, quotes, emoji and file names of other kinds in ids, titles and notes."""
    text = "connectors:\n" + "".join(
        f"  {quoted(name)}: {{title: {quoted(name)}, face: [[1..2]], view: mating face}}\n" for name in NASTY)
    text += "title: '</text><script>x</script>'\nwires:\n" + "".join(
        f"  {number}: {{from: {quoted(name + '.1')}, to: {quoted(NASTY[0] + '.2') if number == 1 else 'unknown'}, {WIRE}}}\n" for number, name in enumerate(NASTY))
    result = run("book", "heron.yaml", "--out", "out", text=text)
    assert result.exit_code == 0, result.stderr
    sheets = sorted(Path("out/sheets").glob("*.svg"))
    assert len(list(Path("out").rglob("*"))) == len(sheets) + 5
    for sheet in sheets:
        assert re.fullmatch(r"[A-Za-z0-9_.+()-]+", sheet.name), sheet.name
        root = ElementTree.fromstring(sheet.read_text(encoding="utf-8"))
        assert all(element.tag.rsplit("}", 1)[-1].lower() != "script" for element in root.iter())
    names = [sheet.name.lower() for sheet in sheets]
    assert len(set(names)) == len(names)


def test_give_prints_a_list():
    for name in ("cut.csv", "parts.csv", "labels.csv"):
        result = run("give", "heron.yaml", "--as", name, text=CLEAN)
        assert result.exit_code == 0
        assert "," in result.stdout.splitlines()[0]


def test_sheet_writes_one_sheet_by_name_or_by_what_it_shows():
    for name in ("X1", "pinout-X1"):
        result = run("sheet", "heron.yaml", name, "--out", "one", text=CLEAN)
        assert (result.exit_code, result.stderr) == (0, "")
        assert result.stdout.strip() == os.path.join("one", "pinout-X1.svg")
        assert Path("one/pinout-X1.svg").read_text(encoding="utf-8").startswith("<?xml")


def test_sheet_of_another_name():
    result = run("sheet", "heron.yaml", "X9", "--out", "one", text=CLEAN)
    assert result.exit_code == 2
    assert result.stderr.startswith("harnessdoc: ") and "X9" in result.stderr
    assert not Path("one").exists()


@pytest.mark.parametrize(("name", "do"), [("Ground distribution", "did you mean ground?"), ("grounds-distribution", "did you mean ground or "), ("Fuses and relays", "did you mean fuse-relay?")])
def test_a_sheet_is_found_by_its_title_too(name, do):
    result = run("sheet", "heron.yaml", name, "--out", "one", text=CLEAN.replace("to: X2.1", "to: G1") + "grounds: {G1: {}}\nfuses: {F1: {rating: 5 A}}\n")
    assert do in result.output, result.output


# ---------------------------------------------------------------- real processes


def process(*arguments: str, encoding: str = "utf-8") -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "COLUMNS": "80"}
    return subprocess.run([sys.executable, "-c", "from harnessdoc.cli.main import main; main()", *arguments],
                          capture_output=True, check=False, env=environment)


def test_a_process_ends_with_the_code():
    Path("heron.yaml").write_text(ERROR)
    done = process("check", "heron.yaml", "--quiet")
    assert (done.returncode, done.stderr) == (1, b"")
    assert done.stdout.decode() == "heron.yaml:6:1: unknown-key: the description has no key `titel`\n".replace("\n", os.linesep)


def test_a_process_survives_a_terminal_that_lacks_a_letter():
    Path("heron.yaml").write_text("titel: Kühler 🔧\n", encoding="utf-8")
    done = process("check", "heron.yaml", encoding="latin-1")
    assert done.returncode == 1
    assert b"K\xfchler \\U0001f527" in done.stdout and b"Traceback" not in done.stderr


def test_a_process_with_a_file_that_is_no_text():
    Path("heron.yaml").write_bytes(b"\x00\x01\x02")
    done = process("book", "heron.yaml", "--out", "out")
    assert done.returncode == 1
    assert b"file-binary" in done.stderr and b"Traceback" not in done.stderr
    assert os.listdir() == ["heron.yaml"]
