"""What takes current, as written: the coils of relays and the loads of devices, with both ends.

Takes a harness; gives Takers, solved or not.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..model.harness import Harness

if TYPE_CHECKING:
    from ..description.text import Record
    from ..findings import Place
    from ..model.electric import Load

INDUCTIVE = ("solenoid", "coil")
"""The kinds of load that are windings."""


@dataclass(frozen=True, slots=True)
class Taker:
    """A coil of a relay, or a load of a device.

    id:      of the relay or device; words: ``coil of fan relay K3``, ``purge valve Y5``
    a, b:    addresses
    load:    None of a relay; is_switched: joined by a solenoid of its own device; switches: closes another load of its device
    signals: of the pins at both ends
    source:  of the relay or load, key: under which its value stands
    """

    id: str
    words: str
    a: str
    b: str
    load: Load | None
    is_switched: bool
    switches: bool
    signals: frozenset[str]
    source: Record
    key: str

    @property
    def place(self) -> Place:
        return self.source.place_of(self.key)


def takers(harness: Harness) -> Iterator[Taker]:
    """In the order of the description: relays, then devices."""
    contacts = harness.contacts
    for relay in harness.parts.values():
        if relay.kind == "relay" and "85" in relay.terminals and "86" in relay.terminals:
            yield Taker(relay.id, f"coil of {f'{relay.title} {relay.id}'.strip()}", f"{relay.id}.86", f"{relay.id}.85", None, False, False, frozenset(), relay.source, "coil")
    for id, device in harness.devices.items():
        title = f"{device.title} {id}".strip()
        if device.load is not None and device.between is not None and all(end in contacts for end in device.between):
            yield Taker(id, title, *device.between, device.load, False, False, _signals(harness, device.between), device.source, device.load.kind)
        for name, entry in device.loads.items():
            if all(end in contacts for end in entry.between):
                switches = any(other.closed_by == name for other in device.loads.values())
                yield Taker(id, f"{title}, {name}", *entry.between, entry.load, bool(entry.closed_by), switches, _signals(harness, entry.between), device.source["loads"][name],
                            entry.load.kind)


def _signals(harness: Harness, ends: tuple[str, str]) -> frozenset[str]:
    return frozenset(harness.contacts[end].signal for end in ends)
