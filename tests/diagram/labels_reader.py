"""The second reader: which wire each line of a circuit diagram is said to be, from where its label stands.

``labels`` finds the labels among the texts of a page: number (after those of joins), size, colour, swatch, after or under each other, lying or upright.
``label_faults`` says where the line nearest to a label does not lead from end to end of the wire of that number, with
a wire list from elsewhere. Joins alone cannot show that: all wires of a splice are one net.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.record import Box, Mark, Point, Rect, Text

from .lines import Lines, Segment
from .reader import Reading

SIZE = re.compile(r"\d[\d.]*|[\d/]+ AWG|SAE [\d/]+|size \?")
NUMBER = re.compile(r"\S*\d\S*")
COLOUR = re.compile(r"[A-Za-z][A-Za-z /-]*|colour \?")
"""What the pieces of a label look like, the size second."""
MOST = 6
"""Pieces of a label: numbers of joins, its own, size, colour."""
SPACE, APART, PITCH = 1.125, 2.25, 3.6
"""From a piece to the next one of its line, from the wire's number to its size (clearly more, lest "1 6" is read as 16), and from line to line, in mm."""
SWATCH = 2.5
"""Height of a swatch in mm."""
NEAR = 0.2
NOWHERE = ("unknown", "open")


@dataclass(frozen=True, slots=True)
class Label:
    """wire: its number; at: where the number begins; box: of all its pieces."""

    wire: str
    at: Point
    box: Box


def labels(lines: Lines) -> list[Label]:
    """The labels of a page in the order of its marks."""
    pieces = [piece for mark in lines.inside for piece in _pieces(mark)]
    whole = [chain for piece in pieces if NUMBER.fullmatch(piece.text) and (chain := _chain([piece], pieces, 0))]
    # The longest first: what begins at the second number of a label is no label of its own.
    taken: set[_Piece] = set()
    kept = []
    for chain in sorted(whole, key=len, reverse=True):
        if not taken & set(chain):
            taken |= set(chain)
            kept.append(chain)
    found = []
    for chain in sorted(kept, key=whole.index):
        number = chain[next(index for index, piece in enumerate(chain) if COLOUR.fullmatch(piece.text)) - 2]
        found.append(Label(number.text, number.at, _around(piece.box for piece in chain)))
    return found


def _chain(members: list[_Piece], pieces: list[_Piece], stage: int) -> list[_Piece]:
    """A label that begins with these pieces, [] where none does. stage: 0 the last one is a number, 1 a size, 2 the colour."""
    here = [piece for piece in pieces if piece.upright == members[0].upright and piece not in members]
    below = [piece for piece in here if _is_below(members, piece)]

    def after(space: float) -> list[_Piece]:
        return [piece for piece in here if _is_after(members, piece, space)]

    if stage == 2:
        return members + [piece for piece in (*after(SPACE), *below) if not piece.text][:1]
    # what goes on in the line before what stands in the next
    for what, then, following in ((SIZE, 1, after(APART)), (NUMBER, 0, after(SPACE)), (SIZE, 1, below), (NUMBER, 0, below)) if stage == 0 else ((COLOUR, 2, [*after(SPACE), *below]),):
        for piece in following:
            if what.fullmatch(piece.text) and len(members) < MOST and (chain := _chain([*members, piece], pieces, then)):
                return chain
    return []


@dataclass(frozen=True, slots=True)
class _Piece:
    """A text or the frame of a swatch, seen along the direction in which its label reads: it begins at start, ends at stop, on the baseline base (growing from line to line)."""

    text: str
    at: Point
    upright: bool
    start: float
    stop: float
    base: float
    box: Box


def _pieces(mark: Mark) -> Iterator[_Piece]:
    if isinstance(mark, Text) and mark.weight == "regular":
        x, y = mark.start()
        length = text_width(mark.text, mark.height, mark.weight)
        if mark.upright:
            yield _Piece(mark.text, (x, y), True, -y, length - y, x, (x - mark.height, y - length, x, y))
        else:
            yield _Piece(mark.text, (x, y), False, x, x + length, y, (x, y - mark.height, x + length, y))
    elif isinstance(mark, Rect) and mark.width > 0 and abs(mark.h - SWATCH) < NEAR:
        yield _Piece("", (mark.x, mark.y), False, mark.x, mark.x + mark.w, mark.y + mark.h, (mark.x, mark.y, mark.x + mark.w, mark.y + mark.h))
    elif isinstance(mark, Rect) and mark.width > 0 and abs(mark.w - SWATCH) < NEAR:
        yield _Piece("", (mark.x, mark.y), True, -mark.y - mark.h, -mark.y, mark.x + mark.w, (mark.x, mark.y, mark.x + mark.w, mark.y + mark.h))


