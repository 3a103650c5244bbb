"""Random harnesses as descriptions, for the proof that circuit diagrams tell the truth.

``random_raw(seed)`` gives a Raw: plain lists of wires, bars and mated halves, and the YAML text
made from them. The same seed gives the same harness on every machine. Each is shaped like a
vehicle's: battery, fusible link, bus bar, key switch, systems with fuses, relays,
switches, in-line connectors, splices, loads and grounds, a control unit with its sensors
and a twisted pair to a second unit.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

UNKNOWN, OPEN = "unknown", "open"
MOST_MEMBERS = 9
LETTERS = ("rt", "sw", "br", "gn", "bl", "ge", "ws", "gr", "vi", "rs")


@dataclass(frozen=True, slots=True)
class RawWire:
    id: str
    a: str
    b: str
    size: str
    colour: str
    circuit: str
    pair: str = ""


@dataclass(slots=True)
class Raw:
    """The lists a harness is made of.

    devices, relays, fuses, splices, grounds: id -> its line in the description; connectors: id -> number of cavities
    mates: pairs of halves; bars: address -> members; systems: circuit -> system, "" where none is said
    """

    wires: list[RawWire] = field(default_factory=list)
    devices: dict[str, str] = field(default_factory=dict)
    connectors: dict[str, int] = field(default_factory=dict)
    mates: list[tuple[str, str]] = field(default_factory=list)
    bars: dict[str, list[str]] = field(default_factory=dict)
    fuses: dict[str, str] = field(default_factory=dict)
    relays: dict[str, str] = field(default_factory=dict)
    splices: list[str] = field(default_factory=list)
    grounds: list[str] = field(default_factory=list)
    signals: dict[str, str] = field(default_factory=dict)
    pairs: list[str] = field(default_factory=list)
    systems: dict[str, str] = field(default_factory=dict)

    def members(self, splice: str) -> int:
        """How many wire ends a splice joins."""
        return sum((wire.a == splice) + (wire.b == splice) for wire in self.wires)

    def text(self) -> str:
        """The description."""
        lines = ["title: random harness", "colours: DIN 47002", "wire-type: PVC 85 C", "supply: 12 V"]

        def section(name: str, entries: dict[str, str]) -> None:
            if entries:
                lines.extend(["", f"{name}:", *(f"  {key}: {value}" for key, value in entries.items())])

        section("devices", self.devices)
        section("connectors", {name: self._connector(name) for name in self.connectors})
        section("cavities", self.signals)
        bars = ", ".join(f"{bar.partition('.')[2]}: [{', '.join(members)}]" for bar, members in self.bars.items())
        section("boxes", {"FB1": f"{{title: fuse box, bars: {{{bars}}}}}"} if bars else {})
        section("fusible-links", {"FL1": "{rating: 60 A}"})
        section("fuses", self.fuses)
        section("relays", self.relays)
        section("splices", {name: "{}" for name in self.splices})
        section("grounds", {name: f"{{title: ground {name}, metal: body}}" for name in self.grounds})
        section("circuits", {name: f"{{system: {system}}}" if system else "{}" for name, system in self.systems.items()})
        section("pairs", {name: "{}" for name in self.pairs})
        section("wires", {
            wire.id: f"{{from: {wire.a}, to: {wire.b}, size: {wire.size}, colour: {wire.colour}, circuit: {wire.circuit}{', pair: ' + wire.pair if wire.pair else ''}}}"
            for wire in self.wires})
        return "\n".join(lines) + "\n"

    def _connector(self, name: str) -> str:
        socket, plug = dict(self.mates), {plug: socket for socket, plug in self.mates}
        mates = f", mates: {socket[name]}" if name in socket else ""
        return f"{{half: {'plug' if name in plug else 'socket'}, face: [[1..{self.connectors[name]}]], view: mating face{mates}}}"


def random_raw(seed: int) -> Raw:
    """A harness of 20 to about 150 wires; every fifth seed is large, every fourth says no systems, and every eighth is one system."""
    random = Random(seed)
    wanted = random.randint(100, 138) if seed % 5 == 4 else random.randint(20, 70)
    return _Grower(random, wanted, "" if seed % 4 == 3 else "all" if seed % 8 == 6 else "each").grow()


class _Grower:
    """One harness while it grows: ``raw``, and what is counted on the way."""

    def __init__(self, random: Random, wanted: int, systems: str) -> None:
        self.random, self.wanted, self.systems = random, wanted, systems
        self.raw = Raw()
        self.counts: dict[str, int] = {}
        self.most_splices = random.randint(2, 6)
        self.circuit = ""

    def name(self, letters: str, first: int = 1) -> str:
        self.counts[letters] = self.counts.get(letters, first - 1) + 1
        return f"{letters}{self.counts[letters]}"

    def wire(self, a: str, b: str, size: str = "", pair: str = "") -> str:
        colour = self.random.choice(LETTERS)
        if self.random.random() < 0.4:
            colour += "/" + self.random.choice([letters for letters in LETTERS if letters != colour])
        number = self.name("", 1)
        size = size or self.random.choice(["0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2"])
        self.raw.wires.append(RawWire(number, a, b, size, colour, self.circuit, pair))
        return b

    def begin(self, circuit: str, system: str) -> None:
        self.circuit = circuit
        self.raw.systems[circuit] = {"each": system, "all": "the vehicle", "": ""}[self.systems]

    def splice(self, feed: str) -> str | None:
        """A new splice fed from an end, or None where there are enough."""
        if len(self.raw.splices) >= self.most_splices:
            return None
        name = self.name("SP")
        self.raw.splices.append(name)
        return self.wire(feed, name)

    def has_room(self, splice: str) -> bool:
        return self.raw.members(splice) < MOST_MEMBERS

    def pin(self, signal: str) -> str:
        """The next cavity of the control unit."""
        self.raw.connectors["E1"] = self.raw.connectors.get("E1", 0) + 1
        address = f"E1.{self.raw.connectors['E1']}"
        self.raw.signals[address] = f"{{signal: {signal}}}"
        return address

    def part(self, title: str, cavities: int, more: str) -> list[str]:
        """A device with a connector, or with terminals of its own; ``more`` has {0}, {1} for its contacts."""
        name = self.name({"lamp": "H", "motor": "M", "valve": "Y", "switch": "S", "sensor": "N"}[title])
        if self.random.random() < 0.7:
            plug = self.name("X", 11)
            self.raw.connectors[plug] = cavities
            contacts, owns = [f"{plug}.{number + 1}" for number in range(cavities)], f"connectors: [{plug}]"
        else:
            contacts, owns = [f"{name}.{number + 1}" for number in range(cavities)], f"terminals: [{', '.join(str(number + 1) for number in range(cavities))}]"
        self.raw.devices[name] = f"{{title: {title} {name[1:]}, {owns}{', ' + more.format(*contacts) if more else ''}}}"
        return contacts

    def fuse(self) -> str:
        """A new fuse on the bus bar; its load side."""
        name = self.name("F")
        self.raw.fuses[name] = f"{{box: FB1, rating: {self.random.choice(['5 A', '10 A', '15 A', '20 A'])}, type: blade}}"
        self.raw.bars["FB1.30"].append(f"{name}.1")
        return f"{name}.2"

    def relay(self, feed: str, coil: str) -> str:
        """A new relay; its output. The coil goes to the unit or to ground."""
        name = self.name("K")
        contacts = self.random.choice(["make", "make", "changeover"])
        self.raw.relays[name] = f"{{title: relay {name[1:]}, contacts: {contacts}, coil: 85 ohm}}"
        self.wire(feed, f"{name}.30")
        self.wire(coil, f"{name}.86")
        self.wire(f"{name}.85", self.pin("output-low") if self.random.random() < 0.6 else self.random.choice(self.raw.grounds))
        return f"{name}.87"

    def through_connector(self, feed: str, halves: tuple[str, str]) -> str:
        """Through the next cavity of an in-line connector; the cavity on the far side."""
        number = self.raw.connectors[halves[0]] + 1
        self.raw.connectors[halves[0]] = self.raw.connectors[halves[1]] = number
        self.wire(feed, f"{halves[0]}.{number}")
        return f"{halves[1]}.{number}"

    def halves(self) -> tuple[str, str]:
        one, two = self.name("C"), self.name("C")
        self.raw.mates.append((one, two))
        self.raw.connectors[one] = self.raw.connectors[two] = 0
        return one, two

    def load(self, feed: str, returns: list[str]) -> None:
        """A load between a feed and one of ``returns``, sometimes behind a switch."""
        random = self.random
        if random.random() < 0.15:
            one, two = self.part("switch", 2, "closes: {{on: [[{0}, {1}]]}}")
            self.wire(feed, one)
            feed = two
        title, more = random.choice([("lamp", "lamp: 5 W at 12 V"), ("motor", "motor: {{running: 3 A at 12 V, stalled: 1 ohm}}"), ("valve", "solenoid: 14 ohm")])
        one, two = self.part(title, 2, f"between: [{{0}}, {{1}}], {more}")
        self.wire(feed, one)
        where = random.choice(returns)
        self.wire(two, self.pin("output-low") if where == "unit" else where if where not in self.raw.splices or self.has_room(where) else self.raw.grounds[0])

    def supply(self) -> str:
        """Battery, fusible link, bar, key switch; the splice or contact that is live in run."""
        self.begin("supply", "supply")
        self.raw.devices["G1"] = '{title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 8 mohm}}'
        self.raw.devices["Q1"] = "{title: key switch, connectors: [X1], closes: {accessory: [[X1.1, X1.2]], run: [[X1.1, X1.2], [X1.1, X1.3]], start: [[X1.1, X1.3], [X1.1, X1.4]]}}"
        self.raw.devices["U1"] = "{title: control unit, connectors: [E1]}"
        self.raw.connectors["X1"] = 4
        self.raw.grounds += [self.name("GR") for _ in range(self.random.randint(2, 4))]
        self.raw.bars["FB1.30"] = []
        self.wire("G1.+", "FL1.1", "16 mm2")
        self.wire("FL1.2", "FB1.30", "10 mm2")
        self.wire("G1.-", self.raw.grounds[0], "25 mm2")
        self.wire(self.fuse(), "X1.1", "4 mm2")
        return self.splice("X1.3") or "X1.3"

    def system(self, number: int, run: str) -> None:
        random = self.random
        self.begin(f"circuit {number}", f"system {number}")
        feed = self.fuse()
        if random.random() < 0.6:
            feed = self.relay(feed, run if self.has_room(run) else self.fuse())
        count = random.randint(1, 7)
        halves = self.halves() if random.random() < 0.5 else None
        spread = self.splice(feed) if count > 1 else None
        returns = [*random.sample(self.raw.grounds, 2), "unit"]
        if random.random() < 0.4 and (ground := self.splice(self.raw.grounds[0])):
            returns = [ground, ground, "unit"]
        for _ in range(count if spread else 1):
            if spread and not self.has_room(spread):
                break
            at = self.through_connector(spread or feed, halves) if halves and random.random() < 0.7 else spread or feed
            self.load(at, returns)
        if halves and not self.raw.connectors[halves[0]]:
            self.load(self.through_connector(self.fuse(), halves), returns)

    def sensors(self) -> None:
        random = self.random
        self.begin("sensors", "engine management")
        self.wire(self.pin("ground-power"), self.raw.grounds[0])
        self.wire(self.fuse(), self.pin("feed-constant"))
        five, ground = self.splice(self.pin("reference-5v")), self.splice(self.pin("ground-sensor"))
        for _ in range(random.randint(1, 3)):
            if five and ground and self.has_room(five) and self.has_room(ground):
                one, two, three = self.part("sensor", 3, "")
                self.wire(five, one)
                self.wire(self.pin("input-analog"), two)
                self.wire(ground, three)
        self.raw.pairs.append("PR1")
        one, two = self.part("sensor", 2, "")
        self.wire(self.pin("input-inductive-plus"), one, "0.5 mm2", "PR1")
        self.wire(self.pin("input-inductive-minus"), two, "0.5 mm2", "PR1")
        self.begin("bus", "engine management")
        self.raw.devices["U2"] = "{title: second unit, connectors: [E2]}"
        self.raw.connectors["E2"] = 4
        self.raw.pairs.append("PR2")
        self.wire(self.pin("can-high"), "E2.1", "0.5 mm2", "PR2")
        self.wire(self.pin("can-low"), "E2.2", "0.5 mm2", "PR2")
        self.wire(self.fuse(), "E2.3")
        self.wire("E2.4", random.choice(self.raw.grounds))

    def grow(self) -> Raw:
        run = self.supply()
        if self.random.random() < 0.6:
            self.sensors()
        number = 0
        while len(self.raw.wires) < self.wanted or number < 1 or len(self.raw.splices) < 2:
            number += 1
            self.system(number, run)
        if self.random.random() < 0.3:
            self.wire(self.pin("output-low"), UNKNOWN)
        return self.raw
