"""The power budget: battery and alternator against the loads, state by state; the drain at rest.

Takes a Context whose circuit is solved; gives its pages. States stand side by side, as many
as the paper holds; what is left over in a further table with the same rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from ..drawing.record import Drawing
from ..drawing.table import Band, CellContent, Column, EmptyBox
from ..judgement.amounts import in_amps, in_milliamps, in_per_cent
from ..judgement.budget import Budget, Drain, Draw, Source, budget
from ..model.electric import Engine
from ..operation.asides import supplies_in_words
from ..operation.states import case_in_words
from ..operation.states import Case
from ..operation.wiring import LoadPoint
from ..operation.words import amps_shown, volts_shown
from ..revision.changes import Thing
from ..trade.tables import factors, said
from .context import Context, SheetRef
from .flow import Heading, Words, free_area
from .list_cells import known, listed, sheet_link
from .load_cells import load_key, load_link, rated_words, solved_words
from .marking import Draft, marked_pages
from .tables import Key, PlainRow, PlainTable, keyed_rows

STATE = 15.0
"""Width of the column of a state."""
BESIDE = 90.0
"""What the columns of the loads need at least."""
LOAD = 28.0
ALL = "all together"
REST = "the rest: inputs, less what loads pass on to each other"


def draw_budget(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """What is given and taken in each state, then what drains the battery at rest, then what is not solved."""
    return marked_pages(context, ref, _blocks, "landscape")


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    assert context.operation is not None, "a budget of a circuit nobody solved"
    found = budget(context.operation)
    width = free_area(context.paper, "landscape").w
    yield Heading("What is given and taken, state by state")
    yield Words(f"Solved with {'; '.join(supplies_in_words(context.operation.wiring))}.")
    groups = _side_by_side(found.cases, width)
    for number, cases in enumerate(groups, start=1):
        yield _table(context, found, cases, (f"budget {number}",), width)
    yield from _remarks(context, found)
    if found.drain is not None:
        yield Heading("Drain at rest: key off, engine stopped")
        yield _drain_table(context, found.drain, width)
        yield from _drain_words(found.drain)
    rows = keyed_rows((load_key(load), (load_link(context, load), load.title, known(stated, "stated"), why)) for load, stated, why in _not_solved(found))
    if rows:
        yield Heading("Not solved: add these by hand")
        yield PlainTable(("not solved",), (Column("Load, sheet", LOAD), Column("What it is"), Column("Stated"), Column("Why")), rows, width)


# ------------------------------------------------------------------------ state by state

def _side_by_side(cases: Sequence[Case], width: float) -> list[Sequence[Case]]:
    """The states in groups as even as can be, each no wider than the page."""
    most = int((width - BESIDE) // STATE)
    groups = ceil(len(cases) / most)
    each = ceil(len(cases) / groups) if groups else 0
    return [cases[start:start + each] for start in range(0, len(cases), each)] if each else []


def _table(context: Context, found: Budget, cases: Sequence[Case], key: Key, width: float) -> PlainTable:
    names = [case.name for case in cases]
    columns = (Column("Supply or load, sheet", LOAD), Column("What it is"), Column("Rated"), *(Column(name, STATE, anchor="end") for name in names))
    rows: list[tuple[Key, PlainRow | Band]] = [(("given",), Band("Given, A; a battery that is charged takes: -"))]
    for source in found.sources:
        rows += _source_rows(context, source, names)
    rows.append((("taken",), Band("Taken, A")))
    rows += [(load_key(draw.load), _draw_row(context, draw, names)) for draw in found.draws if not draw.is_idle]
    rows.append((("coils",), ("", "coils of relays", "", *(in_amps(found.coils_a[name]) for name in names))))
    rows.append((("rest",), ("", REST, "", *(in_amps(found.rest_a[name]) for name in names))))
    rows.append((("total",), ("", ALL, "", *(in_amps(found.total_a[name]) for name in names))))
    return PlainTable(key, columns, keyed_rows(rows), width)


def _source_rows(context: Context, source: Source, names: Sequence[str]) -> Iterator[tuple[Key, PlainRow]]:
    thing = (Thing.DEVICE, source.id)
    link = sheet_link(source.id, context.sheet_of.get(source.id))
    limit: CellContent = source.limit_a and f"{source.limit_a:g} A at most" or ""
    yield (thing, "amps"), (link, f"{source.title or source.kind} gives, A", limit, *(in_amps(source.gives_a[name]) for name in names))
    if source.kind == "alternator":
        shares = ("" if (share := source.share(name)) is None else in_per_cent(share) for name in names)
        yield (thing, "share"), ("", "share of its limit", "" if source.limit_a else EmptyBox("limit"), *shares)
    yield (thing, "volts"), ("", "at its terminals, V", "", *(volts_shown(source.volts[name]) for name in names))


def _draw_row(context: Context, draw: Draw, names: Sequence[str]) -> PlainRow:
    load = draw.load
    return (load_link(context, load), load.title, rated_words(load), *(in_amps(draw.amps[name]) for name in names))


def _remarks(context: Context, found: Budget) -> Iterator[Words]:
    for source in found.sources:
        yield from _limit_words(found, source)
    named = [f"{case.name}: {case_in_words(context.harness, case)}" for case in found.cases if case.named]
    yield Words(f"Heads: position of the key, what the engine does. {found.visited} states are solved; these are the ones of driving order"
                + (" and those the description names." if named else "."))
    if named:
        yield Words(f"Named states: {'; '.join(named)}.")
    for name in found.unsolved:
        yield Words(f"{name}: no solution; the findings say why.", "bold")
    idle = [draw.load.id for draw in found.draws if draw.is_idle]
    if idle:
        yield Words(f"Take nothing in any of these states: {listed(idle)}.")
    if found.inside:
        yield Words(f"Fed from a reference of a control unit, part of what that draws: {listed(load.id for load in found.inside)}.")
    assert context.operation is not None
    for line in solved_words(context.operation.wiring, {draw.load.kind for draw in found.draws}):
        yield Words(line)


def _limit_words(found: Budget, source: Source) -> Iterator[Words]:
    """What the budget says of a supply: how near its limit it comes, and where the battery is emptied though the engine runs."""
    running = [case for case in found.cases if case.engine is Engine.RUNNING]
    if source.kind == "battery":
        emptied = [case.name for case in running if source.gives_a[case.name] > 0.05]
        if emptied:
            yield Words(f"{source.id} is emptied though the engine runs: {'; '.join(f'{name}, {amps_shown(source.gives_a[name])}' for name in emptied)}.", "bold")
    if source.limit_a is None or not found.cases:
        return
    most = max(found.cases, key=lambda case: source.gives_a[case.name])
    share = source.share(most.name) or 0.0
    rule = factors()["alternator-continuous"]
    words = f"{source.id} gives the most in {most.name}: {amps_shown(source.gives_a[most.name])} of {source.limit_a:g} A, {in_per_cent(share)}."
    if source.kind == "alternator":
        words += " At idle an alternator gives less than its limit (common practice)."
        words += f" Rule of thumb, {said(rule.origin, rule.mark)}: no more than {in_per_cent(rule.value)} of it for good." if share > rule.value else ""
    yield Words(words, "bold" if share > rule.value else "regular")


# ------------------------------------------------------------------------- drain, left out

def _drain_table(context: Context, drain: Drain, width: float) -> PlainTable:
    columns = (Column("Load, sheet", LOAD), Column("What it is"), Column("Rated"), Column("mA", STATE, anchor="end"), Column("Share", STATE, anchor="end"))
    rows: list[tuple[Key, PlainRow]] = []
    for words, load, amps in drain.parts:
        share = in_per_cent(amps / drain.total_a) if drain.total_a else ""
        rows.append((load_key(load) if load else (words,), (load_link(context, load) if load else "", words, load.rated if load else "", in_milliamps(amps), share)))
    rows.append((("total",), ("", ALL, "", in_milliamps(drain.total_a), "")))
    return PlainTable(("drain",), columns, keyed_rows(rows), width)


def _drain_words(drain: Drain) -> Iterator[Words]:
    usual, book = factors()["drain-usual"], factors()["drain-maker"]
    above = drain.total_a * 1000 > usual.value
    yield Words(f"Drain: {amps_shown(drain.total_a)}, {'above' if above else 'within'} the usual {usual.value:g} mA ({said(usual.origin, usual.mark)}; {said(book.origin, book.mark)}).",
                "bold" if above else "regular")
    if drain.days is not None:
        half_ah = drain.battery_ah / 2
        yield Words(f"Half of a battery of {drain.battery_ah:g} Ah lasts {drain.days:.0f} days: {half_ah:g} Ah / {amps_shown(drain.total_a)}.")


def _not_solved(found: Budget) -> Iterator[tuple[LoadPoint, str, str]]:
    for load, stated in found.pulsed:
        yield load, stated, "its circuit pulses"
    for load in found.unknown:
        yield load, load.rated, "what it takes is not known"
