"""Control-unit-held main relay: the unit pulls in its own supply, and lets go of it when it has finished after key-off."""

from __future__ import annotations

from . import roles
from .low_side import put
from .recipe import Recipe
from .relay_facts import minded, source

RECIPE = Recipe(
    "control-unit-held main relay",
    "main relay",
    "the control unit's main relay output, and its own supply with that of injectors and coils",
    (
        roles.end("command", "the main relay output, which closes to ground"),
        roles.end("load", "the supply of the unit, of injectors and coils"),
        roles.feed("feed", "the battery, or what it feeds: it carries the unit and what hangs on it"),
        roles.feed("coil-feed", "a constant supply behind a small fuse: the unit pulls the relay in while its own supply is still dead"),
        *roles.OF_FUSE, roles.SIZE, *roles.OF_COIL, *roles.OF_RELAY, *roles.OF_COLOUR,
    ),
    (
        *minded("H"),
        "Feed the coils of all other relays that the unit commands from 87, not from the battery.",
        "The unit wakes by another pin, from the key; that pin must be dead with the key off, or the relay never lets go.",
    ),
    source("H"),
    {"command": "donor/E1.21", "load": "donor/SP2", "feed": "host/B1.30", "coil-feed": "host/F2.2", "fuse": "30 A"},
    put,
)
