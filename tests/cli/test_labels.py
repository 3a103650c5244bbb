"""The command `labels`: what it writes, what it refuses, how it ends."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner, Result

from harnessdoc.cli.main import harnessdoc

TWO = "connectors:\n  X1: {face: [[1..3]], view: mating face}\n  X2: {face: [[1..3]], view: mating face}\n"
TEXT = TWO + "wires:\n  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL}\n"
GRID = ("--rows", "13", "--columns", "5")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    Path("heron.yaml").write_text(TEXT, encoding="utf-8")
    return tmp_path


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(harnessdoc, ("labels", "heron.yaml", *arguments))
    assert isinstance(result.exception, SystemExit | None), result.exception
    assert "Traceback" not in result.output
    return result


def test_label_paper_flags_and_list_are_written() -> None:
    for arguments, said in (((*GRID, "--out", "a.pdf"), "a.pdf: 2 labels on 1 page\n"), (("--flags", "--out", "b.pdf"), "b.pdf: 2 labels on 1 page\n"), (("--out", "c.csv"), "c.csv: 2 labels\n")):
        result = run(*arguments)
        assert (result.exit_code, result.output) == (0, said)
    for name in ("a.pdf", "b.pdf"):
        assert "to X2.1" in pypdfium2.PdfDocument(name)[0].get_textpage().get_text_range()
    assert Path("c.csv").read_text().splitlines()[1] == "1,A,X1.1,1 | 1 mm² BK | to X2.1,2.47,,\"3.2/1.6 mm, 2:1\","
    assert sorted(path.name for path in Path().iterdir()) == ["a.pdf", "b.pdf", "c.csv", "heron.yaml"]


def test_the_paper_and_margins_are_those_asked_for() -> None:
    assert run(*GRID, "--paper", "letter", "--top", "0.5 in", "--left", "20", "--out", "a.pdf").exit_code == 0
    page = pypdfium2.PdfDocument("a.pdf")[0]
    assert (page.get_width(), page.get_height()) == pytest.approx((612, 792), abs=0.1)
    text = page.get_textpage()
    left, _, _, top = text.get_charbox(0)
    high = (792 - 2 * 36) / 13    # a label between margins of half an inch, in points
    assert 0 < left * 25.4 / 72 - 21.5 < 1 and 36 < 792 - top < 36 + high / 2


def test_what_is_left_out_is_as_on_the_other_side() -> None:
    assert run(*GRID, "--top", "30", "--first", "62", "--out", "a.pdf").exit_code == 0
    text = pypdfium2.PdfDocument("a.pdf")[0].get_textpage()
    heights = [297 - text.get_charbox(index)[3] * 25.4 / 72 for index in range(text.count_chars())]
    # the last of 13 rows ends 30 mm over the foot, as the first begins 30 mm under the head
    assert all(267 - (297 - 60) / 13 < height < 267 for height in heights)


def test_only_those_of_joins() -> None:
    Path("heron.yaml").write_text(TEXT + "  2: {from: X1.2, to: S1, size: 1 mm2, colour: RD, type: TXL}\n  3: {from: S1, to: X2.2, size: 1 mm2, colour: RD, type: TXL}\nsplices: {S1: {join: J7}}\n", encoding="utf-8")
    assert run("--joins-only", "--out", "c.csv").output == "c.csv: 4 labels\n"
    assert [line.split(",")[3] for line in Path("c.csv").read_text().splitlines()[1:]] == [f"J7 | {wire} | 1 mm² RD | to {to}" for wire, to in (("2", "S1"), ("2", "X1.2"), ("3", "X2.2"), ("3", "S1"))]


@pytest.mark.parametrize(("arguments", "says", "do"), [
    (("--rows", "0", "--columns", "5"), "--rows 0: label paper has at least a row", "count the rows"),
    (("--rows", "13", "--columns", "100"), "--columns 100 makes labels 2.0 mm wide; to be read at 1.8 mm letters they need 14 mm", "at most 14 columns"),
    (("--rows", "13"), "labels on paper need --rows and --columns", "--rows 13 --columns 5"),
    ((), "labels on paper need --rows and --columns", "--flags"),
    ((*GRID, "--first", "66"), "--first 66, but the paper has 65 labels", "1 to 65"),
    ((*GRID, "--top", "-3"), "--top: a length cannot be negative: '-3 mm'", "--top 10"),
    ((*GRID, "--left", "wide"), "--left: 'wide' is not a length", "--left 10"),
    ((*GRID, "--left", "nan"), "--left: 'nan' is not a length", "--left 10"),
    ((*GRID, "--right", "400"), "margins of 5 and 400 mm leave 0 mm of A4, 210 mm wide", "--left, --right"),
    ((*GRID, "--flags"), "--rows, --columns say nothing to flags", "leave them out"),
    ((*GRID, "--joins-only"), "heron.yaml has no labels of joins", "leave out --joins-only"),
])
def test_what_cannot_be_printed_is_refused_with_a_way_out(arguments: tuple[str, ...], says: str, do: str) -> None:
    result = run(*arguments, "--out", "a.pdf")
    assert result.exit_code == 2
    first, second = result.stderr.splitlines()
    assert first == f"harnessdoc: {says}" and second.startswith("  do: ") and do in second
    assert not Path("a.pdf").exists()


def test_other_names_of_files_are_refused() -> None:
    assert run("--out", "a.txt").stderr == "harnessdoc: --out a.txt does not say what to write\n  do: end its name in .pdf for paper, or in .csv for the list\n"
    assert run(*GRID, "--out", "a.csv").stderr == "harnessdoc: --rows, --columns say nothing to a list\n  do: leave them out\n"
    assert "no/a.csv cannot be written: No such file or directory" in run("--out", "no/a.csv").stderr


def test_a_table_of_the_description_is_never_overwritten() -> None:
    table = "wire,from,to\n1,X1.1,X2.1\n"
    Path("wires.csv").write_text(table, encoding="utf-8")
    Path("heron.yaml").write_text(TWO + "tables: {wires: wires.csv}\n", encoding="utf-8")
    result = run("--out", "wires.csv", "--quiet")
    assert result.exit_code == 2 and "the book is made from" in result.stderr
    assert Path("wires.csv").read_text() == table


def test_a_file_with_errors_has_no_labels() -> None:
    Path("heron.yaml").write_text(TEXT + "titel: Heron\n", encoding="utf-8")
    result = run(*GRID, "--out", "a.pdf")
    assert result.exit_code == 1 and "unknown-key" in result.stderr and not Path("a.pdf").exists()


def test_what_does_not_fit_is_told_with_its_place() -> None:
    long = "fan-of-the-second-stage-left"
    Path("heron.yaml").write_text(TEXT.replace("  1:", f"  {long}:"), encoding="utf-8")
    result = run(*GRID, "--out", "a.pdf")
    assert result.exit_code == 0
    lines = result.stderr.splitlines()
    assert lines[0].startswith(f"heron.yaml:5:33: the label of wire {long} at X1.1, '{long} | 1 mm² BK | to X2.1', needs ") and "and has 37.0 x 18.3 mm" in lines[0]
    assert lines[2:] == ["2 of 2 labels do not fit", "  do: fewer --rows or --columns, or a shorter id"]


def test_the_same_input_gives_the_same_bytes(folder: Path) -> None:
    made = []
    for seed in ("1", "2"):
        for arguments in ((*GRID, "--out", "a.pdf"), ("--flags", "--out", "b.pdf"), ("--out", "c.csv")):
            done = subprocess.run([sys.executable, "-m", "harnessdoc", "labels", "heron.yaml", *arguments], check=False, capture_output=True, text=True,
                                  env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parents[2])})
            assert done.returncode == 0, done.stderr
        made.append([(folder / name).read_bytes() for name in ("a.pdf", "b.pdf", "c.csv")])
    assert made[0] == made[1]
