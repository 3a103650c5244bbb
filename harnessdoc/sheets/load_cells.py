"""What lists of loads share: a load with its sheet, what it is rated, the key of its row, and what it is solved with."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from ..drawing.table import CellText
from ..operation.asides import ALWAYS_TYPICAL, typical_things
from ..operation.wiring import LoadPoint, Wiring
from ..revision.changes import Thing
from ..trade.tables import factors, said
from .context import Context
from .list_cells import listed, sheet_link
from .tables import Key


def load_key(load: LoadPoint) -> Key:
    """A pin by its address, a load by its device and what it is called there."""
    if load.id == load.a:
        return ((Thing.CONTACT, load.a),)
    return ((Thing.DEVICE, load.owner), load.id.removeprefix(load.owner).strip())


def load_link(context: Context, load: LoadPoint) -> CellText:
    """``M2 → 33``."""
    return sheet_link(load.id, context.sheet_for(load.a) or context.sheet_of.get(load.owner))


def rated_words(load: LoadPoint) -> str:
    """As stated, with which of its values is solved with: ``16 A at 12 V, stalled 0.22 ohm (running)``."""
    return f"{load.rated} ({load.used})" if load.used else load.rated


def solved_words(wiring: Wiring, kinds: Collection[str]) -> Iterator[str]:
    """By which law loads of these kinds are solved, and of what values are typical."""
    if "lamp" in kinds:
        exponent = factors()["lamp-exponent"]
        yield f"Lamps: the current goes with the voltage to the power of {exponent.value:g} ({said(exponent.origin, exponent.mark)})."
    if "motor" in kinds:
        yield "Motors: running, as the resistance of their rated point; at the start they take more."
    yield f"Typical values stand for what is not stated of: {listed((*typical_things(wiring), *ALWAYS_TYPICAL))}."
