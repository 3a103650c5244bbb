"""Random circuits shaped like wiring: a battery, fuses, systems of about 40 wires, grounds, relays.

``random_states`` gives one network in its states, each a circuit with the switches of
that state closed. The same seed gives the same network on every machine.
"""

from __future__ import annotations

from random import Random

from harnessdoc.electric import (
    Battery, Circuit, Contact, Diode, Element, Fuse, Lamp, PullUp, Relay, Resistor, Supply, running_motor,
)

MINUS = "battery -"


def random_states(seed: int, wires: int, states: int = 3) -> list[Circuit]:
    """The states of a network of about ``wires`` conductors: at least two relays, a lamp, diodes, a supply with a limit."""
    return _Network(Random(seed)).grow(wires, states)


def any_circuit(seed: int) -> Circuit:
    """Elements of every kind between few nodes, in no sense a wiring: what a solver must bear."""
    random = Random(seed)
    nodes = [f"n{number}" for number in range(random.choice([4, 6, 8]))]
    elements = []
    for number in range(random.randint(4, 25)):
        ends = (f"e{number}", *random.sample(nodes, 2))
        ohm, volts = 10 ** random.uniform(-4, 6), random.uniform(-24, 24)
        elements.append([
            Resistor(*ends, ohm), PullUp(*ends, volts, 10 ** random.uniform(1, 5)), Battery(*ends, volts, ohm),
            Supply(*ends, abs(volts) + 1, ohm, random.uniform(0.01, 200)), Diode(*ends),
            Diode(*ends, random.choice([1e-14, 5e-9, 1e-6]), random.uniform(1, 2), random.uniform(0.001, 1)),
            Lamp(*ends, random.uniform(0.5, 60), random.choice([6.0, 12.0, 24.0])), Fuse(*ends, 0.0077, 10.0, 0.109),
        ][random.randrange(8)])
    return Circuit(tuple(elements), "n0")


class _Network:
    def __init__(self, random: Random) -> None:
        self.random = random
        self.elements: list[Element] = []
        self.switches: list[tuple[Resistor, frozenset[int]]] = []
        self.relays: list[Relay] = []
        self.wires = 0
        self.count = 0

    def name(self, kind: str) -> str:
        self.count += 1
        return f"{kind}{self.count}"

    def wire(self, a: str, b: str) -> str:
        self.wires += 1
        self.elements.append(Resistor(self.name("W"), a, b, round(self.random.uniform(0.002, 0.12), 6)))
        return b

    def grow(self, wires: int, states: int) -> list[Circuit]:
        random = self.random
        self.elements += [Battery("battery", "battery +", MINUS, round(random.uniform(11.8, 12.8), 3), 0.012 / (1 + wires / 400)),
                          Supply("alternator", "alternator B", MINUS, 14.2, 0.015, round(random.uniform(2, 8) + wires / 50, 2))]
        self.elements.append(Resistor("lead", "alternator B", "battery +", 0.003 / (1 + wires / 400)))
        grounds = [self.stud(MINUS) for _ in range(max(2, wires // 50))]
        bars = [self.stud("battery +") for _ in range(1 + wires // 400)]
        while self.wires < wires or len(self.relays) < 2:
            self.system(random.choice(bars), random.sample(grounds, 2), states)
        return [Circuit((*self.elements, *(switch for switch, closed in self.switches if state in closed)), MINUS,
                        tuple(self.relays)) for state in range(states)]

    def system(self, bar: str, grounds: list[str], states: int) -> None:
        random = self.random
        fused = self.fuse(bar)
        switched, relayed = self.name("N"), self.name("N")
        closed = frozenset(state for state in range(states) if random.random() < 0.6)
        self.switches.append((Resistor(self.name("S"), self.wire(fused, self.name("N")), switched, 0.01), closed))
        coil = self.name("N")
        self.wire(switched, coil)
        name = self.name("K")
        suppression = random.choice([None, Resistor(f"{name} resistor", coil, grounds[0], 680.0), Diode(f"{name} diode", grounds[0], coil)])
        self.relays.append(Relay(name, coil, grounds[0], random.choice([75.0, 90.0]), 6.9, 1.2,
                                 (Contact(self.fuse(bar), relayed, self.name("N"), 0.0015),), suppression))
        splices = [self.wire(relayed, self.name("SP")), self.wire(switched, self.name("SP")), self.wire(fused, self.name("SP"))]
        for _ in range(random.randint(6, 11)):
            node = random.choice(splices)
            for _ in range(random.randint(1, 3)):
                node = self.wire(node, self.name("N"))
                splices += [node] if random.random() < 0.3 else []
            end = self.load(node)
            self.wire(self.wire(end, self.name("N")), random.choice(grounds))
        # Two ways from a feed to a fed splice: circuits have a few loops.
        self.wire(splices[0], self.wire(splices[-1], self.name("N")) if len(splices) == 3 else random.choice(splices[3:]))
        self.elements.append(Diode(self.name("D"), splices[1], self.wire(splices[0], self.name("N"))))
        sense = self.name("N")
        self.elements += [PullUp(self.name("P"), sense, grounds[1], 5.0, 4700.0), Diode(self.name("D"), sense, random.choice(splices)),
                          Resistor(self.name("R"), sense, grounds[1], float(random.randint(200, 20000)))]

    def stud(self, post: str) -> str:
        stud = self.name("B")
        self.elements.append(Resistor(self.name("CABLE"), post, stud, 0.001))
        return stud

    def fuse(self, bar: str) -> str:
        fused = self.name("F")
        rating, cold, drop = self.random.choice([(10.0, 0.0077, 0.109), (4.0, 0.0228, 0.136), (2.0, 0.0535, 0.141)])
        self.elements.append(Fuse(self.name("FUSE"), self.wire(bar, self.name("N")), fused, cold, rating, drop))
        return fused

    def load(self, node: str) -> str:
        end = self.name("N")
        kind = self.random.choice(["lamp", "lamp", "resistor", "motor"])
        if kind == "lamp" or not any(isinstance(element, Lamp) for element in self.elements):
            self.elements.append(Lamp(self.name("L"), node, end, self.random.choice([2.0, 5.0, 21.0]), 13.5))
        elif kind == "motor":
            self.elements.append(running_motor(self.name("M"), node, end, 12.0, self.random.choice([0.5, 3.0])))
        else:
            self.elements.append(Resistor(self.name("R"), node, end, float(self.random.randint(8, 400))))
        return end
