"""Key switch, states, zones, and whether what devices say of the electric side fits the rest.

Takes: the devices and the contacts. Gives: the states, the key switch, the zones, and
findings. A description that says nothing of this costs one look at each device.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from ..description.text import Items, Record
from ..description.units import Quantity, parse_quantity
from ..findings import Related
from ..trade.signals import is_driven
from .build_contacts import Contacts
from .electric_words import KEY_OFF, KEY_POSITIONS
from .harness import OPEN, UNKNOWN, Device
from .ids import no_such
from .values import Values

if TYPE_CHECKING:
    from .electric import State

_TEMPERATURE = partial(parse_quantity, kind="temperature")


def key_switches(devices: Mapping[str, Device]) -> list[Device]:
    """The devices that close positions of the key, in their order."""
    return [device for device in devices.values() if any(position in device.closes for position in KEY_POSITIONS)]


def find_key_switch(values: Values, devices: Mapping[str, Device], is_solved: bool) -> str | None:
    """The device that is the key switch; a second one is a finding where the circuit is solved.

    is_solved: False in a merge, too: as long as nothing says which vehicle's leaves there may be two (``merge.judge`` tells it).
    """
    found = key_switches(devices)
    if len(found) > 1 and is_solved:
        first, second = found[:2]
        values.error("two-key-switches", f"device {second.id} closes {_key_positions(second)}, and so does device {first.id} ({_key_positions(first)}): which of them is the key switch?",
                     second.source.place_of("closes"), f"give the positions of the other one names of their own; {', '.join(KEY_POSITIONS)} are those of the key",
                     Related(first.source.place_of("closes"), f"device {first.id} stands here"))
    return found[0].id if found else None


def _key_positions(device: Device) -> str:
    return ", ".join(position for position in device.closes if position in KEY_POSITIONS)


def check_devices(contacts: Contacts, devices: Mapping[str, Device]) -> None:
    """Positions of rest, the addresses of named loads, the terminals of alternators."""
    for device in devices.values():
        if device.rest is not None and device.rest not in device.closes:
            no_such(contacts.values, "no-such-switch-position", device.rest, device.closes, f"position of device {device.id}", f"`rest` of device {device.id}",
                    device.source.place_of("rest"))
        for name in device.loads:
            items = device.source["loads"][name]["between"]
            _check_addresses(contacts, items, f"`between` of load {name} of device {device.id}")
        alternator = device.source.get("alternator")
        for key in ("charge-lamp", "sense") if isinstance(alternator, Record) else ():
            if (address := contacts.values.word(alternator, key)) is not None:
                _check_terminal(contacts, device, key, address)


def _check_addresses(contacts: Contacts, items: Items, where: str) -> None:
    for position, address in enumerate(items):
        if address in (UNKNOWN, OPEN):
            contacts.values.error("no-such-address", f"item {position + 1} of {where} is '{address}', where an address is needed", items.place_of(position),
                                  "leave it out until it is known")
        elif isinstance(address, str):
            contacts.find(address, f"item {position + 1} of {where}", items.place_of(position))


def _check_terminal(contacts: Contacts, device: Device, key: str, address: str) -> None:
    place = device.source["alternator"].place_of(key)
    where = f"`{key}` of device {device.id}"
    if contacts.find(address, where, place) is None:
        return
    if contacts.by_address[address].owner not in (device.id, *device.connectors):
        mine = [contact.address for contact in contacts.by_address.values() if contact.owner in (device.id, *device.connectors)]
        contacts.values.error("not-its-terminal", f"{where} is {address}, which is no terminal of {device.id}", place,
                              f"it has {', '.join(mine)}" if mine else "give it `terminals:` or `connectors:`")


def read_states(contacts: Contacts, entries: Mapping[str, tuple[Record, Record]], devices: Mapping[str, Device]) -> dict[str, State]:
    """The states that the user names; what in them names nothing is a finding and left out."""
    if not entries:
        return {}
    from .electric import Engine, State

    values = contacts.values
    keys = [device.id for device in key_switches(devices)]
    switches = {name: device for name, device in devices.items() if device.closes and name not in keys}
    states = {}
    visited = {f"{position}, {engine.value}" for position in (KEY_OFF, *KEY_POSITIONS) for engine in Engine}
    for name, (entry, section) in entries.items():
        key = values.word(entry, "key") or KEY_OFF
        positions = dict.fromkeys((KEY_OFF, *(position for id in keys for position in devices[id].closes)))
        if key not in positions:
            no_such(values, "no-such-switch-position", key, positions, "position of the key switch", f"`key` of state {name}", entry.place_of("key"))
        if name in visited:
            values.error("state-name-taken", f"state {name} has the name of a state that is visited anyway", section["states"].place_of_key(name), "give it another name: what is done in it")
            continue
        engine = values.word(entry, "engine")
        states[name] = State(
            key if key in positions else KEY_OFF, Engine(engine) if engine in {state.value for state in Engine} else Engine.STOPPED,
            _held(values, name, entry.get("switches"), switches), _commanded(contacts, name, entry.get("commanded")), values.text(entry, "note"), entry,
        )
    return states


def held_positions(switch: Device) -> tuple[str, ...]:
    """Every position a switch can be held in: those it names, and open, in which it closes nothing, where it names none of that."""
    return tuple(dict.fromkeys((*switch.closes, OPEN)))


def _held(values: Values, state: str, written: Any, switches: Mapping[str, Device]) -> dict[str, str]:
    held = {}
    for switch, position in written.items() if isinstance(written, Record) else ():
        where = f"`switches` of state {state}"
        if switch not in switches:
            no_such(values, "no-such-switch", switch, switches, "switch", where, written.place_of_key(switch))
        elif isinstance(position, str) and position not in (positions := held_positions(switches[switch])):
            no_such(values, "no-such-switch-position", position, positions, f"position of {switch}", where, written.place_of(switch))
        elif isinstance(position, str):
            held[switch] = position
    return held


def _commanded(contacts: Contacts, state: str, written: Any) -> tuple[str, ...]:
    on = []
    for position, address in enumerate(written if isinstance(written, Items) else ()):
        place = written.place_of(position)
        where = f"item {position + 1} of `commanded` of state {state}"
        if not isinstance(address, str) or contacts.find(address, where, place) is None:
            continue
        signal = contacts.by_address[address].signal
        if is_driven(signal):
            on.append(address)
        else:
            what = f"which is {signal}" if signal else "of which no `signal:` is said"
            contacts.values.error("not-an-output", f"{where} is {address}, {what}: nothing drives it from inside", place,
                                  "name an output, or say its signal under `cavities:`")
    return tuple(on)


def read_zones(values: Values, main: Record) -> dict[str, Quantity]:
    """The ambient temperatures that are stated."""
    written = main.get("zones")
    if not isinstance(written, Record):
        return {}
    read = ((zone, values.quantity(written, zone, _TEMPERATURE, "the zones")) for zone in written)
    return {zone: temperature for zone, temperature in read if temperature is not None}
