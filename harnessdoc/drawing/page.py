"""A page of paper: frame, centring marks, grid references and title block.

Takes a paper, an orientation and what the title block says; gives a pen with the
frame already drawn and the area that is free. Frame and margins after ISO 5457
(20 mm on the filing side, 10 mm on the others, frame line 0.7 mm; title block at
the bottom right, 180 mm wide), fields after ISO 7200 (legal owner,
identification number, title, document type, sheet, creator, approval, date of
issue), and two of our own: the revision and the file the sheet was made from. Grid
references as in ISO 5457, from memory: fields of 50 mm from the axes of the sheet on, the
rest in the corners; letters down (no I, no O), numbers across, 3.5 mm high; on sheets no
larger than A4 along the top and the right edge only.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from harnessdoc.drawing.lettering import Weight, cut, text_width, wrap
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import THIN, WIDE, Area

Orientation = Literal["portrait", "landscape"]

FILING_MARGIN = 20.0
MARGIN = 10.0
FRAME = 0.7
CENTRING = 5.0
"""Length in mm of the marks on the axes of the sheet, outward from the frame."""
FIELD = 50.0
"""Length in mm of a field of the grid references."""
FIELD_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
FIELD_TEXT, FIELD_LINE = 3.5, 0.35
BLOCK_WIDTH = 180.0
ROW = 7.5
"""Height in mm of one of the title block's three rows."""
BLOCK_HEIGHT = 3 * ROW
SLACK = 20.0
"""Where less than this is left beside the title block, the block takes it too."""
CLEAR = 4.0
"""Kept free in mm between the frame or title block and the drawing."""
BLOCK_TAG = "title block"
CAPTION = 1.8
DATA = 2.5
TITLES = (5.0, 3.5, 2.5)
"""Heights a title is tried in, before it is broken into two lines and then cut."""
INSET = 1.2


BOOKLET_MARGIN = 9.0
"""Round a page of the booklet; at the fold, too."""
BOOKLET_FOOT = 13.0
"""Below it: the number of the page stands there."""
BOOKLET_CLEAR = 3.0
FOLD_CLEAR = 8.0
"""Free on each side of the fold, but for level lines that cross it."""
IDENTIFICATION_MOST = 0.3
"""Share of the title block of a page of the booklet that the identification takes at most; the title has what the other fields leave."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper size, upright, in mm; ``booklet``: "page" for one page of the booklet, "spread" for two that face each other."""

    name: str
    width_mm: float
    height_mm: float
    booklet: Literal["", "page", "spread"] = ""


