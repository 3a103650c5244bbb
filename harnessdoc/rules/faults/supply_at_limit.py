"""More is taken from an alternator or a test supply than it gives.

What it checks: in every state, that an alternator, its charge lamp terminal and a test supply
stay below their limit.

Why it matters: what the alternator does not give the battery gives. The voltage falls, lamps
go dim, and the vehicle stops once the battery is flat.

Example that fails:

    devices:
      A1: {terminals: [B+, case], between: [A1.B+, A1.case], alternator: {limit: 35 A}}  # here
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      E1: {terminals: [1, 2], between: [E1.1, E1.2], heater: 40 A at 12 V}
    fuses:
      F1: {rating: 80 A, type: midi}
      F2: {rating: 60 A, type: midi}
    wires:
      1: {from: A1.B+, to: F1.1, size: 16 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: G1.+, size: 16 mm2, colour: RD, type: TXL, length: 150 mm}
      3: {from: A1.case, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 300 mm}
      4: {from: G1.+, to: F2.1, size: 16 mm2, colour: RD, type: TXL, length: 100 mm}
      5: {from: F2.2, to: E1.1, size: 16 mm2, colour: RD, type: TXL, length: 500 mm}
      6: {from: E1.2, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 500 mm}

What it says:

    alternator A1 gives 35.0 A in state 'off, running', where its limit is 35 A: 41.3 A are taken, G1
    gives 6.25 A, and its voltage falls to 12.64 V

The fix: Fit one that gives more, or do not let all of it run at once.

Example that passes:

    devices:
      A1: {terminals: [B+, case], between: [A1.B+, A1.case], alternator: {limit: 75 A}}
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      E1: {terminals: [1, 2], between: [E1.1, E1.2], heater: 40 A at 12 V}
    fuses:
      F1: {rating: 80 A, type: midi}
      F2: {rating: 60 A, type: midi}
    wires:
      1: {from: A1.B+, to: F1.1, size: 16 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: G1.+, size: 16 mm2, colour: RD, type: TXL, length: 150 mm}
      3: {from: A1.case, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 300 mm}
      4: {from: G1.+, to: F2.1, size: 16 mm2, colour: RD, type: TXL, length: 100 mm}
      5: {from: F2.2, to: E1.1, size: 16 mm2, colour: RD, type: TXL, length: 500 mm}
      6: {from: E1.2, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 500 mm}

Limits and source: design choice: at its limit is 98 % of what is stated. Only what is on in a visited or named
state counts: name one with all that runs on a wet night. Idling, an alternator gives less than its limit.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import Device

if TYPE_CHECKING:
    from ...operation.operate import Operation, Solved
    from ..subject import Subject

CODE = "supply-at-limit"
SEVERITY = Severity.MALFUNCTION
ASKS = "solved"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ...judgement.shorts import shorted_states
    from ...operation.supplies import elements_of

    shorted = shorted_states(subject.operation)
    at_limit: dict[str, list[Solved]] = {}
    for name, solved in subject.operation.solved.items():
        for fault in solved.faults if solved.solution is not None and name not in shorted else ():
            if fault.code == CODE:
                at_limit.setdefault(fault.elements[0], []).append(solved)
    for id in subject.harness.supplies:
        device = subject.harness.devices[id]
        for element in elements_of(device):
            if element in at_limit:
                yield from _told(subject.operation, device, element, at_limit[element])


def _told(operation: Operation, device: Device, element: str, states: list[Solved]) -> Iterator[Finding]:
    from ...operation.supplies import given_a, supply_element
    from ...operation.words import amps_shown, in_states, listed, volts_shown

    harness, of = operation.wiring.harness, operation.wiring.nodes.of
    placed = [other for id in harness.supplies if (other := harness.devices[id]).between]

    def taken_a(solved: Solved) -> float:
        assert solved.solution is not None
        return fsum(max(0.0, given_a(other, solved.solution)) for other in placed)

    worst = max(states, key=taken_a)
    names = (worst.case.name, *(one.case.name for one in states if one is not worst))
    solution = worst.solution
    assert solution is not None and device.between is not None and device.supply is not None
    amps = amps_shown(-solution.currents[element])
    if element != supply_element(device):
        terminal = getattr(device.supply, "charge_lamp", "")
        yield Finding(CODE, SEVERITY, f"charge lamp terminal {terminal} gives {amps} {in_states(names)}, which is all it can (typical): "
                      f"{volts_shown(solution.voltages[of[terminal]])} V are left there",
                      device.source["alternator"].place_of("charge-lamp"), "leave the lamp alone there, and let it command a relay for what more it is to switch",
                      at=(device.id,), state=worst.case.name)
        return
    limit = getattr(device.supply, "limit", None)
    if limit is None:
        return      # nobody said what it gives
    kind = "alternator" if "alternator" in device.source else "test-supply"
    others = [f"{other.id} gives {amps_shown(given)}" for other in placed if other is not device and (given := given_a(other, solution)) > 0.05]
    rest = f", {listed(others)}" if others else ""
    volts = solution.across(of[device.between[0]], of[device.between[1]])
    yield Finding(CODE, SEVERITY, f"{kind.replace('-', ' ')} {device.id} gives {amps} {in_states(names)}, where its limit is {limit.stated}: "
                  f"{amps_shown(taken_a(worst))} are taken{rest}, and its voltage falls to {volts_shown(volts)} V",
                  device.source[kind].place_of("limit"), "fit one that gives more, or do not let all of it run at once" if kind == "alternator" else "set it higher, or switch less on",
                      at=(device.id,), state=worst.case.name, value=amps, limit=limit.stated)
