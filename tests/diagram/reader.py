"""Reads from circuit diagrams which contacts are joined: from lines, dots, symbols and what is printed beside them, never from tags.

``read_page`` takes one Drawing and gives a Reading: what each line end and each dot is called, and every
fault of form. ``nets`` takes the readings of all pages, joins them where they show the same splice,
ground or contact, and gives the sets of addresses that are one.

How an end is named. At the edge of a box: by the text inside it at the line's place, nearest to the edge. At a
symbol's lead: by the text beside it on the symbol's side. Where that is no whole address (``E1.13``), the
bold text that heads the box or symbol goes before it. A symbol with one lead and a bold text under it is a ground. Two
leads without text are 1 above and 2 below. A bar is named by the bold text right of it, and such a text stands at a dot. What ends on a broken ring, a shield, leads nowhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.record import BLACK, Arc, Box, Circle, Drawing, Line, Mark, Point, Polyline, Rect, Text, bounds

from .lines import BAR_TEXT, ON, Lines, bar_name, distance, near, read_lines, starts, strokes, touches

ADDRESS = re.compile(r"[^\s.]*[A-Za-z][^\s.]*\.\S+")
"""``X5.2``, ``donor/E1.13``, ``B1.30``; no ``0.75``."""
ENDS = ("left open", "not known", "far end not known")
"""What stands at an end that leads nowhere."""
REACH = 4.5
"""A terminal's text is no farther from its port, in mm."""
UNDER = 6.5
"""A ground's number stands no farther below its uppermost plate (the others do not touch it)."""


@dataclass(frozen=True, slots=True)
class End:
    """Where a line or a dot meets a symbol (neither: the free lead of half a connector); ``symbol``: its marks by their index, empty at a box."""

    line: int | None
    dot: int | None
    point: Point
    name: str
    symbol: frozenset[int]


@dataclass(frozen=True)
class Reading:
    """One page as read. bars: index of a line (or of a dot: -1 - index) -> its name."""

    lines: Lines
    ends: tuple[End, ...]
    bars: dict[int, str]
    faults: tuple[str, ...]

    def ends_of(self, line: int) -> list[str]:
        """What a line leads to: contacts, and names of bars at its ends."""
        names = [end.name for end in self.ends if end.line == line]
        for point in self.lines.conductors[line].ends:
            dot = self.lines.dot_at(point)
            if dot is not None:
                names += [self.bars[key] for key in (-1 - dot, *self.lines.at_dot[dot]) if key in self.bars and key != line]
                names += [end.name for end in self.ends if end.dot == dot]
        return names


def read_page(drawing: Drawing) -> Reading:
    """Reads one page; what cannot be named is a fault and no exception."""
    return _Reader(read_lines(drawing)).read()


def nets(readings: Iterable[Reading]) -> set[frozenset[str]]:
    """The sets of addresses joined on the pages together; those of one address alone are left out."""
    groups = _Groups()
    for number, page in enumerate(readings):
        for one, two in page.lines.joined():
            groups.join((number, one), (number, two))
        for key, name in page.bars.items():
            groups.join((number, key if key >= 0 else ("dot", -1 - key)), name)
        for dot, members in page.lines.at_dot.items():
            for member in members:
                groups.join((number, ("dot", dot)), (number, member))
        for end in page.ends:
            if end.line is not None or end.dot is not None:
                groups.join((number, end.line if end.line is not None else ("dot", end.dot)), end.name)
        for one, two in mated(page):
            groups.join(one, two)
    return {names for members in groups.sets() if len(names := frozenset(member for member in members if isinstance(member, str))) > 1}


def mated(page: Reading) -> Iterator[tuple[str, str]]:
    """Names of the two halves of in-line connectors: a filled bar whose tip is the middle of a half circle, each with a lead of its own."""
    for plug in page.ends:
        for socket in page.ends:
            if plug.name != socket.name and any(_plugged(page.lines.inside[one], page.lines.inside[two]) for one in plug.symbol for two in socket.symbol):
                yield plug.name, socket.name


