"""An output that switches to ground on a load that is grounded already, or one that switches to the supply on a load that has it.

What it checks: that no output which closes to ground meets a load whose other end, or case, is at ground, or a supply; and none that
gives the supply a load whose other end is at the supply, or ground.

Why it matters: one maker switches the ground of a load and another its supply. Joined as they are the load never works, or always does, and a
supply led straight into an output that closes to ground burns it.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      M1: {title: fan, connectors: [X3], between: [X3.1, X3.2], motor: 8 A at 12 V}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X3: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {function: fan, signal: output-fan}
      X3.1: {function: fan plus, signal: fan}
      X3.2: {function: fan minus, signal: fan}
    grounds:
      GB1: {metal: body}
    wires:
      1: {from: X1.1, to: X3.1, size: 1 mm2, colour: BU, type: TXL}  # here
      2: {from: X3.2, to: GB1, size: 1 mm2, colour: BK, type: TXL}

What it says:

    X1.1 (fan, output-fan) and X3.1 (fan plus, fan) are joined by wire 1: ground on both sides: the load never
    gets a supply

The fix: A relay between: of an output to ground 86 to the switched supply, 85 to the output, 30 to a fused supply, 87 to the load; of an output to the supply 86 to the output, 85 to ground, 30 to ground, 87 to the load. A relay of which the coil itself lies on the wrong side needs no second one: lead its other side to the other pole.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      M1: {title: fan, connectors: [X3], between: [X3.1, X3.2], motor: 8 A at 12 V}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X3: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {function: fan, signal: output-fan}
      X3.1: {function: fan plus, signal: fan}
      X3.2: {function: fan minus, signal: fan}
    grounds:
      GB1: {metal: body}
    fuses:
      F1: {rating: 10 A, type: blade}
    relays:
      K1: {suppression: resistor, part: mini relay 40 A}
    wires:
      1: {from: X1.1, to: K1.85, size: 1 mm2, colour: BU, type: TXL}
      2: {from: X3.2, to: GB1, size: 1 mm2, colour: BK, type: TXL}
      3: {from: F1.2, to: K1.30, size: 1 mm2, colour: RD, type: TXL}
      4: {from: K1.87, to: X3.1, size: 1 mm2, colour: RD, type: TXL}

Limits and source: the table of pairings (trade/data/signal_pairs.csv; common practice). Loads of which neither a signal nor both ends are written are not seen.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.ids import names
from ..join_findings import findings_of_joins, way_out

if TYPE_CHECKING:
    from ..joined import Join
    from ..subject import Subject

CODE = "output-on-wrong-side"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (8,)
_OTHER_SIDE = {"85": "86", "86": "85"}


def check(subject: Subject) -> Iterator[Finding]:
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY, do=_do)


def _do(subject: Subject, join: Join) -> str:
    """What the table says; where the load is the coil of a relay there is no need of another: its other side is at the wrong pole."""
    harness = subject.harness
    for pin in (join.a, join.b):
        relay = harness.parts.get(pin.contact.owner)
        if relay is None or relay.kind != "relay" or pin.contact.name not in _OTHER_SIDE or not join.row.part.startswith("relay "):
            continue
        other = f"{relay.id}.{_OTHER_SIDE[pin.contact.name]}"
        wires = names(f"wire {wire}" for wire in harness.wires_at.get(other, ()))
        if join.row.where == "load to ground":
            return f"{relay.id} is a relay already, its coil only needs the supply on its other side: lead {other}{f' ({wires})' if wires else ''} to a switched supply through a small fuse, not to ground"
        return f"{relay.id} is a relay already, its coil only needs ground on its other side: lead {other}{f' ({wires})' if wires else ''} to ground, not to a supply"
    return way_out(join)
