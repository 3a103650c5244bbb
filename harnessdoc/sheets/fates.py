"""The fate list of a source: what becomes of every one of its wires, and what leaves with them.

The wires stand as they were found, under their fate: those without one first, as they have to be decided before anything is
cut; then by id. The fate stands in each row as a letter and a word. Of a wire that stays whole the list says whether it
reaches where it leads now, of one that is cut what becomes of its far half. Below: the devices, connectors and parts that leave, the
positions of boxes that are free then, and the parts that are exchanged.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox
from ..merge.fit import Fit, Verdict, far_mm, fits
from ..merge.plan import Decision, Fate, Merge, Source
from ..model.harness import Harness
from ..network.cavity_order import counted
from .context import Context, SheetRef, swatch_letters
from .flow import Heading, Words, free_area
from .list_cells import known, listed
from .marking import Draft, marked_pages
from .stacks import Item, Stack, Strong, Swatch, under
from .tables import Key, Keyed, PlainTable, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN, end_item

NARROW = 200.0
"""A page that leaves no more width than this has both ends, and size and circuit, one under the other."""
HEADS = {"fate": "Fate", "wire": "Wire", "from": "From", "to": "To", "size": "Size, length", "colour": "Colour", "swatch": "", "stated": "In the source", "circuit": "Circuit",
         "joins": "Joins, far half", "why": "Why", "done": "Done"}
NARROW_HEADS = {"fate": "Fate", "wire": "Wire", "from": "From, to", "colour": "Colour", "swatch": "", "joins": "Joins, far half", "why": "Why", "done": "Done"}
FATES: Mapping[Fate, tuple[str, str]] = {
    Fate.UNDECIDED: ("U", "nobody has said what becomes of it: decide before anything is cut"),
    Fate.JOINED: ("J", "cut or tapped, and tied to the other vehicle"),
    Fate.KEPT: ("K", "left as found"),
    Fate.CAPPED: ("C", "left, and capped at the end that is cut"),
    Fate.REMOVED: ("R", "taken out"),
    Fate.STORED: ("S", "taken out and set aside, with its terminals"),
}
"""Fate -> its letter and what it means, in the order of the list. A letter, so that it is read without colour and in a hurry."""


def draw_fates(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The wires of the source that is the subject of the sheet."""
    return marked_pages(context, ref, _blocks, "landscape")


def fate_word(fate: Fate) -> str:
    """``R removed``; UNDECIDED is written large, as it is still to be done."""
    return f"{FATES[fate][0]} {fate.value.upper() if fate is Fate.UNDECIDED else fate.value}"


def undecided_words(undecided: int, wires: int) -> str:
    """``UNDECIDED: 2 of 16 wires``, or that every wire has a fate."""
    return f"UNDECIDED: {undecided} of {wires} wires." if undecided else f"Every one of {wires} wires has a fate."


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    merge = context.merge
    source = merge.sources.get(ref.subjects[0]) if merge else None
    if merge is None or source is None:
        return
    width = free_area(context.paper, "landscape").w
    decisions = in_order(merge, source)
    counts = Counter(decision.fate for decision in decisions)
    yield Words(f"{source.role.value.capitalize()}, as described in {source.harness.file}: {source.harness.title or source.name}.")
    yield Words(undecided_words(counts[Fate.UNDECIDED], len(decisions)), "bold", 3.5)
    yield _counts(counts, width)
    if decisions:
        yield Heading("Every wire")
        yield _wires(context, merge, source, decisions, width)
    yield from _leaves(merge, source, width)
    yield from _otherwise(merge, source, width)


def in_order(merge: Merge, source: Source) -> list[Decision]:
    """The wires of a source by fate, then counted up."""
    order = {fate: number for number, fate in enumerate(FATES)}
    mine = (decision for decision in merge.decisions.values() if decision.source == source.name)
    return sorted(mine, key=lambda decision: (order[decision.fate], counted(decision.wire)))


def _counts(counts: Counter[Fate], width: float) -> PlainTable:
    rows = keyed_rows(((fate.value,), (fate_word(fate), meaning, str(counts[fate]))) for fate, (_, meaning) in FATES.items())
    return PlainTable(("counts",), (Column("Fate", 30), Column("What it means"), Column("Wires", 16, anchor="end")), rows, min(width, 150.0), pitch=5.0)


# ----------------------------------------------------------------------------- every wire

def _wires(context: Context, merge: Merge, source: Source, decisions: Sequence[Decision], width: float) -> StackTable:
    wide = width > NARROW
    heads = dict(HEADS if wide else NARROW_HEADS)
    found = source.harness.wires
    if wide and not any(context.colour_beside(wire) for wire in found.values()):
        del heads["stated"]
    whole = {fit.wire: fit for fit in fits(merge, context.harness, context.geometry) if not fit.join}
    counts = Counter(decision.fate for decision in decisions)
    rows: list[Keyed] = []
    for fate in dict.fromkeys(decision.fate for decision in decisions):
        count = counts[fate]
        rows.append(Keyed(("fate", fate.value), Band(f"{fate_word(fate)}: {count} wire{'s' * (count != 1)}, {FATES[fate][1]}")))
        for decision in decisions:
            if decision.fate is fate:
                line = _line(context, merge, source, decision, whole.get(decision.wire))
                rows.append(Keyed(("wire", decision.wire), Stack([line if wide else _narrow(line)]), at=(f"wire {decision.wire}",)))
    return StackTable(("wires",), heads, tuple(rows), width, {"swatch": SWATCH_COLUMN, "done": 10.0}, ("why",), "wire", ())


