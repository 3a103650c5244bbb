"""Cells that several lists share: a name with its sheet, what is unknown, a colour's swatch, many addresses in few words.

Gives cells and rows of ``drawing.table``.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

from ..drawing.lettering import text_width
from ..drawing.pen import Pen
from ..drawing.swatch import draw_swatch
from ..drawing.table import Cell, CellText, EmptyBox, LinkText
from ..model.harness import Harness
from ..network.cavity_order import counted, ranges
from ..trade.colours import Colour
from .context import SheetRef, swatch_letters
from .stacks import DATA, SWATCH_HEIGHT, SWATCH_WIDTH

MOST_BEHIND = 3
"""A splice with more far ends than this is named with their count."""


def sheet_link(text: str, sheet: SheetRef | None) -> CellText:
    """``X3.1 → 12``, which leads to the sheet; the text alone where there is no sheet for it."""
    return LinkText(f"{text} → {sheet.number}", sheet.name) if sheet else text


def known(text: str | None, tag: str) -> str | EmptyBox:
    """The text, or an empty box to fill by hand where there is none."""
    return text or EmptyBox(tag)


def swatch_cell(colour: Colour | None) -> Cell | str:
    """The swatch of a colour, in the middle of its row; nothing where it is unknown."""
    letters = swatch_letters(colour)
    return Cell(partial(_draw_swatch, letters), min_width=SWATCH_WIDTH, min_height=SWATCH_HEIGHT) if letters else ""


def _draw_swatch(letters: tuple[str, ...], pen: Pen, x: float, y: float, w: float, h: float) -> None:
    draw_swatch(pen, x, y + (h - SWATCH_HEIGHT) / 2, min(w, SWATCH_WIDTH), SWATCH_HEIGHT, letters, tag="swatch")


def listed(texts: Iterable[str]) -> str:
    """``A, B, C``; each text once, in order."""
    return ", ".join(dict.fromkeys(texts))


def gathered(harness: Harness, names: Iterable[str]) -> str:
    """``E1: 1..26; GE1; SP2``: cavities and terminals by what owns them, anything else as it is."""
    owners: dict[str, list[str]] = {}
    for name in names:
        contact = harness.contacts.get(name)
        owners.setdefault(contact.owner if contact else name, []).extend([contact.name] if contact and contact.name else [])
    return "; ".join(f"{owner}: {ranges(sorted(dict.fromkeys(cavities), key=counted))}" if cavities else owner for owner, cavities in owners.items())


def place_named(harness: Harness, place: str | None, beside: str = "") -> str | None:
    """``P4, left inner wing``; the place alone where its title says no more than it does, or than ``beside``, which stands next to it."""
    point = harness.points.get(place) if place else None
    return f"{place}, {point.title}" if place and point and point.title.casefold() not in ("", place.casefold(), beside.casefold()) else place


def filled(texts: Iterable[str], room: float, between: str) -> tuple[str, ...]:
    """Texts side by side in lines of at most ``room`` mm, never broken inside; one that is longer has a line of its own."""
    lines: list[str] = []
    for text in texts:
        longer = f"{lines[-1]}{between}{text}" if lines else text
        if lines and text_width(longer, DATA) <= room:
            lines[-1] = longer
        else:
            lines.append(text)
    return tuple(lines)
