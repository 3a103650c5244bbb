"""The parts list: what to buy, how much of it, and where it goes."""

from __future__ import annotations

from collections.abc import Iterator

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox, Row, lay_out
from ..geometry.parts_list import PartLine, parts_list
from .context import Context, SheetRef
from .flow import Block, Words, free_area, set_pages
from .list_cells import gathered


def draw_parts(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Kind by kind: part, quantity, where used, and a box to tick when it is there."""
    lines = parts_list(context.harness, context.geometry, context.convention)
    if not lines:
        return set_pages(context, ref, [Words("Nothing to buy is described.", height=3.5)])
    width = free_area(context.paper, "portrait").w
    wide = width > 150
    columns = [Column("Part", 58 if wide else 34), Column("Quantity", 25, anchor="end"), Column("Where used"), Column("Here", 10)]
    blocks: list[Block] = [lay_out(columns, list(_rows(context, lines)), width)]
    if any(line.proposed for line in lines):
        blocks.append(Words("Proposed: worked out by the program from sizes and diameters, not stated in the description."))
    blocks.append(Words("Wire and covering are net lengths; add what is lost at the ends of spools."))
    if any(line.unknown for line in lines):
        blocks.append(Words("Not known: so many wires have no known length and are not in the quantity."))
    return set_pages(context, ref, blocks)


def _rows(context: Context, lines: tuple[PartLine, ...]) -> Iterator[Row]:
    kind = None
    for line in lines:
        if line.kind != kind:
            kind = line.kind
            yield Band(kind)
        yield (f"{line.part} (proposed)" if line.proposed else line.part, _quantity(context, line), gathered(context.harness, line.where), EmptyBox("here"))


def _quantity(context: Context, line: PartLine) -> tuple[str, ...]:
    """``12``, or a length; below it how many wires are not in it."""
    amount = context.run(line.quantity) if line.unit == "m" else f"{line.quantity:g}"
    if not line.unknown:
        return (amount,)
    return (amount, f"+ {line.unknown} not known") if line.quantity else (f"{line.unknown} not known",)
