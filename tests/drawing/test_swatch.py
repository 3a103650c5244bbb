"""Every swatch differs from every other, in colour, in grey and after hard copiers."""

from __future__ import annotations

import itertools

import numpy as np
import pypdfium2
import pytest
from drawing.sample import IEC

from harnessdoc.drawing.pdf import Meta, PdfPage, write_pdf
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Line, bounds
from harnessdoc.drawing.swatch import PATTERNS, SIZE, draw_swatch
from harnessdoc.trade.colours import tints

WORDS = {"": "", "light": "LT ", "dark": "DK "}
TINTS = [WORDS[t.shade] + t.code for t in tints()]
COPIERS = {"pale": 80, "middle": 128, "dark": 180}
"""The grey below which a copier prints black."""
LEAST = 0.04
"""Share of a swatch's pixels that must differ between any two."""


LEAST_AT_ANY_PHASE = 0.15
"""The same within the frame, at 200 dpi in black and white, wherever the one pattern begins against the other."""
SIZES = (SIZE, (6.0, 2.5), (2.5, 6.0), (3.36, 2.5), (2.64, 2.5))
"""Width and height in mm on lists, and beside the lines of a circuit diagram, where a swatch is as high as the letters: lying, upright, and the base and the stripe of a lying one."""


def grey(colour: tuple[str, ...], dpi: int = 200, size: tuple[float, float] = SIZE) -> np.ndarray:
    pen = Pen(size[0] + 1, size[1] + 1)
    draw_swatch(pen, 0.5, 0.5, *size, colour)
    document = pypdfium2.PdfDocument(write_pdf([PdfPage(pen.drawing(), "swatch", "1")], Meta("swatch")))
    return np.asarray(document[0].render(scale=dpi / 72).to_pil().convert("L")).astype(int)


@pytest.fixture(scope="module")
def pictures() -> dict[str, np.ndarray]:
    return {code: grey((code,)) for code in sorted({*TINTS, *IEC})}


def test_the_fourteen_iec_colours_and_all_tints_have_a_pattern():
    assert set(IEC) <= set(PATTERNS)
    assert {t.code for t in tints()} == set(PATTERNS)


@pytest.mark.parametrize("copier", COPIERS)
def test_any_two_differ_after_a_photocopy(pictures, copier):
    copies = {code: picture < COPIERS[copier] for code, picture in pictures.items()}
    alike = {
        (one, other): round(share, 3)
        for one, other in itertools.combinations(copies, 2)
        if (share := float((copies[one] ^ copies[other]).mean())) < LEAST
    }
    assert alike == {}


def least_difference(one: np.ndarray, other: np.ndarray) -> float:
    """The least share of pixels in which two pictures differ where they overlap, one shifted against the other by up to the longest period of a pattern, 2.2 mm, each way."""
    high, wide = one.shape
    across, down = 9, min(9, high // 3)
    shares = []
    for dy in range(-down, down + 1):
        for dx in range(-across, across + 1):
            here = one[max(0, dy):high + min(0, dy), max(0, dx):wide + min(0, dx)]
            there = other[max(0, -dy):high + min(0, -dy), max(0, -dx):wide + min(0, -dx)]
            shares.append(float((here ^ there).mean()))
    return min(shares)


@pytest.mark.parametrize("size", SIZES)
def test_any_two_colours_differ_in_black_and_white_at_any_phase(size):
    frame = round(0.5 / 25.4 * 200) + 2     # margin and frame, which all have alike
    copies = {code: grey((code,), size=size)[frame:-frame, frame:-frame] < COPIERS["middle"] for code in PATTERNS}
    alike = {(one, other): round(share, 3) for one, other in itertools.combinations(copies, 2)
             if (share := least_difference(copies[one], copies[other])) < LEAST_AT_ANY_PHASE}
    assert alike == {}


def test_any_two_differ_in_grey_with_equal_inks(monkeypatch):
    """The pattern alone, all inks the same middle grey (black and white keep theirs)."""
    own = {"BK": "#0A0A0A", "WH": "#EAE6CA"}
    monkeypatch.setattr(
        "harnessdoc.drawing.swatch.tint_srgb", lambda tint: own.get(tint.code, "#808080")
    )
    copies = {code: grey((code,)) for code in IEC}
    alike = [
        (one, other)
        for one, other in itertools.combinations(copies, 2)
        if (np.abs(copies[one] - copies[other]) > 60).mean() < LEAST
    ]
    assert alike == []


@pytest.mark.parametrize("colour", [(c,) for c in TINTS] + [("GN", "YE"), ("RD", "BK", "WH"), ()])
def test_no_line_leaves_the_swatch(colour):
    pen = Pen(20, 10)
    draw_swatch(pen, 2, 2, *SIZE, colour)
    for mark in pen.drawing().marks:
        left, top, right, bottom = bounds(mark)
        assert left >= 2 - 0.126 and top >= 2 - 0.126
        assert right <= 2 + SIZE[0] + 0.126 and bottom <= 2 + SIZE[1] + 0.126
        if isinstance(mark, Line):
            assert mark.width >= 0.25


def test_base_and_stripe_are_not_exchangeable():
    for copier in COPIERS.values():
        one, other = grey(("GN", "YE")) < copier, grey(("YE", "GN")) < copier
        assert (one ^ other).mean() > LEAST


def test_letters_without_a_tint_are_the_callers_fault():
    with pytest.raises(ValueError, match="no colour 'XX'"):
        draw_swatch(Pen(20, 10), 2, 2, *SIZE, ("XX",))
