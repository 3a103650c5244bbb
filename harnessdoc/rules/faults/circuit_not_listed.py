"""A circuit that is named and does not stand under ``circuits:``.

What it checks: the circuits that wires, parts and pins name, where ``circuits:`` says of which system they are.

Why it matters: which circuit diagram a wire goes on is decided by the system of its circuit. A misspelt name has none, and the wire
goes, without a word, where the things are that it serves; a diagram that was meant may be missing.

Example that fails:

    circuits:
      lamps: {system: lighting}
    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL, circuit: lamp}  # here

What it says:

    wire 1 is of circuit 'lamp', which is not under `circuits:`

The fix: Mend the name; or write the circuit under `circuits:`, with its system.

Example that passes:

    circuits:
      lamps: {system: lighting}
    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL, circuit: lamps}

Limits and source: common practice. Where no circuit has a system, names need not stand under `circuits:`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.ids import names, printable
from ..circuit_list import CircuitList

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "circuit-not-listed"
SEVERITY = Severity.ADVICE
ASKS = "record"
MODES = ()
_MOST_NAMED = 3


def check(subject: Subject) -> Iterator[Finding]:
    circuits = CircuitList(subject.harness, tuple(subject.merge.sources) if subject.merge else ())
    for name in circuits.unlisted:
        namings = circuits.named[name]
        meant = circuits.meant[name]
        things = names((naming.thing for naming in namings), _MOST_NAMED)
        yield Finding(CODE, SEVERITY, f"{things} {'is' if len(namings) == 1 else 'are'} of circuit '{printable(name)}', which is not under `circuits:`", namings[0].place, _way_out(circuits, name),
                      (Related(circuits.place_of(meant), f"circuit {meant} stands here"),) if meant else (), at=(f"circuit {name}", *(naming.thing for naming in namings)))


def _way_out(circuits: CircuitList, name: str) -> str:
    own = circuits.own(printable(name))
    if meant := circuits.meant[name]:
        return f"did you mean {meant}? else write `{own}: {{system: NAME}}` under `circuits:`"
    of_system = circuits.of_system(name)
    if system := circuits.system_called(name):
        return f"{system} is a system: write one of its circuits, {names(of_system[system])}, or `{own}: {{system: {system}}}` under `circuits:`"
    return f"write `{own}: {{system: NAME}}` under `circuits:` (the systems are {names(of_system)}), or mend the name"
