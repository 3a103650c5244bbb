"""A device that was kept without a partner it works with only.

What it checks: that each device under `stays-with:` of a device is in the harness.

Why it matters: a control unit that knows its key reader, its cluster or its body module by heart starts the engine
and stops it two seconds later, or does not start it at all. No wire cures that.

Example that fails:

    devices:
      U1: {title: engine control unit, stays-with: [U7, transponder reader]}  # here
      U7: {title: body module}

What it says:

    device U1 (engine control unit) works only with 'transponder reader', and no device of this harness is that

The fix: Keep the set together: bring the partner over with its wires, or have the control unit altered by somebody who can.

Example that passes:

    devices:
      U1: {title: engine control unit, stays-with: [U7]}
      U7: {title: body module}

Limits and source: common practice. That the partner is wired is not looked at here.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "partner-left-out"
SEVERITY = Severity.DAMAGE
ASKS = "record"
MODES = (19,)


def check(subject: Subject) -> Iterator[Finding]:
    devices = subject.harness.devices
    for id, device in devices.items():
        missing = [partner for partner in device.stays_with if partner not in devices]
        if missing:
            title = f" ({device.title})" if device.title else ""
            named = " and ".join(f"'{partner}'" for partner in missing)
            yield Finding(CODE, SEVERITY, f"device {id}{title} works only with {named}, and no device of this harness is that", device.source.place_of("stays-with"),
                          f"bring {named} over with its wires, write it under `devices:` and name it in `stays-with:`; or have {id} altered by somebody who can, and take it out there",
                          at=(id,), origin="common practice")
