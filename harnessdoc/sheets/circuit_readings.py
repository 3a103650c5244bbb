"""What a meter shows beside each point of a circuit page, in a state that is asked for: in a frame with round ends, so that none is taken for the label of a wire.
A frame that cannot stand at its point alone stands farther off and says which point it is of.

Takes a Context whose options name a solved state, and a page as placed with what is drawn on it; gives for each point (contact of a
thing, splice, ground) its reading, and where on the page there is room for it, if any. The page stays as it is without readings: what finds
no room is told in a table on a page after it. Numbers and words are those of the check sheet and the pinouts. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ..circuits.figure import GAP, PITCH, TEXT
from ..drawing.lettering import cut, text_width, wrap
from ..drawing.page import BLOCK_HEIGHT, CLEAR
from ..drawing.pen import Pen
from ..drawing.table import Column
from ..drawing.record import THIN, Area, Box, Drawing, Line, Link, Mark, Point, Polyline, Rect, Text, bounds
from ..operation.operate import Operation, Solved
from ..operation.report import NoReading, readings_of
from ..operation.words import FLOATING, PULSED, UNSAID, volts_shown
from .circuit_pages import CircuitPage
from .circuit_words import beside_block, state_words
from .context import Context
from .fates import kind_and_title
from .flow import Words
from .marking import Draft
from .tables import Listing, PlainTable, keyed_rows

HIGH = 3.9
"""Of a frame: the text and as much again above as below it."""
ENDS, WORD_ENDS = 1.2, 1.7
"""From the end of a frame to the figures in it; to a word, which has ascenders."""
NEAREST = 0.5
"""Between a frame and anything but its own line."""
LIFT = 0.25
"""By so much a word with a descender stands higher in its frame."""
RISE = 0.5
"""What some letters and brackets rise above the capitals."""
FOREIGN = 1.4
"""Between a frame and the line of another point."""
CLEARER = 0.6
"""A frame is so much nearer to its own point than to any other that reads otherwise."""
STEP, NAMED_STEP = 0.4, 0.8
REACH = 15.0
"""From a point to the near edge of its frame, along the line."""
BOTH = 9.0
"""Where one frame stands so near to both ends of a line that read the same, it is that of both."""
ASIDE = (GAP, GAP + 0.8)
"""From a line to its frame; farther from it a frame says which point it is of."""
FROM_LABEL = 3.0
"""Between the side of a frame and the label of another wire in the same row, with which it would be read."""
NAMED_REACH = 30.0
"""From a point to the near edge of a frame that says its address."""
NAMED_CLEAR = 0.9
"""Between such a frame and anything else."""
TO_FRAME = 1.5
"""Between the frame of a reading and that of the page."""
_WITHOUT = {NoReading.FLOATING: FLOATING, NoReading.PULSED: PULSED, NoReading.UNSAID: UNSAID}


@dataclass(frozen=True, slots=True)
class PointReading:
    """address: of the point, of mated cavities the first; text: what a meter shows; box: of its frame on the page, None where there is no room; is_named: the frame says the address, too."""

    address: str
    text: str
    box: Box | None
    is_named: bool = False

    @property
    def printed(self) -> str:
        """What stands in the frame."""
        return _named(self.address, self.text) if self.is_named else self.text


@dataclass(frozen=True, slots=True)
class _Spot:
    """A point of a page. addresses: of mated cavities both; anchors: where its lines end, with the way they lead off (-1 up, 1 down); bar: its stretch, where it is one; lines: its own; wires: their ids."""

    addresses: tuple[str, ...]
    anchors: tuple[tuple[float, float, int], ...]
    bar: tuple[float, float, float] | None
    lines: tuple[tuple[Point, Point], ...]
    wires: frozenset[str]


@dataclass(frozen=True, slots=True)
class _Ink:
    """What is drawn on the page. is_line: a stretch of a conductor; label: the id of the wire it is the label of, else ""."""

    box: Box
    is_line: bool = False
    label: str = ""


def page_readings(context: Context, page: CircuitPage, drawn: Drawing) -> tuple[PointReading, ...]:
    """Every point of a page that may be probed, in the order of its things; ``drawn``: the page without readings."""
    operation, solved = context.operation, context.options.state
    if operation is None or solved is None:
        return ()
    spots = list(_spots(context, page))
    shown = _shown(operation, solved, dict.fromkeys(address for spot in spots for address in spot.addresses))
    told = [(spot, address, shown[address]) for spot in spots for address in [next((one for one in spot.addresses if one in shown), "")] if address]
    obstacles = list(_obstacles(drawn))
    grown = CLEAR - TO_FRAME
    free = Area(page.area.x - grown, page.area.y - grown, page.area.w + 2 * grown, page.area.h + 2 * grown)
    choices = [[box for box in (_places(spot, _width(text)) if page.lacks_mm == 0.0 else ()) if _is_free(box, spot, [other for other, _, said in told if said != text], obstacles, free)] for spot, _, text in told]
    found: dict[int, Box] = {}
    # those with the least choice first
    for number in sorted(range(len(told)), key=lambda number: (len(choices[number]), number)):
        box = next((box for box in choices[number] if not any(_apart(box, other) < NEAREST for other in found.values())), None)
        if box is not None:
            found[number] = box
    shared = {number: box for number, (spot, _, text) in enumerate(told) if number not in found
              for other, box in found.items() if told[other][2] == text and _from_spot(box, spot) < BOTH and _shares_line(spot, told[other][0])}
    beside = found | shared
    named = _named_frames([(number, spot, _width(_named(address, text))) for number, (spot, address, text) in enumerate(told) if number not in beside], [ink.box for ink in obstacles] + list(found.values()), free) if page.lacks_mm == 0.0 else {}
    return tuple(PointReading(address, text, beside.get(number) or named.get(number), number in named) for number, (_, address, text) in enumerate(told))


def _named(address: str, text: str) -> str:
    return f"{address}: {text}"


def _named_frames(lacking: Iterable[tuple[int, _Spot, float]], taken: Sequence[Box], free: Area) -> dict[int, Box]:
    """Number -> the nearest free place for the frame of each point, as wide as given; one after the other, none over what is ``taken`` or over each other."""
    found: dict[int, Box] = {}
    for number, spot, width in lacking:
        grown = NAMED_REACH + width + HIGH
        near = [box for box in (*taken, *found.values()) if _from_spot(box, spot) < grown]
        places = sorted((_from_spot(box, spot), box) for box in _around(spot, width) if free.x <= box[0] and box[2] <= free.right and free.y <= box[1] and box[3] <= free.bottom)
        box = next((box for far, box in places if far <= NAMED_REACH and not any(_apart(box, other) < NAMED_CLEAR for other in near)), None)
        if box is not None:
            found[number] = box
    return found


def _around(spot: _Spot, width: float) -> Iterator[Box]:
    """Every place about a point, on a grid of ``NAMED_STEP``."""
    ends = [(x, x, y) for x, y, _ in spot.anchors] if spot.bar is None else [spot.bar]
    left, right = min(end[0] for end in ends) - NAMED_REACH - width, max(end[1] for end in ends) + NAMED_REACH
    top, low = min(end[2] for end in ends) - NAMED_REACH - HIGH, max(end[2] for end in ends) + NAMED_REACH
    for y in _steps(top, low, NAMED_STEP):
        for x in _steps(left, right, NAMED_STEP):
            yield x, y, x + width, y + HIGH


def draw_readings(pen: Pen, readings: Iterable[PointReading]) -> None:
    """Those that have room, each frame once."""
    for box, (address, text) in {reading.box: (reading.address, reading.printed) for reading in readings if reading.box is not None}.items():
        left, top, right, bottom = box
        radius, tag = HIGH / 2, f"reading:{address}"
        up = LIFT if text.endswith(PULSED) else 0.0
        if bottom - top > HIGH + 0.01:
            pen.line(left, top + radius, left, bottom - radius, THIN, tag=tag)
            pen.line(right, top + radius, right, bottom - radius, THIN, tag=tag)
            pen.arc(left + radius, top + radius, radius, 180, 360, THIN, tag=tag)
            pen.arc(left + radius, bottom - radius, radius, 0, 180, THIN, tag=tag)
            pen.text((left + right + TEXT) / 2 - up, (top + bottom) / 2, text, TEXT, "middle", upright=True, tag=tag)
            continue
        pen.line(left + radius, top, right - radius, top, THIN, tag=tag)
        pen.line(left + radius, bottom, right - radius, bottom, THIN, tag=tag)
        pen.arc(left + radius, top + radius, radius, 90, 270, THIN, tag=tag)
        pen.arc(right - radius, top + radius, radius, -90, 90, THIN, tag=tag)
        pen.text((left + right) / 2, (top + bottom + TEXT) / 2 - up, text, TEXT, "middle", tag=tag)


def draw_state(pen: Pen, context: Context, area: Area, readings: Sequence[PointReading], pages: int, left: int) -> None:
    """The words about the state and, where a point has no frame, that it is told after the ``pages`` diagrams: left of the title block, in the lines there is height for but ``left`` of them; where there is no width, they stand in the foot (``CircuitBook.foot``)."""
    width, top = beside_block(area.w), area.bottom + CLEAR
    if not width or context.options.state is None:
        return
    last = [f"Points without a frame: page {pages + 1}."] if any(reading.box is None for reading in readings) else []
    most = int((BLOCK_HEIGHT - TEXT - TO_FRAME) // PITCH) + 1 - len(last) - left
    lines = wrap(state_words(context), width, TEXT)
    if len(lines) > most:
        lines = [*lines[: most - 1], cut(" ".join(lines[most - 1 :]), width, TEXT)]
    lines += last
    for row, line in enumerate(lines):
        pen.text(area.x, top + TEXT + row * PITCH, line, TEXT, tag="state")


def left_over(context: Context, pages: Sequence[tuple[PointReading, ...]], width: float) -> list[Draft]:
    """What found no room beside its point, by page and thing, in a table ``width`` wide; [] where all did."""
    harness = context.harness
    rows: dict[tuple[str, str], list[str]] = {}
    for number, readings in enumerate(pages, start=1):
        for reading in readings:
            if reading.box is None:
                owner = harness.contacts[reading.address].owner
                rows.setdefault((str(number), owner), []).append(f"{reading.address} {reading.text}")
    if not rows:
        return []
    columns = (Column("Page", 14.0), Column("Of", weight=1.0), Column("Points with no room for a frame beside them, and what a meter shows there", weight=4.0))
    said = keyed_rows(((("page", page), ("of", owner)), (page, f"{owner} {kind_and_title(harness, owner)}".strip(), Listing(tuple(points), "; "))) for (page, owner), points in rows.items())
    return [Words(state_words(context, "Volts")), PlainTable(("readings",), columns, said, width, is_flagged=False)]


def _shown(operation: Operation, solved: Solved, addresses: Iterable[str]) -> dict[str, str]:
    """Address -> what is printed; nothing of what nobody may probe."""
    return {one.address: _WITHOUT[one.shown] if isinstance(one.shown, NoReading) else f"{volts_shown(one.shown)} V"
            for one in readings_of(operation, solved, addresses, None) if one.shown is not NoReading.AIRBAG}


def _width(text: str) -> float:
    return text_width(text, TEXT) + 2 * (ENDS if text[0] in "-0123456789" else WORD_ENDS)


def _spots(context: Context, page: CircuitPage) -> Iterator[_Spot]:
    """The points of a page that are addresses."""
    contacts, graph, placed = context.harness.contacts, page.graph.graph, page.placed
    dx, dy = page.area.x, page.area.y
    at: dict[tuple[str, str], list[str]] = {}
    for id, wire in graph.wires.items():
        for end in (wire.upper, wire.lower):
            at.setdefault((end.node, end.port), []).append(id)

    def lines(wires: Iterable[str]) -> Iterator[tuple[Point, Point]]:
        for wire in wires:
            points = [(x + dx, y + dy) for x, y in placed.wires[wire]]
            yield from zip(points, points[1:], strict=False)
            # through the mark of a pair or shield
            for end in (graph.wires[wire].upper, graph.wires[wire].lower):
                way, _, of = end.port.partition(" ")
                if of and way in ("in", "out"):
                    ends = [placed.nodes[end.node].ports[f"{side} {of}"] for side in ("in", "out")]
                    yield (ends[0][0] + dx, ends[0][1] + dy), (ends[1][0] + dx, ends[1][1] + dy)

    for name, figure in page.graph.figures.items():
        node, where = figure.node, placed.nodes[name]
        if placed.merged.get(name, name) != name:
            continue
        if node.shape == "bar":
            if figure.owner in contacts:
                x, y = where.x + dx, where.y + dy
                yield _Spot((figure.owner,), (), (x, x + where.w, y), (((x, y), (x + where.w, y)), *lines(at.get((name, ""), ()))), _ids(at.get((name, ""), ())))
            continue
        by_port = {port: (port.name if port.name in contacts else figure.owner if node.band == "ground" else "") for port in node.ports if at.get((name, port.name))}
        ports = {port: address for port, address in by_port.items() if address in contacts}
        groups = [list(ports)] if name.startswith("node:mate:") else [[port] for port in ports]
        for group in filter(None, groups):
            yield _Spot(tuple(ports[port] for port in group),
                        tuple((where.ports[port.name][0] + dx, where.ports[port.name][1] + dy, -1 if port.side == "top" else 1) for port in group), None,
                        tuple(line for port in group for line in lines(at[name, port.name])), _ids(id for port in group for id in at[name, port.name]))


def _ids(wires: Iterable[str]) -> frozenset[str]:
    return frozenset(wire.partition(" below ")[0] for wire in wires)


def _places(spot: _Spot, width: float) -> Iterator[Box]:
    """Where a frame may stand, the best first: beside its line, near the point; of a bar left of it, above or below it."""
    if spot.bar is not None:
        left, right, y = spot.bar
        yield left - GAP - width, y - HIGH / 2, left - GAP, y + HIGH / 2
        for top in (y - GAP - HIGH, y + GAP):
            for start in _steps(left - width / 2, right - width / 2):
                yield start, top, start + width, top + HIGH
        for across, along in ((width, HIGH), (HIGH, width)):
            for start in (left - GAP - across, left + GAP, right - GAP - across, right + GAP):
                for off in _steps(GAP, REACH / 2):
                    yield start, y - off - along, start + across, y - off
                    yield start, y + off, start + across, y + off + along
    # lying, then beside the symbol's own lead, then upright
    for across, along, offs in ((width, HIGH, _steps(NEAREST, REACH)), (width, HIGH, _steps(-HIGH, NEAREST)), (HIGH, width, _steps(NEAREST, REACH))):
        for off in offs:
            for aside in ASIDE:
                for x, y, way in spot.anchors:
                    near, far = sorted((y + way * off, y + way * (off + along)))
                    yield x + aside, near, x + aside + across, far
                    yield x - aside - across, near, x - aside, far


def _steps(start: float, stop: float, step: float = STEP) -> Iterator[float]:
    count = max(int((stop - start) / step), 0)
    for number in range(count + 1):
        yield start + number * step


def _is_free(box: Box, spot: _Spot, spots: Sequence[_Spot], obstacles: Sequence[_Ink], free: Area) -> bool:
    """Whether nothing is in the way, and nobody can take the frame for another point's or another line's."""
    left, top, right, bottom = box
    if left < free.x or right > free.right or top < free.y or bottom > free.bottom:
        return False
    foreign = max(FOREIGN, min(_apart(box, (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))) for a, b in spot.lines) + NEAREST)
    for ink in obstacles:
        other = ink.box
        if ink.label and ink.label not in spot.wires and other[1] < bottom and top < other[3] and other[0] - FROM_LABEL < right and left < other[2] + FROM_LABEL:
            return False
        if other[0] - foreign < right and left < other[2] + foreign and other[1] - foreign < bottom and top < other[3] + foreign:
            if _apart(box, other) < (foreign if ink.is_line and not _is_of(other, spot) else NEAREST):
                return False
    own = _from_spot(box, spot)
    return all(other is spot or _from_spot(box, other) > own + CLEARER for other in spots)


def _is_of(line: Box, spot: _Spot) -> bool:
    """Whether a stretch of a conductor is one of the point's own."""
    middle = ((line[0] + line[2]) / 2, (line[1] + line[3]) / 2)
    return any(min(a[0], b[0]) - 0.01 <= middle[0] <= max(a[0], b[0]) + 0.01 and min(a[1], b[1]) - 0.01 <= middle[1] <= max(a[1], b[1]) + 0.01 for a, b in spot.lines)


