"""The cautions: a sheet of them, and the lines that other sheets carry.

Takes a Context; gives the sheet, or the cautions of the circuits that given
addresses touch. A circuit carries a caution where any contact joined to it by
copper has a signal kind that does (``trade/signals.py``), so that a cavity nobody
described is covered by what stands at the other end of its wire.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from ..drawing.record import Drawing
from ..drawing.table import Column
from ..trade.signals import signals
from .context import Context, SheetRef
from .flow import Heading, Words, free_area
from .marking import Draft, marked_pages
from .tables import Listing, PlainTable, keyed_rows

CAUTIONS: Mapping[str, str] = {
    "airbag": "Airbag circuit: no meter, lamp or probe on it, no cut, no splice, no mending. The vehicle's own book says how long to wait after the battery is off.",
    "fuel": "Fuel circuit: a pump or injector that runs by mistake fills the engine or the floor. No spark near fuel; stop the pump before a line is opened.",
    "starter": "Starter circuit: the engine may turn without warning. Out of gear, wheels blocked, hands and leads clear of belts and fan.",
    "brake": "Brake circuit: the vehicle may fail to stop, or not show that it stops. No splice where another way exists; test before it moves.",
    "steering": "Steering circuit: the steering may lock or lose its help. No splice where another way exists; test before it moves.",
    "ignition": "Ignition circuit: pulses of some hundred volts on the primary, more on the secondary. No probe on it while the engine turns; a spark lights fuel vapour.",
}
"""Caution of ``trade.signals.CAUTIONS`` -> the line of a sheet that touches such a circuit, gravest first."""

_NAMES = {"airbag": "Airbag", "fuel": "Fuel", "starter": "Starter", "brake": "Brakes", "steering": "Steering", "ignition": "Ignition"}

GENERAL: tuple[tuple[str, str, str], ...] = (
    ("What comes first", "The vehicle's own book, local codes and licensed practice come before this book. It is as true as the description it was made from.", "common practice"),
    ("Voltage", "For direct current from a low-voltage supply, 60 V at most. High-voltage batteries and drives are no part of it. Circuits that pulse above 60 V "
                "(ignition primary, some injector drivers) are shown whole: they are not joined or lengthened.", "design choice"),
    ("Battery", "Read the fault codes and note the radio code; then negative off first, and on last.", "common practice"),
    ("Fuse at the source", "A fuse protects the wire, not the load. Every wire that is added has its fuse as near the source as it can sit "
                           "(boats: within 7 in; 40 in where sheathed; 72 in where sheathed and straight to the battery).", "ABYC, for boats"),
    ("Wire without a fuse", "The starter cable stays clear of fuel, hot parts and engine metal over its whole length, and is sheathed.", "common practice"),
    ("Fusible link", "Never under tape and never against plastic: it must be free to burn through.", "common practice"),
    ("Meter", "Resistance and ringing only with the battery off, fuses out and control units unplugged. A lamp used as a probe may kill a control unit.", "common practice"),
    ("Drilling", "Look behind the metal first: lines, tank, harness. Never through the flange of a frame.", "a truck maker's book"),
    ("First power", "Through a small fuse or a lamp in series, one fuse after another, a fire extinguisher at hand and somebody to take the battery off.", "common practice"),
)
"""Subject, caution, where it comes from."""


def caution_lines(context: Context, addresses: Iterable[str]) -> tuple[str, ...]:
    """The cautions of all circuits that ``addresses`` (unknown and open ends too) touch, gravest first."""
    touched = cautions_of(context, addresses)
    return tuple(text for caution, text in CAUTIONS.items() if caution in touched)


def cautions_of(context: Context, addresses: Iterable[str]) -> set[str]:
    """The cautions as words of ``trade.signals.CAUTIONS``."""
    contacts, network, kinds = context.harness.contacts, context.network, signals()
    islands = {network.island_of[address] for address in addresses if address in contacts}
    carried = (kinds.get(contacts[address].signal) for island in islands for address in network.islands[island])
    return {kind.caution for kind in carried if kind is not None and kind.caution}


def draw_cautions(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The cautions that hold for every harness, and those of this one's circuits with where they are."""
    return marked_pages(context, ref, _blocks)


def _blocks(context: Context, ref: SheetRef) -> Iterator[Draft]:
    width = free_area(context.paper, "portrait").w
    narrow = width < 150
    at = 30.0 if narrow else 46.0
    yield Words("Read this page before any work.", "bold", 5.0)
    yield Heading("For every harness")
    yield PlainTable(
        ("general",), (Column("", 8, anchor="end"), Column("Subject", 24 if narrow else 34), Column("Caution"), Column("From", 22 if narrow else 30)),
        keyed_rows(((row[0],), (str(number), *row)) for number, row in enumerate(GENERAL, start=1)), width, pitch=6.0)
    yield Heading("For some circuits")
    yield PlainTable(
        ("circuits",), (Column("Circuit", 18 if narrow else 20), Column("Caution"), Column("In this harness at, sheet", at)),
        keyed_rows(((caution,), (_NAMES[caution], text.split(": ", 1)[1], _owners(context, caution))) for caution, text in CAUTIONS.items()), width, pitch=6.0)
    yield Words("Named here: where the description itself gives such a signal. Every sheet that copper leads to from there carries the line too. "
                "What nobody described is not known to be harmless.")


def _owners(context: Context, caution: str) -> Listing:
    """What owns contacts whose own signal carries the caution, each with its sheet."""
    kinds = signals()
    owners = dict.fromkeys(contact.owner for contact in context.harness.contacts.values()
                           if contact.signal in kinds and kinds[contact.signal].caution == caution)
    sheets = ((owner, context.sheet_of.get(owner)) for owner in owners)
    return Listing(tuple(f"{owner} → {sheet.number}" if sheet else owner for owner, sheet in sheets) or ("nothing described",), ", ")
