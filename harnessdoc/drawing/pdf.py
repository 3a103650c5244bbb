"""The PDF backend: recorded drawings in, one PDF book out.

Works from the record, not from SVG: fpdf2 does the document (pages, font,
bookmarks, links, page labels), the marks are written here as PDF operators, since
a call of fpdf2 for each of some hundred thousand marks is the slow part. On each
page the axes are turned once to mm from the top left, y down, so the numbers in
the file are those of the record. The two font weights are embedded once, cut to
the glyphs the book uses. The same drawings and the same ``Meta`` give the same
bytes: the date is the description's, never the clock's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from math import radians, tan
from typing import TYPE_CHECKING

from harnessdoc.drawing.lettering import FONT_FILES, FONT_FOLDER, Weight, font_size
from harnessdoc.drawing.record import (
    BLACK,
    Arc,
    Circle,
    Drawing,
    Line,
    Link,
    Polyline,
    Rect,
    Text,
)

if TYPE_CHECKING:
    from fpdf import FPDF

POINTS = 72 / 25.4
NO_DATE = datetime(2000, 1, 1, tzinfo=UTC)
"""Stands in the file where the description gives no date: fpdf2 would take the clock."""
STYLES: dict[Weight, str] = {"regular": "", "bold": "B"}


@dataclass(frozen=True, slots=True)
class PdfPage:
    """One page. ``name`` is the sheet's, the target of links; its first page is where they lead.

    ``label`` is the page's number as printed ("7.1"). ``bookmark`` "" makes none;
    ``level`` 0 is outermost and grows by one at most from one bookmark to the next.
    """

    drawing: Drawing
    name: str
    label: str
    bookmark: str = ""
    level: int = 0


@dataclass(frozen=True, slots=True)
class Meta:
    """What the file says of itself; ``date`` is "YYYY-MM-DD" or ""."""

    title: str
    author: str = ""
    date: str = ""


def write_pdf(
    pages: Sequence[PdfPage],
    meta: Meta,
    progress: Callable[[int, int], None] | None = None,
) -> bytes:
    """The book as bytes. ``progress`` gets (pages done, pages in all) after each page.

    A link to a sheet that is not in the book makes nothing. Raises ValueError
    where a date or the levels of the bookmarks are not as said above.
    """
    from fpdf import FPDF

    book = FPDF(unit="mm")
    book.set_auto_page_break(False)
    book.set_title(_encodable(meta.title))
    if meta.author:
        book.set_author(_encodable(meta.author))
    date = datetime.strptime(meta.date, "%Y-%m-%d") if meta.date else NO_DATE
    book.set_creation_date(date.replace(tzinfo=UTC))
    for weight, file in FONT_FILES.items():
        book.add_font("lettering", STYLES[weight], FONT_FOLDER / file)
    targets = _targets(book, pages)
    for index, page in enumerate(pages):
        drawing = page.drawing
        book.add_page(
            format=(drawing.width_mm, drawing.height_mm), label_prefix=_encodable(page.label) or None
        )
        if page.bookmark:
            book.set_y(0)
            book.start_section(_encodable(page.bookmark), page.level)
        # fpdf2 has no public way to append operators to a page.
        book._out(_content(book, drawing))
        for mark in drawing.marks:
            if isinstance(mark, Link) and mark.target in targets:
                book.link(mark.x, mark.y, mark.w, mark.h, targets[mark.target])
        if progress:
            progress(index + 1, len(pages))
    return bytes(book.output())


def _encodable(text: str) -> str:
    """A text without half characters (lone surrogates), which no file can hold."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _targets(book: FPDF, pages: Sequence[PdfPage]) -> dict[str, int]:
    """The link number of each sheet: the top of its first page, which may be larger than others."""
    targets: dict[str, int] = {}
    for index, page in enumerate(pages):
        if page.name not in targets:
            below = book.h - page.drawing.height_mm
            targets[page.name] = book.add_link(page=index + 1, y=below)
    return targets


