"""Where the wiring is gathered: each element with its entry, and what is to be told of it.

Filled by ``copper.py`` and ``device_loads.py``; nothing else changes it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from ..electric import Element, Relay, Resistor
from ..electric.circuit import contact_id
from ..model.given import Given, nominal_v
from ..model.harness import Harness
from ..network.ways import ASSUMED_METAL
from ..trade.tables import factors
from .catalogue import Entry, ground_element, of_ground
from .nodes import Nodes
from .wiring import Aside, LoadPoint


@dataclass(slots=True)
class Gathering:
    """What was gathered so far."""

    harness: Harness
    nodes: Nodes
    supply_v: float = field(init=False)
    elements: list[Element] = field(default_factory=list)
    relays: list[Relay] = field(default_factory=list)
    loads: list[LoadPoint] = field(default_factory=list)
    typical: list[Aside] = field(default_factory=list)
    left_out: list[Aside] = field(default_factory=list)
    catalogue: dict[str, Entry] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.supply_v = nominal_v(self.harness)

    def put(self, element: Element, entry: Entry) -> None:
        self.elements.append(element)
        self.catalogue[element.id] = entry

    def put_relay(self, relay: Relay, coil: Entry, contacts: Iterable[Entry]) -> None:
        """contacts: an entry each, in their order"""
        self.relays.append(relay)
        self.catalogue[relay.id] = coil
        self.catalogue.update((contact_id(relay, number), entry) for number, entry in enumerate(contacts))

    def put_on_metal(self, address: str, metal: str | None) -> None:
        """A ground, or a case that is bolted to metal."""
        if address not in self.nodes.off:
            self.put(Resistor(ground_element(address), self.nodes.of[address], self.nodes.metal(metal), factors()["contact-stud"].value),
                     of_ground(self.harness, address, metal or ASSUMED_METAL))

    def tell_typical(self, thing: str, taken: Iterable[tuple[str, Given, str]]) -> None:
        """taken: name, value, unit"""
        words = [f"{name} {value.value:g} {unit} ({value.origin})" for name, value, unit in taken if value.typical]
        if words:
            self.typical.append(Aside(thing, ", ".join(words)))

    def leave_out(self, thing: str, why: str) -> None:
        self.left_out.append(Aside(thing, why))

    def circuit_at(self, address: str) -> str:
        """The circuit of a pin, else of the first wire at it."""
        own = self.harness.contacts[address].circuit
        return own or next((circuit for wire in self.harness.wires_at.get(address, ()) if (circuit := self.harness.wires[wire].circuit)), "")

    def is_pulsed(self, address: str) -> bool:
        circuit = self.harness.circuits.get(self.circuit_at(address))
        return circuit is not None and circuit.pulsed
