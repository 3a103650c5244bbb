"""The sections of a description as they grow, for ``generate_electric``: ids, wires, cavities, connectors.

Every id is given here and every wire is counted here.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Sequence

from benchmarks.generate import COLOURS

SECTIONS = ("segments", "devices", "connectors", "cavities", "boxes", "fusible-links", "fuses", "relays", "diodes", "splices", "grounds", "circuits",
            "states", "wires")


class Writer:
    """What was written so far. ``wires`` is how many wires; what a state may name is kept by address or id."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance
        self.sections: dict[str, list[str]] = {name: [] for name in SECTIONS}
        self.count: Counter[str] = Counter()
        self.wires = 0
        self.switches: list[str] = []
        self.idle_outputs: list[str] = []       # that only a state turns on

    def add(self, section: str, line: str) -> None:
        self.sections[section].append(f"  {line}")

    def next(self, letter: str) -> str:
        self.count[letter] += 1
        return f"{letter}{self.count[letter]}"

    def text(self, head: Sequence[str]) -> str:
        """The head, then every section that has a line."""
        return "\n".join([*head, *(line for name, lines in self.sections.items() if lines for line in (f"{name}:", *lines))]) + "\n"

    # ----------------------------------------------------------------------- harness

    def segment(self, one: str, other: str, least_mm: int, most_mm: int, zone: str) -> str:
        """From a point to a new one, whose name is given back."""
        length_mm = self.chance.randrange(least_mm, most_mm, 5)
        self.add("segments", f"{self.next('T')}: {{from: {one}, to: {other}, length: {length_mm} mm, covering: tape, zone: {zone}}}")
        return other

    def wire(self, one: str, other: str, size: str, circuit: str) -> None:
        self.wires += 1
        colour = "/".join(self.chance.sample(COLOURS, 1 + self.wires % 2))
        self.add("wires", f"{self.wires}: {{from: {one}, to: {other}, size: {size}, colour: {colour}, circuit: {circuit}}}")

    def splice(self, title: str, near: str, toward: str) -> str:
        """Somewhere on the first 125 mm of the segment between two points."""
        name = self.next("SP")
        self.add("splices", f"{name}: {{title: {title}, at: {self.chance.randrange(30, 130, 5)} mm from {near} toward {toward}, method: crimp splice}}")
        return name

    def ground(self, name: str, place: str, metal: str) -> None:
        self.add("grounds", f"{name}: {{title: {metal} stud at {place}, place: {place}, stud: M8, metal: {metal}, terminal: eyelet M8}}")

    def connector(self, id: str, title: str, place: str, cavities: int, mates: str = "", half: str = "socket") -> None:
        """Two rows where there are more than four cavities; a plug is seen as its socket is, mirrored."""
        rows = [(1, cavities // 2), (cavities // 2 + 1, cavities)] if cavities > 4 else [(1, cavities)]
        face = ", ".join(f"[{last}..{first}]" if half == "plug" else f"[{first}..{last}]" for first, last in rows)
        mate = f", mates: {mates}" if mates else ""
        self.add("connectors", f"{id}: {{title: {title}, place: {place}, half: {half}, face: [{face}], view: mating face{mate}}}")

    # ----------------------------------------------------------------------- devices

    def cavity(self, address: str, function: str, signal: str, more: str = "") -> str:
        """more: further keys with the comma before them."""
        self.add("cavities", f"{address}: {{function: {function}, signal: {signal}{more}}}")
        return address

    def device(self, letter: str, title: str, place: str, cavities: Sequence[tuple[str, str]], said: Callable[[str], str]) -> str:
        """A device with one connector; gives the connector.

        cavities: function and signal of each, numbered from 1; said: from the connector its further keys, the comma before them
        """
        name = self.next(letter)
        connector = f"X{name}"
        self.add("devices", f"{name}: {{title: {title}, connectors: [{connector}]{said(connector)}}}")
        self.connector(connector, title, place, len(cavities))
        for number, (function, signal) in enumerate(cavities, 1):
            self.cavity(f"{connector}.{number}", function, signal)
        return connector

    def switch(self, title: str, place: str, signal: str) -> str:
        """A switch that joins its cavities 1 and 2 while it is pressed; signal: that of cavity 2."""
        connector = self.device("S", title, place, (("contact", "switch-contact"), ("contact", signal)),
                                lambda connector: f", closes: {{pressed: [[{connector}.1, {connector}.2]]}}")
        self.switches.append(connector.removeprefix("X"))
        return connector


class ControlUnit:
    """A control unit whose connectors are written once all cavities were asked for."""

    MOST_CAVITIES = 40      # of one of its connectors

    def __init__(self, number: int, place: str) -> None:
        self.id, self.title, self.place = f"U{number}", f"control unit {number}", place
        self.cavities = 0

    def cavity(self, writer: Writer, function: str, signal: str, more: str = "") -> str:
        """The next cavity that is free."""
        connector, cavity = divmod(self.cavities, self.MOST_CAVITIES)
        self.cavities += 1
        return writer.cavity(f"X{self.id}-{connector + 1}.{cavity + 1}", function, signal, more)

    def output(self, writer: Writer, function: str, signal: str, limit: str) -> str:
        commanded = writer.chance.choice(("run", "run and start", "with engine", ""))
        address = self.cavity(writer, function, signal, f", limit: {limit}, on-resistance: 0.2 ohm" + (f", commanded: {commanded}" if commanded else ""))
        if not commanded:
            writer.idle_outputs.append(address)
        return address

    def write(self, writer: Writer) -> None:
        connectors = [f"X{self.id}-{number}" for number in range(1, -(-self.cavities // self.MOST_CAVITIES) + 1)]
        for number, connector in enumerate(connectors):
            writer.connector(connector, self.title, self.place, min(self.MOST_CAVITIES, self.cavities - number * self.MOST_CAVITIES))
        writer.add("devices", f"{self.id}: {{title: {self.title}, connectors: [{', '.join(connectors)}]}}")


class InLine:
    """An in-line connector at a point, its halves XA and XB written once all wires went through."""

    def __init__(self, number: int, name: str, place: str) -> None:
        self.number, self.name, self.place = number, name, place
        self.cavities = 0

    def wire(self, writer: Writer, one: str, other: str, size: str, circuit: str) -> None:
        """Two wires, with a cavity of each half between them."""
        self.cavities += 1
        writer.wire(one, f"XA{self.number}.{self.cavities}", size, circuit)
        writer.wire(f"XB{self.number}.{self.cavities}", other, size, circuit)

    def write(self, writer: Writer) -> None:
        ways = self.cavities + self.cavities % 2    # rows of one length mirror each other
        writer.connector(f"XA{self.number}", self.name, self.place, ways, mates=f"XB{self.number}")
        writer.connector(f"XB{self.number}", self.name, self.place, ways, half="plug")
