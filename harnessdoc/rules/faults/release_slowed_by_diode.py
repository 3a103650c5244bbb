"""A plain diode across the coil slows the release of a relay that switches a motor.

What it checks: for each relay with a diode across its coil, its own or one in the harness, whether a motor of
more than the option's current hangs on its contacts, over wires and fuses.

Why it matters: the diode keeps the coil current going, the contacts open slowly, and the arc of a motor's
current tacks them together: the fan or pump then runs on.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: fan switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
      M2: {title: radiator fan, terminals: [1, 2], between: [M2.1, M2.2], motor: 16 A at 12 V}
    fuses:
      F1: {rating: 25 A, type: blade}
      F2: {rating: 5 A, type: blade}
    relays:
      K3: {title: fan relay, type: mini, rating: 40 A, coil: 85 ohm, contacts: make, suppression: diode}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 6 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K3.30, size: 6 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: K3.87, to: M2.1, size: 6 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: M2.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 500 mm}
      5: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      6: {from: F2.2, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: K3.85, to: S1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}
      8: {from: S1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    fan relay K3 switches radiator fan M2 (16.0 A) and lets go slowly for the diode across its coil: its
    contacts may weld

The fix: A relay with a resistor across its coil, or a zener diode in series with the diode.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: fan switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
      M2: {title: radiator fan, terminals: [1, 2], between: [M2.1, M2.2], motor: 16 A at 12 V}
    fuses:
      F1: {rating: 25 A, type: blade}
      F2: {rating: 5 A, type: blade}
    relays:
      K3: {title: fan relay, type: mini, rating: 40 A, coil: 85 ohm, contacts: make, suppression: resistor}
    wires:
      1: {from: G1.+, to: F1.1, size: 6 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K3.30, size: 6 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: K3.87, to: M2.1, size: 6 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: M2.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 500 mm}
      5: {from: G1.+, to: F2.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      6: {from: F2.2, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}
      7: {from: K3.85, to: S1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}
      8: {from: S1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: relay makers warn of tack welding by slow release; the current from which it counts is
common practice. A diode with a zener in series is written as two parts and not told. What is not rated is not told.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ...model.harness import Part
    from ..subject import Subject
    from ..takers import Taker

CODE = "release-slowed-by-diode"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = (14,)
LEAST = Option(CODE, "least", "current", "10 A", "the motor current from which a slow release counts", "common practice")
OPTIONS = (LEAST,)
_TO_LOAD = ("wire", "fuse", "fusible link")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness, island_of = subject.harness, subject.network.island_of
    loose = {frozenset((island_of[f"{part.id}.A"], island_of[f"{part.id}.K"])): part.id for part in harness.parts.values() if part.kind == "diode"}
    slowed: list[tuple[Part, str]] = []
    for part in harness.parts.values():
        if part.kind != "relay" or not {"85", "86", "30"} <= set(part.terminals):
            continue
        beside = loose.get(frozenset((island_of[f"{part.id}.85"], island_of[f"{part.id}.86"])), "")
        if part.suppression == "diode" or beside:
            slowed.append((part, beside if part.suppression != "diode" else ""))
    if not slowed:
        return
    from ..takers import Taker, takers

    ways, motors = subject.ways, dict[str, list[Taker]]()
    for taker in takers(harness):
        if taker.load is not None and taker.load.kind == "motor" and not taker.is_switched:
            for point in {ways.point(taker.a): None, ways.point(taker.b): None}:
                motors.setdefault(point, []).append(taker)
    shut = frozenset((*ways.plus, *ways.minus))
    for relay, diode in slowed if motors else ():
        starts = [f"{relay.id}.{name}" for name in ("87", "87b", "87a") if name in relay.terminals]
        reached = ways.reach(starts, lambda way, point: way.kind in _TO_LOAD and ways.beyond(way, point) not in shut)
        found = list({id(motor): motor for point in reached.before for motor in motors.get(point, ())}.values())
        yield from (Lack(CODE, motor.id, "`motor: 16 A at 12 V` to each motor that a relay switches") for motor in found if motor.load and motor.load.rating is None)
        worst = max((motor for motor in found if _amps(motor) >= subject.value(LEAST).value), key=_amps, default=None)
        if worst is not None:
            yield _told(subject, relay, diode, worst)


def _amps(motor: Taker) -> float:
    """While it runs; 0 of one that is not rated."""
    rating = motor.load.rating if motor.load else None
    return rating.at.value / rating.ohm if rating and rating.at else 0.0


def _told(subject: Subject, relay: Part, diode: str, motor: Taker) -> Finding:
    from ...operation.words import amps_shown

    by = f"the diode {diode} across its coil" if diode else "the diode across its coil"
    message = f"{relay.title or 'relay'} {relay.id} switches {motor.words} ({amps_shown(_amps(motor))}) and lets go slowly for {by}: its contacts may weld"
    do = f"a relay with `suppression: resistor`{f' in place of {relay.id} and {diode}' if diode else ''}, or a zener diode in series with the diode"
    return Finding(CODE, SEVERITY, message, relay.source.place_of("suppression"), do, (Related(motor.place, "what it switches"),),
                   at=(relay.id, motor.id, *([diode] if diode else ())), value=amps_shown(_amps(motor)), limit=subject.value(LEAST).stated, origin=LEAST.origin)
