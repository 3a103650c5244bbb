"""Flags on a circuit page: the numbers of the findings at its wires, parts and contacts, and beside the title block what they say.

Takes a pen on which the page is drawn, the Context and the page as placed. A flag stands where nothing is printed, as near to
its wire's label, contact or thing as there is room; it moves nothing. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import product

from ..circuits.figure import PITCH, TEXT
from ..diagram.placed import PlacedNode
from ..drawing.flag_notes import BETWEEN, FLAG_HIGH, Flags, draw_flags, flag_width, flags_width
from ..drawing.lettering import cut, text_width, wrap
from ..drawing.page import BLOCK_HEIGHT, BLOCK_WIDTH, CLEAR, FOLD_CLEAR
from ..drawing.pen import Pen
from ..drawing.record import Area, Box, Line, Link, Mark, Polyline, Rect, bounds
from .circuit_pages import CircuitPage
from .circuit_words import findings_sheet, has_flag_words
from .context import Context
from .flags import flags_at, numbered

APART = 0.9
"""Between a flag and anything else; parentheses reach above the height of capitals."""
FARTHEST = 12.0
"""A flag stands no farther from what it is about; where there is no room so near it is among the words alone."""
STEP = 1.0
MOST_LINES = 2
"""Of what one finding says."""


def draw_finding_flags(pen: Pen, context: Context, page: CircuitPage, free: Area) -> None:
    """The flags of one page, and what they say, as far as there is room."""
    if not context.numbers_at or page.lacks_mm > 0.0:
        return
    taken = [box for mark in pen.drawing().marks for box in _boxes(mark)]
    said: dict[int, Flags] = {}
    for around, flags in _flagged(context, page):
        said.update((number, Flags((number,), flags.target)) for number in flags.numbers)
        wide = flags_width(flags)
        spot = next((spot for spot in _spots(around, wide) if _is_free(context, free, spot, taken)), None)
        if spot is not None:
            draw_flags(pen, spot[0], (spot[1] + spot[3]) / 2, flags)
            taken.append(spot)
    if said and has_flag_words(context):
        _draw_words(pen, context, free, said, taken)


def has_flags(context: Context, page: CircuitPage) -> bool:
    """Whether a page has flags, for whose words a line beside the title block is to be left."""
    return bool(context.numbers_at) and page.lacks_mm == 0.0 and has_flag_words(context) and any(True for _ in _flagged(context, page))


def _flagged(context: Context, page: CircuitPage) -> Iterator[tuple[Box, Flags]]:
    """Each label, contact and thing with findings, with the box that its flags belong to; a ground that stands there several times once."""
    x, y = page.area.x, page.area.y
    seen: set[str] = set()
    for label in page.placed.labels:
        wire = label.wire.partition(" below ")[0]
        if wire not in seen and (flags := flags_at(context, (f"wire {wire}",))):
            yield (x + label.x, y + label.y, x + label.x + label.w, y + label.y + label.h), flags
        seen.add(wire)
    for name, figure in page.graph.figures.items():
        at = page.placed.nodes[name]
        for address, (px, py) in at.ports.items():
            if flags := flags_at(context, (address,)) if address not in seen and "." in address else None:
                yield (x + px, y + py, x + px, y + py), flags
            seen.add(address)
        owners = dict.fromkeys((figure.owner, *_connectors(context, at)))
        if figure.owner and figure.owner not in seen and (flags := flags_at(context, owners)):
            yield (x + at.x, y + at.y, x + at.x + at.w, y + at.y + at.h), flags
        seen.add(figure.owner)


def _connectors(context: Context, at: PlacedNode) -> Iterator[str]:
    for address in at.ports:
        contact = context.harness.contacts.get(address)
        if contact is not None and contact.owner in context.harness.connectors:
            yield contact.owner


def _spots(around: Box, wide: float) -> Iterator[Box]:
    """Places for flags beside a box, the nearest first: right, left, under and over it."""
    left, top, right, bottom = around
    places = []
    for far, along in product(range(int(FARTHEST / STEP)), range(int(FARTHEST / STEP))):
        gap, shift = APART + far * STEP, along * STEP
        middle = (top + bottom - FLAG_HIGH) / 2
        for order, (sx, sy) in enumerate((
            (right + gap, middle + shift), (right + gap, middle - shift), (left - gap - wide, middle + shift), (left - gap - wide, middle - shift),
            (left + shift, bottom + gap), (left + shift, top - gap - FLAG_HIGH), (right - wide - shift, bottom + gap), (right - wide - shift, top - gap - FLAG_HIGH),
        )):
            places.append((far + along, order, far, (sx, sy, sx + wide, sy + FLAG_HIGH)))
    yield from (spot for *_, spot in sorted(places))


def _is_free(context: Context, free: Area, spot: Box, taken: Iterable[Box]) -> bool:
    left, top, right, bottom = spot
    if left < free.x or top < free.y or right > free.right or bottom > free.bottom:
        return False
    if context.paper.booklet == "spread" and left < free.x + free.w / 2 + FOLD_CLEAR and right > free.x + free.w / 2 - FOLD_CLEAR:
        return False
    return not any(box[0] < right + APART and left - APART < box[2] and box[1] < bottom + APART and top - APART < box[3] for box in taken)


def _boxes(mark: Mark) -> Iterator[Box]:
    """What a mark takes up: of what is not filled its lines, each by itself."""
    match mark:
        case Link():
            return
        case Polyline(fill=None):
            points = [*mark.points, mark.points[0]] if mark.closed else list(mark.points)
            yield from (bounds(Line(*a, *b, mark.width)) for a, b in zip(points, points[1:], strict=False))
        case Rect(fill=None):
            x, y, right, low = mark.x, mark.y, mark.x + mark.w, mark.y + mark.h
            yield from (bounds(Line(*line, mark.width)) for line in ((x, y, right, y), (x, low, right, low), (x, y, x, low), (right, y, right, low)))
        case _:
            yield bounds(mark)


def _draw_words(pen: Pen, context: Context, free: Area, flags: dict[int, Flags], taken: Iterable[Box]) -> None:
    """Left of the title block, under what stands there already, as many as there is height for; a last line says where the others are."""
    top, right = free.bottom + CLEAR, free.right - BLOCK_WIDTH
    low = top + BLOCK_HEIGHT - CLEAR / 2
    indent = max(map(flag_width, flags)) + 2 * BETWEEN
    room = right - free.x - indent
    base = max([top, *(box[3] + APART for box in taken if box[0] < right and box[2] > free.x and top - APART < box[1] and box[3] < low)]) + TEXT + (FLAG_HIGH - TEXT) / 2
    findings = numbered(context.findings)
    said = {number: wrap(findings[number - 1].message, room, TEXT) for number in sorted(flags)}
    most = int((low - base) // PITCH) + 1
    if sum(map(len, said.values())) > most:
        said = {number: _shortened(context, lines, room) for number, lines in said.items()}
    shown = list(said)
    while shown and sum(len(said[number]) for number in shown) + (len(shown) < len(said)) > most:
        shown.pop()
    for number in shown:
        draw_flags(pen, free.x, base - TEXT / 2, flags[number])
        for line in said[number]:
            pen.text(free.x + indent, base, line, TEXT, tag="finding words")
            base += PITCH
    if len(shown) < len(said):
        pen.text(free.x, base, _elsewhere(context, [number for number in said if number not in shown], right - free.x), TEXT, tag="finding rest")


def _elsewhere(context: Context, numbers: list[int], room: float) -> str:
    """``Findings 3, 4, 7: see sheet 4``: the findings with no words on the page; of many the first and the last."""
    sheet = findings_sheet(context)
    see = f": see sheet {sheet.number}" if sheet is not None else ""
    whole = f"{'Findings' if len(numbers) > 1 else 'Finding'} {', '.join(map(str, numbers))}{see}"
    return whole if text_width(whole, TEXT) <= room else f"Findings {numbers[0]} to {numbers[-1]}{see}"


def _shortened(context: Context, lines: list[str], room: float) -> list[str]:
    """At most MOST_LINES of them; what is left out is on the sheet that the last line names."""
    if len(lines) <= MOST_LINES:
        return lines
    ref = findings_sheet(context)
    sheet = f" → {ref.number}" if ref is not None else ""
    rest = cut(" ".join(lines[MOST_LINES - 1 :]), room - text_width(sheet, TEXT), TEXT)
    return [*lines[: MOST_LINES - 1], rest + sheet]
