"""The harness as a circuit: what is there in every state, and what a state adds.

Takes a harness, its nodes and conductors; gives a Wiring, and of it the Circuit of a
state. Every element has an id in words (``wire 12``, ``fuse F3``, ``relay K1``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from ..electric import Battery, Circuit, Contact, Diode, Element, Fuse, Lamp, Relay, Resistor, Supply, running_motor
from ..model import electric as said
from ..model.given import BatteryGiven, Given, alternator_given, battery_given, battery_v, fuse_given, nominal_v, on_ohm, relay_given, solenoid_given
from ..model.harness import Contact as Pin
from ..model.harness import Device, Harness, Kind, Part
from ..trade.conductors import resistance_mohm_m
from ..trade.signals import signals
from ..trade.tables import factors
from .conductors import LEAST_OHM, Conductor
from .nodes import ASSUMED_METAL, Nodes, placed_supplies
from .states import Case
from .units import Unit, commanded_on, draws_ohm, fixed_inside, lacking, unit_of

NO_LIMIT_A = 1000.0
"""Stands for the limit of a supply of which none is stated; a battery gives no more."""
_UNKNOWN_FUSE_OHM = 0.005


@dataclass(frozen=True, slots=True)
class LoadPoint:
    """Something that takes current.

    id:      ``M2``, ``U2 throttle motor``, or the address of a pin that draws
    element: its element in the circuit; "" where it is left out
    a, b:    addresses; b is "" where it returns through the ground of its device
    rated:   as stated; used: which of its values is solved with, in words
    circuit: of the wire at a, else at b
    pulsed:  left out for that
    """

    id: str
    owner: str
    title: str
    kind: str
    element: str
    a: str
    b: str
    node_a: str
    node_b: str
    rated: str
    used: str
    circuit: str
    pulsed: bool


@dataclass(frozen=True, slots=True)
class Aside:
    """What is left out of the circuit, or put in with a value that nobody stated: the thing and why."""

    thing: str
    words: str


@dataclass(frozen=True, slots=True)
class Wiring:
    """What is there in every state.

    fuses:    fuse or link -> element id; typical: thing -> the typical values it is solved with, in words
    left_out: what is no part of the circuit, and why
    """

    harness: Harness
    nodes: Nodes
    conductors: Mapping[str, Conductor]
    elements: tuple[Element, ...]
    relays: tuple[Relay, ...]
    loads: tuple[LoadPoint, ...]
    units: Mapping[str, Unit]
    typical: tuple[Aside, ...]
    left_out: tuple[Aside, ...]

    def circuit(self, case: Case) -> Circuit:
        """The circuit in a state of key, engine, switches and outputs."""
        return Circuit((*self.elements, *self._switched(case), *self._supplied(case.engine)), self.nodes.reference, self.relays)

    def _switched(self, case: Case) -> Iterator[Element]:
        harness, of = self.harness, self.nodes.of
        ohm = factors()["switch-closed"].value
        for id, device in harness.devices.items():
            if not device.closes:
                continue
            position = case.key if id == harness.key_switch else case.switches.get(id, device.rest)
            for a, b in dict.fromkeys(device.closes.get(position or "", ())):
                if a in of and b in of and not {a, b} & self.nodes.off:
                    yield Resistor(f"switch {id} {a} to {b}", of[a], of[b], ohm)
        on = frozenset(case.commanded) | {address for address, when in self._commanded() if is_commanded(when, case)}
        for unit in self.units.values() if on else ():
            yield from commanded_on(unit, self.nodes, on)[0]

    def _commanded(self) -> Iterator[tuple[str, str]]:
        for unit in self.units.values():
            for pin in unit.pins:
                if pin.inside and pin.inside.commanded:
                    yield pin.address, pin.inside.commanded

    def _supplied(self, engine: said.Engine) -> Iterator[Element]:
        supply_v = nominal_v(self.harness)
        stiff = factors()["supply-inner"].value
        placed = placed_supplies(self.harness)
        charged = engine is said.Engine.RUNNING and any(isinstance(device.supply, said.Alternator) for device in placed)
        for device in placed:
            id = device.id
            assert device.between is not None
            plus, minus = (self.nodes.of[end] for end in device.between)
            if isinstance(device.supply, said.Battery):
                yield from _battery(id, battery_given(device.supply, battery_v(self.harness, id)), plus, minus, charged)
            elif isinstance(device.supply, said.TestSupply):
                volts = device.supply.voltage.value if device.supply.voltage else supply_v
                yield Supply(f"test supply {id}", plus, minus, volts, stiff, device.supply.limit.value if device.supply.limit else NO_LIMIT_A)
            elif isinstance(device.supply, said.Alternator):
                given = alternator_given(device.supply, supply_v)
                lamp = self.nodes.of.get(device.supply.charge_lamp or "")
                if engine is said.Engine.RUNNING:
                    yield Supply(f"alternator {id}", plus, minus, given.voltage_v.value, stiff, given.limit_a.value if given.limit_a else NO_LIMIT_A)
                    if lamp:
                        yield Supply(f"alternator {id} charge lamp", lamp, minus, given.voltage_v.value, stiff, factors()["charge-lamp-limit"].value)
                elif lamp:
                    yield Resistor(f"alternator {id} field", lamp, minus, given.field_ohm.value)


def _battery(id: str, given: BatteryGiven, plus: str, minus: str, charged: bool) -> Iterator[Element]:
    """A battery gives through its resistance. While it is charged it takes far less than that resistance would let in."""
    if not charged:
        yield Battery(f"battery {id}", plus, minus, given.emf_v.value, given.ohm.value)
        return
    charging = factors()["battery-charging"].value
    # Both together give through the resistance that is stated.
    giving = 1 / (1 / given.ohm.value - 1 / charging) if given.ohm.value < charging else given.ohm.value
    yield Supply(f"battery {id}", plus, minus, given.emf_v.value, giving, NO_LIMIT_A)
    yield Battery(f"battery {id} charging", plus, minus, given.emf_v.value, charging)


def is_commanded(when: str, case: Case) -> bool:
    """Whether an output that its device turns on ``when`` is on in a state."""
    turning = case.engine is not said.Engine.STOPPED
    return {"always": True, "with engine": turning, "run and start": case.key in ("run", "start")}.get(when, case.key == when)


def wire_up(harness: Harness, nodes: Nodes, found: Mapping[str, Conductor]) -> Wiring:
    """The wiring of a harness."""
    return _Builder(harness, nodes, found).wiring()


class _Builder:
    """Gathers elements; each method adds those of one kind of thing."""

    def __init__(self, harness: Harness, nodes: Nodes, found: Mapping[str, Conductor]) -> None:
        self._harness, self._nodes, self._found = harness, nodes, found
        self._supply_v = nominal_v(harness)
        self._elements: list[Element] = []
        self._relays: list[Relay] = []
        self._loads: list[LoadPoint] = []
        self._typical: list[Aside] = []
        self._left_out: list[Aside] = []
        self._ever_on = {address for state in harness.states.values() for address in state.commanded}
        self._pins: dict[str, list[Pin]] = {}
        for pin in harness.contacts.values():
            connector = harness.connectors.get(pin.owner)
            device = (connector.device or "") if connector else pin.owner
            if device in harness.devices:
                self._pins.setdefault(device, []).append(pin)

    def wiring(self) -> Wiring:
        for wire in self._found:
            self._wire(wire)
        for part in self._harness.parts.values():
            self._part(part)
        for ground in self._harness.grounds.values():
            self._grounded(ground.id, ground.metal)
            if ground.metal is None:
                self._typical.append(Aside(ground.id, f"metal not known, {ASSUMED_METAL} taken"))
        units = {}
        for id, device in self._harness.devices.items():
            unit, joints = unit_of(id, self._pins.get(id, ()), self._nodes)
            units[id] = unit
            self._elements += joints
            elements, relays = fixed_inside(unit, self._nodes, self._supply_v)
            self._elements += elements
            self._relays += relays
            self._device(device, unit)
        return Wiring(self._harness, self._nodes, self._found, tuple(self._elements), tuple(self._relays), tuple(self._loads), units,
                      tuple(self._typical), tuple(self._left_out))

    # ------------------------------------------------------------------ wires and grounds

    def _wire(self, id: str) -> None:
        wire, conductor = self._harness.wires[id], self._found[id]
        circuit = self._harness.circuits.get(wire.circuit)
        if wire.from_ in self._nodes.off or wire.to in self._nodes.off:
            self._left_out.append(Aside(f"wire {id}", "airbag circuit"))
        elif circuit is not None and circuit.pulsed:
            self._left_out.append(Aside(f"wire {id}", f"circuit {circuit.id} pulses"))
        else:
            self._elements.append(Resistor(wire_element(id), self._nodes.of[wire.from_], self._nodes.of[wire.to], conductor.ohm))
            missing = [word for word, value in (("size", conductor.size), ("length", conductor.length_mm)) if value is None]
            if missing:
                taken = {"size": f"{factors()['size-not-known'].value:g} mm²", "length": f"{factors()['length-not-known'].value / 1000:g} m"}
                self._typical.append(Aside(f"wire {id}", "; ".join(f"{word} not known, {taken[word]} taken" for word in missing)))

    def _grounded(self, address: str, metal: str | None) -> None:
        if address not in self._nodes.off:
            self._elements.append(Resistor(f"{address} on metal", self._nodes.of[address], self._nodes.metal(metal), factors()["contact-stud"].value))

    # ------------------------------------------------------------------------------ parts

    def _part(self, part: Part) -> None:
        of = {name: self._nodes.of[f"{part.id}.{name}"] for name in part.terminals}
        if any(f"{part.id}.{name}" in self._nodes.off for name in part.terminals):
            self._left_out.append(Aside(f"{part.kind} {part.id}", "airbag circuit"))
        elif part.kind == "fuse":
            self._fuse(part, of["1"], of["2"])
        elif part.kind == "fusible link":
            per_m = resistance_mohm_m(part.size).value / 1000 if part.size else factors()["copper-resistivity"].value / factors()["size-not-known"].value / 1000
            self._elements.append(Resistor(fuse_element(part), of["1"], of["2"], max(per_m * factors()["link-length"].value / 1000, LEAST_OHM)))
            size = "" if part.size else f"size not known, {factors()['size-not-known'].value:g} mm² taken; "
            self._typical.append(Aside(part.id, f"{size}length {factors()['link-length'].value:g} mm ({factors()['link-length'].origin})"))
        elif part.kind == "diode":
            self._elements.append(Diode(f"diode {part.id}", of["A"], of["K"]))
            self._typical.append(Aside(part.id, "a 1 A silicon rectifier, from memory"))
        elif part.kind == "resistor" and part.value is not None:
            self._elements.append(Resistor(f"resistor {part.id}", of["1"], of["2"], max(part.value.value, LEAST_OHM)))
        elif part.kind == "resistor":
            self._left_out.append(Aside(f"resistor {part.id}", "its resistance is not known"))
        else:
            self._relay(part, of)

    def _fuse(self, part: Part, a: str, b: str) -> None:
        given = fuse_given(part)
        if given is None:
            self._elements.append(Resistor(fuse_element(part), a, b, _UNKNOWN_FUSE_OHM))
            self._typical.append(Aside(part.id, f"rating not known, {_UNKNOWN_FUSE_OHM * 1000:g} mohm taken"))
            return
        cold, drop = given
        assert part.rating is not None
        self._elements.append(Fuse(fuse_element(part), a, b, cold.value, part.rating.value, drop.value))
        if cold.typical:
            self._typical.append(Aside(part.id, f"{cold.value * 1000:.3g} mohm cold, {drop.value * 1000:.3g} mV at its rating ({cold.origin})"))

    def _relay(self, part: Part, of: Mapping[str, str]) -> None:
        given = relay_given(part, self._supply_v)
        coil = relay_element(part.id)
        across: Resistor | Diode | None = None
        if given.suppression == "diode":
            across = Diode(f"{coil} diode", of["85"], of["86"])
        elif given.suppression == "resistor" and given.suppression_ohm is not None:
            across = Resistor(f"{coil} resistor", of["86"], of["85"], given.suppression_ohm.value)
        contacts = [Contact(of["30"], of[name], "", given.make_ohm.value) for name in ("87", "87b") if name in of]
        contacts += [Contact(of["30"], "", of["87a"], given.break_ohm.value)] if "87a" in of else []
        self._relays.append(Relay(coil, of["86"], of["85"], given.coil_ohm.value, given.pull_in_v.value, given.release_v.value, tuple(contacts), across))
        taken = [("coil", given.coil_ohm, "ohm"), ("pull-in", given.pull_in_v, "V"), ("release", given.release_v, "V")]
        if given.suppression_is_typical and given.suppression_ohm is not None:
            taken.append(("resistor across the coil", given.suppression_ohm, "ohm"))
        words = [f"{name} {value.value:g} {unit}" for name, value, unit in taken if value.typical]
        if words:
            self._typical.append(Aside(part.id, f"{', '.join(words)} (of a {given.part}: {given.pull_in_v.origin})"))

    # ---------------------------------------------------------------------------- devices

    def _device(self, device: Device, unit: Unit) -> None:
        for pin in unit.pins:
            if pin.inside and pin.inside.metal:
                self._grounded(pin.address, pin.inside.metal)
        if device.supply is not None:
            self._supply(device.id, device.supply)
        for entry in _loads_of(device):
            self._load(device, *entry)
        on = frozenset(pin.address for pin in unit.pins if pin.address in self._ever_on or (pin.inside and pin.inside.commanded))
        for pin in unit.pins:
            self._draw(device, unit, pin)
            if pin.address not in self._nodes.off and (why := lacking(unit, pin)):
                self._left_out.append(Aside(pin.address, why))
            if pin.address in on and (ohm := on_ohm(pin)) is not None:
                self._tell_typical(pin.address, [("on", ohm, "ohm")])
        self._left_out += [Aside(*lost) for lost in commanded_on(unit, self._nodes, on)[1]]

    def _supply(self, id: str, supply: said.Supply) -> None:
        """The supply itself is part of a state; what nobody stated of it is told here."""
        taken: list[tuple[str, Given, str]] = []
        match supply:
            case said.Battery():
                battery = battery_given(supply, battery_v(self._harness, id))
                taken = [("emf", battery.emf_v, "V"), ("resistance", battery.ohm, "ohm")]
            case said.Alternator():
                alternator = alternator_given(supply, self._supply_v)
                taken = [("voltage", alternator.voltage_v, "V"), *([("field", alternator.field_ohm, "ohm")] if supply.charge_lamp else [])]
            case said.TestSupply(voltage=None):
                taken = [("voltage", Given(self._supply_v, True, "the nominal supply"), "V")]
        self._tell_typical(id, taken)

    def _tell_typical(self, thing: str, taken: Iterable[tuple[str, Given, str]]) -> None:
        """taken: name, value, unit"""
        words = [f"{name} {value.value:g} {unit} ({value.origin})" for name, value, unit in taken if value.typical]
        if words:
            self._typical.append(Aside(thing, ", ".join(words)))

    def _load(self, device: Device, name: str, load: said.Load, between: tuple[str, str], closed_by: str) -> None:
        id = f"{device.id} {name}".strip()
        a, b = between
        if a not in self._nodes.of or b not in self._nodes.of or a == b:
            return
        pulsed = self._pulsed(a) or self._pulsed(b)
        element = f"load {id}"
        if {a, b} & self._nodes.off:
            self._left_out.append(Aside(element, "airbag circuit"))
            return
        node_a, node_b = self._nodes.of[a], self._nodes.of[b]
        closes = [other for other, entry in device.loads.items() if entry.closed_by == name] if name else []
        used = ""
        if load.rating is None:
            self._left_out.append(Aside(element, "what it takes is not known"))
            element = ""
        elif load.kind == "solenoid" and closes:
            pull_in, release = solenoid_given(load, self._supply_v)
            self._tell_typical(element, [("pull-in", pull_in, "V"), ("release", release, "V")])
            contacts = tuple(Contact(self._nodes.of[device.loads[other].between[0]], _inner(device, other), "", factors()["solenoid-contact"].value) for other in closes)
            self._relays.append(Relay(element, node_a, node_b, load.rating.ohm, pull_in.value, release.value, contacts))
        else:
            start = _inner(device, name) if closed_by else node_a
            self._elements.append(_element(element, load, start, node_b))
            used = {"motor": "running", "sender": "first of its range" if load.rating.to else ""}.get(load.kind, "")
        self._loads.append(LoadPoint(id, device.id, f"{device.title}, {name}" if name else device.title, load.kind, element, a, b, node_a, node_b,
                                     str(load), used, self._circuit(a) or self._circuit(b), pulsed))

    def _draw(self, device: Device, unit: Unit, pin: Pin) -> None:
        """What a pin draws by itself: of a supply pin always, elsewhere only where no load is stated there."""
        ohm = draws_ohm(pin, self._supply_v)
        kind = signals().get(pin.signal)
        if ohm is None or pin.address in self._nodes.off or (kind is not None and kind.direction == "out"):
            return
        is_feed = kind is not None and kind.direction == "supply"
        if not is_feed and any(pin.address in between for _, _, between, _ in _loads_of(device)):
            return
        element, stated = f"load {pin.address}", pin.draws.stated if pin.draws else ""
        node = self._nodes.of[pin.address]
        if unit.ground is None:
            self._left_out.append(Aside(element, f"draws {stated}, but no pin of {device.id} says ground"))
        elif unit.ground != node:
            self._elements.append(Resistor(element, node, unit.ground, ohm))
            title = f"{device.title}, {pin.function}" if pin.function else device.title
            self._loads.append(LoadPoint(pin.address, device.id, title, "draws", element, pin.address, "", node, unit.ground, stated, "", self._circuit(pin.address), self._pulsed(pin.address)))

    def _circuit(self, address: str) -> str:
        """The circuit of a pin, else of the first wire at it."""
        own = self._harness.contacts[address].circuit
        return own or next((circuit for wire in self._harness.wires_at.get(address, ()) if (circuit := self._harness.wires[wire].circuit)), "")

    def _pulsed(self, address: str) -> bool:
        circuit = self._harness.circuits.get(self._circuit(address))
        return circuit is not None and circuit.pulsed


def wire_element(wire: str) -> str:
    return f"wire {wire}"


def fuse_element(part: Part) -> str:
    return f"{part.kind} {part.id}"


def relay_element(part: str) -> str:
    return f"relay {part}"


def _inner(device: Device, name: str) -> str:
    return f"{device.id} {name} behind its contact"


def _loads_of(device: Device) -> Iterator[tuple[str, said.Load, tuple[str, str], str]]:
    """(name, load, between, closed by) of each load of a device; the name of its only one is ""."""
    if device.load is not None and device.between is not None:
        yield "", device.load, device.between, ""
    for name, entry in device.loads.items():
        yield name, entry.load, entry.between, entry.closed_by


def _element(id: str, load: said.Load, a: str, b: str) -> Element:
    rating = load.rating
    assert rating is not None
    if load.kind == "lamp":
        assert rating.at is not None and rating.watts is not None
        return Lamp(id, a, b, rating.watts, rating.at.value)
    if load.kind == "motor" and rating.at is not None:
        return running_motor(id, a, b, rating.at.value, rating.at.value / rating.ohm)
    return Resistor(id, a, b, rating.ohm)
