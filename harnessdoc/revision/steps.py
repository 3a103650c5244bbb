"""One step of a rework, and the phases in which hands do them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from ..model.harness import Wire
from ..network.cavity_order import counted
from ..trade.colours import Colour
from ..trade.sizes import Size
from .compare import Comparison
from .pairing import OWNERS, things_of


class Phase(Enum):
    """In the order of hands; the value is the heading."""

    BATTERY = "Battery off"
    LEAVE = "Leave alone"
    UNPLUG = "Unplug"
    DE_PIN = "De-pin"
    MOUNT = "Mount"
    CUT = "Cut and lay"
    SPLICE = "Splice"
    PIN = "Pin"
    FIT = "Fit"
    LABEL = "Label"
    TEST = "Test"
    PLUG_IN = "Plug in"


@dataclass(frozen=True, slots=True)
class Step:
    """One step, to be ticked.

    at:    address, or id of what is worked on (connector, splice, fuse, segment); "" for none
    wire:  its id, "" for none; of a wire that comes out as the old version calls it; of wires in one terminal all their ids
    size, colour: of that wire, None unknown or no wire
    terminal, seal: what is on the end, or the sleeve and the heat-shrink of a splice, stated or proposed; "" not stated or none
    words: what to do
    proof: what the meter must say; "" for none
    """

    phase: Phase
    at: str
    words: str
    wire: str = ""
    size: Size | None = None
    colour: Colour | None = None
    terminal: str = ""
    seal: str = ""
    proof: str = ""


def at_wire(phase: Phase, at: str, wire: Wire, words: str, terminal: str = "", seal: str = "", proof: str = "") -> Step:
    """A step at one wire."""
    return Step(phase, at, words, wire.id, wire.size, wire.colour, terminal, seal, proof)


Order = tuple[int, tuple[tuple[int, int, str], ...]]


def bench_order(comparison: Comparison) -> Callable[[str], Order]:
    """A key to sort addresses of either version by: connectors, devices, boxes, parts, splices, grounds, each
    as the new version describes them, those gone behind; cavities counted up."""
    owners: dict[str, int] = {}
    old, new = things_of(comparison.old.harness), things_of(comparison.new.harness)
    for thing in OWNERS:
        for owner in new[thing]:
            owners.setdefault(owner, len(owners))
    for thing in OWNERS:
        for owner in old[thing]:
            owners.setdefault(owner, owners.get(comparison.pairing.owner_now.get(owner, ""), len(owners)))

    def order(address: str) -> Order:
        owner, _, cavity = (address, "", "") if address in owners else address.rpartition(".")
        return owners.get(owner, len(owners)), counted(cavity)

    return order
