"""Flag notes: a number in a flat hexagon, which leads to the line of that number in a list.

A number in a frame beside what a note is about is common practice of the drafting room; a
hexagon is neither the triangle of a revision nor a box to be filled by hand, and stays
itself after a black-and-white photocopy. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass

from .lettering import text_width
from .pen import Pen
from .record import THIN

FLAG_HIGH = 3.4
LETTERS = 1.8
POINT = 1.2
"""How far the points left and right stand out from where the letters may begin."""
BETWEEN = 0.8
_LEAST = text_width("00", LETTERS)
"""One figure takes the room of two, so that a tenth finding moves nothing."""
MORE = "…"
_MORE_WIDE = text_width(MORE, LETTERS)
TAG = "finding:"


@dataclass(frozen=True, slots=True)
class Flags:
    """Numbers of notes, each in its hexagon, side by side; ``target``: the sheet that lists them."""

    numbers: tuple[int, ...]
    target: str


def flag_width(number: int) -> float:
    """The width of one flag."""
    return max(_LEAST, text_width(str(number), LETTERS)) + 2 * POINT


def flags_width(flags: Flags) -> float:
    """The width of all of them side by side."""
    return sum(map(flag_width, flags.numbers)) + BETWEEN * max(0, len(flags.numbers) - 1)


def broken_flags(flags: Flags, room: float) -> list[Flags]:
    """Lines of flags, none wider than ``room`` unless one flag alone is."""
    lines: list[Flags] = []
    for number in flags.numbers:
        longer = Flags((*lines[-1].numbers, number), flags.target) if lines else None
        if longer and flags_width(longer) <= room:
            lines[-1] = longer
        else:
            lines.append(Flags((number,), flags.target))
    return lines


def draw_flags(pen: Pen, x: float, middle: float, flags: Flags) -> None:
    """Flags from x on, about the height ``middle``."""
    top, low = middle - FLAG_HIGH / 2, middle + FLAG_HIGH / 2
    for number in flags.numbers:
        wide, tag = flag_width(number), f"{TAG}{number}"
        right = x + wide
        pen.polygon([(x, middle), (x + POINT, top), (right - POINT, top), (right, middle), (right - POINT, low), (x + POINT, low)], THIN, tag=tag)
        pen.text(x + wide / 2, middle + LETTERS / 2, str(number), LETTERS, "middle", tag=tag)
        pen.link(x, top, wide, FLAG_HIGH, flags.target, tag=tag)
        x = right + BETWEEN


def draw_some(pen: Pen, x: float, middle: float, flags: Flags, room: float) -> None:
    """As many flags as stand in ``room`` mm; an ellipsis after them where that is not all."""
    shown = _shown(flags, room)
    draw_flags(pen, x, middle, shown)
    if shown != flags:
        pen.text(x + some_width(flags, room), middle + LETTERS / 2, MORE, LETTERS, "end", tag="flag note")


def some_width(flags: Flags, room: float) -> float:
    """The width of what `draw_some` draws."""
    shown = _shown(flags, room)
    return flags_width(shown) + (0.0 if shown == flags else BETWEEN + _MORE_WIDE)


def _shown(flags: Flags, room: float) -> Flags:
    if flags_width(flags) <= room:
        return flags
    first = broken_flags(flags, room - BETWEEN - _MORE_WIDE)[0]
    return first if flags_width(first) <= room - BETWEEN - _MORE_WIDE else Flags((), flags.target)


def number_drawn(tag: str) -> int | None:
    """The number of the flag that a mark with this tag is part of; None where it is of none."""
    return int(tag.removeprefix(TAG)) if tag.startswith(TAG) else None

