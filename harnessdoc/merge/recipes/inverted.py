"""Inverted with 87a: the load is on while nothing commands; the command opens the contact at rest."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe
from .relay_facts import minded, source

_LOW, _HIGH = "low-side-command", "high-side-command"


def _put(kit: Kit) -> None:
    low = kit.has(_LOW)
    relay = kit.relay(_LOW if low else _HIGH, load="load", contacts="changeover")
    if low:
        kit.coil_feed("86", f"{relay}.86")
        kit.land(_LOW, f"{relay}.85")
    else:
        kit.land(_HIGH, f"{relay}.86")
        kit.ground("85", f"{relay}.85", kit.coil_size)
    kit.load_feed("30", f"{relay}.30")
    kit.land("load", f"{relay}.87a")


RECIPE = Recipe(
    "inverted with 87a",
    "inverting relay",
    "an output or switch, and a load that must be on while the command is off",
    (
        roles.end(_LOW, "the command, where it closes to ground; else `high-side-command`", without=(_HIGH,)),
        roles.end(_HIGH, "the command, where it closes to the supply", needed=False, against=(_LOW,)),
        roles.end("load", "the supply side of the load"),
        roles.feed("feed", "a switched supply: it carries the load"),
        roles.feed("coil-feed", "the switched supply of the unit that commands, behind a small fuse", along=(_LOW,)),
        roles.ground("ground", "the ground of the coil", along=(_HIGH,)),
        *roles.OF_FUSE, roles.SIZE, *roles.OF_COIL, *roles.OF_RELAY, *roles.OF_COLOUR,
    ),
    (
        *minded("E"),
        "From a feed that the key does not open, the load runs with the key out.",
        "The check tells of a load that is on while nothing commands (`load-on-unasked`), of this one only where it is on with the key out.",
    ),
    source("E"),
    {"low-side-command": "donor/E1.10", "load": "host/X9.1", "feed": "host/F4.2", "coil-feed": "host/SP9", "fuse": "10 A"},
    _put,
)
