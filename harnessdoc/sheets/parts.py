"""The parts list: what to buy, how much of it, and where it goes."""

from __future__ import annotations

from collections.abc import Iterator

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox
from ..geometry.parts_list import PartLine, parts_list
from .context import Context, SheetRef
from .flow import Words, free_area
from .list_cells import gathered
from .marking import Draft, marked_pages
from .tables import Key, PlainRow, PlainTable, keyed_rows


def draw_parts(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Kind by kind: part, quantity, where used, and a box to tick when it is there."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    lines = parts_list(context.harness, context.geometry, context.convention, context.is_there)
    if not lines:
        yield Words("Nothing to buy is described.", height=3.5)
        return
    yield part_table(context, lines, free_area(context.paper, "portrait").w)
    if any(line.proposed for line in lines):
        yield Words("Proposed: worked out by the program from sizes and diameters, not stated in the description.")
    yield Words("Wire and covering are net lengths; add what is lost at the ends of spools.")
    if any(line.unknown for line in lines):
        yield Words("Not known: so many wires have no known length and are not in the quantity.")


def part_table(context: Context, lines: tuple[PartLine, ...], width: float) -> PlainTable:
    """Lines of parts, a band for each kind."""
    wide = width > 150
    columns = (Column("Part", 58 if wide else 34), Column("Quantity", 25, anchor="end"), Column("Where used"), Column("Here", 10))
    return PlainTable(("parts",), columns, keyed_rows(_rows(context, lines)), width)


def _rows(context: Context, lines: tuple[PartLine, ...]) -> Iterator[tuple[Key, PlainRow | Band]]:
    kind = None
    for line in lines:
        if line.kind != kind:
            kind = line.kind
            yield (kind,), Band(kind)
        yield (kind, line.part), (f"{line.part} (proposed)" if line.proposed else line.part, _quantity(context, line), gathered(context.harness, line.where), EmptyBox("here"))


def _quantity(context: Context, line: PartLine) -> tuple[str, ...]:
    """``12``, or a length; below it how many wires are not in it."""
    amount = context.run(line.quantity) if line.unit == "m" else f"{line.quantity:g}"
    if not line.unknown:
        return (amount,)
    return (amount, f"+ {line.unknown} not known") if line.quantity else (f"{line.unknown} not known",)
