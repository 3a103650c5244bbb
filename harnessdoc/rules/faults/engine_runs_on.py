"""The engine runs on after the key is turned off: something holds its relay or control unit in.

What it checks: with the key off (or at accessory) and the engine still turning, that no relay and no control unit stays in which is out with the engine still; each with the volts across its
coil against what its maker guarantees to let go at, and what one lets go at typically.

Why it matters: the running alternator feeds back through the charge lamp into the ignition node. The old ignition's few ohms swallowed it; a relay coil does not, and the engine cannot be stopped.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      A1: {terminals: [B, L, case], between: [A1.B, A1.case], alternator: {voltage: 14 V, charge-lamp: A1.L}}
      Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}
      H1: {title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}
    fuses:
      F1: {rating: 5 A, type: blade}
      F2: {rating: 60 A, type: midi}
    relays:
      K1: {title: main relay, suppression: resistor, part: mini relay 40 A}  # here
    splices:
      S1: {title: ignition node}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: Q1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: G1.+, to: F2.1, size: 16 mm2, colour: RD, type: TXL, length: 100 mm}
      4: {from: F2.2, to: A1.B, size: 16 mm2, colour: RD, type: TXL, length: 500 mm}
      5: {from: A1.case, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 500 mm}
      6: {from: Q1.15, to: S1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      7: {from: S1, to: K1.86, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      8: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      9: {from: S1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      10: {from: H1.2, to: A1.L, size: 1 mm2, colour: WH, type: TXL, length: 500 mm}

What it says:

    the engine runs on: relay K1 is held in (8.56 V) in state 'off, running'; the current: alternator A1 charge
    lamp > wire 10 > charge lamp > wire 9 > wire 7 > coil of K1 > wire 8 > wire 5

The fix: A diode in the wire of the charge lamp, its cathode to the alternator; or feed the lamp from a contact that feeds nothing else.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      A1: {terminals: [B, L, case], between: [A1.B, A1.case], alternator: {voltage: 14 V, charge-lamp: A1.L}}
      Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}
      H1: {title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}
    fuses:
      F1: {rating: 5 A, type: blade}
      F2: {rating: 60 A, type: midi}
    relays:
      K1: {title: main relay, suppression: resistor, part: mini relay 40 A}
    diodes:
      D1: {part: "1 A, 400 V"}
    splices:
      S1: {title: ignition node}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: Q1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: G1.+, to: F2.1, size: 16 mm2, colour: RD, type: TXL, length: 100 mm}
      4: {from: F2.2, to: A1.B, size: 16 mm2, colour: RD, type: TXL, length: 500 mm}
      5: {from: A1.case, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 500 mm}
      6: {from: Q1.15, to: S1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      7: {from: S1, to: K1.86, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      8: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      9: {from: S1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      10: {from: H1.2, to: D1.A, size: 1 mm2, colour: WH, type: TXL, length: 500 mm}
      11: {from: D1.K, to: A1.L, size: 1 mm2, colour: WH, type: TXL, length: 500 mm}

Limits and source: one maker guarantees release of a 12 V relay at 1.2 V; that it lets go at about 3 V is from memory. The lamp lights a little dimmer behind the diode. Only what the description says is known to be on the node.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..sneaks import by_root, finding_of, inside_outputs, runs_on, sneaks_of

if TYPE_CHECKING:
    from ...judgement.sneaks import Sneak
    from ..subject import Subject

CODE = "engine-runs-on"
SEVERITY = Severity.HAZARD
ASKS = "sweep"
MODES = (1,)


def check(subject: Subject) -> Iterator[Finding]:
    for root, followers in by_root(subject, [sneak for sneak in sneaks_of(subject, False) if sneak.what == "held" and runs_on(subject, sneak) and not inside_outputs(subject, sneak)]):
        yield finding_of(subject, CODE, SEVERITY, "the engine runs on: ", (root, *followers), _diode(subject, root))


def _diode(subject: Subject, sneak: Sneak) -> str:
    """Where the diode goes: in the first wire at the terminal that feeds back."""
    assert subject.operation is not None
    catalogue = subject.operation.wiring.catalogue
    wire = next((entry.wire for element in sneak.elements if (entry := catalogue[element]).wire), "")
    terminal = next((end for end in (subject.harness.wires[wire].from_, subject.harness.wires[wire].to) if _is_charge_lamp(subject, end)), "") if wire else ""
    if not terminal:
        return "feed what holds it through the key switch only, or by a contact that the key switch opens"
    other = subject.harness.wires[wire].to if subject.harness.wires[wire].from_ == terminal else subject.harness.wires[wire].from_
    return f"put a diode into wire {wire}, anode (A) to {other}, cathode (K) to {terminal}; or feed the lamp from a contact that feeds nothing else"


def _is_charge_lamp(subject: Subject, address: str) -> bool:
    harness = subject.harness
    return any(getattr(harness.devices[id].supply, "charge_lamp", None) == address for id in harness.supplies)
