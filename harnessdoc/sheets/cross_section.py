"""The bundle cut across at each named station and in each grommet: what lies there, how thick it is, and what room is left.

Takes a Context and the reference of the sheet; gives its pages: a table of all stations with the diameter by
packing, by the estimate and over the covering, and one of all grommets with bore, free room and verdict; then of each station its picture to
scale, of each grommet one for the fullest part between splices and one for each place of splices, and a key of all that lies in it. A circle bears the number of its wire; one that does not go
into its circle at any scale the page holds is a letter of the key. The wires of a twisted pair have a second ring, and the key names the pair.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import count
from math import floor

from ..drawing.pen import Pen
from ..drawing.record import Drawing
from ..drawing.table import CellContent, Column
from ..geometry.cuts import Cut, cuts
from ..geometry.passage import Item, Packed, Passage, Section, passages
from ..model.harness import Segment
from ..network.cavity_order import counted
from ..revision.changes import Thing
from ..trade.colours import Colour
from .context import Context, SheetRef
from .flow import Drawn, Heading, Words, free_area
from .list_cells import known, listed, swatch_cell
from .marking import Draft, marked_pages
from .section_drawing import BORE, COVERING, Face, Fit, Round, draw_section, drawn_height, fit_section, is_estimate_drawn, scale_words
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


@dataclass(frozen=True, slots=True)
class View:
    """A station or a grommet as it is drawn: its heading, its name for the version before, sections with where each is, what is round them."""

    heading: str
    key: Key
    sections: tuple[tuple[str, Packed], ...]
    around: Round

    @property
    def named(self) -> tuple[Named, ...]:
        """Everything in it, each once: wires, cables, splices, those without a diameter too."""
        every = dict.fromkeys((item.kind, item.id) for _, packed in self.sections for item in (*packed.section.items, *packed.section.unknown))
        order = list(KINDS)
        return tuple(sorted(every, key=lambda one: (order.index(one[0]), counted(one[1]))))

    @property
    def drawn(self) -> list[tuple[str, Packed]]:
        """The sections in which something has a diameter."""
        return [(where, packed) for where, packed in self.sections if packed.section.items]


def draw_cross_sections(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The tables of stations and of grommets, then pictures and key of each."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    area = free_area(context.paper, "portrait")
    stations, grommets = cuts(context.harness, context.geometry), passages(context.harness, context.geometry)
    yield Words("The bundle cut across. By packing: the tightest found; laid by hand a bundle is thicker. "
                "By estimate: 1.2 times the root of the sum of squared diameters, at least the two thickest side by side (common practice). "
                "The larger of the two counts.")
    if stations:
        yield Words("At each named station. Outside: over the covering, where its wall is stated.")
        yield _table_of_stations(context, stations, area.w)
    for cut in stations:
        yield from _not_known(f"station {cut.name} of {cut.segment}", cut.packed.section.unknown)
    if grommets:
        yield Words("In each grommet. The covering is not reckoned. Where along its segment a grommet sits is not stated: the thickest place counts.")
        yield _table_of_grommets(context, grommets, area.w)
    for passage in grommets:
        yield from _not_known(passage.segment, passage.unknown)
    for view in (*(_of_station(context, cut) for cut in stations), *(_of_grommet(context, passage) for passage in grommets)):
        yield from _one(context, view, area.w, area.h)


def _not_known(where: str, items: Sequence[Item]) -> Iterator[Words]:
    if items:
        yield Words(f"{where}: no diameter is known of {listed(_said(item) for item in items)}; the bundle is thicker than shown.", "bold")


def _of_station(context: Context, cut: Cut) -> View:
    segment = context.harness.segments[cut.segment]
    outside = cut.outside_mm
    splices = cut.packed.section.splices
    where = f"{context.mm(cut.at_mm)} from {segment.from_}" + (f", at splice {listed(splices)}" if splices else "")
    heading = f"{cut.segment}, {segment.from_} to {segment.to}: station {cut.name}" + ("" if outside is None else f", {_diameter(context, outside)} outside")
    return View(heading, ((Thing.SEGMENT, cut.segment), f"station {cut.name}"), ((where, cut.packed),), Round(COVERING, outside or 0.0))


def _of_grommet(context: Context, passage: Passage) -> View:
    segment = context.harness.segments[passage.segment]
    return View(f"{passage.segment}, {segment.from_} to {segment.to}: grommet {_diameter(context, passage.bore_mm)}", ((Thing.SEGMENT, passage.segment),),
                tuple((_where(context, segment, packed.section), packed) for packed in passage.sections), Round(BORE, passage.bore_mm))


# ----------------------------------------------------------------------------- the tables

def _table_of_stations(context: Context, found: Sequence[Cut], width: float) -> PlainTable:
    narrow = width < NARROW
    columns = (Column("Station, where"), Column("In it", 18 if narrow else 20, anchor="end"), Column("By packing, by estimate", 18 if narrow else 28, anchor="end"),
               Column("Covering, its wall", None if narrow else 40), Column("Outside", 16 if narrow else 26, anchor="end"))
    return PlainTable(("stations",), columns, keyed_rows([_row_of_station(context, cut) for cut in found]), width)


def _row_of_station(context: Context, cut: Cut) -> tuple[Key, PlainRow]:
    section, segment, outside = cut.packed.section, context.harness.segments[cut.segment], cut.outside_mm
    wall = "wall not known" if cut.wall_mm is None else _diameter(context, cut.wall_mm)
    return ((Thing.SEGMENT, cut.segment), cut.name), (
        (cut.name, f"{cut.segment}, {context.mm(cut.at_mm)} from {segment.from_}"), _counts(section),
        (_diameter(context, cut.packed.packing.diameter), _diameter(context, section.estimate_mm or 0.0)), (segment.covering or "none described", wall),
        known(None if outside is None else _diameter(context, outside), "outside"),
    )


def _counts(section: Section) -> tuple[CellContent, ...]:
    return (str(len(section.items) + len(section.unknown)), *((f"{len(section.unknown)} unknown",) if section.unknown else ()))


def _table_of_grommets(context: Context, found: Sequence[Passage], width: float) -> PlainTable:
    rows = [_row(context, passage, packed) for passage in found for packed in passage.sections]
    narrow = width < NARROW
    columns = (Column("Segment, where"), Column("In it", 18 if narrow else 20, anchor="end"), Column("By packing, by estimate", 18 if narrow else 28, anchor="end"),
               Column("Bore", 16 if narrow else 20, anchor="end"), Column("Room left, share of the bore", 18 if narrow else 28, anchor="end"),
               Column("Verdict", 17 if narrow else 26))
    return PlainTable(("grommets",), columns, keyed_rows(rows), width)


def _row(context: Context, passage: Passage, packed: Packed) -> tuple[Key, PlainRow]:
    section, segment = packed.section, context.harness.segments[passage.segment]
    key: Key = ((Thing.SEGMENT, passage.segment), *((Thing.SPLICE, splice) for splice in section.splices))
    return key, (
        (passage.segment, _where(context, segment, section)), _counts(section), (_diameter(context, packed.packing.diameter), _diameter(context, section.estimate_mm or 0.0)),
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


# -------------------------------------------------------------- one station or grommet

def _one(context: Context, view: View, width: float, height: float) -> Iterator[Draft]:
    """Heading, pictures and key."""
    named, drawn = view.named, view.drawn
    room = min(width, height - CAPTION - 10.0)
    numbers = _numbers(named)
    without_source = any(number != one[1] for one, number in numbers.items())
    fits = _fits(view, numbers, room)
    too_long = {(item.kind, item.id) for packed, fit in zip((packed for _, packed in drawn), fits, strict=True) for item in (packed.section.items[index] for index in fit.unnumbered)}
    free = (text for text in map(_letters, count()) if text not in numbers.values())
    letters = {one: text for one, text in zip((one for one in named if one in too_long), free)}
    if letters:
        numbers |= letters
        fits = _fits(view, numbers, room)
    faces = {one: _face(context, one, numbers[one]) for one in named}
    yield Heading(view.heading)
    for (where, packed), fit in zip(drawn, fits, strict=True):
        yield Drawn(CAPTION + drawn_height(packed, view.around, fit), partial(_draw, where, view.around, packed, faces, fit, without_source, width))
    if named:
        yield _key(context, view, letters, width)


def _numbers(named: Sequence[Named]) -> dict[Named, str]:
    """What stands for each in its circle: its id, in a merge without the name of its source where no two are then alike."""
    short = {one: one[1].rpartition("/")[2] for one in named}
    counts = Counter(short.values())
    return {one: text if counts[text] == 1 else one[1] for one, text in short.items()}


def _letters(place: int) -> str:
    """``A``, ``B``, ... ``Z``, ``AA``, ``AB``: letters, as most wires have numbers."""
    before, last = divmod(place, len(ALPHABET))
    return (_letters(before - 1) if before else "") + ALPHABET[last]


def _fits(view: View, numbers: Mapping[Named, str], room: float) -> list[Fit]:
    return [fit_section(packed, view.around, [numbers[item.kind, item.id] for item in packed.section.items], room) for _, packed in view.drawn]


def _face(context: Context, one: Named, number: str) -> Face:
    colour = _colour(context, one)
    return Face(number, context.colour(colour), colour, ":".join(one), _pair(context, one))


def _pair(context: Context, one: Named) -> str:
    """The twisted pair of a wire; "" for none."""
    return (context.harness.wires[one[1]].pair or "") if one[0] == "wire" else ""


def _colour(context: Context, one: Named) -> Colour | None:
    """Of the insulation or jacket; a splice has none."""
    kind, id = one
    return None if kind == "splice" else (context.harness.wires if kind == "wire" else context.harness.cables)[id].colour


def _said(item: Item) -> str:
    return f"{item.kind} {item.id}"


def _draw(where: str, around: Round, packed: Packed, faces: Mapping[Named, Face], fit: Fit, without_source: bool, width: float, pen: Pen, x: float, y: float) -> None:
    """Scale, what it shows, and the picture."""
    pen.text(x, y + LARGE, scale_words(fit.scale), LARGE, weight="bold", tag="scale")
    lines = pen.wrap(f"{where}. {_read(packed, around, fit, without_source, any(faces[item.kind, item.id].pair for item in packed.section.items))}", width - BESIDE, NOTE)[:3]
    for place, line in enumerate(lines):
        pen.text(x + BESIDE, y + 2.2 + place * 2.9, line, NOTE, tag="note")
    draw_section(pen, x, y + CAPTION, width, packed, around, [faces[item.kind, item.id] for item in packed.section.items], fit)


def _read(packed: Packed, around: Round, fit: Fit, without_source: bool, has_pairs: bool) -> str:
    words = {BORE: "Wide line: bore of the grommet. ", COVERING: "Wide line: the covering, outside. "}[around.tag] if around.diameter_mm else ""
    words += "Dashed: the bundle by estimate. " if is_estimate_drawn(packed) else ""
    words += "Two rings: of a twisted pair, named in the key. " if has_pairs else ""
    words += "Circles packed as tightly as was found."
    if not fit.whole:
        words += f" Of the {around.tag} only the foot is drawn."
    if without_source:
        words += " Numbers stand without the name of their source, which the key has."
    if fit.unnumbered:
        words += f" {len(fit.unnumbered)} circles are too small for a number or a letter."
    return words


def _key(context: Context, view: View, letters: Mapping[Named, str], width: float) -> PlainTable:
    """What lies in it: the letters that stand for a number in its circle, id, size, colour, diameter, the twisted pair."""
    diameters = {(item.kind, item.id): item.diameter_mm for _, packed in view.sections for item in (*packed.section.items, *packed.section.unknown)}
    columns = [*([Column("In circle", 12.0)] if letters else [])]
    columns += [Column("Wire"), Column("Size", 17.0), Column("Colour", weight=0.8), Column("", SWATCH_COLUMN), Column("Diameter", 16.0, anchor="end")]
    pairs = {one: pair for one in view.named if (pair := _pair(context, one))}
    columns += [Column("Pair", 14.0)] if pairs else []
    rows: list[tuple[Key, PlainRow]] = []
    for one in view.named:
        kind, id = one
        colour, diameter = _colour(context, one), diameters[one]
        wire = context.harness.wires[id] if kind == "wire" else None
        rows.append((((KINDS[kind], id),), (
            *([letters.get(one, "")] if letters else []), id if wire else f"{kind} {id}", known(str(wire.size) if wire.size else "", "size") if wire else "",
            "" if kind == "splice" else known(context.colour(colour), "colour"), swatch_cell(colour),
            known(None if diameter is None else _diameter(context, diameter), "diameter"), *([pairs.get(one, "")] if pairs else []),
        )))
    return PlainTable(("key", *view.key), tuple(columns), keyed_rows(rows), width, named=1 if letters else 0, free=frozenset({0} if letters else ()),
                      across=1 if width < NARROW else 2, is_flagged=False)
