"""Series resistor: less current, or less voltage, between two ends."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe, Role


def _put(kit: Kit) -> None:
    resistor = kit.resistor()
    kit.land("from", f"{resistor}.1")
    kit.land("to", f"{resistor}.2")


RECIPE = Recipe(
    "series resistor",
    "series resistor",
    "a supply or signal, and something that may take less than it gives: an instrument, a lamp diode, an input",
    (
        roles.end("from", "the end from which the current comes"),
        roles.end("to", "the end to which it goes"),
        Role("resistor", "value", True, "the resistor, with its power: `47 ohm, 5 W`"),
    ),
    (
        "What it takes depends on the current: right for one load, wrong for another, and for the same one cold.",
        "It warms: power is the square of the current times its ohms; choose twice that, and mount it free of the bundle (common practice).",
    ),
    "common practice",
    {"from": "donor/E1.22", "to": "host/X12.2", "resistor": "560 ohm, 0.5 W"},
    _put,
)
