"""Ground signal to supply input: what closes to ground pulls in a relay, its contact gives the input the supply."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe
from .relay_facts import minded, source


def _put(kit: Kit) -> None:
    relay = kit.relay("signal", load="input")
    kit.lead("coil-feed", "coil-fuse", "F86", "86", f"{relay}.86", kit.text("size"))
    kit.land("signal", f"{relay}.85")
    kit.lead("feed", "fuse", "F", "30", f"{relay}.30", kit.text("size"))
    kit.land("input", f"{relay}.87")


RECIPE = Recipe(
    "ground signal to supply input",
    "signal relay",
    "a switch or output that closes to ground, and an input that wants the supply",
    (
        roles.end("signal", "what closes to ground"),
        roles.end("input", "the input that wants the supply"),
        roles.feed("feed", "a supply that is live in the key positions in which the input may have it"),
        roles.feed("coil-feed", "a switched supply for the coil"),
        *roles.OF_SMALL_FUSE, roles.COIL_FUSE, roles.SIGNAL_SIZE, roles.SIGNAL_RELAY, *roles.OF_RELAY[1:], roles.COLOUR,
    ),
    (*minded("D"), "A coil that is live with the key off draws on the battery for as long as the switch is closed."),
    source("D"),
    {"signal": "host/X5.1", "input": "donor/E1.15", "feed": "host/F4.2", "coil-feed": "host/SP9", "fuse": "2 A"},
    _put,
)