def _plugged(plug: Mark, socket: Mark) -> bool:
    return (isinstance(socket, Arc) and abs(socket.end_deg - socket.start_deg - 180) < 1
            and isinstance(plug, (Polyline, Rect)) and plug.fill == BLACK and touches(plug, (socket.cx, socket.cy)))


class _Groups:
    """Union and find over anything that hashes."""

    def __init__(self) -> None:
        self.parent: dict = {}

    def find(self, item):
        self.parent.setdefault(item, item)
        while self.parent[item] != item:
            item = self.parent[item]
        return item

    def join(self, one, two) -> None:
        self.parent[self.find(one)] = self.find(two)

    def sets(self) -> list[set]:
        out: dict = {}
        for item in self.parent:
            out.setdefault(self.find(item), set()).add(item)
        return list(out.values())


class _Reader:
    def __init__(self, lines: Lines) -> None:
        self.lines = lines
        self.marks = lines.inside
        self.texts = [mark for mark in self.marks if isinstance(mark, Text) and not mark.upright]
        # What a symbol is drawn with: no texts, no broken lines, nothing of swatches but what is black.
        self.drawn = {index: bounds(mark) for index, mark in enumerate(self.marks)
                      if isinstance(mark, (Line, Polyline, Rect, Circle, Arc)) and not getattr(mark, "dash", ()) and getattr(mark, "colour", BLACK) == BLACK
                      and (getattr(mark, "width", 0) > 0 or getattr(mark, "fill", None) == BLACK)}
        self.faults = list(lines.faults())
        ends = [*(max(lines.conductors[index].ends) for index in lines.bars), *lines.dots]
        self.of_bars = [text for text in self.texts if any(bar_name([text], end) for end in ends)]
        self.faults += list(self._names_without_a_dot())

    def read(self) -> Reading:
        ends = []
        for line, point in self.lines.ports:
            named = self._end(point, self._comes_from_above(line, point))
            if named is not None:
                ends.append(End(line, None, point, *named))
        for dot, point in enumerate(self.lines.dots):
            for below in (True, False):
                if any(starts(mark, point) and _goes(mark, point, below) for mark in self.marks):
                    named = self._end(point, below)
                    if named is not None:
                        ends.append(End(None, dot, point, *named))
        ends += list(self._other_halves(ends))
        bars = {}
        for index in self.lines.bars:
            name = bar_name(self.marks, max(self.lines.conductors[index].ends))
            if name:
                bars[index] = name
        on_bars = {self.lines.dot_at(end) for index in self.lines.bars for end in self.lines.conductors[index].ends}
        for dot, point in enumerate(self.lines.dots):
            if dot not in on_bars and not any(index in self.lines.bars for index in self.lines.at_dot[dot]) and (name := bar_name(self.marks, point)):
                bars[-1 - dot] = name
        return Reading(self.lines, tuple(ends), bars, tuple(self.faults))

    def _names_without_a_dot(self) -> Iterator[str]:
        """The name of a splice or bar beside a line with no dot there: in a straight run nothing else shows that one is missing, where another page says what is joined."""
        for text in self.texts:
            x, y = text.start()
            point = (x - BAR_TEXT, y - text.height / 2)
            if text.weight == "bold" and text not in self.of_bars and any(distance(point, segment) < 0.1 for line in self.lines.conductors for segment in line.segments()):
                yield f"{text.text} is named at {_at(point)}, where no dot is"

    def _other_halves(self, ends: list[End]) -> Iterator[End]:
        """The half of an in-line connector to which no line leads on this page: named by the text at its free lead."""
        taken = set().union(*(end.symbol for end in ends)) if ends else set()
        for end in ends:
            for one in end.symbol:
                for two in self.drawn:
                    if two not in taken and (_plugged(self.marks[one], self.marks[two]) or _plugged(self.marks[two], self.marks[one])):
                        symbol = self._grown({two})
                        above = bounds(self.marks[two])[1] < bounds(self.marks[one])[1]
                        points = [point for index in symbol for segment in strokes(self.marks[index]) for point in segment]
                        free = min(points, key=lambda point: point[1] if above else -point[1])
                        name = self._at_symbol(free, symbol, above)
                        if name:
                            yield End(None, None, free, name, symbol)

    def _comes_from_above(self, line: int, point: Point) -> bool:
        points = self.lines.conductors[line].points
        inner = points[1] if near(points[0], point) else points[-2]
        return inner[1] < point[1]

    def _end(self, point: Point, from_above: bool) -> tuple[str, frozenset[int]] | None:
        box = self._box_at(point)
        if box is not None:
            name = self._at_box(point, box, from_above)
            return (name, frozenset()) if name else None
        symbol = self._symbol_at(point)
        if not symbol:
            return None             # told as a loose end already
        if self._is_at_shield(symbol):
            return None
        name = self._at_symbol(point, symbol, from_above)
        return (name, symbol) if name else None

    def _is_at_shield(self, symbol: frozenset[int]) -> bool:
        """True for a lead that ends on a broken ring about conductors."""
        rings = [mark for mark in self.marks if isinstance(mark, Polyline) and mark.closed and mark.dash]
        ends = [end for index in symbol for segment in strokes(self.marks[index]) for end in segment]
        return any(touches(ring, end) for ring in rings for end in ends)

    def _box_at(self, point: Point) -> Rect | None:
        """The smallest rectangle on whose upper or lower edge a point lies, so large that things are printed in it."""
        found = [mark for mark in self.marks if isinstance(mark, Rect) and mark.width > 0 and mark.h >= 6 and mark.w >= 6
                 and mark.x - ON < point[0] < mark.x + mark.w + ON and (abs(mark.y - point[1]) < ON or abs(mark.y + mark.h - point[1]) < ON)]
        return min(found, key=lambda mark: mark.w * mark.h, default=None)

    def _at_box(self, point: Point, box: Rect, from_above: bool) -> str | None:
        inside = [text for text in self.texts if box.x - ON < _box(text)[0] and _box(text)[2] < box.x + box.w + ON and box.y - ON < _box(text)[1] and text.y < box.y + box.h + ON]
        here = [text for text in inside if self._is_terminal(text, point, from_above)]
        lead = any(starts(mark, point) for mark in self.marks)
        if not lead and not any(abs((_box(text)[0] + _box(text)[2]) / 2 - point[0]) < 0.1 for text in here):
            self.faults.append(f"a line ends on a box at {_at(point)}, where it has no terminal")
            return None
        if not here:
            self.faults.append(f"no terminal is named at {_at(point)}")
            return None
        terminal = min(here, key=lambda text: (_away(_box(text), point), text.text)).text.split()[0]
        if ADDRESS.fullmatch(terminal):
            return terminal
        heads = [text for text in inside if text.weight == "bold" and text not in here] or self._bold_beside(bounds(box))
        return self._whole(heads, terminal, point)

    def _at_symbol(self, point: Point, symbol: frozenset[int], from_above: bool) -> str | None:
        around = _around(bounds(self.marks[index]) for index in symbol)
        under = [text for text in self.texts if text.weight == "bold" and 0 < text.y - around[3] < UNDER and abs(sum(_box(text)[::2]) / 2 - point[0]) < 0.2]
        if from_above and under and not any(self._is_terminal(text, point, from_above) and ADDRESS.fullmatch(text.text) for text in self.texts):
            return under[0].text.split()[0]
        here = [text for text in self.texts if self._is_terminal(text, point, from_above) and text.weight != "bold"]
        whole = [text for text in here if ADDRESS.fullmatch(text.text.split()[0])]
        if whole:
            return min(whole, key=lambda text: _away(_box(text), point)).text.split()[0]
        if any(text.text in ENDS for text in here):
            return None
        heads = self._bold_beside(around)
        short = [text for text in here if len(text.text) <= 3 and _away(_box(text), point) < 2.5]
        terminal = min(short, key=lambda text: _away(_box(text), point)).text if short else "1" if from_above else "2"
        return self._whole(heads, terminal, point)

    def _is_terminal(self, text: Text, point: Point, from_above: bool) -> bool:
        """True for a text on the symbol's side of a port, near it."""
        left, top, right, bottom = _box(text)
        on_side = top > point[1] - 0.3 if from_above else bottom < point[1] + 0.9
        return on_side and _away((left, top, right, bottom), point) < REACH

    def _bold_beside(self, around: Box) -> list[Text]:
        """The bold texts nearest to a symbol or box, none farther than a terminal's text may be."""
        found = []
        for number, text in enumerate(self.texts):
            if text.weight == "bold" and text not in self.of_bars and (apart := _apart(self._with_rest(text), around)) < REACH:
                found.append((apart, number, text))
        return [text for *_, text in sorted(found, key=lambda item: item[:2])]

    def _with_rest(self, text: Text) -> Box:
        """The box of a bold text and of what goes on behind it in its line."""
        left, top, right, bottom = _box(text)
        rest = [_box(other)[2] for other in self.texts if other.weight == "regular" and abs(other.y - text.y) < ON and 0 <= _box(other)[0] - right < 1.5]
        return left, top, max(rest, default=right), bottom

    def _whole(self, heads: list[Text], terminal: str, point: Point) -> str | None:
        if not heads:
            self.faults.append(f"nothing says what the symbol at {_at(point)} is")
            return None
        return f"{heads[0].text.split()[0]}.{terminal}"

    def _symbol_at(self, point: Point) -> frozenset[int]:
        """The marks of the symbol that begins at a point: what touches there, what touches that, and so on."""
        return self._grown({index for index in self.drawn if touches(self.marks[index], point)})

    def _grown(self, found: set[int]) -> frozenset[int]:
        """All marks that hang together with some."""
        waiting = list(found)
        while waiting:
            index = waiting.pop()
            left, top, right, bottom = self.drawn[index]
            for other, box in self.drawn.items():
                if other not in found and left <= box[2] and box[0] <= right and top <= box[3] and box[1] <= bottom and _meet(self.marks[index], self.marks[other]):
                    found.add(other)
                    waiting.append(other)
        return frozenset(found)


