"""The sheets to exchange: which sheets are another, and what the list says."""

from __future__ import annotations

from pathlib import Path

import pytest
from sheets.checks import assert_tidy, texts

from harnessdoc.book.draw import draw_sheet
from harnessdoc.book.exchange import CHANGED, GONE, NEW, NUMBERS
from harnessdoc.drawing.record import Polyline
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.steps import bind_exchange, draw_exchange, load

LINNET = (Path(__file__).parent.parent.parent / "examples" / "linnet" / "linnet.yaml").read_text(encoding="utf-8")
SMALL = """\
title: two plugs
connectors:
  X1: {title: lamp plug, face: [[1, 2]], view: wire side}
  X2: {title: body plug, face: [[1, 2]], view: mating face}
  X3: {title: tail plug, face: [[1, 2]], view: mating face}
splices:
  S1: {method: crimp}
wires:
  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
  2: {from: X1.2, to: S1, size: 1 mm2, colour: BN}
  3: {from: X2.2, to: S1, size: 1 mm2, colour: BN}
  4: {from: X3.2, to: S1, size: 1 mm2, colour: BN}
"""


def exchange(old: str, new: str, **options: str):
    return draw_exchange(load("a.yaml", {"a.yaml": old}), load("a.yaml", {"a.yaml": new}), Options(**options))


def listed(book) -> list[tuple[str, ...]]:
    """(sheet put in, sheet taken out, why) of every row, in order, read off the sheet."""
    (sheet,) = (sheet for sheet in book.sheets if sheet.ref.kind is SheetKind.EXCHANGE)
    rows: dict[float, list] = {}
    for number, page in enumerate(sheet.pages):
        for mark in page.marks:
            if mark.tag == "exchange" and hasattr(mark, "text"):
                rows.setdefault(number * 1000 + round(mark.y, 1), []).append(mark)
    return [tuple(mark.text for mark in sorted(marks, key=lambda mark: mark.start()[0])) for _, marks in sorted(rows.items())][1:]


def test_a_sheet_that_says_the_same_stays() -> None:
    book = exchange(SMALL, SMALL.replace("1: {from: X1.1, to: X2.1, size: 1 mm2", "1: {from: X1.1, to: X2.1, size: 1.5 mm2"))
    names = [sheet.ref.name for sheet in book.sheets]
    assert names[:3] == ["changes", "rework", "sheets-to-exchange"]
    assert {"pinout-X1", "pinout-X2", "cut-list", "labels"} <= set(names)
    assert not {"pinout-X3", "splices-1", "cautions", "index"} & set(names)
    assert all(row[3] == CHANGED for row in listed(book))


def test_what_changes_nothing_exchanges_nothing() -> None:
    assert listed(exchange(SMALL, SMALL)) == []
    assert listed(exchange(SMALL, SMALL.replace("size: 1 mm2, colour: RD", "colour: rd, size: 1.0 mm2"))) == []


def test_a_log_entry_alone_exchanges_the_cover_and_what_tells_lines_of_the_file() -> None:
    new = SMALL.replace("connectors:", "log:\n  - {revision: B, date: 2026-11-25, why: looked through}\nconnectors:", 1)
    assert [(row[2], row[3]) for row in listed(exchange(SMALL, new))] == [("Cover", CHANGED), ("Findings", NUMBERS)]


def test_new_gone_and_only_numbered_otherwise() -> None:
    new = SMALL.replace("  X3: {title: tail plug, face: [[1, 2]], view: mating face}\n", "").replace("  4: {from: X3.2, to: S1, size: 1 mm2, colour: BN}\n", "")
    new = new.replace("  X1:", "  X9: {title: dash plug, face: [[1]], view: wire side}\n  X1:")
    rows = listed(exchange(SMALL, new))
    said = {name: [row for row in rows if name in row] for name in (NEW, GONE, NUMBERS, CHANGED)}
    assert [row[0:3] for row in said[NEW]] == [("7", "1", "Pinout: X9, dash plug")], "after cover, cautions, index, findings, overview, circuits"
    assert any("Pinout: X3, tail plug" in row for row in said[GONE])
    assert any("Pinout: X2, body plug" in row for row in said[CHANGED] + said[NUMBERS])


