"""The ground list: each ground with its stud and metal, and the wires it carries.

Room to write the measured drop and the date stands beside each ground: the drop
from the stud to the negative post of the battery under load is what tells a good
ground (common practice).
"""

from __future__ import annotations

from collections.abc import Mapping

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox, Layout, Row, lay_out
from ..model.harness import Ground
from .cautions import caution_lines
from .context import Context, SheetRef
from .flow import Block, Heading, Words, free_area, set_pages
from .list_cells import known
from .stacks import Item, Stack, fit_widths, stack_rows, table_columns
from .wire_lines import SWATCH_COLUMN, WIRE_HEADS, has_source_colours, wire_lines


def draw_grounds(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """First all grounds in one table, then the wires of each."""
    grounds = context.harness.grounds
    width = free_area(context.paper, "portrait").w
    wide = width > 150
    of_each = lay_out(
        [Column("Ground", 14 if wide else 13), Column("Where"), Column("Place"), Column("Stud", 10), Column("Metal", 14 if wide else 13),
         Column("Wires", 10, anchor="end"), Column("Drop, mV", 17 if wide else 13), Column("Date", 21 if wide else 13)],
        [_ground_row(context, ground) for ground in grounds.values()], width, pitch=6.5)
    blocks: list[Block] = [Words(line, "bold", tag="caution") for line in caution_lines(context, grounds)]
    blocks += [Heading("Grounds"), of_each,
               Words("Drop: stud to negative post of the battery, load on. Metal bare, eyelet flat on it, sealed when tight."),
               Heading("What each ground carries"), _carried(context, width)]
    return set_pages(context, ref, blocks)


def _ground_row(context: Context, ground: Ground) -> Row:
    wires = len(context.harness.wires_at.get(ground.id, ()))
    point = context.harness.points.get(ground.place) if ground.place else None
    place = f"{ground.place}, {point.title}" if point and point.title not in ("", ground.title) else ground.place
    return (ground.id, ground.title, known(place, "place"), known(ground.stud, "stud"), known(ground.metal, "metal"), str(wires),
            EmptyBox("measured drop"), EmptyBox("date"))


def _carried(context: Context, width: float) -> Layout:
    """The wires under the heading of their ground, a row a wire."""
    grounds = context.harness.grounds
    heads = {**WIRE_HEADS, "circuit": "Circuit", "eyelet": "Eyelet"}
    if not has_source_colours(context, grounds):
        del heads["stated"]
    by_ground = {ground.id: _wires(context, ground) for ground in grounds.values()}
    widths = fit_widths(heads, [wire for wires in by_ground.values() for wire in wires], width, fixed={"swatch": SWATCH_COLUMN}, grows=("circuit",))
    rows: list[Row] = []
    for ground, wires in by_ground.items():
        rows.append(Band(f"{ground} {grounds[ground].title}".strip()))
        rows += [row for wire in wires for row in stack_rows(Stack(wire), widths)] or [Band("no wire described", "regular")]
    return lay_out(table_columns(heads, widths), rows, width)


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
