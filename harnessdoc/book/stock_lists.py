"""The stock plan as CSV: the stock, the cuts, and what is bought. They keep to the rules of ``lists.py``.

Takes: a Context. Gives: the text of a file, with no line below its headings where nothing is merged.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..merge.stock import Cut, StockPiece, ToBuy
from ..sheets.context import Context
from ..sheets.stock_plan import SPOOL, Planned, planned, to_buy_words
from .lists import as_csv, number

STOCK_HEADINGS = ("size", "colour", "length-mm", "usable-mm", "type", "piece", "source", "what", "fate", "terminals", "held", "note", "cut-for", "left-mm")
CUT_HEADINGS = ("size", "type", "colour", "wire", "from", "to", "cut-mm", "cut-from", "colour-of-piece", "left-mm")
BUY_HEADINGS = ("size", "type", "colour", "wires", "net-m", "to-buy-m", "spools", "spool-m", "longer-than-a-spool", "without-length", "note")


def stock_csv(context: Context) -> str:
    """One line a piece, in the order of the sheet."""
    found = _planned(context)
    return as_csv(STOCK_HEADINGS, (_piece(context, found, piece) for piece in found.stock) if found else ())


def stock_cuts_csv(context: Context) -> str:
    """One line a new wire, in the order of the cut list; ``cut-from`` is a piece, or ``spool``."""
    found = _planned(context)
    return as_csv(CUT_HEADINGS, (_cut(context, cut) for cut in found.plan.cuts) if found else ())


def to_buy_csv(context: Context) -> str:
    """One line a kind of wire, of what comes off spools; no quantity where no length is known, and the least of it where one is not."""
    found = _planned(context)
    return as_csv(BUY_HEADINGS, (_to_buy(context, found, line) for line in found.plan.to_buy) if found else ())


def _planned(context: Context) -> Planned | None:
    return planned(context, context.merge) if context.merge else None


def _piece(context: Context, found: Planned, piece: StockPiece) -> Iterator[str]:
    yield from (str(piece.size) if piece.size else "", context.colour(piece.colour), number(piece.length_mm), number(piece.usable_mm), str(piece.type) if piece.type else "", piece.id, piece.from_)
    yield from (piece.what.value, piece.fate.value, "; ".join(piece.terminal), piece.held, "; ".join(filter(None, (piece.note, f"with {', '.join(piece.wires)}" if piece.wires else ""))))
    yield from (" ".join(found.cut_for(piece)), number(found.plan.left.get(piece.id)))


def _cut(context: Context, cut: Cut) -> Iterator[str]:
    row = cut.row
    yield from (row.spool.size, row.spool.type, row.spool.colour, row.wire, row.a.address, row.b.address, number(row.cut_mm))
    yield from (cut.piece.id, context.colour(cut.piece.colour)) if cut.piece else (SPOOL, "")
    yield number(cut.left_mm)


def _to_buy(context: Context, found: Planned, line: ToBuy) -> Iterator[str]:
    yield from (line.spool.size, line.spool.type, line.spool.colour, " ".join(line.wires))
    yield from (number(line.net_mm / 1000), number(line.buy_mm / 1000), str(line.spools)) if line.net_mm else ("", "", "")
    yield from (number(found.plan.spool_mm / 1000), " ".join(line.too_long), " ".join(line.without_length), "; ".join(to_buy_words(context, line)) if line.without_length else "")
