"""What is measured before and at first power, step by step, with what each measurement is to give.

Takes an Operation; gives Steps in the order in which they are done: ohms with the battery off,
fuse after fuse, control units off their plugs, then plugged in, cranking, running, and the key
turned off while the engine runs. Contacts of airbag circuits are in none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..model.electric import Alternator, Engine, Load
from ..model.electric_words import KEY_OFF
from ..model.given import lamp_cold_ohm, nominal_v, relay_given
from ..model.harness import Kind
from ..network.islands import Network
from ..operation.columns import RUN, RUNNING, START, column
from ..operation.ohms import ohms_between
from ..operation.operate import Operation, Solved
from ..operation.report import NoReading, readings_of
from ..operation.states import case_in_words, held_in_words, name_of
from ..operation.words import amps_shown, ohms_shown, volts_shown
from ..trade.signals import signals
from .first_power import FirstPower, first_power
from .unplugged import control_units, feed_pins, loaded_feeds, starters

OHMS, AMPS, VOLTS = "ohm", "current", "volts"
NO_READING, PUMP_RUNS = "no reading", "2 to 3 s on, then off"
DEAD_V = 1.0
"""With more than this a control unit or relay may stay awake: common practice, from memory."""
_SENSORS = (("reference-5v", "reference-sensor"), ("ground-sensor",))
_SWITCHED = ("feed-switched", "feed-run", "feed-relay", "feed-accessory", "feed-start", "input-wake", "source-switched")


@dataclass(frozen=True, slots=True)
class Point:
    """A measurement.

    at:      address, fuse or relay
    against: the other lead where it is not on battery minus
    expect:  as printed; volts: its value where it is one of volts that was read, None where it floats
    """

    at: str
    against: str
    what: str
    expect: str
    volts: float | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """Measurements made in one condition; kind: OHMS, AMPS or VOLTS; once: made before a harness has power for the first time, and not again."""

    title: str
    condition: str
    kind: str
    points: tuple[Point, ...]
    once: bool = False


def steps(operation: Operation, network: Network) -> tuple[Step, ...]:
    """Those that have anything to measure."""
    power = first_power(operation)
    made = (
        Step("Ohms of parts", "Battery off, each part and relay off its plug, the meter at the part itself, cold.", OHMS, tuple(_parts(operation))),
        Step("Ohms of the CAN pair", "Battery off, everything plugged in.", OHMS, tuple(_buses(operation, network))),
        Step("No short before power", "Battery off, all fuses and relays out, everything off its plug or stud; from the load side of each fuse to battery minus.", OHMS, tuple(_shorts(operation, power)), once=True),
        Step("First power, key off", "All plugged in. Battery joined through a lamp of 21 W or a fuse of 5 to 10 A in series, all fuses out; then one fuse after another in this order, "
             "and the current once each is in. The lamp stays dark or glows: bright is a short behind the last fuse.", AMPS, tuple(_fuses(operation, power)), once=True),
        *_unplugged(operation),
        *_plugged(operation),
    )
    return tuple(step for step in made if step.points)


# ----------------------------------------------------------------------------- battery off

def _parts(operation: Operation) -> Iterator[Point]:
    harness, off = operation.wiring.harness, operation.wiring.nodes.off
    for device in harness.devices.values():
        own = [("", device.load, device.between)] if device.load and device.between else []
        for name, load, between in (*own, *((name, entry.load, entry.between) for name, entry in device.loads.items() if not entry.closed_by)):
            words = _cold(load)
            if words and not off.intersection(between):
                yield Point(between[0], between[1], ", ".join(filter(None, (device.title, name))), words)
    for part in harness.parts.values():
        if part.kind == "relay" and not off.intersection(f"{part.id}.{name}" for name in part.terminals):
            given = relay_given(part, nominal_v(harness))
            beside = given.suppression_ohm.value if given.suppression == "resistor" and given.suppression_ohm else None
            ohm = given.coil_ohm.value if beside is None else 1 / (1 / given.coil_ohm.value + 1 / beside)
            typical = given.coil_ohm.typical or (beside is not None and given.suppression_is_typical)
            what = f"relay coil{', with the resistor beside it' if beside else ''}"
            yield Point(f"{part.id}.86", f"{part.id}.85", what, ohms_shown(ohm) + (" (typical)" if typical else ""))


def _cold(load: Load) -> str:
    """What a meter shows across a load that is cold; "" where nothing says."""
    rating = load.rating
    if load.kind == "motor":
        return ohms_shown(load.stalled.value) if load.stalled else ""
    if rating is None:
        return ""
    if load.kind == "lamp":
        cold = lamp_cold_ohm(load)
        return f"{ohms_shown(cold.value)} (typical)" if cold else ""
    if rating.to is not None:
        return " to ".join(ohms_shown(value) for value in sorted((rating.value.value, rating.to.value)))
    return f"{'at most ' if load.kind == 'heater' else ''}{ohms_shown(rating.ohm)}"


def _buses(operation: Operation, network: Network) -> Iterator[Point]:
    """A pair of CAN islands is measured once, where it can be got at: at a connector that holds no terminating resistor if there is one."""
    wiring = operation.wiring
    harness = wiring.harness
    pairs: dict[tuple[int, int], list[tuple[str, str]]] = {}
    lows = {contact.owner: contact.address for contact in harness.contacts.values() if contact.signal == "can-low"}
    for contact in harness.contacts.values():
        if contact.signal == "can-high" and (low := lows.get(contact.owner)):
            pairs.setdefault((network.island_of[contact.address], network.island_of[low]), []).append((contact.address, low))
    ends = {address for load in wiring.loads for address in (load.a, load.b)}
    for found in pairs.values():
        high, low = min(found, key=lambda pair: pair[0] in ends)
        ohm = ohms_between(operation, high, low)
        if ohm is not None:
            yield Point(high, low, "CAN high to CAN low", ohms_shown(ohm))


def _shorts(operation: Operation, power: FirstPower | None) -> Iterator[Point]:
    for fuse in power.fuses if power else ():
        if fuse.far:
            yield Point(fuse.far, "", _fused(operation, fuse.fuse), NO_READING)


# ----------------------------------------------------------------------------- first power

def _fuses(operation: Operation, power: FirstPower | None) -> Iterator[Point]:
    if power is None or not power.fuses:
        return
    yield Point("", "", "all fuses out", amps_shown(power.none_a))
    for fuse in power.fuses:
        yield Point(fuse.fuse, "", _fused(operation, fuse.fuse), amps_shown(fuse.after_a))


def _fused(operation: Operation, fuse: str) -> str:
    part = operation.wiring.harness.parts[fuse]
    return ", ".join(filter(None, (part.title, f"{part.rating.stated}" if part.rating else "")))


def _unplugged(operation: Operation) -> Iterator[Step]:
    loose = ", the starter's trigger wire off" if starters(operation) else ""
    for head in (RUN, START):
        solved = column(operation, head)
        volts = loaded_feeds(operation, solved.case) if solved else {}
        yield Step(f"Key {head}, control units off their plugs", f"A lamp of 5 W from each pin to battery minus{loose}{_switches(operation, solved)}. All else plugged in, fuses and relays in.", VOLTS,
                   tuple(Point(address, "", _what(operation, address), volts_shown(value), value) for address, value in volts.items()))


# ------------------------------------------------------------------------------- plugged in

def _plugged(operation: Operation) -> Iterator[Step]:
    harness = operation.wiring.harness
    contacts = harness.contacts.values()
    alternators = [device for id in harness.supplies if isinstance((device := harness.devices[id]).supply, Alternator)]
    lamps = [device.supply.charge_lamp for device in alternators if isinstance(device.supply, Alternator) and device.supply.charge_lamp]
    positive = [device.between[0] for id in harness.supplies if (device := harness.devices[id]).between]
    grounds = [contact.address for contact in contacts if contact.kind is Kind.GROUND]
    turned = [end for id in starters(operation) for entry in harness.devices[id].loads.values() if entry.closed_by for end in entry.between]
    pins = [pin for id in control_units(operation) for pin in operation.wiring.units[id].pins]
    sensed = [pin.address for kinds in _SENSORS for pin in pins if pin.signal in kinds]

    run = column(operation, RUN)
    pumps = [Point(address, "", _what(operation, address), PUMP_RUNS) for address in _wired(operation, (pin.address for pin in pins if pin.signal == "output-fuel-pump"))]
    yield Step("Key run, plugged in", "From behind the plugs; references and sensor grounds first.", VOLTS,
               (*_read(operation, run, (*sensed, *feed_pins(operation), *lamps)), *(pumps if run else ())))
    start = column(operation, START)
    if start and turned:
        yield Step("Cranking", f"{_sentence(operation, start)}.", VOLTS, tuple(_read(operation, start, (*positive[:1], *turned, *feed_pins(operation), *grounds))))
    if alternators:
        running = column(operation, RUNNING)
        if running:
            yield Step("Running", f"{_sentence(operation, running)}.", VOLTS, tuple(_read(operation, running, (*positive, *lamps, *grounds))))
        off = operation.solved.get(name_of(KEY_OFF, Engine.RUNNING))
        switched = [contact.address for contact in contacts if contact.signal in _SWITCHED]
        yield Step("Key off while the engine runs", f"The engine stops within a second. What is more than {DEAD_V:g} V here is fed backwards while the engine still turns, and may hold a relay or a control unit in.", VOLTS,
                   tuple(_read(operation, off, switched)))


def _switches(operation: Operation, solved: Solved | None) -> str:
    """``; clutch pedal switch S3 pressed``: what is held besides the key."""
    held = ", ".join(held_in_words(operation.wiring.harness, solved.case)) if solved else ""
    return f"; {held}" if held else ""


def _sentence(operation: Operation, solved: Solved) -> str:
    words = case_in_words(operation.wiring.harness, solved.case)
    return words[0].upper() + words[1:]


def _read(operation: Operation, solved: Solved | None, addresses: Iterable[str]) -> Iterator[Point]:
    if solved is None or solved.solution is None:
        return
    for one in readings_of(operation, solved, dict.fromkeys(_wired(operation, addresses)), None):
        volts = None if isinstance(one.shown, NoReading) else one.shown
        if one.shown not in (NoReading.PULSED, NoReading.UNSAID):
            yield Point(one.address, "", _what(operation, one.address), volts_shown(volts), volts)


def _wired(operation: Operation, addresses: Iterable[str]) -> Iterator[str]:
    wiring = operation.wiring
    return (address for address in addresses if address in wiring.nodes.of and address not in wiring.nodes.off and wiring.harness.wires_at.get(address))


def _what(operation: Operation, address: str) -> str:
    harness = operation.wiring.harness
    contact = harness.contacts[address]
    if contact.function:
        return contact.function
    owner = harness.grounds.get(contact.owner) or harness.devices.get(contact.owner) or harness.connectors.get(contact.owner)
    kind = signals().get(contact.signal)
    return (owner.title if owner else "") or (kind.words if kind else "")
