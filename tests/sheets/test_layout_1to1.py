"""The layout at full size, measured back from its PDF: every segment as long as described, once the pages are put together by their crop marks."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot
from pathlib import Path

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import yaml
from click.testing import CliRunner
from sheets.checks import _overlaps, inked_box, texts
from sheets.contexts import context_of
from sheets.test_layout import SMALL

from harnessdoc.book.draw import make_context
from harnessdoc.book.plan import sheets_apart
from harnessdoc.cli.main import harnessdoc
from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.pdf import Meta, PdfPage, write_pdf
from harnessdoc.drawing.record import Circle, Drawing, Line, Rect, Text, bounds
from harnessdoc.sheets.bundle_tree import bundle_trees
from harnessdoc.sheets.context import Context, Options, SheetKind, SheetRef
from harnessdoc.sheets.layout_1to1 import draw_layout_1to1
from harnessdoc.sheets.layout_board import make_board
from harnessdoc.steps import load

EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = [EXAMPLES / name / f"{name}.yaml" for name in ("linnet", "heron")]
REF = SheetRef("1:1", "layout-1to1", SheetKind.LAYOUT_1TO1, "to build on")
MM = 25.4 / 72
RIGHT = 0.2
"""A length measured back is right within so many mm."""
MEASURED = pytest.mark.outside("pypdfium2 reads the paths of the PDF, PyYAML the segments")


@dataclass(frozen=True, slots=True)
class Printed:
    """One page of the board as it is in the PDF, mm from the top left: its name, straight strokes (x1, y1, x2, y2, width), open circles (x, y, radius)."""

    name: str
    strokes: tuple[tuple[float, float, float, float, float], ...]
    circles: tuple[tuple[float, float, float], ...]


def printed_pages(pdf: bytes) -> list[Printed]:
    return [_printed(page) for page in list(pypdfium2.PdfDocument(pdf))[1:]]


def _printed(page: pypdfium2.PdfPage) -> Printed:
    height, text = page.get_height(), page.get_textpage()
    strokes, circles = [], []
    for each in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
        points = _points(each, height)
        width = pdfium.c_float()
        pdfium.FPDFPageObj_GetStrokeWidth(each.raw, width)
        matrix = each.get_matrix()
        wide = width.value * hypot(matrix.a, matrix.b) * MM
        if len(points) == 2:
            strokes.append((*points[0], *points[1], wide))
        elif len(points) == 13:    # four curves
            xs, ys = [x for x, _ in points[::3]], [y for _, y in points[::3]]
            circles.append(((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2, (max(xs) - min(xs)) / 2))
    head = text.get_text_bounded(0, height - 14 / MM, 60 / MM, height)
    return Printed(re.search(r"\b([A-Z]+\d+)\b", head)[1], tuple(strokes), tuple(circles))


def _points(path: pypdfium2.PdfObject, height: float) -> list[tuple[float, float]]:
    """The points of a path in mm from the top left of the page."""
    matrix, points = path.get_matrix(), []
    for index in range(pdfium.FPDFPath_CountSegments(path.raw)):
        x, y = pdfium.c_float(), pdfium.c_float()
        pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFPath_GetPathSegment(path.raw, index), x, y)
        px, py = matrix.on_point(x.value, y.value)
        points.append((px * MM, (height - py) * MM))
    return points


@dataclass(frozen=True, slots=True)
class Together:
    """All pages put together: bundle lines and points, mm of board."""

    lines: np.ndarray
    points: np.ndarray


def put_together(pages: Sequence[Printed]) -> Together:
    """By the names of the pages and their crop marks alone."""
    lines, points = [], []
    for page in pages:
        row, column = _place(page.name)
        upright = sorted({round(x1, 2) for x1, y1, x2, y2, _ in page.strokes if abs(x1 - x2) < 1e-3 and abs(abs(y2 - y1) - 4.0) < 0.01})
        level = sorted({round(y1, 2) for x1, y1, x2, y2, _ in page.strokes if abs(y1 - y2) < 1e-3 and abs(abs(x2 - x1) - 4.0) < 0.01})
        (left, right), (top, bottom) = (upright[0], upright[-1]), (level[0], level[-1])
        dx, dy = column * (right - left) - left, row * (bottom - top) - top
        lines += [(x1 + dx, y1 + dy, x2 + dx, y2 + dy) for x1, y1, x2, y2, wide in page.strokes if abs(wide - 0.7) < 0.01]
        for x, y, r in page.circles:
            if abs(r - 0.9) < 0.01 and not any(hypot(x + dx - px, y + dy - py) < RIGHT for px, py in points):
                points.append((x + dx, y + dy))
    return Together(np.array(lines), np.array(points))


def _place(name: str) -> tuple[int, int]:
    letters, number = re.fullmatch(r"([A-Z]+)(\d+)", name).groups()
    order = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    return order.index(letters[0]) + len(order) * (len(letters) - 1), int(number) - 1


def lengths_measured(board: Together) -> list[float]:
    """The lengths between points that are next to each other on one line of the bundle."""
    found = []
    for a in range(len(board.points)):
        for b in range(a + 1, len(board.points)):
            start, end = board.points[a], board.points[b]
            long = float(np.hypot(*(end - start)))
            others = np.delete(board.points, [a, b], axis=0)
            if not _between(others, start, end).any() and _is_drawn(board.lines, start, end, long):
                found.append(long)
    return sorted(found)


def _between(points: np.ndarray, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    along = end - start
    share = ((points - start) @ along) / (along @ along)
    off = np.abs((points - start) @ np.array([-along[1], along[0]])) / np.hypot(*along)
    return (share > 0) & (share < 1) & (off < 0.5)


def _is_drawn(lines: np.ndarray, start: np.ndarray, end: np.ndarray, long: float) -> bool:
    """True where every place between two points, looked at each 4 mm, lies on a line that runs the same way."""
    way = (end - start) / long
    direction = lines[:, 2:] - lines[:, :2]
    size = np.hypot(direction[:, 0], direction[:, 1])
    on = lines[(size > 0) & (np.abs(direction @ np.array([-way[1], way[0]])) < 0.01 * size + 0.05)]
    if not len(on):
        return False
    for at in start + np.outer(np.linspace(0.02, 0.98, max(3, int(long / 4))), end - start):
        begin, along = on[:, :2], on[:, 2:] - on[:, :2]
        share = np.clip(((at - begin) * along).sum(1) / (along * along).sum(1), 0, 1)
        if np.hypot(*(begin + share[:, None] * along - at).T).min() > RIGHT:
            return False
    return True


def lengths_described(file: Path) -> list[float]:
    return sorted(float(one["length"].removesuffix(" mm")) for one in yaml.safe_load(file.read_text(encoding="utf-8"))["segments"].values())


def assert_right(pdf: bytes, described: Sequence[float]) -> None:
    measured = lengths_measured(put_together(printed_pages(pdf)))
    assert len(measured) == len(described), (len(measured), len(described))
    off = [(a, b) for a, b in zip(measured, described) if abs(a - b) > RIGHT]
    assert not off, off


def pdf_of(drawings: Sequence[Drawing]) -> bytes:
    return write_pdf([PdfPage(drawing, f"page-{number}", str(number)) for number, drawing in enumerate(drawings)], Meta("board"))


def book_context(file: Path, paper: str) -> Context:
    return make_context(load(str(file), solve=False, sweep=False).version, Options(paper=paper))


@MEASURED
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_measured_back_every_segment_is_as_long_as_described(file: Path, paper: str) -> None:
    assert_right(pdf_of(draw_layout_1to1(book_context(file, paper), REF)), lengths_described(file))


def test_a_page_that_is_off_and_a_print_that_is_scaled_are_seen() -> None:
    context = book_context(FILES[0], "a4")
    pages, described = draw_layout_1to1(context, REF), lengths_described(FILES[0])
    shifted = [replace(page, marks=tuple(replace(mark, x1=mark.x1 + 1, x2=mark.x2 + 1) if isinstance(mark, Line) and mark.tag.startswith("segment:") else
                                         replace(mark, cx=mark.cx + 1) if isinstance(mark, Circle) else mark for mark in page.marks)) if number == 9 else page for number, page in enumerate(pages)]
    with pytest.raises(AssertionError):
        assert_right(pdf_of(shifted), described)
    with pytest.raises(AssertionError):
        assert_right(pdf_of(pages), [length * (1.001 if length > 3000 else 1) for length in described])
    with pytest.raises(AssertionError):
        assert_right(pdf_of([page for number, page in enumerate(pages) if number != 9]), described)


@MEASURED
@pytest.mark.parametrize("paper", PAPERS)
def test_the_bar_on_every_page_is_100_mm(paper: str) -> None:
    pages = printed_pages(pdf_of(draw_layout_1to1(context_of(SMALL, paper=paper), REF)))
    assert len(pages) > 2
    for page in pages:
        bars = [abs(x2 - x1) for x1, y1, x2, y2, wide in page.strokes if abs(wide - 0.5) < 0.01 and abs(y1 - y2) < 1e-3 and y1 < 15.0]
        assert len(bars) == 1 and abs(bars[0] - 100.0) < 0.05


def outside_texts(page: Drawing) -> Iterator[str]:
    """What lies nearer to the edge of the paper than 3 mm: few printers reach it."""
    for mark in page.marks:
        left, top, right, bottom = inked_box(mark) if isinstance(mark, Text) else bounds(mark)
        if left < 3 or top < 3 or right > page.width_mm - 3 or bottom > page.height_mm - 3:
            yield str(mark)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("file", [*FILES, EXAMPLES / "heron-linnet" / "heron-linnet.yaml"], ids=lambda file: file.stem)
def test_every_page_is_tidy_and_has_ink(file: Path, paper: str) -> None:
    context = book_context(file, paper)
    pages = draw_layout_1to1(context, REF)
    said = set()
    for page in pages[1:]:
        assert not list(_overlaps(page)) and not list(outside_texts(page))
        assert any(isinstance(mark, Line) and mark.tag.startswith("segment:") or mark.tag == "cut" for mark in page.marks)
        said.update(re.split(r"[ ,]+", " ".join(texts(page))))
    assert not any("no room" in text for page in pages for text in texts(page))
    harness = context.harness
    missing = [name for name in (*harness.connectors, *harness.splices, *harness.grounds, *harness.devices) if name not in said]
    assert not missing
    assert {(page.width_mm, page.height_mm) for page in pages[1:]} <= ({(279.4, 215.9), (215.9, 279.4)} if paper == "letter" else {(297.0, 210.0), (210.0, 297.0)})


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_two_lines_lie_on_each_other(file: Path) -> None:
    context = book_context(file, "a4")
    board = make_board(bundle_trees(context.harness, context.geometry), context.paper)
    places = {run.segment: np.linspace((run.x1, run.y1), (run.x2, run.y2), max(2, int((run.to_mm - run.from_mm) / 10))) for run in board.page.runs}
    ends = {run.segment: {(round(run.x1, 1), round(run.y1, 1)), (round(run.x2, 1), round(run.y2, 1))} for run in board.page.runs}
    names = sorted(places)
    near = {(a, b): float(np.hypot(*(places[a][:, None] - places[b][None]).transpose(2, 0, 1)).min()) for a in names for b in names if a < b and not ends[a] & ends[b]}
    assert near and min(near.values()) > 25.0
    # those that meet at a point leave it at an angle
    for a in names:
        for b in names:
            for x, y in ends[a] & ends[b] if a < b else ():
                ways = [np.subtract(next(end for end in ends[one] if end != (x, y)), (x, y)) for one in (a, b)]
                cosine = ways[0] @ ways[1] / np.hypot(*ways[0]) / np.hypot(*ways[1])
                assert cosine < 0.91, (a, b)


def test_the_map_shows_the_pages_there_are() -> None:
    pages = draw_layout_1to1(context_of(SMALL), REF)
    shown = [mark.tag.removeprefix("tile:") for mark in pages[0].marks if isinstance(mark, Rect) and mark.tag.startswith("tile:")]
    named = [next(mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "tile") for page in pages[1:]]
    assert shown == named and len(set(named)) == len(named)
    neighbours = {name: {mark.text for mark in page.marks if isinstance(mark, Text) and mark.tag == "neighbour"} for name, page in zip(named, pages[1:])}
    for name, others in neighbours.items():
        row, column = _place(name)
        assert others == {other for other in named if abs(_place(other)[0] - row) + abs(_place(other)[1] - column) == 1}
    assert f"{len(named)} pages of A4" in " ".join(texts(pages[0]))
    assert texts(pages[0]).count("1:1") == 1


def test_a_length_that_is_not_known_is_told() -> None:
    pages = draw_layout_1to1(context_of("segments:\n  T1: {from: A, to: B}\n  T2: {from: B, to: C, length: 900 mm}\n"), REF)
    assert "Dashed bundle: length not known, drawn 200 mm long." in " ".join(texts(pages[0]))


def test_the_command_writes_it_and_the_book_does_not(tmp_path: Path) -> None:
    file = tmp_path / "small.yaml"
    file.write_text("\n".join(line[4:] for line in SMALL.splitlines()), encoding="utf-8")
    done = CliRunner().invoke(harnessdoc, ["sheet", str(file), "layout-1to1", "--as", "pdf", "--out", str(tmp_path)])
    assert done.exit_code == 0, done.output
    assert len(pypdfium2.PdfDocument(tmp_path / "layout-1to1.pdf")) == len(draw_layout_1to1(context_of(SMALL), REF))
    bare = tmp_path / "bare.yaml"
    bare.write_text("connectors:\n  X1: {face: [[1, 2]], view: wire side}\nwires:\n  1: {from: X1.1, to: X1.2}\n", encoding="utf-8")
    done = CliRunner().invoke(harnessdoc, ["sheet", str(bare), "layout-1to1", "--out", str(tmp_path)])
    assert done.exit_code != 0 and "there is no sheet 'layout-1to1'" in done.output
    context = context_of(SMALL)
    assert [ref.kind for ref in sheets_apart(context.harness)] == [SheetKind.LAYOUT_1TO1]


def test_a_grommet_says_beside_it_that_its_place_is_not_described() -> None:
    """Drawn at the middle of its segment, as nothing says where it sits: who builds must not measure there."""
    text = """
    segments:
      T1: {from: P1, to: P2, length: 700 mm, grommet: 12 mm}
      T2: {from: P2, to: P3, length: 300 mm}
    connectors:
      X1: {place: P1, face: [[1, 2]], view: wire side}
      X2: {place: P3, face: [[1, 2]], view: wire side}
    wires:
      1: {from: X1.1, to: X2.1}
    """
    pages = draw_layout_1to1(context_of(text), REF)
    marked = [page for page in pages if any(getattr(mark, "tag", "") == "grommet:T1" for mark in page.marks)]
    said = [page for page in pages if "its place not described" in texts(page)]
    assert len(said) == 1 and said[0] in marked
    at = next(mark for mark in said[0].marks if getattr(mark, "tag", "") == "grommet:T1")
    words = next(mark for mark in said[0].marks if getattr(mark, "text", "") == "its place not described")
    assert abs(words.x - at.x1) < 60 and abs(words.y - at.y1) < 20
    assert "grommets (two bars)" in " ".join(texts(pages[0]))
    without = draw_layout_1to1(context_of(text.replace(", grommet: 12 mm", "")), REF)
    assert not any("not described" in text for page in without for text in texts(page))
