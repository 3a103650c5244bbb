"""The SVG backend: a recorded drawing in, the text of one SVG file out.

Units are mm (``viewBox`` in mm). The file carries the glyphs it uses, so that it
looks the same where the font is not installed. Every letter is placed by the font's
own advances (``x`` is a list), and kerning and ligatures are off: programs that show
SVG round letter widths to pixels each in its way, and a line of text would drift
into the next column. A mark's tag stands in ``data-tag``. Links lead to ``TARGET.svg``.
Fixed decimals, no clock, no random ids: same drawing, same bytes.
"""

from __future__ import annotations

import base64
import io
import re
from functools import cache
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from harnessdoc.drawing.lettering import (
    FAMILY,
    FONT_FILES,
    FONT_FOLDER,
    Weight,
    font_size,
    font_table,
)
from harnessdoc.drawing.record import (
    BLACK,
    Arc,
    Circle,
    Drawing,
    Line,
    Link,
    Mark,
    Polyline,
    Rect,
    Text,
)

if TYPE_CHECKING:
    import svgwrite
    from svgwrite.base import BaseElement

NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
COMMON = "".join(map(chr, range(0x20, 0x7F))) + "°±²µ×Ω–…≤≥"
"""Always embedded, so that most sheets share one cut of the font and it is made once."""
CSS_WEIGHT: dict[Weight, str] = {"regular": "normal", "bold": "bold"}


def to_svg(drawing: Drawing) -> str:
    """The drawing as the text of an SVG file, XML declaration included."""
    import svgwrite

    width, height = number(drawing.width_mm), number(drawing.height_mm)
    paper = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False
    )
    paper["xml:space"] = "preserve"
    paper.defs.add(paper.style(_font_faces(drawing)))
    sheet = paper.g(
        fill="none",
        stroke=BLACK,
        stroke_linecap="round",
        stroke_linejoin="round",
        font_family=f"'{FAMILY}'",
        style="font-kerning:none;font-variant-ligatures:none",
    )
    sheet.add(paper.rect((0, 0), (width, height), fill="#FFFFFF", stroke="none"))
    for mark in drawing.marks:
        element = _element(paper, mark)
        if mark.tag:
            element["data-tag"] = _xml_safe(mark.tag)
        sheet.add(element)
    paper.add(sheet)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + paper.tostring() + "\n"


def number(value: float) -> str:
    """A length with at most three decimals, no trailing zeros, no minus zero."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _xml_safe(text: str) -> str:
    """A text without the characters that XML forbids, each replaced by U+FFFD."""
    return NOT_XML.sub("\ufffd", text)


def _stroke(width: float, dash: tuple[float, ...] = ()) -> dict[str, Any]:
    if not width:
        return {"stroke": "none"}
    style: dict[str, Any] = {"stroke_width": number(width)}
    if dash:
        style["stroke_dasharray"] = " ".join(map(number, dash))
    return style


def _filled(fill: str | None) -> dict[str, Any]:
    return {"fill": fill} if fill else {}


def _element(paper: svgwrite.Drawing, mark: Mark) -> BaseElement:
    n = number
    match mark:
        case Line():
            style = _stroke(mark.width, mark.dash)
            if mark.colour != BLACK:
                style["stroke"] = mark.colour
            return paper.line((n(mark.x1), n(mark.y1)), (n(mark.x2), n(mark.y2)), **style)
        case Polyline():
            points = [(n(x), n(y)) for x, y in mark.points]
            shape = paper.polygon if mark.closed else paper.polyline
            return shape(points, **_stroke(mark.width, mark.dash), **_filled(mark.fill))
        case Rect():
            return paper.rect(
                (n(mark.x), n(mark.y)),
                (n(mark.w), n(mark.h)),
                **_stroke(mark.width, mark.dash),
                **_filled(mark.fill),
            )
        case Circle():
            return paper.circle(
                (n(mark.cx), n(mark.cy)), n(mark.r), **_stroke(mark.width), **_filled(mark.fill)
            )
        case Arc():
            (x1, y1), (x2, y2) = mark.at(mark.start_deg), mark.at(mark.end_deg)
            large = int(mark.end_deg - mark.start_deg > 180)
            d = f"M{n(x1)} {n(y1)}A{n(mark.r)} {n(mark.r)} 0 {large} 1 {n(x2)} {n(y2)}"
            return paper.path(d=d, **_stroke(mark.width))
        case Text():
            x, y = map(n, mark.start())
            style = {
                "font_size": n(font_size(mark.height, mark.weight)),
                "fill": mark.colour,
                "stroke": "none",
            }
            if mark.weight != "regular":
                style["font_weight"] = CSS_WEIGHT[mark.weight]
            if mark.upright:
                style["transform"] = f"rotate(-90 {x} {y})"
            return paper.text(mark.text, x=_letters(mark), y=[y], **style)
        case Link():
            anchor = paper.a(f"{quote(_xml_safe(mark.target), safe='')}.svg", target="_self")
            anchor.add(
                paper.rect(
                    (n(mark.x), n(mark.y)),
                    (n(mark.w), n(mark.h)),
                    stroke="none",
                    fill="none",
                    pointer_events="all",
                )
            )
            return anchor


def _letters(mark: Text) -> list[str]:
    """Where each letter of a text starts, before it is turned upright."""
    widths = font_table(mark.weight).widths
    scale = font_size(mark.height, mark.weight) / 1000
    x = mark.start()[0]
    starts = []
    for letter in mark.text:
        starts.append(number(x))
        x += widths[letter] * scale
    return starts


def _font_faces(drawing: Drawing) -> str:
    """Style rules that carry the glyphs used, one for each weight used."""
    used: dict[Weight, set[str]] = {}
    for mark in drawing.marks:
        if isinstance(mark, Text):
            used.setdefault(mark.weight, set()).update(mark.text)
    rules = []
    for weight in FONT_FILES:
        if weight in used:
            data = _subset(weight, "".join(sorted(used[weight].union(COMMON))))
            rules.append(
                f"@font-face{{font-family:'{FAMILY}';font-weight:{CSS_WEIGHT[weight]};"
                f"src:url(data:font/woff;base64,{data})}}"
            )
    return "".join(rules)


@cache
def _subset(weight: Weight, characters: str) -> str:
    """The glyphs of these characters as a WOFF file in base64."""
    from fontTools import subset
    from fontTools.ttLib import TTFont

    font = TTFont(FONT_FOLDER / FONT_FILES[weight], recalcTimestamp=False)
    options = subset.Options(hinting=False, glyph_names=False, name_IDs=[1, 2, 13, 14])
    cutter = subset.Subsetter(options)
    cutter.populate(text=characters)
    cutter.subset(font)
    font.flavor = "woff"
    buffer = io.BytesIO()
    font.save(buffer, reorderTables=None)
    return base64.b64encode(buffer.getvalue()).decode("ascii")
