"""What a state adds to the circuit: closed contacts of switches, outputs that are on, the supplies as the engine drives them.

Takes a harness, its nodes and units, and a Case; gives elements. Their entries are made once for all states.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..electric import Battery, Element, Resistor, Supply
from ..model import electric as said
from ..model.build_states import key_switches
from ..model.given import BatteryGiven, alternator_given, battery_given, battery_v, nominal_v, on_ohm
from ..model.harness import Device, Harness
from ..trade.tables import factors
from .catalogue import Entry, of_output, of_supply, of_switch_contact, output_element, switch_element
from .nodes import Nodes, placed_supplies
from .states import Case
from .supplies import alternator_elements, battery_elements, supply_element
from .units import Unit, commanded_on

NO_LIMIT_A = 1000.0
"""Stands for the limit of a supply of which none is stated; a battery gives no more."""


def added(harness: Harness, nodes: Nodes, units: Mapping[str, Unit], case: Case) -> Iterator[Element]:
    """What a state of key, engine, switches and outputs adds."""
    yield from _switched(harness, nodes, case)
    on = frozenset(case.commanded) | {address for address, when in _commanded(units) if is_commanded(when, case)}
    for unit in units.values() if on else ():
        yield from commanded_on(unit, nodes, on)[0]
    yield from _supplied(harness, nodes, case.engine)


def entries_added(harness: Harness, units: Mapping[str, Unit]) -> Iterator[tuple[str, Entry]]:
    """(id, entry) of all that some state may add."""
    for id, device in harness.devices.items():
        for a, b in _pairs(device):
            yield switch_element(id, a, b), of_switch_contact(device, a, b)
    for unit in units.values():
        yield from ((output_element(pin.address), of_output(pin)) for pin in unit.pins if on_ohm(pin) is not None)
    for device in placed_supplies(harness):
        assert device.between is not None
        thing, (plus, minus) = supply_element(device), device.between
        if isinstance(device.supply, said.Alternator):
            main, charge_lamp, field = alternator_elements(device.id)
            yield main, of_supply(device, thing, thing, plus, minus)
            for element in (charge_lamp, field):
                yield element, of_supply(device, element, thing, device.supply.charge_lamp or "", minus)
        else:
            for element in battery_elements(device.id) if isinstance(device.supply, said.Battery) else (thing,):
                yield element, of_supply(device, thing, thing, plus, minus)


def is_commanded(when: str, case: Case) -> bool:
    """Whether an output that its device turns on ``when`` is on in a state."""
    turning = case.engine is not said.Engine.STOPPED
    return {"always": True, "with engine": turning, "run and start": case.key in ("run", "start")}.get(when, case.key == when)


def _pairs(device: Device) -> Iterator[tuple[str, str]]:
    """The addresses a switch joins in any position, each pair once."""
    return iter(dict.fromkeys(pair for pairs in device.closes.values() for pair in pairs))


def _switched(harness: Harness, nodes: Nodes, case: Case) -> Iterator[Element]:
    ohm = factors()["switch-closed"].value
    keys = {device.id for device in key_switches(harness.devices)}      # in a merge that has two yet they are turned together
    for id, device in harness.devices.items():
        if not device.closes:
            continue
        position = case.key if id in keys else case.switches.get(id, device.rest)
        for a, b in dict.fromkeys(device.closes.get(position or "", ())):
            if a in nodes.of and b in nodes.of and not {a, b} & nodes.off:
                yield Resistor(switch_element(id, a, b), nodes.of[a], nodes.of[b], ohm)


def _commanded(units: Mapping[str, Unit]) -> Iterator[tuple[str, str]]:
    for unit in units.values():
        for pin in unit.pins:
            if pin.inside and pin.inside.commanded:
                yield pin.address, pin.inside.commanded


def _supplied(harness: Harness, nodes: Nodes, engine: said.Engine) -> Iterator[Element]:
    supply_v = nominal_v(harness)
    stiff = factors()["supply-inner"].value
    placed = placed_supplies(harness)
    charged = engine is said.Engine.RUNNING and any(isinstance(device.supply, said.Alternator) for device in placed)
    for device in placed:
        id = device.id
        assert device.between is not None
        plus, minus = (nodes.of[end] for end in device.between)
        if isinstance(device.supply, said.Battery):
            yield from _battery(id, battery_given(device.supply, battery_v(harness, id)), plus, minus, charged)
        elif isinstance(device.supply, said.TestSupply):
            volts = device.supply.voltage.value if device.supply.voltage else supply_v
            yield Supply(supply_element(device), plus, minus, volts, stiff, device.supply.limit.value if device.supply.limit else NO_LIMIT_A)
        elif isinstance(device.supply, said.Alternator):
            given = alternator_given(device.supply, supply_v)
            lamp = nodes.of.get(device.supply.charge_lamp or "")
            main, charge_lamp, field = alternator_elements(id)
            if engine is said.Engine.RUNNING:
                yield Supply(main, plus, minus, given.voltage_v.value, stiff, given.limit_a.value if given.limit_a else NO_LIMIT_A)
                if lamp:
                    yield Supply(charge_lamp, lamp, minus, given.voltage_v.value, stiff, factors()["charge-lamp-limit"].value)
            elif lamp:
                yield Resistor(field, lamp, minus, given.field_ohm.value)


def _battery(id: str, given: BatteryGiven, plus: str, minus: str, charged: bool) -> Iterator[Element]:
    """A battery gives through its resistance. While it is charged it takes far less than that resistance would let in."""
    gives, takes = battery_elements(id)
    if not charged:
        yield Battery(gives, plus, minus, given.emf_v.value, given.ohm.value)
        return
    charging = factors()["battery-charging"].value
    # Both together give through the resistance that is stated.
    giving = 1 / (1 / given.ohm.value - 1 / charging) if given.ohm.value < charging else given.ohm.value
    yield Supply(gives, plus, minus, given.emf_v.value, giving, NO_LIMIT_A)
    yield Battery(takes, plus, minus, given.emf_v.value, charging)