def _line(context: Context, merge: Merge, source: Source, decision: Decision, fit: Fit | None) -> dict[str, Item]:
    wire = source.harness.wires[decision.wire.partition("/")[2]]
    ends = [end_item(context, source.id(end) if end in source.harness.contacts else end) for end in (wire.from_, wire.to)]
    return {
        "fate": Strong(fate_word(decision.fate)), "wire": decision.wire, "from": ends[0], "to": ends[1],
        "size": under(known(str(wire.size) if wire.size else None, "unknown:size"), _length(context, source, wire.id, fit)),
        "colour": known(context.colour(wire.colour), "unknown:colour"), "swatch": Swatch(swatch_letters(wire.colour)), "stated": context.colour_beside(wire), "circuit": wire.circuit,
        "joins": under(listed(decision.joins), *_far_half(context, merge, decision)),
        "why": under(*_misfit(context, fit), EmptyBox("fate") if decision.fate is Fate.UNDECIDED else decision.why or decision.by), "done": EmptyBox("done"),
    }


def _narrow(line: Mapping[str, Item]) -> dict[str, Item]:
    return {"fate": line["fate"], "wire": under(line["wire"], line["size"], line["circuit"]), "from": under(line["from"], line["to"]), "colour": under(line["colour"], line["stated"]),
            "swatch": line["swatch"], "joins": line["joins"], "why": line["why"], "done": line["done"]}


def _far_half(context: Context, merge: Merge, decision: Decision) -> Iterator[str]:
    """``far half R, 280 mm``: the letter of its fate, and its length where it is known."""
    far = merge.far_halves.get(f"{decision.wire}-far")
    if far is not None:
        length = far_mm(merge, context.geometry, far.id)
        yield f"far half {FATES[far.fate][0]}" + (f", {context.mm(length)}" if length else "")


def _length(context: Context, source: Source, wire: str, fit: Fit | None) -> str:
    """``1400 mm fits``: as found, and of a wire that stays whole that it reaches where it leads now; "" where it is not known."""
    found = source.geometry.lengths[wire].finished_mm
    return " ".join(filter(None, (context.mm(found) if found is not None else "", Verdict.FITS.value if fit is not None and fit.verdict is Verdict.FITS else "")))


def _misfit(context: Context, fit: Fit | None) -> Iterator[Item]:
    """By how much a wire that stays whole does not reach, and where it is lengthened; or is too long, and where it is folded back."""
    if fit is None or fit.over_mm is None or fit.verdict not in (Verdict.SHORT, Verdict.LONG):
        return
    by = context.mm(abs(fit.over_mm))
    yield Strong(f"short by {by}: extend at {fit.where}") if fit.verdict is Verdict.SHORT else f"long by {by}: fold back at {fit.where}"


# -------------------------------------------------------------------------- what leaves

def _leaves(merge: Merge, source: Source, width: float) -> Iterator[Draft]:
    gone = {thing: why for thing, why in merge.gone.items() if merge.source_of(thing) is source}
    if gone:
        yield Heading("What leaves with its wires")
        columns = (Column("What", 34), Column("It is"), Column("Why"), Column("Out", 14))
        rows = keyed_rows((("gone", thing), (thing, kind_and_title(source.harness, thing.partition("/")[2]), why, EmptyBox("out"))) for thing, why in gone.items())
        yield PlainTable(("gone",), columns, rows, width)
    freed = [position for position in merge.freed if merge.source_of(position) is source]
    if freed:
        boxes = {source.id(part.id): part.box for part in source.harness.parts.values() if part.box}
        yield Words(f"Positions that become free: {listed(f'{position} in {source.id(boxes[position])}' if position in boxes else position for position in freed)}.")


def _otherwise(merge: Merge, source: Source, width: float) -> Iterator[Draft]:
    """Parts that are exchanged, and splices made anew."""
    mine = {thing: words for thing, words in merge.restated.items() if merge.source_of(thing) is source}
    if mine:
        yield Heading("What stays and is to be otherwise")
        columns = (Column("What", 34), Column("It is"), Column("To be"), Column("Done", 14))
        rows = keyed_rows((("restated", thing), (thing, kind_and_title(source.harness, thing.partition("/")[2]), words, EmptyBox("otherwise"))) for thing, words in mine.items())
        yield PlainTable(("restated",), columns, rows, width)


def kind_and_title(harness: Harness, id: str) -> str:
    """``relay, main relay`` of a thing that owns contacts."""
    if id in harness.parts:
        return _titled(harness.parts[id].kind, harness.parts[id].title)
    for kind, things in (("connector", harness.connectors), ("device", harness.devices), ("box", harness.boxes), ("splice", harness.splices), ("ground", harness.grounds)):
        if id in things:
            return _titled(kind, things[id].title)
    return ""


def _titled(kind: str, title: str) -> str:
    return f"{kind}, {title}" if title else kind
