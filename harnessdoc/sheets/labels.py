"""The label sheet: what to print on the labels of every wire, one for each end."""

from __future__ import annotations

from collections.abc import Iterator

from ..drawing.record import Drawing
from ..drawing.table import CellContent, Column, EmptyBox
from ..geometry.labels import Label, label_list
from ..model.harness import UNKNOWN
from ..revision.changes import Thing
from .context import Context, SheetRef
from .flow import Words, free_area
from .marking import Draft, marked_pages
from .tables import Key, PlainRow, PlainTable, keyed_rows


def draw_labels(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Wire by wire: the text for end A and end B, how many, over what diameter they must pass, done."""
    versions = (context, context.since.before) if context.since else (context,)
    return marked_pages(context, ref, _blocks, "landscape" if any(version.harness.wires for version in versions) else "portrait", two_ends=True)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    labels = label_list(context.harness, context.convention, context.join_numbers)
    if not labels:
        yield Words("No wires are described.", height=3.5)
        return
    width = free_area(context.paper, "landscape").w
    wide = width > 200
    at = 26 if wide else 16
    inches = context.options.units == "in"
    columns = (Column("Wire", 18 if wide else 13), Column("End A at", at), Column("Label of end A"), Column("End B at", at), Column("Label of end B"),
               Column("Labels", 12, anchor="end"), Column("Over, in" if inches else "Over, mm", 14, anchor="end"), Column("Done", 11))
    yield PlainTable(("labels",), columns, keyed_rows(_rows(context, labels)), width)
    yield Words(f"A label sits {'1.2 to 2 in' if inches else '30 to 50 mm'} behind the connector, to be read without unplugging it (common practice). Over: the diameter of the insulation a sleeve must pass.")


def _rows(context: Context, labels: tuple[Label, ...]) -> Iterator[tuple[Key, PlainRow]]:
    by_wire: dict[str, dict[str, Label]] = {}
    for label in labels:
        by_wire.setdefault(label.wire, {})[label.end] = label
    for wire, ends in by_wire.items():
        diameter = context.geometry.diameters.get(wire)
        over: CellContent = (f"{diameter / 25.4:.2f}" if context.options.units == "in" else f"{diameter:.1f}") if diameter else EmptyBox("diameter")
        yield ((Thing.WIRE, wire),), (wire, *_end(ends.get("A")), *_end(ends.get("B")), str(len(ends)), over, EmptyBox("done"))


def _end(label: Label | None) -> tuple[CellContent, CellContent]:
    if label is None:
        return "", ""
    return EmptyBox("far end") if label.at == UNKNOWN else label.at, label.text
