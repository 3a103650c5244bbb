"""Labels as flags: strips of paper, a sleeve size at a time, to lie along the wire under clear heat-shrink.

Takes the labels and the context; gives pages with the flags in strips, cut lines between, and the labels that no strip
can hold. First the thinnest sleeve; under each the longest wire first, its one end after the other. A flag is as high as the
sleeve lies flat as supplied (half its inner circumference), and no letter is higher than half the circumference of the
wire: that much is seen from one side (derived). Which sleeve goes over which wire: ``trade/sleeves.py``. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, inf, pi

from ..drawing.lettering import wrap
from ..drawing.pen import Pen
from ..drawing.record import THIN, Area, Drawing
from ..geometry.labels import Label
from ..geometry.measure import Geometry
from ..trade.sleeves import Shrink, shrink_for, shrinks
from ..trade.tables import factors
from .context import Context, SheetKind, SheetRef
from .label_cell import Block, draw_block, in_line, number_alone
from .label_paper import LabelPages, Unfit

TITLE = "Flags for heat-shrink"
END = 2.0
"""Free at each end of a flag."""
AIR = 0.3
"""Free over and under its letters."""
CAPITALS = 3.5
"""No letter on a flag is higher: a thick wire would get one as long as a hand."""
PLAIN = 6.0
"""Height of a flag for which no sleeve is known."""
BETWEEN = 2.0
"""Between two strips."""
DATA, LINE = 2.5, 1.7
AFTER_HEAD, AFTER_GROUP = 1.5, 5.0


@dataclass(frozen=True, slots=True)
class Flags:
    """The labels that one sleeve size takes, in the order of the strip; why: where no sleeve fits."""

    sleeve: Shrink | None
    why: str
    labels: tuple[Label, ...]

    @property
    def height(self) -> float:
        return pi / 2 * self.sleeve.supplied_mm if self.sleeve else PLAIN


@dataclass(frozen=True, slots=True)
class _Flag:
    label: Label
    block: Block | None
    width: float


def sleeve_over(geometry: Geometry, wire: str) -> Shrink | None:
    """The heat-shrink that passes over the insulation of a wire and grips it; None where its diameter is unknown or no tube of the table fits."""
    diameter = geometry.diameters.get(wire)
    return shrink_for(diameter, diameter) if diameter else None


def by_sleeve(labels: Iterable[Label], geometry: Geometry) -> tuple[Flags, ...]:
    """The labels by the sleeve they take, thin before thick, those without one last; in each the longest wire first, unknown lengths behind."""
    groups: dict[tuple[int, str], list[Label]] = {}
    order = {tube: number for number, tube in enumerate(sorted(shrinks(), key=lambda tube: (tube.supplied_mm, tube.recovered_mm)))}
    for label in labels:
        sleeve = sleeve_over(geometry, label.wire)
        diameter = geometry.diameters.get(label.wire)
        why = "" if sleeve else f"no sleeve of the table goes over {diameter:.1f} mm" if diameter else "diameter of the wire not known: measure it, then choose the sleeve"
        groups.setdefault((order[sleeve] if sleeve else len(order), why), []).append(label)
    tubes = list(order)
    return tuple(Flags(tubes[number] if number < len(tubes) else None, why, tuple(sorted(members, key=lambda label: _longest_first(geometry, label))))
                 for (number, why), members in sorted(groups.items()))


def _longest_first(geometry: Geometry, label: Label) -> float:
    length = geometry.lengths.get(label.wire)
    return -length.finished_mm if length and length.finished_mm is not None else inf


def draw_label_flags(context: Context, labels: Sequence[Label]) -> LabelPages:
    """The pages of all flags, framed, with what to cut and to slip over as words above each strip."""
    ref = SheetRef("L", "flags", SheetKind.LABELS, TITLE)
    _, area = context.page(ref, 1, 1)
    unfit: list[Unfit] = []
    sheets: list[list[tuple[float, _Piece]]] = [[]]
    y = 0.0
    for pieces in _kept_together(context, labels, area.w, unfit):
        tall = sum(piece.tall for piece in pieces) - pieces[-1].after
        if y > 0 and y + tall > area.h:
            sheets.append([])
            y = 0.0
        for piece in pieces:
            sheets[-1].append((y, piece))
            y += piece.tall
    return LabelPages(tuple(_page(context, ref, number, len(sheets), pieces) for number, pieces in enumerate(sheets, start=1)), tuple(unfit))


@dataclass(frozen=True, slots=True)
class _Piece:
    """Words, or one strip of flags; tall: with what is free below it, after."""

    words: tuple[str, ...]
    flags: tuple[_Flag, ...]
    height: float
    after: float

    @property
    def tall(self) -> float:
        return self.height + self.after


def _kept_together(context: Context, labels: Sequence[Label], width: float, unfit: list[Unfit]) -> Iterator[list[_Piece]]:
    """What stands on one page: a head with its first strip, then strip by strip."""
    yield [_words("Slip the clear sleeve onto the wire before the terminal is crimped. Cut along the lines, lay the flag along the wire 30 to 50 mm behind the connector, push the sleeve over it, shrink (common practice).", width, AFTER_GROUP)]
    for group in by_sleeve(labels, context.geometry):
        strips = list(_strips(group, context.geometry, width, unfit))
        longest = max(flag.width for strip in strips for flag in strip)
        pieces = [_words(_head(group, longest), width, AFTER_HEAD)]
        pieces += [_Piece((), strip, group.height, AFTER_GROUP if strip is strips[-1] else BETWEEN) for strip in strips]
        yield pieces[:2]
        for piece in pieces[2:]:
            yield [piece]


def _head(group: Flags, longest: float) -> str:
    count = f"{len(group.labels)} flag{'s' if len(group.labels) > 1 else ''}"
    if group.sleeve is None:
        return f"{group.why}; {count}"
    length = ceil(longest / (1 - factors()["shrink-shortening"].value))
    return f"Sleeve {group.sleeve.name}, clear: {count}; cut {len(group.labels)} sleeves {length} mm long, {len(group.labels) * length / 1000:.2f} m in all"


def _words(text: str, width: float, after: float) -> _Piece:
    lines = tuple(wrap(text, width, DATA))
    return _Piece(lines, (), DATA + (len(lines) - 1) * LINE * DATA, after)


def _strips(group: Flags, geometry: Geometry, width: float, unfit: list[Unfit]) -> Iterator[tuple[_Flag, ...]]:
    """The flags of a group, as many side by side as a page is wide."""
    strip: list[_Flag] = []
    for label in group.labels:
        flag = _flag(label, group, geometry, width, unfit)
        if strip and sum(one.width for one in strip) + flag.width > width:
            yield tuple(strip)
            strip = []
        strip.append(flag)
    yield tuple(strip)


def _flag(label: Label, group: Flags, geometry: Geometry, width: float, unfit: list[Unfit]) -> _Flag:
    diameter = geometry.diameters.get(label.wire)
    room, longest = group.height - 2 * AIR, width - 2 * END
    block = in_line(label, room, min(CAPITALS, pi / 2 * diameter) if diameter else CAPITALS)
    if block is None or block.width > longest:
        unfit.append(Unfit(label, longest, room))
        block = number_alone(label, longest, room)
    return _Flag(label, block, (block.width if block else 0.0) + 2 * END)


def _page(context: Context, ref: SheetRef, number: int, of: int, pieces: list[tuple[float, _Piece]]) -> Drawing:
    pen, area = context.page(ref, number, of)
    for y, piece in pieces:
        for line, text in enumerate(piece.words):
            pen.text(area.x, area.y + y + DATA + line * LINE * DATA, text, DATA)
        _draw_strip(pen, Area(area.x, area.y + y, area.w, piece.height), piece.flags)
    return pen.drawing()


def _draw_strip(pen: Pen, row: Area, flags: Sequence[_Flag]) -> None:
    x = row.x
    for flag in flags:
        pen.rect(x, row.y, flag.width, row.h, THIN, tag=f"flag:{flag.label.wire}:{flag.label.end}")
        if flag.block is not None:
            draw_block(pen, x + END, row.y + (row.h - flag.block.height) / 2, flag.block, f"label:{flag.label.wire}:{flag.label.end}")
        x += flag.width
