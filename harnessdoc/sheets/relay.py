"""Relay sheets: each relay with its symbol, its terminals, what commands it and what it feeds.

Takes a Context and the reference of a sheet whose subjects are relays; gives its pages.
A relay stands as one piece: symbol at rest and particulars above, a row for each
terminal below with its meaning after DIN 72552, its wires and bars and where they
continue. ``relays_per_sheet`` says before any is drawn how many share a sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..drawing.page import Orientation, Paper
from ..drawing.pen import Pen
from ..drawing.record import Drawing, Point
from ..drawing.revision_marks import HIGH, SIDE, draw_cloud, draw_triangle
from ..drawing.symbols import LINK, REACH, Suppression, Terminals, coil, diode, make_contact, relay, resistor
from ..drawing.table import EmptyBox, Layout, Mark, draw_table
from ..model.harness import Part
from ..network.cavity_order import counted
from ..revision.changes import Thing
from ..trade.relays import terminals
from ..trade.tables import said
from .cautions import caution_lines
from .context import Context, SheetRef
from .flags import flagged, flags_field
from .flow import Drawn, Words, free_area
from .head_marks import gone_beside, letter_of, renamed, with_changes
from .list_cells import sheet_link
from .marking import Draft, marked_pages, marked_table
from .relay_words import coil_words, commands, relay_rating
from .stacks import HEAD, Item, Stack
from .subject_head import Field, draw_fields, draw_title, fields_height, title_height
from .tables import StackTable, keyed_rows, lay_table
from .wire_lines import SWATCH_COLUMN, WIRE_HEADS, has_source_colours, wire_lines

TALL = 200.0
"""A free height from which two relays share a sheet; with their cautions they fill it."""
UPRIGHT_WIDTH = 160.0
"""A page held upright must leave this much; a smaller one is turned."""
SYMBOL_WIDTH, SYMBOL_HEIGHT = 40.0, 25.0
TWO_CONTACTS_WIDTH = 10.0
"""A second contact takes this much more."""
COIL_AT = (14.0, 12.0)
"""The middle of the coil from the top left corner of the symbol."""
LEAD = 4.0
RING = 0.7
CONTACT_X, ACROSS_X = 12.5, 10.0
"""From the coil to the contact and to what is across it, as in ``symbols.relay``."""
GAP = 4.0
NOT_KNOWN = "unknown"


def relays_per_sheet(paper: Paper) -> int:
    """How many relays share a sheet of this paper."""
    return 2 if free_area(paper, _orientation(paper)).h >= TALL else 1


def draw_relays(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of a relay sheet; more than one where a relay has many far ends."""
    return marked_pages(context, ref, _blocks, _orientation(context.paper))


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    area = free_area(context.paper, _orientation(context.paper))
    parts = [context.harness.parts[name] for name in ref.subjects]
    addresses = [f"{part.id}.{terminal}" for part in parts for terminal in part.terminals]
    for line in caution_lines(context, addresses):
        yield Words(line, "bold", tag="caution")
    yield Words(f"Colours in the letters of {context.convention}, base colour first. Symbols at rest. {_origins(parts)}")
    for part in parts:
        yield from _together(_head(context, part, area.w), _marked(context, part, area.w), area.h)
    if context.since:
        before = context.since.before.harness.parts
        relays = [part.id for part in before.values() if part.kind == "relay"]
        for name in gone_beside(context, Thing.PART, relays, ref.subjects):
            yield Words("", was=", ".join(filter(None, (name, before[name].title))), mark=Mark(context.since.letter))


def _orientation(paper: Paper) -> Orientation:
    return "portrait" if free_area(paper, "portrait").w >= UPRIGHT_WIDTH else "landscape"


def _together(head: Drawn, table: Layout, height: float) -> tuple[Drawn | Layout, ...]:
    """Head and table as one piece that is not split, unless it is taller than a page."""
    total = head.height + GAP + table.height(0, len(table.rows))
    if total > height:
        return head, table

    def draw(pen: Pen, x: float, y: float) -> None:
        head.draw(pen, x, y)
        draw_table(pen, x, y + head.height + GAP, table)

    return (Drawn(total, draw),)


