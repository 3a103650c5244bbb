"""The expected volts of a pinout: a column a state, two states in one column where halves share a table, a table of their own on narrow paper.

Takes a Context and the contacts of a sheet; gives heads and the readings of each cavity.
Cavities of airbag circuits have none, nor have those nothing is joined to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..model.harness import Contact
from ..operation.asides import typical_kinds
from ..operation.columns import columns, columns_in_words
from ..operation.operate import Solved
from ..operation.report import NoReading
from ..operation.report import readings_of as reported
from ..operation.words import FLOATING, PULSED, UNSAID, volts_shown
from .context import Context, SheetKind
from .list_cells import listed
from .pinout_remarks import is_joined
from .stacks import Reading


@dataclass(frozen=True, slots=True)
class Readings:
    """heads: column -> its head; of: address -> column -> readings, one under another."""

    heads: Mapping[str, str]
    of: Mapping[str, Mapping[str, tuple[Reading, ...]]]

    def first_of(self, contacts: Sequence[Contact]) -> dict[str, tuple[Reading, ...]]:
        """The readings of the first of mated contacts that has any; empty cells where none has."""
        empty: dict[str, tuple[Reading, ...]] = dict.fromkeys(self.heads, ())
        return empty | dict(next((self.of[contact.address] for contact in contacts if contact.address in self.of), {}))


NO_READINGS = Readings({}, {})
_WITHOUT = {NoReading.PULSED: PULSED, NoReading.UNSAID: UNSAID}


def readings_of(context: Context, contacts: Sequence[Contact], each: int = 1, more: Sequence[tuple[str, Solved]] = ()) -> Readings:
    """The readings of ``contacts``; each: so many states share a column; more: states besides the usual ones, each with its head. No columns where nothing is solved."""
    operation = context.operation
    shown = (*columns(operation), *more) if operation else ()
    if operation is None or not shown:
        return NO_READINGS
    probed = [contact.address for contact in contacts if contact.address not in operation.wiring.nodes.off and is_joined(context, contact)]
    read = {head: {one.address: _cell(one.shown) for one in reported(operation, solved, probed, None)} for head, solved in shown}
    groups = [tuple(head for head, _ in shown[start:start + each]) for start in range(0, len(shown), each)]
    of = {address: {_key(group): tuple(read[head][address] for head in group) for group in groups} for address in probed}
    return Readings({_key(group): f"Volts {', '.join(group)}" for group in groups}, of)


def readings_remark(context: Context, readings: Readings) -> Iterator[str]:
    """What the columns mean, and what they rest on; nothing where there are none."""
    operation = context.operation
    if operation is None or not readings.heads:
        return
    printed = {reading.text for columns in readings.of.values() for cell in columns.values() for reading in cell}
    check = next((sheet for sheet in context.sheets if sheet.kind is SheetKind.CHECK), None)
    said = [
        "Volts: as expected plugged in, against battery minus, 10 Mohm meter",
        *columns_in_words(operation),
        *([f"{FLOATING}: nothing ties the pin"] if FLOATING in printed else []),
        *([f"{PULSED}: not solved"] if PULSED in printed else []),
        *([f"{UNSAID}: the input pulls it up, how is not stated"] if UNSAID in printed else []),
        f"typical values of {listed(typical_kinds(operation.wiring))}{f' → {check.number}' if check else ''}",
    ]
    yield "; ".join(said) + "."


def _key(group: Sequence[str]) -> str:
    return " ".join(("volts", *group))


def _cell(shown: float | NoReading) -> Reading:
    if isinstance(shown, NoReading):
        return Reading(_WITHOUT.get(shown, FLOATING), None)
    return Reading(volts_shown(shown), shown)
