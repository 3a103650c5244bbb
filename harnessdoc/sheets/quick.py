"""The first page of the booklet: where to cut the battery off, fuses, relays, grounds.

Takes a Context and the reference of the sheet; gives its pages. What one looks for in the dark stands in two
columns, counted up: everything else of a fuse or relay is on the diagrams.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from ..drawing.lettering import cut, text_width, wrap
from ..drawing.pen import Pen
from ..drawing.record import Drawing
from ..model.electric import Battery
from ..model.harness import Device, Harness, Kind, Part
from ..network.cavity_order import counted
from ..operation.words import listed
from .context import Context, SheetRef
from .flow import DATA, Drawn, Heading, Words, free_area, height_of
from .lid import purpose, rating_words
from .marking import Draft, laid, marked_pages

LINE = 4.0
"""From baseline to baseline, mm."""
GAP = 5.0
"""Between the two columns."""
BEHIND = 1.5
"""Behind a number, behind a rating."""
ID_MOST = 26.0
"""A number takes no more."""
ABOVE = 1.0
AFTER_ABOVE = 6.0
"""Kept free for what is put between the words and the columns."""
PROTECTS = ("fuse", "fusible link")

Entry = tuple[str, str, str]
"""Id, rating or "", what it is for or where."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a column; ``behind_id``, ``indent``: where its rating and its text begin."""

    id: str
    rating: str
    text: str
    is_heading: bool
    indent: float = 0.0
    behind_id: float = 0.0


def draw_quick(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Battery switch, fuses box by box, relays, grounds."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, _: SheetRef) -> Iterator[Draft]:
    area = free_area(context.paper, "portrait")
    above = [*([Heading(context.harness.title)] if context.harness.title else []), Heading("Battery off"), *(Words(line) for line in battery_off(context))]
    yield from above
    room = (area.w - GAP) / 2
    lines: list[Line] = []
    for heading, entries in _groups(context):
        lines += _heading(heading, room) if lines else [*_heading(heading, room)][1:]
        lines += _set(entries, room)
    high = area.h - height_of([laid(block) for block in above], area) - AFTER_ABOVE
    while lines:
        first, second = _columns(lines, int((high - ABOVE) // LINE))
        rows = max(first, second - first)
        yield Drawn(rows * LINE + ABOVE, partial(_draw, lines[:second], first, room))
        lines = lines[second:]
        while lines and not lines[0].text and not lines[0].id:
            lines = lines[1:]
        high = area.h


def _columns(lines: Sequence[Line], rows: int) -> tuple[int, int]:
    """Where the left column ends and where the right one, with at most ``rows`` lines in each; what fits one page stands in two columns of about one height."""
    first = _end(lines, 0, rows)
    second = _end(lines, first, rows)
    if second == len(lines):
        even = next((end for end in range((len(lines) + 1) // 2, rows + 1) if _may_end(lines, end)), first)
        first = even if len(lines) - even <= rows else first
    return first, second


def _end(lines: Sequence[Line], start: int, rows: int) -> int:
    """As far as a column reaches that begins at ``start``."""
    end = min(len(lines), start + rows)
    return next((at for at in range(end, start, -1) if _may_end(lines, at)), end)


def _may_end(lines: Sequence[Line], end: int) -> bool:
    """A heading does not stand at the foot of a column without what it heads, nor an entry in both columns."""
    return end == len(lines) or not lines[end - 1].is_heading and not (lines[end].text and not lines[end].id)


def _groups(context: Context) -> Iterator[tuple[str, list[Entry]]]:
    """Headings, and what stands under them."""
    harness = context.harness
    parts = sorted(harness.parts.values(), key=lambda part: counted(part.id))
    fuses = [part for part in parts if part.kind in PROTECTS]
    for box in (*harness.boxes.values(), None):
        inside = [part for part in fuses if part.box == (box.id if box else None)]
        if inside:
            where = f"Fuses, {_placed(context, box.id, box.title)}" if box else "Fuses in no box"
            yield where, [(part.id, rating_words(part) or "? A", _with_place(context, part) if box is None else purpose(part)) for part in inside]
    relays = [part for part in parts if part.kind == "relay"]
    if relays:
        yield "Relays", [(part.id, "", _with_place(context, part)) for part in relays]
    if harness.grounds:
        yield "Grounds", [(ground.id, "", ground.title or ground.place or "place not known") for ground in harness.grounds.values()]


def _with_place(context: Context, part: Part) -> str:
    return ", ".join(filter(None, (purpose(part), part.box or context.harness.place_of.get(part.id))))


def _heading(text: str, room: float) -> Iterator[Line]:
    yield Line("", "", "", False)
    for line in wrap(text, room, DATA, "bold"):
        yield Line(line, "", "", True)


def _set(entries: Sequence[Entry], room: float) -> Iterator[Line]:
    """Entries in lines: what each is behind its id and rating, further lines below that."""
    behind_id = min(ID_MOST, max(text_width(id, DATA, "bold") for id, _, _ in entries) + BEHIND)
    widest = max(text_width(rating, DATA) for _, rating, _ in entries)
    indent = behind_id + (widest + BEHIND if widest else 0.0)
    for id, rating, text in entries:
        for number, line in enumerate(wrap(text, room - indent, DATA)):
            yield Line(id if number == 0 else "", rating if number == 0 else "", line, False, indent, behind_id)


def _draw(lines: Sequence[Line], rows: int, room: float, pen: Pen, x: float, y: float) -> None:
    for number, line in enumerate(lines):
        column, row = (0, number) if number < rows else (1, number - rows)
        left, base = x + column * (room + GAP), y + row * LINE + DATA
        pen.text(left, base, cut(line.id, ID_MOST, DATA, "bold") if line.id and not line.is_heading else line.id, DATA, weight="bold", tag="entry")
        pen.text(left + line.behind_id, base, line.rating, DATA, tag="entry")
        pen.text(left + line.indent, base, line.text, DATA, tag="entry")


def battery_off(context: Context) -> Iterator[str]:
    """How each battery is cut off: by its switch, where one is described, else by the clamp (negative off first, on last: common practice)."""
    harness = context.harness
    for device in (harness.devices[name] for name in harness.supplies):
        if not isinstance(device.supply, Battery):
            continue
        switches = [_placed(context, switch.id, switch.title) for switch in battery_switches(context, device)]
        if switches:
            yield f"{_placed(context, device.id, device.title)}: battery switch {listed(switches)}."
        else:
            yield f"{_placed(context, device.id, device.title)}: no battery switch is described. Clamp of the negative post off first, and on last."


def battery_switches(context: Context, battery: Device) -> list[Device]:
    """The switches through which all goes that one pole of a battery gives: nothing else is on the copper of that pole."""
    harness, network = context.harness, context.network
    found = []
    for address in battery.between or ():
        others = {harness.contacts[other].owner for other in network.islands[network.island_of[address]] if harness.contacts[other].kind is not Kind.SPLICE} - {battery.id}
        if len(others) == 1:
            device = harness.devices.get(others.pop())
            if device is not None and device.closes:
                found.append(device)
    return found


def _placed(context: Context, id: str, title: str) -> str:
    """``B1 fuse box, left of pedals``."""
    harness: Harness = context.harness
    place = harness.place_of.get(id)
    point = harness.points.get(place) if place else None
    where = point.title if point and point.title else place
    return ", ".join(filter(None, (f"{id} {title}".strip(), where)))
