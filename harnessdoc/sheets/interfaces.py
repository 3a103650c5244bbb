"""The interface sheet: what stands between two circuits that do not fit, terminal by terminal.

One table an interface: its parts with their terminals and splices, what each terminal is, the role it has, the wires
there and where they lead, and the volts to expect where the circuit is solved. Above it what the recipe is for and
what is to be minded with it, below it its circuit, drawn as on the circuit diagrams.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..drawing.record import Drawing
from ..drawing.table import Band, EmptyBox
from ..merge.plan import Interface, Merge
from ..merge.recipes import RECIPES
from ..model.harness import Contact, Part
from ..operation.columns import columns
from ..operation.operate import Solved
from ..operation.report import relays_in
from ..revision.changes import Thing
from .cautions import caution_lines
from .context import Context, SheetRef
from .fates import kind_and_title
from .flow import Heading, Words, free_area
from .interface_drawing import interface_drawing
from .list_cells import listed
from .marking import Draft, marked_pages
from .pinout_readings import NO_READINGS, Readings, readings_of, readings_remark
from .relay import meaning_of
from .splice_words import place_words
from .stacks import Item, Stack, Strong
from .tables import WIRE_BLOCK, Key, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN, WIRE_HEADS, has_source_colours, wire_lines

WIDE_ENOUGH = 200.0
"""From this width on the volts stand beside the wires; on less they have a table of their own."""
HEADS = {"terminal": "Terminal", "role": "What it is, role", **WIRE_HEADS}
MEANINGS: Mapping[str, Mapping[str, str]] = {
    "fuse": {"1": "supply", "2": "load"}, "fusible link": {"1": "supply", "2": "load"}, "diode": {"A": "anode", "K": "cathode, the end with the ring"},
}
"""What the terminals of parts are that the numbers of relays do not cover."""


def draw_interfaces(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Every interface, in the order of the file."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    merge = context.merge
    if merge is None:
        return
    width = free_area(context.paper, "landscape").w
    contacts = {interface.id: contacts_of(context, interface) for interface in merge.interfaces.values()}
    for line in caution_lines(context, (contact.address for its in contacts.values() for contact in its)):
        yield Words(line, "bold", tag="caution")
    yield Words(f"Colours in the letters of {context.convention}, base colour first. Far ends are found through splices; → leads to the sheet.")
    for interface in merge.interfaces.values():
        yield from _interface(context, merge, interface, contacts[interface.id], width)
    every = readings_of(context, [contact for its in contacts.values() for contact in its])
    yield from map(Words, readings_remark(context, every))


def contacts_of(context: Context, interface: Interface) -> list[Contact]:
    """The terminals of its parts and its splices, part by part."""
    harness = context.harness
    addresses = [f"{thing}.{name}" for thing in interface.things if thing in harness.parts for name in harness.parts[thing].terminals]
    # a wire may have the id of the splice that it leads to
    addresses += dict.fromkeys(thing for thing in interface.things if thing in harness.splices)
    return [harness.contacts[address] for address in addresses if address in harness.contacts]


def _interface(context: Context, merge: Merge, interface: Interface, contacts: list[Contact], width: float) -> Iterator[Draft]:
    recipe = RECIPES.get(interface.recipe)
    yield Heading(f"{interface.id}: {interface.recipe}")
    if recipe is not None:
        yield Words(f"{interface.id} stands between {recipe.when}. Wiring after: {recipe.origin}.")
    joins = f"{'Join' if len(interface.joins) == 1 else 'Joins'} through {interface.id}: {listed(interface.joins) or 'none yet'}."
    ends = "; ".join(f"{role}: {address}" for role, address in interface.given.items() if recipe is None or recipe.role(role).is_address)
    at_work = at_work_in(context, interface)
    # above the table: below it may come to stand on the next page
    states = f" {'; '.join(f'{head}: state {name!r}' for head, name, _ in at_work)}." if at_work else ""
    yield Words(f"{joins} {ends[:1].upper()}{ends[1:]}.{states}")
    for caution in (*(recipe.cautions if recipe else ()), *interface.notes):
        yield Words(caution, "bold", tag="caution")
    if interface.note:
        yield Words(f"{interface.note[:1].upper()}{interface.note[1:]}.")
    readings = readings_of(context, contacts, more=[(head, solved) for head, _, solved in at_work])
    wide = width >= WIDE_ENOUGH
    yield _table(context, interface, contacts, readings if wide else NO_READINGS, width)
    if readings.heads and not wide:
        yield _volts_table(interface, contacts, readings, width)
    yield from interface_drawing(context, interface.id, [contact.address for contact in contacts])


def at_work_in(context: Context, interface: Interface) -> list[tuple[str, str, Solved]]:
    """(head with the position of the key, name of the state, state): for each of its relays the first solved state in which that is in, where it is in none of the usual ones."""
    operation = context.operation
    if operation is None:
        return []
    usual = {relay for _, solved in columns(operation) for relay in relays_in(operation, solved)}
    found = []
    for relay in interface.things:
        if relay in context.harness.parts and relay not in usual:
            found += [(f"{relay} in, key {solved.case.key}", name, solved) for name, solved in operation.solved.items() if solved.solution is not None and relay in relays_in(operation, solved)][:1]
    return found


def _table(context: Context, interface: Interface, contacts: list[Contact], readings: Readings, width: float) -> StackTable:
    heads = {**HEADS, **readings.heads}
    if not has_source_colours(context, (contact.address for contact in contacts)):
        del heads["stated"]
    if readings.heads:
        heads["value"] = "Value"
    rows: list[tuple[Key, Stack | Band]] = []
    owner = ""
    for contact in contacts:
        if contact.owner != owner:
            owner = contact.owner
            rows.append((("part", owner), Band(_thing_words(context, owner))))
        whole: dict[str, tuple[Item, ...]] = {"terminal": (Strong(contact.name or contact.owner),), "role": _role_items(context, interface, contact), **readings.first_of((contact,))}
        if readings.heads:
            whole["value"] = (EmptyBox("value"),)
        rows.append((((Thing.CONTACT, contact.address),), Stack(wire_lines(context, contact.address) or [{"wire": EmptyBox("unknown:wire")}], whole)))
    fixed = {"swatch": SWATCH_COLUMN} | ({"value": 15.0} if readings.heads else {})
    return StackTable(("interface", interface.id), heads, keyed_rows(rows), width, fixed, ("role",), "terminal", (WIRE_BLOCK,), tag=f"interface:{interface.id}")


def _volts_table(interface: Interface, contacts: list[Contact], readings: Readings, width: float) -> StackTable:
    rows: list[tuple[Key, Stack]] = []
    for contact in contacts:
        whole: dict[str, tuple[Item, ...]] = {"terminal": (Strong(contact.address),), "value": (EmptyBox("value"),), **readings.first_of((contact,))}
        rows.append((((Thing.CONTACT, contact.address),), Stack([], whole)))
    heads = {"terminal": "Terminal", **readings.heads, "value": "Value"}
    return StackTable(("volts", interface.id), heads, keyed_rows(rows), width, {"value": 24.0}, ("terminal",), "terminal", (), tag=f"volts:{interface.id}", is_flagged=False)


def _role_items(context: Context, interface: Interface, contact: Contact) -> tuple[str, ...]:
    """What the terminal is, and the role whose end comes to it."""
    part = context.harness.parts.get(contact.owner)
    roles = [role for role, address in interface.lands.items() if address == contact.address]
    return tuple(filter(None, (_meaning(part, contact.name), f"{listed(roles)}: {listed(interface.given[role] for role in roles)}" if roles else "")))


def _meaning(part: Part | None, name: str) -> str:
    if part is None:
        return ""
    return meaning_of(name) if part.kind == "relay" else MEANINGS.get(part.kind, {}).get(name, "")


def _thing_words(context: Context, id: str) -> str:
    """``I1-K, relay, load relay: mini relay 40 A, coil 85 ohm, across the coil resistor; in host/B1 → 15``."""
    harness = context.harness
    part = harness.parts.get(id)
    words = f"{id}, {kind_and_title(harness, id)}"
    said = []
    if part is not None:
        said = [part.part or part.type, *(f"{name} {quantity.stated}" for name, quantity in ((_VALUE.get(part.kind, "value"), part.value), ("power", part.power), ("rating", part.rating)) if quantity),
                f"across the coil: {part.suppression}" if part.suppression else ""]
    words += f": {', '.join(filter(None, said))}" if any(said) else ""
    if part is None and id in harness.splices:
        where = place_words(harness, context.geometry, harness.splices[id], context.options.units)
    else:
        where = f"in {part.box}" if part is not None and part.box else f"at {harness.place_of[id]}" if id in harness.place_of else None
    sheet = context.sheet_of.get(id)
    return f"{words}; {where or 'place not known yet'}" + (f" → {sheet.number}" if sheet else "")


_VALUE = {"relay": "coil"}
