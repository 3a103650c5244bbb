"""The booklet: folded as a hand folds it its pages follow each other; on its pages nothing is too small, outside the frame or in the fold; its diagrams are true.

The numbers of the pages are read back from the PDF by pypdf, and put in order by a model of paper that is folded, which knows no imposition.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import pypdf
import pytest
from diagram import truths
from diagram.circuit_sheets import lies
from diagram.printed import letters, overlaps
from examples import raw

from harnessdoc.book.booklet import SPREADS, Booklet, bind_booklet, draw_booklet
from harnessdoc.book.imposition import MOST_IN_FOLD, NUMBER, halves, imposed, numbered, sides
from harnessdoc.drawing.page import BLOCK_TAG, BOOKLET_FOOT, BOOKLET_MARGIN, BOOKLET_PAPERS, FOLD_CLEAR, PAGE_OF, TitleBlock, new_page
from harnessdoc.drawing.pdf import Meta, PdfPage, write_pdf
from harnessdoc.drawing.record import Drawing, Line, Mark, Polyline, Rect, Text, bounds
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.steps import load

PAPERS = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
"""The sheet as it lies before it is folded, in mm: ISO 216, ANSI/ASME Y14.1 (size A)."""
POINTS = 72 / 25.4
SUBJECTS = (("linnet", "a4"), ("heron", "a4"), ("heron-linnet", "a4"), ("trailer-lead", "letter"), ("first-wires", "letter"))
FOLDED = pytest.mark.outside("pypdf: where the numbers of the pages stand in the PDF")


@cache
def drawn(name: str, paper: str) -> Booklet:
    return draw_booklet(load(raw.main_file(name)).version, Options(paper))


# ------------------------------------------------------------------------------ the fold

def numbers_on(pdf: bytes) -> list[tuple[int, int]]:
    """For each side of paper the numbers printed at its left and right foot: alone in their line, by the largest letters there."""
    found = []
    for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
        width = float(page.mediabox.width)
        at: dict[bool, int] = {}

        def note(text: str, cm: Sequence[float], tm: Sequence[float], *_: object, width: float = width, at: dict[bool, int] = at) -> None:
            x, y = cm[0] * tm[4] + cm[4], cm[3] * tm[5] + cm[5]
            if text.strip().isdigit() and y < BOOKLET_FOOT * POINTS:
                at[x > width / 2] = int(text)

        page.extract_text(visitor_text=note)
        found.append((at[False], at[True]))
    return found


def read_through(printed: Sequence[tuple[int, int]], folds: Sequence[int]) -> list[int]:
    """The numbers as they come when the paper is folded and read. Turned about its short edge a sheet has the left of its back behind the right of its front;
    a sheet lies in the one before it, and gives a leaf before and a leaf behind what lies in it."""
    order: list[int] = []
    papers = [(printed[number], printed[number + 1]) for number in range(0, len(printed), 2)]
    for count in folds:
        fold, papers = papers[:count], papers[count:]
        before = [number for front, back in fold for number in (front[1], back[0])]
        behind = [number for front, back in reversed(fold) for number in (back[1], front[0])]
        order += [*before, *behind]
    return order


def plain(count: int) -> list[Drawing]:
    paper = BOOKLET_PAPERS[PAGE_OF + "a4"]
    return [numbered(new_page(paper, TitleBlock("Page", "Test", "1"))[0].drawing(), number) for number in range(1, count + 1)]


def as_pdf(pages: Sequence[Drawing]) -> bytes:
    return write_pdf([PdfPage(page, f"side-{number}", str(number)) for number, page in enumerate(pages)], Meta("Test"))


@FOLDED
@pytest.mark.parametrize("count, folds", [(4, (1,)), (8, (2,)), (60, (15,)), (64, (8, 8)), (140, (12, 12, 11))])
def test_folded_the_pages_follow_each_other(count: int, folds: tuple[int, ...]):
    assert max(folds) <= MOST_IN_FOLD
    assert read_through(numbers_on(as_pdf(imposed(plain(count)))), folds) == list(range(1, count + 1))


def test_eight_pages_lie_as_every_bookbinder_lays_them():
    # from memory, common practice: 8 and 1, behind them 2 and 7; inside 6 and 3, behind them 4 and 5
    assert [(side.left + 1, side.right + 1) for side in sides(8)] == [(8, 1), (2, 7), (6, 3), (4, 5)]


def test_sides_exchanged_are_not_in_order():
    front, back, *others = numbers_on(as_pdf(imposed(plain(8))))
    assert read_through([front, back[::-1], *others], (2,)) != list(range(1, 9))
    assert read_through([back, front, *others], (2,)) != list(range(1, 9))


def test_pages_that_fill_no_sheet_are_refused():
    with pytest.raises(ValueError, match="6 pages"):
        sides(6)


@FOLDED
@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_the_pages_of_a_booklet_are_read_back_in_order(name: str, paper: str, tmp_path: Path):
    bound = bind_booklet(drawn(name, paper), tmp_path)
    assert bound.pdf.name == f"{raw.main_file(name).stem}-booklet.pdf"
    pdf = bound.pdf.read_bytes()
    printed = numbers_on(pdf)
    assert len(printed) == 2 * bound.papers
    folds = [bound.papers // bound.folds + (number < bound.papers % bound.folds) for number in range(bound.folds)]
    assert read_through(printed, folds) == list(range(1, bound.pages + 1))
    assert {(round(float(page.mediabox.width) / POINTS, 1), round(float(page.mediabox.height) / POINTS, 1)) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages} == {PAPERS[paper]}


@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_two_halves_of_a_drawing_face_each_other(name: str, paper: str):
    booklet = drawn(name, paper)
    pages = [{mark for mark in page.marks if isinstance(mark, Text) and mark.height != NUMBER} for page in booklet.pages]
    looked_at = 0
    for sheet in booklet.sheets:
        for spread in sheet.pages if sheet.ref.kind in SPREADS else ():
            left, right = ({mark for mark in half.marks if isinstance(mark, Text) and mark.height != NUMBER} for half in halves(spread))
            at = pages.index(left)
            assert at % 2 == 1 and pages[at + 1] == right
            looked_at += 1
    assert looked_at


def test_same_input_same_bytes(tmp_path: Path):
    one, other = (bind_booklet(draw_booklet(load(raw.main_file("first-wires")).version, Options()), tmp_path / name).pdf.read_bytes() for name in ("one", "other"))
    assert one == other


# ------------------------------------------------------------------------------ what stands on the pages

def too_small(page: Drawing) -> list[str]:
    """Texts lower than data, but for column heads (bold, of a table), captions of the title block and the word at a connector's lock."""
    def is_head(text: Text) -> bool:
        return text.height == 1.8 and (text.tag == BLOCK_TAG or text.weight == "bold" or text.text == "lock")

    return [mark.text for mark in page.marks if isinstance(mark, Text) and mark.height < 2.5 and not is_head(mark)]


