"""A ground pin of a device that reaches no ground.

What it checks: every ground pin of every device, over wires and contacts in any position: that it reaches a ground, the battery, or, of a
sensor, the sensor ground of a control unit.

Why it matters: a control unit has several grounds because one wire does not carry its drivers' current. With one of them missing the
rest lifts: sensors read wrong, outputs do not close, and the current goes home through the sensor grounds.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {title: control unit, connectors: [E1]}
    connectors:
      E1: {face: [[1..3]], view: mating face}
    cavities:
      E1.1: {signal: feed-constant, draws: 0.1 A}
      E1.2: {signal: ground-power}
      E1.3: {signal: ground-power}  # here
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: E1.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: E1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}

What it says:

    control unit U1: ground pin E1.3 reaches no ground; it has 2 such pins

The fix: Every ground pin to ground, by a wire of its own; of a sensor to the sensor ground pin of its control unit.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {title: control unit, connectors: [E1]}
    connectors:
      E1: {face: [[1..3]], view: mating face}
    cavities:
      E1.1: {signal: feed-constant, draws: 0.1 A}
      E1.2: {signal: ground-power}
      E1.3: {signal: ground-power}
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: E1.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: E1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      4: {from: E1.3, to: G1.-, size: 1 mm2, colour: BN, type: TXL, length: 500 mm}

Limits and source: common practice. Only pins that are in the description, with their signal, are asked; a case without a wire is taken to be bolted to
its metal. Where a wire of unknown end, a splice of unknown members or a plug without its other half lies on the way nothing is
said. Whether it carries its current well is told by `voltage-drop`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..open_pins import open_grounds

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "ground-pin-open"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (40,)


def check(subject: Subject) -> Iterator[Finding]:
    from ...operation.words import listed

    for found in open_grounds(subject):
        addresses = [pin.address for pin in found.pins]
        pins = f"ground pins {listed(addresses)} reach" if len(addresses) > 1 else f"ground pin {addresses[0]} reaches"
        more = f"; it has {found.of} such pins" if found.of > len(addresses) and len(found.devices) == 1 else ""
        yield Finding(CODE, SEVERITY, f"{found.titles(subject.harness)}: {pins} no ground{more}", found.pins[0].source.place(),
                      f"write the wire from {addresses[0]} to a ground, or to the battery's minus, of a sensor to the sensor ground of its control unit;\n"
                      "where it leads on beyond what is described a wire with `to: unknown`",
                      tuple(Related(pin.source.place(), f"{pin.address} too") for pin in found.pins[1:]), at=(*addresses, *found.devices), origin="common practice")
