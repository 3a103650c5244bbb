"""Box sheets: the lid of a fuse and relay box, what sits in it, and its bars.

Takes a Context and the reference of a sheet about one box; gives its pages. The lid is
drawn as it is looked at, the view in words below it; a spare position is hatched, one
that is empty by description left out. Below: the fuses and fusible links in the order
of the lid with what feeds them and what they feed, the bars (copper that joins
terminals and is no wire), relays and other parts with their sheets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import zip_longest

from ..drawing.pen import Pen
from ..drawing.record import Drawing
from ..drawing.table import EmptyBox
from ..model.harness import Box, Part
from ..revision.changes import Thing
from ..trade.fuses import fuse_colour
from .cautions import caution_lines
from .context import Context, SheetRef
from .flags import flags_field
from .flow import Drawn, Heading, Words, free_area
from .head_marks import letter_of, renamed, with_changes
from .lid import draw_lid, lid_height
from .lid_marks import lid_changes, lid_table
from .list_cells import known, place_named, sheet_link
from .marking import Draft, marked_pages
from .relay_words import commands, relay_rating
from .stacks import Item, Stack
from .subject_head import Field, draw_fields, draw_title, fields_height, title_height
from .tables import WIRE_BLOCK, Blocks, Key, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN, WIRE_HEADS, WireLine, bars_at, end_item, has_source_colours, wire_lines

FUSES = ("fuse", "fusible link")
WIDE_ENOUGH = 240.0
"""From this width on every particular of a fuse has its column."""
JOINS_IN_LINE = 8
SUPPLY_BLOCK = (("supply",), ("source",))
"""The levels of the lines of what feeds a fuse."""


def draw_box(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of a box sheet; ``ref.subjects`` is the box."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    box = context.harness.boxes[ref.subjects[0]]
    area = free_area(context.paper, "landscape")
    parts = _parts(context, box)
    addresses = [*(f"{part.id}.{name}" for part in parts for name in part.terminals), *(bar.address for bar in box.bars)]
    for line in caution_lines(context, addresses):
        yield Words(line, "bold", tag="caution")
    yield _head(context, box, area.w)
    changes = lid_changes(context, box)
    if box.lid:
        yield Drawn(lid_height(box, area.h), lambda pen, x, y: draw_lid(pen, context, box, x, y, area.w, area.h, changes.marks))
    else:
        yield Words("The layout of the lid is not in the description.")
    yield from lid_table(context, changes, area.w)
    yield Words(f"Colours of wires in the letters of {context.convention}, base colour first. The colour of a fuse helps to find it and decides nothing.")
    yield from _tables(context, box, parts, area.w)


def _parts(context: Context, box: Box) -> list[Part]:
    """What sits in the box: in the order of the lid, then what the lid does not show."""
    inside = {part.id: part for part in context.harness.parts.values() if part.box == box.id}
    shown = [inside.pop(position) for row in box.lid for position in row if position in inside]
    return [*shown, *inside.values()]


def _head(context: Context, box: Box, width: float) -> Drawn:
    fields, named = [*flags_field(context, box.id), *_fields(context, box)], renamed(context, Thing.BOX, box.id, box.title)
    old_id = context.since.comparison.pairing.before(Thing.BOX, box.id) if context.since else None
    if context.since and old_id is not None:
        before = context.since.before
        fields = with_changes(fields, _fields(before, before.harness.boxes[old_id]))
    tag = f"box:{box.id}"

    def draw(pen: Pen, x: float, y: float) -> None:
        y = draw_title(pen, x, y, box.id, box.title, width, tag, named)
        draw_fields(pen, x, y, fields, width, tag, letter_of(context))

    return Drawn(title_height(box.id, box.title, width, named) + fields_height(fields, width), draw)


def _fields(context: Context, box: Box) -> list[Field]:
    fields: list[Field] = [("Place", (known(place_named(context.harness, context.harness.place_of.get(box.id)), "unknown:place"),))]
    return fields + [(caption, (text,)) for caption, text in (("Spare", ", ".join(box.spare)), ("Photo", box.photo), ("Note", box.note)) if text]


def _tables(context: Context, box: Box, parts: list[Part], width: float) -> Iterator[Draft]:
    fuses = [part for part in parts if part.kind in FUSES]
    relays = [part for part in parts if part.kind == "relay"]
    others = [part for part in parts if part.kind not in (*FUSES, "relay")]
    if fuses:
        yield Heading("Fuses")
        yield _fuse_table(context, fuses, width)
    if box.bars:
        yield Heading("Bars: copper that joins what is named, no wire")
        yield _bar_table(context, box, width)
    if relays:
        yield Heading("Relays")
        yield _relay_table(context, relays, width)
    if others:
        yield Heading("Other parts")
        yield _other_table(context, others, width)


def _table(context: Context, name: str, heads: dict[str, str], rows: Iterable[tuple[Key, Stack]], addresses: list[str], width: float, grows: str, named: str, blocks: Blocks) -> StackTable:
    if not has_source_colours(context, addresses):
        heads = {key: head for key, head in heads.items() if key != "stated"}
    fixed = {"swatch": SWATCH_COLUMN} if "swatch" in heads else {}
    return StackTable((name,), heads, keyed_rows(rows), width, fixed, (grows,), named, blocks, tag=name)


# ---------------------------------------------------------------------- fuses

def _fuse_table(context: Context, fuses: list[Part], width: float) -> StackTable:
    """On a narrow page rating, colour and type of a fuse stand one under another."""
    wide = width >= WIDE_ENOUGH
    kind = {"rating": "Rating", "tint": "Fuse colour", "type": "Type"} if wide else {"kind": "Rating, colour, type"}
    heads = {"position": "Position", **kind, "feeds": "Feeds", "supply": "Supply wire", "source": "Supply from", **WIRE_HEADS, "wire": "Load wire"}
    rows = [(_key(part), _fuse_row(context, part, wide)) for part in fuses]
    return _table(context, "fuses", heads, rows, [f"{part.id}.2" for part in fuses], width, "feeds", "position", (SUPPLY_BLOCK, WIRE_BLOCK))


def _key(part: Part, terminal: str = "") -> Key:
    """What a row of a part, or of one of its terminals, is found again by."""
    return ((Thing.PART, part.id), terminal)


def _fuse_row(context: Context, part: Part, wide: bool) -> Stack:
    colour = fuse_colour(part.type, part.rating.value) if part.rating else None
    tint = (f"{colour.words} (makers differ)" if colour.varies else colour.words) if colour else ""
    rating = part.rating.stated if part.rating else str(part.size) if part.size else EmptyBox("unknown:rating")
    what = part.kind if part.kind == "fusible link" else part.type or EmptyBox("unknown:type")
    whole: dict[str, tuple[Item, ...]] = {"position": (part.id,), "feeds": (part.feeds or part.title,)}
    whole |= {"rating": (rating,), "tint": (tint,), "type": (what,)} if wide else {"kind": tuple(item for item in (rating, tint, what) if item)}
    load = wire_lines(context, f"{part.id}.2") or [{"wire": EmptyBox("unknown:wire")}]
    supply = _supply_lines(context, f"{part.id}.1")
    return Stack([left | right for left, right in zip_longest(supply, load, fillvalue={})], whole)


def _supply_lines(context: Context, address: str) -> list[WireLine]:
    """What feeds a fuse: its wires with their far ends; a bar by its name, since it is told of below."""
    bars = list(bars_at(context.harness, address))
    lines: list[WireLine] = [{"supply": "bar", "source": end_item(context, bar.address)} for bar in bars]
    if context.harness.wires_at.get(address):
        named = {"wire": "supply", "ends": "source"}
        lines = [{named[key]: item for key, item in line.items() if key in named} for line in wire_lines(context, address) if line.get("wire") != "bar"] + lines
    return lines or [{"supply": EmptyBox("unknown:wire"), "source": EmptyBox("unknown:far end")}]


# ------------------------------------------------------------ bars and others

def _bar_table(context: Context, box: Box, width: float) -> StackTable:
    heads = {"bar": "Bar", "joins": "Joins", **WIRE_HEADS, "wire": "Wire on it"}
    rows: list[tuple[Key, Stack]] = []
    for bar in box.bars:
        contacts = context.harness.contacts
        here = [address for address in bar.joins if address in contacts and _is_inside(context, box, contacts[address].owner)]
        joins = [", ".join(here[start:start + JOINS_IN_LINE]) for start in range(0, len(here), JOINS_IN_LINE)]
        joins += [end_item(context, address) for address in bar.joins if address not in here]
        rows.append((((Thing.CONTACT, bar.address),), Stack(wire_lines(context, bar.address), {"bar": (bar.address,), "joins": tuple(joins)})))
    return _table(context, "bars", heads, rows, [bar.address for bar in box.bars], width, "joins", "bar", (WIRE_BLOCK,))


def _is_inside(context: Context, box: Box, owner: str) -> bool:
    part = context.harness.parts.get(owner)
    return owner == box.id or (part is not None and part.box == box.id)


def _relay_table(context: Context, relays: list[Part], width: float) -> StackTable:
    heads = {"position": "Position", "title": "Title", "type": "Type", "rating": "Rating", "command": "Commanded by", "feeds": "Feeds"}
    rows = [(_key(part), Stack([], {
        "position": (sheet_link(part.id, context.sheet_of.get(part.id)),), "title": (part.title,), "type": (part.type,),
        "rating": (known(relay_rating(context, part), "unknown:rating"),),
        "command": tuple(commands(context, part)) or (EmptyBox("unknown:commanded by"),), "feeds": (part.feeds or EmptyBox("unknown:feeds"),),
    })) for part in relays]
    return _table(context, "relays", heads, rows, [], width, "feeds", "position", ())


def _other_table(context: Context, parts: list[Part], width: float) -> StackTable:
    heads = {"position": "Part", "title": "Title", "value": "Kind, value", "terminal": "Terminal", **WIRE_HEADS}
    rows: list[tuple[Key, Stack]] = []
    for part in parts:
        values = tuple(quantity.stated for quantity in (part.value, part.power, part.rating) if quantity)
        for index, name in enumerate(part.terminals):
            said = {"position": (part.id,), "title": (part.title,), "value": (part.kind, *values)} if index == 0 else {}
            lines = wire_lines(context, f"{part.id}.{name}") or [{"wire": EmptyBox("unknown:wire")}]
            rows.append((_key(part, name), Stack(lines, {**said, "terminal": (name,)})))
    return _table(context, "other parts", heads, rows, [f"{part.id}.{name}" for part in parts for name in part.terminals], width, "title", "terminal", (WIRE_BLOCK,))
