"""An airbag circuit that is spliced, joined or tapped.

What it checks: that the copper of every contact with an airbag signal leads from one contact to one other: no splice, no join,
no third contact, no ground, no bar.

Why it matters: an airbag may fire into the face of who works on it, or never fire when it is needed. Its wires are made and
checked as a whole.

Example that fails:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {function: airbag, signal: airbag}
    splices:
      S1: {method: solder}
    wires:
      1: {from: X1.1, to: S1, size: 0.5 mm2, colour: YE, type: TXL}
      2: {from: S1, to: X2.1, size: 0.5 mm2, colour: YE, type: TXL}  # here

What it says:

    the airbag circuit at X1.1 is touched: splice S1, wires 1 and 2: it is kept whole, never spliced, tapped or probed

The fix: Leave the circuit as its maker built it, in one piece from plug to plug; where the wire was cut its maker's book says which
part is replaced, and who may do it.

Example that passes:

    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {function: airbag, signal: airbag}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: YE, type: TXL}

Limits and source: common practice, and every maker's book. Only what is said to be an airbag circuit is known to be one. No reading
and no check line is printed for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import Kind

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "airbag-circuit-touched"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = ()
_JOINS = {Kind.SPLICE: "splice", Kind.BAR: "bar"}


def check(subject: Subject) -> Iterator[Finding]:
    from ...network.continuity import airbag_signalled

    harness, network = subject.harness, subject.network
    islands: dict[int, str] = {}
    for address in airbag_signalled(harness):
        islands.setdefault(network.island_of[address], address)
    in_line = {half for connector in harness.connectors.values() if connector.mates for half in (connector.id, connector.mates)}
    for island, first in islands.items():
        members = [harness.contacts[address] for address in network.islands[island]]
        touched = [f"{_JOINS[contact.kind]} {contact.address}" for contact in members if contact.kind in _JOINS]
        ends = [contact for contact in members if contact.kind not in _JOINS and contact.kind is not Kind.GROUND and contact.owner not in in_line]
        if len(ends) > 2 and not touched:
            touched = [contact.address for contact in ends]
        if touched:
            wires = list(dict.fromkeys(wire for contact in members for wire in harness.wires_at.get(contact.address, ())))
            named = f", wires {', '.join(wires[:-1])} and {wires[-1]}" if len(wires) > 1 else f", wire {wires[0]}" if wires else ""
            place = harness.wires[wires[-1]].source.place() if wires else harness.contacts[first].source.place()
            yield Finding(CODE, SEVERITY, f"the airbag circuit at {first} is touched: {', '.join(touched)}{named}: it is kept whole, never spliced, tapped or probed", place,
                          f"take out {', '.join(touched)}: one wire from plug to plug, as its maker built it; see the vehicle's own book, and leave it to who is licensed for it",
                          at=(*(f"wire {wire}" for wire in wires[-1:]), first, *(contact.address for contact in members if contact.kind in _JOINS), *(f"wire {wire}" for wire in wires[:-1])),
                          origin="common practice")
