"""A circuit: elements, relays, reference; and what a solve gives back.

``Circuit.elements_in`` puts the relays in a given state, so that what is solved,
checked and exported is the same list of elements.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from .elements import Diode, Element, Resistor


@dataclass(frozen=True, slots=True)
class Contact:
    """Contact of a relay: from ``common`` (30) to ``open`` (87) when pulled in, to ``closed`` (87a) when not.

    "" where the relay has no such terminal. ``ohm`` of the closed contact.
    """

    common: str
    open: str
    closed: str
    ohm: float


@dataclass(frozen=True, slots=True)
class Relay:
    """A relay: coil from ``start`` (86) to ``end`` (85), either polarity.

    ohm:         of the coil
    pull_in_v:   at this coil voltage or above it pulls in
    release_v:   at this coil voltage or below it drops out; between the two it stays as it was
    suppression: a Resistor or a Diode beside the coil, or None
    """

    id: str
    start: str
    end: str
    ohm: float
    pull_in_v: float
    release_v: float
    contacts: tuple[Contact, ...]
    suppression: Resistor | Diode | None = None


RelayStates = Mapping[str, bool]
"""Relay id -> pulled in. A relay not named has dropped out."""


@dataclass(frozen=True, slots=True)
class Circuit:
    """elements: what is closed; relays: what closes more; reference: the node of 0 V, battery minus as a rule."""

    elements: tuple[Element, ...]
    reference: str
    relays: tuple[Relay, ...] = ()

    def elements_in(self, relay_states: RelayStates) -> tuple[Element, ...]:
        """All elements with the relays in the given states.

        A coil has the id of its relay, contact n (from 0) ``RELAY contact n``.
        """
        return (*self.elements, *(part for relay in self.relays for part in _parts(relay, relay_states.get(relay.id, False))))


def _parts(relay: Relay, pulled: bool) -> Iterable[Element]:
    yield Resistor(relay.id, relay.start, relay.end, relay.ohm)
    if relay.suppression is not None:
        yield relay.suppression
    for number, contact in enumerate(relay.contacts):
        far = contact.open if pulled else contact.closed
        if far:
            yield Resistor(contact_id(relay, number), contact.common, far, contact.ohm)


def contact_id(relay: Relay, number: int) -> str:
    """The element id of contact ``number`` (from 0) of ``relay``."""
    return f"{relay.id} contact {number}"


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a circuit or a solution. C's findings are made of these.

    code:     ``bad-value``, ``id-twice``, ``shorted-source``, ``sources-in-parallel``, ``no-convergence``,
              ``relay-chatters``, ``relay-race``, ``supply-at-limit``, ``off-balance``, ``off-law``, ``relay-state``
    words:    one line with the numbers
    elements: ids of elements or relays concerned, worst first
    """

    code: str
    words: str
    elements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Solution:
    """The voltages and currents of one state.

    voltages:     node -> volts against the reference; a node that no path ties to the reference is not in it
    currents:     element id -> amps from its ``a`` to its ``b``; elements of floating nodes are not in it
    floating:     nodes without a voltage, in order of first mention
    relay_states: relay id -> pulled in
    iterations:   of the last solve
    """

    voltages: Mapping[str, float]
    currents: Mapping[str, float]
    floating: tuple[str, ...]
    relay_states: RelayStates
    iterations: int

    def across(self, a: str, b: str) -> float:
        """Voltage of ``a`` less that of ``b``; 0 where one of them floats: no current can tell them apart."""
        va, vb = self.voltages.get(a), self.voltages.get(b)
        return 0.0 if va is None or vb is None else va - vb


@dataclass(frozen=True, slots=True)
class Unsolved:
    """No numbers, and why. ``faults`` has at least one."""

    faults: tuple[Fault, ...] = field(default=())