def _goes(mark: Mark, point: Point, down: bool) -> bool:
    """True where a mark that starts at a point leads down (or up) from it."""
    others = [end for segment in strokes(mark) for end in segment if not near(end, point)]
    return bool(others) and all((y >= point[1] - ON) if down else (y <= point[1] + ON) for _, y in others) and any(abs(y - point[1]) > ON for _, y in others)


def _meet(one: Mark, two: Mark) -> bool:
    """True where strokes of two marks touch or cross; where a stroke begins inside a filled mark that counts too."""
    for a, b in strokes(one):
        for c, d in strokes(two):
            if min(distance(a, (c, d)), distance(b, (c, d)), distance(c, (a, b)), distance(d, (a, b))) < ON or _cross(a, b, c, d):
                return True
    return False


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _box(text: Text) -> Box:
    """From the baseline to the tops of the capitals, as wide as it is reckoned."""
    x, y = text.start()
    return x, y - text.height, x + text_width(text.text, text.height, text.weight), y


def _away(box: Box, point: Point) -> float:
    dx = max(box[0] - point[0], 0.0, point[0] - box[2])
    dy = max(box[1] - point[1], 0.0, point[1] - box[3])
    return (dx * dx + dy * dy) ** 0.5


def _apart(one: Box, two: Box) -> float:
    dx = max(one[0] - two[2], 0.0, two[0] - one[2])
    dy = max(one[1] - two[3], 0.0, two[1] - one[3])
    return (dx * dx + dy * dy) ** 0.5


def _around(boxes: Iterable[Box]) -> Box:
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def _at(point: Point) -> str:
    return f"{point[0]:.2f}, {point[1]:.2f}"