def outside(page: Drawing) -> list[Mark]:
    """What stands neither inside the frame nor is part of it, nor a page's number."""
    left, top, right, bottom = BOOKLET_MARGIN, BOOKLET_MARGIN, page.width_mm - BOOKLET_MARGIN, page.height_mm - BOOKLET_FOOT
    found = []
    for mark in page.marks:
        x1, y1, x2, y2 = bounds(mark)
        if mark.tag != "frame" and not (left - 0.36 <= x1 and x2 <= right + 0.36 and top - 0.36 <= y1 and y2 <= bottom + 0.36):
            found.append(mark)
    return found


def in_the_fold(spread: Drawing) -> Iterator[Mark]:
    """What is nearer to the fold than FOLD_CLEAR: all but the frame, the line over the title block, level lines, and on a layout lines of the bundle from one side to the other."""
    low, high = spread.width_mm / 2 - FOLD_CLEAR, spread.width_mm / 2 + FOLD_CLEAR
    for mark in spread.marks:
        match mark:
            case Line() if mark.tag.partition(":")[0] in ("segment", "covering"):
                pieces = [] if max(mark.x1, mark.x2) - min(mark.x1, mark.x2) > 2 * FOLD_CLEAR or mark.tag.startswith("covering") else [((mark.x1, mark.y1), (mark.x2, mark.y2))]
            case Line():
                pieces = [((mark.x1, mark.y1), (mark.x2, mark.y2))]
            case Polyline(closed=False):
                pieces = list(zip(mark.points, mark.points[1:], strict=False))
            case Rect(tag="frame"):
                pieces = []
            case _:
                x1, _, x2, _ = bounds(mark)
                pieces = [((x1, 0.0), (x2, 1.0))]
        if any(abs(ay - by) > 1e-6 and min(ax, bx) < high - 0.01 and max(ax, bx) > low + 0.01 for (ax, ay), (bx, by) in pieces):
            yield mark


