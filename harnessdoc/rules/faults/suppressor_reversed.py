"""A suppressor diode the wrong way round: it conducts as soon as the coil is fed.

What it checks: of each relay with a diode across its coil, that the supply comes to 86 and not to 85; of each diode that lies across a coil, solenoid or
motor, that its cathode is on the side of the supply.

Why it matters: the diode is a short circuit in the feed: the fuse blows, or the driver of the control unit does, or the diode burns open
and from then on nothing protects the driver. Sockets of two makers have 85 and 86 exchanged.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"]}
      S1: {title: fan switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
    cavities:
      G1.+: {signal: source-battery}
      G1.-: {signal: ground-battery}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K1: {contacts: make, suppression: diode, coil: 85 ohm, type: mini}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.1, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: S1.2, to: K1.85, size: 1 mm2, colour: GN, type: TXL, length: 300 mm}
      4: {from: K1.86, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 300 mm}

What it says:

    relay K1 has a diode across its coil, cathode at 86, and the supply comes to K1.85: the diode conducts, fuse F1 feeds a short
    circuit

The fix: Exchange the wires at 85 and 86, or fit a relay with a resistor instead of the diode; turn a diode round.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"]}
      S1: {title: fan switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
    cavities:
      G1.+: {signal: source-battery}
      G1.-: {signal: ground-battery}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K1: {contacts: make, suppression: resistor, coil: 85 ohm, type: mini}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.1, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: S1.2, to: K1.85, size: 1 mm2, colour: GN, type: TXL, length: 300 mm}
      4: {from: K1.86, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 300 mm}

Limits and source: common practice: 86 is plus where a diode is across the coil. Nothing is said where both ends can be live and grounded, as of a motor that
turns both ways.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...trade.signals import signals
from ..rails import grounded, live
from ..takers import takers
from ..way_words import last_fuse

if TYPE_CHECKING:
    from ...network.ways import Reached
    from ..subject import Subject

CODE = "suppressor-reversed"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (15,)


def check(subject: Subject) -> Iterator[Finding]:
    harness, ways = subject.harness, subject.ways
    relays = [part for part in harness.parts.values() if part.kind == "relay" and part.suppression == "diode" and {"85", "86"} <= set(part.terminals)]
    diodes = [part for part in harness.parts.values() if part.kind == "diode"]
    if not relays and not diodes:
        return
    fed, returned = live(ways), grounded(ways)
    for relay in relays:
        plus, minus = f"{relay.id}.85", f"{relay.id}.86"
        if not _is_plus(subject, fed, returned, plus, minus):
            continue
        yield Finding(CODE, SEVERITY, f"relay {relay.id} has a diode across its coil, cathode at 86, and the supply comes to {plus}: the diode conducts{_blows(subject, fed, plus)}",
                      relay.source.place_of("suppression"), f"exchange the wires{_wires(subject, plus, minus)}: the supply to {minus}, the command or ground to {plus};\n"
                      "or a relay with a resistor across its coil (`suppression: resistor`), for which it does not matter", at=(relay.id, plus, minus), origin="common practice")
    across = {}
    for taker in takers(harness) if diodes else ():
        ends = tuple(subject.network.island_of[end] for end in (taker.a, taker.b))
        across.setdefault(frozenset(ends), taker)
    for diode in diodes:
        anode, cathode = (f"{diode.id}.{name}" for name in ("A", "K"))
        taker = across.get(frozenset((subject.network.island_of[anode], subject.network.island_of[cathode])))
        if taker is None or subject.network.island_of[anode] == subject.network.island_of[cathode] or not _is_plus(subject, fed, returned, anode, cathode):
            continue
        yield Finding(CODE, SEVERITY, f"diode {diode.id} lies across the {taker.words} with its anode, {anode}, at the supply: it conducts{_blows(subject, fed, anode)}",
                      diode.source.place(), f"turn it round: {cathode} to the supply, {anode} to the other side", (Related(taker.source.place(), f"{taker.id} stands here"),),
                      at=(diode.id, taker.id), origin="common practice")


def _is_plus(subject: Subject, fed: Reached, returned: Reached, a: str, b: str) -> bool:
    """Whether the supply comes to ``a`` alone of two ends, and ``b`` alone is what is grounded."""
    def comes(reached: Reached, end: str) -> bool:
        return _comes(subject, reached, end, {a, b})

    return comes(fed, a) and not comes(fed, b) and not comes(returned, a) and (comes(returned, b) or _is_low(subject, b))


def _comes(subject: Subject, reached: Reached, end: str, ends: set[str]) -> bool:
    """Whether an end is reached otherwise than over a diode between these very two."""
    island_of, point = subject.network.island_of, subject.ways.point(end)
    islands = {island_of[one] for one in ends}
    return point in reached and not any(way.kind == "diode" and {island_of[way.a], island_of[way.b]} == islands for way in reached.way(point))


def _is_low(subject: Subject, end: str) -> bool:
    """Whether an output that closes to ground is on its copper."""
    return any((kind := signals().get(subject.harness.contacts[address].signal)) is not None and kind.drive == "low" and kind.direction == "out"
               for address in subject.members(subject.network.island_of[end]))


def _blows(subject: Subject, fed: Reached, end: str) -> str:
    fuse = last_fuse(fed.way(subject.ways.point(end)))
    return f", fuse {fuse} feeds a short circuit" if fuse else ", and is a short circuit"


def _wires(subject: Subject, plus: str, minus: str) -> str:
    wires = [id for end in (plus, minus) for id in subject.harness.wires_at.get(end, ())]
    return f" {' and '.join(wires)}" if wires else ""
