"""Widths of lettering, breaking and cutting of text, and characters the font lacks.

Takes text, the height of capitals in mm (ISO 3098: h is the height of capitals)
and a weight; gives widths in mm and lines of text. The widths are those of the
bundled font's own tables, without kerning, so every backend draws a text as wide
as it is reckoned here.

A character that is not in the font, and every control or direction mark, is
drawn as its code point in a small box (``U+1F600``). ``pieces`` cuts a text into
what the font draws and such boxes; width, wrap and the pen all stand on it.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

Weight = Literal["regular", "bold"]

FONT_FOLDER = Path(__file__).parent / "font"
FAMILY = "Harnessdoc Lettering"
FONT_FILES: dict[Weight, str] = {
    "regular": "HarnessdocLettering-Regular.ttf",
    "bold": "HarnessdocLettering-SemiBold.ttf",
}

CODE_HEIGHT = 0.6
"""Height of the letters in a code point's box, as a share of the text's height."""
CODE_PAD = 0.25
"""Space left and right of these letters inside the box, as a share of the text's height."""
CODE_GAP = 0.12
"""Space left and right of the box."""

BREAK_AFTER = " -/,;…"
"""A line may end behind one of these; a space at the end of a line is dropped."""


@dataclass(frozen=True, slots=True)
class FontTable:
    """Heights and widths of one weight in 1/1000 em; ``widths`` by character."""

    cap_height: float
    ascent: float
    descent: float
    widths: dict[str, float]


@cache
def font_table(weight: Weight) -> FontTable:
    """The table of one weight, read once."""
    text = (FONT_FOLDER / "advances.json").read_text(encoding="ascii")
    return FontTable(**json.loads(text)[weight])


def font_size(height: float, weight: Weight = "regular") -> float:
    """Size of the em in mm that gives capitals of ``height`` mm."""
    return height * 1000 / font_table(weight).cap_height


def lacks(character: str) -> bool:
    """True where the font does not draw this character."""
    return character not in font_table("regular").widths


def code_point(character: str) -> str:
    """``U+1F600`` for a character, at least four digits."""
    return f"U+{ord(character):04X}"


def _composed(text: str) -> str:
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def pieces(text: str) -> Iterator[tuple[str, bool]]:
    """Cuts a text into (text the font draws, False) and (one character it lacks, True).

    The text is composed first (Unicode NFC), since file names of some systems
    come with letters and accents apart.
    """
    text = _composed(text)
    start = 0
    for index, character in enumerate(text):
        if lacks(character):
            if index > start:
                yield text[start:index], False
            yield character, True
            start = index + 1
    if start < len(text):
        yield text[start:], False


def code_box_width(character: str, height: float, weight: Weight = "regular") -> float:
    """Width of a code point's box in mm, without the gap beside it."""
    letters = text_width(code_point(character), height * CODE_HEIGHT, weight)
    return letters + 2 * CODE_PAD * height


def text_width(text: str, height: float, weight: Weight = "regular") -> float:
    """Width of one line of text in mm, capitals ``height`` mm high."""
    table = font_table(weight)
    try:
        total = sum(map(table.widths.__getitem__, _composed(text)))
        return total * height / table.cap_height
    except KeyError:
        pass
    width = 0.0
    for piece, lacking in pieces(text):
        if lacking:
            width += code_box_width(piece, height, weight) + 2 * CODE_GAP * height
        else:
            width += sum(table.widths[c] for c in piece) * height / table.cap_height
    return width


def cut(text: str, width: float, height: float, weight: Weight = "regular") -> str:
    """The text itself where it fits into ``width`` mm, else its beginning and "…"."""
    text = _composed(text)
    if text_width(text, height, weight) <= width:
        return text
    room = width - text_width("…", height, weight)
    kept = 0
    for character in text:
        room -= text_width(character, height, weight)
        if room < 0:
            break
        kept += 1
    return text[:kept].rstrip() + "…"


def wrap(text: str, width: float, height: float, weight: Weight = "regular") -> list[str]:
    """Breaks a text into lines of at most ``width`` mm; never loses a character but spaces.

    A line ends behind a space, hyphen, slash, comma or semicolon; a word longer
    than a line is broken where the line is full. At least one line, which is
    "" for an empty text.
    """
    text = _composed(text)
    if text_width(text, height, weight) <= width:
        return [text]
    lines: list[str] = []
    line, used = "", 0.0
    for word in _words(text):
        word_width = text_width(word, height, weight)
        if used + text_width(word.rstrip(" "), height, weight) <= width:
            line, used = line + word, used + word_width
            continue
        if line.strip(" "):
            lines.append(line.rstrip(" "))
        line, used = "", 0.0
        for character in word:
            step = text_width(character, height, weight)
            if line and character != " " and used + step > width:
                lines.append(line)
                line, used = "", 0.0
            line, used = line + character, used + step
    if line.strip(" ") or not lines:
        lines.append(line.rstrip(" "))
    return lines


def _words(text: str) -> Iterator[str]:
    """The text in order, cut behind each run of characters that may end a line."""
    start = 0
    for index in range(1, len(text)):
        if text[index - 1] in BREAK_AFTER and text[index] not in BREAK_AFTER:
            yield text[start:index]
            start = index
    yield text[start:]
