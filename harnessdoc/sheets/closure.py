"""The closure sheet: what is left to decide before the first cut, and to do before the battery goes on.

Three questions, each with a list and a box to tick: has every wire and every join its fate; is every loose end that a removed wire or
a far half leaves behind made safe, those first that are live in a state, so that it is seen whether what was fed is dead at its source;
is every cavity of the devices that stay joined, or left open with a reason.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from ..drawing.record import Drawing
from ..drawing.table import Band, Column, EmptyBox
from ..merge.closure import Closure, EmptyCavity, LooseEnd, closure
from ..merge.plan import Merge
from ..model.harness import Wire
from ..network.cavity_order import counted
from .cautions import caution_lines
from .context import Context, SheetRef
from .fates import fate_word
from .flow import Heading, Words, free_area
from .join_ends import title_of
from .list_cells import listed, sheet_link
from .marking import Draft, marked_pages
from .tables import Key, Listing, PlainRow, PlainTable, keyed_rows

WIDE = 200.0
LIVE, DEAD, NOT_SOLVED = "live", "dead", "not solved"
BANDS = {LIVE: "Live: make these safe before the battery goes on", DEAD: "Dead in every solved state", NOT_SOLVED: "Not known whether live: the circuit is not solved there"}
"""What the loose ends stand under, in their order."""


def draw_closure(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """Undecided wires, unknown ends and feeds cut off, loose ends, empty cavities."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    merge = context.merge
    if merge is None:
        return
    state = closure(merge, context.harness, context.operation)
    width = free_area(context.paper, "landscape").w
    for line in caution_lines(context, (*(end.contact for end in state.loose_ends), *(cavity.address for cavity in state.cavities))):
        yield Words(line, "bold", tag="caution")
    yield Words(closed_words(state), "bold", 3.5)
    yield from _undecided(merge, state, width)
    yield Heading("Loose ends: what a wire that was taken, or a far half, leaves behind")
    if state.loose_ends:
        yield Words(_feeds_words(state))
        yield _loose_ends(context, merge, state, width)
    else:
        yield Words("None.")
    yield Heading("Cavities and terminals of devices that stay, with nothing in them")
    if state.cavities:
        yield _cavities(context, state, width)
    if state.never_used:
        yield Words(f"{state.never_used} more {'was' if state.never_used == 1 else 'were'} empty as found, and nothing is said of {'it' if state.never_used == 1 else 'them'}.")
    elif not state.cavities:
        yield Words("None.")


def closed_words(state: Closure) -> str:
    """``Not closed: 2 wires undecided, 1 join with an end not found yet, 1 join without a place, 3 cavities open without a reason.``"""
    counts = ((len(state.undecided), "wire", "undecided"), (len(state.unknown), "join", "with an end not found yet"), (len(state.placeless), "join", "without a place"), (len(state.feeds), "feed", "cut off"), (len(state.left_open), "cavity", "open without a reason"))
    lacks = [f"{count} {_many(thing, count)} {words}" for count, thing, words in counts if count]
    return f"Not closed: {', '.join(lacks)}." if lacks else "Closed: every wire has its fate, every join both its ends and a place, every cavity a wire or a reason."


def _many(thing: str, count: int) -> str:
    return thing if count == 1 else "cavities" if thing == "cavity" else f"{thing}s"


def _undecided(merge: Merge, state: Closure, width: float) -> Iterator[Draft]:
    """Wires without a fate by source, joins with an unknown end and those without a place, feeds cut off; nothing where all is decided."""
    rows: list[tuple[Key, PlainRow]] = []
    for source in merge.sources.values():
        wires = sorted((decision.wire for decision in state.undecided if decision.source == source.name), key=counted)
        if wires:
            rows.append((("undecided", source.name), (f"UNDECIDED, {source.name}", str(len(wires)), Listing(tuple(wires), ", "), EmptyBox("decided"))))
    for key, words, things in (("unknown", "Joins with an end not found yet", state.unknown), ("placeless", "Joins without a place", state.placeless),
                               ("feeds", "Feeds cut off: joined to no source", tuple(feed.head for feed in state.feeds))):
        if things:
            rows.append(((key,), (words, str(len(things)), Listing(tuple(sorted(things, key=counted)), ", "), EmptyBox("decided"))))
    if rows:
        yield PlainTable(("undecided",), (Column("Not decided", 52), Column("How many", 16, anchor="end"), Column("Which"), Column("Decided", 16)), keyed_rows(rows), width)


