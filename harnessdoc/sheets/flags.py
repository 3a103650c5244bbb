"""Which findings lie at a thing, by their numbers, and the flag notes of rows and heads.

Findings are numbered as the findings sheet lists them, from 1. A row of a table is flagged by its
key: with the findings of the thing it is about, a cavity or part also with those of its wires.
Findings that are waived have no number and no flag.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from ..drawing.flag_notes import Flags
from ..drawing.table import Band
from ..findings import Finding, Severity
from ..model.harness import Harness
from ..revision.changes import Thing
from .context import Context, SheetKind, SheetRef
from .stacks import Flagged, Stack
from .subject_head import Field
from .tables import Key, Keyed, Listing, PlainRow, PlainTable, StackTable

AnyBlock = TypeVar("AnyBlock")
_NAMED = {Thing.WIRE: "wire ", Thing.SEGMENT: "segment ", Thing.CIRCUIT: "circuit ", Thing.PAIR: "pair ", Thing.CABLE: "cable ", Thing.POINT: "place "}
"""What stands before an id where a finding names such a thing; other ids and addresses stand bare."""


def numbered(findings: Iterable[Finding]) -> list[Finding]:
    """Every finding but the errors (with those there is no book), worst first, then by place: the first is number 1."""
    kept = [finding for finding in findings if finding.severity is not Severity.ERROR]
    return sorted(kept, key=lambda finding: (-finding.severity, finding.sort_key))


def numbers_at(findings: Iterable[Finding]) -> Mapping[str, tuple[int, ...]]:
    """What findings lie at -> their numbers, counted up."""
    found: dict[str, list[int]] = {}
    for number, finding in enumerate(numbered(findings), start=1):
        for name in dict.fromkeys(finding.at):
            found.setdefault(name, []).append(number)
    return {name: tuple(numbers) for name, numbers in found.items()}


def flags_at(context: Context, names: Iterable[str]) -> Flags | None:
    """The flags of all findings at some things, named as findings name them; None where there are none."""
    if not context.numbers_at:
        return None
    numbers = sorted({number for name in names for number in context.numbers_at.get(name, ())})
    return Flags(tuple(numbers), _target(context)) if numbers else None


def _target(context: Context) -> str:
    return next((sheet.name for sheet in context.sheets if sheet.kind is SheetKind.FINDINGS), "")


def flags_field(context: Context, *names: str) -> list[Field]:
    """The flags of some things as a field of a head; [] where there are none."""
    flags = flags_at(context, names)
    return [("Findings", (flags,))] if flags else []


def flagged(context: Context, block: AnyBlock) -> AnyBlock:
    """A table with the flags of its rows below what each is known by; any other block as it is."""
    if not context.numbers_at or not isinstance(block, PlainTable | StackTable) or not block.is_flagged:
        return block
    return replace(block, rows=tuple(_flagged_row(context, block, keyed) for keyed in block.rows))


def _flagged_row(context: Context, table: PlainTable | StackTable, keyed: Keyed) -> Keyed:
    flags = None if isinstance(keyed.row, Band) else flags_at(context, (*_names(context, keyed.key), *keyed.at))
    if flags is None:
        return keyed
    return replace(keyed, row=_in_stack(keyed.row, table.named, flags) if isinstance(keyed.row, Stack) else _in_cells(keyed.row, table.named, flags))


def _names(context: Context, key: Key) -> Iterator[str]:
    """What the row of a key is about, as findings name it. A key ends with that; what stands before is where it lies."""
    things = [part for part in key if not isinstance(part, str)]
    for thing, id in things:
        if thing is things[-1][0]:
            yield f"{_NAMED.get(thing, '')}{id}"
            part = context.harness.parts.get(id) if thing is Thing.PART else None
            for address in (f"{id}.{name}" for name in part.terminals) if part else (id,) if thing is Thing.CONTACT else ():
                yield from names_at(context.harness, address)


def names_at(harness: Harness, address: str) -> Iterator[str]:
    """A contact and the wires at it, as findings name them."""
    yield address
    yield from (f"wire {wire}" for wire in harness.wires_at.get(address, ()))


def _in_cells(row: PlainRow, named: int, flags: Flags) -> PlainRow:
    cell = row[named]
    if isinstance(cell, Listing):
        return row
    lines = cell if isinstance(cell, tuple) else (cell,)
    return (*row[:named], (*lines, flags), *row[named + 1:])


def _in_stack(stack: Stack, named: str, flags: Flags) -> Stack:
    if named in stack.whole:
        first, *others = stack.whole[named]
        return Stack(stack.lines, {**stack.whole, named: (Flagged(first, flags), *others)})
    first, *others = stack.lines
    return Stack([{**first, named: Flagged(first.get(named, ""), flags)}, *others], stack.whole)


def sheets_of_thing(context: Context, name: str) -> Sequence[SheetRef]:
    """The sheets on which a thing is found, the first its own, as a finding names it; () where it has none."""
    harness = context.harness
    kind, _, id = name.partition(" ")
    if kind == "wire" and (wire := harness.wires.get(id)):
        sheets = [context.sheet_for(wire.from_), context.sheet_for(wire.to), _last(context, SheetKind.CUT_LIST)]
    elif kind == "segment" and (segment := harness.segments.get(id)):
        sheets = [_last(context, SheetKind.CROSS_SECTIONS) if segment.grommet_mm is not None or segment.sections else None, _last(context, SheetKind.CUT_LIST)]
    elif kind in ("cable", "pair"):
        sheets = [_last(context, SheetKind.CUT_LIST)]
    elif kind == "circuit":
        sheets = [sheet for sheet in context.sheets if sheet.kind is SheetKind.ELECTRICAL and id in sheet.subjects]
    elif kind == "place":
        sheets = [_last(context, SheetKind.SPLICE_PLACES)]
    else:
        sheets = [context.sheet_for(name) or context.sheet_of.get(name)]
    return list(dict.fromkeys(sheet for sheet in sheets if sheet))


def _last(context: Context, kind: SheetKind) -> SheetRef | None:
    """The sheet of a kind that is there once; sought from the end, where the lists stand, as this is asked for every finding."""
    return next((sheet for sheet in reversed(context.sheets) if sheet.kind is kind), None)
