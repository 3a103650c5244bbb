"""Reads a splice sheet back from its marks: where lines, dots and texts are, and nothing else.

Takes a Drawing; gives what each splice joins. Tags are not looked at. A wire is
joined where its level line ends on the widest upright line and a dot covers that end.
"""

from __future__ import annotations

from dataclasses import dataclass

from harnessdoc.drawing.lettering import text_width
from harnessdoc.drawing.record import Circle, Drawing, Line, Polyline, Text

ON = 0.01
"""Marks nearer than this, in mm, are at one place."""
BAR_FROM = 1.0
"""An upright line wider than this is a splice."""
LONG = 20.0
"""A level line that is longer is a wire (those in a swatch are shorter), whether it is joined or not."""
NARROW = 0.3
"""A line no wider than this rules nothing: it strikes a text through."""
UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, order=True)
class Joined:
    """One member as drawn: the number over its line, the side named above it, the far end beside it."""

    wire: str
    side: str
    far: str


def read_splices(pages: tuple[Drawing, ...]) -> dict[str, set[Joined]]:
    """Splice -> its members, over all pages."""
    found: dict[str, set[Joined]] = {}
    for page in pages:
        lines = [mark for mark in page.marks if isinstance(mark, Line)]
        triangles = [mark.points for mark in page.marks if isinstance(mark, Polyline) and mark.closed and len(mark.points) == 3]
        texts = [mark for mark in page.marks if isinstance(mark, Text) and not any(_inside(mark, corners) for corners in triangles)]
        dots = [mark for mark in page.marks if isinstance(mark, Circle) and mark.fill]
        for bar in (line for line in lines if line.x1 == line.x2 and line.width > BAR_FROM):
            rule = max((line for line in lines if line.y1 == line.y2 < bar.y1 and line.x1 < bar.x1 < line.x2 and line.width > NARROW), key=lambda line: line.y1)
            name = min((t for t in texts if t.weight == "bold" and abs(t.x - rule.x1) < ON and t.y > rule.y1), key=lambda t: t.y).text
            members = found.setdefault(name, set())
            for line in lines:
                if line.y1 == line.y2 and bar.y1 < line.y1 < bar.y2 and _touches(line, bar) and _dotted(line, bar, dots):
                    members.add(_member(line, bar, rule, lines, texts))
    return found


def _inside(text: Text, corners: tuple[tuple[float, float], ...]) -> bool:
    """True for the letter of a revision, which stands in a triangle."""
    xs, ys = zip(*corners, strict=True)
    return min(xs) < text.x < max(xs) and min(ys) < text.y < max(ys)


def _touches(line: Line, bar: Line) -> bool:
    return min(abs(line.x1 - bar.x1), abs(line.x2 - bar.x1)) < ON


def _dotted(line: Line, bar: Line, dots: list[Circle]) -> bool:
    return any(abs(dot.cx - bar.x1) < ON and abs(dot.cy - line.y1) < ON for dot in dots)


def _member(line: Line, bar: Line, rule: Line, lines: list[Line], texts: list[Text]) -> Joined:
    left, right = sorted((line.x1, line.x2))
    on_left = left < bar.x1 - ON
    half = [t for t in texts if rule.y1 < t.y and (_start(t) < bar.x1) == on_left]
    small = [t for t in half if t.weight == "bold" and t.height < 2.0 and t.y < line.y1]
    # Where the heading of the other side stands lower, that of this one looks like a caption: then the lowest is meant.
    heading = max([t for t in small if not _caption(t, texts, bar)] or small, key=lambda t: t.y)
    above = [other.y1 for other in lines if rule.y1 < other.y1 == other.y2 < line.y1 - ON and abs(other.x1 - other.x2) > LONG and (other.x1 + other.x2 < 2 * bar.x1) == on_left]
    ceiling = max([heading.y, *above])
    number = sorted((t for t in half if t.weight == "bold" and t.height > 2.0 and left < t.x < right and ceiling < t.y < line.y1), key=lambda t: t.y)
    outer = left if on_left else right
    beside = [t for t in texts if abs(t.y - t.height / 2 - line.y1) < ON and abs((_end(t) if on_left else _start(t)) - outer) < 2.0]
    far = beside[0].text.split(" → ")[0] if beside else UNKNOWN
    return Joined("".join(t.text for t in number), heading.text.rsplit(": ", 1)[0], far)


def _caption(text: Text, texts: list[Text], bar: Line) -> bool:
    """True for the caption of a field: it stands above the diagram. Headings of sides stand at its top or inside it."""
    return text.y < bar.y1 - 8.0 and any(t is not text and t.height < 2.0 and t.weight == "bold" and text.y < t.y < bar.y1 for t in texts)


def _start(text: Text) -> float:
    return text.start()[0]


def _end(text: Text) -> float:
    return text.start()[0] + text_width(text.text, text.height, text.weight)