# -------------------------------------------------------------------------- loose ends

def _state_of(end: LooseEnd) -> str:
    return NOT_SOLVED if end.live is None else LIVE if end.live else DEAD


def _feeds_words(state: Closure) -> str:
    counts = [sum(_state_of(end) == kind for end in state.loose_ends) for kind in BANDS]
    words = [f"{count} {kind}" for count, kind in zip(counts, (LIVE, DEAD, NOT_SOLVED), strict=True) if count]
    return f"{len(state.loose_ends)} in all: {', '.join(words)}. A feed that was taken is dead at its source when nothing live is left here."


def _loose_ends(context: Context, merge: Merge, state: Closure, width: float) -> PlainTable:
    wide = width > WIDE
    columns = (Column("At", 36 if wide else 31), *((Column("Which is", 44),) if wide else ()), Column("Leaves there", 30 if wide else 25), Column("Wire", 36 if wide else 23), Column("To do"),
               Column("Live in", 36 if wide else 25), Column("Done", 13))
    rows: list[tuple[Key, PlainRow | Band]] = []
    for kind, heading in BANDS.items():
        ends = [end for end in state.loose_ends if _state_of(end) == kind]
        if ends:
            rows.append((("live", kind), Band(heading)))
            rows += [(("loose", end.thing, end.contact), _loose_row(context, merge, end, wide)) for end in ends]
    return PlainTable(("loose ends",), columns, keyed_rows(rows), width)


def _loose_row(context: Context, merge: Merge, end: LooseEnd, wide: bool) -> PlainRow:
    contact = context.harness.contacts[end.contact]
    which = listed(filter(None, (title_of(context.harness, contact.owner), contact.function)))
    found = merge.far_halves[end.thing].wire if end.thing in merge.far_halves else end.thing
    source = merge.source_of(found)
    wire = source.harness.wires.get(found.partition("/")[2]) if source else None
    return (sheet_link(end.contact, context.sheet_for(end.contact)), *((which,) if wide else ()), (end.thing, fate_word(end.fate)), _wire_words(context, wire), end.do, _live_words(context, end), EmptyBox("done"))


def _live_words(context: Context, end: LooseEnd) -> str:
    """``every state``, or by the position of the key: ``run; start; off in 1 of 3 states``."""
    if end.live is None or context.operation is None:
        return "not known"
    solved = {name: one.case.key for name, one in context.operation.solved.items() if one.solution is not None}
    if len(end.live) == len(solved):
        return "every state"
    states, live = Counter(solved.values()), Counter(solved[name] for name in end.live)
    return "; ".join(f"key {key}" + (f" in {live[key]} of {states[key]} states" if live[key] < states[key] else "") for key in states if live[key]) or "no state"


def _wire_words(context: Context, wire: Wire | None) -> str:
    """``0.75 mm² BU (bl)``: as printed here, and as the source has it where that is another."""
    if wire is None:
        return ""
    beside = context.colour_beside(wire)
    return " ".join(filter(None, (str(wire.size) if wire.size else "", context.colour(wire.colour), f"({beside})" if beside else "")))


# ---------------------------------------------------------------------------- cavities

def _cavities(context: Context, state: Closure, width: float) -> PlainTable:
    """By device; those without a reason first."""
    wide = width > WIDE
    columns = (Column("At", 36 if wide else 30), Column("Function", 60 if wide else 34), Column("Held as found", 30 if wide else 24), Column("Why it is left open"), Column("Plugged", 16))
    rows: list[tuple[Key, PlainRow | Band]] = []
    for key, heading, cavities in (("left open", "Open without a reason: join it, or say why", state.left_open), ("reason", "Open on purpose", [cavity for cavity in state.cavities if cavity.why])):
        if cavities:
            rows.append(((key,), Band(heading)))
            rows += [(("cavity", cavity.address), _cavity_row(context, cavity)) for cavity in cavities]
    return PlainTable(("cavities",), columns, keyed_rows(rows), width)


def _cavity_row(context: Context, cavity: EmptyCavity) -> PlainRow:
    return (sheet_link(cavity.address, context.sheet_for(cavity.address)), cavity.function, cavity.was or "nothing", cavity.why or EmptyBox("why"), EmptyBox("plugged"))
