"""Colour swatches that survive a black-and-white photocopy.

Takes a wire's colour as letters, base first (``("GN", "YE")``; ``LT `` or ``DK ``
before a shade), and a rectangle in mm; draws a framed swatch. The base has the
larger left part, each stripe a part right of it. Inks come from trade/colours.

Every tint has its line pattern. The common ones follow the engravers' hatching of
coats of arms (vertical red, horizontal blue, falling diagonal green, rising
diagonal violet, dots yellow), the others are ours. Each pattern line is black with
a white edge, so that it shows on paper whether the copier turns the ink below into
black or into white. A dark shade has a black bar at its foot, a light one a white
bar. Lines are clipped here; the record knows no clip paths.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import BLACK, THIN, Area
from harnessdoc.trade.colours import Tint, tint_srgb, tints

WHITE = "#FFFFFF"
SIZE = (9.0, 3.5)
"""Width and height in mm at which all patterns are clearly told apart."""
PITCH = 1.5
EDGED = 0.75
"""Width of the white line below a black one."""
BRIGHT = 200
"""A tint from this luminance on (of 255) copies as white; its lines need no white edge."""
BAR = 0.75
BASE_SHARE = {0: 1.0, 1: 0.56, 2: 0.44}
"""The base's part of the width by the number of stripes."""

Segment = tuple[float, float, float, float]


def draw_swatch(
    pen: Pen, x: float, y: float, w: float, h: float, colour: tuple[str, ...], *, tag: str = ""
) -> None:
    """Draws a swatch; an unknown colour, ``()``, is a framed field left free to be filled by hand."""
    parts = list(_parts(Area(x, y, w, h), len(colour)))
    for letters, part in zip(colour, parts, strict=False):
        _draw_field(pen, part, _tint(letters), tag)
    for part in parts[1:]:
        pen.line(part.x, y, part.x, y + h, THIN, tag=tag)
    pen.rect(x, y, w, h, THIN, tag=tag)


def _parts(whole: Area, count: int) -> Iterator[Area]:
    if count == 0:
        return
    base = whole.w * BASE_SHARE[count - 1]
    yield Area(whole.x, whole.y, base, whole.h)
    for index in range(count - 1):
        stripe = (whole.w - base) / (count - 1)
        yield Area(whole.x + base + index * stripe, whole.y, stripe, whole.h)


def _tint(letters: str) -> Tint:
    """``LT BU`` -> Tint("BU", "light"). Raises ValueError for letters the trade tables lack."""
    shade, _, code = letters.rpartition(" ")
    tint = Tint(code, {"": "", "DK": "dark", "LT": "light"}[shade])
    if Tint(code) not in tints():
        raise ValueError(f"no colour {letters!r}")
    return tint


def _draw_field(pen: Pen, field: Area, tint: Tint, tag: str) -> None:
    ink = tint_srgb(tint)
    pen.rect(field.x, field.y, field.w, field.h, 0.0, fill=ink, tag=tag)
    if tint.shade:
        foot = field.bottom - BAR
        bar = BLACK if tint.shade == "dark" else WHITE
        pen.rect(field.x, foot, field.w, BAR, 0.0, fill=bar, tag=tag)
        pen.line(field.x, foot, field.right, foot, THIN, tag=tag)
        field = Area(field.x, field.y, field.w, field.h - BAR)
    segments = list(PATTERNS[tint.code](field))
    if luminance(ink) < BRIGHT:
        for segment in _clipped(segments, field, EDGED / 2):
            pen.line(*segment, EDGED, colour=WHITE, tag=tag)
    for segment in _clipped(segments, field, THIN / 2):
        pen.line(*segment, THIN, tag=tag)


