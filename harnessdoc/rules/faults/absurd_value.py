"""A value that no such part has.

What it checks: where the description names a supply, that the resistance of batteries,
loads, relay coils, outputs, pull-ups and fuses lies where such parts lie; that a stalled motor
takes more than a running one; that pull-in lies above release; that only what is driven
from inside is said to be an output; that a zone is neither colder than -60 C nor hotter
than 250 C.

Why it matters: nearly always a unit is wrong (ohm for mohm, kohm for ohm). The solve
would go on and give readings that look right.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {resistance: 8 ohm}}  # here

What it says:

    battery G1 has 8 ohm, where 0.1 mohm to 1 ohm is usual

The fix: Check the number and its unit: mohm and ohm, kohm and ohm are mixed up most.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {resistance: 8 mohm}}

Limits and source: design choice, wide bounds: battery 0.1 mohm to 1 ohm, load 5 mohm to
1 Mohm, relay coil 5 ohm to 5 kohm, output 0.1 mohm to 100 ohm, pull-up and pull-down
10 ohm to 10 Mohm, fuse 0.01 mohm to 2 ohm.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...trade.signals import is_driven, signals

if TYPE_CHECKING:
    from ...description.text import Record
    from ...findings import Place
    from ...model.electric import Inside, Load
    from ...model.harness import Contact, Device, Part
    from ..subject import Subject

CODE = "absurd-value"
SEVERITY = Severity.MALFUNCTION
ASKS = "record"
MODES = ()
_OHM = {"battery": (0.0001, 1.0), "load": (0.005, 1e6), "coil": (5.0, 5000.0), "output": (0.0001, 100.0), "pull": (10.0, 1e7), "fuse": (1e-5, 2.0)}
"""Kind of part -> the least and the most it has, in ohm."""
_LEAST_C, _MOST_C = -60.0, 250.0
_CHECK_UNIT = "check the number and its unit"


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    if not harness.supplies:
        return
    for device in harness.devices.values():
        yield from _device(device)
    for part in harness.parts.values():
        yield from _part(part)
    for contact in harness.contacts.values():
        if contact.inside is not None:
            yield from _contact(contact, contact.inside)
    for zone, temperature in harness.zones.items():
        if not _LEAST_C <= temperature.value <= _MOST_C:
            yield Finding(CODE, SEVERITY, f"zone {zone} has {temperature.stated}, where {_LEAST_C:g} to {_MOST_C:g} C is possible",
                          harness.source["zones"].place_of(zone), _CHECK_UNIT, at=("description",))


def _bounded(kind: str, ohm: float, stated: str, owner: str, place: Place, at: str) -> Iterator[Finding]:
    least, most = _OHM[kind]
    if not least <= ohm <= most:
        yield Finding(CODE, SEVERITY, f"{owner} has {stated}, where {_say(least)} to {_say(most)} is usual", place, _CHECK_UNIT, at=(at,), value=stated)


def _say(ohm: float) -> str:
    return f"{ohm * 1000:g} mohm" if ohm < 1 else f"{ohm / 1e6:g} Mohm" if ohm >= 1e6 else f"{ohm / 1000:g} kohm" if ohm >= 1000 else f"{ohm:g} ohm"


def _device(device: Device) -> Iterator[Finding]:
    from ...model.electric import Battery    # a file without a supply starts without

    if isinstance(device.supply, Battery) and device.supply.resistance:
        stated = device.supply.resistance
        yield from _bounded("battery", stated.value, stated.stated, f"battery {device.id}", device.source["battery"].place_of("resistance"), device.id)
    if device.load is not None:
        yield from _load(device.load, f"{device.load.kind} of device {device.id}", device.source, device.id)
    for name, named in device.loads.items():
        yield from _load(named.load, f"{named.load.kind} of load {name} of device {device.id}", device.source["loads"][name], device.id)


def _load(load: Load, owner: str, source: Record, at: str) -> Iterator[Finding]:
    place = source.place_of(load.kind)
    rating = load.rating
    if rating:
        stated = str(rating) if rating.at is None else f"{rating} ({rating.ohm:.4g} ohm)"
        yield from _bounded("load", rating.ohm, stated, owner, place, at)
        if rating.to:
            yield from _bounded("load", rating.to.value, str(rating), owner, place, at)
        if load.stalled and load.stalled.value >= rating.ohm:
            yield Finding(CODE, SEVERITY, f"{owner} has {load.stalled.stated} stalled and {rating} ({rating.ohm:.4g} ohm) running: it would take less stalled than running",
                          place, "exchange them, or measure the winding while it stands", at=(at,))
    yield from _above(load.pull_in and load.pull_in.value, load.release and load.release.value, owner, place, at)


def _above(pull_in_v: float | None, release_v: float | None, owner: str, place: Place, at: str) -> Iterator[Finding]:
    if pull_in_v is not None and release_v is not None and release_v >= pull_in_v:
        yield Finding(CODE, SEVERITY, f"{owner} pulls in at {pull_in_v:g} V and lets go at {release_v:g} V", place, "it lets go below the voltage at which it pulls in: exchange them", at=(at,))


def _part(part: Part) -> Iterator[Finding]:
    if part.kind == "relay":
        if part.value:
            yield from _bounded("coil", part.value.value, part.value.stated, f"coil of relay {part.id}", part.source.place_of("coil"), part.id)
        yield from _above(part.pull_in and part.pull_in.value, part.release and part.release.value, f"relay {part.id}", part.source.place_of("pull-in"), part.id)
    if part.kind == "fuse" and part.resistance:
        yield from _bounded("fuse", part.resistance.value, part.resistance.stated, f"fuse {part.id}", part.source.place_of("resistance"), part.id)


def _contact(contact: Contact, inside: Inside) -> Iterator[Finding]:
    for key, value in (("on-resistance", inside.on_resistance and inside.on_resistance.stated), ("commanded", inside.commanded)):
        if value and contact.signal in signals() and not is_driven(contact.signal):
            yield Finding(CODE, SEVERITY, f"{contact.address} has `{key}: {value}`, but its signal is {contact.signal}: nothing drives it from inside",
                          contact.source.place_of(key), "mend the signal, or take it out", at=(contact.address,))
    if inside.on_resistance:
        yield from _bounded("output", inside.on_resistance.value, inside.on_resistance.stated, f"output {contact.address}", contact.source.place_of("on-resistance"), contact.address)
    if inside.pull_up:
        yield from _bounded("pull", inside.pull_up.resistance.value, str(inside.pull_up), f"pull-up of {contact.address}", contact.source.place_of("pull-up"), contact.address)
    if inside.pull_down:
        yield from _bounded("pull", inside.pull_down.value, inside.pull_down.stated, f"pull-down of {contact.address}", contact.source.place_of("pull-down"), contact.address)
