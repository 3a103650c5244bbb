"""A relay contact carries more than it may for good.

What it checks: the largest current through each contact of each relay in the states that last (not
while the engine is cranked), against what that contact carries at the ambient temperature of where the
relay sits: 87 by its own rating, 87a by its own, which is lower.

Why it matters: the contact heats, its spring goes soft, it welds and the load stays on, or it burns open. In
the engine compartment it carries less than what is printed on the case.

Example that fails:

    zones: {engine: 85 C}
    places:
      P1: {title: engine box, zone: engine}
    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: fan switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
      M2: {title: radiator fan, terminals: [1, 2], between: [M2.1, M2.2], motor: 28 A at 12 V}
    fuses:
      F1: {rating: 40 A, type: cartridge}
      F2: {rating: 5 A, type: blade}
    relays:
      K3: {title: fan relay, place: P1, part: micro relay 30 A, coil: 90 ohm, contacts: make, suppression: resistor}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 10 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K3.30, size: 10 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: K3.87, to: M2.1, size: 10 mm2, colour: GN, type: TXL, length: 400 mm}
      4: {from: M2.2, to: G1.-, size: 10 mm2, colour: BK, type: TXL, length: 400 mm}
      5: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      6: {from: F2.2, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: K3.85, to: S1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}
      8: {from: S1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    contact 87 of fan relay K3 carries 27.6 A in state 'off, stopped, S1 on': a micro relay 30 A carries 25
    A there at 85 C

The fix: A relay whose contact carries the current at that temperature, or the load shared by two relays.

Example that passes:

    zones: {engine: 85 C}
    places:
      P1: {title: engine box, zone: engine}
    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: fan switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
      M2: {title: radiator fan, terminals: [1, 2], between: [M2.1, M2.2], motor: 28 A at 12 V}
    fuses:
      F1: {rating: 40 A, type: cartridge}
      F2: {rating: 5 A, type: blade}
    relays:
      K3: {title: fan relay, place: P1, part: micro relay 35 A, coil: 90 ohm, contacts: make, suppression: resistor}
    wires:
      1: {from: G1.+, to: F1.1, size: 10 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K3.30, size: 10 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: K3.87, to: M2.1, size: 10 mm2, colour: GN, type: TXL, length: 400 mm}
      4: {from: M2.2, to: G1.-, size: 10 mm2, colour: BK, type: TXL, length: 400 mm}
      5: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      6: {from: F2.2, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: K3.85, to: S1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}
      8: {from: S1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: ratings by ambient are read in makers' sheets of usual relays (one maker's sheets), between
their rows in proportion. A rating that is stated is taken for contact 87 at up to 85 C and goes down with
temperature, and for 87a, as the usual relay of its type does. What a motor or lamp draws in its first moment
is not looked at, nor a relay that no state visited pulls in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..lack import Lack

if TYPE_CHECKING:
    from ...model.harness import Harness, Part
    from ...operation.operate import Operation
    from ...trade.relay_parts import RelayPart
    from ...trade.tables import Fact
    from ..subject import Subject

CODE = "relay-over-contact"
SEVERITY = Severity.DAMAGE
ASKS = "solved"
MODES = (38,)
_BREAK = "87a"
_STATED_FOR_C = 85.0
"""The ambient for which a rating on the case is taken. Design choice: the middle row of makers' sheets."""


def check(subject: Subject) -> Iterator[Finding | Lack]:
    if subject.operation is None:
        return
    from ...judgement.wires import peaks
    from ...model.given import ambient_c
    from ...operation.catalogue import CONTACT

    operation, harness = subject.operation, subject.harness
    contacts: dict[str, list[str]] = {}
    for element, entry in operation.wiring.catalogue.items():
        if entry.kind == CONTACT and entry.a.endswith(".30") and entry.a[:-3] in harness.parts:
            contacts.setdefault(entry.a[:-3], []).append(element)
    for id, elements in contacts.items():
        relay = harness.parts[id]
        ambient = ambient_c(harness, _zone(harness, relay)).value
        for element in elements:
            far = operation.wiring.catalogue[element].b
            peak, cranking = peaks(operation, element)
            if peak is None and cranking is None and harness.wires_at.get(far):
                yield Lack(CODE, id, "a state under `states:` in which it is pulled in")
            if peak is None:
                continue
            if relay.rating is None and not relay.part:
                yield Lack(CODE, id, "`rating: 30 A` or a `part:` to each relay")
                break
            allowed_a, words, origin = _allowed(harness, relay, far.rpartition(".")[2], ambient)
            if peak.current_a > allowed_a:
                yield _told(operation, relay, far.rpartition(".")[2], ambient, peak.current_a, peak.state, allowed_a, words, origin)


