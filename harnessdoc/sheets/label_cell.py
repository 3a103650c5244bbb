"""The text of one label set into a space: the number large, the words under it or behind it.

Takes a label and the space in mm; gives lines of text with their places, or None: it does not
fit at the least height of letters. Letters shrink first to what two or three lines can still hold
large: of all ways that fit, the one with the largest words, then the largest number, then the number on a line of its own.
Nothing is cut. Heights are those of the series of ISO 3098 (1.8, 2.5, 3.5, 5, 7 mm).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..drawing.lettering import Weight, font_table, text_width
from ..drawing.pen import Pen
from ..geometry.labels import Label

WORDS = (3.5, 2.5, 1.8)
"""Heights of the words behind the number; nothing is smaller than the last."""
LEAST = WORDS[-1]
NUMBER = (7.0, 5.0, 3.5, 2.5)
"""Heights of the number, which is always larger than the words."""
LINE = 1.6
"""From baseline to baseline, in heights of capitals."""
RISE = 0.18
"""By which a slash of the bundled font stands over the capitals, in heights of capitals."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line: x and baseline y in mm from the top left corner of the block."""

    x: float
    y: float
    text: str
    height: float
    weight: Weight


@dataclass(frozen=True, slots=True)
class Block:
    """The lines of a label, and what they take in mm: from the top of a slash in the first line to the last descender."""

    lines: tuple[Line, ...]
    width: float
    height: float


def number_and_words(label: Label) -> tuple[str, tuple[str, ...]]:
    """What stands large, and the rest: the numbers of the joins, the wire where there is none."""
    return (" ".join(label.joins), label.words) if label.joins else (label.words[0], label.words[1:])


def stacked(label: Label, width: float, height: float) -> Block | None:
    """The number with its words behind or under it, in a space of a fixed width; None where that does not fit."""
    number, words = number_and_words(label)
    return next((block for block in _ways(number, words) if block.width <= width and block.height <= height), None)


def in_line(label: Label, height: float, capitals: float) -> Block | None:
    """All on one line in a space as long as it takes, no letter higher than ``capitals``; None where the height does not allow it."""
    number, words = number_and_words(label)
    for small in WORDS:
        for large in (*NUMBER, LEAST):
            # a thin sleeve has no room for two heights: the number is bold all the same
            if large > small or large == small == LEAST:
                block = _set(number, words, (), large, small)
                if large <= capitals and block.height <= height:
                    return block
    return None


def number_alone(label: Label, width: float, height: float) -> Block | None:
    """The number as large as it fits, for a label whose words do not; None where not even that fits."""
    number, _ = number_and_words(label)
    for large in (*NUMBER, LEAST):
        block = _set(number, (), (), large, large)
        if block.width <= width and block.height <= height:
            return block
    return None


def needed(label: Label) -> tuple[tuple[float, float], ...]:
    """Width and height of the smallest ways to set a label: on one line, and on as many as it has words."""
    number, words = number_and_words(label)
    least = NUMBER[-1]
    return tuple((block.width, block.height) for block in (_set(number, words, (), least, LEAST), _set(number, (), words, least, LEAST)))


def draw_block(pen: Pen, x: float, y: float, block: Block, tag: str) -> None:
    """The block with its top left corner at x, y."""
    for line in block.lines:
        pen.text(x + line.x, y + line.y, line.text, line.height, weight=line.weight, tag=tag)


def _ways(number: str, words: tuple[str, ...]) -> Iterator[Block]:
    """Every way to set a label, best first."""
    for small in WORDS:
        for large in (one for one in NUMBER if one > small):
            for beside, below in _arranged(words):
                yield _set(number, beside, below, large, small)


def _arranged(words: tuple[str, ...]) -> dict[tuple[tuple[str, ...], tuple[str, ...]], None]:
    """What stands behind the number, and the lines under it: the number on a line of its own before all else; "to ..." is never parted from its address."""
    first, last = words[:-1], words[-1:]
    return dict.fromkeys((((), (" | ".join(words),)), ((), (" | ".join(first), *last) if first else last), ((), words), (words, ()), (first, last), (words[:1], words[1:])))


def _set(number: str, beside: tuple[str, ...], below: tuple[str, ...], large: float, small: float) -> Block:
    base = (1 + RISE) * large
    lines = [Line(0, base, number, large, "bold")]
    if beside:
        lines.append(Line(text_width(number, large, "bold") + 0.6 * small, base, " ".join(f"| {word}" for word in beside), small, "regular"))
    y = base + _descent(large, "bold") + 1.2 * small
    for text in below:
        lines.append(Line(0, y, text, small, "regular"))
        y += LINE * small
    return Block(tuple(lines), max(line.x + text_width(line.text, line.height, line.weight) for line in lines), max(line.y + _descent(line.height, line.weight) for line in lines))


def _descent(height: float, weight: Weight) -> float:
    table = font_table(weight)
    return height * table.descent / table.cap_height
