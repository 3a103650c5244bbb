"""Cells that several lists share: a name with its sheet, what is unknown, many addresses in few words.

Gives cells and rows of ``drawing.table``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..drawing.lettering import text_width
from ..drawing.table import MAX_LINES, PAD, CellText, EmptyBox, LinkText, Row
from ..model.harness import Harness
from .cavity_order import counted, ranges
from .context import SheetRef
from .stacks import DATA, Item, Lines, break_item, stack_row

MOST_BEHIND = 3
"""A splice with more far ends than this is named with their count."""


def sheet_link(text: str, sheet: SheetRef | None) -> CellText:
    """``X3.1 → 12``, which leads to the sheet; the text alone where there is no sheet for it."""
    return LinkText(f"{text} → {sheet.number}", sheet.name) if sheet else text


def known(text: str | None, tag: str) -> str | EmptyBox:
    """The text, or an empty box to fill by hand where there is none."""
    return text or EmptyBox(tag)


def stacked_rows(lines: Lines, widths: Mapping[str, float]) -> list[Row]:
    """Lines as one row of a table, or as several where they are more than a row holds."""
    groups: list[list[Mapping[str, Item]]] = [[]]
    used = 0
    for line in lines:
        tall = max(len(break_item(item, widths[key] - 2 * PAD)) for key, item in line.items() if key in widths)
        if groups[-1] and used + tall > MAX_LINES:
            groups.append([])
            used = 0
        groups[-1].append(line)
        used += tall
    return [stack_row(group, widths.items()) for group in groups]


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
