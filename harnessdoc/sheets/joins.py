"""The join sheet: every numbered tie of the vehicles with both its ends, by number, and once more by where it sits.

The number stands large at the margin, so that a hand in the bundle finds its row. Of each end: where it is, what it does, what
is left of its wire, the colour in the reader's letters and as the source has it, and the text of its label. Beside them how the
join is made, with the sheet of its splice and of its interface. A piece in between has the number of the join.
An end that is not found yet is an empty box, and counted. Below a join stands what its cuts take from copper that stays: its last source or ground as found.

The second table is for the way along the bundle: the joins of each stretch in the order in which a hand meets them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ..drawing.record import Drawing
from ..drawing.table import Band, EmptyBox
from ..geometry.no_length import why_no_length
from ..merge.fit import Fit, Verdict
from ..merge.plan import Join, Merge
from ..merge.stations import without_place
from ..model.harness import UNKNOWN, Kind, Wire
from ..network.cavity_order import counted
from .cautions import caution_lines
from .context import Context, SheetKind, SheetRef, swatch_letters
from .flow import Heading, Words, free_area
from .join_ends import JoinEnd, Spot, ends_of, joins_in_order, reaches, spots_along_the_bundle, takes_words, unknown_ends
from .list_cells import known, sheet_link
from .marking import Draft, marked_pages
from .splice_words import distance_words
from .stacks import Item, Large, Stack, Strong, Swatch, under
from .tables import Key, Keyed, StackTable, keyed_rows
from .wire_lines import SWATCH_COLUMN, UNKNOWN_END, end_item

NARROW = 200.0
"""A page that leaves no more width than this has size, circuit and stub below the wire, and the label below the end."""
HEADS = {"join": "Join", "letter": "End", "end": "Stays at", "wire": "Wire, circuit", "size": "Size", "colour": "Colour", "swatch": "", "stated": "In the source",
         "stub": "Stub", "label": "Label at the join", "made": "How it is made", "done": "Done"}
NARROW_HEADS = {"join": "Join", "letter": "End", "end": "Stays at, label", "wire": "Wire", "colour": "Colour", "swatch": "", "made": "How it is made", "done": "Done"}
PLACE_HEADS = {"where": "Where", "bundle": "Bundle before, at, after", "join": "Join", "letter": "End", "end": "Stays at", "wire": "Wire", "swatch": "", "made": "Method", "done": "Done"}
END_BLOCK = (("letter", "end", "wire", "size", "colour", "swatch", "stated", "stub", "label"),)
"""The lines of an end belong together, and are known by its letter."""
NO_PLACE = "place not given"
TAKES: Mapping[Kind, str] = {Kind.SPLICE: "taken by the splice", Kind.GROUND: "on the ground stud", Kind.BAR: "on the bar", Kind.STUD: "on the terminal"}
"""What stands in place of a wire where the contact itself takes the join."""


def draw_joins(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """By number, then by place."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    merge = context.merge
    if merge is None or not merge.joins:
        yield Words("No join is written yet.", height=3.5)
        return
    width = free_area(context.paper, "landscape").w
    joins = joins_in_order(merge)
    reach = reaches(context)
    ends = {join.id: ends_of(context, join, reach) for join in joins}
    for line in caution_lines(context, (end.contact.address for its in ends.values() for end in its if end.contact)):
        yield Words(line, "bold", tag="caution")
    yield Words(count_words(joins, without_place(context.harness, merge)), "bold", 3.5)
    yield Words(f"Colours in the letters of {context.convention}, base colour first. The label of each end has the number of the join. Stub: from the end that stays to the join.")
    yield Heading("By number")
    yield _by_number(context, merge, joins, ends, width)
    yield Heading("By place")
    yield _by_place(context, ends, width)


def count_words(joins: Sequence[Join], placeless: Sequence[str]) -> str:
    """``34 joins, 2 of them with an end that is not found yet: J3, J9. 1 without a place: J4.``"""
    unknown = unknown_ends(joins)
    open_ends = f"{len(unknown)} of them with an end that is not found yet: {', '.join(unknown)}" if unknown else "both ends of each are known"
    places = f" {len(placeless)} without a place: {', '.join(sorted(placeless, key=counted))}." if placeless else ""
    return f"{len(joins)} join{'s' * (len(joins) != 1)}, {open_ends}.{places}"


# ------------------------------------------------------------------------------- by number

