"""Write the description of a vehicle of any size with its electric side, for benchmarks and random tests.

Takes the number of wires and a seed; gives the text of one YAML file. The same arguments
give the same text. For n wires, exactly so many of them:

- a battery, an alternator with its charge lamp, a key switch; n/400 boxes, each fed
  through a fusible link and with a relay that the key pulls in;
- n/40 fuses and n/60 relays, those of key and boxes among them; n/20 loads (lamps,
  motors, heaters, valves, clutches), the charge lamp among them, senders besides;
- n/50 grounds, the studs of the straps from battery minus to engine and body among them;
- systems of about 40 wires, one to every fuse that is left: a feed from the bar of its
  box through fuse and relay or switch, an in-line connector, splices, loads, ground,
  a switch, here and there a diode, sensors;
- control units for three systems each: they command relays, drive loads and read switches and sensors;
- about n/10 segments.

Two states are named: the key on, and everything on. In one of them each load has a closed
path, through a fuse. Every wire behind a fuse fits its rating and no fuse is loaded beyond
0.7 of it; battery, alternator and straps grow with the vehicle. There is no starter: its
main cable has no fuse.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

from benchmarks.generate import share
from benchmarks.writer import ControlUnit, InLine, Writer

LEAST_WIRES, MOST_WIRES = 200, 20_000   # fewer leave no system its wires; more do not fit into one file of 5 MB

SIZE_BEHIND = {5: "0.5 mm2", 7.5: "0.85 mm2", 10: "1 mm2", 15: "2.5 mm2", 20: "4 mm2", 25: "6 mm2", 30: "6 mm2"}
"""Rating of a fuse in A -> size of every wire behind it: AC 43.13-1B table 11-3, the row of the next smaller area."""
MOST_OF_FUSE = 0.7                      # what a fuse carries for good, of its rating: one truck maker's table
UNIT_A, COIL_A, CHARGE_LAMP_A = 0.3, 0.17, 0.2
UNIT_WIRES = 3
SYSTEMS_A_UNIT = 3
METAL = {"engine": "engine", "cabin": "body", "wet": "body"}
"""Zone of a system -> the metal of its ground."""
NAMES = ("lighting", "heating", "cooling", "wiping", "pumping", "ventilation", "signalling", "trailer", "loading", "seats")


@dataclass(frozen=True, slots=True)
class Load:
    """What is fed. letter: of its device; kind: the key that holds ``value``; current_a: at 12 V."""

    letter: str
    title: str
    kind: str
    value: str
    signal: str
    current_a: float


SMALL_LOADS = (
    Load("H", "marker lamp", "lamp", "5 W at 12 V", "lamp", 0.42),
    Load("H", "indicator lamp", "lamp", "10 W at 12 V", "lamp", 0.83),
    Load("Y", "valve", "solenoid", "26 ohm", "solenoid", 0.46),
    Load("Y", "lock", "solenoid", "{winding: 16 ohm, pull-in: 7 V, release: 2 V}", "solenoid", 0.75),
)
"""What an output of 1 A carries."""
LOADS = (
    *SMALL_LOADS,
    Load("H", "work lamp", "lamp", "21 W at 12 V", "lamp", 1.75),
    Load("H", "driving lamp", "lamp", "55 W at 12 V", "lamp", 4.58),
    Load("M", "pump", "motor", "{running: 3 A at 12 V, stalled: 0.7 ohm}", "motor", 3.0),
    Load("M", "fan", "motor", "{running: 6 A at 12 V, stalled: 0.4 ohm}", "fan", 6.0),
    Load("E", "heater", "heater", "4 A at 12 V", "heater", 4.0),
    Load("Y", "clutch", "coil", "3.6 ohm", "clutch-coil", 3.33),
)


@dataclass(frozen=True, slots=True)
class System:
    """One system as planned; all numbers count from 1.

    ways:      how each load is fed: "relay", "switch" (in its feed), "low" or "high" (an output of its control unit)
    by_switch: a switch commands its relay, not the control unit
    stud:      the number of its ground, straps not counted
    """

    number: int
    name: str
    box: int
    unit: int
    opens_unit: bool
    zone: str
    by_switch: bool
    loads: Sequence[Load]
    ways: Sequence[str]
    stud: int

    @property
    def has_relay(self) -> bool:
        return "relay" in self.ways

    @property
    def fused_a(self) -> float:
        """What its own fuse carries with everything on."""
        return sum(load.current_a for load, way in zip(self.loads, self.ways, strict=True) if way != "high")

    @property
    def switched_a(self) -> float:
        """What it takes from the bar that the key switches: high-side outputs, coil, control unit."""
        return sum(load.current_a for load in self.loads) - self.fused_a + COIL_A * self.has_relay + UNIT_A * self.opens_unit


def generate_electric(wires: int, seed: int = 1) -> str:
    """The text of a description with so many wires, from 200 to 20,000."""
    if not LEAST_WIRES <= wires <= MOST_WIRES:
        raise ValueError(f"{wires} wires with an electric side: take {LEAST_WIRES} to {MOST_WIRES}")
    chance = random.Random(seed)
    boxes, straps = max(1, wires // 400), 2 + wires // 800      # at 0.12 A a wire a strap carries about 100 A
    systems = _plan(wires, boxes, wires // 50 - straps, chance)
    writer = Writer(chance)
    _write_points(writer, systems, boxes)
    _write_grounds(writer, systems, straps, boxes)
    _write_supply(writer, systems, wires)
    for box in range(1, boxes + 1):
        _write_box(writer, box, [system for system in systems if system.box == box], boxes)
    _write_key(writer, boxes)
    units: list[ControlUnit] = []
    for system in systems:
        if system.opens_unit:
            units.append(_open_unit(writer, system, rating(sum(other.switched_a for other in systems if other.box == system.box))))
        to_come = UNIT_WIRES * sum(other.opens_unit for other in systems[system.number:])
        _write_system(writer, system, units[-1], (wires - writer.wires - to_come) // (len(systems) - system.number + 1))
    for unit in units:
        unit.write(writer)
    _write_states(writer)
    return writer.text(["title: Benchmark vehicle", "colours: IEC 60757", "wire-type: XLPE 125 C", "supply: 12 V"])


def rating(current_a: float) -> float:
    """The least rating of a fuse in A that carries a current for good."""
    return next(rating_a for rating_a in SIZE_BEHIND if current_a <= MOST_OF_FUSE * rating_a)


def _plan(wires: int, boxes: int, studs: int, chance: random.Random) -> list[System]:
    """The systems: one to each fuse besides those of the key and the boxes."""
    number, relays = wires // 40 - 1 - boxes, wires // 60 - boxes
    systems: list[System] = []
    in_unit = 0
    for index, loads in enumerate(share(wires // 20 - 1, number)):
        box = index * boxes // number + 1
        opens_unit = not systems or in_unit == SYSTEMS_A_UNIT or systems[-1].box != box
        in_unit = 1 if opens_unit else in_unit + 1
        if (index + 1) * relays // number > index * relays // number:
            ways = ["relay"] * loads
        else:
            ways = ["switch", *(("low", "high") if index % 2 else ("high", "low"))][:loads]
        systems.append(System(
            number=index + 1, name=f"{NAMES[index % len(NAMES)]} {index // len(NAMES) + 1}", box=box,
            unit=(systems[-1].unit if systems else 0) + opens_unit, opens_unit=opens_unit, zone=chance.choice(list(METAL)), by_switch=index % 4 == 3,
            loads=[chance.choice(SMALL_LOADS if way in ("low", "high") else LOADS) for way in ways], ways=ways, stud=index * studs // number + 1,
        ))
    return systems


# ------------------------------------------------------------------------------ supply

def _write_points(writer: Writer, systems: Sequence[System], boxes: int) -> None:
    """Boxes Q1, Q2, ..., each on a random earlier one; on them control units R1, ... and systems P1, ... with three branches."""
    for box in range(1, boxes + 1):
        writer.segment(f"Q{writer.chance.randrange(1, box)}" if box > 1 else "battery", f"Q{box}", 300, 600, "engine")
    writer.segment("battery", "alternator", 600, 1200, "engine")
    writer.segment("Q1", "column", 800, 1500, "cabin")
    for system in systems:
        if system.opens_unit:
            writer.segment(f"Q{system.box}", f"R{system.unit}", 200, 500, "cabin")
        point = writer.segment(f"Q{system.box}", f"P{system.number}", 200, 900, system.zone)
        for branch in "abc":
            writer.segment(point, f"{point}{branch}", 150, 700, system.zone)


def _write_grounds(writer: Writer, systems: Sequence[System], straps: int, boxes: int) -> None:
    """The straps, to engine and body in turn, and the studs of the systems, each where the first stands that uses it."""
    writer.add("circuits", "straps: {system: supply}")
    for number in range(1, straps + 1):
        writer.ground(f"GS{number}", f"Q{(number - 1) % boxes + 1}", "engine" if number % 2 else "body")
        writer.wire("G.-", f"GS{number}", "50 mm2", "straps")
    writer.wire("GS1", "GS2", "50 mm2", "straps")
    first = {system.stud: system for system in reversed(systems)}
    for stud, system in sorted(first.items()):
        writer.ground(f"G{stud}", f"P{system.number}a", METAL[system.zone])


def _write_supply(writer: Writer, systems: Sequence[System], wires: int) -> None:
    """Battery and alternator, whose case is no return, joined by as many cables side by side as the current needs."""
    total_a = sum(system.fused_a + system.switched_a for system in systems)
    limit_a = math.ceil(total_a / 50 + 1) * 50
    writer.add("devices", 'G: {title: battery, place: battery, terminals: ["+", "-"], between: [G.+, G.-], '
                          f"battery: {{emf: 12.6 V, resistance: {8 / (1 + wires / 400):.3g} mohm}}}}")
    writer.add("devices", "A: {title: alternator, place: alternator, terminals: [B+, L, B-], between: [A.B+, A.B-], "
                          f"alternator: {{voltage: 14.2 V, limit: {limit_a} A, charge-lamp: A.L, field: 4 ohm}}}}")
    writer.cavity("G.+", "battery positive", "source-battery")
    writer.cavity("G.-", "battery negative", "ground-battery")
    writer.cavity("A.B+", "output", "source-alternator")
    writer.cavity("A.L", "charge lamp", "charge-lamp")
    writer.cavity("A.B-", "return", "ground-power")
    writer.add("circuits", "supply: {system: supply, hot: [always]}")
    for _ in range(math.ceil(limit_a / 100)):
        _link(writer, "A.B+", "G.+", "16 mm2", "50 mm2", "battery")
        writer.wire("A.B-", "G.-", "50 mm2", "supply")


def _link(writer: Writer, source: str, to: str, link: str, cable: str, feeds: str) -> None:
    """A fusible link at the battery, four AWG numbers below the cable on both sides of it."""
    name = writer.next("FL")
    writer.add("fusible-links", f"{name}: {{place: battery, size: {link}, feeds: {feeds}}}")
    writer.wire(source, f"{name}.1", cable, "supply")
    writer.wire(f"{name}.2", to, cable, "supply")


def _write_box(writer: Writer, box: int, systems: Sequence[System], boxes: int) -> None:
    """A box: its feed, the fuses and relays of its systems, the relay that the key pulls in for control units and coils.

    Box 1 has the fuse of the key besides, and the bar from which the relays of all boxes get the key's command.
    """
    used_a, switched_a = (sum(current) for current in zip(*((system.fused_a + system.switched_a, system.switched_a) for system in systems), strict=True))
    _link(writer, "G.+", f"B{box}.30", *(("5 mm2", "16 mm2") if used_a <= 70 else ("8 mm2", "25 mm2")), f"box {box}")
    fuses = {f"FB{box}": (rating(switched_a), "control units and coils"), **{f"F{system.number}": (rating(system.fused_a), system.name) for system in systems}}
    if box == 1:
        fuses["FK"] = (_key_rating(boxes), "key switch")
    for fuse, (rating_a, feeds) in fuses.items():
        writer.add("fuses", f"{fuse}: {{box: B{box}, rating: {rating_a:g} A, type: blade, feeds: {feeds}}}")
    relayed = [system for system in systems if system.has_relay]
    _write_relay(writer, f"KB{box}", box, switched_a, "control units and coils", "key switch")
    for system in relayed:
        _write_relay(writer, f"K{system.number}", box, system.fused_a, system.name, "a switch" if system.by_switch else f"control unit {system.unit}")

    bars = {"30": [f"{fuse}.1" for fuse in fuses], "switched": [f"FB{box}.2", f"KB{box}.30"],
            "15": [f"KB{box}.87", *(f"K{system.number}.86" for system in relayed)],
            **{f"feed {system.number}": [f"F{system.number}.2", f"K{system.number}.30"] for system in relayed}}
    if box == 1:
        bars["key"] = [f"KB{box}.86"]
    else:
        writer.wire("B1.key", f"KB{box}.86", SIZE_BEHIND[_key_rating(boxes)], "key")
    writer.wire(f"KB{box}.85", f"G{systems[0].stud}", "0.5 mm2", "key")
    positions = [*fuses, f"KB{box}", *(f"K{system.number}" for system in relayed)]
    lid = ", ".join(f"[{', '.join(positions[first:first + 8])}]" for first in range(0, len(positions), 8))
    joined = ", ".join(f"{bar}: [{', '.join(ends)}]" for bar, ends in bars.items())
    writer.add("boxes", f"B{box}: {{title: box {box}, place: Q{box}, lid: [{lid}], bars: {{{joined}}}}}")


def _write_relay(writer: Writer, name: str, box: int, current_a: float, feeds: str, by: str) -> None:
    part = "mini relay 40 A" if current_a > 12 else "micro relay 30 A"
    suppression = writer.chance.choice(("resistor", "diode"))
    writer.add("relays", f"{name}: {{box: B{box}, contacts: make, suppression: {suppression}, part: {part}, commanded-by: {by}, feeds: {feeds}}}")


def _key_rating(boxes: int) -> float:
    return rating(COIL_A * boxes + CHARGE_LAMP_A)


def _write_key(writer: Writer, boxes: int) -> None:
    """The key switch, and the charge lamp behind it."""
    writer.add("circuits", "key: {system: supply, hot: [run, start]}")
    key = writer.device("S", "key switch", "column", (("supply", "feed-constant"), ("run and start", "source-switched"), ("accessory", "source-switched")),
                        lambda x: f", closes: {{accessory: [[{x}.1, {x}.3]], run: [[{x}.1, {x}.3], [{x}.1, {x}.2]], start: [[{x}.1, {x}.2]]}}")
    lamp = writer.device("H", "charge lamp", "column", (("supply", "lamp"), ("alternator", "lamp")),
                         lambda x: f", lamp: 2 W at 12 V, between: [{x}.1, {x}.2]")
    size = SIZE_BEHIND[_key_rating(boxes)]
    writer.wire("FK.2", f"{key}.1", size, "supply")
    writer.wire(f"{key}.2", "B1.key", size, "key")
    writer.wire("B1.key", f"{lamp}.1", size, "key")
    writer.wire(f"{lamp}.2", "A.L", "0.5 mm2", "key")


# ----------------------------------------------------------------------------- systems

def _open_unit(writer: Writer, system: System, feed_a: float) -> ControlUnit:
    """A control unit with its feed from the bar that the key switches, and its two grounds; feed_a: rating of the fuse of that bar."""
    unit = ControlUnit(system.unit, f"R{system.unit}")
    writer.add("circuits", f"{unit.title}: {{system: {unit.title}, hot: [run, start]}}")
    writer.wire(f"B{system.box}.15", unit.cavity(writer, "supply", "feed-switched", f", draws: {UNIT_A} A"), SIZE_BEHIND[feed_a], unit.title)
    writer.wire(unit.cavity(writer, "power ground", "ground-power"), f"G{system.stud}", "2.5 mm2", unit.title)
    writer.wire(unit.cavity(writer, "logic ground", "ground-signal"), f"G{system.stud}", "1 mm2", unit.title)
    return unit


def _write_system(writer: Writer, system: System, unit: ControlUnit, budget: int) -> None:
    """One system, of ``budget`` wires."""
    begun = writer.wires
    name, point, size = system.name, f"P{system.number}", SIZE_BEHIND[rating(system.fused_a)]
    hot = "commanded" if system.has_relay else "always"
    for circuit, more in (("feed", f", hot: [{hot}]"), ("loads", ""), ("ground", ""), ("command", ""), ("signals", "")):
        writer.add("circuits", f"{name} {circuit}: {{system: {name}{more}}}")
    in_line = InLine(system.number, name, point)
    feed, ground = writer.splice(f"{name} feed", point, f"{point}a"), writer.splice(f"{name} ground", point, f"{point}b")
    in_line.wire(writer, f"K{system.number}.87" if system.has_relay else f"F{system.number}.2", feed, size, f"{name} feed")
    writer.wire(ground, f"G{system.stud}", size, f"{name} ground")
    switch = writer.switch(f"{name} switch", f"{point}c", "switch-to-ground" if system.has_relay else "switch-to-supply")
    if system.has_relay:
        _write_command(writer, system, unit, in_line, switch, ground)

    for load, way in zip(system.loads, system.ways, strict=True):
        device = writer.device(load.letter, f"{name} {load.title}", f"{point}{writer.chance.choice('abc')}", (("supply", load.signal), ("return", load.signal)),
                               lambda x, load=load: f", {load.kind}: {load.value}, between: [{x}.1, {x}.2]")
        if way == "switch":
            writer.wire(feed, f"{switch}.1", size, f"{name} feed")
            writer.wire(f"{switch}.2", f"{device}.1", size, f"{name} loads")
        elif way == "high":
            in_line.wire(writer, unit.output(writer, f"{name} {load.title}", "output-high", "1 A"), f"{device}.1", "0.5 mm2", f"{name} command")
        else:
            writer.wire(feed, f"{device}.1", size, f"{name} feed")
        if way == "low":
            in_line.wire(writer, f"{device}.2", unit.output(writer, f"{name} {load.title}", "output-low", "1 A"), "0.5 mm2", f"{name} command")
        else:
            writer.wire(f"{device}.2", ground, size, f"{name} ground")

    if system.has_relay and any(load.kind in ("coil", "solenoid") for load in system.loads):
        diode = writer.next("D")
        writer.add("diodes", f"{diode}: {{title: across the {name} windings, place: {point}, part: rectifier diode 400 V, rating: 3 A}}")
        writer.wire(feed, f"{diode}.K", size, f"{name} feed")
        writer.wire(f"{diode}.A", ground, size, f"{name} ground")
    _write_sensors(writer, system, unit, in_line, budget - (writer.wires - begun))
    in_line.write(writer)


def _write_command(writer: Writer, system: System, unit: ControlUnit, in_line: InLine, switch: str, ground: str) -> None:
    """The relay's coil to ground: through the switch, or through the control unit, which reads the switch."""
    circuit = f"{system.name} command"
    if system.by_switch:
        in_line.wire(writer, f"K{system.number}.85", f"{switch}.2", "0.5 mm2", circuit)
    else:
        writer.wire(f"K{system.number}.85", unit.output(writer, f"{system.name} relay", "output-relay-low", "1 A"), "0.5 mm2", circuit)
        asked = unit.cavity(writer, f"{system.name} asked for", "input-switch-to-ground", ", pull-up: 4.7 kohm to supply")
        in_line.wire(writer, asked, f"{switch}.2", "0.5 mm2", circuit)
    writer.wire(f"{switch}.1", ground, "0.5 mm2", circuit)


