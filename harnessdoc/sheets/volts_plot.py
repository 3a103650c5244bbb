"""The voltage along the path of a current: from the source down to the load, and back.

Takes a Drop of ``judgement.drops`` with its path; gives a table whose rows are what the current passes, each with
its drop, and whose last column is the plot: the line runs down through the rows as the volts
run down. To the right the way out, to the left the way back, both to one scale; between them
the axis is broken, for the load takes far more than the wires. A wire slopes, what has no
length steps. Dashed: as far as the drop may go, where the limit is given for that way alone.
All lengths in mm, all voltages against battery minus.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from math import ceil, floor, log10

from ..drawing.pen import Pen
from ..drawing.record import THIN, WIDE
from ..drawing.table import PAD, Band, Cell, Column
from ..judgement.amounts import in_amps
from ..judgement.drops import Drop
from ..judgement.path import Step
from ..operation.catalogue import CONTACT, WIRE
from ..operation.operate import Operation
from ..operation.words import volts_shown
from ..revision.changes import Thing
from .stacks import Reading
from .tables import Key, PlainRow, PlainTable, keyed_rows

PLOT, NARROW_PLOT = 66.0, 46.0
SIDE = 4.0
"""Room left and right of the outer ticks for half of their numbers."""
GAP = 7.0
"""Between the ways back and out, where the axis is broken."""
APART = 8.0
"""The least distance of two ticks."""
PARTS = 5
"""The axis ends at parts of a step."""
AXIS_HIGH = 9.0
TICK = 1.2
NUMBER = 1.8
SLASH = 1.4
GRID = (0.3, 1.7)
LIMIT = (2.0, 1.0)
LINE_TAG, TICK_TAG, LIMIT_TAG, BREAK_TAG = "volts", "tick", "limit", "break"
WIDE_PAGE = 150.0


def limits_v(operation: Operation, drop: Drop) -> tuple[float | None, float | None]:
    """How low the volts may fall on the way out, how high they may stand on the way back; None where no limit is given for that way alone.

    A limit for the line of a lamp holds only behind its switch, and is told in words.
    """
    path = drop.path
    if path is None or drop.not_counted:
        return None, None
    nodes = operation.wiring.nodes
    begin_v = next((step.from_v for step in path.feed if step.from_node == nodes.plus), path.steps[0].from_v)
    end_v = next((step.to_v for step in path.back if step.to_node == nodes.reference), path.steps[-1].to_v)
    feeds = [limit.feed_v for limit in drop.limits if limit.feed_v is not None and not limit.kind.startswith("lamp")]
    backs = [limit.return_v for limit in drop.limits if limit.return_v is not None]
    return begin_v - min(feeds) if feeds else None, end_v + min(backs) if backs else None


@dataclass(frozen=True, slots=True)
class Half:
    """A part of the axis: volts from low to high; ``left`` is where low stands."""

    low: float
    high: float
    left: float


@dataclass(frozen=True, slots=True)
class Scale:
    """The axis: volts a tick, mm a volt, and its two halves; lengths from the left edge of the plot."""

    step_v: float
    mm_a_volt: float
    back: Half
    feed: Half

    def at(self, volts: float, half: Half) -> float:
        return half.left + (volts - half.low) * self.mm_a_volt

    def ticks(self, half: Half) -> Iterator[float]:
        """The volts at the ticks of a half."""
        first, last = ceil(half.low / self.step_v - 1e-9), floor(half.high / self.step_v + 1e-9)
        return (number * self.step_v for number in range(first, last + 1))


def scale_of(feed_v: Sequence[float], back_v: Sequence[float], width: float) -> Scale:
    """The finest scale that shows these volts with ticks not too near each other: steps of 1, 2 or 5 times a power of ten."""
    room = width - 2 * SIDE - GAP
    span = max(max(feed_v) - min(feed_v) + max(back_v) - min(back_v), 1e-3)
    exponent = floor(log10(span * APART / room))
    for step_v in (digit * 10.0 ** (exponent + more) for more in range(4) for digit in (1, 2, 5)):
        part_v = step_v / PARTS
        back, feed = _bounds(back_v, part_v, 1), _bounds(feed_v, part_v, 2)
        mm = room / (back[1] - back[0] + feed[1] - feed[0])
        if mm * PARTS >= APART:
            left = SIDE + (back[1] - back[0]) * mm + GAP
            return Scale(step_v, mm / part_v, Half(back[0] * part_v, back[1] * part_v, SIDE), Half(feed[0] * part_v, feed[1] * part_v, left))
    raise AssertionError((feed_v, back_v, width))


def _bounds(volts: Sequence[float], part_v: float, ticks: int) -> tuple[int, int]:
    """The parts of a step just outside of some volts, farther out where fewer than so many ticks would lie between."""
    low, high = floor(min(volts) / part_v + 1e-9), ceil(max(volts) / part_v - 1e-9)
    high = max(high, low + 1)
    while high // PARTS - (low - 1) // PARTS < ticks:
        low, high = (low - 1, high) if low % PARTS <= -high % PARTS and low % PARTS else (low, high + 1)
    return low, high


def path_table(operation: Operation, drop: Drop, title: str, key: Key, width: float) -> PlainTable:
    """The table of the path of a load called ``title`` with its plot; ``key``: which table of its sheet it is."""
    path = drop.path
    assert path is not None, f"no path of {drop.load}"
    plot = PLOT if width > WIDE_PAGE else NARROW_PLOT
    source_v = path.steps[0].from_v
    feed_limit_v, back_limit_v = limits_v(operation, drop)
    feed_v = [source_v, *(step.to_v for step in path.feed), *([feed_limit_v] if feed_limit_v is not None else [])]
    back_v = [path.across.to_v, *(step.to_v for step in path.back), *([back_limit_v] if back_limit_v is not None else [])]
    scale = scale_of(feed_v, back_v, plot - 2 * PAD)
    columns = (Column("The current passes"), Column("A", 13, anchor="end"), Column("Drop, V", 13, anchor="end"), Column("Volts behind it", 13, anchor="end"),
               Column("Volts against battery minus", plot))
    limits = {"feed": feed_limit_v, "back": back_limit_v}
    rows: list[tuple[Key, PlainRow | Band]] = [
        (("about",), Band(f"{drop.load}, {title}: {drop.state}, when it takes most")),
        (("axis",), ("", "", "", "", Cell(partial(_draw_axis, scale, limits), min_height=AXIS_HIGH))),
        (("source",), (f"{path.source}, plus", "", "", Reading(volts_shown(source_v), source_v), Cell(partial(_draw_source, scale, source_v, limits)))),
    ]
    rows += [(_key(step), _step_row(step, scale, scale.feed, limits["feed"])) for step in path.feed]
    rows.append((("load",), _load_row(path.across, scale)))
    rows += [(_key(step), _step_row(step, scale, scale.back, limits["back"])) for step in path.back]
    return PlainTable(key, columns, keyed_rows(rows), width, tag="path", free=frozenset((4,)), is_whole=True, is_flagged=False)


def _key(step: Step) -> Key:
    return ((Thing.WIRE, step.wire),) if step.wire else (step.words,)


def _said(step: Step) -> str:
    """``wire 212, K3.87 to X22.1``; what is known by its name has no ends beside it."""
    if step.kind in (WIRE, CONTACT) and step.from_ and step.to:
        return f"{step.words}, {step.from_} to {step.to}"
    return step.words


def _step_row(step: Step, scale: Scale, half: Half, limit_v: float | None) -> PlainRow:
    return (_said(step), in_amps(step.current_a), drop_shown(step.drop_v), Reading(volts_shown(step.to_v), step.to_v), Cell(partial(_draw_step, scale, half, step, limit_v)))


def _load_row(step: Step, scale: Scale) -> PlainRow:
    return (_said(step), in_amps(step.current_a), drop_shown(step.drop_v), Reading(volts_shown(step.to_v), step.to_v), Cell(partial(_draw_load, scale, step)))


def drop_shown(volts: float) -> str:
    """``0.412``, ``11.72``; ``0`` below half a millivolt."""
    if abs(volts) < 0.0005:
        return "0"
    return f"{volts:.3f}" if abs(volts) < 1 else f"{volts:.2f}"


# --------------------------------------------------------------------------------- drawn

def _draw_axis(scale: Scale, limits: dict[str, float | None], pen: Pen, x: float, y: float, w: float, h: float) -> None:
    """The numbers over their ticks; above them the words at the limits."""
    base = y + h
    for half in (scale.back, scale.feed):
        pen.line(x + scale.at(half.low, half), base, x + scale.at(half.high, half), base, THIN, tag="axis")
        for volts in scale.ticks(half):
            at = x + scale.at(volts, half)
            pen.line(at, base, at, base - TICK, THIN, tag=TICK_TAG)
            pen.text(at, base - TICK - 0.8, _number(volts, scale.step_v), NUMBER, "middle", tag=TICK_TAG)
    for half, name in ((scale.back, "back"), (scale.feed, "feed")):
        volts = limits[name]
        if volts is not None:
            at = scale.at(volts, half)
            pen.text(x + at, y + NUMBER, "limit", NUMBER, "middle", tag=LIMIT_TAG)
    _draw_slashes(pen, x + _middle(scale), base)


def _number(volts: float, step_v: float) -> str:
    """With no more places than the step has."""
    places = max(0, -floor(log10(step_v) + 1e-9))
    return f"{volts + 0.0:.{places}f}"


def _middle(scale: Scale) -> float:
    """Where the axis is broken."""
    return scale.feed.left - GAP / 2


def _draw_source(scale: Scale, volts: float, limits: dict[str, float | None], pen: Pen, x: float, y: float, w: float, h: float) -> None:
    """The line begins in the middle of the row."""
    top, bottom = y - PAD, y + h + PAD
    _draw_grid(scale, limits["feed"], scale.feed, pen, x, top, bottom)
    at = x + scale.at(volts, scale.feed)
    pen.dot(at, (top + bottom) / 2, tag=LINE_TAG)
    pen.line(at, (top + bottom) / 2, at, bottom, WIDE, tag=LINE_TAG)


def _draw_step(scale: Scale, half: Half, step: Step, limit_v: float | None, pen: Pen, x: float, y: float, w: float, h: float) -> None:
    """A wire slopes over the height of its row; anything else steps in its middle."""
    top, bottom = y - PAD, y + h + PAD
    _draw_grid(scale, limit_v, half, pen, x, top, bottom)
    before, behind = (x + scale.at(volts, half) for volts in (step.from_v, step.to_v))
    middle = (top + bottom) / 2
    bends = [] if step.kind == WIRE else [(before, middle), (behind, middle)]
    pen.polyline([(before, top), *bends, (behind, bottom)], WIDE, tag=LINE_TAG)


def _draw_load(scale: Scale, step: Step, pen: Pen, x: float, y: float, w: float, h: float) -> None:
    """From the way out to the way back, broken where the axis is."""
    top, bottom = y - PAD, y + h + PAD
    middle, at = (top + bottom) / 2, x + _middle(scale)
    before, behind = x + scale.at(step.from_v, scale.feed), x + scale.at(step.to_v, scale.back)
    pen.polyline([(before, top), (before, middle), (at + SLASH / 2, middle)], WIDE, tag=LINE_TAG)
    pen.polyline([(at - SLASH / 2, middle), (behind, middle), (behind, bottom)], WIDE, tag=LINE_TAG)
    _draw_slashes(pen, at, middle)


def _draw_slashes(pen: Pen, x: float, y: float) -> None:
    for side in (-1, 1):
        pen.line(x + side * SLASH / 2 - 0.4, y + SLASH, x + side * SLASH / 2 + 0.4, y - SLASH, THIN, tag=BREAK_TAG)


def _draw_grid(scale: Scale, limit_v: float | None, half: Half, pen: Pen, x: float, top: float, bottom: float) -> None:
    for volts in scale.ticks(half):
        at = x + scale.at(volts, half)
        pen.line(at, top, at, bottom, THIN, dash=GRID, tag="grid")
    if limit_v is not None:
        at = x + scale.at(limit_v, half)
        pen.line(at, top, at, bottom, THIN, dash=LIMIT, tag=LIMIT_TAG)
