"""A feed that the engine needs is live with the key at run and dead while the engine is cranked.

What it checks: for the feeds and the wake input of control units, and the feeds of ignition
coils, injectors, fuel pump and stop solenoid: whether the source that reaches them in run
reaches them while the key is held at start. It follows the feed through fuses and relays to the
contact that opens.

Why it matters: the key switch lets go of accessory, and often of a second run terminal, while it
cranks. The engine turns and does not fire; it catches, if at all, when the key is let back.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 15, 75, 50], closes: {accessory: [[S1.30, S1.75]], run: [[S1.30, S1.75], [S1.30, S1.15]], start: [[S1.30, S1.15], [S1.30, S1.50]]}}
      U1: {title: engine control unit, terminals: [1, 2, 3]}
    cavities:
      U1.1: {function: ignition, signal: feed-switched, draws: 2 A}
      U1.2: {signal: ground-power}
      U1.3: {signal: output-injector}
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 2.5 mm2, colour: RD, type: TXL, length: 1 m}
      3: {from: S1.75, to: U1.1, size: 2.5 mm2, colour: GN, type: TXL, length: 1 m}  # here
      4: {from: U1.2, to: G1.-, size: 2.5 mm2, colour: BK, type: TXL, length: 1 m}

What it says:

    dead while the engine is cranked: U1.1 (engine control unit, ignition), 12.5 V in state 'run, stopped',
    0.0 V in 'start, cranking'; key switch S1 opens S1.30 to S1.75 at start

The fix: Feed it from a terminal of the key switch that is live in run and in start.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      S1: {title: key switch, terminals: [30, 15, 75, 50], closes: {accessory: [[S1.30, S1.75]], run: [[S1.30, S1.75], [S1.30, S1.15]], start: [[S1.30, S1.15], [S1.30, S1.50]]}}
      U1: {title: engine control unit, terminals: [1, 2, 3]}
    cavities:
      U1.1: {function: ignition, signal: feed-switched, draws: 2 A}
      U1.2: {signal: ground-power}
      U1.3: {signal: output-injector}
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 2.5 mm2, colour: RD, type: TXL, length: 1 m}
      3: {from: S1.15, to: U1.1, size: 2.5 mm2, colour: GN, type: TXL, length: 1 m}
      4: {from: U1.2, to: G1.-, size: 2.5 mm2, colour: BK, type: TXL, length: 1 m}

Limits and source: common practice: key switches have terminals that are dead in start, and makers' key tables
say which. Compared are the states of driving order, other switches at rest. What an output turns on in run
only is stated so and not told. A control unit is known by its outputs or its 5 V reference.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity

if TYPE_CHECKING:
    from ...judgement.cranked import Lost
    from ...model.harness import Harness
    from ..subject import Subject

CODE = "feed-lost-in-start"
SEVERITY = Severity.DAMAGE
ASKS = "solved"
MODES = (11,)
_OF_UNIT = ("feed-constant", "feed-switched", "feed-run", "feed-relay", "input-wake")
_OF_ENGINE = ("injector", "ignition-primary", "fuel-pump", "stop-solenoid")


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ...judgement.cranked import lost_in_start

    by_contact: dict[str, list[Lost]] = {}
    for lost in lost_in_start(subject.operation, _pins(subject)):
        by_contact.setdefault(lost.contact, []).append(lost)
    for together in by_contact.values():
        yield _told(subject, together)


def _pins(subject: Subject) -> list[str]:
    """What the engine needs to fire, in the order of the description."""
    from ..pins import control_units, pins_by_device

    assert subject.operation is not None
    harness, units, off = subject.harness, control_units(subject.harness), subject.operation.wiring.nodes.off
    wanted = [pin.address for pins in units.values() for pin in pins if pin.signal in _OF_UNIT]
    for id, pins in pins_by_device(harness).items():
        is_coil = any(pin.signal == "input-ignition-trigger" for pin in pins) and id not in units
        wanted += [pin.address for pin in pins if pin.signal in _OF_ENGINE or (is_coil and pin.signal in _OF_UNIT)]
    return [address for address in harness.contacts if address in set(wanted) - off]


def _told(subject: Subject, together: list[Lost]) -> Finding:
    from ...operation.words import listed
    from ..named import name_of

    assert subject.operation is not None
    harness, catalogue, first = subject.harness, subject.operation.wiring.catalogue, together[0]
    entry = catalogue[first.contact]
    device = harness.devices.get(name_of(entry))
    opens = f"{device.title} {device.id}".strip() if device else entry.words
    by = "".join(f", {relay} drops out" for relay in reversed(first.relays))
    pins = listed([f"{lost.pin} ({', '.join(filter(None, (_title(harness, lost.pin), harness.contacts[lost.pin].function)))})" for lost in together])
    start_v = f"{round(first.start_v, 1) + 0:.1f} V"     # never -0.0
    message = (f"dead while the engine is cranked: {pins}, {first.run_v:.1f} V in state '{first.run}', {start_v} in '{first.start}'; "
               f"{opens} opens {entry.a} to {entry.b} at start{by}")
    wire = harness.wires.get(first.wire)
    do = _do(harness, name_of(entry), f"wire {first.wire}" if wire else listed([lost.pin for lost in together]), first.terminal or entry.b)
    place = wire.source.place_of("from" if wire.from_ == first.terminal else "to") if wire else entry.source.place()
    related = (Related(entry.source.place(), f"{opens} opens there"), *(Related(harness.contacts[lost.pin].source.place(), f"{lost.pin} is dead then") for lost in together))
    at = (*([f"wire {wire.id}"] if wire else ()), *(lost.pin for lost in together), name_of(entry), *(relay.rpartition(" ")[2] for relay in first.relays))
    return Finding(CODE, SEVERITY, message, place, do, related, at=tuple(dict.fromkeys(at)), state=first.start, value=start_v,
                   limit="live in run and in start", origin="common practice")


def _title(harness: Harness, pin: str) -> str:
    owner = harness.contacts[pin].owner
    connector = harness.connectors.get(owner)
    device = harness.devices.get((connector.device or "") if connector else owner)
    return (device.title or device.id) if device else owner


def _do(harness: Harness, switch: str, what: str, terminal: str) -> str:
    """Where else to take the feed from: a terminal that the key switch closes in run and in start."""
    device = harness.devices.get(switch)
    if device is None:
        return f"feed {what} so that {switch} does not open it while the engine is cranked"
    both = [pair for pair in device.closes.get("run", ()) if pair in device.closes.get("start", ())]
    if both:
        far = [b for _, b in both]
        return f"move {what} from {terminal} to {' or '.join(dict.fromkeys(far))}, which {switch} closes in run and in start"
    ends = [pairs[0][1] for position in ("run", "start") if (pairs := device.closes.get(position, ()))]
    return f"no contact of {switch} is closed in run and in start: feed {what} through a diode each from {' and '.join(ends)}, cathodes joined at {what}"
