"""The cut list: every wire to cut, spool by spool, the longest first.

Spools of one size and insulation stand under one heading, the colour in each row;
how much each spool gives is in the table at the end.

Cut and finished length stand side by side; where a length was measured and the
route gives another, the difference is shown. Of each wire end A stands above end B,
so that what is done at an end reads along one line. Members of a pair stand
together with their lay; a cable is cut once, its cores stand beneath it. A length
nobody knows is an empty box.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox, Layout, Row, lay_out
from ..geometry.cut_list import CutCable, CutEnd, CutList, CutRow, SpoolTotal, cut_list
from ..model.harness import OPEN, UNKNOWN
from .cautions import caution_lines
from .context import Context, SheetRef
from .flow import Block, Heading, Words, free_area, set_pages
from .list_cells import known, listed
from .stacks import Item, Lines, Stack, fit_widths, stack_rows, table_columns

SAME_MM = 0.05
"""A measured and a computed length that differ by less are one."""
HEADS = {"wire": "Wire, circuit", "colour": "Colour", "cut": "Cut", "finished": "Finished, measured ± routed", "end": "End", "at": "At", "terminal": "Terminal",
         "seal": "Seal", "strip": "Strip", "label": "Label", "pair": "Pair, lay", "done": "Done"}
OPTIONAL = ("seal", "pair")
"""Columns that are left out where nothing stands in them."""


def draw_cut_list(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The wires, the cables, and how much of each spool they take."""
    listing = cut_list(context.harness, context.geometry, context.convention)
    width = free_area(context.paper, "landscape").w
    rows = list(_rows(context, listing))
    if not rows:
        return set_pages(context, ref, [Words("No wire to cut is described.", height=3.5)], "landscape")
    blocks: list[Block] = [Words(line, "bold", tag="caution") for line in caution_lines(context, context.harness.contacts)]
    blocks += [_table(rows, width), Heading("By the spool"), _totals(listing, width)]
    if listing.zero_length:
        blocks.append(Words(f"Not to cut: links inside one box ({listed(listing.zero_length)})."))
    blocks.append(Words("Cut is finished length rounded up. Cut no wire before its route is proved on the vehicle."))
    return set_pages(context, ref, blocks, "landscape")


def _table(rows: list[Band | Lines], width: float) -> Layout:
    """The rows in columns as wide as they need; those with nothing in them are left out."""
    lines = [row for row in rows if not isinstance(row, Band)]
    heads = {key: head for key, head in HEADS.items() if key not in OPTIONAL or any(line.get(key) for row in lines for line in row)}
    widths = fit_widths(heads, lines, width, fixed={"done": 11.0}, grows=("label",))
    laid: list[Row] = []
    for row in rows:
        laid += [row] if isinstance(row, Band) else stack_rows(Stack(row), widths)
    return lay_out(table_columns(heads, widths), laid, width)


def _rows(context: Context, listing: CutList) -> Iterator[Band | Lines]:
    for kind, spools in groupby(listing.spools, key=lambda spool: (spool.spool.size, spool.spool.type)):
        spools = list(spools)
        yield Band(_kind_words(*kind, [total for total in listing.totals if (total.spool.size, total.spool.type) == kind]))
        for spool in spools:
            for row in spool.rows:
                lengths = {"cut": _length(context, row.cut_mm), "finished": _length(context, row.finished_mm)}
                yield _wire_lines(context, row, lengths, row.spool != spool.spool)
    if listing.cables:
        yield Band("Cables, each cut once; its cores beneath it")
    for cable in listing.cables:
        yield _cable_lines(context, cable)
        for row in cable.rows:
            yield _wire_lines(context, row, {"cut": row.core, "finished": f"in {cable.cable}"}, False)


def _wire_lines(context: Context, row: CutRow, lengths: dict[str, Item], other_spool: bool) -> Lines:
    """The wire with its end A, below it end B; a partner from another spool says so in a third line."""
    difference = "" if row.cable else _difference(context, row.difference_mm)
    lay = context.mm(row.lay_mm) if row.pair and row.lay_mm else ""
    lines: list[dict[str, Item]] = [
        {"wire": row.wire, "colour": known(row.spool.colour, "colour"), **lengths, "end": "A", **_end(context, row.a), "pair": row.pair, "done": EmptyBox("done")},
        {"wire": row.circuit, "finished": difference, "end": "B", **_end(context, row.b), "pair": lay},
    ]
    return [*lines, {"pair": "other spool"}] if other_spool else lines


def _cable_lines(context: Context, cable: CutCable) -> Lines:
    shield = f"shield: {cable.shield or 'not known yet'}"
    about = ", ".join(text for text in (cable.part, cable.colour, shield) if text)
    return [
        {"wire": cable.cable, "cut": _length(context, cable.cut_mm), "finished": _length(context, cable.finished_mm), "label": about, "done": EmptyBox("done")},
        {"finished": _difference(context, cable.difference_mm)},
    ]


def _end(context: Context, end: CutEnd) -> dict[str, Item]:
    at = EmptyBox("far end") if end.address == UNKNOWN else "open" if end.address == OPEN else end.address
    strip = context.mm(end.strip_mm) if end.strip_mm is not None else ""
    return {"at": at, "terminal": end.terminal, "seal": end.seal, "strip": strip, "label": end.label}


def _length(context: Context, length_mm: float | None) -> Item:
    return known(None if length_mm is None else context.mm(length_mm), "length")


def _difference(context: Context, difference_mm: float | None) -> str:
    """``+35 mm`` where the measured length is that much more than the computed one; "" where they agree."""
    if difference_mm is None or abs(difference_mm) < SAME_MM:
        return ""
    return f"{'+' if difference_mm > 0 else '−'}{context.mm(abs(difference_mm))}"


def _kind_words(size: str, insulation: str, totals: Sequence[SpoolTotal]) -> str:
    """``2 mm², PVC 85 C: 4 wires in 3 colours, 6.12 m``."""
    wires, metres, lacking = (sum(getattr(total, key) for total in totals) for key in ("count", "metres", "without_length"))
    words = f"{wires} {'wire' if wires == 1 else 'wires'}"
    if len(totals) > 1:
        words += f" in {len(totals)} colours"
    return (f"{size or 'size not known yet'}, {insulation or 'insulation not known yet'}: {words}, {metres:.2f} m"
            + (f", {lacking} of them without a length" if lacking else ""))


def _totals(listing: CutList, width: float) -> Layout:
    rows = [(total.spool.size or EmptyBox("size"), total.spool.type or EmptyBox("insulation"), total.spool.colour or EmptyBox("colour"), str(total.count), f"{total.metres:.2f}",
             str(total.without_length) if total.without_length else "", EmptyBox("there")) for total in listing.totals]
    columns = [Column("Size", 24), Column("Insulation"), Column("Colour", 30), Column("Wires", 16, anchor="end"), Column("Metres", 20, anchor="end"),
               Column("Without length", 22, anchor="end"), Column("There", 14)]
    return lay_out(columns, rows, width)
