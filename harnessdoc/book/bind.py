"""Writing a book: one PDF, every sheet as SVG, the lists as CSV.

Takes: a drawn Book and a folder. Everything is written into a folder beside it
and moved into place at the end, so that a run that fails leaves the old book whole.
"""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from ..drawing.pdf import Meta, PdfPage, write_pdf
from ..drawing.svg import to_svg
from ..sheets.context import Context
from .draw import Book, Sheet
from .lists import REWORK_LISTS
from .merge_lists import lists_of

SHEETS_FOLDER = "sheets"
CHANGES_FOLDER = "changes"
Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class Bound:
    """What was written: the PDF, the folder of SVG sheets, the lists; and the number of pages."""

    pdf: Path
    sheets: Path
    lists: tuple[Path, ...]
    pages: int


def bind_book(book: Book, folder: Path, progress: Progress | None = None) -> Bound:
    """Write the whole book into ``folder``, which is made if it is not there: the PDF, its sheets, the lists.

    Raises OSError where it cannot be written, or where a file of the book would take the
    place of one it is made from; then nothing in it was changed.
    """
    stem = Path(book.context.harness.file).stem
    return _bind(book, folder, f"{stem}.pdf", SHEETS_FOLDER, lists_of(book.context), progress)


def bind_exchange(book: Book, folder: Path, progress: Progress | None = None) -> Bound:
    """Write the sheets to exchange into ``folder``: their PDF and the sheets beside a book that may stand there; what it takes as a list.

    Raises OSError as `bind_book`.
    """
    stem = Path(book.context.harness.file).stem
    return _bind(book, folder, f"{stem}-changes.pdf", CHANGES_FOLDER, REWORK_LISTS, progress)


def _bind(book: Book, folder: Path, pdf: str, sheets: str, lists: Mapping[str, Callable[[Context], str]], progress: Progress | None) -> Bound:
    written = [pdf, sheets, *lists]
    spare_inputs(book.inputs, [folder / name for name in written])
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".unfinished-", dir=folder) as name:
        aside = Path(name)
        pages = pdf_pages(book)
        (aside / pdf).write_bytes(pdf_bytes(book, pages, progress))
        write_svg_sheets(book, aside / sheets, progress)
        for list_name, make in lists.items():
            (aside / list_name).write_text(make(book.context), encoding="utf-8", newline="")
        _move_into_place(aside, folder, written, sheets)
    return Bound(folder / pdf, folder / sheets, tuple(folder / name for name in lists), len(pages))


def pdf_pages(book: Book) -> list[PdfPage]:
    """The pages of the book with bookmarks (by kind of sheet where there are several) and labels such as 7.1."""
    pages = []
    kinds = [sheet.ref.kind for sheet in book.sheets]
    for sheet in book.sheets:
        ref = sheet.ref
        several = kinds.count(ref.kind) > 1
        title = f"{ref.number}  {ref.kind.value}: {ref.title}" if ref.subjects else f"{ref.number}  {ref.kind.value}"
        for number, drawing in enumerate(sheet.pages, start=1):
            label = f"{ref.number}.{number}" if len(sheet.pages) > 1 else str(ref.number)
            pages.append(PdfPage(drawing, page_name(sheet, number), label, title if number == 1 else "", 1 if several and kinds.index(ref.kind) != book.sheets.index(sheet) else 0))
    return pages


def pdf_bytes(book: Book, pages: list[PdfPage], progress: Progress | None = None) -> bytes:
    """The PDF of the book; its date is that of the last log entry, never the clock's."""
    harness = book.context.harness
    date = harness.log[-1].date if harness.log else ""
    told = (lambda done, of: progress("binding", done, of)) if progress else None
    return write_pdf(pages, Meta(harness.title or harness.file, harness.by, date), told)


def write_svg_sheets(book: Book, folder: Path, progress: Progress | None = None) -> None:
    """Every page as an SVG file named after its sheet."""
    folder.mkdir()
    for done, sheet in enumerate(book.sheets, start=1):
        for number, drawing in enumerate(sheet.pages, start=1):
            (folder / f"{page_name(sheet, number)}.svg").write_text(to_svg(drawing), encoding="utf-8", newline="\n")
        if progress:
            progress("writing sheets", done, len(book.sheets))


def page_name(sheet: Sheet, number: int) -> str:
    """The name of a page: the sheet's for its first, with .2, .3 for those that follow."""
    return sheet.ref.name if number == 1 else f"{sheet.ref.name}.{number}"


def spare_inputs(inputs: tuple[str, ...], targets: list[Path]) -> None:
    """Raises FileExistsError where a target is, or holds, a file the book is made from."""
    for target in targets:
        place = target.resolve()
        for name in inputs:
            source = Path(name).resolve()
            if source == place or place in source.parents:
                raise FileExistsError(errno.EEXIST, f"the book is made from {name}, which stands there", str(target))


def _move_into_place(aside: Path, folder: Path, names: list[str], sheets: str) -> None:
    """Exchange old for new by renames; where one fails, all old ones are put back. sheets: the folder of sheets among them.

    Raises OSError of the rename that failed.
    """
    kept = aside / "old"
    kept.mkdir()
    moved: list[str] = []
    try:
        for name in names:
            if (folder / name).exists():
                os.replace(folder / name, kept / name)
        for name in names:
            os.replace(aside / name, folder / name)
            moved.append(name)
    except OSError:
        for name in moved:
            os.replace(folder / name, aside / name)
        for name in os.listdir(kept):
            os.replace(kept / name, folder / name)
        raise
    # what a user has put beside the sheets stays there
    old_sheets = kept / sheets
    for strange in sorted(old_sheets.iterdir()) if old_sheets.is_dir() else ():
        if strange.suffix != ".svg":
            os.replace(strange, folder / sheets / strange.name)
