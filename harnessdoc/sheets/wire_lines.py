"""The wires at a contact, in the lines of a table: number, size, colour, far ends.

Takes a Context and an address; gives a line for each far end of each wire and of each
bar that is joined there. A wire's number, size and colour stand on the line of its
first far end. Far ends are found through splices; a splice with more than three far
ends behind it is named with their count instead. Each carries the number of the sheet
where it continues.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ..drawing.table import EmptyBox, LinkText
from ..model.harness import OPEN, UNKNOWN, Bar, Harness, Kind, Wire
from ..network.far_ends import FarEnd, far_ends
from ..network.islands import other_end
from .context import Context, SheetRef, swatch_letters
from .list_cells import MOST_BEHIND, sheet_link
from .stacks import Behind, Item, Swatch

WIRE_HEADS = {"wire": "Wire", "size": "Size", "colour": "Colour", "swatch": "", "stated": "In the source", "ends": "Far end", "through": "Through"}
"""Columns of the lines, key -> head, in their usual order."""
SWATCH_COLUMN = 11.2
"""Width of the column of swatches in mm."""

UNKNOWN_END, UNKNOWN_MEMBER = "unknown:far end", "unknown:member"
"""Tags of the boxes for an end that is not known, and for those a splice may have besides."""

WireLine = dict[str, Item]


def wire_lines(context: Context, address: str, *, behind_bar: int = MOST_BEHIND) -> list[WireLine]:
    """The lines of all wires and bars at ``address``; none where nothing is joined there. ``behind_bar``: a bar with more ends than this is named with their count."""
    harness = context.harness
    wires = [harness.wires[name] for name in harness.wires_at.get(address, ())]
    if not wires and not harness.boxes:
        return []
    ends = far_ends(harness, address)
    lines: list[WireLine] = []
    for wire in wires:
        mine = [end for end in ends if end.wires[0] == wire.id]
        lines += _with_ends(_wire_items(context, wire), _wire_ends(context, address, wire, mine))
    for bar in bars_at(harness, address):
        lines += _with_ends({"wire": "bar"}, _bar_ends(context, address, bar, behind_bar))
    return lines


def bars_at(harness: Harness, address: str) -> Iterator[Bar]:
    """The bars that join ``address``."""
    return (bar for box in harness.boxes.values() for bar in box.bars if address in bar.joins)


def has_source_colours(context: Context, addresses: Iterable[str]) -> bool:
    """True where a wire at these addresses has its colour stated in another convention than is printed."""
    harness = context.harness
    return any(context.colour_beside(harness.wires[name]) for address in addresses for name in harness.wires_at.get(address, ()))


def _with_ends(items: WireLine, ends: list[WireLine]) -> list[WireLine]:
    return [{**items, **ends[0]}, *ends[1:]]


def _wire_items(context: Context, wire: Wire) -> WireLine:
    items: WireLine = {
        "wire": wire.id,
        "size": str(wire.size) if wire.size else EmptyBox("unknown:size"),
        "colour": context.colour(wire.colour) or EmptyBox("unknown:colour"),
        "swatch": Swatch(swatch_letters(wire.colour)),
    }
    if beside := context.colour_beside(wire):
        items["stated"] = beside
    return items


def _wire_ends(context: Context, address: str, wire: Wire, ends: list[FarEnd]) -> list[WireLine]:
    """At least one line. A wire whose far ends were all reached by another wire leads to its own other end."""
    near = other_end(wire, address)
    contact = context.harness.contacts.get(near)
    if contact is None or contact.kind is not Kind.SPLICE:
        return [{"ends": end_item(context, near)}]
    splices = dict.fromkeys([near, *(splice for end in ends for splice in end.splices)])
    open_splices = [splice for splice in splices if context.harness.splices[splice].members_unknown]
    if len(ends) > MOST_BEHIND:
        return [{"ends": _behind(splice_name(context, near), context.sheet_of.get(near), [end.address for end in ends], bool(open_splices))}]
    lines = [{"ends": end_item(context, end.address), "through": _through(context, end.splices)} for end in ends]
    lines += [{"ends": EmptyBox(UNKNOWN_MEMBER), "through": _through(context, (splice,))} for splice in open_splices]
    return lines or [{"ends": sheet_link(splice_name(context, near), context.sheet_of.get(near))}]


def _bar_ends(context: Context, address: str, bar: Bar, most: int) -> list[WireLine]:
    """What a bar joins with ``address`` and where the wires on the bar lead, each with its sheet; many ends are told by their count."""
    harness = context.harness
    others = [other for other in bar.joins if other != address]
    wired = [end for end in far_ends(harness, bar.address) if end.address not in bar.joins]
    near = [other_end(harness.wires[name], bar.address) for name in harness.wires_at.get(bar.address, ())]
    on_the_way = dict.fromkeys([*(one for one in near if one in harness.splices), *(splice for end in wired for splice in end.splices)])
    open_splices = [splice for splice in on_the_way if harness.splices[splice].members_unknown]
    behind = [*others, *(end.address for end in wired)]
    if len(behind) > most:
        return [{"ends": _behind(bar.address, context.sheet_for(bar.address), behind, bool(open_splices))}]
    lines: list[WireLine] = [{"ends": end_item(context, other), "through": _through(context, (bar.address,))} for other in others]
    lines += [{"ends": end_item(context, end.address), "through": _through(context, (bar.address, *end.splices))} for end in wired]
    lines += [{"ends": EmptyBox(UNKNOWN_MEMBER), "through": _through(context, (bar.address, splice))} for splice in open_splices]
    return lines or [{"ends": sheet_link(bar.address, context.sheet_for(bar.address))}]


def ends_in_words(count: int, more_unknown: bool) -> str:
    """``5 ends``, ``4 ends, more unknown``."""
    return f"{count} {'end' if count == 1 else 'ends'}" + (", more unknown" if more_unknown else "")


def _behind(name: str, sheet: SheetRef | None, ends: Sequence[str], more_unknown: bool) -> Behind:
    count = ends_in_words(len(ends), more_unknown)
    return Behind(sheet_link(f"{name} ({count})", sheet), name, count, tuple(ends))


def end_item(context: Context, address: str) -> Item:
    """A far end with its sheet; an unknown one is an empty box to fill by hand."""
    if address == UNKNOWN:
        return EmptyBox(UNKNOWN_END)
    return "open" if address == OPEN else sheet_link(address, context.sheet_for(address))


def splice_name(context: Context, splice: str) -> str:
    """The id of a splice, with the number of the join it makes."""
    join = context.harness.splices[splice].join
    return f"{splice} (join {join})" if join and join != splice else splice


def _through(context: Context, joints: tuple[str, ...]) -> Item:
    """The bar and splices on the way, each with its sheet; the text leads to the first."""
    is_splice = context.harness.splices.__contains__
    links = [sheet_link(splice_name(context, joint) if is_splice(joint) else joint, context.sheet_for(joint)) for joint in joints]
    text = ", ".join(link if isinstance(link, str) else link.text for link in links)
    first = links[0]
    return LinkText(text, first.target) if isinstance(first, LinkText) else text
