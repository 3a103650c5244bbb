"""One sheet of a book, written alone.

Takes: a harness, what was computed of it, the reader's options and a name. Gives:
the files written, one a page (one PDF for all pages).
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from pathlib import Path

from ..drawing.pdf import Meta, write_pdf
from ..drawing.png import to_png
from ..drawing.svg import to_svg
from ..revision.version import Version
from ..sheets.context import Context, Options, SheetKind, SheetRef
from .bind import page_name, pdf_pages
from .draw import Book, draw_sheet, make_context, with_own_flags
from .plan import sheets_apart

PNG_DPI = 150


class NoSuchSheet(Exception):
    """A name that is neither a sheet nor an id with one; ``do`` is the way out. called: what a sheet may be called, its name first -> its name"""

    def __init__(self, name: str, called: Mapping[str, str]) -> None:
        super().__init__(f"there is no sheet '{name}'")
        by_fold: dict[str, str] = {}
        for words, meant in called.items():
            by_fold.setdefault(_folded(words), meant)
        written = _folded(name)
        words = [written] if written in by_fold else get_close_matches(written, list(by_fold), n=3, cutoff=0.5)
        near = list(dict.fromkeys(by_fold[one] for one in words))
        self.do = f"did you mean {' or '.join(near)}?" if near else f"the sheets are {', '.join(list(dict.fromkeys(called.values()))[:20])}"


class SameInEveryState(Exception):
    """A sheet that shows no state, where readings in one are asked for; ``do`` is the way out."""

    def __init__(self, ref: SheetRef, circuits: list[str]) -> None:
        super().__init__(f"sheet {ref.name} is the same in every state; only circuit diagrams show one")
        self.do = f"leave the state out, or name one of {', '.join(circuits)}" if circuits else "leave the state out"


def write_sheet(version: Version, options: Options, name: str, kind: str, folder: Path) -> tuple[Path, ...]:
    """Draw the sheet ``name`` and write it as "svg", "png" or "pdf" into ``folder``.

    Raises NoSuchSheet, SameInEveryState, drawing.png.MissingLibrary (PNG without the cairo library), OSError.
    """
    context = make_context(version, options)
    ref = _find(context, name)
    if options.state is not None and ref.kind is not SheetKind.CIRCUIT:
        raise SameInEveryState(ref, [sheet.name for sheet in context.sheets if sheet.kind is SheetKind.CIRCUIT])
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
    by_name = {ref.name: ref for ref in (*context.sheets, *sheets_apart(context.harness))}
    ref = by_name.get(name) or context.sheet_of.get(name) or by_name.get(name.lower().replace(" ", "-"))
    if ref is None:
        raise NoSuchSheet(name, {**{known: known for known in (*by_name, *context.sheet_of)}, **_titles(by_name.values())})
    return ref


def _titles(sheets: Iterable[SheetRef]) -> dict[str, str]:
    """What stands on a sheet as its title -> its name: the kind where there is one of it, else with what it is of."""
    kinds: dict[SheetKind, list[SheetRef]] = {}
    for ref in sheets:
        kinds.setdefault(ref.kind, []).append(ref)
    found: dict[str, str] = {}
    for kind, refs in kinds.items():
        for ref in refs:
            for title in ([kind.value] if len(refs) == 1 else [ref.title, f"{kind.value} {ref.title}"]):
                found.setdefault(title, ref.name)
    return found


def _folded(words: str) -> str:
    return words.casefold().replace(" ", "-")
