"""The ground list: each ground with its stud and metal, and the wires it carries.

Room to write the measured drop and the date stands beside each ground: the drop
from the stud to the negative post of the battery under load is what tells a good
ground (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox
from ..model.harness import Ground
from ..revision.changes import Thing
from .cautions import caution_lines
from .context import Context, SheetRef
from .flow import Heading, Words, free_area
from .list_cells import known, place_named
from .marking import Draft, marked_pages
from .stacks import Item, Stack
from .tables import Key, PlainRow, PlainTable, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN, WIRE_HEADS, has_source_colours, wire_lines


def draw_grounds(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """First all grounds in one table, then the wires of each."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    grounds = context.harness.grounds
    width = free_area(context.paper, "portrait").w
    wide = width > 150
    for line in caution_lines(context, grounds):
        yield Words(line, "bold", tag="caution")
    yield Heading("Grounds")
    yield PlainTable(
        ("grounds",), (Column("Ground", 14 if wide else 13), Column("Where"), Column("Place"), Column("Stud", 10), Column("Metal", 14 if wide else 13),
                       Column("Wires", 10, anchor="end"), Column("Drop, mV", 17 if wide else 13), Column("Date", 21 if wide else 13)),
        keyed_rows((((Thing.GROUND, ground.id),), _ground_row(context, ground)) for ground in grounds.values()), width, pitch=6.5)
    yield Words("Drop: stud to negative post of the battery, load on. Metal bare, eyelet flat on it, sealed when tight.")
    yield Heading("What each ground carries")
    yield _carried(context, width)


def _ground_row(context: Context, ground: Ground) -> PlainRow:
    wires = len(context.harness.wires_at.get(ground.id, ()))
    place = place_named(context.harness, ground.place, ground.title)
    return (ground.id, ground.title, known(place, "place"), known(ground.stud, "stud"), known(ground.metal, "metal"), str(wires),
            EmptyBox("measured drop"), EmptyBox("date"))


def _carried(context: Context, width: float) -> StackTable:
    """The wires under the heading of their ground, a row a wire."""
    grounds = context.harness.grounds
    heads = {**WIRE_HEADS, "circuit": "Circuit", "eyelet": "Eyelet"}
    if not has_source_colours(context, grounds):
        del heads["stated"]
    rows: list[tuple[Key, Stack | Band]] = []
    for ground in grounds.values():
        about = (Thing.GROUND, ground.id)
        rows.append(((about,), Band(f"{ground.id} {ground.title}".strip())))
        rows += [((about, (Thing.WIRE, str(wire[0]["wire"]))), Stack(wire)) for wire in _wires(context, ground)] or [((about, "none"), Band("no wire described", "regular"))]
    return StackTable(("carried",), heads, keyed_rows(rows), width, {"swatch": SWATCH_COLUMN}, ("circuit",), "wire")


def _wires(context: Context, ground: Ground) -> list[list[Mapping[str, Item]]]:
    """The lines of each wire at a ground, with its circuit and eyelet."""
    wires: list[list[Mapping[str, Item]]] = []
    for line in wire_lines(context, ground.id):
        wire = context.harness.wires.get(str(line.get("wire", "")))
        if wire:
            wires.append([{**line, "circuit": wire.circuit, "eyelet": known(ground.terminal, "eyelet")}])
        elif wires:
            wires[-1].append(line)
    return wires
