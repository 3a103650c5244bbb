"""A pin that a control unit watches, with nothing on it.

What it checks: contacts that say `monitored: true`: whether copper leads from them to anything at all.

Why it matters: a valve or a sensor that was left out with the donor's exhaust is missed by the control unit. It sets a
fault, lights its lamp and may hold the engine back, and the fault that comes later hides behind the one that is always there.

Example that fails:

    devices:
      U1: {connectors: [X1]}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1]], view: mating face}
    cavities:
      X1.1: {function: purge valve, signal: output-pwm-low, monitored: true}  # here
      X1.2: {function: supply, signal: feed-switched}
    wires:
      1: {from: X1.2, to: X2.1, size: 1 mm2, colour: RD, type: TXL}

What it says:

    U1 watches X1.1 (purge valve), and nothing is on it

The fix: The part itself; a load of the same resistance in its place; or the function turned off in the unit.

Example that passes:

    devices:
      U1: {connectors: [X1]}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1]], view: mating face}
    cavities:
      X1.1: {function: purge valve, signal: output-pwm-low}
      X1.2: {function: supply, signal: feed-switched}
    wires:
      1: {from: X1.2, to: X2.1, size: 1 mm2, colour: RD, type: TXL}

Limits and source: common practice. What the unit expects to find there is not known here: its book says it. Where a far end
is not known yet nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import OPEN, UNKNOWN, Contact, Harness, Kind
from ..lack import Lack
from ..mating import mate_of

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "monitored-pin-open"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = (52,)
_PASSES = (Kind.SPLICE, Kind.BAR)
_UNWATCHED = ("", "spare", "maker", "shield", "test-point")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    watched = [contact for contact in harness.contacts.values() if contact.monitored]
    if not watched:
        if any(_is_open_pin(harness, contact) for contact in harness.contacts.values()):
            yield Lack(CODE, "", "`monitored: true` to each pin that its control unit watches")
        return
    mates = mate_of(harness)
    for contact in watched:
        members = subject.members(subject.network.island_of[contact.address])
        wires = [harness.wires[wire] for address in members for wire in harness.wires_at.get(address, ())]
        if any(UNKNOWN in (wire.from_, wire.to) for wire in wires) or any(address in harness.splices and harness.splices[address].members_unknown for address in members):
            continue
        if any(_takes(harness, mates, contact, address) for address in members):
            continue
        device = harness.connectors[contact.owner].device if contact.owner in harness.connectors else contact.owner
        named = f"{contact.address} ({contact.function})" if contact.function else contact.address
        end = next((wire for wire in wires if OPEN in (wire.from_, wire.to)), None)
        what = f"its wire {end.id} ends open" if end else f"its wire {wires[0].id} leads to nothing" if wires else "nothing is on it"
        yield Finding(
            CODE, SEVERITY, f"{device or contact.owner} watches {named}, and {what}", contact.source.place_of("monitored"),
            f"lead {contact.address} to the part, or to a load of the same resistance in its place;\n"
            f"where the function is turned off in the unit, take `monitored: true` out", at=(contact.address, *dict.fromkeys(f"wire {wire.id}" for wire in wires)))


def _takes(harness: Harness, mates: Mapping[str, str], watched: Contact, address: str) -> bool:
    """Whether something is there that the unit may find: not a splice, nor a half whose other half is empty there."""
    contact = harness.contacts[address]
    return address != watched.address and contact.kind not in _PASSES and contact.owner not in mates


def _is_open_pin(harness: Harness, contact: Contact) -> bool:
    connector = harness.connectors.get(contact.owner)
    return connector is not None and connector.device is not None and contact.signal not in _UNWATCHED and contact.address not in harness.wires_at
