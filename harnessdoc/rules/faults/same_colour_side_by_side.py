"""Two wires of one colour in cavities side by side.

What it checks: in each connector, neighbouring cavities whose wires have the same base and the same stripe, and are neither of one circuit nor of one
copper.

Why it matters: two traditions of colours meet in a merge. When the terminals have been out of the housing, nothing tells the two
apart any more but a meter.

Example that fails:

    connectors:
      X1: {face: [[1..3]], view: mating face}  # here
      X2: {face: [[1]], view: mating face}
      X3: {face: [[1]], view: mating face}
      X4: {face: [[1]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: GN/YE, type: TXL, circuit: wiper}
      2: {from: X1.2, to: X3.1, size: 1 mm2, colour: GN/YE, type: TXL, circuit: washer}
      3: {from: X1.3, to: X4.1, size: 1 mm2, colour: BU, type: TXL, circuit: horn}

What it says:

    X1: wires of one colour lie side by side: 1 and 2 (both GN/YE)

The fix: Labels on both wires behind the connector; where one is still to be drawn, another stripe.

Example that passes:

    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1]], view: mating face}
      X3: {face: [[1]], view: mating face}
      X4: {face: [[1]], view: mating face}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: GN/YE, type: TXL, circuit: wiper}
      2: {from: X1.2, to: X3.1, size: 1 mm2, colour: GN/WH, type: TXL, circuit: washer}
      3: {from: X1.3, to: X4.1, size: 1 mm2, colour: BU, type: TXL, circuit: horn}

Limits and source: common practice. Neighbours are those of the face; without one, cavities that follow each other. Two grounds side by side are
passed over, and of an in-line connector the same two cavities are told once. Bundles are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import Connector, Harness, Kind, Wire
from ...model.ids import names
from ...network.neighbours import are_neighbours, cavities_of
from ...trade.colours import Colour, Tint, print_colour
from ..mating import mate_of
from ..rails_of_copper import grounded

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "same-colour-side-by-side"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = (53,)
_STRIPES = tuple(map(Tint, ("WH", "BK", "YE", "RD", "BU", "GN")))


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    alike = _alike(harness)
    if not alike:
        return
    cavities, mates, ground = cavities_of(harness), mate_of(harness), grounded(subject)
    island = subject.network.island_of
    told: set[tuple[str, str, str]] = set()
    for connector in harness.connectors.values():
        found = []
        for group in alike.get(connector.id, ()):
            for (a, wire), (b, other) in combinations(group, 2):
                here, there = (island[f"{connector.id}.{cavity}"] for cavity in (a, b))
                if here == there or (here in ground and there in ground) or (wire.circuit and wire.circuit == other.circuit):
                    continue
                if (mates.get(connector.id, ""), a, b) not in told and are_neighbours(connector, cavities[connector.id], a, b):
                    found.append((a, b, wire, other))
        told.update((connector.id, a, b) for a, b, _, _ in found)
        if found:
            yield _finding(harness, connector, found)


def _alike(harness: Harness) -> dict[str, list[list[tuple[str, Wire]]]]:
    """Connector -> groups of (cavity, wire) of one colour; a cavity with two wires is left out, for they lie together anyhow."""
    by_colour: dict[str, dict[int, list[tuple[str, Wire]]]] = {}
    numbers: dict[int, int] = {}    # by identity: the reader gives one object for one text
    equal: dict[Colour, int] = {}
    for address, wires in harness.wires_at.items():
        contact = harness.contacts[address]
        if contact.kind is Kind.CAVITY and len(wires) == 1 and (colour := (wire := harness.wires[wires[0]]).colour):
            number = numbers.get(id(colour))
            if number is None:
                number = numbers[id(colour)] = equal.setdefault(colour, len(equal))
            by_colour.setdefault(contact.owner, {}).setdefault(number, []).append((contact.name, wire))
    groups = {owner: [group for group in colours.values() if len(group) > 1] for owner, colours in by_colour.items()}
    return {owner: its for owner, its in groups.items() if its}


def _finding(harness: Harness, connector: Connector, found: list[tuple[str, str, Wire, Wire]]) -> Finding:
    said = [f"{a} and {b} (both {print_colour(wire.colour, wire.convention)})" for a, b, wire, _ in found]   # type: ignore[arg-type]
    a, b, wire, other = found[0]
    # A finding is rare and a connector small: its wires are looked up again.
    taken = {harness.wires[wires[0]].colour for cavity in connector.cavities if (wires := harness.wires_at.get(f"{connector.id}.{cavity}"))}
    new = next((colour for stripe in _STRIPES if stripe != other.colour.base and (colour := Colour(other.colour.base, (stripe,))) not in taken), None)   # type: ignore[union-attr]
    redraw = f"; where wire {other.id} is still to be drawn, {print_colour(new, other.convention)} tells it apart" if new else ""
    return Finding(
        CODE, SEVERITY, f"{connector.id}: wires of one colour lie side by side: {names(said)}", connector.source.place(),
        f"put labels on these wires close behind {connector.id}{redraw}",
        at=(connector.id, *dict.fromkeys(f"{connector.id}.{cavity}" for a, b, _, _ in found for cavity in (a, b)),
            *dict.fromkeys(f"wire {one.id}" for _, _, wire, other in found for one in (wire, other))), origin="common practice")