# ----------------------------------------------------------------------- head

def _head(context: Context, part: Part, width: float) -> Drawn:
    symbol_width = SYMBOL_WIDTH + (TWO_CONTACTS_WIDTH if part.contacts == "two 87" else 0.0)
    column = (width - symbol_width - GAP) / 2
    old = _before(context, part)
    left, right = _particulars(context, part), _work(context, part)
    if old and context.since:
        left, right = with_changes(left, _particulars(context.since.before, old)), with_changes(right, _work(context.since.before, old))
    named = renamed(context, Thing.PART, part.id, part.title)
    above = title_height(part.id, part.title, width, named)
    below = max(SYMBOL_HEIGHT, fields_height(left, column), fields_height(right, column))
    is_redrawn = old is not None and (old.contacts, old.suppression) != (part.contacts, part.suppression)
    tag, letter = f"relay:{part.id}", letter_of(context)

    def draw(pen: Pen, x: float, y: float) -> None:
        y = draw_title(pen, x, y, part.id, part.title, width, tag, named)
        draw_relay(pen, x + COIL_AT[0], y + COIL_AT[1], part, tag=tag)
        if is_redrawn:
            draw_cloud(pen, x, y, symbol_width - 1.0, SYMBOL_HEIGHT)
            draw_triangle(pen, x + symbol_width - SIDE - 2.5, y + SYMBOL_HEIGHT - HIGH - 1.5, letter)
        draw_fields(pen, x + symbol_width, y, left, column, tag, letter)
        draw_fields(pen, x + symbol_width + column + GAP, y, right, column, tag, letter)

    return Drawn(above + below, draw)


def _before(context: Context, part: Part) -> Part | None:
    """The same relay in the version before; None where there is none."""
    old_id = context.since.comparison.pairing.before(Thing.PART, part.id) if context.since else None
    return context.since.before.harness.parts[old_id] if context.since and old_id is not None else None


def _particulars(context: Context, part: Part) -> list[Field]:
    harness = context.harness
    place = harness.place_of.get(part.id)
    fields = flags_field(context, part.id)
    fields += [("Box", (sheet_link(part.box, context.sheet_of.get(part.box)),))] if part.box else []
    fields += [(caption, (_known(value, caption),)) for caption, value in (
        ("Place", place), ("Type", part.type), ("Rating", relay_rating(context, part)), ("Coil", coil_words(context, part)))]
    return fields


def _work(context: Context, part: Part) -> list[Field]:
    """Contacts and suppression, what commands the coil and what is fed."""
    fields: list[Field] = [
        ("Contacts", (_known(part.contacts, "contacts"),)), ("Across the coil", (_known(part.suppression, "suppression"),)),
        ("Commanded by", commands(context, part) or [EmptyBox("unknown:commanded by")]), ("Feeds", (_known(part.feeds, "feeds"),)),
    ]
    return fields + [(caption, (text,)) for caption, text in (("Note", part.note), ("Evidence", part.evidence)) if text]


def _known(text: str | None, what: str) -> Item:
    return text if text and text != NOT_KNOWN else EmptyBox(f"unknown:{what.lower()}")


# --------------------------------------------------------------------- symbol

def draw_relay(pen: Pen, x: float, y: float, part: Part, *, tag: str = "") -> None:
    """The symbol of a relay at rest, coil at x, y, each terminal with a lead and its number.

    Where the form of the contacts is not known a changeover stands, which has all terminals.
    """
    across: Suppression = part.suppression if part.suppression in ("diode", "resistor") else "none"
    if part.contacts == "break":
        ends = _draw_breaking(pen, x, y, across, tag)
    else:
        ends = relay(pen, x, y, changes_over=part.contacts in ("changeover", None), suppression=across, tag=tag)
    if part.contacts == "two 87":
        ends["87b"] = _draw_second(pen, x + CONTACT_X, y, tag)
    for end_x, end_y in ends.values():
        way = -1 if end_y < y else 1
        pen.line(end_x, end_y, end_x, end_y + way * LEAD, tag=tag)
        pen.circle(end_x, end_y + way * (LEAD + RING), RING, tag=tag)


