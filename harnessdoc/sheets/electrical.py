"""Electrical data: each circuit with its loads, wires and fuses, what is judged of them, and the volts along the path.

Takes a Context whose circuit is solved, and a sheet whose subjects are circuits; gives its
pages. Circuits of one system share a sheet; ``circuits_on_sheets`` says which do before any
is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from ..drawing.record import Drawing
from ..drawing.table import CellContent, Column, EmptyBox
from ..judgement.amounts import in_amps
from ..judgement.drops import Drop
from ..judgement.hot import Hot, hots
from ..judgement.judge import judge
from ..judgement.protection import Protection
from ..judgement.unprotected import Unprotected
from ..judgement.verdict import Verdict
from ..judgement.wires import WireJudged, allows
from ..model.harness import Circuit, Harness
from ..operation.catalogue import wire_element
from ..operation.operate import Operation
from ..operation.wiring import LoadPoint
from ..revision.changes import Thing
from ..trade.ampacity import Ampacity
from ..trade.tables import said
from .cautions import caution_lines
from .context import NO_CIRCUIT, Context, SheetRef
from .flags import flags_at
from .flow import Heading, Words, free_area
from .list_cells import known, sheet_link
from .load_cells import load_key, load_link, rated_words, solved_words
from .marking import Draft, marked_pages
from .stacks import Reading
from .tables import Key, Listing, PlainRow, PlainTable, keyed_rows
from .volts_plot import WIDE_PAGE, drop_shown, path_table

NO_SYSTEM = "other circuits"
"""The title of the sheet of circuits that say no system."""
NO_CIRCUIT_WORDS = "No circuit named"
CARRIES_A = 1.0
"""From this current on a circuit without load or fuse, a ground strap, has its data."""


def circuits_on_sheets(operation: Operation) -> dict[str, tuple[str, ...]]:
    """System -> its circuits that have a load, a fuse or a current worth the paper, in the order of the description."""
    harness = operation.wiring.harness
    wanted = {load.circuit for load in operation.wiring.loads if load.circuit or _is_wired(harness, (load.a, load.b))}
    wanted |= {_circuit_of(harness, addresses, part.circuit) for part in harness.parts.values() if part.kind in ("fuse", "fusible link")
               for addresses in ([f"{part.id}.{name}" for name in part.terminals],) if part.circuit or _is_wired(harness, addresses)}
    carrying = [wire for wire in harness.wires.values() if wire.circuit not in wanted and _most_a(operation, wire.id) >= CARRIES_A]
    wanted |= {wire.circuit for wire in carrying}
    systems: dict[str, tuple[str, ...]] = {}
    for id, circuit in harness.circuits.items():
        if id in wanted:
            system = circuit.system or NO_SYSTEM
            systems[system] = (*systems.get(system, ()), id)
    if NO_CIRCUIT in wanted:
        systems[NO_SYSTEM] = (*systems.get(NO_SYSTEM, ()), NO_CIRCUIT)
    return systems


def _most_a(operation: Operation, wire: str) -> float:
    return max((abs(solved.solution.currents.get(wire_element(wire), 0.0)) for solved in operation.solved.values() if solved.solution), default=0.0)


def _is_wired(harness: Harness, addresses: Iterable[str]) -> bool:
    return any(harness.wires_at.get(address) for address in addresses)


def draw_electrical(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The circuits one under another; a path begins on a page that holds all of it."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    operation, harness = context.operation, context.harness
    assert operation is not None, "electrical data of a circuit nobody solved"
    judged = judge(operation, context.geometry)
    width = free_area(context.paper, "portrait").w
    wires = {id: [wire for wire in harness.wires.values() if wire.circuit == id] for id in ref.subjects}
    for line in caution_lines(context, (end for of in wires.values() for wire in of for end in (wire.from_, wire.to))):
        yield Words(line, "bold", tag="caution")
    for line in solved_words(operation.wiring, {load.kind for load in operation.wiring.loads if load.circuit in ref.subjects}):
        yield Words(line)
    if width > WIDE_PAGE:
        yield Words("Circular's °C: how warm the conductor gets by the formula of AC 43.13-1B (from memory), which runs high; nothing is reckoned with it.")
    hot = hots(operation)
    lost = {drop.load: drop for drop in judged.drops}
    for id in ref.subjects:
        circuit = harness.circuits.get(id)
        thing = (Thing.CIRCUIT, id) if circuit else "no circuit"
        if circuit is None:
            yield Heading(NO_CIRCUIT_WORDS)
            yield Words("What says no `circuit:`.")
        else:
            yield Heading(", ".join(dict.fromkeys(filter(None, (circuit.number, id, circuit.title)))), flags_at(context, (f"circuit {id}",)))
            yield Words(f"{id}, {_live_words(hot, circuit)}")
        loads = [load for load in operation.wiring.loads if load.circuit == id and (circuit or _is_wired(harness, (load.a, load.b)))]
        mine = [judged.wires[wire.id] for wire in wires[id] if wire.id in judged.wires]
        fuses = [one for one in judged.protections for part in (harness.parts[one.part],) for addresses in ([f"{part.id}.{name}" for name in part.terminals],)
                 if _circuit_of(harness, addresses, part.circuit) == id and (circuit or _is_wired(harness, addresses))]
        if loads:
            yield _load_table(context, loads, lost, ("loads", thing), width)
        if mine:
            yield _wire_table(context, mine, ("wires", thing), width)
        if fuses:
            yield _fuse_table(context, fuses, ("fuses", thing), width)
        giving = [drop for drop in judged.drops if drop.path is None and _circuit_of(harness, harness.devices[drop.load].between or ()) == id]
        rows = keyed_rows(_judged_rows(loads, lost, giving, mine, fuses, [one for one in judged.unprotected if harness.wires[one.wire].circuit == id]))
        if rows:
            is_wide = width > WIDE_PAGE
            columns = (Column("Of", 24 if is_wide else 18), Column("Question", 22 if is_wide else 18), Column("Holds", 20 if is_wide else 16), Column("The sum, and where its limit comes from"))
            yield PlainTable(("judged", thing), columns, rows, width, free=frozenset((3,)), is_flagged=False)
        for load in loads:
            drop = lost.get(load.id)
            if drop is not None and drop.path is not None:
                yield path_table(operation, drop, load.title, ("path", thing, load.id), width)


def _circuit_of(harness: Harness, ends: Iterable[str], stated: str = "") -> str:
    """The circuit of a thing: as stated, else that of the first wire at its ends."""
    return stated or next((circuit for end in ends for wire in harness.wires_at.get(end, ()) if (circuit := harness.wires[wire].circuit)), "")


def _live_words(hot: Mapping[str, Hot], circuit: Circuit) -> str:
    found = hot.get(circuit.id)
    if found is None:
        return "not fed from the source but through a load."
    words = ", ".join(found.words) or "in no state that was solved"
    # what is read off is where the feed arrives: a load behind a switch may be dead there
    return f"live where it is fed: {words} (proposed from the solved states)." if found.proposed else f"live: {words} (as stated)."


# -------------------------------------------------------------------------------- tables

def _load_table(context: Context, loads: Iterable[LoadPoint], lost: Mapping[str, Drop], key: Key, width: float) -> PlainTable:
    columns = (Column("Load, sheet"), Column("Rated"), Column("Most, A", 13, anchor="end"), Column("In state"), Column("Drop of feed, V", 14, anchor="end"), Column("Drop of return, V", 14, anchor="end"))
    return PlainTable(key, columns, keyed_rows((load_key(load), _load_row(context, load, lost.get(load.id))) for load in loads), width)


def _load_row(context: Context, load: LoadPoint, drop: Drop | None) -> PlainRow:
    name: CellContent = (load_link(context, load), load.title)
    rated = known(rated_words(load), "rated")
    if drop is not None:
        return (name, rated, in_amps(drop.current_a), drop.state, Reading(drop_shown(drop.feed_v), drop.feed_v), Reading(drop_shown(drop.return_v), drop.return_v))
    why = "its circuit pulses: not solved" if load.pulsed else "not known what it takes" if not load.element else "takes nothing in any state"
    return (name, rated, "", why, "", "")


def _wire_table(context: Context, wires: Iterable[WireJudged], key: Key, width: float) -> PlainTable:
    is_wide = width > WIDE_PAGE
    columns = (Column("Wire", 11 if is_wide else 10), Column("From, sheet"), Column("To, sheet"), Column("Size", 17 if is_wide else 15), Column("Length", 17 if is_wide else 16, anchor="end"),
               Column("Most, A", 12, anchor="end"), Column("Allowed, A", 14 if is_wide else 13, anchor="end"))
    if is_wide:
        columns = (*columns, Column("Drop, V", 12, anchor="end"), Column("Heat, W", 11, anchor="end"), Column("Circular's °C", 16, anchor="end"))
    return PlainTable(key, columns, keyed_rows((((Thing.WIRE, one.wire),), _wire_row(context, one)[:len(columns)]) for one in wires), width)


def _wire_row(context: Context, one: WireJudged) -> PlainRow:
    assert context.operation is not None
    wire, ohm = context.harness.wires[one.wire], context.operation.wiring.conductors[one.wire].ohm
    length: CellContent = EmptyBox("length") if one.length_mm is None else context.mm(one.length_mm)
    most = _most_of(one)
    allowed = in_amps(one.allowed.current_a) if isinstance(one.allowed, Ampacity) else ""
    loses = ("", "") if most is None else (Reading(drop_shown(most * ohm), most * ohm), in_amps(most * most * ohm))
    return (wire.id, sheet_link(wire.from_, context.sheet_for(wire.from_)), sheet_link(wire.to, context.sheet_for(wire.to)), known(one.size and str(one.size), "size"), length,
            "" if most is None else in_amps(most), allowed, *loses, f"{one.conductor_c.value:.0f}" if one.conductor_c else "")


def _most_of(one: WireJudged) -> float | None:
    """The largest current of a wire in any state, cranking too."""
    return max((peak.current_a for peak in (one.carried, one.cranking) if peak), default=None)


def _fuse_table(context: Context, fuses: Iterable[Protection], key: Key, width: float) -> PlainTable:
    columns = (Column("Fuse, sheet", 22), Column("What it is"), Column("Rating", 14, anchor="end"), Column("Most, A", 13, anchor="end"), Column("Weakest wire", 16), Column("Allowed, A", 14, anchor="end"))
    if width > WIDE_PAGE:
        columns = (*columns, Column("Short, A", 14, anchor="end"), Column("Short at", 22))
    return PlainTable(key, columns, keyed_rows((((Thing.PART, one.part),), _fuse_row(context, one)[:len(columns)]) for one in fuses), width)


def _fuse_row(context: Context, one: Protection) -> PlainRow:
    part = context.harness.parts[one.part]
    most = max((peak.current_a for peak in (one.carried, one.cranking) if peak), default=None)
    return (sheet_link(one.part, context.sheet_of.get(one.part)), one.title or one.kind, known(part.rating.stated if part.rating else part.size and str(part.size), "rating"), "" if most is None else in_amps(most),
            one.weakest, "" if one.allowed_a is None else in_amps(one.allowed_a), in_amps(one.short.current_a) if one.short else "", one.short.far if one.short else "")


def _judged_rows(loads: Iterable[LoadPoint], lost: Mapping[str, Drop], giving: Iterable[Drop], wires: Iterable[WireJudged], fuses: Iterable[Protection], bare: Iterable[Unprotected]) -> Iterator[tuple[Key, PlainRow]]:
    for load in loads:
        for verdict in lost[load.id].verdicts if load.id in lost else ():
            yield (*load_key(load), verdict.about), _judged_row(load.id, verdict)
    for drop in giving:
        for verdict in drop.verdicts:
            yield ((Thing.DEVICE, drop.load), verdict.about), _judged_row(drop.load, verdict)
    for one in fuses:
        for number, verdict in enumerate(one.verdicts):
            yield ((Thing.PART, one.part), verdict.about, str(number)), _judged_row(one.part, verdict)
        if one.handbook is not None:
            yield ((Thing.PART, one.part), "handbook"), (one.part, "handbook's fuse", "", f"{one.handbook.value:g} A ({said(one.handbook.origin, one.handbook.mark)}); a guide, shown beside")
        for number, words in enumerate(one.suggestions):
            yield ((Thing.PART, one.part), "suggested", str(number)), (one.part, "suggested", "", words)
    for open_wire in bare:
        yield ((Thing.WIRE, open_wire.wire), "no fuse"), _judged_row(f"wire {open_wire.wire}", open_wire.verdict)
    alike: dict[str, list[str]] = {}
    for wire in wires:
        if wire.verdict.holds and isinstance(wire.allowed, Ampacity) and (_most_of(wire) or 0.0) <= wire.allowed.current_a:
            alike.setdefault(allows(wire.allowed), []).append(wire.wire)
        else:
            yield ((Thing.WIRE, wire.wire), wire.verdict.about), _judged_row(f"wire {wire.wire}", wire.verdict)
    for words, names in alike.items():
        yield ((Thing.WIRE, names[0]), "ampacity"), (Listing(("wires" if len(names) > 1 else "wire", *names), " "), "ampacity", "yes", words)


def _judged_row(of: str, verdict: Verdict) -> PlainRow:
    if verdict.holds is None:
        return (of, verdict.about, "not judged", verdict.words)
    return (of, verdict.about, "yes" if verdict.holds else f"NO: {verdict.severity.word}" if verdict.severity is not None else "NO", verdict.words)
