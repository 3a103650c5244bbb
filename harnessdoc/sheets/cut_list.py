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

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from math import ceil

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox
from ..geometry.cut_list import CutCable, CutEnd, CutList, CutRow, SpoolTotal, cut_list
from ..model.harness import OPEN, UNKNOWN
from ..revision.changes import Thing
from .cautions import caution_lines
from .context import Context, SheetRef
from .flow import Heading, Words, free_area
from .list_cells import known, listed
from .marking import Draft, marked_pages
from .stacks import Item, Lines, Stack
from .stock_plan import SLEEVES, sleeves_of
from .tables import Key, PlainRow, PlainTable, StackTable, keyed_rows

SAME_MM = 0.05
"""A measured and a computed length that differ by less are one."""
TOTALS_WIDTH = 172.0
"""The totals are no wider than this: a row with little in it is lost from sight across a whole page."""
NARROW = 200.0
"""A page that leaves no more width than this has seal, pair and finished length under terminal, wire and cut length."""
HEADS = {"wire": "Wire, circuit", "colour": "Colour", "cut": "Cut", "finished": "Finished, measured ± routed", "end": "End", "at": "At", "terminal": "Terminal",
         "seal": "Seal", "strip": "Strip", "label": "Label", "pair": "Pair, lay", "done": "Done"}
NARROW_HEADS = {"wire": "Wire, circuit, pair", "colour": "Colour", "cut": "Cut, finished, measured ± routed", "end": "End", "at": "At", "terminal": "Terminal, seal",
                "strip": "Strip", "label": "Label", "done": "Done"}
OPTIONAL = ("seal", "pair")
"""Columns that are left out where nothing stands in them."""


