"""What devices take: their loads, what their pins draw, and what is told of their supplies.

Takes a device and its unit; puts elements and LoadPoints into a Gathering. A new kind of load gets its law
in ``_law``, its values in ``model/given.py``.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from ..electric import Contact, Element, Lamp, Relay, Resistor, running_motor
from ..model import electric as said
from ..model.given import Given, alternator_given, battery_given, battery_v, on_ohm, solenoid_given
from ..model.harness import Contact as Pin
from ..model.harness import Device
from ..trade.signals import signals
from ..trade.tables import factors
from .catalogue import load_element, of_draw, of_load, of_solenoid_contact
from .gathering import Gathering
from .units import Unit, commanded_on, draws_ohm, lacking
from .wiring import Aside, LoadPoint


def put_device(gathering: Gathering, device: Device, unit: Unit, named_on: Collection[str]) -> None:
    """named_on: addresses of outputs that some named state turns on"""
    for pin in unit.pins:
        if pin.inside and pin.inside.metal:
            gathering.put_on_metal(pin.address, pin.inside.metal)
    if device.supply is not None:
        _tell_supply(gathering, device.id, device.supply)
    for entry in _loads_of(device):
        _put_load(gathering, device, *entry)
    on = frozenset(pin.address for pin in unit.pins if pin.address in named_on or (pin.inside and pin.inside.commanded))
    for pin in unit.pins:
        _put_draw(gathering, device, unit, pin)
        if pin.address not in gathering.nodes.off and (why := lacking(unit, pin)):
            gathering.leave_out(pin.address, why)
        if pin.address in on and (ohm := on_ohm(pin)) is not None:
            gathering.tell_typical(pin.address, [("on", ohm, "ohm")])
    gathering.left_out += [Aside(*lost) for lost in commanded_on(unit, gathering.nodes, on)[1]]


def _tell_supply(gathering: Gathering, id: str, supply: said.Supply) -> None:
    """The supply itself is part of a state; what nobody stated of it is told here."""
    taken: list[tuple[str, Given, str]] = []
    match supply:
        case said.Battery():
            battery = battery_given(supply, battery_v(gathering.harness, id))
            taken = [("emf", battery.emf_v, "V"), ("resistance", battery.ohm, "ohm")]
        case said.Alternator():
            alternator = alternator_given(supply, gathering.supply_v)
            taken = [("voltage", alternator.voltage_v, "V"), *([("field", alternator.field_ohm, "ohm")] if supply.charge_lamp else [])]
        case said.TestSupply(voltage=None):
            taken = [("voltage", Given(gathering.supply_v, True, "the nominal supply"), "V")]
    gathering.tell_typical(id, taken)


def _put_load(gathering: Gathering, device: Device, name: str, load: said.Load, between: tuple[str, str], closed_by: str) -> None:
    id = f"{device.id} {name}".strip()
    nodes, (a, b) = gathering.nodes, between
    if a not in nodes.of or b not in nodes.of or a == b:
        return
    element = load_element(id)
    if {a, b} & nodes.off:
        gathering.leave_out(element, "airbag circuit")
        return
    node_a, node_b = nodes.of[a], nodes.of[b]
    closes = [other for other, entry in device.loads.items() if entry.closed_by == name] if name else []
    title = f"{device.title}, {name}" if name else device.title
    entry, used = of_load(device, name, title, a, b), ""
    gathering.catalogue[element] = entry     # of what is left out too: it may have no feed
    is_known = load.rating is not None
    if load.rating is None:
        gathering.leave_out(element, "what it takes is not known")
    elif load.kind == "solenoid" and closes:
        pull_in, release = solenoid_given(load, gathering.supply_v)
        gathering.tell_typical(element, [("pull-in", pull_in, "V"), ("release", release, "V")])
        contacts = tuple(Contact(nodes.of[device.loads[other].between[0]], _inner(device, other), "", factors()["solenoid-contact"].value) for other in closes)
        gathering.put_relay(Relay(element, node_a, node_b, load.rating.ohm, pull_in.value, release.value, contacts), entry,
                            (of_solenoid_contact(device, name) for _ in contacts))
    else:
        gathering.put(_law(element, load, _inner(device, name) if closed_by else node_a, node_b), entry)
        used = {"motor": "running", "sender": "first of its range" if load.rating.to else ""}.get(load.kind, "")
    gathering.loads.append(LoadPoint(id, device.id, title, load.kind, element if is_known else "", a, b, node_a, node_b, str(load), used,
                                     gathering.circuit_at(a) or gathering.circuit_at(b), gathering.is_pulsed(a) or gathering.is_pulsed(b)))


def _put_draw(gathering: Gathering, device: Device, unit: Unit, pin: Pin) -> None:
    """What a pin draws by itself: of a supply pin always, elsewhere only where no load is stated there."""
    ohm = draws_ohm(pin, gathering.supply_v)
    kind = signals().get(pin.signal)
    if ohm is None or pin.address in gathering.nodes.off or (kind is not None and kind.direction == "out"):
        return
    is_feed = kind is not None and kind.direction == "supply"
    if not is_feed and any(pin.address in between for _, _, between, _ in _loads_of(device)):
        return
    element, stated = load_element(pin.address), pin.draws.stated if pin.draws else ""
    node = gathering.nodes.of[pin.address]
    if unit.ground is None:
        gathering.leave_out(element, f"draws {stated}, but no pin of {device.id} says ground")
    elif unit.ground != node:
        title = f"{device.title}, {pin.function}" if pin.function else device.title
        gathering.put(Resistor(element, node, unit.ground, ohm), of_draw(pin, title))
        gathering.loads.append(LoadPoint(pin.address, device.id, title, "draws", element, pin.address, "", node, unit.ground, stated, "",
                                         gathering.circuit_at(pin.address), gathering.is_pulsed(pin.address)))


def _inner(device: Device, name: str) -> str:
    return f"{device.id} {name} behind its contact"


def _loads_of(device: Device) -> Iterator[tuple[str, said.Load, tuple[str, str], str]]:
    """(name, load, between, closed by) of each load of a device; the name of its only one is ""."""
    if device.load is not None and device.between is not None:
        yield "", device.load, device.between, ""
    for name, entry in device.loads.items():
        yield name, entry.load, entry.between, entry.closed_by


def _law(id: str, load: said.Load, a: str, b: str) -> Element:
    """By which law a load is solved."""
    rating = load.rating
    assert rating is not None
    if load.kind == "lamp":
        assert rating.at is not None and rating.watts is not None
        return Lamp(id, a, b, rating.watts, rating.at.value)
    if load.kind == "motor" and rating.at is not None:
        return running_motor(id, a, b, rating.at.value, rating.at.value / rating.ohm)
    return Resistor(id, a, b, rating.ohm)