@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_data_are_as_high_as_data(name: str, paper: str):
    assert [text for page in drawn(name, paper).pages for text in too_small(page)] == []


CAPITALS = "BDEFHIKLMNPRTXZ"
"""With flat feet and heads: as high as the capitals are."""


def low_capitals(pages: Sequence[Drawing]) -> set[str]:
    """Texts with capitals lower than 2.5 mm as the PDF has them, that are neither column heads nor words of those small sizes that `too_small` lets pass."""
    heads = {mark.text.replace(" ", "") for page in pages for mark in page.marks if isinstance(mark, Text) and mark.height == 1.8}
    found = set()
    for page in pages:
        for text in letters(page):
            heights = [bottom - top for letter, (_, top, _, bottom) in zip(text.text, text.boxes, strict=True) if letter in CAPITALS]
            upright = max((right - left for left, _, right, _ in text.boxes), default=0.0)
            if heights and min(heights) < 2.5 - 0.05 and not (1.75 < min(heights) and text.text in heads) and upright < 2.5:
                found.add(f"{text.text}: {min(heights):.2f} mm")
    return found


@pytest.mark.outside("pypdfium2: heights of the capitals in the PDF")
@pytest.mark.parametrize("name, paper", [("linnet", "a4"), ("first-wires", "letter")])
def test_capitals_are_as_high_in_the_pdf(name: str, paper: str):
    assert low_capitals(drawn(name, paper).pages) == set()
    page = drawn(name, paper).pages[0]
    assert low_capitals([replace(page, marks=(*page.marks, Text(30.0, 190.0, "BATTERY", 2.2)))]) != set()


@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_no_title_and_no_entry_of_the_first_page_is_cut(name: str, paper: str):
    booklet = drawn(name, paper)
    first = booklet.sheets[0].pages
    assert [mark.text for page in (*booklet.pages, *first) for mark in page.marks if isinstance(mark, Text) and mark.tag in (BLOCK_TAG, "entry") and mark.text.endswith("…")] == []
    assert [page for page in first if outside(page)] == []


def test_a_long_title_stands_in_two_lines():
    said = "heating and ventilation of the living room with thermostat"
    page = new_page(BOOKLET_PAPERS[PAGE_OF + "a4"], TitleBlock(said, "Circuit diagram", "88 / 88", 8, 8, identification="HERON-LINNET-1", date="2026-11-20", revision="A"))[0].drawing()
    titles = [mark for mark in page.marks if isinstance(mark, Text) and mark.weight == "bold" and mark.tag == BLOCK_TAG and "/" not in mark.text]
    assert len(titles) == 2 and " ".join(mark.text for mark in titles) == said and overlaps(page) == []


@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_nothing_stands_outside_the_frame(name: str, paper: str):
    assert [mark for sheet in drawn(name, paper).sheets for page in sheet.pages for mark in outside(page)] == []


@pytest.mark.outside("pypdfium2: boxes of the letters of the PDF")
@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_no_letter_is_printed_where_the_paper_is_folded(name: str, paper: str):
    spreads = [(sheet.ref.name, page) for sheet in drawn(name, paper).sheets if sheet.ref.kind in SPREADS for page in sheet.pages]
    assert spreads
    assert [f"{sheet}: {text}" for sheet, page in spreads for text in letters_in_the_fold(page)] == []
    assert drawn(name, paper).unfit == ()


