"""The lists of a merge on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from sheets.merged import FILES

from harnessdoc.cli.main import harnessdoc


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, text in FILES.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(("name", "lines"), [("joins.csv", 1 + 18), ("fates.csv", 1 + 32)])
def test_a_list_of_a_merge_is_printed(folder: Path, name: str, lines: int) -> None:
    done = CliRunner().invoke(harnessdoc, ["give", str(folder / "merge.yaml"), "--as", name])
    assert done.exit_code == 0 and done.stdout.count("\n") == lines


def test_a_plain_harness_has_no_such_list(folder: Path) -> None:
    done = CliRunner().invoke(harnessdoc, ["give", str(folder / "camper.yaml"), "--as", "joins.csv"])
    assert done.exit_code == 2 and "is no merge, so it has no joins.csv" in done.stderr and "ask for cut.csv" in done.stderr


def test_the_book_of_a_merge_has_the_lists(folder: Path) -> None:
    done = CliRunner().invoke(harnessdoc, ["book", str(folder / "merge.yaml"), "--out", str(folder / "out")])
    assert done.exit_code == 0, done.output
    assert {"joins.csv", "fates.csv"} <= {path.name for path in (folder / "out").iterdir()}
    sheets = {path.name for path in (folder / "out" / "sheets").iterdir()}
    assert {"joins.svg", "interfaces.svg", "fates-host.svg", "fates-donor.svg", "closure.svg"} <= sheets