def _write_sensors(writer: Writer, system: System, unit: ControlUnit, in_line: InLine, wires: int) -> None:
    """Sensors on so many wires, at least 16: reference and ground are shared, 2 wires each, and spliced."""
    name, point, circuit = system.name, f"P{system.number}", f"{system.name} signals"
    reference, ground = writer.splice(f"{name} reference", point, f"{point}c"), writer.splice(f"{name} sensor ground", point, f"{point}b")
    pressures = (wires - 4) % 3 or 3        # of 4 wires each; the wires that are left go by threes
    in_line.wire(writer, unit.cavity(writer, f"{name} reference", "reference-5v"), reference, "0.5 mm2", circuit)
    in_line.wire(writer, unit.cavity(writer, f"{name} sensor ground", "ground-sensor"), ground, "0.5 mm2", circuit)
    for number in range(1, pressures + 1):
        sensor = writer.device("N", f"{name} pressure sensor {number}", f"{point}{writer.chance.choice('abc')}",
                               (("pressure", "ratio-sensor"), ("ground", "ground-sensor"), ("reference", "feed-5v")), lambda x: "")
        in_line.wire(writer, unit.cavity(writer, f"{name} pressure {number}", "input-analog"), f"{sensor}.1", "0.5 mm2", circuit)
        writer.wire(f"{sensor}.2", ground, "0.5 mm2", circuit)
        writer.wire(f"{sensor}.3", reference, "0.5 mm2", circuit)
    for number in range(1, (wires - 4 - 4 * pressures) // 3 + 1):
        sensor = writer.device("N", f"{name} temperature sensor {number}", f"{point}{writer.chance.choice('abc')}",
                               (("signal", "thermistor"), ("ground", "ground-sensor")), lambda x: f", sender: 2.5 kohm to 190 ohm, between: [{x}.1, {x}.2]")
        signal = unit.cavity(writer, f"{name} temperature {number}", "input-resistive", ", pull-up: 2.2 kohm to 5 V")
        in_line.wire(writer, signal, f"{sensor}.1", "0.5 mm2", circuit)
        writer.wire(f"{sensor}.2", ground, "0.5 mm2", circuit)


def _write_states(writer: Writer) -> None:
    writer.add("states", "key on: {key: run}")
    held = ", ".join(f"{switch}: pressed" for switch in writer.switches)
    writer.add("states", f"everything on: {{key: run, engine: running, switches: {{{held}}}, commanded: [{', '.join(writer.idle_outputs)}]}}")
