"""A starter that turns in gear: no neutral or clutch contact in its command.

What it checks: from the start contact of the key switch to the starter solenoid, or to the coil of the relay that feeds it and on to
ground, over every way: that a contact which closes only in neutral or with the clutch down lies in it, or that a control
unit's start output commands it.

Why it matters: the key is turned and the vehicle jumps forward, through whoever stands before it. In merges the switch stays
with the donor and the two ends of its plug are bridged.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 50], closes: {start: [[S1.30, S1.50]]}}
      M1: {title: starter solenoid, terminals: [50, case], between: [M1.50, M1.case], solenoid: {winding: 1 ohm, pull-in: 7.5 V, release: 3 V}}
    cavities:
      M1.50: {signal: starter-control}  # here
    fuses:
      F1: {rating: 30 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 4 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: S1.50, to: M1.50, size: 4 mm2, colour: WH, type: TXL, length: 300 mm}
      4: {from: M1.case, to: G1.-, size: 4 mm2, colour: BK, type: TXL, length: 300 mm}

What it says:

    starter solenoid M1 turns the engine in gear: from the key's start contact S1.50 by wire 3 to M1.50, and no neutral or clutch
    contact lies in it or in its ground

The fix: The neutral or clutch switch in series, in the feed of the coil or in its ground.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 50], closes: {start: [[S1.30, S1.50]]}}
      S3: {title: clutch switch, terminals: [1, 2], closes: {pressed: [[S3.1, S3.2]]}}
      M1: {title: starter solenoid, terminals: [50, case], between: [M1.50, M1.case], solenoid: {winding: 1 ohm, pull-in: 7.5 V, release: 3 V}}
    cavities:
      M1.50: {signal: starter-control}
      S3.1: {signal: interlock}
    fuses:
      F1: {rating: 30 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 4 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 4 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: S1.50, to: S3.1, size: 4 mm2, colour: WH, type: TXL, length: 300 mm}
      4: {from: M1.case, to: G1.-, size: 4 mm2, colour: BK, type: TXL, length: 300 mm}
      5: {from: S3.2, to: M1.50, size: 4 mm2, colour: WH, type: TXL, length: 300 mm}

Limits and source: common practice, makers' start circuits. The solenoid is known by `signal: starter-control`, an interlock by `signal: interlock`
on one of its contacts or by a title that says clutch, neutral or park. Whether the switch itself is bridged nobody can read here: turn
the key in gear with the coil wires off.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..joined import device_of
from ..lack import Lack
from ..pins import pins_by_device
from ..uncontrolled import Uncontrolled, uncontrolled
from ..way_words import in_words, names

if TYPE_CHECKING:
    from ...model.harness import Harness
    from ...network.ways import Way
    from ..subject import Subject

CODE = "starter-without-interlock"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = (7,)
_SAYS = ("clutch", "neutral", "park", "parking", "gear")
_NOT = ("relay", "brake")
_START = "start"
_MOST_NAMED = 6


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness, ways = subject.harness, subject.ways
    coils = [address for address, contact in harness.contacts.items() if contact.signal == "starter-control"]
    starts = _start_contacts(subject)
    if not coils or not starts:
        if coils or starts:
            yield Lack(CODE, "", "`signal: starter-control` to the solenoid terminal of the starter" if starts else "the key switch with what it closes in `start`")
        return
    interlocks = _interlocks(harness)
    commanded = _in_start(subject, starts, interlocks)
    idle = _left_out(subject, coils, starts)
    for address in coils:
        point = ways.point(address)
        if point not in commanded.live:
            # the relay that feeds it, where the key commands that
            relay = next((way for way in _feeding(subject, point, interlocks) if way.thing in commanded.relays), None)
            if relay is None:
                if idle:
                    yield _not_in_the_chain(subject, idle, address)
                continue
            yield _finding(subject, commanded, starts, f"{relay.thing}.86" if ways.point(f"{relay.thing}.86") in commanded.live else f"{relay.thing}.85", relay.thing, address)
        elif _is_grounded(subject, commanded, address):
            yield _finding(subject, commanded, starts, address, "", address)
        elif idle:
            yield _not_in_the_chain(subject, idle, address)


def _left_out(subject: Subject, coils: list[str], starts: list[str]) -> list[str]:
    """Contacts that say they are an interlock and are wired to nothing; [] where another one is wired."""
    contacts = [contact.address for contact in subject.harness.contacts.values() if contact.signal == "interlock"]
    return contacts if contacts and not any(subject.harness.wires_at.get(address) for address in contacts) else []


def _not_in_the_chain(subject: Subject, idle: list[str], address: str) -> Finding:
    from ...operation.words import listed

    contact = subject.harness.contacts[idle[0]]
    owner = device_of(subject.harness, contact) or contact.owner
    pulled = next((way.thing for way in _feeding(subject, subject.ways.point(address), frozenset())), "")
    coil = [f"wire {wire}" for end in ("86", "85") for wire in subject.harness.wires_at.get(f"{pulled}.{end}", ())]
    return Finding(CODE, SEVERITY, f"the interlock {listed(idle)} ({contact.function or 'interlock'}) is wired to nothing: the starter at {address} turns without it, in gear too", contact.source.place(),
                   f"lead the wire from the key's start contact through {listed(idle)}, into the coil of the start relay{f' {pulled}' if pulled else ''}",
                   at=(idle[0], owner, *idle[1:], *([pulled] if pulled else []), *coil, address), origin="makers' start circuits")


def _start_contacts(subject: Subject) -> list[str]:
    """The contacts of the key switch that are live in start alone: not those that it closes in run too, nor its supply."""
    key = subject.harness.devices.get(subject.harness.key_switch or "")
    if key is None or _START not in key.closes:
        return []
    others = {end for position, pairs in key.closes.items() if position != _START for pair in pairs for end in pair}
    shared = [end for pair in key.closes[_START] for end in pair]
    return [end for end in dict.fromkeys(shared) if end not in others and shared.count(end) == 1 and not _is_supply(subject, end)]


def _is_supply(subject: Subject, end: str) -> bool:
    """Whether the battery reaches it with the key taken out."""
    key = subject.harness.key_switch or ""
    return subject.ways.point(end) in subject.ways.reach_over(subject.ways.plus, ("wire", "fuse", "fusible link"), (key,))


def _in_start(subject: Subject, starts: list[str], interlocks: frozenset[str]) -> Uncontrolled:
    """What the start contact feeds, and which relays it can pull in, without an interlock."""
    return uncontrolled(subject.ways, lambda way: way.kind == "switch" and way.thing in interlocks, starts, (subject.harness.key_switch or "",))


def _interlocks(harness: Harness) -> frozenset[str]:
    found = set()
    for id, pins in pins_by_device(harness).items():
        device = harness.devices[id]
        if not device.closes or id == harness.key_switch:
            continue
        words = set(" ".join((device.title, *(pin.function for pin in pins))).casefold().replace("/", " ").split())
        if any(pin.signal == "interlock" for pin in pins) or (words & set(_SAYS) and not words & set(_NOT)):
            found.add(id)
    return frozenset(found)


def _feeding(subject: Subject, point: str, interlocks: frozenset[str]) -> list[Way]:
    """The contacts of relays that feed a point over wires, fuses and switches that are no interlock."""
    ways = subject.ways
    reached = ways.reach([point], lambda way, here: way.kind in ("wire", "fuse", "fusible link") or (way.kind == "switch" and way.thing not in interlocks | {subject.harness.key_switch or ""})
                         and ways.beyond(way, here) not in ways.plus)
    return [way for here in reached.before for way in ways.at.get(here, ()) if way.kind == "relay" and ways.point(way.b) == here and way.position != "87a"]


def _is_grounded(subject: Subject, commanded: Uncontrolled, solenoid: str) -> bool:
    """Whether the other end of the winding is at ground for good; where it is not said it is, as the case of a starter is."""
    ways = subject.ways
    point = ways.point(solenoid)
    ends = [ways.beyond(way, point) for way in ways.at.get(point, ()) if way.kind == "load" and solenoid in (way.a, way.b)]
    return not ends or any(end in commanded.grounded for end in ends)


def _finding(subject: Subject, commanded: Uncontrolled, starts: list[str], coil: str, relay: str, solenoid: str) -> Finding:
    harness, ways = subject.harness, subject.ways
    way = commanded.live.way(ways.point(coil))
    owner = harness.contacts[solenoid].owner
    connector = harness.connectors.get(owner)
    device = harness.devices.get((connector.device or "") if connector else owner)
    title = f"{device.title} {device.id}".strip() if device else solenoid
    by = f"{in_words(way, _MOST_NAMED)} to {coil}" if way else f"copper to {coil}"
    start = next((start for start in starts if ways.point(start) in {ways.point(way[0].a), ways.point(way[0].b)}), starts[0]) if way else starts[0]
    through = f", relay {relay}" if relay else ""
    contact = harness.contacts[solenoid]
    place = harness.parts[relay].source.place() if relay else contact.source.place()
    other = f"{relay}.{'85' if coil.endswith('86') else '86'}" if relay else ""
    ground = f", or between {other} and ground" if relay else ""
    last = f"{in_words(way[-1:], 1)} and {coil}" if way else coil
    return Finding(CODE, SEVERITY, f"{title} turns the engine in gear: from the key's start contact {start} by {by}{through}, and no neutral or clutch contact lies in it or in its ground",
                   place, f"the neutral or clutch switch (`signal: interlock` on its contacts) between {last}{ground}",
                   (Related(contact.source.place(), f"{solenoid} is the solenoid of the starter"),) if relay else (),
                   at=tuple(dict.fromkeys((*((relay,) if relay else ()), solenoid, *((device.id,) if device else ()), *names(way)))), origin="common practice")