def _shares_line(one: _Spot, other: _Spot) -> bool:
    """Whether a line leads from one point straight to the other."""
    return any(line in other.lines for line in one.lines)


def _from_spot(box: Box, spot: _Spot) -> float:
    """From a frame to the nearest of a point's places."""
    places = [(x, y, x, y) for x, y, _ in spot.anchors]
    if spot.bar is not None:
        left, right, y = spot.bar
        places.append((left, y, right, y))
    return min(_apart(box, place) for place in places)


def _apart(one: Box, other: Box) -> float:
    dx = max(one[0] - other[2], other[0] - one[2], 0.0)
    dy = max(one[1] - other[3], other[1] - one[3], 0.0)
    return (dx * dx + dy * dy) ** 0.5


def _obstacles(drawn: Drawing) -> Iterator[_Ink]:
    """What is inked, of the frames of things the inside, too."""
    for mark in drawn.marks:
        is_wire = isinstance(mark, Line | Polyline) and mark.tag.startswith(("wire:", "node:")) and mark.width >= 0.5
        if isinstance(mark, Link) or (isinstance(mark, Rect) and mark.tag == "frame"):
            continue
        if isinstance(mark, Polyline) and not mark.closed:
            for (x1, y1), (x2, y2) in zip(mark.points, mark.points[1:], strict=False):
                half = mark.width / 2
                yield _Ink((min(x1, x2) - half, min(y1, y2) - half, max(x1, x2) + half, max(y1, y2) + half), is_wire)
        elif isinstance(mark, Text):
            left, top, right, bottom = bounds(mark)
            yield _Ink((left - RISE, top - RISE, right, bottom), label=_label(mark))
        else:
            yield _Ink(bounds(mark), is_wire, _label(mark))


def _label(mark: Mark) -> str:
    """The wire that a mark is part of the label of; "" for any other."""
    return mark.tag.removeprefix("label:").partition(" below ")[0] if mark.tag.startswith("label:") else ""
