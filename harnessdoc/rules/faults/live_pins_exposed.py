"""Pins that stay live when their connector is pulled.

What it checks: halves with pins, of in-line connectors and of plugs at devices, whose contacts a battery still
reaches when just this connector is apart: through wires, fuses and what is closed for good, and through switches
and relays in any position.

Why it matters: a pin that hangs in the open touches the body, the tool or the hand. The live side belongs into sockets,
where nothing but the other half reaches it.

Example that fails:

    devices:
      G1: {terminals: ["+"]}
    connectors:
      X1: {half: plug, mates: X2, face: [[1]], view: mating face}  # here
      X2: {face: [[1]], view: mating face}
      X3: {face: [[1]], view: mating face}
    cavities:
      G1.+: {signal: source-battery}
    fuses:
      F1: {rating: 5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: X1.1, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: X2.1, to: X3.1, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}

What it says:

    X1 has pins, and pulled apart it stays live at cavity 1, whatever is switched (behind fuse F1)

The fix: The socket half on the live side, the half with pins on the other. At a device whose plug is given, pull the fuse first, and say so
on the label.

Example that passes:

    devices:
      G1: {terminals: ["+"]}
    connectors:
      X1: {half: socket, mates: X2, face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
      X3: {face: [[1]], view: mating face}
    cavities:
      G1.+: {signal: source-battery}
    fuses:
      F1: {rating: 5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: X1.1, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: X2.1, to: X3.1, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}

Limits and source: common practice; a half is judged by its terminals, a plug has pins. What a load or a coil passes on is not counted, nor
the alternator, which stands while somebody works. Pins that are live in some positions of switches only are advice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import Connector, Harness, Kind
from ...network.cavity_order import counted, ranges
from ..lack import Lack
from ..mating import mate_of

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "live-pins-exposed"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (45,)
_PROTECTS = ("fuse", "fusible link")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    mates = mate_of(harness)
    pins = {connector.id for connector in harness.connectors.values() if _half(harness, mates, connector) == "plug" and (connector.device or connector.id in mates)}
    unsaid = {connector.id for connector in harness.connectors.values() if connector.id in mates and _half(harness, mates, connector) is None}
    if not pins and not unsaid:
        return
    from ..pulled import needed

    reached = needed(subject)
    always, sometimes = reached.always, reached.sometimes
    live: dict[str, list[str]] = {}
    for address in sometimes:
        contact = harness.contacts[address]
        if contact.kind is Kind.CAVITY and contact.owner not in sometimes[address] and address in harness.wires_at:
            live.setdefault(contact.owner, []).append(address)
    for connector in harness.connectors.values():
        if connector.id not in live:
            continue
        if connector.id in pins:
            yield _finding(harness, connector, mates.get(connector.id), live, always, sometimes)
        elif connector.id in unsaid:
            yield Lack(CODE, connector.id, "`half: plug` or `half: socket` to each connector")


def _half(harness: Harness, mates: Mapping[str, str], connector: Connector) -> str | None:
    """plug or socket; of a half that does not say it, what the other half leaves."""
    mate = harness.connectors[mates[connector.id]].half if connector.id in mates else None
    return connector.half or {"plug": "socket", "socket": "plug"}.get(mate or "")


def _finding(harness: Harness, connector: Connector, mate: str | None, live: Mapping[str, list[str]], always: Mapping[str, frozenset[str]],
             sometimes: Mapping[str, frozenset[str]]) -> Finding:
    its = live[connector.id]
    lasting = [address for address in its if address in always and connector.id not in always[address]]
    worst, needed = (lasting, always) if lasting else (its, sometimes)
    common = frozenset.intersection(*(needed[address] for address in worst))
    fuses = [id for id in harness.parts if id in common and harness.parts[id].kind in _PROTECTS]
    cavities = ranges(sorted((harness.contacts[address].name for address in worst), key=counted))
    when = "whatever is switched" if lasting else "in some position of the switches"
    if fuses:
        behind = f"behind {harness.parts[fuses[0]].kind} {fuses[0]}" if len(fuses) == 1 else f"behind {' and '.join(fuses)}"
    else:
        behind = "no one fuse stands before all of them" if len(worst) > 1 else "no fuse stands before it"
    if mate is None:
        do = "fit a half: socket there where the device can be had with pins"
    elif mate in live:
        do = f"{mate} is live too when apart: feed the two sides of it from one side, for neither half may have pins"
    else:
        do = f"exchange the halves: the socket on the side of {connector.id}, the pins on that of {mate}"
    out = f"; until then pull {' or '.join(fuses)} before {connector.id}" if fuses else ""
    wires = dict.fromkeys(wire for address in worst for wire in harness.wires_at[address])
    return Finding(
        CODE, SEVERITY if lasting else Severity.ADVICE,
        f"{connector.id} has pins, and pulled apart it stays live at {'cavities' if len(worst) > 1 else 'cavity'} {cavities}, {when} ({behind})",
        connector.source.place_of("half"), f"{do}{out}", at=(connector.id, *worst, *(f"wire {wire}" for wire in wires), *fuses), origin="common practice")
