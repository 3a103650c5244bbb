"""Diode: current one way only between two ends."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe, Role


def _put(kit: Kit) -> None:
    diode = kit.diode()
    kit.land("anode", f"{diode}.A")
    kit.land("cathode", f"{diode}.K")


RECIPE = Recipe(
    "diode",
    "diode",
    "two ends between which current is to flow one way only: a second feed, a lamp and an input on one switch, an output that drives both ways",
    (
        roles.end("anode", "the end from which the current comes"),
        roles.end("cathode", "the end to which it goes: the ring on the body"),
        roles.DIODE,
        Role("diode-rating", "value", False, "what the diode carries"),
    ),
    (
        "It takes 0.7 V: a control unit's input may read ground through it as too high.",
        "At the coil of a relay whose output has a clamp to the supply it does not help: it passes that current. Feed the coil from the unit's own supply.",
    ),
    "common practice",
    {"anode": "host/X5.1", "cathode": "donor/E1.14", "diode-rating": "1 A"},
    _put,
)
