"""Two ways, the same picture: a drawing's PDF page against its SVG, pixel by pixel.

The SVG is rastered by cairosvg, the PDF by pypdfium2: two programs that share no
code, at 100 dots an inch. A pixel differs where one picture has ink and the other
has none within a pixel of it (each picture is widened by one pixel, since the two
programs smooth edges differently and place a letter by up to a pixel). What counts
is a connected cluster of differing pixels: more than 12 of them is a fault.

Ink: how dark the darkest of red, green and blue is, so that a yellow fill counts.
A pixel is dark from a third of full ink on: a line of 0.25 mm is one pixel wide and
lies at worst half on each of two, so it is always dark somewhere. The other picture
need only show a trace there, a sixth of full ink.
"""

from __future__ import annotations

import io

import numpy as np

from harnessdoc.drawing.pdf import Meta, PdfPage, write_pdf
from harnessdoc.drawing.png import to_png
from harnessdoc.drawing.record import Drawing

DPI = 100
DARK = 255 // 3
TRACE = 255 // 6
MOST = 12
"""The largest cluster of differing pixels that passes."""


def svg_picture(drawing: Drawing, dpi: float = DPI) -> np.ndarray:
    """Ink of the drawing's SVG, 0 (white) to 255, rows by columns."""
    from PIL import Image

    return _ink(Image.open(io.BytesIO(to_png(drawing, dpi))))


def pdf_picture(drawing: Drawing, dpi: float = DPI) -> np.ndarray:
    """Ink of the drawing's PDF page, 0 (white) to 255, rows by columns."""
    book = write_pdf([PdfPage(drawing, "sheet", "1")], Meta("comparison"))
    return pdf_page_picture(book, 0, dpi)


def pdf_page_picture(book: bytes, page: int, dpi: float = DPI) -> np.ndarray:
    """Ink of one page of a PDF file; pages count from 0."""
    import pypdfium2

    document = pypdfium2.PdfDocument(book)
    try:
        return _ink(document[page].render(scale=dpi / 72).to_pil())
    finally:
        document.close()


def _ink(image) -> np.ndarray:
    return 255 - np.asarray(image.convert("RGB")).min(axis=2).astype(int)


def widened(mask: np.ndarray) -> np.ndarray:
    """The mask with every pixel's eight neighbours."""
    padded = np.pad(mask, 1)
    rows, columns = mask.shape
    return np.logical_or.reduce(
        [padded[r : r + rows, c : c + columns] for r in range(3) for c in range(3)]
    )


def differing(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """True where one picture has ink and the other none within a pixel."""
    rows = min(one.shape[0], other.shape[0])
    columns = min(one.shape[1], other.shape[1])
    assert max(one.shape[0], other.shape[0]) - rows <= 1, "pages of different height"
    assert max(one.shape[1], other.shape[1]) - columns <= 1, "pages of different width"
    one, other = one[:rows, :columns], other[:rows, :columns]
    return ((one >= DARK) & ~widened(other >= TRACE)) | ((other >= DARK) & ~widened(one >= TRACE))


def clusters(mask: np.ndarray) -> list[list[tuple[int, int]]]:
    """Connected groups (eight neighbours) of true pixels as (row, column), largest first."""
    left = {(int(r), int(c)) for r, c in zip(*np.nonzero(mask), strict=True)}
    groups = []
    for pixel in sorted(left):
        if pixel not in left:
            continue
        left.discard(pixel)
        group, todo = [pixel], [pixel]
        while todo:
            r, c = todo.pop()
            for near in [(r + i, c + j) for i in (-1, 0, 1) for j in (-1, 0, 1)]:
                if near in left:
                    left.discard(near)
                    group.append(near)
                    todo.append(near)
        groups.append(sorted(group))
    return sorted(groups, key=lambda group: (-len(group), group[0]))


def faults(one: np.ndarray, other: np.ndarray) -> list[str]:
    """The clusters that are too large, in words with their place in mm."""
    mm = 25.4 / DPI
    return [
        f"{len(group)} pixels at {group[0][1] * mm:.1f}, {group[0][0] * mm:.1f} mm"
        for group in clusters(differing(one, other))
        if len(group) > MOST
    ]


def assert_same_picture(drawing: Drawing) -> None:
    """Fails where the drawing's SVG and its PDF page show different pictures."""
    found = faults(svg_picture(drawing), pdf_picture(drawing))
    assert not found, f"SVG and PDF differ: {found}"
