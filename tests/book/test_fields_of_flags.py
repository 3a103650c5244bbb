"""The findings sheet says on which sheet, and in which field of it, the flag of a finding stands: read back off the drawn pages."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from sheets.checks import assert_tidy, inside_frame, row_of, texts

from harnessdoc.book.draw import Book, Sheet, draw_book, make_context, with_flags
from harnessdoc.book.exchange import NUMBERS
from harnessdoc.book.one_sheet import write_sheet
from harnessdoc.drawing.flag_notes import Flags, draw_flags
from harnessdoc.drawing.record import Drawing, Link, Polyline, Text, bounds
from harnessdoc.drawing.svg import to_svg
from harnessdoc.sheets.context import FlaggedAt, Options, SheetKind
from harnessdoc.steps import draw_exchange, load

LINNET = Path(__file__).parent.parent.parent / "examples" / "linnet" / "linnet.yaml"
SHOWN = re.compile(r"(.+) → (\d+)(?:\.(\d+))? ([A-Z])(\d)")
SMALL = """\
title: two plugs
connectors:
  X1: {title: lamp plug, face: [[1, 2]], view: wire side}
  X2: {title: body plug, face: [[1, 2]], view: mating face}
cavities:
  X1.1: {function: lamp}
  X2.1: {function: lamp}
wires:
  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD, type: PVC 85 C}
  2: {from: X2.2, to: unknown, size: 1 mm2, colour: BN, type: PVC 85 C}