def test_every_sheet_that_differs_is_listed_and_no_other() -> None:
    """Against another look: the letters of each page, whatever drew them."""
    new = LINNET.replace("size: 0.5 mm2,  colour: G-Y", "size: 0.75 mm2,  colour: G-R")
    old_loaded, new_loaded = load("a.yaml", {"a.yaml": LINNET}), load("a.yaml", {"a.yaml": new})
    book = draw_exchange(old_loaded, new_loaded)
    from harnessdoc.steps import draw

    def said(loaded) -> dict[str, list[list[str]]]:
        return {sheet.ref.name: [texts(page) for page in sheet.pages] for sheet in draw(loaded).sheets}

    was, now = said(old_loaded), said(new_loaded)
    assert {sheet.ref.name for sheet in book.sheets[3:]} == {name for name in now if now[name] != was.get(name)}


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_all_of_it_is_tidy(paper: str) -> None:
    new = SMALL.replace("  4: {from: X3.2, to: S1, size: 1 mm2, colour: BN}\n", "  4: {from: X3.1, to: unknown, size: 1 mm2, colour: BN}\n")
    new = new.replace("connectors:", "log:\n  - {revision: B, date: 2026-11-25, why: tail lead found}\nconnectors:", 1)
    book = exchange(SMALL, new, paper=paper)
    for sheet in book.sheets:
        for page in sheet.pages:
            assert_tidy(page)


def test_the_letter_of_the_log_stands_in_the_triangles() -> None:
    new = SMALL.replace("size: 1 mm2, colour: RD", "size: 2 mm2, colour: RD")
    logged = new.replace("connectors:", "log:\n  - {revision: C, date: 2026-11-25, why: thicker}\nconnectors:", 1)
    for text, letters in ((new, set()), (logged, {"C"})):
        page = next(sheet for sheet in exchange(SMALL, text).sheets if sheet.ref.name == "pinout-X1").pages[0]
        assert any(isinstance(mark, Polyline) and mark.tag == "revision" for mark in page.marks)
        assert {mark.text for mark in page.marks if mark.tag == "revision" and hasattr(mark, "text")} == letters


def test_a_marked_sheet_keeps_its_number_and_what_is_said() -> None:
    new = SMALL.replace("size: 1 mm2, colour: RD", "size: 2 mm2, colour: RD")
    book = exchange(SMALL, new)
    marked = next(sheet for sheet in book.sheets if sheet.ref.name == "pinout-X1")
    plain = draw_sheet(book.context.since.before, next(ref for ref in book.context.since.before.sheets if ref.name == "pinout-X1"))
    assert marked.ref.number == plain.ref.number
    said = [text for page in marked.pages for text in texts(page)]
    assert {"2 mm²", "1 mm²"} <= set(said)
    struck = [mark.text for page in marked.pages for mark in page.marks if mark.tag == "struck" and hasattr(mark, "text")]
    assert struck == ["1 mm²"]


def test_it_is_written_beside_the_book_and_over_no_input(tmp_path: Path) -> None:
    old, new = tmp_path / "harness.yaml", tmp_path / "changes" / "harness.yaml"
    new.parent.mkdir()
    old.write_text(SMALL, encoding="utf-8")
    new.write_text(SMALL.replace("BN}", "BK}"), encoding="utf-8")
    (tmp_path / "harness.pdf").write_bytes(b"the book")
    book = draw_exchange(load(old), load(new))
    with pytest.raises(FileExistsError, match="the book is made from"):
        bind_exchange(book, tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["changes", "harness.pdf", "harness.yaml"]
    bound = bind_exchange(book, tmp_path / "out")
    assert bound.pdf.name == "harness-changes.pdf" and bound.pages == sum(len(sheet.pages) for sheet in book.sheets)
    assert (tmp_path / "out" / "rework-parts.csv").read_text(encoding="utf-8").startswith("kind,part,quantity")
    first = {path.relative_to(tmp_path / "out"): path.read_bytes() for path in (tmp_path / "out").rglob("*") if path.is_file()}
    bind_exchange(draw_exchange(load(old), load(new)), tmp_path / "again")
    assert first == {path.relative_to(tmp_path / "again"): path.read_bytes() for path in (tmp_path / "again").rglob("*") if path.is_file()}