def _draw_second(pen: Pen, x: float, y: float, tag: str) -> Point:
    """A second contact right of the first at x, on the same 30; returns 87b."""
    second = make_contact(pen, x + TWO_CONTACTS_WIDTH, y, tag=tag)
    joint = y - REACH - LEAD / 2
    pen.polyline([(x, joint), (x + TWO_CONTACTS_WIDTH, joint), second["30"]], tag=tag)
    pen.dot(x, joint, tag=tag)
    pen.line(x - 0.9, y, x + TWO_CONTACTS_WIDTH - 0.9, y, dash=LINK, tag=tag)
    _write_number(pen, second["87"], y, "87b", tag)
    return second["87"]


def _draw_breaking(pen: Pen, x: float, y: float, across: Suppression, tag: str) -> Terminals:
    """A relay with one contact that is closed at rest: blade on 87a."""
    contact_x = x + CONTACT_X
    ends = coil(pen, x, y, tag=tag) | {"30": (contact_x, y - REACH), "87a": (contact_x - 2.5, y + REACH)}
    pen.polyline([ends["30"], (contact_x, y - 2.5), (contact_x - 1.9, y + 2.9)], tag=tag)
    pen.polyline([(contact_x - 1.5, y + 2.5), (contact_x - 2.5, y + 2.5), ends["87a"]], tag=tag)
    pen.line(x + 3.5, y, contact_x - 0.9, y, dash=LINK, tag=tag)
    if across != "none":
        beside = diode(pen, x - ACROSS_X, y, turn=180, tag=tag) if across == "diode" else resistor(pen, x - ACROSS_X, y, tag=tag)
        for end_x, end_y in beside.values():
            pen.line(end_x, end_y, x, end_y, tag=tag)
            pen.dot(x, end_y, tag=tag)
    for name, end in ends.items():
        _write_number(pen, end, y, name, tag)
    return ends


def _write_number(pen: Pen, end: Point, middle: float, name: str, tag: str) -> None:
    """The number of a terminal beside it, as ``symbols.relay`` writes them."""
    pen.text(end[0] + 0.8, end[1] + (HEAD if end[1] < middle else -0.2), name, HEAD, tag=tag)


# ---------------------------------------------------------------------- table

def _marked(context: Context, part: Part, width: float) -> Layout:
    """The table of a relay; where it was in the version before, with what differs in it."""
    old = _before(context, part)
    if old is None:
        return lay_table(flagged(context, _table(context, part, width)))
    return lay_table(marked_table(context, lambda of: flagged(context, _table(of, part, width)) if of is context else _table(of, old, width)))


def _table(context: Context, part: Part, width: float) -> StackTable:
    addresses = [f"{part.id}.{name}" for name in part.terminals]
    heads = {"terminal": "Terminal", "meaning": "Meaning", **WIRE_HEADS}
    if not has_source_colours(context, addresses):
        del heads["stated"]
    rows = keyed_rows((((Thing.CONTACT, address),), Stack(wire_lines(context, address) or [{"wire": EmptyBox("unknown:wire")}], {"terminal": (name,), "meaning": (meaning_of(name),)}))
                      for name, address in zip(part.terminals, addresses, strict=True))
    return StackTable((f"relay:{part.id}",), heads, rows, width, {"swatch": SWATCH_COLUMN}, ("ends", "through"), "terminal", tag=f"relay:{part.id}")


def meaning_of(name: str) -> str:
    """What a terminal of a relay is; the table names what else carries the same number before it."""
    return terminals()[name].meaning.rpartition("; ")[2]


def _origins(parts: Sequence[Part]) -> str:
    """Where the meanings of the terminals come from, terminals of one origin together."""
    by_origin: dict[str, list[str]] = {}
    for name in sorted({name for part in parts for name in part.terminals}, key=counted):
        fact = terminals()[name]
        by_origin.setdefault(said(fact.origin, fact.mark), []).append(name)
    return " ".join(f"Terminals {', '.join(names)}: {origin}." for origin, names in by_origin.items())
