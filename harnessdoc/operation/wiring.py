"""The harness as a circuit: what is there in every state, and what a state adds.

Gives Wiring, and of it the Circuit of a state. ``wire_up.py`` makes it. Every element has
an id in words (``wire 12``, ``fuse F3``, ``relay K1``) and an Entry in the catalogue.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..electric import Circuit, Element, Relay
from ..model.harness import Harness
from .catalogue import Catalogue
from .conductors import Conductor
from .in_state import added
from .nodes import Nodes
from .states import Case
from .units import Unit


@dataclass(frozen=True, slots=True)
class LoadPoint:
    """Something that takes current.

    id:      ``M2``, ``U2 throttle motor``, or the address of a pin that draws
    element: its element in the circuit; "" where it is left out
    a, b:    addresses; b is "" where it returns through the ground of its device
    rated:   as stated; used: which of its values is solved with, in words
    circuit: of the wire at a, else at b
    pulsed:  left out for that
    """

    id: str
    owner: str
    title: str
    kind: str
    element: str
    a: str
    b: str
    node_a: str
    node_b: str
    rated: str
    used: str
    circuit: str
    pulsed: bool


@dataclass(frozen=True, slots=True)
class Aside:
    """What is left out of the circuit, or put in with a value that nobody stated: the thing and why."""

    thing: str
    words: str


@dataclass(frozen=True, slots=True)
class Wiring:
    """What is there in every state.

    typical:   thing -> the typical values it is solved with, in words
    left_out:  what is no part of the circuit, and why
    catalogue: what each element is, those that a state adds too
    """

    harness: Harness
    nodes: Nodes
    conductors: Mapping[str, Conductor]
    elements: tuple[Element, ...]
    relays: tuple[Relay, ...]
    loads: tuple[LoadPoint, ...]
    units: Mapping[str, Unit]
    typical: tuple[Aside, ...]
    left_out: tuple[Aside, ...]
    catalogue: Catalogue = field(repr=False)

    def circuit(self, case: Case) -> Circuit:
        """The circuit in a state of key, engine, switches and outputs."""
        return Circuit((*self.elements, *added(self.harness, self.nodes, self.units, case)), self.nodes.reference, self.relays)