def _content(book: FPDF, drawing: Drawing) -> bytes:
    """The operators of a page."""
    used = {mark.weight for mark in drawing.marks if isinstance(mark, Text)}
    fonts = {}
    for weight, style in STYLES.items():
        if weight in used:
            book.set_font("lettering", style)
            fonts[weight] = book.current_font
            # Names the font in the page's resources, as fpdf2's own text calls do.
            book._out(book._set_font_for_page(book.current_font, 1))
    k = f"{POINTS:.6f}"
    state = _State()
    out = [f"q {k} 0 0 -{k} 0 {drawing.height_mm * POINTS:.4f} cm 1 J 1 j"]
    for mark in drawing.marks:
        match mark:
            case Line():
                state.stroke(out, mark.width, mark.dash, mark.colour)
                out.append(f"{mark.x1:.3f} {mark.y1:.3f} m {mark.x2:.3f} {mark.y2:.3f} l S")
            case Text():
                state.fill(out, mark.colour)
                font = fonts[mark.weight]
                x, y = mark.start()
                turn = "0 -1 -1 0" if mark.upright else "1 0 0 -1"
                out.append(
                    f"BT /F{font.i} {font_size(mark.height, mark.weight):.4f} Tf "
                    f"{turn} {x:.3f} {y:.3f} Tm {font.encode_text(mark.text)} ET"
                )
            case Rect():
                end = state.area(out, mark.width, mark.fill, mark.dash)
                out.append(f"{mark.x:.3f} {mark.y:.3f} {mark.w:.3f} {mark.h:.3f} re {end}")
            case Polyline():
                end = state.area(out, mark.width, mark.fill, mark.dash)
                first, *rest = [f"{x:.3f} {y:.3f}" for x, y in mark.points]
                path = " ".join([f"{first} m", *(f"{point} l" for point in rest)])
                out.append(f"{path} {'h ' if mark.closed else ''}{end}")
            case Circle():
                end = state.area(out, mark.width, mark.fill, ())
                out.append(f"{_arc(Arc(mark.cx, mark.cy, mark.r, 0, 360))} h {end}")
            case Arc():
                state.stroke(out, mark.width, (), BLACK)
                out.append(f"{_arc(mark)} S")
    out.append("Q")
    return "\n".join(out).encode("latin-1")


class _State:
    """Line width, dash and colours as they stand, so that only changes are written."""

    def __init__(self) -> None:
        self.line: tuple[float, tuple[float, ...], str] = (-1.0, (), "")
        self.filling = ""

    def stroke(self, out: list[str], width: float, dash: tuple[float, ...], colour: str) -> None:
        if self.line == (width, dash, colour):
            return
        self.line = (width, dash, colour)
        lengths = " ".join(f"{part:.3f}" for part in dash)
        out.append(f"{width:.3f} w [{lengths}] 0 d {_rgb(colour)} RG")

    def fill(self, out: list[str], colour: str) -> None:
        if self.filling != colour:
            self.filling = colour
            out.append(f"{_rgb(colour)} rg")

    def area(
        self, out: list[str], width: float, fill: str | None, dash: tuple[float, ...]
    ) -> str:
        """Sets up outline and fill of a shape; returns the operator that paints it."""
        if width:
            self.stroke(out, width, dash, BLACK)
        if fill:
            self.fill(out, fill)
        return {(True, True): "B", (True, False): "S", (False, True): "f"}.get(
            (bool(width), bool(fill)), "n"
        )


def _rgb(colour: str) -> str:
    return " ".join(f"{int(colour[i : i + 2], 16) / 255:.3f}" for i in (1, 3, 5))


def _arc(arc: Arc) -> str:
    """The path of an arc as Bezier curves of at most 90 degrees, without the painting operator.

    The control points lie 4/3 tan(angle/4) radii along the tangents, which keeps
    a quarter circle within 0.03 % of its radius.
    """
    sweep = arc.end_deg - arc.start_deg
    count = max(1, -int(-sweep // 90))
    step = sweep / count
    reach = 4 / 3 * tan(radians(step) / 4)
    x0, y0 = arc.at(arc.start_deg)
    path = [f"{x0:.3f} {y0:.3f} m"]
    for index in range(count):
        x1, y1 = arc.at(arc.start_deg + (index + 1) * step)
        path.append(
            f"{x0 - reach * (y0 - arc.cy):.3f} {y0 + reach * (x0 - arc.cx):.3f} "
            f"{x1 + reach * (y1 - arc.cy):.3f} {y1 - reach * (x1 - arc.cx):.3f} "
            f"{x1:.3f} {y1:.3f} c"
        )
        x0, y0 = x1, y1
    return " ".join(path)