def _is_after(members: list[_Piece], piece: _Piece, space: float) -> bool:
    """True for a piece ``space`` mm after the last one of a label, in its line."""
    return abs(piece.base - members[-1].base) < NEAR and abs(piece.start - members[-1].stop - space) < NEAR


def _is_below(members: list[_Piece], piece: _Piece) -> bool:
    """True for a piece at the beginning of the next line of a label."""
    return abs(piece.base - members[-1].base - PITCH) < NEAR and abs(piece.start - members[0].start) < NEAR


def _around(boxes: Iterable[Box]) -> Box:
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def nearest(lines: Lines, box: Box) -> int:
    """The line nearest to a label's box; Raises ValueError on a page without lines."""
    return min(range(len(lines.conductors)), key=lambda index: min(_gap(segment, box) for segment in lines.conductors[index].segments()))


def _gap(segment: Segment, box: Box) -> float:
    """From an upright or level stretch to a box."""
    (x1, y1), (x2, y2) = segment
    dx = max(box[0] - max(x1, x2), min(x1, x2) - box[2], 0.0)
    dy = max(box[1] - max(y1, y2), min(y1, y2) - box[3], 0.0)
    return (dx * dx + dy * dy) ** 0.5


def label_faults(reading: Reading, wires: Mapping[str, tuple[str, str]]) -> list[str]:
    """Labels of no wire, and labels whose nearest line leads elsewhere than its wire.

    wires: number -> its two ends, as in the wire list; an end that is unknown or open leads nowhere.
    """
    faults = []
    for label in labels(reading.lines):
        if label.wire not in wires:
            faults.append(f"there is no wire {label.wire}")
            continue
        line = nearest(reading.lines, label.box)
        ends = line_ends(reading, line)
        wanted = [end for end in wires[label.wire] if end not in NOWHERE]
        if not _fits(ends, wanted):
            faults.append(f"the label of {label.wire} is nearest to a line between {' and '.join(sorted(map(str, map(sorted, ends))))}, its wire joins {' and '.join(wanted)}")
    return faults


def _fits(ends: list[set[str]], wanted: list[str]) -> bool:
    if len(wanted) == 1:
        return any(wanted[0] in end for end in ends)
    one, two = wanted
    return any(one in ends[a] and two in ends[b] for a, b in ((0, 1), (1, 0)))


def line_ends(reading: Reading, line: int) -> list[set[str]]:
    """What a line leads to at its two ends, followed through straight runs: the contact there or the bar; at a bar without a name what that leads to in its turn."""
    lines = reading.lines
    chain, ends = {line}, list(lines.conductors[line].ends)
    grown = True
    while grown:
        grown = False
        for one, two in lines.runs:
            if (one in chain) != (two in chain):
                new = two if one in chain else one
                chain.add(new)
                shared = next(end for end in ends if any(_same(end, other) for other in lines.conductors[new].ends))
                ends[ends.index(shared)] = next(other for other in lines.conductors[new].ends if not _same(shared, other))
                grown = True
    return [_names_at(reading, chain, end) for end in ends]


def _names_at(reading: Reading, chain: set[int], point: Point) -> set[str]:
    lines = reading.lines
    dot = lines.dot_at(point)
    if dot is None:
        return {end.name for end in reading.ends if end.dot is None and _same(end.point, point)}
    names = {end.name for end in reading.ends if end.dot == dot}
    bars = [index for index in lines.at_dot[dot] if index in lines.bars and index not in chain]
    names |= {reading.bars[key] for key in (-1 - dot, *bars) if key in reading.bars}
    if names:
        return names
    # A bar without a name: the stud of a contact or the foot of grounds side by side. It is what its other lines lead to.
    dots = {dot, *(number for number, members in lines.at_dot.items() if set(bars) & set(members))}
    names = {end.name for end in reading.ends if end.dot in dots}
    return names or {end.name for end in reading.ends if end.line is not None and end.line not in chain and any(end.line in lines.at_dot[number] for number in dots)}


def _same(one: Point, two: Point) -> bool:
    return abs(one[0] - two[0]) < 0.03 and abs(one[1] - two[1]) < 0.03
