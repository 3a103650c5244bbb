"""A part that is made for another voltage than that of the supply.

What it checks: where the description names a supply, that the voltage at which a lamp,
motor or other load is rated, that of a relay's coil, and that of each battery, alternator
and test supply lie between 0.75 and 1.35 times the nominal supply.

Why it matters: a 24 V lamp is dim at 12 V and a 24 V relay does not pull in; a 12 V part
in a 24 V system takes twice its current and four times its power, and burns.

Example that fails:

    supply: 12 V
    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 24 V}  # here

What it says:

    lamp of device H1 is rated at 24 V, but the supply is 12 V

The fix: Fit the part that is made for the supply, or write the nominal `supply:` of this vehicle.

Example that passes:

    supply: 12 V
    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}

Limits and source: common practice; the bounds let a headlamp rated at 13.2 V and an
alternator of 14.4 V pass. A load behind a resistor or on a 5 V rail may be meant.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.electric_words import MOST_SUPPLY_V

if TYPE_CHECKING:
    from ...description.units import Quantity
    from ...findings import Place
    from ...model.electric import Load
    from ...model.harness import Device
    from ..subject import Subject

CODE = "part-for-another-voltage"
SEVERITY = Severity.MALFUNCTION
ASKS = "record"
MODES = ()
_LEAST, _MOST = 0.75, 1.35


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    if not harness.supplies:
        return
    from ...model.given import battery_v, nominal_v, relay_given    # a file without a supply starts without the typical values
    from ..volts_across import most_volts

    supply_v = nominal_v(harness)
    judged = {got.load.owner for got in most_volts(subject.operation)} if subject.operation is not None else frozenset()
    for device in harness.devices.values():
        own_v = battery_v(harness, device.id) if "battery" in device.source else supply_v
        for voltage, what, place, is_for_v in (*((*one, own_v) for one in _of_supply(device)), *((*one, supply_v) for one in _of_loads(device))):
            # what a load for less gets in the states is told by load-over-its-voltage
            if voltage.value / is_for_v < _LEAST and device.id in judged:
                continue
            if not _LEAST <= voltage.value / is_for_v <= _MOST:
                yield Finding(CODE, SEVERITY, f"{what} {voltage.stated}, but the supply is {harness.supply}", place,
                              "write the nominal `supply:` of this vehicle, or fit the part that is made for it",
                              at=(device.id,), value=voltage.stated, limit=harness.supply)
    for part in harness.parts.values():
        if part.kind != "relay":
            continue
        coil = relay_given(part, supply_v).coil_v
        if coil is not None and not _LEAST <= coil.value / supply_v <= _MOST:
            yield Finding(CODE, SEVERITY, f"the coil of relay {part.id} ({part.part or part.type or 'relay'}) is made for {coil.value:g} V, but the supply is {harness.supply}",
                          part.source.place_of("part"), "fit the relay that is made for it", at=(part.id,))


def _of_supply(device: Device) -> Iterator[tuple[Quantity, str, Place]]:
    """What a supply gives; one that is refused anyway is passed over."""
    if device.supply is None:
        return
    from ...model.electric import Battery

    key, kind = ("emf", "battery") if isinstance(device.supply, Battery) else ("voltage", "alternator" if "alternator" in device.source else "test-supply")
    voltage = device.supply.emf if isinstance(device.supply, Battery) else device.supply.voltage
    if voltage and voltage.value <= MOST_SUPPLY_V:
        yield voltage, f"{kind.replace('-', ' ')} {device.id} gives", device.source[kind].place_of(key)


def _of_loads(device: Device) -> Iterator[tuple[Quantity, str, Place]]:
    """The voltages at which the loads of a device are rated."""
    if device.load is not None:
        yield from _of_load(device.load, f"{device.load.kind} of device {device.id}", device.source.place_of(device.load.kind))
    for name, named in device.loads.items():
        yield from _of_load(named.load, f"{named.load.kind} of load {name} of device {device.id}", device.source["loads"][name].place_of(named.load.kind))


def _of_load(load: Load, words: str, place: Place) -> Iterator[tuple[Quantity, str, Place]]:
    if load.rating and load.rating.at:
        yield load.rating.at, f"{words} is rated at", place
