"""What each element of the circuit is on the bench: a wire, a fuse, a contact, a ground, a load, or the inside of a device.

Takes a Wiring; gives, by element id, an Entry with its kind, its words and the addresses at
its two ends. What is not in it is the inside of a device.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..electric.circuit import contact_id
from ..model.harness import Part
from .nodes import ASSUMED_METAL
from .wiring import Wiring, fuse_element, relay_element, wire_element

WIRE, FUSE, LINK, CONTACT, GROUND, LOAD, COIL, DIODE, RESISTOR, INSIDE = (
    "wire", "fuse", "fusible link", "contact", "ground", "load", "coil", "diode", "resistor", "inside")
PROTECTS = (FUSE, LINK)
_ENDS = {FUSE: ("1", "2"), LINK: ("1", "2"), DIODE: ("A", "K"), RESISTOR: ("1", "2")}


@dataclass(frozen=True, slots=True)
class Entry:
    """One element; wire: its id, "" of anything else; a, b: addresses in the element's own direction, "" where there is none."""

    kind: str
    words: str
    a: str
    b: str
    wire: str = ""


def catalogue(wiring: Wiring) -> Mapping[str, Entry]:
    """Element id -> what it is, for all that may be in the circuit in some state."""
    return dict(_entries(wiring))


def switch_element(switch: str, a: str, b: str) -> str:
    return f"switch {switch} {a} to {b}"


def relay_contacts(part: Part) -> tuple[str, ...]:
    """The terminals its contacts join with 30, in the order of the contacts of its element."""
    return tuple(name for name in ("87", "87b", "87a") if name in part.terminals)


def _entries(wiring: Wiring) -> Iterator[tuple[str, Entry]]:
    harness = wiring.harness
    for id in wiring.conductors:
        wire = harness.wires[id]
        yield wire_element(id), Entry(WIRE, f"wire {id}", wire.from_, wire.to, id)
    for part in harness.parts.values():
        if part.kind in _ENDS:
            a, b = _ENDS[part.kind]
            yield fuse_element(part), Entry(part.kind, f"{part.kind} {part.id}", f"{part.id}.{a}", f"{part.id}.{b}")
        elif part.kind == "relay":
            coil = relay_element(part.id)
            yield coil, Entry(COIL, f"coil of {part.id}", f"{part.id}.86", f"{part.id}.85")
            for across in ("diode", "resistor"):
                yield f"{coil} {across}", Entry(COIL, f"{across} across the coil of {part.id}", "", "")
            for number, name in enumerate(relay_contacts(part)):
                yield f"{coil} contact {number}", Entry(CONTACT, f"relay {part.id}", f"{part.id}.30", f"{part.id}.{name}")
    for ground in harness.grounds.values():
        yield f"{ground.id} on metal", Entry(GROUND, f"{ground.id} on {ground.metal or ASSUMED_METAL}", ground.id, "")
    for pin in harness.contacts.values():
        if pin.inside is not None and pin.inside.metal:
            yield f"{pin.address} on metal", Entry(GROUND, f"{pin.address} on {pin.inside.metal}", pin.address, "")
    for id, device in harness.devices.items():
        for pairs in device.closes.values():
            for a, b in pairs:
                yield switch_element(id, a, b), Entry(CONTACT, f"switch {id}", a, b)
    for relay in wiring.relays:
        for number, contact in enumerate(relay.contacts):
            if relay.id.startswith("load "):
                yield contact_id(relay, number), Entry(INSIDE, f"contact of {relay.id.removeprefix('load ')}", "", "")
            elif relay.id.endswith(" works"):
                yield contact_id(relay, number), Entry(INSIDE, contact.common, "", "")
    for load in wiring.loads:
        if load.element:
            yield load.element, Entry(LOAD, load.title or load.id, load.a, load.b)
