"""The pinouts of the booklet: several connectors a page, without what is of no use beside the road.

Takes a Context and the reference of a sheet whose subjects are connectors; gives its pages. Of each connector its place, its face as
seen from the wires, where a probe goes in, and its cavities with wire, far end and function; terminal, seal and
volts to expect are on the sheets of the book.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from ..drawing.pen import Pen
from ..drawing.record import Area, Drawing
from ..drawing.table import Band
from ..model.harness import Connector, Contact, Face, View
from ..network.cavity_order import counted
from ..network.neighbours import cavities_of
from ..revision.changes import Thing
from .cautions import caution_lines
from .context import Context, SheetKind, SheetRef
from .face import NUMBER_LEAST, NUMBER_MOST, draw_face, face_in_view, face_size, fitting_pitch, least_pitch
from .flow import Drawn, Heading, Words, free_area, height_of
from .marking import Draft, laid, marked_pages
from .pinout import FREE, function_of, signal_of
from .pinout_remarks import empty_line, is_joined, is_row
from .stacks import Stack, Strong
from .tables import WIRE_BLOCK, Key, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN, WIRE_HEADS, wire_lines

FACE_MOST = 90.0
"""Height in mm that a face has at most; one whose numbers cannot be read there is not drawn."""
SAVED = 5.0
"""Of the room that a face keeps for words: one line of them is not printed here."""
ANY_SHEET = 888
"""Stands for every number of a sheet while the pages are parted; no true one is wider."""


def connectors_on_sheets(context: Context) -> tuple[tuple[str, ...], ...]:
    """The connectors in the order of the file, the two halves of an in-line connector together, in groups of as many as fill a page."""
    harness = context.harness
    anywhere = SheetRef(ANY_SHEET, "any", SheetKind.PINOUT, "")
    owners = (*harness.connectors, *harness.splices, *harness.parts, *harness.boxes, *harness.grounds, *harness.devices)
    told = replace(context, sheet_of=dict.fromkeys(owners, anywhere))
    area = free_area(context.paper, "portrait")
    groups: list[tuple[str, ...]] = []
    mates = {other: one.id for one in harness.connectors.values() for other in ([one.mates] if one.mates else [])} | {one.id: one.mates for one in harness.connectors.values() if one.mates}
    seen: set[str] = set()
    for name in harness.connectors:
        if name in seen:
            continue
        halves = (name, *([mates[name]] if name in mates and mates[name] in harness.connectors and mates[name] != name else []))
        seen.update(halves)
        together = (*groups[-1], *halves) if groups else halves
        if groups and _height(told, together, area) <= area.h:
            groups[-1] = together
        else:
            groups.append(halves)
    return tuple(groups)


def _height(context: Context, names: Sequence[str], area: Area) -> float:
    ref = SheetRef(ANY_SHEET, "", SheetKind.PINOUT, "", tuple(names))
    return height_of([laid(block) for block in _blocks(context, ref)], area)


def draw_booklet_pinouts(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of some connectors."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    width, harness = free_area(context.paper, "portrait").w, context.harness
    of_all = cavities_of(harness)
    contacts = {name: [harness.contacts[f"{name}.{cavity}"] for cavity in sorted(of_all[name], key=counted)] for name in ref.subjects}
    for line in caution_lines(context, [contact.address for its in contacts.values() for contact in its]):
        yield Words(line, "bold", tag="caution")
    for name, its in contacts.items():
        connector = harness.connectors[name]
        yield Heading(_title(context, connector))
        if connector.face is not None:
            yield from _face(connector.face, frozenset(contact.name for contact in its if is_joined(context, contact)), width, f"connector:{name}")
        yield _table(context, name, its, width)


def _title(context: Context, connector: Connector) -> str:
    """``E1 engine control unit plug 1, socket, glovebox``: the place as it is written, which may begin with a preposition."""
    place = context.harness.place_of.get(connector.id)
    point = context.harness.points.get(place) if place else None
    where = point.title if point and point.title else place
    return ", ".join(filter(None, (f"{connector.id} {connector.title}".strip(), connector.half, where)))


def _face(face: Face, wired: frozenset[str], width: float, tag: str) -> Iterator[Draft]:
    """The face as seen from the wires, as small as its numbers are high as data."""
    seen = face_in_view(face, View.WIRE)
    pitch = least_pitch(seen) * NUMBER_MOST / NUMBER_LEAST
    if pitch <= fitting_pitch(seen, width, FACE_MOST):
        wide, high = face_size(seen, pitch)
        yield Drawn(high - SAVED, partial(_draw_face, seen, pitch, wired, wide, high, tag))
    else:
        yield Words("The face is on the sheet of the book.")


def _draw_face(face: Face, pitch: float, wired: frozenset[str], wide: float, high: float, tag: str, pen: Pen, x: float, y: float) -> None:
    draw_face(pen, Area(x, y, wide, high), face, pitch, wired, tag=tag, small_words=False)


def _table(context: Context, name: str, contacts: Sequence[Contact], width: float) -> StackTable:
    heads = {"cavity": "Cavity", **WIRE_HEADS, "function": "Function, signal"}
    rows: list[tuple[Key, Stack | Band]] = [
        (((Thing.CONTACT, contact.address),), Stack(wire_lines(context, contact.address) or [{"wire": FREE}], {"cavity": (Strong(contact.name),), "function": (function_of(contact), *signal_of(contact))}))
        for contact in contacts if is_row(context, contact)]
    rows += [(("empty",), Band(text, "regular")) for text in empty_line(context, contacts)]
    return StackTable(((Thing.CONNECTOR, name),), heads, keyed_rows(rows), width, {"swatch": SWATCH_COLUMN}, ("function",), "cavity", (WIRE_BLOCK,), ("stated", "through"), f"pinout:{name}")
