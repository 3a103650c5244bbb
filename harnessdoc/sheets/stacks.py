"""Rows of a table whose cells hold several lines that must stay level with each other.

A cavity with two wires, or a wire with three far ends, is one row of several lines.
Takes stacks: lines that stay level, each a mapping from column to one item (text, link,
colour swatch, empty box), and beside them what is said once for the whole row. Gives
cells of ``drawing.table`` that all begin on one height. Also reckons column widths from
what stands in the columns. An item that differs from the version before is ``Clouded``:
the cell it is in gets a cloud, the row is higher by what that needs, and its lines stay
level. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from ..drawing.flag_notes import Flags, broken_flags, draw_flags, flag_width
from ..drawing.lettering import Weight, cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.revision_marks import draw_struck
from ..drawing.swatch import draw_swatch
from ..drawing.table import BOX_HEIGHT, CLOUD_PAD, MARKED_PITCH, MAX_LINES, PAD, Cell, CellText, Clouded, Column, EmptyBox, LinkText, Mark, Struck, mark_width

DATA = 2.5
HEAD = 1.8
PITCH = 5.5
LINE = 4.0
"""From baseline to baseline inside a row."""
MOST_LINES = 4
"""Lines that one item may take before it is cut."""
SWATCH_WIDTH = 9.0
SWATCH_HEIGHT = 3.5
LARGE = 5.0
"""Height of a Large number: it takes two lines."""
BOX_LEAST = 9.0
"""Natural width of an empty box: room for a short word by hand."""
ARROW = " → "


@dataclass(frozen=True, slots=True)
class Swatch:
    """A colour swatch; ``letters`` as drawing.swatch takes them."""

    letters: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Strong:
    """A text in bold: what a row is found by."""

    text: str


@dataclass(frozen=True, slots=True)
class Large:
    """A number to be found from afar, at the margin of a row of at least two lines."""

    text: str


@dataclass(frozen=True, slots=True)
class Under:
    """Items one under another that begin on one line; those of its neighbours in that line are not level with them."""

    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Behind:
    """What lies behind a splice or bar that has too many far ends to list.

    told: as it is printed, ``S1 (5 ends) → 18``; name: of the splice or bar; count: the words
    in the brackets; ends: the addresses of all far ends, UNKNOWN and OPEN among them
    """

    told: CellText
    name: str
    count: str
    ends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """An expected reading as it is printed, and its value in V (None: it floats): one that moved too little to matter is no difference."""

    text: str
    volts: float | None


@dataclass(frozen=True, slots=True)
class Flagged:
    """An item with the numbers of notes about it, below it."""

    item: str | Strong | Large | LinkText | EmptyBox
    flags: Flags


Item = str | Strong | Large | Under | Reading | LinkText | EmptyBox | Swatch | Behind | Struck | Clouded | Mark | Flags | Flagged
"""The parts of a Clouded are items; a Mark stands by itself in what is said once for a row."""
Lines = Sequence[Mapping[str, Item]]
"""The lines of one row; a column that a line does not name is free there."""


@dataclass(frozen=True, slots=True)
class Stack:
    """Lines of a row, and what is said once for all of them: column -> items from the top of the row."""

    lines: Lines
    whole: Mapping[str, Sequence[Item]] = field(default_factory=dict)

    def spread(self) -> Lines:
        """All items as lines, to reckon widths by."""
        return [*self.lines, *({key: item} for key, items in self.whole.items() for item in items)]


def under(*items: Item) -> Under:
    """Items one under another, without the empty ones."""
    return Under(tuple(item for item in items if item != ""))


def stack_row(lines: Lines, columns: Iterable[tuple[str, float]], whole: Mapping[str, Sequence[Item]] | None = None) -> tuple[Cell | Mark, ...]:
    """One row of a table: a cell for each (column, width), lines level with each other, ``whole`` beside them."""
    whole = whole or {}
    clouded = _clouded_columns(lines, whole)
    rooms = {key: _room(width, key in clouded) for key, width in columns}
    filled: dict[str, list[Item]] = {key: [piece for item in whole.get(key, ()) for piece in break_item(item, room)] for key, room in rooms.items()}
    level = [key for key in rooms if key not in whole]
    for line in lines:
        broken = {key: break_item(line.get(key, ""), rooms[key]) for key in level}
        tallest = max(map(len, broken.values()), default=0)
        for key, items in broken.items():
            filled[key] += [*items, *[""] * (tallest - len(items))]
    pitch = MARKED_PITCH if clouded else PITCH
    return tuple(items[0] if items and isinstance(items[0], Mark) else _cell(items, pitch, key in clouded) for key, items in filled.items())


def stack_rows(stack: Stack, widths: Mapping[str, float]) -> list[tuple[Cell | Mark, ...]]:
    """A row of a table, or several where the lines are more than one row holds; what is said once stands in the first."""
    groups: list[list[Mapping[str, Item]]] = [[]]
    used = 0
    clouded = _clouded_columns(stack.lines, stack.whole)
    for line in stack.lines:
        tall = max((len(break_item(item, _room(widths[key], key in clouded))) for key, item in line.items() if key in widths), default=1)
        if groups[-1] and used + tall > MAX_LINES:
            groups.append([])
            used = 0
        groups[-1].append(line)
        used += tall
    return [stack_row(group, widths.items(), stack.whole if index == 0 else {}) for index, group in enumerate(groups)]


def _clouded_columns(lines: Lines, whole: Mapping[str, Sequence[Item]]) -> set[str]:
    return {key for line in Stack(lines, whole).spread() for key, item in line.items() if isinstance(item, Clouded)}


def _room(width: float, clouded: bool) -> float:
    """The width for text in a column."""
    return width - 2 * (PAD + CLOUD_PAD if clouded else PAD)


def _cell(items: list[Item], pitch: float, clouded: bool) -> Cell:
    if len(items) > MAX_LINES:
        items = [*items[: MAX_LINES - 1], "…"]
    while items and items[-1] == "":
        items.pop()
    return Cell(partial(_draw_items, tuple(items), pitch, CLOUD_PAD if clouded else 0.0), min_height=pitch + max(0, len(items) - 1) * LINE - 2 * PAD, clouded=clouded)


def _draw_items(items: Sequence[Item], pitch: float, more: float, pen: Pen, x: float, y: float, w: float, h: float) -> None:
    """Draws items one under another, ``more`` mm inside x and w, the first in the middle of a row ``pitch`` high that begins PAD above y."""
    baseline = y - PAD + (pitch + DATA) / 2
    for item in items:
        draw_item(pen, x + more, baseline, w - 2 * more, item)
        baseline += LINE


def draw_item(pen: Pen, x: float, baseline: float, width: float, item: Item) -> None:
    """Draws one item that is no wider than ``width``."""
    middle = baseline - DATA / 2
    match item:
        case EmptyBox():
            pen.rect(x, middle - BOX_HEIGHT / 2, width, BOX_HEIGHT, tag=item.tag)
        case Swatch():
            draw_swatch(pen, x, middle - SWATCH_HEIGHT / 2, min(SWATCH_WIDTH, width), SWATCH_HEIGHT, item.letters, tag="swatch")
        case LinkText():
            length = pen.text(x, baseline, item.text, DATA, tag="table")
            pen.link(x, middle - LINE / 2, length, LINE, item.target, tag="table")
        case Strong():
            pen.text(x, baseline, item.text, DATA, weight="bold", tag="table")
        case Large():
            pen.text(x, baseline - DATA + LARGE, item.text, LARGE, weight="bold", tag="table")
        case Struck():
            draw_struck(pen, x, baseline, item.text)
        case Flags():
            draw_flags(pen, x, middle, item)
        case _:
            pen.text(x, baseline, item, DATA, tag="table")


def break_item(item: Item, width: float, most: int = MOST_LINES) -> list[Item]:
    """An item in at most ``most`` lines no wider than ``width``; the number of a sheet stays with its arrow."""
    match item:
        case str():
            return list(_lines(item, width, most))
        case Strong():
            return [Strong(text) for text in _lines(item.text, width, most, "bold")]
        case Large():
            return [Large(cut(item.text, width, LARGE, "bold")), ""]
        case Under():
            # nothing else has to stay level with its lines
            return [piece for part in item.items for piece in break_item(part, width, 2 * most)]
        case LinkText():
            return [replace(item, text=text) for text in _link_lines(item.text, width, most)]
        case Struck():
            return [Struck(text) for text in _lines(item.text, width, most)]
        case Behind():
            return break_item(item.told, width, most)
        case Reading():
            return break_item(item.text, width, most)
        case Flags():
            return list(broken_flags(item, width))
        case Flagged():
            return [*break_item(item.item, width, most), *broken_flags(item.flags, width)]
        case Clouded():
            return [piece for part in item.parts for piece in break_item(part, width, most)]
    return [item]


def _lines(text: str, width: float, most: int, weight: Weight = "regular") -> list[str]:
    lines = [cut(line, width, DATA, weight) for line in wrap(text, width, DATA, weight)]
    if len(lines) > most:
        # With the next line joined on, the last one is too wide for certain and gets its "…".
        lines = [*lines[: most - 1], cut(" ".join(lines[most - 1 : most + 1]), width, DATA, weight)]
    return lines


def _link_lines(text: str, width: float, most: int) -> list[str]:
    name, arrow, sheet = text.rpartition(ARROW)
    if not arrow or text_width(text, DATA) <= width:
        return _lines(text, width, most)
    lines, tail = _lines(name, width, most), ARROW.lstrip() + sheet
    together = f"{lines[-1]} {tail}"
    return [*lines[:-1], together] if text_width(together, DATA) <= width else [*lines, cut(tail, width, DATA)]


def natural_width(item: Item) -> float:
    """The width a column needs to hold an item unbroken, padding included (but not that of a cloud)."""
    match item:
        case EmptyBox():
            return BOX_LEAST + 2 * PAD
        case Swatch():
            return SWATCH_WIDTH + 2 * PAD
        case Mark():
            return mark_width(item)
        case Behind():
            return natural_width(item.told)
        case Flags():
            return max(map(flag_width, item.numbers)) + 2 * PAD
        case Flagged():
            return max(natural_width(item.item), natural_width(item.flags))
        case Clouded():
            return max(map(natural_width, item.parts), default=0.0)
        case LinkText() | Struck() | Reading():
            return text_width(item.text, DATA) + 2 * PAD
        case Strong():
            return text_width(item.text, DATA, "bold") + 2 * PAD
        case Large():
            return text_width(item.text, LARGE, "bold") + 2 * PAD
        case Under():
            return max(map(natural_width, item.items), default=0.0)
    return text_width(item, DATA) + 2 * PAD


def fit_widths(heads: Mapping[str, str], rows: Iterable[Lines], room: float, *, fixed: Mapping[str, float], grows: Sequence[str]) -> dict[str, float]:
    """Widths for the columns of ``heads`` (key -> head) that fill ``room`` together.

    ``fixed`` columns have their width. The others get what they hold needs as long as
    that is no more than a fair share; the rest share what is left alike. What is then
    still left goes to the columns ``grows`` in equal parts.
    """
    wanted = {key: max((text_width(word, HEAD, "bold") for word in head.split()), default=0.0) + 2 * PAD + 0.5
              for key, head in heads.items() if key not in fixed}
    items = [(key, item) for lines in rows for line in lines for key, item in line.items() if key in wanted]
    clouded = {key for key, item in items if isinstance(item, Clouded)}
    for key, item in items:
        wanted[key] = max(wanted[key], natural_width(item) + 0.1 + (2 * CLOUD_PAD if key in clouded else 0.0))
    left = room - sum(fixed.values())
    widths = dict(fixed)
    open_keys = sorted(wanted, key=lambda key: (wanted[key], key))
    while open_keys:
        share = left / len(open_keys)
        key = open_keys.pop(0)
        widths[key] = min(wanted[key], share)
        left -= widths[key]
    for key in grows:
        widths[key] += max(0.0, left) / len(grows)
    return {key: widths[key] for key in heads}


def table_columns(heads: Mapping[str, str], widths: Mapping[str, float]) -> list[Column]:
    """Columns of ``drawing.table`` with these heads and widths."""
    return [Column(head, widths[key]) for key, head in heads.items()]
