"""A 5 V reference that feeds more than it can give.

What it checks: that what the sensors on each pin of the kind `reference-5v` take together stays below its `limit:`, or the usual limit of such a pin.

Why it matters: an overloaded reference sags, and every sensor on it reads wrong at once: the engine limps for no reason a
meter on one sensor would show.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: pedal, connectors: [X2], between: [X2.1, X2.2], load: 100 ohm}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {function: reference, signal: reference-5v, limit: 20 mA}  # here
      X2.1: {function: reference, signal: feed-5v}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: RD, type: TXL}

What it says:

    reference X1.1 feeds 50 mA at 5 V (U2 50 mA), where it gives 20 mA

The fix: Lead a sensor to another reference of the same control unit, or fit the one that takes less.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      U2: {title: pedal, connectors: [X2], between: [X2.1, X2.2], load: 0.25 kohm}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {function: reference, signal: reference-5v, limit: 20 mA}
      X2.1: {function: reference, signal: feed-5v}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: RD, type: TXL}

Limits and source: worked out: 5 V over the stated resistance, or what a pin `draws:`. The usual limit is common practice. What a sensor takes that says
neither is not counted.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...trade.signals import signals

if TYPE_CHECKING:
    from ...model.harness import Harness
    from ..subject import Subject

CODE = "reference-overloaded"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (24,)
_REFERENCE, _VOLTS = "reference-5v", 5.0


def check(subject: Subject) -> Iterator[Finding]:
    harness, island_of = subject.harness, subject.network.island_of
    references = [contact for contact in harness.contacts.values() if contact.signal == _REFERENCE]
    if not references:
        return
    loads = _loads(harness)
    seen: set[int] = set()
    for contact in references:
        island = island_of[contact.address]
        limit_a = contact.limit.value if contact.limit else signals()[_REFERENCE].limit_a
        if island in seen or limit_a is None:
            continue
        seen.add(island)
        taken: dict[str, float] = {}
        for address in subject.members(island):
            pin = harness.contacts[address]
            if pin.signal == "feed-5v" and pin.draws is not None:
                taken[address] = pin.draws.value
            elif address != contact.address:
                for device, ohm in loads.get(address, ()):
                    taken[device] = taken.get(device, 0.0) + _VOLTS / ohm
        total_a = sum(taken.values())
        if total_a <= limit_a:
            continue
        most = max(taken, key=lambda name: taken[name])
        named = ", ".join(f"{name} {_milli(amps)}" for name, amps in sorted(taken.items(), key=lambda one: -one[1]))
        needed = f", a load of {_VOLTS / (limit_a - (total_a - taken[most])) / 1000:.2g} kohm or more" if limit_a > total_a - taken[most] else ""
        yield Finding(CODE, SEVERITY, f"reference {contact.address} feeds {_milli(total_a)} at 5 V ({named}), where it gives {_milli(limit_a)}", contact.source.place(),
                      f"lead {most} to another reference of the same control unit, or fit one that takes less{needed}", at=(contact.address, *taken),
                      value=_milli(total_a), limit=_milli(limit_a), origin="as stated" if contact.limit else "common practice")


def _loads(harness: Harness) -> dict[str, list[tuple[str, float]]]:
    """Address -> (device, ohm) of each load that has an end there; of a range the least."""
    found: dict[str, list[tuple[str, float]]] = {}
    for id, device in harness.devices.items():
        own = [(device.between, device.load)] if device.between and device.load else []
        for between, load in (*own, *((named.between, named.load) for named in device.loads.values())):
            if load.rating is not None:
                ohm = min([load.rating.ohm, *([load.rating.to.value] if load.rating.to else [])])
                for end in between:
                    found.setdefault(end, []).append((id, ohm))
    return found


def _milli(amps: float) -> str:
    return f"{amps * 1000:.3g} mA"
