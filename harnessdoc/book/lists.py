"""The lists as CSV: what to cut, what to buy, what to print on labels.

RFC 4180 with commas and one heading line; lines end in "\\n" so that a version diff
reads well. Headings are the keys of the language where one exists; numbers stand
bare, in the unit their heading names. A cell that a spreadsheet would take for a
formula (it begins with = + - @, a tab or a return, and is no number) gets an
apostrophe before it: ids are free text, and a list is opened with a double click.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from ..geometry.cut_list import CutCable, CutEnd, CutRow, Spool, cut_list
from ..geometry.labels import Label, label_list
from ..geometry.measure import Geometry
from ..geometry.parts_list import PartLine, parts_list
from ..revision.parts_needed import parts_needed
from ..sheets.context import Context
from ..sheets.label_flags import sleeve_over

FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""How a cell begins that a spreadsheet reckons instead of showing."""
_END = ("terminal", "seal", "strip-mm", "label")
CUT_HEADINGS = ("size", "type", "colour", "wire", "circuit", "cut-mm", "finished-mm", "measured-minus-routed-mm", "from", *(f"from-{name}" for name in _END),
                "to", *(f"to-{name}" for name in _END), "pair", "lay-mm", "cable", "core")
PART_HEADINGS = ("kind", "part", "quantity", "unit", "where", "proposed", "without-length")
LABEL_HEADINGS = ("wire", "end", "at", "label", "diameter-mm", "join", "sleeve", "wire-mm")


def cut_csv(context: Context) -> str:
    """The cut list in the order of the sheet; a cable has a line of its own before its cores, whose cut length stays empty."""
    listing = cut_list(context.harness, context.geometry, context.convention, context.join_numbers, context.is_there)
    rows: list[Iterable[str]] = [_cut_row(row, row.cut_mm, row.finished_mm, row.difference_mm) for spool in listing.spools for row in spool.rows]
    for cable in listing.cables:
        rows.append(_cable_row(cable))
        rows += [_cut_row(row, None, None, None) for row in cable.rows]
    return as_csv(CUT_HEADINGS, rows)


def parts_csv(context: Context) -> str:
    """The parts list; ``where`` names every place, parted by spaces and semicolons."""
    return _parts(parts_list(context.harness, context.geometry, context.convention, context.is_there))


def rework_parts_csv(context: Context) -> str:
    """What a rework takes, with the headings of the parts list; ``context`` knows the version before."""
    return _parts(parts_needed(context.since.comparison, context.convention))


def _parts(lines: Iterable[PartLine]) -> str:
    return as_csv(PART_HEADINGS, ((line.kind, line.part, number(line.quantity), line.unit, "; ".join(line.where), "yes" if line.proposed else "no", str(line.unknown)) for line in lines))


def labels_csv(context: Context, labels: Iterable[Label] | None = None) -> str:
    """One line a label, ``labels`` or all: two a wire, none for an end left open. sleeve: the heat-shrink that goes over the wire; wire-mm: its finished length."""
    rows = label_list(context.harness, context.convention, context.join_numbers) if labels is None else labels
    return as_csv(LABEL_HEADINGS, (_label_row(context.geometry, label) for label in rows))


def _label_row(geometry: Geometry, label: Label) -> tuple[str, ...]:
    sleeve = sleeve_over(geometry, label.wire)
    length = geometry.lengths.get(label.wire)
    return (label.wire, label.end, label.at, label.text, number(geometry.diameters.get(label.wire)), " ".join(label.joins), sleeve.name if sleeve else "",
            number(length.finished_mm if length else None))


LISTS: Mapping[str, Callable[[Context], str]] = {"cut.csv": cut_csv, "parts.csv": parts_csv, "labels.csv": labels_csv}
"""File name -> what writes it."""
REWORK_LISTS: Mapping[str, Callable[[Context], str]] = {"rework-parts.csv": rework_parts_csv}
"""The same, for the sheets of a rework."""


def guarded(cell: str) -> str:
    """The cell, with an apostrophe before it where a spreadsheet would reckon it."""
    return f"'{cell}" if cell.startswith(FORMULA) and not _is_number(cell) else cell


def _is_number(cell: str) -> bool:
    return cell.removeprefix("-").replace(".", "", 1).isdecimal()


def as_csv(headings: Sequence[str], rows: Iterable[Iterable[str]]) -> str:
    """A list with its heading line; every cell is ``guarded``."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(headings)
    writer.writerows([guarded(cell) for cell in row] for row in rows)
    return out.getvalue()


def number(value: float | None) -> str:
    """At most two decimals, none where they are zero; "" unknown."""
    return "" if value is None else f"{value:.2f}".rstrip("0").rstrip(".")


def _cut_row(row: CutRow, cut_mm: float | None, finished_mm: float | None, difference_mm: float | None) -> Iterator[str]:
    yield from _spool(row.spool)
    yield from (row.wire, row.circuit, number(cut_mm), number(finished_mm), number(difference_mm))
    for end in (row.a, row.b):
        yield from _end(end)
    yield from (row.pair, number(row.lay_mm), row.cable, row.core)


def _cable_row(cable: CutCable) -> Iterator[str]:
    yield from ("", cable.part, cable.colour, "", "", number(cable.cut_mm), number(cable.finished_mm), number(cable.difference_mm))
    yield from [""] * (2 * (1 + len(_END)) + 2)
    yield from (cable.cable, "")


def _spool(spool: Spool) -> tuple[str, str, str]:
    return spool.size, spool.type, spool.colour


def _end(end: CutEnd) -> tuple[str, ...]:
    return end.address, end.terminal, end.seal, number(end.strip_mm), end.label
