"""Charge lamp excitation: enough current into the alternator before it charges, none back out of it after key-off."""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe, Role


def _put(kit: Kit) -> None:
    diode = kit.diode()
    anode = f"{diode}.A"
    if kit.has("resistor"):
        resistor = kit.resistor()
        kit.lead("feed", "fuse", "F", "R-1", f"{resistor}.1", kit.text("size"))
        if kit.has("lamp"):
            anode = kit.splice(title="lamp and resistor")
            kit.wire("D-A", anode, f"{diode}.A", kit.text("size"))
        kit.wire("S" if kit.has("lamp") else "D-A", f"{resistor}.2", anode, kit.text("size"))
    kit.land("lamp", anode)
    kit.land("alternator", f"{diode}.K")


RECIPE = Recipe(
    "charge lamp excitation",
    "excitation",
    "a charge lamp, or none, and the charge lamp terminal of an alternator (61, D+, L)",
    (
        roles.end("alternator", "the charge lamp terminal of the alternator"),
        roles.end("lamp", "the end of the charge lamp that leads to the alternator; where there is none a `resistor` stands for it", without=("resistor",)),
        Role("resistor", "value", False, "a resistor beside the lamp, where the lamp alone excites too little or is a lamp diode, or in its place: `47 ohm, 5 W`"),
        roles.feed("feed", "the supply of the lamp, live in run and dead with the key off: it feeds the resistor", along=("resistor",)),
        Role("fuse", "value", False, "fuse put into the feed of the resistor, as `5 A`; leave it out where that feed is behind one that fits"),
        roles.FUSE_PLACE, roles.SIGNAL_SIZE, roles.DIODE, Role("diode-rating", "value", False, "what the diode carries", "3 A"), roles.COLOUR,
    ),
    (
        "The diode keeps a running alternator from feeding the ignition through the lamp: without it the engine may run on after key-off. Cathode to the alternator.",
        "Makers put 15 or 500 ohm beside the lamp, by regulator; 10 and 47 ohm are known from tractors (trade sources). See that the current in run is what the alternator needs.",
    ),
    "trade sources: the diode against running on; resistors beside or in place of the lamp",
    {"lamp": "host/X7.2", "alternator": "donor/A1.L", "feed": "host/SP9", "resistor": "47 ohm, 5 W"},
    _put,
)
