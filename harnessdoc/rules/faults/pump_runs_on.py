"""A fuel pump that runs on when the engine stands or the vehicle has crashed.

What it checks: from every fuel pump back to the battery and on to ground, over every switch and relay in whatever position
helps and the coils of those relays: that no way is there without an output of a control unit, an oil pressure contact
or a crash switch in it. The relay by which a control unit feeds itself is none: it is in as long as the key is on.

Why it matters: after a crash, or a stall on the roof, the key is still on. A pump that nothing but the key commands goes on
pumping fuel through the torn line onto the hot exhaust.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 15], closes: {run: [[S1.30, S1.15]]}}
      M3: {title: fuel pump, terminals: [1, 2], between: [M3.1, M3.2], motor: 6 A at 12 V}
    cavities:
      M3.1: {signal: fuel-pump}  # here
    fuses:
      F1: {rating: 15 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 2.5 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: S1.15, to: M3.1, size: 2.5 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: M3.2, to: G1.-, size: 2.5 mm2, colour: BK, type: TXL, length: 500 mm}

What it says:

    fuel pump M3 runs whenever S1 is at run, by wire 1, fuse F1, wire 2, switch S1 and wire 3: no control unit,
    oil pressure contact or crash switch can stop it

The fix: The control unit's fuel pump output at the coil of a relay in its feed; without one a crash switch, or an oil
pressure contact with a bypass for starting.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 15], closes: {run: [[S1.30, S1.15]]}}
      S9: {title: crash switch, terminals: [1, 2], closes: {whole: [[S9.1, S9.2]]}, rest: whole}
      M3: {title: fuel pump, terminals: [1, 2], between: [M3.1, M3.2], motor: 6 A at 12 V}
    cavities:
      M3.1: {signal: fuel-pump}
      S9.1: {signal: crash-switch}
    fuses:
      F1: {rating: 15 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 2.5 mm2, colour: RD, type: TXL, length: 500 mm}
      3: {from: S1.15, to: S9.1, size: 2.5 mm2, colour: GN, type: TXL, length: 500 mm}
      4: {from: M3.2, to: G1.-, size: 2.5 mm2, colour: BK, type: TXL, length: 500 mm}
      5: {from: S9.2, to: M3.1, size: 2.5 mm2, colour: GN, type: TXL, length: 500 mm}

Limits and source: common practice. A pump is known by `signal: fuel-pump`, a crash switch by `signal: crash-switch` on one of its contacts, an oil
pressure switch by its title. Whether the control unit does stop the pump is its own affair.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..pins import pins_by_device
from ..uncontrolled import uncontrolled
from ..way_words import in_words, names, switched_by

if TYPE_CHECKING:
    from ...model.harness import Harness
    from ...network.ways import Way
    from ..subject import Subject

CODE = "pump-runs-on"
SEVERITY = Severity.HAZARD
ASKS = "copper"
MODES = (59,)
_OIL = "oil"
_MOST_NAMED = 6


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness, ways = subject.harness, subject.ways
    pumps = {id: [pin.address for pin in pins if pin.signal == "fuel-pump"] for id, pins in pins_by_device(harness).items()}
    pumps = {id: pins for id, pins in pumps.items() if pins}
    if not pumps:
        return
    if not ways.plus:
        yield Lack(CODE, "", "the battery, or `signal: source-battery` where it feeds the harness")
        return
    controls = _controls(harness)
    found = uncontrolled(ways, lambda way: way.kind == "switch" and way.thing in controls, pulled_in=_main_relays(subject))
    crash = [id for id in sorted(controls) if any(pin.signal == "crash-switch" for pin in pins_by_device(harness)[id])]
    past = ways.reach_over(ways.plus, ("wire", "fuse", "fusible link", "switch", "relay"), crash) if crash else None
    for id, pins in pumps.items():
        device = harness.devices[id]
        feed = next((pin for pin in pins if ways.point(pin) in found.live), None)
        if feed is None and past is not None and (fed := next((pin for pin in pins if ways.point(pin) in past), None)):
            yield _past_the_crash_switch(subject, id, fed, crash[0], past.way(ways.point(fed)))
            continue
        pair = device.between or next((load.between for load in device.loads.values() if feed in load.between), None)
        back = [end for end in pair if end != feed] if pair and feed in pair else [pin for pin in pins if pin != feed]
        if feed is None or (back and not any(ways.point(end) in found.grounded for end in back)):
            continue
        way = found.live.way(ways.point(feed))
        title = f"{device.title} {id}".strip()
        when = switched_by(subject, way)
        yield Finding(CODE, SEVERITY, f"{title} runs {when}, by {in_words(way, _MOST_NAMED)}: no control unit, oil pressure contact or crash switch can stop it",
                      harness.contacts[feed].source.place(),
                      f"the fuel pump output of the control unit at the coil of a relay in its feed; without a control unit a crash switch (`signal: crash-switch`) between {in_words(way[-1:], 1)} and {feed}",
                      (Related(device.source.place(), f"{title} stands here"),), at=(id, feed, *names(way)), origin="common practice")


def _past_the_crash_switch(subject: Subject, id: str, feed: str, crash: str, way: tuple[Way, ...]) -> Finding:
    harness, device = subject.harness, subject.harness.devices[id]
    title, switch = f"{device.title} {id}".strip(), f"{harness.devices[crash].title} {crash}".strip()
    last = in_words(way[-1:], 1)
    return Finding(CODE, SEVERITY, f"{title} is fed past {switch}, by {in_words(way, _MOST_NAMED)}: it goes on after a crash", harness.contacts[feed].source.place(),
                   f"lead {last} through {crash}: its two contacts into the feed of {id}", (Related(harness.devices[crash].source.place(), f"{switch} stands here"),),
                   at=(id, feed, crash, *names(way)), origin="common practice")


def _main_relays(subject: Subject) -> frozenset[str]:
    """The relays by which control units feed themselves: they stay in as long as the key is on, whatever the engine does."""
    ways = subject.ways
    fed = [address for address, contact in subject.harness.contacts.items() if contact.signal == "feed-relay"]
    reached = ways.reach_over(fed, ("wire", "fuse", "fusible link"))
    return frozenset(way.thing for point in reached.before for way in ways.at.get(point, ()) if way.kind == "relay" and way.position != "87a" and ways.point(way.b) == point)


def _controls(harness: Harness) -> frozenset[str]:
    """The switches that open in a crash or when the engine stands."""
    found = {id for id, pins in pins_by_device(harness).items() if harness.devices[id].closes and any(pin.signal == "crash-switch" for pin in pins)}
    return frozenset(found | {id for id, device in harness.devices.items() if device.closes and _OIL in device.title.casefold().split()})
