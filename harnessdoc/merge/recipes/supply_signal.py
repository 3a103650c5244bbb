"""Supply signal to ground input: what gives the supply pulls in a relay, its contact closes the input to ground."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe
from .relay_facts import minded, source


def _put(kit: Kit) -> None:
    relay = kit.relay("signal", load="input")
    kit.land("signal", f"{relay}.86")
    kit.ground("85", f"{relay}.85", kit.text("size"))
    kit.ground("30", f"{relay}.30", kit.text("size"), "input-ground" if kit.has("input-ground") else "ground")
    kit.land("input", f"{relay}.87")


RECIPE = Recipe(
    "supply signal to ground input",
    "signal relay",
    "a switch or output that gives the supply, and an input that is closed to ground, as of brake or air conditioning",
    (
        roles.end("signal", "what gives the supply"),
        roles.end("input", "the input that is closed to ground"),
        roles.ground("ground", "the ground of the coil"),
        roles.ground("input-ground", "the ground that the book of the input's unit asks for; that of the coil where left out", needed=False),
        roles.SIGNAL_SIZE, roles.SIGNAL_RELAY, *roles.OF_RELAY[1:], roles.GROUND_COLOUR,
    ),
    minded("C"),
    source("C"),
    {"signal": "host/X4.2", "input": "donor/E1.14", "ground": "host/GH1"},
    _put,
)
