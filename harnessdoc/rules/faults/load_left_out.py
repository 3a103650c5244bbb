"""A load that cannot be solved, because too little is said of it.

What it checks: where the description names a supply, that what stands between two
addresses of a device is said, that a lamp is power at its rated voltage, that a lamp has
its two addresses, and that what is `unknown` becomes known.

Why it matters: a load without a value is left out of the solve: its current is missing
in every wire that leads to it, and the drop, the fuse and the budget look better than
they are.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: one bulb}  # here

What it says:

    lamp of device H1 is 'one bulb', which is no power at a voltage: it is left out of the solve

The fix: Write what it takes: power at a voltage of a lamp, a current at a voltage or a resistance of
anything else.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}

Limits and source: design choice. Without a supply nothing is solved and nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...description.text import Record, Value
from ...findings import Finding, Severity
from ...model.electric_words import LOAD_KINDS
from ...model.harness import UNKNOWN, Device

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "load-left-out"
SEVERITY = Severity.ADVICE
ASKS = "record"
MODES = ()
_LEFT_OUT = "it is left out of the solve"


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    for device in harness.devices.values() if harness.supplies else ():
        if device.load is not None and device.load.kind == "lamp":
            yield from _lamp(device)
        elif device.load is not None and _is_unknown(device.source[device.load.kind]):
            place = device.source.place_of(device.load.kind)
            yield Finding(CODE, SEVERITY, f"{device.load.kind} of device {device.id} is not known yet: {_LEFT_OUT}", place, "write what it takes", at=(device.id,))
        elif device.load is None and device.supply is None and device.between is not None:
            yield Finding(CODE, SEVERITY, f"device {device.id} stands between {' and '.join(device.between)}, but nothing says what it takes: {_LEFT_OUT}",
                          device.source.place_of("between"), f"write one of {', '.join(LOAD_KINDS)}: `load: 5 A at 12 V`", at=(device.id,))
        for name, named in device.loads.items():
            if _is_unknown(device.source["loads"][name][named.load.kind]):
                yield Finding(CODE, SEVERITY, f"{named.load.kind} of load {name} of device {device.id} is not known yet: {_LEFT_OUT}",
                              device.source["loads"][name].place_of(named.load.kind), "write what it takes", at=(device.id,))


def _is_unknown(written: Value) -> bool:
    """Whether what is written, as text or in the map of a motor or solenoid, is not known yet; what could not be read was reported."""
    if isinstance(written, Record):
        return all(written.get(key, UNKNOWN) == UNKNOWN for key in ("running", "winding"))
    return written == UNKNOWN


def _lamp(device: Device) -> Iterator[Finding]:
    """A lamp of a device may say anything: here it is told what could not be used."""
    where = device.source.place_of("lamp")
    if device.load is None or device.load.rating is None:
        message = f"lamp of device {device.id} is '{device.lamp}', which is no power at a voltage: {_LEFT_OUT}"
        yield Finding(CODE, SEVERITY, message, where, "write for example `lamp: 2 W at 12 V`", at=(device.id,))
    elif device.between is None:
        yield Finding(CODE, SEVERITY, f"lamp of device {device.id} has no `between:`: {_LEFT_OUT}", where, "write the two addresses it sits between", at=(device.id,))
    elif device.between[0] == device.between[1]:
        yield Finding(CODE, SEVERITY, f"lamp of device {device.id} stands between {device.between[0]} and {device.between[1]}: {_LEFT_OUT}",
                      device.source.place_of("between"), "write its two ends", at=(device.id,))
