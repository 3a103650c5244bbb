"""The book on disk: complete, repeatable to the byte, and never half written."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest

from harnessdoc.book import bind as bind_module
from harnessdoc.sheets.context import Options
from harnessdoc.steps import bind, draw, load

ROOT = Path(__file__).parent.parent.parent
FIRST = ROOT / "examples" / "first-merge" / "first-merge.yaml"


def digests(folder: Path) -> dict[str, str]:
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in sorted(folder.rglob("*")) if path.is_file()}


def bound(folder: Path, file: Path = FIRST, **options: str):
    return bind(draw(load(file), Options(**options)), folder)


def test_a_book_is_a_pdf_with_bookmarks_links_and_labels_and_every_sheet_as_svg(tmp_path: Path) -> None:
    written = bound(tmp_path)
    pdf = pypdf.PdfReader(written.pdf)
    context = draw(load(FIRST)).context
    assert len(pdf.pages) == written.pages
    labels = pdf.page_labels
    assert labels[0] == "1"
    assert {label.split(".")[0] for label in labels} == {str(sheet.number) for sheet in context.sheets}
    outline = str(pdf.outline)
    for sheet in context.sheets:
        assert (written.sheets / f"{sheet.name}.svg").is_file()
        assert f"{sheet.number}  {sheet.kind.value}" in outline
    links = [annotation for page in pdf.pages for annotation in page.get("/Annots", [])]
    assert links
    assert pdf.metadata.title == context.harness.title


def test_two_runs_under_two_hash_seeds_give_the_same_bytes(tmp_path: Path) -> None:
    for seed in ("1", "2"):
        subprocess.run(
            [sys.executable, "-m", "harnessdoc", "book", str(FIRST), "--out", str(tmp_path / seed), "--quiet"],
            check=True, env={**os.environ, "PYTHONHASHSEED": seed}, stdin=subprocess.DEVNULL,
        )
    first, second = digests(tmp_path / "1"), digests(tmp_path / "2")
    assert first == second
    assert {Path(name).suffix for name in first} == {".pdf", ".svg", ".csv"}


def test_a_run_that_fails_leaves_the_old_book_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bound(tmp_path)
    before = digests(tmp_path)

    def fails(*_: object) -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(bind_module, "to_svg", fails)
    with pytest.raises(OSError, match="No space left"):
        bound(tmp_path, units="in")
    assert digests(tmp_path) == before


def test_a_rename_that_fails_halfway_puts_the_old_book_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bound(tmp_path)
    before = digests(tmp_path)
    rename = os.replace

    def fails_at_the_lists(source: Path, target: Path) -> None:
        if Path(target).name == "cut.csv" and Path(target).parent == tmp_path and ".unfinished" in str(source) and "old" not in Path(source).parts:
            raise OSError(13, "Permission denied", str(target))
        rename(source, target)

    monkeypatch.setattr(os, "replace", fails_at_the_lists)
    with pytest.raises(OSError, match="Permission denied"):
        bound(tmp_path, units="in")
    assert digests(tmp_path) == before


def test_a_new_book_replaces_the_old_and_leaves_other_files_alone(tmp_path: Path) -> None:
    bound(tmp_path)
    (tmp_path / "notes.txt").write_text("mine")
    (tmp_path / "sheets" / "old-sheet.svg").write_text("gone with the old book")
    bound(tmp_path, paper="letter")
    assert (tmp_path / "notes.txt").read_text() == "mine"
    assert not (tmp_path / "sheets" / "old-sheet.svg").exists()
    assert [name for name in os.listdir(tmp_path) if name.startswith(".")] == []


def test_a_book_never_takes_the_place_of_what_it_is_made_from(tmp_path: Path) -> None:
    table = "wire,from,to\n1,X1.1,X1.2\n"
    for name in ("cut.csv", "sheets/mine.csv"):
        folder = tmp_path / name.replace("/", "-")
        (folder / "sheets").mkdir(parents=True)
        (folder / name).write_text(table)
        main = folder / "t.yaml"
        main.write_text(f"connectors:\n  X1: {{face: [[1..2]], view: mating face}}\ntables: {{wires: {name}}}\n")
        with pytest.raises(FileExistsError, match="made from"):
            bound(folder, main)
        assert (folder / name).read_text() == table
        assert not (folder / "t.pdf").exists()


def test_what_is_not_a_sheet_stays_beside_the_sheets(tmp_path: Path) -> None:
    bound(tmp_path)
    (tmp_path / "sheets" / "photo.txt").write_text("mine")
    bound(tmp_path)
    assert (tmp_path / "sheets" / "photo.txt").read_text() == "mine"


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_paper_and_unit_gives_a_book(tmp_path: Path, paper: str, units: str) -> None:
    assert bound(tmp_path, paper=paper, units=units).pages > 5
