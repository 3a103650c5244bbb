"""`keep-order`: it writes one file beside the description, and nothing over anything else."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from git_repository import Repository

from harnessdoc.cli.main import harnessdoc
from harnessdoc.description.git_files import files_at
from harnessdoc.description.order_file import order_text, read_order
from harnessdoc.steps import load

TEXT = """\
title: two lamps
grounds: {G1: {title: body}}
circuits: {lamps: {system: lights}}
splices: {S1: {}}
devices:
  H1: {title: a, terminals: ['1', '2'], between: [H1.1, H1.2], lamp: 5 W at 12 V}
  H2: {title: b, terminals: ['1', '2'], between: [H2.1, H2.2], lamp: 5 W at 12 V}
wires:
  1: {from: S1, to: H1.1, circuit: lamps}
  2: {from: S1, to: H2.1, circuit: lamps}
  3: {from: H1.2, to: G1, circuit: lamps}
  4: {from: H2.2, to: G1, circuit: lamps}
"""


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(harnessdoc, [*map(str, words)])


@pytest.fixture
def main(tmp_path) -> Path:
    file = tmp_path / "lamps.yaml"
    file.write_text(TEXT, encoding="utf-8")
    return file


def test_it_writes_the_file_beside_the_description_the_same_twice(main):
    done = run("keep-order", main, "--no-cache")
    target = main.with_name("lamps.order.yaml")
    assert done.exit_code == 0, done.output
    assert done.stdout == f"{target}: 2 pages\n"       # the system, and ground distribution
    first = target.read_bytes()
    assert first.startswith(b"# ") and b"order-of: lamps.yaml\npaper: a4\n" in first and b"\r" not in first
    assert run("keep-order", main, "--no-cache", "--quiet").stdout == ""
    assert target.read_bytes() == first
    assert sorted(file.name for file in main.parent.iterdir()) == ["lamps.order.yaml", "lamps.yaml"]
    assert run("check", main).exit_code == 0
    assert oct(target.stat().st_mode & 0o777) == oct(main.stat().st_mode & 0o777)


def test_the_sheet_follows_the_file(main, tmp_path):
    assert run("keep-order", main, "--no-cache").exit_code == 0
    target = main.with_name("lamps.order.yaml")

    def sheet(name: str) -> bytes:
        assert run("sheet", main, "circuit-lights", "--out", tmp_path / name, "--no-cache", "--quiet").exit_code == 0
        (file,) = (tmp_path / name).iterdir()
        return file.read_bytes()

    with_file = sheet("with")
    order = read_order(main).order
    target.unlink()
    assert sheet("without") == with_file
    turned = tuple(replace(page, rows=tuple(row[::-1] for row in page.rows)) for page in order.pages)
    target.write_text(order_text(replace(order, pages=turned), "lamps.yaml"), encoding="utf-8")
    assert sheet("turned") != with_file


@pytest.mark.parametrize("there", ["title: my orders\n", "screws, 12\n", "# mine\n", "\x00"])
def test_what_is_no_order_file_is_not_written_over(main, there):
    target = main.with_name("lamps.order.yaml")
    target.write_text(there, encoding="utf-8")
    done = run("keep-order", main)
    assert done.exit_code == 2
    assert done.stderr == f"harnessdoc: {target} is no order file, and is not written over\n  do: give it another name, or delete it\n"
    assert target.read_text(encoding="utf-8") == there


def test_an_empty_file_is_told_and_written_over(main):
    target = main.with_name("lamps.order.yaml")
    target.write_text("\n", encoding="utf-8")
    plain = tuple(finding for finding in load(main).findings if finding.code != "order-file-empty")
    (finding,) = (finding for finding in load(main).findings if finding not in plain)
    assert (finding.code, finding.do) == ("order-file-empty", "delete it; or write it: harnessdoc keep-order lamps.yaml")
    assert run("keep-order", main, "--no-cache").exit_code == 0
    assert "order-of: lamps.yaml" in target.read_text(encoding="utf-8") and load(main).findings == plain


def test_a_file_that_cannot_be_used_keeps_from_drawing_alone(main, tmp_path):
    main.with_name("lamps.order.yaml").write_text("order-of: lamps.yaml\npages: {}\n", encoding="utf-8")
    for arguments in (("give", main, "--as", "cut.csv"), ("trace", main, "S1"), ("labels", main, "--out", tmp_path / "l.csv"), ("diff", main, main)):
        done = run(*arguments)
        assert done.exit_code == 0, (arguments, done.output)
    for arguments in (("check", main), ("book", main, "--out", tmp_path / "b"), ("sheet", main, "cover", "--out", tmp_path / "s")):
        done = run(*arguments)
        assert done.exit_code == 1 and "wrong-kind" in done.output, (arguments, done.output)


def test_what_is_included_is_not_written_over_whatever_it_says(main):
    target = main.with_name("lamps.order.yaml")
    target.write_text("wires:\n  5: {from: S1, to: unknown, circuit: lamps}\n", encoding="utf-8")
    main.write_text(TEXT + "include: [lamps.order.yaml]\n", encoding="utf-8")
    assert run("check", main).exit_code == 0
    assert run("keep-order", main).exit_code == 2
    assert target.read_text(encoding="utf-8").startswith("wires:")


def test_errors_of_the_file_are_printed_and_it_stays(main):
    target = main.with_name("lamps.order.yaml")
    target.write_text("order-of: lamps.yaml\npages: {}\n", encoding="utf-8")
    done = run("keep-order", main)
    assert done.exit_code == 1 and f"{target}:2:8: wrong-kind: `pages` is a map, where a list is wanted" in done.stderr
    assert target.read_text(encoding="utf-8").endswith("{}\n")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cannot_be_written_is_told(main):
    main.parent.chmod(0o500)
    done = run("keep-order", main, "--no-cache")
    main.parent.chmod(0o700)
    assert done.exit_code == 2 and "cannot be written" in done.stderr


def test_a_version_of_git_has_the_order_file_of_that_version(main):
    repository = Repository(main.parent)
    assert run("keep-order", main, "--no-cache").exit_code == 0
    repository.commit({})
    main.with_name("lamps.order.yaml").write_text("order-of: lamps.yaml\npages: []\n", encoding="utf-8")
    was = files_at(main, "HEAD")
    assert len(load(was.path, was.texts).order.pages) == 2
    assert load(main).order.pages == ()
    done = run("diff", main, "--since", "HEAD")
    assert done.exit_code == 0, done.output
