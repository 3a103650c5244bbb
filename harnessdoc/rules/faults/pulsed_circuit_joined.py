"""A circuit that pulses, spliced to a numbered join or to another circuit.

What it checks: that the copper of a circuit with `pulsed: true`, and of the driven ends of ignition primaries and injectors, carries no join
number and no wire of another circuit.

Why it matters: such a line rises to hundreds of volts at each pulse: what is joined to it dies, and the spark or the injection with it.

Example that fails:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    circuits:
      coil 1: {pulsed: true}
    splices:
      S1: {method: solder, join: J4}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL, circuit: coil 1}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: BK, type: TXL, circuit: coil 1}  # here

What it says:

    circuit coil 1 pulses, and join J4 (S1) lies in it: a circuit that pulses is kept whole

The fix: Take the wire whole from control unit to coil or injector, from the vehicle it comes from; a gauge that wants its pulses gets them from an
output made for it.

Example that passes:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    circuits:
      coil 1: {pulsed: true}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL, circuit: coil 1}

Limits and source: common practice. A splice of its own, with no number, as where the supply of several injectors parts, passes.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "pulsed-circuit-joined"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = ()
_DRIVEN = ("coil-driver", "output-injector", "output-injector-boosted")


def check(subject: Subject) -> Iterator[Finding]:
    harness, island_of = subject.harness, subject.network.island_of
    pulsing: dict[int, str] = {}
    for wire in harness.wires.values():
        circuit = harness.circuits.get(wire.circuit)
        if circuit is not None and circuit.pulsed and (island := island_of.get(wire.from_, island_of.get(wire.to))) is not None:
            pulsing.setdefault(island, circuit.id)
    for address, contact in harness.contacts.items():
        if contact.signal in _DRIVEN and harness.wires_at.get(address):
            pulsing.setdefault(island_of[address], harness.wires[harness.wires_at[address][0]].circuit)
    for island, circuit in pulsing.items():
        members = subject.members(island)
        wires = list(dict.fromkeys(wire for address in members for wire in harness.wires_at.get(address, ())))
        joins = [id for id in members if id in harness.splices and harness.splices[id].join]
        others = [wire for wire in wires if circuit and harness.wires[wire].circuit not in ("", circuit)]
        named = f"circuit {circuit}" if circuit else f"the circuit at {members[0]}"
        if joins:
            splice = harness.splices[joins[0]]
            last = harness.wires_at[splice.id][-1]
            yield Finding(CODE, SEVERITY, f"{named} pulses, and join {splice.join} ({splice.id}) lies in it: a circuit that pulses is kept whole", harness.wires[last].source.place(),
                          f"take {splice.id} out: one wire from end to end, from the vehicle it comes from", at=(splice.id, *(f"wire {wire}" for wire in wires)), origin="common practice")
        elif others:
            yield Finding(CODE, SEVERITY, f"{named} pulses, and wire {others[0]} of circuit {harness.wires[others[0]].circuit} is joined to it: a circuit that pulses is kept whole",
                          harness.wires[others[0]].source.place(), f"take wire {others[0]} off; a gauge gets its pulses from an output made for it",
                          at=(f"wire {others[0]}", *(f"wire {wire}" for wire in wires if wire != others[0])), origin="common practice")
