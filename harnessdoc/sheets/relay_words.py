"""What the sheets say of a relay: its rating, its coil, and what commands it.

Takes a Context and a relay; gives words, None or nothing where it is not known: the sheet has
an empty box there. What is not stated is taken from the row of the ready-made part, where one
is named, and marked typical; a relay that names none may be any.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..drawing.table import CellText
from ..model.given import nominal_v, relay_given
from ..model.harness import Part
from ..trade.relays import COIL_END, COIL_START
from ..trade.signals import signals
from .context import Context
from .list_cells import sheet_link

MOST_DRIVERS = 3
USUAL_C = 85.0
"""Makers name a relay by what its contacts carry at this ambient, in C: the 40 A of a ``mini relay 40 A``."""


def relay_rating(context: Context, relay: Part) -> str | None:
    """What its contacts carry: ``30 A`` as stated, else ``40 A at 85 °C (typical)``; of one that opens only, what that contact carries."""
    if relay.rating:
        return relay.rating.stated
    if not relay.part:
        return None
    given = relay_given(relay, nominal_v(context.harness))
    carried = (given.break_a if relay.contacts == "break" else given.make_a).get(USUAL_C)
    return f"{carried.value:g} A at {USUAL_C:g} °C (typical)" if carried else None


def coil_words(context: Context, relay: Part) -> str | None:
    """The resistance of its coil: ``85 ohm`` as stated, else ``90 ohm (typical)``."""
    if relay.value:
        return relay.value.stated
    if not relay.part:
        return None
    return f"{relay_given(relay, nominal_v(context.harness)).coil_ohm.value:g} ohm (typical)"


def commands(context: Context, relay: Part) -> list[CellText]:
    """What is said to command it, and the outputs that are joined to its coil by copper, each with its sheet; none where neither is."""
    return [*([relay.commanded_by] if relay.commanded_by else []), *_drivers(context, relay)]


def _drivers(context: Context, relay: Part) -> Iterator[CellText]:
    contacts, network, kinds = context.harness.contacts, context.network, signals()
    found = dict.fromkeys(
        address for terminal in (COIL_START, COIL_END) if (coil_end := f"{relay.id}.{terminal}") in network.island_of
        for address in network.islands[network.island_of[coil_end]]
        if contacts[address].signal in kinds and kinds[contacts[address].signal].direction == "out")
    names = list(found)
    for address in names[:MOST_DRIVERS]:
        yield sheet_link(f"{address}, {contacts[address].signal}", context.sheet_for(address))
    if len(names) > MOST_DRIVERS:
        yield f"and {len(names) - MOST_DRIVERS} more"
