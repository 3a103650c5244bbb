"""The stock plan: what the vehicles give, what is cut from it, and what is bought.

The stock stands by size, colour and length, so that a piece is found from the bench; of a piece that
is cut the list says for which wires, and what is left. Then every new wire in the order of the cut list, with
the piece it is cut from and a box to tick; where its colour is not the one wanted, both are told, and a ground
cut from a piece of another colour is sleeved at both ends. Last what has to come off spools.
No row has flags of findings: those of a new wire stand on the cut list.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox
from ..geometry.cut_list import CutRow, cut_list, metres
from ..geometry.no_length import why_no_length
from ..merge.plan import Merge
from ..merge.stock import SPARE, TRIM_MM, USEFUL_MM, Cut, StockPiece, StockPlan, ToBuy, What, find_stock, plan_from_stock
from ..model.harness import Kind
from ..revision.changes import Thing
from ..trade.colours import CONVENTIONS, Colour, ground_colour, is_ground_colour, word
from .context import Context, SheetRef, swatch_letters
from .flow import Heading, Words, free_area
from .list_cells import known, listed
from .marking import Draft, marked_pages
from .stacks import Item, Stack, Strong, Swatch, Under, under
from .tables import Keyed, PlainTable, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN

NARROW = 200.0
"""A page that leaves no more width than this has the piece under its colour, and what it is cut for under what is left."""
SPOOL = "spool"
"""What a wire is cut from that the stock does not give."""
STOCK_HEADS = {"colour": "Colour", "swatch": "", "length": "Length", "type": "Insulation", "piece": "Piece", "what": "What", "terminal": "Still crimped on", "note": "Note",
               "cut": "Cut for", "left": "Left", "there": "There"}
NARROW_STOCK = {"colour": "Colour, insulation", "swatch": "", "length": "Length, left", "piece": "Piece, what", "terminal": "Still crimped on, note", "cut": "Cut for", "there": "There"}
CUT_HEADS = {"wire": "New wire", "ends": "Leads", "size": "Size", "type": "Insulation", "colour": "Colour", "swatch": "", "cut": "Cut", "from": "Cut it from", "differs": "Another colour", "left": "Left of it", "done": "Done"}
NARROW_CUT = {"wire": "New wire", "size": "Size, insulation", "colour": "Colour", "swatch": "", "cut": "Cut", "from": "Cut it from", "left": "Left of it", "done": "Done"}
SLEEVES = "A wire to ground is known by its colour: where the piece has another, a sleeve goes over each end before the terminal is crimped (common practice)."
OPTIONAL = ("terminal", "note", "cut", "left", "differs")
"""Columns that are left out where nothing stands in them."""


@dataclass(frozen=True, slots=True)
class Planned:
    """The stock, the plan, and the rows of the cut list that are new."""

    stock: tuple[StockPiece, ...]
    plan: StockPlan

    def cut_for(self, piece: StockPiece) -> tuple[str, ...]:
        """The new wires that a piece gives."""
        return tuple(cut.row.wire for cut in self.plan.cuts if cut.piece is piece)

    def unsaid(self) -> tuple[CutRow, ...]:
        """New wires that no piece can be chosen for: their size, insulation or length is not known."""
        return tuple(cut.row for cut in self.plan.cuts if not (cut.row.spool.size and cut.row.spool.type and cut.row.cut_mm))


def planned(context: Context, merge: Merge) -> Planned:
    """What the sheet and the lists tell."""
    listing = cut_list(context.harness, context.geometry, context.convention, context.join_numbers, context.is_there)
    stock = find_stock(merge, context.geometry)
    rows: list[CutRow] = [row for spool in listing.spools for row in spool.rows]
    return Planned(stock, plan_from_stock(stock, rows, context.harness.wires))


def sleeve_words(context: Context, cut: Cut) -> str:
    """``sleeve it black at both ends``, for a wire to ground that is cut from a piece of another colour; "" for all others.

    The sleeve has the wire's own colour where that is one of grounds, else that of the convention of the merge (common practice).
    """
    harness, wire = context.harness, context.harness.wires[cut.row.wire]
    if cut.piece is None or cut.piece.colour is None:
        return ""
    island = context.network.island_of.get(wire.from_, context.network.island_of.get(wire.to))
    if island is None or not any(harness.contacts[address].kind is Kind.GROUND for address in context.network.islands[island]):
        return ""
    sleeve = wire.colour if wire.colour is not None and is_ground_colour(wire.colour) else ground_colour(harness.convention or CONVENTIONS[0])
    return "" if cut.piece.colour.base == sleeve.base else f"sleeve it {word(sleeve)} at both ends"


def sleeves_of(context: Context) -> Mapping[str, str]:
    """New wire -> what is said of its sleeves; none where nothing is merged."""
    cuts = planned(context, context.merge).plan.cuts if context.merge else ()
    return {cut.row.wire: words for cut in cuts if (words := sleeve_words(context, cut))}


def draw_stock_plan(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The stock, the cuts, and what is bought."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    if context.merge is None:
        return
    found = planned(context, context.merge)
    width = free_area(context.paper, "landscape").w
    yield Words("Cut new wire from the stock first. Measure a piece before it is cut: its length is the one as found.")
    if found.stock:
        yield Heading("The stock")
        yield _stock(context, found, width)
        yield Words(f"An end that was in use is not used again: {context.mm(TRIM_MM)} come off it (common practice). An offcut of {context.mm(USEFUL_MM)} or more is worth a label: keep it.")
        if any(piece.held for piece in found.stock):
            yield Words("Nothing is cut from a cable, or from a connector that is set aside whole. To have the wires of a connector cut, say that they are removed, not stored.")
    else:
        yield Words("No wire leaves, and no far half: there is no stock.", height=3.5)
    if not found.plan.cuts:
        yield Words("The merge has no new wire to cut.", height=3.5)
        return
    yield Heading("What is cut")
    yield _cuts(context, found, width)
    if any(sleeve_words(context, cut) for cut in found.plan.cuts):
        yield Words(SLEEVES)
    if unsaid := found.unsaid():
        yield Words(f"No piece could be chosen for {'; '.join(f'{row.wire} ({unsaid_words(context, row)})' for row in unsaid)}.")
    if not found.plan.is_exact:
        yield Words("Where more than a few wires are of one kind the longest is cut first; a little less may do.")
    if found.plan.to_buy:
        yield Heading("To buy")
        yield Words(f"Net length and {SPARE:.0%} more (common practice), in spools of {context.run(found.plan.spool_mm / 1000)}.")
        yield _to_buy(context, found.plan.to_buy, width)
        if too_long := [wire for line in found.plan.to_buy for wire in line.too_long]:
            yield Words(f"Longer than a spool, so to be bought each in one length: {listed(too_long)}.", "bold")


# ------------------------------------------------------------------------------ the stock

def _stock(context: Context, found: Planned, width: float) -> StackTable:
    wide = width > NARROW
    rows: list[Keyed] = []
    for (is_connector, size), pieces in groupby(found.stock, key=lambda piece: (piece.what is What.CONNECTOR, str(piece.size or ""))):
        group = list(pieces)
        rows.append(Keyed(("size", "connector" if is_connector else size), Band(_band(context, is_connector, size, group))))
        for piece in group:
            line = _piece(context, found, piece)
            rows.append(Keyed(("stock", piece.id), Stack([line if wide else _narrow_piece(line)])))
    return StackTable(("stock",), STOCK_HEADS if wide else NARROW_STOCK, tuple(rows), width, {"swatch": SWATCH_COLUMN, "there": 12.0}, ("terminal", "note"), "piece", (), OPTIONAL, is_flagged=False)


def _band(context: Context, is_connector: bool, size: str, pieces: Sequence[StockPiece]) -> str:
    """``0.5 mm²: 3 pieces, 1.20 m, 1 of them without a length, 2 not to be cut``."""
    count = len(pieces)
    if is_connector:
        return f"Set aside whole: {count} connector{'s' * (count != 1)}"
    words = f"{size or 'size not known yet'}: {count} piece{'s' * (count != 1)}"
    lacking = sum(piece.length_mm is None for piece in pieces)
    held = sum(bool(piece.held) for piece in pieces)
    kept = "" if not held else ", not to be cut" if held == count else f", {held} of them not to be cut"
    if lacking == count:
        return f"{words} without a length{kept}"
    return f"{words}, {context.run(metres(piece.length_mm for piece in pieces))}" + (f", {lacking} of them without a length" if lacking else "") + kept


def _piece(context: Context, found: Planned, piece: StockPiece) -> dict[str, Item]:
    line: dict[str, Item] = {"piece": Strong(piece.id), "what": f"{piece.what.value}, {piece.fate.value}", "there": EmptyBox("there")}
    if piece.what is What.CONNECTOR:
        return {**line, "note": "; ".join(filter(None, (piece.note, f"with {listed(piece.wires)}")))}
    left = found.plan.left.get(piece.id)
    return {
        **line, "colour": known(context.colour(piece.colour), "colour"), "swatch": Swatch(swatch_letters(piece.colour)),
        "length": known(None if piece.length_mm is None else context.mm(round(piece.length_mm)), "length"), "type": known(str(piece.type) if piece.type else None, "insulation"),
        "terminal": Under(piece.terminal) if piece.terminal else "", "note": "; ".join(filter(None, (piece.held, piece.note))), "cut": listed(found.cut_for(piece)), "left": "" if left is None else _left(context, left),
    }


def _left(context: Context, left_mm: int) -> str:
    return f"{context.mm(left_mm)}, keep" if left_mm >= USEFUL_MM else context.mm(left_mm)


def _narrow_piece(line: Mapping[str, Item]) -> dict[str, Item]:
    left = line.get("left")
    return {"colour": _under(line, "colour", "type"), "swatch": line.get("swatch", ""), "length": _under({**line, "left": f"left {left}" if left else ""}, "length", "left"),
            "piece": _under(line, "piece", "what"), "terminal": _under(line, "terminal", "note"), "cut": line.get("cut", ""), "there": line["there"]}


def _under(line: Mapping[str, Item], *keys: str) -> Under:
    items = [line.get(key, "") for key in keys]
    return under(*(one for item in items for one in (item.items if isinstance(item, Under) else (item,))))


# ------------------------------------------------------------------------------- the cuts

def _cuts(context: Context, found: Planned, width: float) -> StackTable:
    wide = width > NARROW
    rows = []
    for cut in found.plan.cuts:
        line = _cut(context, cut, context.harness.wires[cut.row.wire].colour)
        rows.append((((Thing.WIRE, cut.row.wire),), Stack([line if wide else _narrow_cut(line)])))
    return StackTable(("cuts",), CUT_HEADS if wide else NARROW_CUT, keyed_rows(rows), width, {"swatch": SWATCH_COLUMN, "done": 12.0}, ("ends", "from") if wide else ("from",), "wire", (), OPTIONAL, is_flagged=False)


def _cut(context: Context, cut: Cut, wanted: Colour | None) -> dict[str, Item]:
    spool = cut.row.spool
    return {
        "wire": Strong(cut.row.wire), "ends": f"{cut.row.a.address} to {cut.row.b.address}", "size": known(spool.size, "size"), "type": known(spool.type, "insulation"), "colour": known(spool.colour, "colour"), "swatch": Swatch(swatch_letters(wanted)),
        "cut": known(None if cut.row.cut_mm is None else context.mm(cut.row.cut_mm), "length"), "from": Strong(cut.piece.id) if cut.piece else SPOOL,
        "differs": under(*differs) if (differs := [*filter(None, (differs_words(context, cut), sleeve_words(context, cut)))]) else "", "left": "" if cut.left_mm is None else context.mm(cut.left_mm), "done": EmptyBox("done"),
    }


def unsaid_words(context: Context, row: CutRow) -> str:
    """``size not known, length not known: segment T3 has no length``: what a piece cannot be chosen without."""
    if row.cut_mm is None:
        length = f"length not known: {why_no_length(context.harness, context.geometry, row.wire)}"
    else:
        length = "" if row.cut_mm else "no length between its ends"
    return ", ".join(filter(None, ("" if row.spool.size else "size not known", "" if row.spool.type else "insulation not known", length)))


def to_buy_words(context: Context, line: ToBuy) -> tuple[str, ...]:
    """``2.90 m``; where a length is not known ``at least 2.90 m``, ``2 pieces of unknown length``."""
    count = len(line.without_length)
    known_mm = context.run(line.buy_mm / 1000) if line.net_mm else ""
    return tuple(filter(None, (f"at least {known_mm}" if known_mm and count else known_mm, f"{count} piece{'s' * (count > 1)} of unknown length" if count else "")))


def differs_words(context: Context, cut: Cut) -> str:
    """``GN, not RD``; "" where the colour is the one wanted."""
    if not cut.differs or cut.piece is None:
        return ""
    return f"{context.colour(cut.piece.colour) or 'not known'}, not {cut.row.spool.colour}"


def _narrow_cut(line: Mapping[str, Item]) -> dict[str, Item]:
    return {**{key: line[key] for key in ("wire", "colour", "swatch", "cut", "left", "done")}, "size": _under(line, "size", "type"), "from": _under(line, "from", "differs")}


def _to_buy(context: Context, lines: Sequence[ToBuy], width: float) -> PlainTable:
    rows = [(("spool", line.spool.size, line.spool.type, line.spool.colour), (
        line.spool.size or EmptyBox("size"), line.spool.type or EmptyBox("insulation"), line.spool.colour or EmptyBox("colour"), listed(line.wires),
        context.run(line.net_mm / 1000) if line.net_mm else "", to_buy_words(context, line), str(line.spools) if line.net_mm else "", EmptyBox("here"))) for line in lines]
    wide = width > NARROW
    columns = (Column("Size", 22), Column("Insulation", 30 if wide else 22), Column("Colour", 26 if wide else 18), Column("For"), Column("Net", 18, anchor="end"), Column("To buy", 46 if wide else 30, anchor="end"),
               Column("Spools", 15, anchor="end"), Column("Here", 12))
    return PlainTable(("to buy",), columns, keyed_rows(rows), width)