def draw_cut_list(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The wires, the cables, and how much of each spool they take."""
    return marked_pages(context, ref, _blocks, "landscape", two_ends=True)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    listing = cut_list(context.harness, context.geometry, context.convention, context.join_numbers, context.is_there)
    width = free_area(context.paper, "landscape").w
    sleeves = sleeves_of(context)
    rows = list(_rows(context, listing, sleeves))
    if not rows:
        yield Words("No wire to cut is described.", height=3.5)
        return
    for line in caution_lines(context, context.harness.contacts):
        yield Words(line, "bold", tag="caution")
    yield Words("Cut no wire before its route is proved on the vehicle. Cut is finished length rounded up; ± says how much a measured length differs from its route."
                + (f" {SLEEVES}" if sleeves else ""))
    yield _table(rows, width)
    if listing.totals:
        yield Heading("By the spool")
        yield _totals(context, listing, width)
    if listing.zero_length:
        yield Words(f"Not to cut: links inside one box ({listed(listing.zero_length)}).")
    if context.harness.segments:
        yield Heading("The bundle, segment by segment")
        yield _bundle(context, width)


def _table(rows: Iterable[tuple[Key, Band | Lines]], width: float) -> StackTable:
    """The rows in columns as wide as they need; those with nothing in them are left out."""
    wide = width > NARROW
    keyed = keyed_rows((key, row if isinstance(row, Band) else Stack(row if wide else _narrow(row))) for key, row in rows)
    return StackTable(("wires",), HEADS if wide else NARROW_HEADS, keyed, width, {"done": 11.0}, ("label",), "wire", (), OPTIONAL)


def _narrow(lines: Lines) -> Lines:
    """The lines of one wire for a narrow page, two for each end; a label is broken before its far end."""
    under = ("seal", "finished", "pair", "label")
    a, b, *more = lines
    (label_a, far_a), (label_b, far_b) = (_parted(line.get("label", "")) for line in (a, b))
    laid: list[dict[str, Item]] = [
        {**{key: item for key, item in a.items() if key not in under}, "label": label_a},
        {"wire": b.get("wire", ""), "cut": a.get("finished", ""), "terminal": a.get("seal", ""), "label": far_a},
        {**{key: item for key, item in b.items() if key not in under}, "wire": a.get("pair", ""), "cut": b.get("finished", ""), "label": label_b},
        {"wire": b.get("pair", ""), "terminal": b.get("seal", ""), "label": far_b},
        *({"wire": line.get("pair", ""), "label": line.get("label", "")} for line in more),
    ]
    while not any(laid[-1].values()):
        laid.pop()
    return laid


def _parted(label: Item) -> tuple[Item, Item]:
    """``302 0.5 mm² GN |`` and ``to K1.85``; a text with no bar stays whole."""
    text, bar, far = label.rpartition(" | ") if isinstance(label, str) else ("", "", "")
    return (f"{text} |", far) if bar else (label, "")


def _rows(context: Context, listing: CutList, sleeves: Mapping[str, str]) -> Iterator[tuple[Key, Band | Lines]]:
    pairs: dict[str, list[str]] = {}
    for row in (row for spool in listing.spools for row in spool.rows):
        pairs.setdefault(row.pair, []).append(row.wire)
    for kind, spools in groupby(listing.spools, key=lambda spool: (spool.spool.size, spool.spool.type)):
        spools = list(spools)
        yield ("kind", *(text or "" for text in kind)), Band(_kind_words(context, *kind, [total for total in listing.totals if (total.spool.size, total.spool.type) == kind]))
        for spool in spools:
            for row in spool.rows:
                lengths = {"cut": _length(context, row.cut_mm), "finished": _length(context, row.finished_mm)}
                partners = [wire for wire in pairs[row.pair] if wire != row.wire] if row.pair else []
                yield ((Thing.WIRE, row.wire),), _wire_lines(context, row, lengths, partners, (row.spool.size, row.spool.type) != kind, sleeves.get(row.wire, ""))
    if listing.cables:
        yield ("cables",), Band("Cables, each cut once; its cores beneath it")
    for cable in listing.cables:
        yield ((Thing.CABLE, cable.cable),), _cable_lines(context, cable)
        for row in cable.rows:
            yield ((Thing.WIRE, row.wire),), _wire_lines(context, row, {"cut": row.core, "finished": f"in {cable.cable}"}, (), False, "")


def _wire_lines(context: Context, row: CutRow, lengths: dict[str, Item], partners: Sequence[str], other_kind: bool, sleeve: str) -> Lines:
    """The wire with its end A, below it end B; a third line says of a partner that it is not of the heading's size and insulation, and of what colour the sleeves are."""
    difference = "" if row.cable else _difference(context, row.difference_mm)
    pair = f"{row.pair} with {listed(partners)}" if partners else row.pair
    lay = f"lay {context.mm(row.lay_mm)}" if row.pair and row.lay_mm else ""
    lines: list[dict[str, Item]] = [
        {"wire": row.wire, "colour": known(row.spool.colour, "colour"), **lengths, "end": "A", **_end(context, row.a), "pair": pair, "done": EmptyBox("done")},
        {"wire": row.circuit, "finished": difference, "end": "B", **_end(context, row.b), "pair": lay},
    ]
    third = {"pair": f"of {row.spool.size or 'size not known yet'}, {row.spool.type or 'insulation not known yet'}" if other_kind else "", "label": sleeve}
    return [*lines, third] if any(third.values()) else lines


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


def _kind_words(context: Context, size: str, insulation: str, totals: Sequence[SpoolTotal]) -> str:
    """``2 mm², PVC 85 C: 4 wires in 3 colours, 6.12 m``."""
    wires, metres, lacking = (sum(getattr(total, key) for total in totals) for key in ("count", "metres", "without_length"))
    words = f"{wires} {'wire' if wires == 1 else 'wires'}"
    if len(totals) > 1:
        words += f" in {len(totals)} colours"
    return (f"{size or 'size not known yet'}, {insulation or 'insulation not known yet'}: {words}, {context.run(metres)}"
            + (f", {lacking} of them without a length" if lacking else ""))


def _totals(context: Context, listing: CutList, width: float) -> PlainTable:
    rows = [(_spool_key(total), (total.spool.size or EmptyBox("size"), total.spool.type or EmptyBox("insulation"), total.spool.colour or EmptyBox("colour"), str(total.count), context.run(total.metres),
             str(total.without_length) if total.without_length else "", EmptyBox("there"))) for total in listing.totals]
    columns = (Column("Size", 24), Column("Insulation"), Column("Colour", 30), Column("Wires", 16, anchor="end"), Column("Length", 20, anchor="end"),
               Column("Without length", 22, anchor="end"), Column("There", 14))
    return PlainTable(("spools",), columns, keyed_rows(rows), min(width, TOTALS_WIDTH))


def _spool_key(total: SpoolTotal) -> Key:
    return "spool", *(text or "" for text in (total.spool.size, total.spool.type, total.spool.colour))


def _bundle(context: Context, width: float) -> PlainTable:
    """What covering and grommets are chosen by: length, wires and diameter of every segment."""
    rows: list[tuple[Key, PlainRow]] = []
    for segment in context.harness.segments.values():
        bundle = context.geometry.bundles[segment.id]
        wide = bundle.widest_mm
        rows.append((((Thing.SEGMENT, segment.id),), (
            segment.id, f"{segment.from_} to {segment.to}", _length(context, segment.length_mm), str(len(bundle.wires)),
            known(_diameter(context, bundle.diameter_mm), "diameter") if bundle.wires else "",
            "" if wide is None or wide == bundle.diameter_mm else _diameter(context, wide), str(bundle.unknown) if bundle.unknown else "",
            segment.covering, "" if segment.grommet_mm is None else _diameter(context, segment.grommet_mm),
        )))
    across = width > TOTALS_WIDTH
    columns = (Column("Segment", 18 if across else 14), Column("From, to"), Column("Length", 20, anchor="end"), Column("Wires", 14, anchor="end"), Column("Diameter", 20, anchor="end"),
               Column("At a splice", 20, anchor="end"), Column("Of unknown size", 18, anchor="end"), Column("Covering", 42 if across else 20), Column("Grommet bore", 20, anchor="end"))
    return PlainTable(("segments",), columns, keyed_rows(rows), width)


def _diameter(context: Context, diameter_mm: float | None) -> str:
    """Rounded up to half a millimetre; in inches as the lengths are."""
    return "" if diameter_mm is None else context.mm(ceil(round(diameter_mm * 2, 6)) / 2)
