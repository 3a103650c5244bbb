"""What each element of the circuit is: a wire, a fuse, a contact, a ground, a load, a supply, or the inside of a device.

A catalogue is made with the wiring: whoever puts an element in gives its Entry. By the id of an
element, or of a relay, it has the kind, the words, the addresses at both ends, and the thing of the file
it stands for. Ids are made here and taken apart nowhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from ..description.text import Record
from ..model.harness import Contact as Pin
from ..model.harness import Device, Harness, Part, Wire
from .words import listed

WIRE, FUSE, LINK, CONTACT, GROUND, LOAD, COIL, DIODE, RESISTOR, SUPPLY, OUTPUT, BOND, WORKS, INSIDE = (
    "wire", "fuse", "fusible link", "contact", "ground", "load", "coil", "diode", "resistor", "supply", "output", "bond", "control unit", "inside")
"""OUTPUT: what an output is while it is on. BOND: what joins the ground pins of a device in it. WORKS: the coil and the contacts that stand
for a control unit at work. INSIDE: all else inside devices."""
PROTECTS = (FUSE, LINK)


@dataclass(frozen=True, slots=True)
class Entry:
    """One element.

    kind:   one of the kinds above
    words:  what it is on the path of a current: ``coil of K1``
    thing:  what it belongs to: ``relay K1``; source: the record that was read from
    a, b:   addresses in the element's own direction, "" where there is none
    wire:   id of the wire, "" of anything else
    """

    kind: str
    words: str
    thing: str
    source: Record = field(repr=False, compare=False)
    a: str = ""
    b: str = ""
    wire: str = ""


Catalogue = Mapping[str, Entry]
"""Element id -> what it is, for all that may be in the circuit in some state."""


def things_in_words(catalogue: Catalogue, elements: Iterable[str], most: int = 12) -> str:
    """``wire 1, fuse F1 and wire 2``: each thing once, in order; of many the first and the last."""
    words = list(dict.fromkeys(catalogue[element].thing for element in elements))
    if len(words) > most:
        words[most // 2:-(most // 2)] = [f"{len(words) - most // 2 * 2} more"]
    return listed(words)


# -------------------------------------------------------------------- ids of elements

def wire_element(wire: str) -> str:
    return f"wire {wire}"


def part_element(part: Part) -> str:
    """Of a relay its coil."""
    return f"{part.kind} {part.id}"


def load_element(load: str) -> str:
    """load: id of a LoadPoint"""
    return f"load {load}"


def switch_element(switch: str, a: str, b: str) -> str:
    return f"switch {switch} {a} to {b}"


def ground_element(address: str) -> str:
    return f"{address} on metal"


def output_element(address: str) -> str:
    """What an output is while it is on."""
    return f"{address} on"


def awake_id(device: str) -> str:
    """The relay that stands for a device at work."""
    return f"{device} works"


def steady_element(volts: float, device: str) -> str:
    """What gives a reference inside a device; its plus has the same name."""
    return f"{volts:g} V of {device}"


# -------------------------------------------------------------------- entries

def of_wire(wire: Wire) -> Entry:
    words = f"wire {wire.id}"
    return Entry(WIRE, words, words, wire.source, wire.from_, wire.to, wire.id)


def of_part(part: Part) -> Entry:
    """A fuse, link, diode or resistor."""
    words = f"{part.kind} {part.id}"
    a, b = ("A", "K") if part.kind == DIODE else ("1", "2")
    return Entry(part.kind, words, words, part.source, f"{part.id}.{a}", f"{part.id}.{b}")


def of_coil(part: Part) -> Entry:
    return Entry(COIL, f"coil of {part.id}", f"relay {part.id}", part.source, f"{part.id}.86", f"{part.id}.85")


def of_suppression(part: Part, what: str) -> Entry:
    """what: ``diode`` or ``resistor``"""
    return Entry(COIL, f"{what} across the coil of {part.id}", f"relay {part.id}", part.source)


def of_relay_contact(part: Part, name: str) -> Entry:
    """name: of the terminal it joins with 30"""
    words = f"relay {part.id}"
    return Entry(CONTACT, words, words, part.source, f"{part.id}.30", f"{part.id}.{name}")


def of_switch_contact(device: Device, a: str, b: str) -> Entry:
    words = f"switch {device.id}"
    return Entry(CONTACT, words, words, device.source, a, b)


def of_ground(harness: Harness, address: str, metal: str) -> Entry:
    """A ground, or a pin that sits on metal."""
    return Entry(GROUND, f"{address} on {metal}", f"ground {address}" if address in harness.grounds else address, harness.contacts[address].source, address)


def of_load(device: Device, name: str, title: str, a: str, b: str) -> Entry:
    """name: under ``loads``, "" of its only one"""
    id = f"{device.id} {name}".strip()
    thing, source = (f"load {name} of device {device.id}", device.source["loads"][name]) if name else (f"device {device.id}", device.source)
    return Entry(LOAD, title or id, thing, source, a, b)


def of_solenoid_contact(device: Device, name: str) -> Entry:
    words = f"contact of {device.id} {name}"
    return Entry(INSIDE, words, words, device.source["loads"][name])


def of_draw(pin: Pin, title: str) -> Entry:
    """What a pin draws by itself."""
    return Entry(LOAD, title or pin.address, pin.address, pin.source, pin.address)


def of_supply(device: Device, words: str, thing: str, a: str, b: str) -> Entry:
    return Entry(SUPPLY, words, thing, device.source, a, b)


def of_output(pin: Pin) -> Entry:
    words = f"output {pin.address}"
    return Entry(OUTPUT, words, words, pin.source, pin.address)


def of_bond(pin: Pin) -> Entry:
    return Entry(BOND, f"{pin.address} inside", pin.address, pin.source)


def of_inside(pin: Pin, what: str) -> Entry:
    """what: ``pull-up``"""
    words = f"{what} of {pin.address}"
    return Entry(INSIDE, words, words, pin.source)


def of_steady(device: Device, volts: float) -> Entry:
    """What gives a reference."""
    return Entry(INSIDE, steady_element(volts, device.id), f"the {volts:g} V of device {device.id}", device.source)


def of_steady_contact(device: Device, volts: float) -> Entry:
    """What joins a reference to its pin while the device works."""
    return Entry(WORKS, steady_element(volts, device.id), f"device {device.id}", device.source)


def of_at_work(device: Device) -> Entry:
    """The coil that stands for a device at work."""
    return Entry(WORKS, f"{device.id} at work", f"device {device.id}", device.source)
