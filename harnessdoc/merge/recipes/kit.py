"""What a recipe is put together with: relays, fuses, diodes, resistors, splices, wires, each with its id.

Takes: the id of an interface, its recipe and what is given. Gives, at the end, the Expansion. Ids begin with that of the
interface: ``I2-K`` relay, ``I2-F`` fuse, ``I2-D`` diode, ``I2-R`` resistor, ``I2-S`` splice; a wire is named by the terminal
that it leads to: ``I2-86``, ``I2-F-1``.

Sizes where none is given. Behind a fuse: the thinnest usual size whose fuse in the handbook is not smaller (FAA AC 43.13-1B
table 11-3). Coils and signals: 0.5 mm2; by the same table it goes with 5 A, and thinner is too weak to be handled (common practice). Else it
is not known, and left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from ...description.units import UnitFault, parse_quantity, parse_size
from ...trade.wire_fuses import handbook_fuse_a
from .recipe import Expansion, Recipe

USUAL_SIZES = ("0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2")
"""Sizes that are bought by the metre. Common practice."""
MOST_BLADE_A = 40.0
"""Blade fuses end here, maxi fuses go on."""
_SECTIONS = ("fuses", "relays", "diodes", "resistors", "splices", "wires")
_FUSE = re.compile(r"([^a-zA-Z]*m?A)\b,? *(.*)")
_RESISTOR = re.compile(r"(.*?(?:ohm|Ω)),? *(.*W)")


class Kit:
    """One interface in the making. box: the box in whose spare position its first relay or fuse sits, whichever its recipe puts in first; "" for none."""

    def __init__(self, interface: str, recipe: Recipe, given: Mapping[str, str], box: str) -> None:
        self.interface, self.recipe, self.box = interface, recipe, box
        self._given = given
        self._sections: dict[str, dict[str, dict[str, str]]] = {section: {} for section in _SECTIONS}
        self._lands: dict[str, str] = {}
        self._leads: dict[str, str] = {}
        self._notes: list[str] = []

    # ------------------------------------------------------------------ what is given

    def has(self, role: str) -> bool:
        return role in self._given

    def text(self, role: str) -> str:
        """As given, or the default of the role."""
        return self._given.get(role) or self.recipe.role(role).default

    # ------------------------------------------------------------------------- parts

    def relay(self, *commands: str, load: str, name: str = "K", contacts: str = "make", note: str = "") -> str:
        """A relay; its id. commands, load: the roles that say what commands it and what it feeds."""
        id, coil, rating = f"{self.interface}-{name}", self.text("coil"), self.text("rating")
        return self._part("relays", id, title=self.recipe.title, part=self.text("relay"), coil=coil, rating=rating, contacts=contacts, suppression=self.text("suppression"),
                          **{"commanded-by": " and ".join(map(self.text, commands)), "feeds": self.text(load), "note": note})

    def fuse(self, name: str, stated: str, place: str = "") -> str:
        """A fuse, ``15 A`` or with its kind ``60 A midi``; its id. place: the point at which it sits, "" where it sits with the interface."""
        match = _FUSE.fullmatch(stated.strip())
        rating, kind = match.groups() if match else (stated, "")
        amps = parse_quantity(rating, "current")
        usual = "maxi" if not isinstance(amps, UnitFault) and amps.value > MOST_BLADE_A else "blade"
        return self._part("fuses", f"{self.interface}-{name}", title=self.recipe.title, rating=rating, type=kind or usual, place=place)

    def diode(self, name: str = "D") -> str:
        """A diode; its id."""
        return self._part("diodes", f"{self.interface}-{name}", title=self.recipe.title, part=self.text("diode"), rating=self.text("diode-rating"))

    def resistor(self, name: str = "R") -> str:
        """A resistor, ``47 ohm`` or with its power ``47 ohm, 5 W``; its id."""
        stated = self.text("resistor").strip()
        match = _RESISTOR.fullmatch(stated)
        value, power = match.groups() if match else (stated, "")
        return self._part("resistors", f"{self.interface}-{name}", title=self.recipe.title, value=value, power=power)

    def splice(self, name: str = "S", title: str = "") -> str:
        """A splice; its id, which is its number too: both vehicles meet there."""
        return self._part("splices", f"{self.interface}-{name}", title=title or self.recipe.title, join=f"{self.interface}-{name}")

    def _part(self, section: str, id: str, **entry: str) -> str:
        if self.box and section in ("relays", "fuses") and not (self._sections["relays"] or self._sections["fuses"]):
            entry |= {"box": self.box, "place": ""}
        self._sections[section][id] = {key: value for key, value in entry.items() if value}
        return id

    # ------------------------------------------------------------------------- wires

    def wire(self, name: str, from_: str, to: str, size: str, colour: str = "colour") -> None:
        """A wire; colour: the role that says its colour."""
        entry = {"from": from_, "to": to, "size": size, "colour": self.text(colour)}
        self._sections["wires"][f"{self.interface}-{name}"] = {key: value for key, value in entry.items() if value}

    def lead(self, feed: str, fuse: str, fuse_name: str, name: str, to: str, size: str) -> None:
        """From the address given as ``feed``, through a fuse where one is given as ``fuse``, to a terminal."""
        start = self.text(feed)
        if not self.has(fuse):
            self.wire(name, start, to, size)
            self._leads[f"{self.interface}-{name}"] = feed
            return
        part = self.fuse(fuse_name, self.text(fuse), self.text("fuse-place") if fuse == "fuse" else "")
        self.wire(f"{fuse_name}-1", start, f"{part}.1", size)
        self._leads[f"{self.interface}-{fuse_name}-1"] = feed
        self.wire(name, f"{part}.2", to, size)
        self.note(f"Put {part} where the feed is taken: nothing that fits protects the wire before it.")

    def load_feed(self, name: str, to: str) -> None:
        """The feed of the load to a terminal."""
        self.lead("feed", "fuse", "F", name, to, self.load_size)

    def coil_feed(self, name: str, to: str) -> None:
        """The feed of a coil to a terminal."""
        self.lead("coil-feed", "coil-fuse", "F86", name, to, self.coil_size)

    def ground(self, name: str, from_: str, size: str, role: str = "ground") -> None:
        """From a terminal to the address given as a ground."""
        self.wire(name, from_, self.text(role), size, "ground-colour")
        self._leads[f"{self.interface}-{name}"] = role

    @property
    def load_size(self) -> str:
        """Of the wires that carry the load; "" where it is not known."""
        return self.text("size") or (size_behind(self._given["fuse"]) if self.has("fuse") else "")

    @property
    def coil_size(self) -> str:
        return self.text("coil-size")

    # ---------------------------------------------------------------- what comes of it

    def land(self, role: str, address: str) -> None:
        """Where the wire of an end is to end, if that end is given."""
        if self.has(role):
            self._lands[role] = address

    def note(self, words: str) -> None:
        self._notes.append(words)

    def expansion(self) -> Expansion:
        return Expansion({section: entries for section, entries in self._sections.items() if entries}, self._lands, self._leads, tuple(self._notes))


def size_behind(fuse: str) -> str:
    """The thinnest usual size that a fuse as written protects, by the handbook; "" where none does or it is no current."""
    match = _FUSE.fullmatch(fuse.strip())
    amps = parse_quantity(match[1] if match else fuse, "current")
    if isinstance(amps, UnitFault):
        return ""
    for stated in USUAL_SIZES:
        size = parse_size(stated)
        fact = None if isinstance(size, UnitFault) else handbook_fuse_a(size)
        if fact is not None and fact.value >= amps.value:
            return stated
    return ""
