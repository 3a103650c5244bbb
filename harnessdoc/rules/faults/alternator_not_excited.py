"""The alternator gets too little current through its charge lamp terminal to begin to charge.

What it checks: with the key at run and the engine standing, the current into the charge lamp terminal of
each alternator, against `excitation:` of the alternator, or the option.

Why it matters: an alternator with a field winding has to be told to begin. Where the charge lamp was left
out, is an LED now, or has too little wattage, it stays dead until the engine is revved high, or for ever; the
battery runs flat on the road and no lamp says so.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      A1: {terminals: [B+, L, case], between: [A1.B+, A1.case], alternator: {charge-lamp: A1.L}}
      S1: {title: key switch, terminals: [30, 15], closes: {run: [[S1.30, S1.15]]}}
      H1: {title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], load: 20 mA at 12 V}  # here
    fuses:
      F1: {rating: 60 A, type: midi}
      F2: {rating: 5 A, type: blade}
    wires:
      1: {from: A1.B+, to: F1.1, size: 16 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: G1.+, size: 16 mm2, colour: RD, type: TXL, length: 150 mm}
      3: {from: A1.case, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 300 mm}
      4: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      5: {from: F2.2, to: S1.30, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      6: {from: S1.15, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 1 m}
      7: {from: H1.2, to: A1.L, size: 1 mm2, colour: BU, type: TXL, length: 1 m}

What it says:

    alternator A1: 20.9 mA flow into A1.L in state 'run, stopped', it needs 100 mA to begin to charge

The fix: A lamp of more watts, or a resistor beside it, so that enough flows.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      A1: {terminals: [B+, L, case], between: [A1.B+, A1.case], alternator: {charge-lamp: A1.L}}
      S1: {title: key switch, terminals: [30, 15], closes: {run: [[S1.30, S1.15]]}}
      H1: {title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}
    fuses:
      F1: {rating: 60 A, type: midi}
      F2: {rating: 5 A, type: blade}
    wires:
      1: {from: A1.B+, to: F1.1, size: 16 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: G1.+, size: 16 mm2, colour: RD, type: TXL, length: 150 mm}
      3: {from: A1.case, to: G1.-, size: 16 mm2, colour: BK, type: TXL, length: 300 mm}
      4: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      5: {from: F2.2, to: S1.30, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      6: {from: S1.15, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 1 m}
      7: {from: H1.2, to: A1.L, size: 1 mm2, colour: BU, type: TXL, length: 1 m}

Limits and source: 100 mA is from memory, of a 12 V alternator; makers' own figures differ widely: state yours as
`excitation:`. The resistor and the lamp are worked out from the solved volts and the law of lamps, rounded to
what is made. Alternators that a control unit commands, and self-exciting ones, have no such terminal: leave
`charge-lamp:` out.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.harness import UNKNOWN
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ...model.electric import Alternator
    from ...model.harness import Device
    from ...operation.catalogue import Entry
    from ...operation.operate import Operation, Solved
    from ..subject import Subject

CODE = "alternator-not-excited"
SEVERITY = Severity.DAMAGE
ASKS = "solved"
MODES = (21,)
LEAST = Option(CODE, "least", "current", "100 mA", "the least current into a charge lamp terminal of which no `excitation:` is stated", "from memory")
OPTIONS = (LEAST,)
_WARM = 1.5
"""Times the power a resistor takes, its rating at least. Design choice."""


def check(subject: Subject) -> Iterator[Finding | Lack]:
    if subject.operation is None:
        return
    from ...model.electric import Alternator, Engine
    from ...operation.supplies import alternator_elements

    operation = subject.operation
    run = next((solved for solved in operation.solved.values() if solved.case.key == "run" and solved.case.engine is Engine.STOPPED and not solved.case.named), None)
    if run is None or run.solution is None:
        return
    for id in subject.harness.supplies:
        device = subject.harness.devices[id]
        field = alternator_elements(id)[2]
        if not isinstance(device.supply, Alternator) or not device.supply.charge_lamp or field not in run.solution.currents:
            continue
        if _ends_unknown(subject, device.supply.charge_lamp):
            yield Lack(CODE, id, "the far end of each wire at its charge lamp terminal")
            continue
        least = device.supply.excitation or subject.value(LEAST)
        current_a = run.solution.currents[field]
        if current_a < least.value:
            yield _told(subject, operation, device, device.supply, run, current_a, least.value, "stated" if device.supply.excitation else LEAST.origin)


def _ends_unknown(subject: Subject, address: str) -> bool:
    """Whether something that is not known yet may be joined there."""
    harness, network = subject.harness, subject.network
    members = network.islands[network.island_of[address]]
    return any(UNKNOWN in (harness.wires[wire].from_, harness.wires[wire].to) for member in members for wire in harness.wires_at.get(member, ())) or any(
        member in harness.splices and harness.splices[member].members_unknown for member in members)


def _told(subject: Subject, operation: Operation, device: Device, alternator: Alternator, run: Solved, current_a: float, least_a: float, origin: str) -> Finding:
    from ...operation.words import amps_shown
    from ..named import name_of

    harness, terminal = operation.wiring.harness, alternator.charge_lamp or ""
    message = f"{device.title or 'alternator'} {device.id}: {amps_shown(current_a)} flow into {terminal} in state '{run.case.name}', it needs {amps_shown(least_a)} to begin to charge"
    wires = harness.wires_at.get(terminal, ())
    held, do = _do(subject, operation, device, alternator, run, current_a, least_a)
    named = device.source["alternator"].place_of("charge-lamp")
    place = held.source.place() if held else harness.wires[wires[0]].source.place() if wires else named
    at = (device.id, terminal, *(f"wire {wire}" for wire in wires), *([name_of(held)] if held else ()))
    return Finding(CODE, SEVERITY, message, place, do, (Related(named, f"{device.id} is excited there"),), at=tuple(dict.fromkeys(at)), state=run.case.name, value=amps_shown(current_a), limit=amps_shown(least_a), origin=origin)


def _do(subject: Subject, operation: Operation, device: Device, alternator: Alternator, run: Solved, current_a: float, least_a: float) -> tuple[Entry | None, str]:
    """What lies before the terminal and holds the current back, where something does, and what would let enough through."""
    from ...judgement.flow import flow_of
    from ...model.given import alternator_given, nominal_v
    from ...operation.catalogue import COIL, LOAD, RESISTOR
    from ...operation.supplies import alternator_elements
    from ...trade.preferred_values import resistor_ohm, resistor_w
    from ..named import name_of

    wiring, solution = operation.wiring, run.solution
    assert solution is not None
    node, supply_v = wiring.nodes.of[alternator.charge_lamp or ""], nominal_v(wiring.harness)
    at_v = least_a * alternator_given(alternator, supply_v).field_ohm.value
    field = alternator_elements(device.id)[2]
    # some millivolts of the engine's metal against the battery drive a trace of current out of the terminal: what feeds that lies before no terminal
    before = [element for element in takewhile(lambda element: element.id != field and wiring.nodes.reference not in (element.a, element.b), flow_of(operation, run).before(node)) if element.id in wiring.catalogue]
    held = next((element for element in before if wiring.catalogue[element.id].kind in (LOAD, COIL, RESISTOR)), None)
    if held is None:
        lamp = _lamp(supply_v, least_a, solution.voltages[wiring.nodes.plus] - at_v)
        unfed = _unfed(subject, alternator.charge_lamp or "")
        if unfed is not None:
            load, end = unfed
            title = wiring.harness.devices[load].title
            return None, (f"nothing feeds {f'{title} {load}'.strip()}, through which it is to be excited: join {end} to a feed that is live in run and dead with the key off,\n"
                          f"or {alternator.charge_lamp} through another charge lamp{f' of {lamp:g} W' if lamp else ''} to such a feed")
        return None, f"join {alternator.charge_lamp} through a charge lamp{f' of {lamp:g} W' if lamp else ''} to a feed that is live in run and dead with the key off"
    entry = wiring.catalogue[held.id]
    upper_v, lower_v = sorted((solution.voltages[held.a], solution.voltages[held.b]), reverse=True)
    # What lies behind it loses more as more flows.
    left_v = upper_v - at_v - (lower_v - solution.voltages[node]) * (least_a / current_a if current_a > 0 else 1.0)
    name = name_of(entry)
    ohm = resistor_ohm(left_v / (least_a - current_a)) if left_v > 0 else 0.0
    if ohm <= 0:
        return entry, f"nothing beside {name} lets enough through: take out what else lies between the key and {alternator.charge_lamp}"
    watts = resistor_w(_WARM * upper_v ** 2 / ohm)
    lamp = _lamp(supply_v, least_a, left_v) if entry.kind == LOAD else None
    instead = f"lamp: {lamp:g} W at {supply_v:g} V in place of {name}, or " if lamp else ""
    ends = f" from {entry.a} to {entry.b}" if entry.a and entry.b else ""
    return entry, f"{instead}a resistor of {ohm:g} ohm, {watts:g} W beside it{ends}"


def _unfed(subject: Subject, terminal: str) -> tuple[str, str] | None:
    """The load that is to excite it, over wires, fuses, diodes and resistors, with the end of it that wants a feed; None where the terminal leads to none."""
    from ..rails import grounded

    ways = subject.ways
    at_ground = grounded(ways)
    for point in ways.reach([terminal], lambda way, _: way.kind in ("wire", "fuse", "diode", "resistor")).before:
        for way in ways.at.get(point, ()):
            other = way.b if ways.point(way.a) == point else way.a
            if way.kind == "load" and ways.point(other) not in at_ground:
                return way.thing, other
    return None


def _lamp(supply_v: float, least_a: float, left_v: float) -> float | None:
    """The smallest usual lamp that lets the current through with what is left for it; None where none does."""
    from ...trade.preferred_values import charge_lamp_w
    from ...trade.tables import factors

    if left_v <= 0:
        return None
    rated_a = least_a * (supply_v / left_v) ** factors()["lamp-exponent"].value
    return charge_lamp_w(rated_a * supply_v)
