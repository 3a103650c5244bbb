"""The part of the check sheet with numbers: ohms and volts to expect, step by step (``operation/bench.py``).

Takes a Context whose circuit is solved; gives the blocks below what rings and what does not.
Every row has room for the value and for initials; on the booklet's sheet it has none.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..drawing.table import Band, CellContent, Column, EmptyBox
from ..judgement.bench import AMPS, OHMS, Point, Step, steps
from ..operation.asides import ALWAYS_TYPICAL, pulsed_circuits, supplies_in_words, typical_things
from ..operation.operate import Operation
from ..revision.changes import Thing
from .context import Context
from .flow import Heading, Words
from .list_cells import gathered, listed, sheet_link
from .marking import Draft
from .stacks import Reading
from .tables import Key, PlainRow, PlainTable, keyed_rows

_HEADS = {OHMS: "Expect, ohm", AMPS: "Expect"}


def reading_blocks(context: Context, width: float, *, to_fill: bool = True) -> Iterator[Draft]:
    """Nothing where nothing is solved; ``to_fill``: with room for the value and for initials, and with the steps that are made once."""
    operation = context.operation
    if operation is None:
        return
    made = [step for step in steps(operation, context.network) if to_fill or not step.once]
    if not made:
        return
    yield Heading("What a meter shows")
    yield Words(f"Solved in {len(operation.solved)} states, with {'; '.join(supplies_in_words(operation.wiring))}. "
                "Volts with the black lead on battery minus, a meter of 10 Mohm; float: nothing ties the point.")
    yield Words(f"Typical values stand for what is not stated of: {listed((*typical_things(operation.wiring), *ALWAYS_TYPICAL))}.")
    if pulsed := pulsed_circuits(operation.wiring):
        yield Words(f"Not solved: {listed(pulsed)}, which pulse.")
    for step in made:
        yield Heading(step.title)
        yield _table(context, operation, step, width, to_fill)


def _table(context: Context, operation: Operation, step: Step, width: float, to_fill: bool) -> PlainTable:
    wide = width > 150
    columns = (Column("", 10, anchor="end"), Column("At, sheet", 34 if wide else 24), Column("What"),
               Column(_HEADS.get(step.kind, "Expect, volts"), 32 if wide else 22), *((Column("Value", 19 if wide else 13), Column("Initials", 15 if wide else 11)) if to_fill else ()))
    rows: list[tuple[Key, PlainRow | Band]] = [(("condition",), Band(step.condition))]   # in the table: so it never stands alone at the foot of a page
    rows += [(_key(context, point), _row(context, number, point, to_fill)) for number, point in enumerate(step.points, start=1)]
    return PlainTable(("step", step.title), columns, keyed_rows(rows), width, pitch=6.5 if to_fill else 4.6, tag=f"step:{step.title}", named=1, free=frozenset((0,)))


def _key(context: Context, point: Point) -> Key:
    ends = (end for end in (point.at, point.against) if end)
    return tuple((Thing.CONTACT, end) if end in context.harness.contacts else (Thing.PART, end) for end in ends) or (point.what,)


def _row(context: Context, number: int, point: Point, to_fill: bool) -> PlainRow:
    expect = Reading(point.expect, point.volts) if point.volts is not None else point.expect
    return (str(number), _at(context, point), point.what, expect, *((EmptyBox("value"), EmptyBox("initials")) if to_fill else ()))


def _at(context: Context, point: Point) -> CellContent:
    """Two ends of one connector or part as ``X5: 1, 2 → 16``."""
    ends = [end for end in (point.at, point.against) if end]
    sheets = [context.sheet_for(end) or context.sheet_of.get(end) for end in ends]
    owners = {context.harness.contacts[end].owner for end in ends if end in context.harness.contacts}
    if len(ends) > 1 and len(owners) == 1:
        return sheet_link(gathered(context.harness, ends), sheets[0])
    return tuple(sheet_link(end, sheet) for end, sheet in zip(ends, sheets, strict=True)) or ""
