"""Low-side output to case-grounded load: the output closes the coil to ground, the contact feeds the load."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe
from .relay_facts import source


def put(kit: Kit) -> None:
    """The coil between its supply and the output, the contact between the feed and the load."""
    relay = kit.relay("command", load="load")
    kit.coil_feed("86", f"{relay}.86")
    kit.land("command", f"{relay}.85")
    kit.load_feed("30", f"{relay}.30")
    kit.land("load", f"{relay}.87")


RECIPE = Recipe(
    "low-side output to case-grounded load",
    "load relay",
    "an output or switch that closes to ground, and a load that is grounded for good, as by its case, and wants the supply",
    (
        roles.end("command", "the output or switch that closes to ground"),
        roles.end("load", "the supply side of the load"),
        roles.feed("feed", "the battery, or what it feeds: it carries the load"),
        roles.feed("coil-feed", "the switched supply of the unit that commands, behind a small fuse"),
        *roles.OF_FUSE, roles.SIZE, *roles.OF_COIL, *roles.OF_RELAY, *roles.OF_COLOUR,
    ),
    (
        "Where a diode is across the coil: cathode at 86, anode at 85.",
        "Feed 86 from the supply of the unit that commands: where 86 is live while the unit is off, current enters the unit through its output and keeps it awake.",
        "The coil takes its current at 14.5 V and -20 C: it must be within the limit of the output.",
    ),
    source("A"),
    {"command": "donor/E1.11", "load": "host/X3.1", "feed": "host/B1.30", "coil-feed": "host/F4.2", "fuse": "15 A"},
    put,
)