def letters_in_the_fold(spread: Drawing) -> list[str]:
    """Texts with a letter nearer to the fold than FOLD_CLEAR."""
    low, high = spread.width_mm / 2 - FOLD_CLEAR, spread.width_mm / 2 + FOLD_CLEAR
    return [text.text for text in letters(spread) if any(left < high - 0.05 and right > low + 0.05 for left, _, right, _ in text.boxes)]


@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_only_level_lines_cross_the_fold(name: str, paper: str):
    spreads = [page for sheet in drawn(name, paper).sheets if sheet.ref.kind in SPREADS for page in sheet.pages]
    assert spreads
    assert [mark for page in spreads for mark in in_the_fold(page)] == []


@pytest.mark.outside("networkx: connected components of the wire list as PyYAML and csv read it")
@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_diagrams_over_the_fold_tell_the_truth(name: str, paper: str):
    pages = [page for sheet in drawn(name, paper).sheets if sheet.ref.kind is SheetKind.CIRCUIT for page in sheet.pages]
    loaded = load(raw.main_file(name))
    assert loaded.harness is not None
    assert lies(pages, truths.of_model(loaded.harness) if name in raw.MERGES else truths.of_example(name)) == []


@pytest.mark.outside("pypdfium2: boxes of the letters of the PDF")
@pytest.mark.parametrize("name, paper", SUBJECTS)
def test_nothing_is_printed_over_anything(name: str, paper: str):
    assert [f"{sheet.ref.name}: {fault}" for sheet in drawn(name, paper).sheets for page in sheet.pages for fault in overlaps(page)] == []


@pytest.mark.parametrize("mark, check", [
    (Text(148.5, 100.0, "in the fold", 2.5, "middle"), in_the_fold), (Text(140.0, 100.0, "x", 2.5, "start"), letters_in_the_fold), (Line(145.0, 90.0, 145.0, 110.0, 0.5), in_the_fold), (Line(141.0, 90.0, 156.0, 110.0, 0.5), in_the_fold),
    (Text(30.0, 206.0, "below", 2.5), outside), (Rect(280.0, 50.0, 12.0, 5.0), outside), (Text(30.0, 100.0, "small", 1.8), too_small), (Text(30.0, 100.0, "smaller", 2.4, weight="bold"), too_small)])
def test_what_is_wrong_on_a_page_is_seen(mark: Mark, check):
    page = next(page for sheet in drawn("first-wires", "a4").sheets if sheet.ref.kind in SPREADS for page in sheet.pages)
    assert not list(check(page))
    assert list(check(replace(page, marks=(*page.marks, mark))))


# ------------------------------------------------------------------------------ the sheets

def test_the_first_page_has_every_fuse_relay_and_ground_and_how_the_battery_is_cut_off():
    booklet = drawn("linnet", "a4")
    harness = booklet.context.harness
    assert booklet.sheets[0].ref.kind is SheetKind.QUICK and len(booklet.sheets[0].pages) == 1
    words = [mark.text for mark in booklet.pages[0].marks if isinstance(mark, Text)]
    wanted = [*(part.id for part in harness.parts.values() if part.kind in ("fuse", "fusible link", "relay")), *harness.grounds]
    assert [name for name in wanted if name not in words] == []
    assert any("no battery switch is described" in text for text in words)


SWITCHED = """title: Small boat
devices:
  G1: {title: battery, place: stern, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 9 mohm}}
  S1: {title: main switch, place: companionway, terminals: [in, out], closes: {on: [[S1.in, S1.out]]}}
  H1: {title: cabin lamp, terminals: [a, b], lamp: 10 W at 12 V, between: [H1.a, H1.b]}
grounds:
  GN1: {title: busbar}
wires:
  1: {from: G1.+, to: S1.in, size: 16 mm2, colour: RD}
  2: {from: S1.out, to: H1.a, size: 1.5 mm2, colour: RD}
  3: {from: H1.b, to: GN1, size: 1.5 mm2, colour: BK}
  4: {from: G1.-, to: GN1, size: 16 mm2, colour: BK}
"""


@pytest.mark.parametrize("text, wanted", [(SWITCHED, "battery switch S1 main switch"), (SWITCHED + "  5: {from: G1.+, to: H1.a, size: 1 mm2, colour: RD}\n", "no battery switch is described")])
def test_a_battery_switch_is_one_through_which_all_goes(text: str, wanted: str):
    page = draw_booklet(load("boat.yaml", {"boat.yaml": text}).version, Options()).pages[0]
    assert wanted in " ".join(mark.text for mark in page.marks if isinstance(mark, Text))


