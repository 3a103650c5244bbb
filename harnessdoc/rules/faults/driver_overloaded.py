"""What an output switches takes more than the output may carry.

What it checks: for each output of a device that has a limit, stated or usual of its kind, the
current that the coils and loads on it take together at the highest voltage and with cold copper. From the
output it goes over wires, closed switches and diodes to the loads, and asks whether their other
end can be live (of an output that closes to ground) or reaches ground.

Why it matters: a control unit's transistor is made for a relay coil of 80 ohm and up. A horn, a lamp, a second
coil or a relay of 20 ohm on it works in summer and kills it in winter.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {title: engine control unit, terminals: [1, 2]}
    cavities:
      U1.1: {function: fan relay, signal: output-fan, limit: 0.5 A, clamp: 45 V}
      U1.2: {signal: ground-power}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K3: {title: fan relay, coil: 20 ohm, contacts: make, rating: 40 A, type: mini, suppression: none}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      3: {from: K3.85, to: U1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}
      4: {from: U1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    output U1.1 (fan relay) may carry 0.5 A, but coil of fan relay K3 (20 ohm) takes 860 mA at 14.5 V and
    -20 C

The fix: A relay with a coil of more ohms, or a small relay between the output and what takes the current.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      U1: {title: engine control unit, terminals: [1, 2]}
    cavities:
      U1.1: {function: fan relay, signal: output-fan, limit: 0.5 A, clamp: 45 V}
      U1.2: {signal: ground-power}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K3: {title: fan relay, coil: 85 ohm, contacts: make, rating: 40 A, type: mini, suppression: none}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 1 m}
      3: {from: K3.85, to: U1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}
      4: {from: U1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: 14.5 V and -20 C are common practice; copper at -20 C has 0.843 of its resistance at 20 C (FAA AC
43.13-1B, its formula). Usual limits of kinds of output are common practice: state `limit:` where you know it.
What a lamp or motor draws in its first moment, a resistor across a coil, the drop in wires, and outputs that limit
their current themselves (ignition coils, boosted injectors) are left out; so is what lies behind a fuse or a relay contact.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ...model.harness import Contact, Harness
    from ...network.ways import Reached, Way, Ways
    from ..subject import Subject
    from ..takers import Taker

CODE = "driver-overloaded"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (13,)
VOLTS = Option(CODE, "volts", "voltage", "14.5 V", "the highest voltage of a 12 V system, in others in proportion", "common practice")
COLD = Option(CODE, "cold", "temperature", "-20 C", "the temperature of the coldest copper", "common practice")
OPTIONS = (VOLTS, COLD)
_LIMITED_INSIDE = ("coil-driver", "output-injector-boosted", "output-ignition-trigger", "output-stepper", "output-analog", "output-bridge")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    from ...trade.signals import signals
    from ..pins import outputs

    pins = [pin for pin in outputs(subject.harness) if pin.signal not in _LIMITED_INSIDE and pin.signal in signals()]
    if not pins:
        return
    from ...model.given import limit_a
    from ..rails import grounded, live
    from ..takers import Taker, takers

    ways, at = subject.ways, dict[str, list[Taker]]()
    for taker in takers(subject.harness):
        if not taker.is_switched:
            for point in {ways.point(taker.a): None, ways.point(taker.b): None}:
                at.setdefault(point, []).append(taker)
    plus, minus = frozenset(ways.plus), frozenset(ways.minus)
    is_live, is_grounded = live(ways), grounded(ways)
    for pin in pins:
        limit = limit_a(pin)
        if limit is None:
            continue
        low = signals()[pin.signal].drive == "low"
        driven = list(_driven(subject, pin, low, at, is_live if low else is_grounded, minus if low else plus))
        amps: list[tuple[float, Taker]] = []
        for taker in driven:
            current_a = _current_a(subject, taker)
            if current_a is None:
                yield Lack(CODE, taker.id, "`coil: 85 ohm` to each relay, and what each load takes, that an output switches")
            else:
                amps.append((current_a, taker))
        if sum(current_a for current_a, _ in amps) > limit.value:
            yield _told(subject, pin, limit.value, limit.typical, limit.origin, amps)


def _driven(subject: Subject, pin: Contact, low: bool, at: dict[str, list[Taker]], rail: Reached, shut: frozenset[str]) -> Iterator[Taker]:
    """What an output switches, each once."""
    ways: Ways = subject.ways
    start = ways.point(pin.address)
    if start in shut:
        return

    def through(way: Way, point: str) -> bool:
        if way.kind == "diode" and (ways.point(way.b) == point) is not low:
            return False
        there = ways.beyond(way, point)
        return way.kind in ("wire", "switch", "diode") and there not in shut and not (way.kind == "switch" and there in rail)

    seen = set()
    for point in ways.reach((start,), through).before:
        for taker in at.get(point, ()):
            far = taker.b if ways.point(taker.a) == point else taker.a
            if ways.point(far) in rail and id(taker) not in seen:
                seen.add(id(taker))
                yield taker


def _current_a(subject: Subject, taker: Taker) -> float | None:
    """At the highest voltage, windings with cold copper; None where what it takes is not known."""
    from ...model.given import nominal_v, relay_given
    from ...trade.conductors import resistance_at
    from ...trade.tables import factors
    from ..takers import INDUCTIVE

    supply_v = nominal_v(subject.harness)
    volts, cold_c = subject.value(VOLTS).value * supply_v / 12.0, subject.value(COLD).value
    if taker.load is None:
        relay = subject.harness.parts[taker.id]
        return volts / resistance_at(relay_given(relay, supply_v).coil_ohm.value, cold_c) if relay.value or relay.part else None
    rating = taker.load.rating
    if rating is None:
        return None
    if taker.load.kind in INDUCTIVE:
        return volts / resistance_at(rating.ohm, cold_c)
    if taker.load.kind == "lamp" and rating.at is not None and rating.watts is not None:
        return rating.watts / rating.at.value * (volts / rating.at.value) ** factors()["lamp-exponent"].value
    return volts / rating.ohm


def _told(subject: Subject, pin: Contact, limit_a: float, is_usual: bool, origin: str, amps: list[tuple[float, Taker]]) -> Finding:
    from ...model.given import nominal_v
    from ...operation.words import amps_shown, listed

    harness = subject.harness
    volts, cold = subject.value(VOLTS).value * nominal_v(harness) / 12.0, subject.value(COLD)
    total_a = sum(current_a for current_a, _ in amps)
    what = listed([f"{taker.words} ({_rated(harness, taker)})" for _, taker in amps])
    takes = f"takes {amps_shown(total_a)}" if len(amps) == 1 else f"take {' + '.join(amps_shown(current_a) for current_a, _ in amps)} = {amps_shown(total_a)}"
    message = (f"output {pin.address}{f' ({pin.function})' if pin.function else ''} may carry {limit_a:g} A{' (usual of its kind)' if is_usual else ''}, but "
               f"{what} {takes} at {volts:g} V and {cold.stated}")
    most_a, most = max(amps, key=lambda one: one[0])
    alone = most_a > limit_a
    place = most.place if alone else pin.source.place()
    related = [Related(pin.source.place(), f"{pin.address} switches it")] if alone else [Related(taker.place, f"{taker.id} is on it") for _, taker in amps]
    at = (*([most.id] if alone else ()), pin.address, *(taker.id for _, taker in amps))
    return Finding(CODE, SEVERITY, message, place, _do(volts, cold.value, pin, limit_a, amps), tuple(related), at=tuple(dict.fromkeys(at)),
                   value=amps_shown(total_a), limit=f"{limit_a:g} A", origin=origin)


def _rated(harness: Harness, taker: Taker) -> str:
    if taker.load is not None:
        return str(taker.load.rating)
    relay = harness.parts[taker.id]
    return relay.value.stated if relay.value else relay.part


def _do(volts: float, cold_c: float, pin: Contact, limit_a: float, amps: list[tuple[float, Taker]]) -> str:
    from math import ceil

    from ...trade.conductors import resistance_at
    from ..takers import INDUCTIVE

    buffer = f"a small relay: its coil on {pin.address}, its contact for the load"
    if len(amps) > 1:
        return f"give one of them an output of its own, or {buffer}"
    taker = amps[0][1]
    if taker.load is not None and taker.load.kind not in INDUCTIVE:
        return buffer
    least_ohm = ceil(volts / limit_a / resistance_at(1.0, cold_c))
    usual = " (usual relays have 85 to 90 ohm)" if taker.load is None and least_ohm <= 85 else ""
    return f"a coil of {least_ohm} ohm or more at 20 C{usual}, or {buffer}"
