"""The bundle cut across in each grommet: what lies there, how thick it is, and what room is left.

Takes a Context and the reference of the sheet; gives its pages: a table of all grommets with the
diameter by packing and by the estimate, splices, bore, free room and verdict; then of each grommet its
pictures to scale, one for the fullest part between splices and one for each place of splices, and a key
of all that lies in it. A circle bears the number of its wire; one that does not go
into its circle at any scale the page holds is a letter of the key.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import count
from math import floor

from ..drawing.pen import Pen
from ..drawing.record import Drawing
from ..drawing.table import CellContent, Column
from ..geometry.passage import Item, Packed, Passage, Section, passages
from ..model.harness import Segment
from ..network.cavity_order import counted
from ..revision.changes import Thing
from ..trade.colours import Colour
from .context import Context, SheetRef
from .flow import Drawn, Heading, Words, free_area
from .list_cells import known, listed, swatch_cell
from .marking import Draft, marked_pages
from .section_drawing import Face, Fit, draw_section, drawn_height, fit_section, scale_words
from .tables import Key, PlainRow, PlainTable, keyed_rows
from .wire_lines import SWATCH_COLUMN

CAPTION = 9.0
"""Room above a picture for its scale and what it shows."""
LARGE, NOTE = 5.0, 1.8
BESIDE = 26.0
"""From the scale to the words beside it."""
NARROW = 150.0
"""On a page that leaves less the key stands in one column of rows."""
INCH_MM = 25.4
ALPHABET = "ABCDEFGHKLMNPRSTUVWXYZ"
"""Without the letters that look like numbers or hang below the line."""
KINDS = {"wire": Thing.WIRE, "cable": Thing.CABLE, "splice": Thing.SPLICE}
"""In the order of the key."""
Named = tuple[str, str]
"""Kind and id of an item."""


def draw_cross_sections(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The table of grommets, then pictures and key of each."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    area = free_area(context.paper, "portrait")
    found = passages(context.harness, context.geometry)
    yield Words("The bundle in each grommet, cut across. By packing: the tightest found; laid by hand a bundle is thicker. "
                "By estimate: 1.2 times the root of the sum of squared diameters, at least the two thickest side by side (common practice). "
                "The larger of the two counts; the covering is not in it. Where along its segment a grommet sits is not stated: the thickest place counts.")
    yield _table(context, found, area.w)
    for passage in found:
        if passage.unknown:
            yield Words(f"{passage.segment}: no diameter is known of {listed(_said(item) for item in passage.unknown)}; the bundle is thicker than shown.", "bold")
    for passage in found:
        yield from _one(context, passage, area.w, area.h)


# ------------------------------------------------------------------------------ the table

def _table(context: Context, found: Sequence[Passage], width: float) -> PlainTable:
    rows = [_row(context, passage, packed) for passage in found for packed in passage.sections]
    narrow = width < NARROW
    columns = (Column("Segment, where"), Column("In it", 18 if narrow else 20, anchor="end"), Column("By packing, by estimate", 18 if narrow else 28, anchor="end"),
               Column("Bore", 16 if narrow else 20, anchor="end"), Column("Room left, share of the bore", 18 if narrow else 28, anchor="end"),
               Column("Verdict", 17 if narrow else 26))
    return PlainTable(("grommets",), columns, keyed_rows(rows), width)


def _row(context: Context, passage: Passage, packed: Packed) -> tuple[Key, PlainRow]:
    section, segment = packed.section, context.harness.segments[passage.segment]
    key: Key = ((Thing.SEGMENT, passage.segment), *((Thing.SPLICE, splice) for splice in section.splices))
    counts: tuple[CellContent, ...] = (str(len(section.items) + len(section.unknown)), *((f"{len(section.unknown)} unknown",) if section.unknown else ()))
    return key, (
        (passage.segment, _where(context, segment, section)), counts, (_diameter(context, packed.packing.diameter), _diameter(context, section.estimate_mm or 0.0)),
        _diameter(context, passage.bore_mm), (_diameter(context, passage.room_beside(packed)), _per_cent(passage.free_beside(packed))), _verdict(passage.lets_through(packed)),
    )


def _per_cent(share: float) -> str:
    """Rounded down, so that no bore is called empty that is not."""
    whole = floor(share * 100)
    return f"{'−' if whole < 0 else ''}{abs(whole)} %"


def _verdict(passes: bool | None) -> str:
    return {True: "goes through", False: "too thick", None: "not known"}[passes]


def _where(context: Context, segment: Segment, section: Section) -> str:
    """``at splice S4, 120 mm from P1``, ``120 mm to 400 mm from P1``, ``P1 to P2``."""
    length = segment.length_mm
    if not section.splices:
        ends = f"{segment.from_} to {segment.to}"
        if section.from_mm is None or section.to_mm is None or (section.from_mm == 0.0 and section.to_mm == length):
            return ends
        return f"{context.mm(section.from_mm)} to {context.mm(section.to_mm)} from {segment.from_}"
    at = "" if section.from_mm is None else f", {context.mm(section.from_mm)} from {segment.from_}"
    return f"at splice {', '.join(section.splices)}{at}"


def _diameter(context: Context, mm: float) -> str:
    """In mm with one decimal, in inches with two, as a tenth of an inch says little of a wire."""
    sign = "−" if mm < 0 else ""
    return f"{sign}{abs(mm) / INCH_MM:.2f} in" if context.options.units == "in" else f"{sign}{context.mm(abs(mm))}"


# --------------------------------------------------------------------------- one grommet

def _one(context: Context, passage: Passage, width: float, height: float) -> Iterator[Draft]:
    """Heading, pictures and key of a grommet."""
    segment = context.harness.segments[passage.segment]
    named = _named(passage)
    room = min(width, height - CAPTION - 10.0)
    numbers = _numbers(named)
    without_source = any(number != one[1] for one, number in numbers.items())
    fits = _fits(passage, numbers, room)
    too_long = {(item.kind, item.id) for packed, fit in zip(passage.sections, fits, strict=True) for item in (packed.section.items[index] for index in fit.unnumbered)}
    free = (text for text in map(_letters, count()) if text not in numbers.values())
    letters = {one: text for one, text in zip((one for one in named if one in too_long), free)}
    if letters:
        numbers |= letters
        fits = _fits(passage, numbers, room)
    faces = {one: _face(context, one, numbers[one]) for one in named}
    yield Heading(f"{passage.segment}, {segment.from_} to {segment.to}: grommet {_diameter(context, passage.bore_mm)}")
    for packed, fit in zip(passage.sections, fits, strict=True):
        if packed.section.items:
            yield Drawn(CAPTION + drawn_height(packed, passage.bore_mm, fit), partial(_draw, context, passage, packed, faces, fit, without_source, width))
    yield _key(context, passage, named, letters, width)


def _numbers(named: Sequence[Named]) -> dict[Named, str]:
    """What stands for each in its circle: its id, in a merge without the name of its source where no two are then alike."""
    short = {one: one[1].rpartition("/")[2] for one in named}
    counts = Counter(short.values())
    return {one: text if counts[text] == 1 else one[1] for one, text in short.items()}


def _letters(place: int) -> str:
    """``A``, ``B``, ... ``Z``, ``AA``, ``AB``: letters, as most wires have numbers."""
    before, last = divmod(place, len(ALPHABET))
    return (_letters(before - 1) if before else "") + ALPHABET[last]


def _named(passage: Passage) -> list[Named]:
    """Everything in a grommet, each once: wires, cables, splices, those without a diameter too."""
    every = dict.fromkeys((item.kind, item.id) for packed in passage.sections for item in (*packed.section.items, *packed.section.unknown))
    order = list(KINDS)
    return sorted(every, key=lambda one: (order.index(one[0]), counted(one[1])))


def _fits(passage: Passage, numbers: Mapping[Named, str], room: float) -> list[Fit]:
    return [fit_section(packed, passage.bore_mm, [numbers[item.kind, item.id] for item in packed.section.items], room) for packed in passage.sections]


def _face(context: Context, one: Named, number: str) -> Face:
    colour = _colour(context, one)
    return Face(number, context.colour(colour), colour, ":".join(one))


def _colour(context: Context, one: Named) -> Colour | None:
    """Of the insulation or jacket; a splice has none."""
    kind, id = one
    return None if kind == "splice" else (context.harness.wires if kind == "wire" else context.harness.cables)[id].colour


def _said(item: Item) -> str:
    return f"{item.kind} {item.id}"


def _draw(context: Context, passage: Passage, packed: Packed, faces: Mapping[Named, Face], fit: Fit, without_source: bool, width: float, pen: Pen,
          x: float, y: float) -> None:
    """Scale, what it shows, and the picture."""
    segment = context.harness.segments[passage.segment]
    pen.text(x, y + LARGE, scale_words(fit.scale), LARGE, weight="bold", tag="scale")
    lines = pen.wrap(f"{_where(context, segment, packed.section)}. {_read(fit, without_source)}", width - BESIDE, NOTE)[:3]
    for place, line in enumerate(lines):
        pen.text(x + BESIDE, y + 2.2 + place * 2.9, line, NOTE, tag="note")
    draw_section(pen, x, y + CAPTION, width, packed, passage.bore_mm, [faces[item.kind, item.id] for item in packed.section.items], fit)


def _read(fit: Fit, without_source: bool) -> str:
    words = "Wide line: bore of the grommet. Dashed: the bundle by estimate. Circles packed as tightly as was found."
    if not fit.whole:
        words += " Of the bore only the foot is drawn."
    if without_source:
        words += " Numbers stand without the name of their source, which the key has."
    if fit.unnumbered:
        words += f" {len(fit.unnumbered)} circles are too small for a number or a letter."
    return words


def _key(context: Context, passage: Passage, named: Sequence[Named], letters: Mapping[Named, str], width: float) -> PlainTable:
    """What lies in a grommet: the letters that stand for a number in its circle, id, size, colour, diameter."""
    diameters = {(item.kind, item.id): item.diameter_mm for packed in passage.sections for item in (*packed.section.items, *packed.section.unknown)}
    columns = [*([Column("In circle", 12.0)] if letters else [])]
    columns += [Column("Wire"), Column("Size", 17.0), Column("Colour", weight=0.8), Column("", SWATCH_COLUMN), Column("Diameter", 16.0, anchor="end")]
    rows: list[tuple[Key, PlainRow]] = []
    for one in named:
        kind, id = one
        colour, diameter = _colour(context, one), diameters[one]
        wire = context.harness.wires[id] if kind == "wire" else None
        rows.append((((KINDS[kind], id),), (
            *([letters.get(one, "")] if letters else []), id if wire else f"{kind} {id}", known(str(wire.size) if wire.size else "", "size") if wire else "",
            "" if kind == "splice" else known(context.colour(colour), "colour"), swatch_cell(colour),
            known(None if diameter is None else _diameter(context, diameter), "diameter"),
        )))
    return PlainTable(("key", (Thing.SEGMENT, passage.segment)), tuple(columns), keyed_rows(rows), width, named=1 if letters else 0, free=frozenset({0} if letters else ()),
                      across=1 if width < NARROW else 2, is_flagged=False)
