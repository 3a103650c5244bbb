"""A wire that goes on in another colour at a splice without a number.

What it checks: splices of two wires of different colours that have no `join:` number.

Why it matters: whoever follows the wire through the bundle loses it at the tape. With one number on both labels it is found again on
either side.

Example that fails:

    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    splices:
      S1: {title: horn}  # here
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: YE/BK, type: TXL}

What it says:

    splice S1: wire 1 is BU and goes on as wire 2, YE/BK, with no join number on the two

The fix: A number for the join, on both labels; or a wire of the same colour.

Example that passes:

    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    splices:
      S1: {title: horn, join: J1}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: YE/BK, type: TXL}

Limits and source: common practice: a change of colour is accepted where it is written down. Where the circuit changes its name too,
circuit-changes-in-copper or join-number-missing tells both. Splices of three and more fan out and may change colour.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...trade.colours import print_colour
from ..circuit_names import one_name
from ..extensions import pairs_spliced
from ..spare_names import join_numbers
from ..unnumbered_joins import unnumbered_joins

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "colour-changes-at-splice"
SEVERITY = Severity.ADVICE
ASKS = "record"
MODES = (54,)


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    changing = {splice: (a, b) for splice, (a, b) in pairs_spliced(harness).items()
                if a.colour and b.colour and a.colour != b.colour and not harness.splices[splice].join}
    if not changing:
        return
    name, joins, told = one_name(harness), join_numbers(harness), unnumbered_joins(harness, subject.merge)
    for splice, (a, b) in changing.items():
        if splice in told or (a.circuit and b.circuit and name[a.circuit] != name[b.circuit]):
            continue
        is_one_convention = a.convention == b.convention
        first, second = (f"{print_colour(wire.colour, wire.convention)}{'' if is_one_convention else f' ({wire.convention})'}" for wire in (a, b))   # type: ignore[arg-type]
        yield Finding(
            CODE, SEVERITY, f"splice {splice}: wire {a.id} is {first} and goes on as wire {b.id}, {second}, with no join number on the two",
            harness.splices[splice].source.place(), f"write `join: {next(joins)}` at {splice}, and the number on the labels of both",
            at=(splice, f"wire {a.id}", f"wire {b.id}"), value=f"{first} and {second}", origin="common practice")