A4 = Paper("A4", 210.0, 297.0)
A5 = Paper("A5", 148.0, 210.0)
LETTER = Paper("Letter", 215.9, 279.4)
PAPERS = {"a4": A4, "a5": A5, "letter": LETTER}
"""The papers by the word the command line takes."""
PAGE_OF, SPREAD_OF = "page of folded ", "spread of folded "
BOOKLET_PAPERS = {
    **{PAGE_OF + name: Paper(f"{PAPERS[name].name}, folded", PAPERS[name].height_mm / 2, PAPERS[name].width_mm, "page") for name in ("a4", "letter")},
    **{SPREAD_OF + name: Paper(f"{PAPERS[name].name}, folded", PAPERS[name].width_mm, PAPERS[name].height_mm, "spread") for name in ("a4", "letter")},
}
"""Pages of the booklet by PAGE_OF or SPREAD_OF the paper that lies across and is folded in the middle."""


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What the title block says; "" leaves a field free to be filled by hand.

    ``sheet`` is the sheet's number as the index and the links print it;
    ``page`` of ``pages`` counts the pages of this one sheet.
    """

    title: str
    document_type: str
    sheet: str
    page: int = 1
    pages: int = 1
    owner: str = ""
    identification: str = ""
    created_by: str = ""
    approved_by: str = ""
    date: str = ""
    revision: str = ""
    made_from: str = ""


def new_page(
    paper: Paper, block: TitleBlock, orientation: Orientation = "portrait"
) -> tuple[Pen, Area]:
    """A pen with frame and title block drawn, and the free area above the block."""
    if paper.booklet:
        return _booklet_page(paper, block)
    width, height = paper.width_mm, paper.height_mm
    if orientation == "landscape":
        width, height = height, width
    pen = Pen(width, height)
    frame = Area(
        FILING_MARGIN, MARGIN, width - FILING_MARGIN - MARGIN, height - 2 * MARGIN
    )
    _draw_frame(pen, frame)
    _draw_fields(pen, frame)
    _draw_block(pen, frame, block)
    free = frame.h - BLOCK_HEIGHT - 2 * CLEAR
    return pen, Area(frame.x + CLEAR, frame.y + CLEAR, frame.w - 2 * CLEAR, free)


def _booklet_page(paper: Paper, block: TitleBlock) -> tuple[Pen, Area]:
    """The same for a page of the booklet, or two that face each other: each has the block."""
    is_spread = paper.booklet == "spread"
    width, height = (paper.height_mm, paper.width_mm) if is_spread else (paper.width_mm, paper.height_mm)
    pen = Pen(width, height)
    frame = Area(BOOKLET_MARGIN, BOOKLET_MARGIN, width - 2 * BOOKLET_MARGIN, height - BOOKLET_MARGIN - BOOKLET_FOOT)
    pen.rect(frame.x, frame.y, frame.w, frame.h, FRAME, tag="frame")
    top = frame.bottom - ROW
    pen.line(frame.x, top, frame.right, top, WIDE, tag=BLOCK_TAG)
    if is_spread:
        _draw_fields(pen, frame)
        each = width / 2 - FOLD_CLEAR - frame.x
        for left in (frame.x, width / 2 + FOLD_CLEAR):
            _draw_row(pen, Area(left, top, each, ROW), block)
    else:
        _draw_row(pen, Area(frame.x, top, frame.w, ROW), block)
    free = frame.h - ROW - 2 * BOOKLET_CLEAR
    return pen, Area(frame.x + BOOKLET_CLEAR, frame.y + BOOKLET_CLEAR, frame.w - 2 * BOOKLET_CLEAR, free)


def _draw_row(pen: Pen, row: Area, block: TitleBlock) -> None:
    """The title block in one row: identification, title, revision, date, sheet, page."""
    title = block.document_type if block.title in ("", block.document_type) else f"{block.document_type}: {block.title}"
    fields = (("Identification", block.identification, "regular"), ("Title", title, "bold"), ("Rev.", block.revision, "regular"), ("Date of issue", block.date, "regular"),
              ("Sheet", block.sheet, "bold"), ("Page", f"{block.page} of {block.pages}", "regular"))
    widths = {caption: max(text_width(caption, CAPTION), text_width(value, DATA, weight)) + 2 * INSET + 0.1 for caption, value, weight in fields if caption != "Title"}  # type: ignore[arg-type]
    widths["Identification"] = min(widths["Identification"], IDENTIFICATION_MOST * row.w)
    widths["Title"] = row.w - sum(widths.values())
    short = len(wrap(title, widths["Title"] - 2 * INSET, DATA, "bold")) > 2
    x = row.x
    for caption, value, weight in fields:
        if caption == "Title" and short:
            value = block.title       # what kind of sheet it is can be seen
        cell = Area(x, row.y, widths[caption], row.h)
        if x > row.x:
            pen.line(x, row.y, x, row.bottom, THIN, tag=BLOCK_TAG)
        _draw_cell(pen, cell, caption, value, weight)  # type: ignore[arg-type]
        x = cell.right


def _draw_cell(pen: Pen, cell: Area, caption: str, value: str, weight: Weight) -> None:
    """The value below its caption; a long one in two lines without."""
    room = cell.w - 2 * INSET
    lines = wrap(value, room, DATA, weight)
    if len(lines) < 2:
        _caption(pen, cell, caption)
    else:
        pen.text(cell.x + INSET, cell.y + 0.8 + DATA, cut(lines[0], room, DATA, weight), DATA, weight=weight, tag=BLOCK_TAG)
    pen.text(cell.x + INSET, cell.bottom - 1.2, cut(" ".join(lines[1:] or lines), room, DATA, weight), DATA, weight=weight, tag=BLOCK_TAG)


def _draw_frame(pen: Pen, frame: Area) -> None:
    pen.rect(frame.x, frame.y, frame.w, frame.h, FRAME, tag="frame")
    middle_x, middle_y = pen.width_mm / 2, pen.height_mm / 2
    for x, dx in ((frame.x, -CENTRING), (frame.right, CENTRING)):
        pen.line(x, middle_y, x + dx, middle_y, FRAME, tag="frame")
    for y, dy in ((frame.y, -CENTRING), (frame.bottom, CENTRING)):
        pen.line(middle_x, y, middle_x, y + dy, FRAME, tag="frame")


def zone_of(width_mm: float, height_mm: float, x: float, y: float) -> str:
    """The field of a page in which a point lies, as its grid references name it: ``C4``."""
    across, down = (sum(edge < at for edge in _field_edges(length)[1:-1]) for length, at in ((width_mm, x), (height_mm, y)))
    return f"{FIELD_LETTERS[down]}{across + 1}"


def _field_edges(length: float) -> list[float]:
    """Where the fields along an edge of the sheet begin and end: as many as come nearest to FIELD on each side of its axis."""
    half = length / 2
    each = max(1, round(half / FIELD))
    return [0.0, *(half + step * FIELD for step in range(1 - each, each)), length]


def _draw_fields(pen: Pen, frame: Area) -> None:
    """Letters right of the frame, numbers above it, each in the middle of what of its field lies along the frame."""
    columns, rows = ([min(max(edge, low), high) for edge in _field_edges(length)]
                     for length, low, high in ((pen.width_mm, frame.x, frame.right), (pen.height_mm, frame.y, frame.bottom)))
    above, beside = frame.y - CENTRING, frame.right + CENTRING
    for number, (left, right) in enumerate(zip(columns, columns[1:], strict=False), start=1):
        pen.text((left + right) / 2, (above + frame.y + FIELD_TEXT) / 2, str(number), FIELD_TEXT, "middle", tag="frame")
        if left > frame.x and left != pen.width_mm / 2:
            pen.line(left, frame.y, left, above, FIELD_LINE, tag="frame")
    for letter, (top, bottom) in zip(FIELD_LETTERS, zip(rows, rows[1:], strict=False), strict=False):
        pen.text((frame.right + beside) / 2, (top + bottom + FIELD_TEXT) / 2, letter, FIELD_TEXT, "middle", tag="frame")
        if top > frame.y and top != pen.height_mm / 2:
            pen.line(frame.right, top, beside, top, FIELD_LINE, tag="frame")


def _draw_block(pen: Pen, frame: Area, block: TitleBlock) -> None:
    width = min(BLOCK_WIDTH, frame.w)
    if frame.w - width < SLACK:
        width = frame.w
    left, top = frame.right - width, frame.bottom - BLOCK_HEIGHT
    rows = [top, top + ROW, top + 2 * ROW]
    # On a narrow page the names of people need more of the width, or they are cut.
    first, second = left + width * (0.29 if width >= BLOCK_WIDTH else 0.31), left + width * 0.73
    half = (left + first) / 2
    third = second + (frame.right - second) * 0.56
    pen.line(left, top, frame.right, top, WIDE, tag=BLOCK_TAG)
    if left > frame.x:
        pen.line(left, top, left, frame.bottom, WIDE, tag=BLOCK_TAG)
    for x in (first, second):
        pen.line(x, top, x, frame.bottom, THIN, tag=BLOCK_TAG)
    pen.line(half, rows[1], half, frame.bottom, THIN, tag=BLOCK_TAG)
    pen.line(third, rows[2], third, frame.bottom, THIN, tag=BLOCK_TAG)
    pen.line(left, rows[1], first, rows[1], THIN, tag=BLOCK_TAG)
    pen.line(second, rows[1], frame.right, rows[1], THIN, tag=BLOCK_TAG)
    pen.line(left, rows[2], frame.right, rows[2], THIN, tag=BLOCK_TAG)

    def field(x: float, right: float, row: int, caption: str, value: str) -> None:
        _draw_field(pen, Area(x, rows[row], right - x, ROW), caption, value)

    field(left, first, 0, "Legal owner", block.owner)
    field(left, half, 1, "Created by", block.created_by)
    field(half, first, 1, "Approved by", block.approved_by)
    field(left, half, 2, "Date of issue", block.date)
    field(half, first, 2, "Revision", block.revision)
    field(first, second, 2, "Made from", block.made_from)
    field(second, frame.right, 0, "Document type", block.document_type)
    field(second, frame.right, 1, "Identification number", block.identification)
    field(third, frame.right, 2, "Page", f"{block.page} of {block.pages}")
    _draw_title(pen, Area(first, top, second - first, 2 * ROW), block.title)
    _draw_sheet_number(pen, Area(second, rows[2], third - second, ROW), block.sheet)


def _caption(pen: Pen, cell: Area, caption: str) -> None:
    text = cut(caption, cell.w - 2 * INSET, CAPTION)
    pen.text(cell.x + INSET, cell.y + 0.8 + CAPTION, text, CAPTION, tag=BLOCK_TAG)


def _draw_field(pen: Pen, cell: Area, caption: str, value: str) -> None:
    """Caption above, value below; a long value is set smaller, then cut."""
    _caption(pen, cell, caption)
    room = cell.w - 2 * INSET
    height = DATA if text_width(value, DATA) <= room else CAPTION
    text = cut(value, room, height)
    pen.text(cell.x + INSET, cell.bottom - 1.4, text, height, tag=BLOCK_TAG)


def _draw_title(pen: Pen, cell: Area, title: str) -> None:
    """The title as large as it fits on one line, else two lines, else cut."""
    _caption(pen, cell, "Title")
    room = cell.w - 2 * INSET
    fitting = [h for h in TITLES if text_width(title, h, "bold") <= room]
    height = fitting[0] if fitting else TITLES[-1]
    lines = wrap(title, room, height, "bold")
    if len(lines) > 2:
        rest = " ".join(lines[1:])
        lines = [lines[0], cut(rest, room, height, "bold")]
    pitch = 1.6 * height
    tall = height + (len(lines) - 1) * pitch
    top = cell.y + 0.8 + CAPTION
    y = top + (cell.bottom - top - tall) / 2 + height
    for line in lines:
        pen.text(cell.x + INSET, y, line, height, weight="bold", tag=BLOCK_TAG)
        y += pitch


def _draw_sheet_number(pen: Pen, cell: Area, sheet: str) -> None:
    """The number others point to: as large as it fits beside its caption, else below it."""
    beside = cell.w - 3 * INSET - text_width("Sheet", CAPTION)
    fitting = [h for h in TITLES[:-1] if text_width(sheet, h, "bold") <= beside]
    if not fitting:
        _draw_field(pen, cell, "Sheet", sheet)
        return
    _caption(pen, cell, "Sheet")
    y = cell.y + (cell.h + fitting[0]) / 2
    pen.text(cell.right - INSET, y, sheet, fitting[0], "end", "bold", tag=BLOCK_TAG)
