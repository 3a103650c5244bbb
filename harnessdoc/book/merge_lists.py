"""The lists of a merge as CSV: every join with its ends, every wire with its fate. They keep to the rules of ``lists.py``.

Takes: a Context. Gives: the text of a file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from ..merge.fit import far_mm, fits
from ..merge.plan import Decision, Join, Merge
from ..sheets.context import Context
from ..sheets.fates import in_order
from ..sheets.join_ends import JoinEnd, Spot, ends_of, joins_in_order, reaches, spots_of
from .lists import LISTS, as_csv, number
from .stock_lists import stock_csv, stock_cuts_csv, to_buy_csv

JOIN_HEADINGS = ("join", "end", "source", "address", "title", "function", "signal", "wire", "circuit", "size", "colour", "colour-as-stated", "cut", "stub-mm", "stub-measured",
                 "stub-less-way-mm", "lands", "method", "place", "strip-mm", "overlap-mm", "piece", "through", "label", "note")
FATE_HEADINGS = ("source", "wire", "from", "to", "size", "colour", "colour-as-stated", "circuit", "length-mm", "length-less-way-mm", "fate", "why", "by", "joins", "far-half", "far-half-mm")


def joins_csv(context: Context) -> str:
    """One line an end, the joins counted up; what is said of a whole join stands at each of its ends. No line where nothing is merged."""
    merge = context.merge
    reach = reaches(context) if merge else {}
    return as_csv(JOIN_HEADINGS, (_join_row(context, join, end) for join in (joins_in_order(merge) if merge else ()) for end in ends_of(context, join, reach)))


def fates_csv(context: Context) -> str:
    """One line a wire as found, in the order of the fate lists, source by source. No line where nothing is merged."""
    merge = context.merge
    over_mm = {fit.wire: fit.over_mm for fit in fits(merge, context.harness, context.geometry) if not fit.join} if merge else {}
    return as_csv(FATE_HEADINGS, (_fate_row(context, merge, decision, over_mm.get(decision.wire)) for source in merge.sources.values() for decision in in_order(merge, source)) if merge else ())


MERGE_LISTS: Mapping[str, Callable[[Context], str]] = {"joins.csv": joins_csv, "fates.csv": fates_csv, "stock.csv": stock_csv, "stock-cuts.csv": stock_cuts_csv, "to-buy.csv": to_buy_csv}
"""File name -> what writes it."""


def lists_of(context: Context) -> Mapping[str, Callable[[Context], str]]:
    """The lists that a book has."""
    return {**LISTS, **MERGE_LISTS} if context.merge else LISTS


def _join_row(context: Context, join: Join, end: JoinEnd) -> Iterator[str]:
    wire, contact = end.wire, end.contact
    yield from (join.id, end.letter, end.end.source, end.end.address, end.title, *((contact.function, contact.signal) if contact else ("", "")), end.end.wire)
    yield from (wire.circuit, str(wire.size) if wire.size else "", context.colour(wire.colour), wire.colour_as_stated, "yes" if end.end.cut else "no") if wire else [""] * 5
    yield from (number(end.stub_mm), "" if end.stub_mm is None else "yes" if end.end.stub else "no", number(end.fit.over_mm if end.fit else None))
    place = "; ".join(dict.fromkeys(filter(None, (_place(context, spot) for spot in spots_of(context, join)))))
    yield from (end.end.lands, join.method, place, number(join.strip.mm if join.strip else None), number(join.overlap.mm if join.overlap else None))
    yield from (join.piece, join.through, end.label, join.note)


def _place(context: Context, spot: Spot) -> str:
    """``40 mm from bulkhead toward engine bay``; "" where it is not known."""
    station = context.geometry.stations.get(spot.at)
    if station is not None and station.toward_point is not None:
        return f"{number(station.distance_mm)} mm from {station.from_point} toward {station.toward_point}"
    return f"at {spot.point}" if spot.point else ""


def _fate_row(context: Context, merge: Merge, decision: Decision, over_mm: float | None) -> Iterator[str]:
    """over_mm: what a wire that stays whole is longer than its way now, in mm; None where that is not known."""
    source = merge.sources[decision.source]
    wire = source.harness.wires[decision.wire.partition("/")[2]]
    far = merge.far_halves.get(f"{decision.wire}-far")
    yield from (source.name, decision.wire, *(source.id(end) if end in source.harness.contacts else end for end in (wire.from_, wire.to)))
    yield from (str(wire.size) if wire.size else "", context.colour(wire.colour), wire.colour_as_stated, wire.circuit, number(source.geometry.lengths[wire.id].finished_mm))
    yield from (number(over_mm), decision.fate.value, decision.why, decision.by, " ".join(decision.joins))
    yield from (far.fate.value, number(far_mm(merge, context.geometry, far.id))) if far else ("", "")
