"""Pinout sheets: one connector, or the two mated halves of an in-line connector.

Takes a Context and the reference of a sheet; gives its pages. The pages lie across
(landscape): a table with all columns at 2.5 mm lettering then needs no second line for
most rows, so that a finger follows one cavity from wire to far end. Cavities are
counted up whatever their order on the face; the face above shows where they are.

Mated halves share one table with the cavity in the middle, the wire of one half left
of it and that of the other right: at an in-line connector the question is always what
meets what. On a paper too narrow for that (A5) the halves stand one under the other;
there signal stands below function, and seal below terminal. Nothing is left out.

Where the circuit is solved, the volts to expect stand left of the box for the value: a
column a state (the seal then stands below the terminal), or two states one under the other in
the table of two halves. On narrow paper they have a table of their own, and the box goes with them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest

from ..drawing.lettering import cut
from ..drawing.pen import Pen
from ..drawing.record import Area, Drawing
from ..drawing.table import Band, Column, EmptyBox
from ..model.harness import Connector, Contact
from ..network.cavity_order import counted
from ..network.neighbours import cavities_of
from ..revision.changes import Thing
from ..trade.signals import signals
from .cautions import caution_lines, cautions_of
from .connector_head import connector_head, has_empty
from .context import Context, SheetRef
from .flags import names_at
from .flow import Drawn, Words, free_area
from .marking import Draft, marked_pages
from .pinout_readings import NO_READINGS, Readings, readings_of, readings_remark
from .pinout_remarks import empty_line, empty_uses, fitting_fields, is_joined, is_row, remarks
from .stacks import HEAD, Item, Stack, Strong
from .tables import WIRE_BLOCK, Blocks, Key, Keyed, PlainTable, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN, WIRE_HEADS, WireLine, has_source_colours, wire_lines

WIDE_ENOUGH = 240.0
"""From this width on a table has all columns, and mated halves share one."""
VALUE_WIDTH, NARROW_VALUE_WIDTH, APART_VALUE_WIDTH = 20.0, 15.0, 24.0
"""Of the box for the value; narrow beside expected ones too: there it is a number that is written; in a table of its own UNPROBED stands on one line."""
UNPROBED = "do not probe"
"""Stands where a value would be written, in circuits of an airbag."""
FREE = "empty"
UNDIRECTED = ("maker", "spare")
"""Kinds of signal of which nobody can say which way they go."""
HALVES_GAP = 6.0
_HALF_KEYS = ("wire", "size", "colour", "swatch", "through", "ends")
_MATED_BLOCKS: Blocks = tuple(((f"{side}wire", f"{side}size", f"{side}colour", f"{side}swatch"), (f"{side}ends", f"{side}through")) for side in "01")


def draw_pinout(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of a pinout sheet; ``ref.subjects`` is a connector, or both halves of an in-line one."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    """The blocks of a sheet; of the version before one of two halves may not be there (its name is "")."""
    area = free_area(context.paper, "landscape")
    halves = [context.harness.connectors.get(name) for name in ref.subjects]
    of_all = cavities_of(context.harness)
    contacts = [[context.harness.contacts[f"{half.id}.{cavity}"] for cavity in sorted(of_all[half.id], key=counted)] if half else [] for half in halves]
    addresses = [contact.address for half in contacts for contact in half]
    for line in caution_lines(context, addresses):
        yield Words(line, "bold", tag="caution")
    with_legend = next((half.id for half, its in zip(halves, contacts, strict=True) if half and has_empty(half, _wired(context, its))), None)
    if len(halves) == 2 and area.w >= WIDE_ENOUGH:
        yield from _mated_blocks(context, halves, contacts, with_legend, area)
    else:
        readings = readings_of(context, [contact for its in contacts for contact in its])
        shown = [(half, its) for half, its in zip(halves, contacts, strict=True) if half]
        for half, its_contacts in shown:
            remark = tuple(readings_remark(context, readings)) if half is shown[-1][0] else ()
            yield from _single_blocks(context, half, its_contacts, readings, remark, half.id == with_legend, area)


def _wired(context: Context, contacts: Iterable[Contact]) -> frozenset[str]:
    return frozenset(contact.name for contact in contacts if is_joined(context, contact))


def _values(context: Context, addresses: Iterable[str]) -> dict[str, Item]:
    """Address -> the box to write a value in; circuits of an airbag have none."""
    network = context.network
    addresses = [address for address in addresses if address in network.island_of]
    first_of = {network.island_of[address]: address for address in addresses}
    kept_off = {island for island, address in first_of.items() if "airbag" in cautions_of(context, [address])}
    return {address: UNPROBED if network.island_of[address] in kept_off else EmptyBox("value") for address in addresses}


def _legend(context: Context) -> Words:
    return Words(f"Colours in the letters of {context.convention}, base colour first. Far ends are found through splices; → leads to the sheet.")


def _remarks_table(texts: Sequence[tuple[Key, str]], width: float, key: Key) -> Iterator[PlainTable]:
    """Remarks side by side where the page is wide, read line by line; nothing where there are none."""
    if texts:
        rows = keyed_rows((about, (text,)) for about, text in texts)
        yield PlainTable(("remarks", *key), (Column("Remarks"),), rows, width, tag="remarks", across=2 if width >= WIDE_ENOUGH and len(texts) > 1 else 1, is_flagged=False)


def _table(key: Key, heads: Mapping[str, str], rows: Sequence[tuple[Key, Stack]], bands: Sequence[tuple[Key, str]], width: float, value: float, tag: str, blocks: Blocks) -> StackTable:
    fixed = {key: SWATCH_COLUMN for key in heads if key.endswith("swatch")} | ({"value": value} if "value" in heads else {})
    keyed = keyed_rows([*rows, *((about, Band(text, "regular")) for about, text in bands)])
    return StackTable(key, heads, keyed, width, fixed, ("function", "value") if "value" in heads and "wire" in heads else ("function",), "cavity", blocks, tag=tag)


# -------------------------------------------------------------- one connector

def _single_blocks(context: Context, connector: Connector, contacts: Sequence[Contact], readings: Readings, remark: Sequence[str], with_legend: bool, area: Area) -> Iterator[Draft]:
    width = area.w
    yield connector_head(context, connector, _wired(context, contacts), width, area.h, with_legend=with_legend)
    wide = width >= WIDE_ENOUGH
    heads = {"cavity": "Cavity", **WIRE_HEADS}
    if not has_source_colours(context, (contact.address for contact in contacts)):
        del heads["stated"]
    heads |= {"function": "Function", "signal": "Signal", "direction": "Direction"} if wide else {"function": "Function, signal"}
    roomy = wide and not readings.heads
    heads |= {"terminal": "Terminal", "seal": "Seal"} if roomy else {"terminal": "Terminal, seal"}
    apart = bool(readings.heads) and not wide
    beside = NO_READINGS if apart else readings
    if not apart:
        heads |= {**readings.heads, "value": "Value"}
    values = _values(context, (contact.address for contact in contacts))
    rows: list[tuple[Key, Stack]] = [(((Thing.CONTACT, contact.address),), _single_row(context, contact, values[contact.address], beside, wide, roomy)) for contact in contacts if is_row(context, contact)]
    bands: list[tuple[Key, str]] = [(("empty",), text) for text in empty_line(context, contacts)]
    yield _legend(context)
    key: Key = ((Thing.CONNECTOR, connector.id),)
    yield _table(key, heads, rows, bands, width, VALUE_WIDTH if roomy else NARROW_VALUE_WIDTH, f"pinout:{connector.id}", (WIRE_BLOCK,))
    if apart:
        yield _volts_table(context, connector, contacts, readings, values, width)
    yield from map(Words, remark)
    yield from _remarks_table([*empty_uses(context, contacts), *remarks(context, contacts)], width, key)


def _single_row(context: Context, contact: Contact, value: Item, readings: Readings, wide: bool, roomy: bool) -> Stack:
    whole: dict[str, tuple[Item, ...]] = {"cavity": (Strong(contact.name),), "function": (function_of(contact),), "value": (value,), **readings.first_of((contact,))}
    whole |= {"signal": (contact.signal,), "direction": (_direction(contact),)} if wide else {"function": (function_of(contact), *signal_of(contact))}
    whole |= {"terminal": (contact.terminal,), "seal": (contact.seal,)} if roomy else {"terminal": tuple(filter(None, (contact.terminal, contact.seal)))}
    return Stack(wire_lines(context, contact.address) or [{"wire": FREE}], whole)


def _volts_table(context: Context, connector: Connector, contacts: Sequence[Contact], readings: Readings, values: Mapping[str, Item], width: float) -> StackTable:
    heads = {"cavity": "Cavity", "function": "Function", **readings.heads, "value": "Value"}
    rows: list[tuple[Key, Stack]] = []
    for contact in contacts:
        if is_row(context, contact):
            whole = {"cavity": (Strong(contact.name),), "function": (function_of(contact),), "value": (values[contact.address],), **readings.first_of((contact,))}
            rows.append((((Thing.CONTACT, contact.address),), Stack([], whole)))
    table = _table(("volts", (Thing.CONNECTOR, connector.id)), heads, rows, (), width, APART_VALUE_WIDTH, f"volts:{connector.id}", ())
    return replace(table, is_flagged=False)


def function_of(contact: Contact) -> Item:
    """The function with what the cavity draws or may carry; an empty box where it is not known."""
    if contact.function.lower() in ("", "unknown"):
        return EmptyBox("unknown:function")
    loads = (f"draws {contact.draws.stated}" if contact.draws else "", f"limit {contact.limit.stated}" if contact.limit else "")
    words = ", ".join(filter(None, loads))
    return f"{contact.function} ({words})" if words else contact.function


def signal_of(contact: Contact) -> tuple[str, ...]:
    """Signal and direction as one text, none where nothing is said."""
    return (", ".join(filter(None, (contact.signal, _direction(contact)))),) if contact.signal else ()


def _direction(contact: Contact) -> str:
    kind = signals().get(contact.signal)
    return kind.direction if kind and kind.kind not in UNDIRECTED else ""


# --------------------------------------------------------------- mated halves

def _mated_blocks(context: Context, halves: Sequence[Connector | None], contacts: Sequence[Sequence[Contact]], with_legend: str | None, area: Area) -> Iterator[Draft]:
    width = area.w
    if all(halves):
        yield _mated_head(context, halves, contacts, with_legend, area)
    readings = readings_of(context, [contact for its in contacts for contact in its], each=2)
    heads = _mated_heads(halves, readings)
    by_name = [{contact.name: contact for contact in its} for its in contacts]
    cavities = sorted({**by_name[0], **by_name[1]}, key=counted)
    values = _values(context, (contact.address for its in contacts for contact in its))
    rows: list[tuple[Key, Stack]] = []
    shown = set()
    for cavity in cavities:
        pair = [names.get(cavity) for names in by_name]
        if any(contact is not None and is_row(context, contact) for contact in pair):
            rows.append((("cavity", cavity), _mated_row(context, cavity, pair, values, readings)))
            shown.add(cavity)
    rowless = [[contact for contact in its if contact.name not in shown] for its in contacts]
    named = [(half.id, its, empty) for half, its, empty in zip(halves, contacts, rowless, strict=True) if half]
    bands: list[tuple[Key, str]] = [(("empty", (Thing.CONNECTOR, half)), f"{half}: {text}") for half, _, empty in named for text in empty_line(context, empty)]
    yield _legend(context)
    table = _table(("mated",), heads, rows, bands, width, NARROW_VALUE_WIDTH if readings.heads else VALUE_WIDTH, f"pinout:{'+'.join(half for half, *_ in named)}", _MATED_BLOCKS)
    yield replace(table, rows=tuple(_about_both(context, keyed, by_name) for keyed in table.rows))
    yield from map(Words, readings_remark(context, readings))
    said = [((*key, (Thing.CONNECTOR, half)), f"{half}: {text}") for half, its, empty in named for key, text in (*empty_uses(context, empty), *remarks(context, its))]
    yield from _remarks_table(said, width, ("mated",))


def _about_both(context: Context, keyed: Keyed, by_name: Sequence[Mapping[str, Contact]]) -> Keyed:
    """A row of two halves, which is about the cavity of each and the wires in it."""
    addresses = [names[keyed.key[1]].address for names in by_name if keyed.key[0] == "cavity" and keyed.key[1] in names]
    return replace(keyed, at=tuple(name for address in addresses for name in names_at(context.harness, address)))


def _mated_head(context: Context, halves: Sequence[Connector], contacts: Sequence[Sequence[Contact]], with_legend: str | None, area: Area) -> Drawn:
    """The heads of both halves side by side."""
    each = (area.w - HALVES_GAP) / 2
    left, right = (connector_head(context, half, _wired(context, its), each, area.h, with_legend=half.id == with_legend, more=[*fitting_fields(its)])
                   for half, its in zip(halves, contacts, strict=True))

    def draw(pen: Pen, x: float, y: float) -> None:
        left.draw(pen, x, y)
        right.draw(pen, x + each + HALVES_GAP, y)

    return Drawn(max(left.height, right.height), draw)


def _mated_heads(halves: Sequence[Connector | None], readings: Readings) -> dict[str, str]:
    """Columns from the outside in on the left, from the inside out on the right; wires named by their half."""
    names = [cut(half.id if half else "", 16.0, HEAD, "bold") for half in halves]
    own = [{**WIRE_HEADS, "wire": f"Wire {name}", "ends": f"Far end {name}"} for name in names]
    left = {f"0{key}": own[0][key] for key in reversed(_HALF_KEYS)}
    right = {f"1{key}": own[1][key] for key in _HALF_KEYS}
    return {**left, "cavity": "Cavity", **right, "function": "Function, signal", **readings.heads, "value": "Value"}


def _mated_row(context: Context, cavity: str, pair: Sequence[Contact | None], values: Mapping[str, Item], readings: Readings) -> Stack:
    sides = [_half_lines(context, contact, str(index)) for index, contact in enumerate(pair)]
    lines = [left | right for left, right in zip_longest(*sides, fillvalue={})]
    known = [contact for contact in pair if contact is not None]
    functions = tuple(dict.fromkeys(text for contact in known if isinstance(text := function_of(contact), str)))
    signals_said = tuple(dict.fromkeys(text for contact in known for text in signal_of(contact)))
    return Stack(lines, {
        "cavity": (Strong(cavity),), "value": (values[known[0].address],),
        "function": (" / ".join(functions) if functions else EmptyBox("unknown:function"), *([" / ".join(signals_said)] if signals_said else ())),
        **readings.first_of(known),
    })


def _half_lines(context: Context, contact: Contact | None, side: str) -> list[WireLine]:
    """The lines of one half, keys marked with its side; a source's own colour letters stand below the colour."""
    lines = (wire_lines(context, contact.address) if contact else []) or [{"wire": FREE}]
    spread: list[WireLine] = []
    for line in lines:
        stated = line.pop("stated", "")
        spread.append(line)
        if stated:
            spread.append({"colour": f"({stated})"})
    return [{side + key: item for key, item in line.items()} for line in spread]