def _zone(harness: Harness, relay: Part) -> str | None:
    """Of the place of the relay or its box."""
    box = harness.boxes.get(relay.box or "")
    point = harness.points.get(relay.place or (box.place if box else None) or "")
    return point.zone if point else None


def _allowed(harness: Harness, relay: Part, terminal: str, ambient_c: float) -> tuple[float, str, str]:
    """What a contact may carry in A, the same in words, and where that comes from."""
    from ...model.given import nominal_v
    from ...trade.relay_parts import relay_parts, usual_relay
    from ...trade.tables import said

    part = relay_parts().get(relay.part) or usual_relay(relay.type, nominal_v(harness))
    table = _table(part, terminal)
    by_part = _between(table, ambient_c)
    fact = next(iter(table.values()))
    if relay.rating is None:
        return by_part, f"a {part.name} carries {by_part:.3g} A there at {ambient_c:g} C", said(fact.origin, fact.mark)
    stated = relay.rating.value * min(by_part / part.make_a[_STATED_FOR_C].value, 1.0)
    if relay.part and by_part < stated:
        return by_part, f"a {part.name} carries {by_part:.3g} A there at {ambient_c:g} C", said(fact.origin, fact.mark)
    beside = f", of its {relay.rating.stated} on contact 87" if stated < relay.rating.value else ""
    return stated, f"{stated:.3g} A are what it carries there at {ambient_c:g} C{beside}", "the rating stated" if not beside else f"the rating stated, less as of {part.name}: {said(fact.origin, fact.mark)}"


def _table(part: RelayPart, terminal: str) -> Mapping[float, Fact]:
    """Ambient -> rating of a contact; of a part without a contact that breaks, that of the contact that makes."""
    return (part.break_a if terminal == _BREAK else None) or part.make_a


def _between(table: Mapping[float, Fact], ambient_c: float) -> float:
    """In proportion between the rows; as the nearest outside of them."""
    below = max((at for at in table if at <= ambient_c), default=min(table))
    above = min((at for at in table if at >= ambient_c), default=max(table))
    if above <= below:
        return table[below if ambient_c >= below else above].value
    return table[below].value + (table[above].value - table[below].value) * (ambient_c - below) / (above - below)


def _told(operation: Operation, relay: Part, terminal: str, ambient_c: float, current_a: float, state: str, allowed_a: float, words: str, origin: str) -> Finding:
    from ...operation.words import amps_shown

    harness = operation.wiring.harness
    wires = [f"wire {wire}" for wire in harness.wires_at.get(f"{relay.id}.{terminal}", ())]
    message = f"contact {terminal} of {relay.title or 'relay'} {relay.id} carries {amps_shown(current_a)} in state '{state}': {words}"
    better = _better(harness, relay, terminal, ambient_c, current_a)
    do = f"fit a {better}; or share the load between two relays" if better else "share the load between two relays; no usual relay carries it there"
    return Finding(CODE, SEVERITY, message, relay.source.place_of("part" if relay.part else "rating"), do, at=(relay.id, f"{relay.id}.{terminal}", *wires), state=state,
                   value=amps_shown(current_a), limit=f"{allowed_a:.3g} A", origin=origin)


def _better(harness: Harness, relay: Part, terminal: str, ambient_c: float, current_a: float) -> str:
    """The usual relay with the weakest contact that does: ``mini relay 40 A (40 A at 85 C)``; "" where none does."""
    from ...model.given import nominal_v
    from ...trade.relay_parts import relay_parts

    usable = [(_between(table, ambient_c), part.name) for part in relay_parts().values()
              if (table := part.break_a if terminal == _BREAK else part.make_a) and abs(part.coil_v.value - nominal_v(harness)) < 1 and part.name != relay.part]
    rated_a, name = min((one for one in usable if one[0] >= current_a), default=(0.0, ""))
    return f"{name} ({rated_a:.3g} A there at {ambient_c:g} C)" if name else ""