def test_pinouts_have_every_wired_cavity_and_neither_terminal_nor_seal():
    booklet = drawn("linnet", "a4")
    pinouts = [sheet for sheet in booklet.sheets if sheet.ref.kind is SheetKind.PINOUT]
    assert [name for sheet in pinouts for name in sheet.ref.subjects if name not in booklet.context.harness.connectors] == []
    assert {name for sheet in pinouts for name in sheet.ref.subjects} == set(booklet.context.harness.connectors)
    for sheet in pinouts:
        words = [mark.text for page in sheet.pages for mark in page.marks if isinstance(mark, Text)]
        assert "Cavity" in words and "Terminal" not in words and "Seal" not in words
        for name in sheet.ref.subjects:
            for wire in booklet.context.harness.wires.values():
                if name in (wire.from_.rpartition(".")[0], wire.to.rpartition(".")[0]):
                    assert wire.id in words


def test_the_check_sheet_says_what_a_meter_shows_and_is_short():
    booklet = drawn("linnet", "a4")
    (check,) = [sheet for sheet in booklet.sheets if sheet.ref.kind is SheetKind.CHECK]
    words = [mark.text for page in check.pages for mark in page.marks if isinstance(mark, Text)]
    assert {"What a meter shows", "Cranking", "Running"} <= set(words) and not {"Must ring", "Must not ring", "Value", "Initials"} & set(words)
    assert len(check.pages) <= 6


def test_without_a_solution_there_is_no_check_sheet():
    booklet = draw_booklet(load("lead.yaml", {"lead.yaml": "connectors: {X1: {face: [[1]], view: wire side}, X2: {face: [[1]], view: wire side}}\nwires: {1: {from: X1.1, to: X2.1}}\n"}).version, Options())
    assert SheetKind.PINOUT in {sheet.ref.kind for sheet in booklet.sheets} and SheetKind.CHECK not in {sheet.ref.kind for sheet in booklet.sheets}


CLUSTER = "instrument-cluster-of-the-second-driver"
TOO_WIDE = """title: Wide
devices:
  G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 9 mohm}}
  H1:
    title: lamps
    loads:
LOADS
connectors:
  CLUSTER: {device: H1, face: [[1, 2, 3, 4, 5, 9]], view: wire side}
grounds: {GN1: {title: busbar}}
wires:
WIRES
  9: {from: CLUSTER.9, to: GN1, size: 1 mm2, colour: BK}
  10: {from: G1.-, to: GN1, size: 16 mm2, colour: BK}
"""
TOO_WIDE = TOO_WIDE.replace("LOADS", "\n".join(f"      lamp {number}: {{lamp: 2 W at 12 V, between: [CLUSTER.{number}, CLUSTER.9]}}" for number in range(1, 6)))
TOO_WIDE = TOO_WIDE.replace("WIRES", "\n".join(f"  {number}: {{from: G1.+, to: CLUSTER.{number}, size: 1 mm2, colour: RD}}" for number in range(1, 6))).replace("CLUSTER", CLUSTER)


def test_what_is_too_wide_for_its_half_is_told_in_words_and_said():
    booklet = draw_booklet(load("wide.yaml", {"wide.yaml": TOO_WIDE}).version, Options())
    spreads = [page for sheet in booklet.sheets if sheet.ref.kind in SPREADS for page in sheet.pages]
    assert [fault for page in spreads for fault in (*letters_in_the_fold(page), *outside(page), *overlaps(page))] == []
    assert booklet.unfit and all(line.startswith("wide.yaml: sheet ") and "mm more across than the 273 mm there are" in line for line in booklet.unfit)
    words = " ".join(mark.text for page in spreads for mark in page.marks if isinstance(mark, Text) and mark.tag == "unfit")
    assert all(f"{number} 1 RD: G1.+ to {CLUSTER}.{number}" in words.replace("- ", "-").replace("second- driver", "second-driver") for number in range(1, 6))