"""


@pytest.fixture(scope="module", params=["a4", "a5", "letter"])
def book(request: pytest.FixtureRequest) -> Book:
    text = LINNET.read_text(encoding="utf-8")
    start = text.index("waivers:")
    without = text[:start] + re.sub(r"\A.*\n(?:  .*\n|#.*\n|\n)*", "", text[start:])
    return draw_book(load("linnet.yaml", {"linnet.yaml": without}).version, Options(paper=request.param))


def pages_of(book: Book) -> tuple[Drawing, ...]:
    return next(sheet.pages for sheet in book.sheets if sheet.ref.kind is SheetKind.FINDINGS)


def rows(page: Drawing) -> list[tuple[int, list[str]]]:
    """(number of a finding, the lines of its cell Where), read off the ruled rows of a page."""
    written = inside_frame(page)
    head = next((text for text in written if text.text == "No."), None)
    if head is None:
        return []
    where = next(text for text in written if text.text == "Where")
    numbers = sorted((text for text in written if text.tag == "finding" and text.text.isdigit() and abs(text.start()[0] - head.start()[0]) < 9 and text.y > head.y), key=lambda text: text.y)
    rules = sorted({round(mark.y1, 2) for mark in page.marks if mark.tag == "finding" and hasattr(mark, "x1") and mark.y1 == mark.y2})
    found = []
    for number in numbers:
        top, low = max(y for y in rules if y < number.y), min(y for y in rules if y > number.y)
        lines = sorted((text for text in written if top < text.y < low and abs(text.start()[0] - where.start()[0]) < 0.1), key=lambda text: text.y)
        found.append((int(number.text), [line.text for line in lines]))
    return found


def hexagons(page: Drawing) -> list[tuple[int, float, float]]:
    """The number and the middle of every flag, by its shape and the text in it."""
    found = []
    for mark in page.marks:
        if isinstance(mark, Polyline) and mark.closed and len(mark.points) == 6:
            left, top, right, bottom = bounds(mark)
            inside = [text.text for text in page.marks if isinstance(text, Text) and left < text.start()[0] < right and top < text.y < bottom]
            found.append((int(*inside), (left + right) / 2, (top + bottom) / 2))
    return found


def field_at(page: Drawing, x: float, y: float) -> str:
    """The field of a point, by the references and lines outside the frame."""
    frame = [mark for mark in page.marks if mark.tag == "frame"]
    lines = [mark for mark in frame if hasattr(mark, "x1")]
    upright = sorted({0.0, page.width_mm, *(mark.x1 for mark in lines if mark.x1 == mark.x2 and mark.y2 < 11)})
    level = sorted({0.0, page.height_mm, *(mark.y1 for mark in lines if mark.y1 == mark.y2 and mark.x2 > page.width_mm - 11)})
    left, right = max(edge for edge in upright if edge <= x), min(edge for edge in upright if edge > x)
    top, bottom = max(edge for edge in level if edge <= y), min(edge for edge in level if edge > y)
    number, = (mark.text for mark in frame if isinstance(mark, Text) and mark.text.isdigit() and left < mark.x < right)
    letter, = (mark.text for mark in frame if isinstance(mark, Text) and mark.text.isalpha() and top < mark.y - 1.75 < bottom)
    return letter + number


def test_a_flag_of_the_number_stands_in_the_field_that_is_told(book: Book) -> None:
    by_number = {str(sheet.ref.number): sheet for sheet in book.sheets}
    told = 0
    for page in pages_of(book):
        assert_tidy(page)
        for number, lines in rows(page):
            for thing, sheet, page_of, letter, column in SHOWN.findall("\n".join(lines).replace(" →\n", " → ")):
                shown = by_number[sheet].pages[int(page_of or 1) - 1]
                assert bool(page_of) == (len(by_number[sheet].pages) > 1), thing
                fields = [field_at(shown, x, y) for flag, x, y in hexagons(shown) if flag == number]
                assert letter + column in fields, (number, thing, sheet, page_of, fields)
                told += 1
    assert told >= 20


def test_every_finding_with_a_thing_that_has_a_sheet_is_flagged_there_and_no_other_number_is(book: Book) -> None:
    drawn = {number for sheet in book.sheets for page in sheet.pages for number, _, _ in hexagons(page)}
    listed = [number for page in pages_of(book) for number, _ in rows(page)]
    assert listed == list(range(1, len(listed) + 1)) and len(listed) > 15 and drawn <= set(listed)
    with_sheet = {number for page in pages_of(book) for number, lines in rows(page) if any("→" in line for line in lines)}
    assert with_sheet <= drawn, "a sheet that is named has the flag"


def test_flags_touch_no_line_and_no_other_flag(book: Book) -> None:
    for sheet in book.sheets:
        if sheet.ref.kind not in (SheetKind.CUT_LIST, SheetKind.LABELS, SheetKind.CHECK):
            for page in sheet.pages:
                boxes = [bounds(mark) for mark in page.marks if isinstance(mark, Polyline) and len(mark.points) == 6 and mark.tag.startswith("finding:")]
                lines = [bounds(mark) for mark in page.marks if hasattr(mark, "x1")]
                for place, box in enumerate(boxes):
                    assert not any(_meet(box, other) for other in (*lines, *boxes[place + 1:])), sheet.ref.name


def _meet(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def test_every_flag_and_every_place_leads_to_its_sheet(book: Book) -> None:
    names = {sheet.ref.name for sheet in book.sheets}
    findings = next(sheet.ref.name for sheet in book.sheets if sheet.ref.kind is SheetKind.FINDINGS)
    for sheet in book.sheets:
        for page in sheet.pages:
            links = [mark for mark in page.marks if isinstance(mark, Link)]
            assert {link.target for link in links} <= names
            assert sum(link.target == findings and link.tag.startswith("finding:") for link in links) == len(hexagons(page))


def test_the_sheet_drawn_alone_is_that_of_the_book(tmp_path: Path) -> None:
    version = load("a.yaml", {"a.yaml": SMALL}).version
    whole = draw_book(version, Options())
    files = write_sheet(version, Options(), "findings", "svg", tmp_path)
    assert [file.read_text(encoding="utf-8") for file in files] == [to_svg(page) for page in pages_of(whole)]
    assert any(SHOWN.fullmatch(text) for page in pages_of(whole) for text in texts(page))


def test_an_exchange_tells_the_fields_of_the_sheets_as_they_are_exchanged() -> None:
    new = SMALL.replace("1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD", "1: {from: X1.1, to: X2.1, size: 1 mm2, colour: unknown").replace("X2.1: {function: lamp}", "X2.1: {function: unknown}")
    exchanged = draw_exchange(load("a.yaml", {"a.yaml": SMALL}), load("a.yaml", {"a.yaml": new}), Options())
    by_number = {str(sheet.ref.number): sheet for sheet in exchanged.sheets}
    told = [(number, *match) for page in pages_of(exchanged) for number, lines in rows(page) for match in SHOWN.findall("\n".join(lines))]
    assert len(told) >= 3
    for number, _, sheet, page_of, letter, column in told:
        shown = by_number[sheet].pages[int(page_of or 1) - 1]
        assert letter + column in [field_at(shown, x, y) for flag, x, y in hexagons(shown) if flag == number]


def test_a_flag_that_what_is_gone_moves_is_told_where_it_stands_then() -> None:
    face, gone = "{face: [[1..20]], view: mating face, title: plug}", "".join(f"  {name}: {{from: X1.{name}, to: X2.{name}, size: 1 mm2, colour: RD, type: PVC 85 C}}\n" for name in range(1, 18))
    old = f"title: t\nconnectors:\n  X1: {face}\n  X2: {face}\nwires:\n{gone}  18: {{from: X1.18, to: unknown, size: 1 mm2, colour: BN, type: PVC 85 C}}\n"
    exchanged = draw_exchange(load("a.yaml", {"a.yaml": old}), load("a.yaml", {"a.yaml": old.replace(gone, "")}), Options())
    by_number = {str(sheet.ref.number): sheet for sheet in exchanged.sheets}
    (number, _, sheet, page_of, letter, column), = ((number, *match) for page in pages_of(exchanged) for number, lines in rows(page) for match in SHOWN.findall("\n".join(lines)))
    shown = by_number[sheet].pages[int(page_of or 1) - 1]
    assert [field_at(shown, x, y) for flag, x, y in hexagons(shown) if flag == number] == [letter + column]
    plain = draw_book(load("a.yaml", {"a.yaml": old.replace(gone, "")}).version, Options())
    assert f"→ {sheet} " in " ".join(text for page in pages_of(plain) for text in texts(page)) and page_of, "in the book of the new version it stands on another page"


def test_of_several_flags_on_a_sheet_the_first_is_told() -> None:
    context = make_context(load("a.yaml", {"a.yaml": SMALL}).version, Options())
    pen, _ = context.page(context.sheets[4], 1, 1)
    for y in (30.0, 260.0):
        draw_flags(pen, 60.0, y, Flags((1,), "findings"))
    assert with_flags(context, [Sheet(context.sheets[4], (pen.drawing(), pen.drawing()))]).flagged_on == {(1, context.sheets[4].name): FlaggedAt(1, 2, "A2")}


def test_a_number_that_moves_exchanges_its_sheets_for_numbers_only() -> None:
    new = SMALL.replace("X1.1: {function: lamp}", "X1.1: {function: unknown}")
    exchanged = draw_exchange(load("a.yaml", {"a.yaml": SMALL}), load("a.yaml", {"a.yaml": new}), Options())
    x2 = next(sheet for sheet in exchanged.sheets if sheet.ref.name == "pinout-X2")
    (page,) = (page for sheet in exchanged.sheets if sheet.ref.kind is SheetKind.EXCHANGE for page in sheet.pages)
    assert [number for one in x2.pages for number, _, _ in hexagons(one)] == [2]
    assert NUMBERS in row_of(page, str(x2.ref.number))