def luminance(ink: str) -> float:
    """Grey of an ink as a copier sees it, 0 black to 255 white (weights of ITU-R BT.601)."""
    red, green, blue = (int(ink[i : i + 2], 16) for i in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def _clipped(segments: list[Segment], field: Area, inset: float) -> Iterator[Segment]:
    """The parts of the segments inside the field less ``inset`` on every side (Liang-Barsky)."""
    left, right = field.x + inset, field.right - inset
    top, bottom = field.y + inset, field.bottom - inset
    for x1, y1, x2, y2 in segments:
        enter, leave = 0.0, 1.0
        for delta, room in (
            (x1 - x2, x1 - left),
            (x2 - x1, right - x1),
            (y1 - y2, y1 - top),
            (y2 - y1, bottom - y1),
        ):
            if delta == 0:
                if room < 0:
                    leave = -1.0
            elif delta < 0:
                enter = max(enter, room / delta)
            else:
                leave = min(leave, room / delta)
        if leave - enter > 1e-9 or (enter <= leave and (x1, y1) == (x2, y2)):
            yield (
                x1 + enter * (x2 - x1),
                y1 + enter * (y2 - y1),
                x1 + leave * (x2 - x1),
                y1 + leave * (y2 - y1),
            )


def _steps(start: float, end: float, pitch: float) -> list[float]:
    """Places between start and end, ``pitch`` apart, the rest shared between both ends."""
    count = max(1, int((end - start) / pitch + 1e-6))
    first = (start + end - (count - 1) * pitch) / 2
    return [first + index * pitch for index in range(count)]


def _plain(f: Area) -> Iterator[Segment]:
    """White: nothing. Black: nothing either, its ink is the pattern."""
    return iter(())


def _vertical(f: Area) -> Iterator[Segment]:
    return ((x, f.y, x, f.bottom) for x in _steps(f.x, f.right, PITCH))


def _horizontal(f: Area) -> Iterator[Segment]:
    return ((f.x, y, f.right, y) for y in _steps(f.y, f.bottom, 1.2))


def _falling(f: Area, pitch: float = 1.6) -> Iterator[Segment]:
    return ((x, f.y, x + f.h, f.bottom) for x in _steps(f.x - f.h, f.right, pitch))


def _rising(f: Area) -> Iterator[Segment]:
    pitch = PITCH * 1.3
    return ((x, f.bottom, x + f.h, f.y) for x in _steps(f.x - f.h, f.right, pitch))


def _crossed(f: Area) -> Iterator[Segment]:
    yield from _falling(f, PITCH * 1.3)
    yield from _rising(f)


def _squares(f: Area) -> Iterator[Segment]:
    yield from _vertical(f)
    yield from _horizontal(f)


def _strewn(f: Area, dx: float, dy: float, pitch: float = PITCH, row_pitch: float = 1.1) -> Iterator[Segment]:
    """Short lines half (dx, dy) to each side of places in staggered rows."""
    for row, y in enumerate(_steps(f.y, f.bottom, row_pitch)):
        for x in _steps(f.x - pitch / 2, f.right + pitch / 2, pitch):
            cx = x + (pitch / 2 if row % 2 else 0.0)
            yield cx - dx, y - dy, cx + dx, y + dy


def _dots(f: Area) -> Iterator[Segment]:
    """Two short lines a dot: one alone inks so little that a copy of it passes for white."""
    for x1, y1, x2, y2 in _strewn(f, 0.15, 0.0, 1.15):
        yield x1, y1 - 0.13, x2, y2 - 0.13
        yield x1, y1 + 0.13, x2, y2 + 0.13


def _rain(f: Area) -> Iterator[Segment]:
    return _strewn(f, 0.0, 0.42, 1.05)


def _dashes(f: Area) -> Iterator[Segment]:
    return _strewn(f, 0.75, 0.0, 2.1, 0.85)


def _slashes(f: Area) -> Iterator[Segment]:
    return _strewn(f, 0.5, -0.5, 1.35, 0.95)


def _pluses(f: Area) -> Iterator[Segment]:
    for x1, y1, x2, y2 in _strewn(f, 0.42, 0.0, 1.9):
        x = (x1 + x2) / 2
        yield x1, y1, x2, y2
        yield x, y1 - 0.42, x, y1 + 0.42


def _waves(f: Area) -> Iterator[Segment]:
    for y in _steps(f.y, f.bottom, 1.2):
        half, x, up = 0.8, f.x, True
        while x < f.right:
            lift = 0.4 if up else -0.4
            yield x, y + lift, x + half, y - lift
            x, up = x + half, not up


def _bricks(f: Area) -> Iterator[Segment]:
    courses, long = max(2, round(f.h / 0.9)), 1.6
    tall = f.h / courses
    for course in range(courses):
        top = f.y + course * tall
        if course:
            yield f.x, top, f.right, top
        for x in _steps(f.x - long / 2, f.right + long / 2, long):
            cx = x + (long / 2 if course % 2 else 0.0)
            yield cx, top, cx, top + tall


def _blocks(f: Area) -> Iterator[Segment]:
    for x1, y1, x2, y2 in _strewn(f, 0.4, 0.0, 1.9, 1.25):
        for beside in (-0.25, 0.0, 0.25):
            yield x1, y1 + beside, x2, y2 + beside


def _saltires(f: Area) -> Iterator[Segment]:
    for x1, y1, x2, y2 in _strewn(f, 0.42, 0.42, 1.6, 1.15):
        yield x1, y1, x2, y2
        yield x1, y2, x2, y1


PATTERNS: dict[str, Callable[[Area], Iterator[Segment]]] = {
    "BK": _plain,
    "BN": _crossed,
    "RD": _vertical,
    "OG": _squares,
    "YE": _dots,
    "GN": _falling,
    "BU": _horizontal,
    "VT": _rising,
    "GY": _rain,
    "WH": _plain,
    "PK": _waves,
    "TQ": _bricks,
    "TAN": _slashes,
    "GD": _pluses,
    "SR": _dashes,
    "NAT": _blocks,
    "CLR": _saltires,
}
