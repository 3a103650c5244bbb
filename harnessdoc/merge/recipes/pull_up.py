"""Pull-up: a resistor from a switched supply to a signal that is only ever closed to ground."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe, Role


def _put(kit: Kit) -> None:
    splice = kit.splice(title="signal and pull-up")
    resistor = kit.resistor()
    kit.lead("feed", "fuse", "F", "R-1", f"{resistor}.1", kit.text("size"))
    kit.wire("S", f"{resistor}.2", splice, kit.text("size"))
    kit.land("signal", splice)
    kit.land("input", splice)


RECIPE = Recipe(
    "pull-up",
    "pull-up",
    "a signal that only closes to ground, as engine speed from an open collector, and a gauge or input without a pull-up of its own",
    (
        roles.end("signal", "the output that closes to ground"),
        roles.end("input", "the gauge or input that reads it, where its wire is joined here too", needed=False),
        roles.feed("feed", "a supply that is dead with the key off"),
        Role("resistor", "value", False, "the resistor, with its power", "10 kohm, 0.5 W"),
        *roles.OF_SMALL_FUSE, roles.SIGNAL_SIZE, roles.COLOUR,
    ),
    (
        "10 kohm with half a watt is known to do (trade source); 1 to 10 kohm are usual. On a constant supply it draws on the battery each time the output rests at ground.",
        "Not for a signal that the input pulls up itself, and not for the switched end of an ignition coil.",
    ),
    "a trade source: 10 kohm of half a watt, to a switched supply",
    {"signal": "donor/E1.22", "input": "host/X12.2", "feed": "host/SP10"},
    _put,
)
