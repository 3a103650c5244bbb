"""The chart of fuses, fusible links and relays, of diodes and resistors, and of studs.

First the lid of every box as it is looked at, and what sits in none: the page for the
glove box. Then, for each: where it sits, what it is, and terminal by terminal the wires with the
sheet where they continue. Studs and tabs of devices stand here because they are in
no connector. A fuse's colour helps to find it; it is printed only where its type
and rating are known.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from itertools import zip_longest

from ..drawing.pen import Pen
from ..drawing.record import Area, Drawing
from ..drawing.table import Band, EmptyBox, LinkText
from ..model.harness import Box, Part
from ..network.cavity_order import counted
from ..revision.changes import Thing
from ..trade.fuses import fuse_colour
from .cautions import caution_lines
from .context import Context, SheetKind, SheetRef
from .flow import Drawn, Heading, Words, free_area
from .lid import LidMarks, draw_lid, lid_height, purpose, rating_words
from .lid_marks import lid_changes, lid_table
from .list_cells import known
from .marking import Draft, marked_pages
from .relay_words import coil_words, commands, relay_rating
from .stacks import Item, Lines, Stack
from .tables import WIRE_BLOCK, Blocks, Key, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN, WIRE_HEADS, has_source_colours, wire_lines

NARROW = 200.0
"""A page that leaves no more width than this has what is said of a fuse line by line."""
FUSES = ("fuse", "fusible link")
ROLES = {"1": "1, supply", "2": "2, load"}
"""What the terminals of a fuse or fusible link are called."""
FUSE_HEADS = {"id": "Position", "rating": "Rating", "fuse colour": "Fuse colour", "type": "Type", "feeds": "Feeds", "hot": "Hot when"}
LINK_HEADS = {"id": "Link", "link size": "Size", "rating": "Rating", "feeds": "Feeds", "hot": "Hot when"}
RELAY_HEADS = {"id": "Relay", "about": "", "value": ""}
OTHER_HEADS = {"id": "Part", "about": "", "value": ""}
PART_BLOCKS: Blocks = ((("terminal",), *WIRE_BLOCK), (("about", "value"),))
STUD_HEADS = {"id": "Terminal", "device": "Device", "function": "Function"}


def draw_fuses(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Tables of what the harness has: fuses, fusible links, relays, diodes and resistors, studs."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    harness = context.harness
    studs = [f"{device.id}.{terminal}" for device in harness.devices.values() for terminal in device.terminals]
    addresses = [*(f"{part.id}.{terminal}" for part in harness.parts.values() for terminal in part.terminals), *studs]
    for line in caution_lines(context, addresses):
        yield Words(line, "bold", tag="caution")
    yield from _lids(context)
    width = free_area(context.paper, "landscape").w
    wide = width > NARROW
    tables: tuple[tuple[str, tuple[str, ...], Mapping[str, str], Callable[[Context, Part], Lines]], ...] = (
        ("Fuses", ("fuse",), FUSE_HEADS if wide else {"id": "Position", "about": "", "value": ""}, partial(_fuse_lines, wide)),
        ("Fusible links", ("fusible link",), LINK_HEADS if wide else {"id": "Link", "about": "", "value": ""}, partial(_link_lines, wide)),
        ("Relays", ("relay",), RELAY_HEADS, _relay_lines),
        ("Diodes and resistors", ("diode", "resistor"), OTHER_HEADS, _other_lines),
    )
    for heading, kinds, heads, make_lines in tables:
        rows = list(_by_box(context, kinds, make_lines))
        if rows:
            yield Heading(heading)
            yield _table(context, heading, {**heads, "terminal": "Terminal"}, rows, addresses, width, ("feeds", "hot") if "feeds" in heads else ("value",), PART_BLOCKS)
        if rows and "fusible link" in kinds:
            yield Words("A fusible link is never under tape and never against plastic.")
    if studs:
        rows = [(((Thing.CONTACT, address),), Stack(_stud_lines(context, address), {"id": (address,)})) for address in studs]
        yield Heading("Studs and terminals of devices")
        yield _table(context, "Studs", STUD_HEADS, rows, studs, width, ("id", "device", "function"), (WIRE_BLOCK,))


def _lids(context: Context) -> Iterator[Draft]:
    """The lid of each box that has one, with what was there before; then the parts no lid shows."""
    harness, area = context.harness, free_area(context.paper, "landscape")
    with_lid = [box for box in harness.boxes.values() if box.lid]
    for box in with_lid:
        yield Heading(_box_words(context, box))
        changes = lid_changes(context, box)
        yield Drawn(lid_height(box, area.h), partial(_draw_lid, context, box, area, changes.marks))
        yield from lid_table(context, changes, area.w)
    if with_lid:
        on_lid = {position for box in with_lid for row in box.lid for position in row if position}
        apart = [part for part in harness.parts.values() if part.kind in (*FUSES, "relay") and part.id not in on_lid]
        if apart:
            yield Words(f"On no lid: {'; '.join(_apart_words(context, part) for part in apart)}.")
        yield Words("The colour of a fuse is that of makers' lists. It helps to find a fuse and decides nothing: the number printed on it does.")


def _draw_lid(context: Context, box: Box, area: Area, marks: LidMarks, pen: Pen, x: float, y: float) -> None:
    draw_lid(pen, context, box, x, y, area.w, area.h, marks)


def _apart_words(context: Context, part: Part) -> str:
    """``F1 80 A, battery: alternator``."""
    place = context.harness.place_of.get(part.id) or part.box
    said = ", ".join(filter(None, (f"{part.id} {rating_words(part)}".strip(), place)))
    return f"{said}: {purpose(part)}" if purpose(part) else said


def _table(context: Context, name: str, own: Mapping[str, str], rows: Iterable[tuple[Key, Band | Stack]], addresses: Iterable[str], width: float, grows: tuple[str, ...], blocks: Blocks) -> StackTable:
    """A table of the ``own`` columns and those of the wires; what is free beside them is shared by those that ``grows`` and the far ends."""
    heads = {**own, **WIRE_HEADS}
    if not has_source_colours(context, addresses):
        del heads["stated"]
    return StackTable((name,), heads, keyed_rows(rows), width, {"swatch": SWATCH_COLUMN}, (*grows, "ends", "through"), "id", blocks, ("function", "through"))


def _by_box(context: Context, kinds: tuple[str, ...], make_lines: Callable[[Context, Part], Lines]) -> Iterator[tuple[Key, Band | Stack]]:
    """Some kinds of part under the box they sit in, counted up; those in no box come last."""
    parts = sorted((part for part in context.harness.parts.values() if part.kind in kinds), key=lambda part: counted(part.id))
    for box in (*context.harness.boxes.values(), None):
        inside = [part for part in parts if part.box == (box.id if box else None)]
        if inside and context.harness.boxes:
            yield (("box", (Thing.BOX, box.id)), Band(_box_words(context, box))) if box else (("no box",), Band("In no box"))
        for part in inside:
            titles = [part.title] if part.title and part.kind not in FUSES else []      # that of a fuse stands under what it feeds
            yield ((Thing.PART, part.id),), Stack(make_lines(context, part), {"id": (_named(context, part), *titles)})


def _box_words(context: Context, box: Box) -> str:
    sheet = context.sheet_of.get(box.id)
    at = f", at {box.place}" if box.place else ""
    return f"{box.id} {box.title}".strip() + at + (f" → {sheet.number}" if sheet else "")


# ------------------------------------------------------------------------- the parts

def _fuse_lines(wide: bool, context: Context, part: Part) -> Lines:
    colour = fuse_colour(part.type, part.rating.value) if part.rating else None
    words = "" if colour is None else f"{colour.words} (makers differ)" if colour.varies else colour.words
    own: dict[str, Item] = {
        "rating": known(part.rating and part.rating.stated, "rating"), "fuse colour": words,
        "type": known(part.type, "type"), "feeds": part.feeds or part.title, "hot": hot_words(context, part),
    }
    return _beside([own] if wide else _under(own, FUSE_HEADS), _terminal_lines(context, part, ROLES))


def _link_lines(wide: bool, context: Context, part: Part) -> Lines:
    own: dict[str, Item] = {
        "link size": known(part.size and str(part.size), "size"), "rating": known(part.rating and part.rating.stated, "rating"),
        "feeds": part.feeds or part.title, "hot": hot_words(context, part),
    }
    return _beside([own] if wide else _under(own, LINK_HEADS), _terminal_lines(context, part, ROLES))


def _under(own: Mapping[str, Item], heads: Mapping[str, str]) -> list[dict[str, Item]]:
    """What stands in columns on a wide page, line by line."""
    return [{"about": head.lower(), "value": own[key]} for key, head in heads.items() if key != "id"]


def _relay_lines(context: Context, part: Part) -> Lines:
    stated = (("type", part.type), ("contacts", part.contacts), ("rating", relay_rating(context, part)), ("coil", coil_words(context, part)), ("across the coil", part.suppression))
    commanded: list[Item] = [*commands(context, part)] or [EmptyBox("commanded by")]
    lines: list[dict[str, Item]] = [{"about": name, "value": known(value, name)} for name, value in stated]
    lines += _beside([{"about": "commanded by"}], [{"value": item} for item in commanded])
    return _beside([*lines, {"about": "feeds", "value": known(part.feeds, "feeds")}], _terminal_lines(context, part, {}))


def _other_lines(context: Context, part: Part) -> Lines:
    stated = ((name, quantity.stated) for name, quantity in (("value", part.value), ("power", part.power), ("rating", part.rating)) if quantity)
    about = [("kind", part.kind), *([("type", part.type)] if part.type else []), *stated]
    return _beside([{"about": name, "value": value} for name, value in about], _terminal_lines(context, part, {}))


def _terminal_lines(context: Context, part: Part, roles: Mapping[str, str]) -> list[dict[str, Item]]:
    """The wires terminal by terminal; a terminal with nothing at it keeps its line, and a bar is named: the sheet of its box has what it joins."""
    lines: list[dict[str, Item]] = []
    for terminal in part.terminals:
        first, *others = wire_lines(context, f"{part.id}.{terminal}", behind_bar=0) or [{"ends": "nothing described"}]
        lines += [{"terminal": roles.get(terminal, terminal), **first}, *others]
    return lines


def _stud_lines(context: Context, address: str) -> Lines:
    contact = context.harness.contacts[address]
    device = context.harness.devices[contact.owner]
    sheet = context.sheet_of.get(device.id) if device.connectors else None
    own: dict[str, Item] = {"device": LinkText(device.title, sheet.name) if sheet else device.title, "function": contact.function}
    return _beside([own], wire_lines(context, address) or [{"ends": "nothing described"}])


def _beside(left: list[dict[str, Item]], right: list[dict[str, Item]]) -> list[dict[str, Item]]:
    """Two runs of lines side by side."""
    return [{**(one or {}), **(other or {})} for one, other in zip_longest(left, right)]


def _named(context: Context, part: Part) -> Item:
    """The id, with its sheet where the part is shown by itself on another one than this."""
    sheet = context.sheet_of.get(part.id)
    if sheet is None or sheet.kind is SheetKind.FUSES:
        return part.id
    return LinkText(f"{part.id} → {sheet.number}" if sheet.kind is SheetKind.RELAYS else part.id, sheet.name)


def hot_words(context: Context, part: Part) -> Item:
    """The key positions in which a lamp held to the part lights: of the wires that bring its supply, else of its circuit, else of its load wire."""
    harness, network = context.harness, context.network
    supply = network.islands[network.island_of[f"{part.id}.1"]]
    brings, takes = ([harness.wires[wire].circuit for address in addresses for wire in harness.wires_at.get(address, ())] for addresses in (supply, (f"{part.id}.2",)))
    for name in (*brings, part.circuit, *takes):
        circuit = harness.circuits.get(name)
        if circuit and circuit.hot is not None:
            return ", ".join(circuit.hot) or "never"
    return EmptyBox("hot")
