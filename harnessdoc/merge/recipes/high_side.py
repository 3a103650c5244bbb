"""High-side output to ground-switched load: the output feeds the coil, the contact closes the load to ground."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe
from .relay_facts import source


def _put(kit: Kit) -> None:
    relay = kit.relay("command", load="load", note="contacts switch ground")
    kit.land("command", f"{relay}.86")
    kit.ground("85", f"{relay}.85", kit.coil_size, "coil-ground" if kit.has("coil-ground") else "ground")
    kit.ground("30", f"{relay}.30", kit.load_size)
    kit.land("load", f"{relay}.87")
    kit.note(f"The contacts of {relay} switch ground: write it on the relay. The supply stays on the load while it is off.")


RECIPE = Recipe(
    "high-side output to ground-switched load",
    "ground relay",
    "an output or switch that closes to the supply, and a load that has the supply for good and is switched on its ground side",
    (
        roles.end("command", "the output or switch that closes to the supply"),
        roles.end("load", "the ground side of the load"),
        roles.ground("ground", "the ground stud: it carries the load"),
        roles.ground("coil-ground", "the ground of the region in which the unit has its own; that of the load where left out", needed=False),
        roles.Role("size", "value", False, "size of the wire to ground that carries the load: as thick as the load's own"),
        roles.COIL_SIZE, *roles.OF_RELAY, roles.GROUND_COLOUR,
    ),
    (
        "Where a diode is across the coil: cathode at 86, anode at 85. The fuse stays in the load's feed.",
        "The coil takes its current at 14.5 V and -20 C: it must be within the limit of the output.",
    ),
    source("B"),
    {"command": "donor/E1.9", "load": "host/X6.2", "ground": "host/GH1", "size": "2.5 mm2"},
    _put,
)
