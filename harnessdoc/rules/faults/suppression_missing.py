"""A coil is switched and nothing takes up its voltage when it is switched off.

What it checks: for each relay coil, solenoid and clutch: whether a diode or resistor lies across it, in the relay
or in the harness, where an output of a control unit without `clamp:` switches it; and of clutches, stop
solenoids and horns also where a contact switches them beside a control unit.

Why it matters: a coil that is cut off makes hundreds of volts of its own. A host's mechanical switch bore that; a
control unit's output breaks through, and what shares the supply resets or counts wrong pulses.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {title: engine control unit, terminals: [1, 2]}
    cavities:
      U1.1: {function: fan relay, signal: output-fan, limit: 1 A}
      U1.2: {signal: ground-power}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K3: {title: fan relay, coil: 85 ohm, contacts: make, rating: 40 A, type: mini, suppression: none}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      3: {from: K3.85, to: U1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}
      4: {from: U1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    nothing is across the coil of fan relay K3, which output U1.1 switches: no clamp of its own is stated

The fix: A relay with a resistor or diode across its coil, or a diode across the winding, cathode to the supply.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {title: engine control unit, terminals: [1, 2]}
    cavities:
      U1.1: {function: fan relay, signal: output-fan, limit: 1 A}
      U1.2: {signal: ground-power}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K3: {title: fan relay, coil: 85 ohm, contacts: make, rating: 40 A, type: mini, suppression: resistor}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      3: {from: K3.85, to: U1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}
      4: {from: U1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: common practice; 1000 to 1500 V were read in a relay maker's sheet of an unsuppressed 12 V relay. Outputs
made for windings (injectors, pulse width, bridges, push-pull) are taken to have their clamp; of a valve on a pulse width
output it is asked for. A starter's solenoid is left alone, as makers do. A diode inside a solenoid is not seen: waive it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.harness import UNKNOWN, Kind
from ..lack import Lack

if TYPE_CHECKING:
    from ...model.harness import Contact
    from ..subject import Subject
    from ..takers import Taker

CODE = "suppression-missing"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (14,)
_CLAMPED = ("output-injector", "output-injector-boosted", "output-bridge", "output-push-pull", "output-stepper", "coil-driver")
_PULSED = ("output-pwm-low", "output-pwm-high")
_LOUD = frozenset(("clutch-coil", "stop-solenoid", "horn"))
"""Windings that a contact may not switch bare beside a control unit."""
_SPARED = frozenset(("injector", "ignition-primary", "starter-control", "stepper"))


def check(subject: Subject) -> Iterator[Finding | Lack]:
    from ..pins import control_units, outputs
    from ..takers import INDUCTIVE, takers

    harness, island_of = subject.harness, subject.network.island_of
    windings = [taker for taker in takers(harness) if not taker.is_switched and not taker.switches and not taker.signals & _SPARED
                and (taker.load is None or taker.load.kind in INDUCTIVE or taker.signals & _LOUD)]
    if not windings:
        return
    across = _across(subject)
    has_units = bool(control_units(harness))
    drivers: dict[int, list[Contact]] = {}
    for pin in outputs(harness):
        if pin.signal not in _CLAMPED and pin.clamp is None:
            drivers.setdefault(island_of[pin.address], []).append(pin)
    contacts = _contacts(subject)
    unknown, bare = _unknown(subject), []
    for taker in windings:
        ends = frozenset((island_of[taker.a], island_of[taker.b]))
        if len(ends) < 2 or ends in across:
            continue
        switched_by = next((pin for end in (taker.b, taker.a) for pin in drivers.get(island_of[end], ())), None)
        by_contact = next((id for end in (taker.a, taker.b) for id in contacts.get(island_of[end], ())), "") if has_units and taker.signals & _LOUD else ""
        if switched_by is None and not by_contact:
            continue
        if taker.load is None and harness.parts[taker.id].suppression is None:
            yield Lack(CODE, taker.id, "`suppression:` to each relay that an output switches")
        elif ends <= unknown:
            yield Lack(CODE, taker.id, "the far ends of the wires at its winding: a diode may be there")
        elif switched_by is not None and switched_by.signal in _PULSED and not by_contact:
            yield Lack(CODE, switched_by.address, "`clamp: 45 V` to each output that has one inside")
        else:
            bare.append((taker, switched_by, by_contact))
    if bare:
        from ..rails import live

        fed = live(subject.ways)
        for taker, switched_by, by_contact in bare:
            plus, minus = (taker.b, taker.a) if subject.ways.point(taker.b) in fed and subject.ways.point(taker.a) not in fed else (taker.a, taker.b)
            yield _told(subject, taker, switched_by, by_contact, f"a diode across it: cathode at {plus}, anode at {minus}{_in_merge(subject, plus, minus)}")


def _in_merge(subject: Subject, plus: str, minus: str) -> str:
    """How a diode is written across a winding of a source: its wires tap those that are there; "" in a description of one vehicle."""
    merge, harness = subject.merge, subject.harness
    if merge is None or merge.source_of(plus) is None or merge.source_of(minus) is None:
        return ""
    from ...merge.numbers import next_number

    diode = next_number((contact.owner for contact in harness.contacts.values()), "D")
    tapped = {end.address for join in merge.joins.values() for end in join.ends}
    numbers, joins, double, wires = [*merge.joins], [], [], []
    for terminal, end in (("K", plus), ("A", minus)):
        if harness.contacts[end].kind in (Kind.CAVITY, Kind.SOCKET) and harness.wires_at.get(end):
            if end not in tapped and len(harness.wires_at[end]) == 1:
                numbers.append(next_number(numbers, "J"))
                joins.append(f"{numbers[-1]}: {{ends: [{end}, {diode}.{terminal}], cut: none, piece: {{size: 0.75 mm2, colour: unknown}}}}")
                continue
            double.append(f"{end}: {{crimp: double}}")
        wires.append(f"{diode}{terminal}: {{from: {diode}.{terminal}, to: {end}, size: 0.75 mm2, colour: unknown}}")
    sections = {"diodes": [f'{diode}: {{part: "1 A"}}'], "joins": joins, "cavities": double, "wires": wires}
    return "; in the merge file: " + ", ".join(f"`{section}: {{{', '.join(entries)}}}`" for section, entries in sections.items() if entries)


def _across(subject: Subject) -> set[frozenset[int]]:
    """The pairs of islands between which a diode or a resistor lies, in a relay or by itself."""
    island_of, found = subject.network.island_of, set[frozenset[int]]()
    for part in subject.harness.parts.values():
        ends = {"diode": ("A", "K"), "resistor": ("1", "2")}.get(part.kind)
        if part.kind == "relay" and part.suppression in ("diode", "resistor"):
            ends = ("85", "86")
        if ends and all(end in part.terminals for end in ends):
            found.add(frozenset(island_of[f"{part.id}.{end}"] for end in ends))
    return found


def _contacts(subject: Subject) -> dict[int, list[str]]:
    """Island -> the relays and switches of which a contact ends there, that is no 30 and no feed of a switch."""
    island_of, found = subject.network.island_of, dict[int, list[str]]()
    for part in subject.harness.parts.values():
        if part.kind == "relay":
            for terminal in ("87", "87b", "87a"):
                if terminal in part.terminals:
                    found.setdefault(island_of[f"{part.id}.{terminal}"], []).append(part.id)
    for id, device in subject.harness.devices.items():
        if id != subject.harness.key_switch:
            for address in dict.fromkeys(address for pairs in device.closes.values() for pair in pairs for address in pair):
                if address in island_of:
                    found.setdefault(island_of[address], []).append(id)
    return found


def _unknown(subject: Subject) -> frozenset[int]:
    """The islands at which more may hang than is known."""
    harness, island_of = subject.harness, subject.network.island_of
    ends = (end for wire in harness.wires.values() if UNKNOWN in (wire.from_, wire.to) for end in (wire.from_, wire.to) if end in island_of)
    return frozenset(island_of[end] for end in (*ends, *(id for id, splice in harness.splices.items() if splice.members_unknown)))


def _told(subject: Subject, taker: Taker, output: Contact | None, by_contact: str, diode: str) -> Finding:
    what = f"the {taker.words}" if taker.load is None else f"the winding of {taker.words}"
    switched = f"output {output.address} switches: no clamp of its own is stated" if output is not None else f"a contact of {by_contact} switches beside a control unit"
    message = f"nothing is across {what}, which {switched}"
    is_found = subject.merge is not None and subject.merge.source_of(taker.id) is not None
    resistor = f"`relays: {{{taker.id}: {{suppression: resistor}}}}` in the merge file" if is_found else "`suppression: resistor`"
    do = f"a relay with {resistor}, or {diode}" if taker.load is None else diode
    at = (taker.id, *([output.address] if output is not None else [by_contact]))
    place = taker.source.place_of("suppression") if taker.load is None else taker.place
    related = (Related(output.source.place(), "this output switches it"),) if output is not None else ()
    return Finding(CODE, SEVERITY, message, place, do, related, at=at, origin="common practice")
