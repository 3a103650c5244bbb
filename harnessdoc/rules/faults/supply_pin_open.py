"""A supply pin of a device that no supply reaches.

What it checks: every supply and wake pin of every device, and the supply pin of every sensor, over wires, fuses, contacts in any position and outputs of
other devices: that something feeds it in some position.

Why it matters: a control unit has three supply pins, and two were joined. It starts, loses its memory with the key, or drives its
injectors through its own insides until they burn.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {title: control unit, connectors: [E1]}
    connectors:
      E1: {face: [[1..3]], view: mating face}
    cavities:
      E1.1: {signal: feed-constant, draws: 0.1 A}
      E1.2: {signal: feed-switched}  # here
      E1.3: {signal: ground-power}
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: E1.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: E1.3, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

What it says:

    control unit U1: nothing feeds supply pin E1.2 in any position of switches and relays; it has 2 such pins

The fix: The feed it had, of the same kind: constant, switched, or from its own relay.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {title: control unit, connectors: [E1]}
    connectors:
      E1: {face: [[1..3]], view: mating face}
    cavities:
      E1.1: {signal: feed-constant, draws: 0.1 A}
      E1.2: {signal: feed-switched}
      E1.3: {signal: ground-power}
    fuses:
      F1: {rating: 10 A, type: blade}
      F2: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: E1.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: E1.3, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      4: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      5: {from: F2.2, to: E1.2, size: 1 mm2, colour: YE, type: TXL, length: 500 mm}

Limits and source: common practice. Only pins that are in the description, with their signal, are asked; where a wire of unknown end, a splice of
unknown members or a plug without its other half lies on the way nothing is said. In which position of the key it is live other
rules tell.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...trade.signals import signals
from ..open_pins import open_supplies

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "supply-pin-open"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (40,)


def check(subject: Subject) -> Iterator[Finding]:
    from ...operation.words import listed

    for found in open_supplies(subject):
        addresses = [pin.address for pin in found.pins]
        pins = f"supply pin{'s' if len(addresses) > 1 else ''} {listed(addresses)}"
        more = f"; it has {found.of} such pins" if found.of > len(addresses) and len(found.devices) == 1 else ""
        wants = "; ".join(f"{pin.address}: {signals()[pin.signal].words}" for pin in found.pins)
        yield Finding(CODE, SEVERITY, f"{found.titles(subject.harness)}: nothing feeds {pins} in any position of switches and relays{more}", found.pins[0].source.place(),
                      f"write the wire that feeds it, with its fuse; where it leads on beyond what is described a wire with `to: unknown`\n{wants}",
                      tuple(Related(pin.source.place(), f"{pin.address} too") for pin in found.pins[1:]), at=(*addresses, *found.devices), origin="common practice")
