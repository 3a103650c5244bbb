"""Current enters or leaves a control unit through an output, past its switched supply.

What it checks: in every state in which the supply of a control unit is dead, that no more than 1 mA enters it through the diode inside one of its outputs;
and that no relay is held in by what an output drives.

Why it matters: a coil that stays live while the unit is off feeds the unit through its output: it stays awake, drains the battery, or keeps the engine running. A diode in series does not help, it passes
this current.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}
      U1: {title: control unit, connectors: [X1]}
    connectors:
      X1: {face: [[1..4]], view: mating face}
    cavities:
      X1.1: {function: supply, signal: feed-switched, draws: 1 A}
      X1.2: {function: ground, signal: ground-power}
      X1.3: {function: fan relay, signal: output-fan, diode: to supply}  # here
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K1: {title: fan relay, suppression: resistor, part: mini relay 40 A}
    splices:
      S1: {title: behind the fuse}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: S1, to: Q1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      4: {from: Q1.15, to: X1.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      5: {from: X1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      6: {from: S1, to: K1.86, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: K1.85, to: X1.3, size: 1 mm2, colour: BU, type: TXL, length: 500 mm}

What it says:

    129 mA enter U1 through output X1.3 (fan relay) in state 'off, stopped' and 1 more, while its supply is off:
    1.55 V stand at X1.1

The fix: Feed the coil from the same switched supply as the control unit; where an output drives high, a diode in series, anode at the coil, cathode at the unit.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}
      U1: {title: control unit, connectors: [X1]}
    connectors:
      X1: {face: [[1..4]], view: mating face}
    cavities:
      X1.1: {function: supply, signal: feed-switched, draws: 1 A}
      X1.2: {function: ground, signal: ground-power}
      X1.3: {function: fan relay, signal: output-fan, diode: to supply}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K1: {title: fan relay, suppression: resistor, part: mini relay 40 A}
    splices:
      S1: {title: switched supply}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: Q1.30, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: Q1.15, to: S1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: S1, to: X1.1, size: 1 mm2, colour: GN, type: TXL, length: 500 mm}
      5: {from: X1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}
      6: {from: S1, to: K1.86, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: K1.85, to: X1.3, size: 1 mm2, colour: BU, type: TXL, length: 500 mm}

Limits and source: read in a trade source, that a series diode is no cure. 1 mA is a design choice. Outputs of which `diode:` is not stated are not seen.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..feed_back import MOST_A, fed_back, unit_of
from ..join_findings import findings_of_joins
from ..sneaks import finding_of, inside_outputs, runs_on, sneaks_of

if TYPE_CHECKING:
    from ...operation.operate import Solved
    from ..subject import Subject

CODE = "output-feeds-back"
SEVERITY = Severity.HAZARD
ASKS = "sweep"
MODES = (2,)


def check(subject: Subject) -> Iterator[Finding]:
    # a push-pull output on a coil or lamp drives both ways, solved or not
    yield from findings_of_joins(subject, CODE, MODES, SEVERITY)
    for address, states in fed_back(subject).items():
        yield _entering(subject, address, *states[0], len(states))
    for sneak in sneaks_of(subject, False):
        if sneak.what == "held" and runs_on(subject, sneak) and inside_outputs(subject, sneak):
            yield finding_of(subject, CODE, SEVERITY, "fed back through an output: ", (sneak,), "a diode in series with the coil, anode at the coil, cathode at the control unit; and feed the coil from the supply of the unit")


def _entering(subject: Subject, address: str, amps: float, solved: Solved, many: int) -> Finding:
    from ...operation.words import amps_shown, volts_with_unit

    operation, pin = subject.operation, subject.harness.contacts[address]
    assert operation is not None
    unit = unit_of(operation, address)
    assert unit is not None and unit.feed is not None
    volts = operation.read(solved, [unit.feed])[unit.feed] or 0.0
    wire = next(iter(subject.harness.wires_at.get(address, ())), "")
    function = f" ({pin.function})" if pin.function else ""
    more = f" and {many - 1} more" if many > 1 else ""
    return Finding(CODE, SEVERITY, f"{amps_shown(amps)} enter {unit.device} through output {address}{function} in state '{solved.case.name}'{more}, while its supply is off: "
                   f"{volts_with_unit(volts)} stand at {unit.feed}", pin.source.place(), f"feed what hangs on {address} from the switched supply of {unit.device}, that of {unit.feed}; a diode in series does not help, it passes this current",
                   at=(address, *([f"wire {wire}"] if wire else []), unit.feed, unit.device), state=solved.case.name, value=amps_shown(amps), limit=amps_shown(MOST_A), origin="design choice")
