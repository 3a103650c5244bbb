"""Readings as text for a terminal: of one state with all it rests on, or a list of the states.

Takes an Operation and what was asked for; gives text. Rows stay whole, so that they can be
searched; what stands below them is wrapped at 80 columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

from ..model.harness import Contact, Harness, Kind
from ..network.cavity_order import counted, ranges
from ..operation.asides import ALWAYS_TYPICAL
from ..operation.nodes import placed_supplies
from ..operation.operate import Operation, Solved
from ..operation.pulsed import pulsed_contacts
from ..operation.report import (
    NoReading, given_by, left_out_of, minus_of, outputs_on, readings_of, relays_in, solenoids_in, typical_of, units_at_work,
)
from ..operation.states import case_in_words, switches_of
from ..operation.supplies import given_a, kind_of
from ..operation.words import amps_shown, volts_with_unit
from ..revision.words import thing_of, things_of
from ..trade.tables import factors, said

_WIDTH = 80
_ACROSS = 4
"""Addresses side by side in the list of states."""
_NOTHING_A = 5e-5
"""Less is none to a meter."""
_AS = {"motor": "motors are solved as running, and take more at the start", "sender": "senders are solved at the first value of their range"}
_WITHOUT = {NoReading.FLOATING: "floating", NoReading.AIRBAG: "not probed: airbag", NoReading.PULSED: "pulsed", NoReading.UNSAID: "unknown"}
_UNSAID = f"{_WITHOUT[NoReading.UNSAID]}: the input pulls it up, and its `pull-up:` is not stated"


def of_state(operation: Operation, solved: Solved, addresses: Sequence[str], against: str | None) -> str:
    """Everything about one state; where it has no solution, why."""
    return "\n".join(_state(operation, solved, addresses, against) if solved.solution else _unsolved(solved))


def of_states(operation: Operation, addresses: Sequence[str], against: str | None) -> str:
    """All states that were visited: what the supplies give, or the reading at some addresses."""
    return "\n".join(_states(operation, addresses, against))


def states_solved(operation: Operation) -> str:
    """``22 states solved``; ``22 states, 21 of them solved``; ``2 states, none of them solved``; how many were passed over."""
    many, solved = len(operation.solved), sum(1 for one in operation.solved.values() if one.solution is not None)
    part = "" if solved == many else f", {solved or 'none'} of them"
    over = f"; {operation.passed_over} of single switches passed over, as so many take long: `readings --switch` solves one" if operation.passed_over else ""
    return f"{many} state{'s' if many > 1 else ''}{part} solved{over}"


def states_swept(operation: Operation, asked: bool | None) -> str:
    """``580 cases with one ground or fuse opened``; or that none was opened, and what does it."""
    from ..judgement.sneaks import opens, sweep

    if opens(operation, asked):
        return f"{sweep(operation, True).cases:,} cases with one ground or fuse opened"
    return "no ground or fuse was opened: `--sweep` does it, and may take long"


def _state(operation: Operation, solved: Solved, addresses: Sequence[str], against: str | None) -> Iterator[str]:
    harness = operation.wiring.harness
    yield from _wrapped(f"{harness.title or harness.file}: {case_in_words(harness, solved.case)}{_at_rest(harness, solved)}", "  ")
    yield from _wrapped(f"volts against {_against(operation, against)}, all plugged in, with a meter of 10 Mohm", "  ")
    yield ""
    rows = [(reading.address, _shown(reading.shown), _what_is(harness, harness.contacts[reading.address]))
            for reading in readings_of(operation, solved, addresses, against)]
    wide, numbers = max(len(row[0]) for row in rows), max(len(row[1]) for row in rows)
    yield from (f"{address:<{wide}}  {shown:>{numbers}}  {words}".rstrip() for address, shown, words in rows)
    yield ""
    if any(shown == _WITHOUT[NoReading.UNSAID] for _, shown, _ in rows):
        yield _UNSAID
    for note in (*_supplies(operation, solved), *_what_is_on(operation, solved), *_rests_on(operation, solved)):
        yield from _wrapped(note, "  ")


def _states(operation: Operation, addresses: Sequence[str], against: str | None) -> Iterator[str]:
    harness = operation.wiring.harness
    heads, cells = _columns(operation, addresses, against)
    width = max(len(name) for name in operation.solved)
    yield from _wrapped(f"{harness.title or harness.file}: {_against_words(operation, addresses, against)}", "  ")
    for first in range(0, len(heads), _ACROSS):
        part = slice(first, first + _ACROSS)
        columns = list(zip(heads[part], *(cells[name][part] for name in operation.solved), strict=True))
        wide = [max(map(len, column)) for column in columns]
        yield ""
        for name, row in (("", heads[part]), *((name, cells[name][part]) for name in operation.solved)):
            yield f"{name:<{width}}  {'  '.join(f'{cell:>{room}}' for cell, room in zip(row, wide, strict=True))}".rstrip()
    yield ""
    named = [solved.case for solved in operation.solved.values() if solved.case.named]
    for case in named:
        yield from _wrapped(f"{case.name}: {case_in_words(operation.wiring.harness, case)}", "  ")
    for solved in operation.solved.values():
        for fault in solved.faults:
            yield from _wrapped(f"{solved.case.name}: {fault.words}", "  ")
    if pulsed_contacts(operation).intersection(addresses):
        yield f"{_WITHOUT[NoReading.PULSED]}: its circuit pulses, and is not solved"
    if any(_WITHOUT[NoReading.UNSAID] in row for row in cells.values()):
        yield _UNSAID
    yield from _wrapped(f"{states_solved(operation)}; {'' if addresses else '--at ADDRESS prints the reading there in each, '}--state NAME one of them in full", "  ")


def _unsolved(solved: Solved) -> Iterator[str]:
    yield f"{solved.case.words}: no solution, and no readings"
    for fault in solved.faults:
        yield from _wrapped(f"  {fault.words}", "    ")


def _what_is(harness: Harness, contact: Contact) -> str:
    """``engine control unit plug 1, main supply``; ``fuse, main relay``; ``splice``."""
    thing = thing_of(contact.owner, harness)
    owner = things_of(harness)[thing][contact.owner] if thing else None
    kind = {Kind.SPLICE: "splice", Kind.GROUND: "ground"}.get(contact.kind, getattr(owner, "kind", "") if contact.owner in harness.parts else "")
    return ", ".join(filter(None, (kind, owner.title if owner else "", contact.function)))


def _shown(shown: float | NoReading) -> str:
    return _WITHOUT[shown] if isinstance(shown, NoReading) else volts_with_unit(shown)


def _at_rest(harness: Harness, solved: Solved) -> str:
    """What the words of a state leave unsaid."""
    named = f' ("{solved.case.name}")' if solved.case.named else ""
    others = set(switches_of(harness)) - set(solved.case.switches)
    return f"{named}; {'other ' if solved.case.switches else ''}switches at rest" if others else named


def _against(operation: Operation, against: str | None) -> str:
    address, kind = minus_of(operation)
    if against is not None and operation.wiring.nodes.of[against] != operation.wiring.nodes.reference:
        return against
    return f"{kind} minus, {against or address}"


# --------------------------------------------------------------------------- a list of states

def _columns(operation: Operation, addresses: Sequence[str], against: str | None) -> tuple[list[str], dict[str, list[str]]]:
    """The heads, and the cells of each state."""
    if addresses:
        return list(addresses), {name: [_shown(reading.shown) if solved.solution else "no solution" for reading in readings_of(operation, solved, addresses, against)]
                                 for name, solved in operation.solved.items()}
    supplies = placed_supplies(operation.wiring.harness)
    return [f"{kind_of(device)} {device.id}" for device in supplies], {
        name: [amps_shown(given_a(device, solved.solution)) if solved.solution else "no solution" for device in supplies] for name, solved in operation.solved.items()}


def _against_words(operation: Operation, addresses: Sequence[str], against: str | None) -> str:
    if addresses:
        return f"volts in each state against {_against(operation, against)}, all plugged in"
    return "what each supply gives; below 0 it is charged"


# -------------------------------------------------------------------- what stands below a state

def _supplies(operation: Operation, solved: Solved) -> Iterator[str]:
    for one in given_by(operation, solved):
        flow = "gives nothing" if abs(one.amps) < _NOTHING_A else f"takes {amps_shown(-one.amps)}" if one.amps < 0 else f"gives {amps_shown(one.amps)}"
        limit = f" of {one.limit}" if one.limit and one.amps >= _NOTHING_A else ""
        yield f"{one.kind} {one.device.id}: {volts_with_unit(one.volts)}, {flow}{limit}"
    yield from (f"note: {fault.words}" for fault in solved.faults)


def _what_is_on(operation: Operation, solved: Solved) -> Iterator[str]:
    harness = operation.wiring.harness
    relays = [f"{id} {harness.parts[id].title}".rstrip() for id in relays_in(operation, solved)]
    yield f"relays pulled in: {', '.join((*relays, *solenoids_in(operation, solved))) or 'none'}"
    if units := units_at_work(operation, solved):
        yield f"control units at work: {', '.join(units)}"
    if on := [f"{address} {harness.contacts[address].function}".rstrip() for address in outputs_on(operation, solved)]:
        yield f"outputs on: {', '.join(on)}"


def _rests_on(operation: Operation, solved: Solved) -> Iterator[str]:
    """What was used, what was left out, which values nobody stated."""
    loads = [load for load in operation.wiring.loads if load.element and not load.pulsed]
    for kind, ids in _by_words((load.kind, load.id) for load in loads if load.used).items():
        yield f"{_AS[kind]}: {', '.join(ids)}"
    if any(load.kind == "lamp" for load in loads):
        exponent = factors()["lamp-exponent"]
        yield f"lamps: the current goes with the voltage to the power of {exponent.value:g} ({said(exponent.origin, exponent.mark)})"
    for words, things in _by_words((aside.words, aside.thing) for aside in left_out_of(operation, solved)).items():
        yield f"left out: {_things(things)}: {words}"
    typical = list(dict.fromkeys(thing for thing, _ in typical_of(operation, solved)))
    named = f"{_things(_with_kind(operation.wiring.harness, typical))}; and " if typical else ""
    yield f"typical values stand for what is not stated: {named}{', '.join(ALWAYS_TYPICAL)} and the insides of control units"


def _with_kind(harness: Harness, things: Iterable[str]) -> list[str]:
    return [f"{harness.parts[thing].kind} {thing}" if thing in harness.parts else thing for thing in things]


def _by_words(pairs: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for words, thing in pairs:
        found.setdefault(words, []).append(thing)
    return found


def _things(things: Iterable[str]) -> str:
    """``fuses F1..F14, F20; wire 12; E1.15``: what is of a kind together, counted up."""
    kinds: dict[str, list[str]] = {}
    for thing in things:
        kind, _, id = thing.rpartition(" ")
        kinds.setdefault(kind, []).append(id)
    return "; ".join(f"{kind}{'s' if kind and len(ids) > 1 else ''} {ranges(sorted(ids, key=counted))}".strip() for kind, ids in kinds.items())


def _wrapped(text: str, rest: str) -> list[str]:
    return wrap(text, _WIDTH, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False)
