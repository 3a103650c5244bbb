"""One sheet of a book, written alone.

Takes: a harness, what was computed of it, the reader's options and a name. Gives:
the files written, one a page (one PDF for all pages).
"""

from __future__ import annotations

import os
import tempfile
from difflib import get_close_matches
from pathlib import Path

from ..drawing.pdf import Meta, write_pdf
from ..drawing.png import to_png
from ..drawing.svg import to_svg
from ..revision.version import Version
from ..sheets.context import Context, Options, SheetKind, SheetRef
from .bind import page_name, pdf_pages
from .draw import Book, draw_sheet, make_context, with_own_flags

PNG_DPI = 150


class NoSuchSheet(Exception):
    """A name that is neither a sheet nor an id with one; ``do`` is the way out."""

    def __init__(self, name: str, known: list[str]) -> None:
        super().__init__(f"there is no sheet '{name}'")
        near = get_close_matches(name, known, n=3, cutoff=0.5)
        self.do = f"did you mean {' or '.join(near)}?" if near else f"the sheets are {', '.join(known[:20])}"


def write_sheet(version: Version, options: Options, name: str, kind: str, folder: Path) -> tuple[Path, ...]:
    """Draw the sheet ``name`` and write it as "svg", "png" or "pdf" into ``folder``.

    Raises NoSuchSheet, drawing.png.MissingLibrary (PNG without the cairo library), OSError.
    """
    context = make_context(version, options)
    ref = _find(context, name)
    sheet = draw_sheet(with_own_flags(context) if ref.kind is SheetKind.FINDINGS else context, ref)
    if kind == "pdf":
        log = version.harness.log
        date = log[-1].date if log else ""
        content = {f"{sheet.ref.name}.pdf": write_pdf(pdf_pages(Book(context, (sheet,))), Meta(sheet.ref.title, version.harness.by, date))}
    else:
        make = to_svg_bytes if kind == "svg" else lambda drawing: to_png(drawing, PNG_DPI)
        content = {f"{page_name(sheet, number)}.{kind}": make(drawing) for number, drawing in enumerate(sheet.pages, start=1)}
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".unfinished-", dir=folder) as aside:
        for file, data in content.items():
            (Path(aside) / file).write_bytes(data)
        for file in content:
            os.replace(Path(aside) / file, folder / file)
    return tuple(folder / file for file in content)


def to_svg_bytes(drawing) -> bytes:
    return to_svg(drawing).encode("utf-8")


def _find(context: Context, name: str) -> SheetRef:
    by_name = {ref.name: ref for ref in context.sheets}
    ref = by_name.get(name) or context.sheet_of.get(name) or by_name.get(name.lower().replace(" ", "-"))
    if ref is None:
        raise NoSuchSheet(name, [*by_name, *context.sheet_of])
    return ref