def _by_number(context: Context, merge: Merge, joins: Sequence[Join], ends: Mapping[str, Sequence[JoinEnd]], width: float) -> StackTable:
    wide = width > NARROW
    heads = dict(HEADS if wide else NARROW_HEADS)
    if wide and not any(end.wire and context.colour_beside(end.wire) for its in ends.values() for end in its):
        del heads["stated"]
    rows: list[Keyed] = []
    takes = takes_words(context)
    for join in joins:
        rows.append(Keyed(("join", join.id), _stack(context, merge, join, ends[join.id], wide), at=names_of(join)))
        if join.note:
            rows.append(Keyed(("note", join.id), Band(f"{join.id}: {join.note}", "regular")))
        rows += [Keyed(("takes", join.id, words), Band(f"{join.id} {words}", "regular")) for words in takes.get(join.id, ())]
    return StackTable(("by number",), heads, tuple(rows), width, {"swatch": SWATCH_COLUMN, "done": 10.0}, ("label",) if wide else ("end",), "join", (END_BLOCK,))


def names_of(join: Join) -> tuple[str, ...]:
    """What findings about a join lie at."""
    return (*join.splices, *(f"wire {wire}" for wire in (*(end.wire for end in join.ends), *join.piece.split()) if wire))


def _stack(context: Context, merge: Merge, join: Join, ends: Sequence[JoinEnd], wide: bool) -> Stack:
    """One line an end; what is said of it stands one under another in its columns."""
    line_of = _wide_line if wide else _narrow_line
    return Stack([line_of(context, end) for end in ends], {"join": (Large(join.id),), "made": tuple(_made(context, merge, join)), "done": (EmptyBox("done"),)})


def _wide_line(context: Context, end: JoinEnd) -> dict[str, Item]:
    wire = _wire_items(context, end)
    return {"letter": Strong(end.letter), "end": under(*_end_items(context, end)), "wire": under(wire["wire"], wire["circuit"]), "size": wire["size"], "colour": wire["colour"],
            "swatch": wire["swatch"], "stated": wire["stated"], "stub": under(*_stub_items(context, end)), "label": end.label}


def _narrow_line(context: Context, end: JoinEnd) -> dict[str, Item]:
    wire = _wire_items(context, end)
    return {"letter": Strong(end.letter), "end": under(*_end_items(context, end), end.label), "wire": under(wire["wire"], wire["size"], wire["circuit"], *_stub_items(context, end)),
            "colour": under(wire["colour"], wire["stated"]), "swatch": wire["swatch"]}


def _end_items(context: Context, end: JoinEnd) -> list[Item]:
    """The address with its sheet, what it is at, what it does."""
    if end.is_unknown:
        return [EmptyBox(UNKNOWN_END), "not found yet"]
    return [end_item(context, end.end.address), end.title, end.does]


def _wire_items(context: Context, end: JoinEnd) -> dict[str, Item]:
    wire = end.wire
    if end.is_unknown:
        return {"wire": EmptyBox("unknown:wire"), "size": EmptyBox("unknown:size"), "colour": EmptyBox("unknown:colour"), "swatch": Swatch(()), "stated": "", "circuit": ""}
    if wire is None:
        takes = TAKES.get(end.contact.kind, "free terminal") if end.contact else ""
        return {"wire": takes, "size": "", "colour": "", "swatch": "", "stated": "", "circuit": ""}
    return {"wire": end.end.wire, "size": known(str(wire.size) if wire.size else None, "unknown:size"), "colour": known(context.colour(wire.colour), "unknown:colour"),
            "swatch": Swatch(swatch_letters(wire.colour)), "stated": context.colour_beside(wire), "circuit": wire.circuit}


def _stub_items(context: Context, end: JoinEnd) -> list[Item]:
    """The stub, whether it was measured, and by how much it does not reach."""
    if end.wire is None:
        return []
    if not end.end.cut:
        return ["not cut: a tap"]
    stated = end.end.stub
    items: list[Item] = [context.length(stated), "measured"] if stated else [context.mm(end.stub_mm), "worked out"] if end.stub_mm is not None else [EmptyBox("stub")]
    return [*items, *_fit_items(context, end.fit)]


def _fit_items(context: Context, fit: Fit | None) -> list[Item]:
    if fit is None or fit.over_mm is None or fit.verdict not in (Verdict.SHORT, Verdict.LONG):
        return []
    words = f"{fit.verdict.value} by {context.mm(abs(fit.over_mm))}"
    return [Strong(words) if fit.verdict is Verdict.SHORT else words]


def _made(context: Context, merge: Merge, join: Join) -> Iterator[Item]:
    """Method, where it sits, what is between."""
    yield known(join.method, "method")
    yield from _places(context, join)
    lengths = [f"{word} {context.length(length)}" for word, length in (("strip", join.strip), ("overlap", join.overlap)) if length]
    if lengths:
        yield ", ".join(lengths)
    for piece in filter(None, join.piece.split()):
        yield _piece_words(context, context.harness.wires[piece]) if piece in context.harness.wires else f"piece {piece}"
        if piece in context.harness.wires and (why := why_no_length(context.harness, context.geometry, piece)):
            yield f"length not known: {why}"
    if join.through:
        interface, sheet = merge.interfaces.get(join.through), next((sheet for sheet in context.sheets if sheet.kind is SheetKind.INTERFACES), None)
        yield sheet_link(f"through {join.through}, {interface.recipe}" if interface else f"through {join.through}", sheet)


