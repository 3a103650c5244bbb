"""Where copper ends, and what goes on behind.

Takes a harness and an address; gives the words and the addresses on the other side
of the fuse, relay, diode, resistor, switch or load that stands there.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..model.harness import Device, Harness, Kind, Part

_COIL = {"85": "86", "86": "85"}
_CONTACTS = {"30": ("87", "87b", "87a"), "87": ("30",), "87b": ("30",), "87a": ("30",)}


@dataclass(frozen=True, slots=True)
class Stop:
    """A contact where the copper ends; ``goes_on``: the addresses on the other side."""

    address: str
    words: str
    goes_on: tuple[str, ...]


def stop_at(harness: Harness, address: str) -> Stop | None:
    """What stands at ``address``; None where copper only passes (splice, bar, mated half)."""
    contact = harness.contacts[address]
    if contact.kind in (Kind.SPLICE, Kind.BAR):
        return None
    if contact.kind is Kind.GROUND:
        ground = harness.grounds[contact.owner]
        return Stop(address, f"ground on {ground.metal}" if ground.metal else "ground, metal unknown", ())
    if contact.owner in harness.parts:
        return _in_part(harness.parts[contact.owner], address, contact.name)
    connector = harness.connectors.get(contact.owner)
    owner = connector.device if connector else contact.owner
    if owner in harness.devices:
        return _in_device(harness.devices[owner], address, contact.function)
    if connector and (connector.mates or any(other.mates == connector.id for other in harness.connectors.values())):
        return None
    return Stop(address, contact.function or (connector.title if connector else "") or "end of the harness", ())


def _in_part(part: Part, address: str, name: str) -> Stop:
    if part.kind == "relay":
        if name in _COIL:
            others, words = (_COIL[name],), f"coil, {name} to {_COIL[name]}"
        else:
            others = tuple(other for other in _CONTACTS.get(name, ()) if other in part.terminals)
            when = {"87a": "at rest"}
            words = "contact, " + " and ".join(
                f"{name} to {other} {when.get(other, when.get(name, 'when pulled in'))}" for other in others)
    else:
        others = tuple(other for other in part.terminals if other != name)
        words = f"{name} to {', '.join(others)}"
        if part.kind == "diode":
            words += " (passes this way)" if name == "A" else " (blocks this way)"
    return Stop(address, f"{part.kind} {part.id}: {words}", tuple(f"{part.id}.{other}" for other in others))


def _in_device(device: Device, address: str, function: str) -> Stop:
    """The function of the contact, then what the device joins it to: in which position, or through its load."""
    goes_on: dict[str, list[str]] = {}
    for position, joined in device.closes.items():
        for a, b in joined:
            if address in (a, b):
                goes_on.setdefault(b if address == a else a, []).append(position)
    words = [f"{address} to {other} in {', '.join(positions)}" for other, positions in goes_on.items()]
    if device.between and address in device.between:
        other = device.between[1 - device.between.index(address)]
        words.append(f"{address} to {other} through {device.lamp and 'its lamp' or 'it'}")
        goes_on.setdefault(other, [])
    name = " ".join(filter(None, (device.id, device.title)))
    return Stop(address, "; ".join(filter(None, (name, function, *words))), tuple(goes_on))
