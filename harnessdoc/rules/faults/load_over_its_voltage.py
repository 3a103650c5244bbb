"""A load that gets far more than the voltage it is rated at.

What it checks: in every state that lasts, the volts across each load that is rated at a voltage, against 1.25 times that.

Why it matters: a glow plug for 7 V on 12 V takes nearly twice its current and three times its power, and is burnt out in
seconds; what is left of it falls into the cylinder. The old vehicle had a controller or a resistor before it.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V}}
      E1: {terminals: [1, 2], between: [E1.1, E1.2], heater: 8 A at 7 V}  # here
    fuses:
      F1: {rating: 30 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: E1.1, size: 4 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: E1.2, to: G1.-, size: 4 mm2, colour: BK, type: TXL, length: 300 mm}

What it says:

    heater of device E1 is rated at 7 V and gets 12.29 V in state 'off, stopped', 1.76 times that

The fix: The part that is made for the supply; its controller, kept; two alike in series; or a resistor before it.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V}}
      E1: {terminals: [1, 2], between: [E1.1, E1.2], heater: 8 A at 7 V}
    fuses:
      F1: {rating: 30 A, type: blade}
    resistors:
      R1: {value: 0.66 ohm, power: 50 W}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: R1.1, size: 4 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: E1.2, to: G1.-, size: 4 mm2, colour: BK, type: TXL, length: 300 mm}
      4: {from: R1.2, to: E1.1, size: 4 mm2, colour: RD, type: TXL, length: 300 mm}

Limits and source: 1.25 times is common practice: a 12 V load stands 14.5 V. A load that a control unit pulses is not solved; write
`pulsed: true` for its circuit. The resistor is worked out of the rated point; that of a cold element differs. Loads that are
on in no state, and those for a higher voltage than the supply, are told by `part-for-another-voltage`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..options import Option
from ..volts_across import most_volts

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "load-over-its-voltage"
SEVERITY = Severity.DAMAGE
ASKS = "solved"
MODES = (17,)
ABOVE = Option(CODE, "above", "share", "25 %", "how far above the voltage it is rated at a load may get", "common practice")
OPTIONS = (ABOVE,)


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ...operation.words import amps_shown, volts_shown

    most = 1.0 + subject.value(ABOVE).value / 100
    for got in most_volts(subject.operation):
        rated_v = got.at_v
        if got.volts <= most * rated_v:
            continue
        amps = rated_v / got.ohm
        before_ohm, watts = (got.volts - rated_v) / amps, (got.volts - rated_v) * amps
        key = got.load.kind
        source = subject.operation.wiring.catalogue[got.load.element].source
        yield Finding(CODE, SEVERITY, f"{got.words} is rated at {rated_v:g} V and gets {volts_shown(got.volts)} V in state '{got.state}', {got.volts / rated_v:.2f} times that",
                      source.place_of(key), f"the part for this supply; or keep the controller it had; or two alike in series; or a resistor of {before_ohm:.2g} ohm before it "
                      f"({got.volts - rated_v:.3g} V x {amps_shown(amps)} = {watts:.0f} W)",
                      at=(got.load.owner,), state=got.state, value=f"{volts_shown(got.volts)} V", limit=f"{most * rated_v:.4g} V", origin=ABOVE.origin)