def _places(context: Context, join: Join) -> Iterator[Item]:
    """Where each splice sits, and what else takes an end."""
    harness = context.harness
    nodes = [node for node in dict.fromkeys((*join.splices, *(end.lands for end in join.ends))) if node != UNKNOWN]
    for node in nodes:
        contact = harness.contacts.get(node)
        if node in harness.splices:
            place = _splice_place(context, node)
        else:
            place = f"at {harness.place_of[contact.owner]}" if contact and contact.owner in harness.place_of else ""
        name = "" if nodes == [join.id] else node
        if place is None:
            yield from (f"{name} {NO_PLACE}".strip(), EmptyBox("place"))
        else:
            yield sheet_link(f"{name} {place}".strip(), context.sheet_for(node))


def _splice_place(context: Context, id: str) -> str | None:
    """``40 mm from bulkhead toward engine bay``, by the ids of points alone: what they are called stands on the sheet of the splice. None where it is not known."""
    splice, station = context.harness.splices[id], context.geometry.stations.get(id)
    if station is not None and station.toward_point is not None:
        return f"{distance_words(splice, station, context.options.units)} from {station.from_point} toward {station.toward_point}"
    return f"at {splice.place}" if splice.place else None


def _piece_words(context: Context, wire: Wire) -> str:
    """``piece J3: 0.5 mm² BU/GN, 700 mm``; what is not known stands on the cut list as a box to fill."""
    length = context.geometry.lengths[wire.id].finished_mm
    kind = " ".join(filter(None, (str(wire.size) if wire.size else "size not known", context.colour(wire.colour) or "colour not known")))
    return f"piece {wire.id}: {kind}{f', {context.mm(length)}' if length is not None else ''}"


# -------------------------------------------------------------------------------- by place

def _by_place(context: Context, ends: Mapping[str, Sequence[JoinEnd]], width: float) -> StackTable:
    rows: list[tuple[Key, Stack | Band]] = []
    for name, spots in spots_along_the_bundle(context):
        rows.append((("place", name), Band(_place_heading(context, name))))
        rows += [(("at", spot.join.id, spot.at), _spot_stack(context, spot, ends[spot.join.id])) for spot in spots]
    return StackTable(("by place",), PLACE_HEADS, keyed_rows(rows), width, {"swatch": SWATCH_COLUMN, "done": 10.0}, ("end",), "join", (END_BLOCK,))


def _place_heading(context: Context, name: str) -> str:
    kind, _, id = name.partition(" ")
    if kind == "segment":
        segment = context.harness.segments[id]
        return f"Segment {id}, {segment.from_} to {segment.to}"
    if kind == "point":
        title = context.harness.points[id].title if id in context.harness.points else ""
        return f"At {id}, {title}" if title and title != id else f"At {id}"
    return f"{NO_PLACE[:1].upper()}{NO_PLACE[1:]}"


def _spot_stack(context: Context, spot: Spot, ends: Sequence[JoinEnd]) -> Stack:
    lines = []
    for end in ends:
        wire = _wire_items(context, end)
        lines.append({"letter": Strong(end.letter), "end": _end_items(context, end)[0], "wire": wire["wire"], "swatch": wire["swatch"]})
    return Stack(lines, {"where": (_where(context, spot),), "bundle": (_bundle(context, spot),), "join": (Strong(spot.join.id),), "made": (known(spot.join.method, "method"),), "done": (EmptyBox("done"),)})


def _bundle(context: Context, spot: Spot) -> Item:
    """``7.4 / 9.8 / 7.1 mm``: the bundle before a splice, with it, and behind, from the ``from`` end of its segment; "" at a point."""
    station = context.geometry.stations.get(spot.at)
    bundle = context.geometry.bundles.get(station.segment) if station is not None and station.segment is not None else None
    if bundle is None:
        return ""
    before = next((stretch.diameter_mm for stretch in bundle.stretches if stretch.to_mm == station.offset_mm), None)
    behind = next((stretch.diameter_mm for stretch in bundle.stretches if stretch.from_mm == station.offset_mm), None)
    there = next((bulge.diameter_mm for bulge in bundle.at_splices if spot.at in bulge.splices), None)
    return " / ".join("?" if mm is None else context.mm(mm) for mm in (before, there, behind))


def _where(context: Context, spot: Spot) -> Item:
    """How far along, as a tape measures it, with the sheet of the splice or contact; of what sits at a point that itself."""
    splice, station = context.harness.splices.get(spot.at), context.geometry.stations.get(spot.at)
    sheet = context.sheet_for(spot.at)
    if splice is not None and station is not None and station.toward_point is not None:
        return sheet_link(f"{distance_words(splice, station, context.options.units)} from {station.from_point}", sheet)
    return sheet_link(spot.at, sheet) if spot.point or splice is None else NO_PLACE
