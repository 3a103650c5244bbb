"""The plugs of control units before these go in: the volts at each pin that takes them from supply or key, a lamp of 5 W as load.

Takes an Operation; gives address -> volts in a state of the key. All control units are
off their plugs and the starter is off its trigger wire: nothing turns.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ..electric import Battery, Circuit, Lamp, Solution, settle, solve
from ..electric.solve import resistances
from ..model.given import nominal_v
from ..model.harness import Device
from ..operation.operate import Operation
from ..operation.states import Case
from ..operation.units import FEEDS, REFERENCE
from ..operation.wire_up import wire_up
from ..trade.signals import signals

LAMP_W = 5.0
"""The load on a supply pin: common practice."""
DRIVING_A = 0.2
"""An output that usually carries this much drives a load of another device; one of less gives a signal."""
_FROM_SUPPLY = (*(kind for kind in FEEDS if kind not in ("feed-5v", "feed-sensor")), "input-wake", "input-start", "input-feed-sense")
_LOOSE_OHM = 1e6
"""Behind more a lamp shows nothing."""


def control_units(operation: Operation) -> tuple[str, ...]:
    """The devices that work from a supply pin and give references or drive what stands elsewhere."""
    harness = operation.wiring.harness
    return tuple(id for id, unit in operation.wiring.units.items()
                 if unit.feed and not harness.devices[id].closes and harness.devices[id].supply is None and any(_commands(pin.signal) for pin in unit.pins))


def feed_pins(operation: Operation) -> tuple[str, ...]:
    """The wired pins of control units that take volts from the supply or the key, in file order."""
    off, wires_at = operation.wiring.nodes.off, operation.wiring.harness.wires_at
    return tuple(pin.address for id in control_units(operation) for pin in operation.wiring.units[id].pins
                 if pin.signal in _FROM_SUPPLY and pin.address not in off and wires_at.get(pin.address))


def loaded_feeds(operation: Operation, case: Case) -> dict[str, float]:
    """Pin -> volts with the lamp between it and battery minus, units unplugged; empty where that has no solution.

    The lamp is put on what the circuit is there seen from outside (Thevenin): relays stay as they are without it.
    """
    harness, nodes = operation.wiring.harness, operation.wiring.nodes
    gone = {*control_units(operation), *starters(operation)}
    bare = replace(harness, devices={id: device for id, device in harness.devices.items() if id not in gone})
    circuit = wire_up(bare, nodes, operation.wiring.conductors).circuit(case)
    result = settle(circuit, {})
    if not isinstance(result, Solution):
        return {}
    ohms = resistances(circuit, result)
    watts_at = nominal_v(harness)
    return {address: _behind(result.voltages[node], ohms[node], watts_at) if (node := nodes.of[address]) in ohms and ohms[node] < _LOOSE_OHM else 0.0
            for address in feed_pins(operation)}


def starters(operation: Operation) -> tuple[str, ...]:
    """The devices whose solenoid closes a motor of theirs."""
    return tuple(id for id, device in operation.wiring.harness.devices.items() if any(_closed_motors(device)))


def _closed_motors(device: Device) -> Iterator[str]:
    for name, entry in device.loads.items():
        if entry.closed_by and entry.load.kind == "motor":
            yield name


def _commands(signal: str) -> bool:
    kind = signals().get(signal)
    return signal == REFERENCE or (kind is not None and kind.direction == "out" and signal.startswith("output-") and (kind.limit_a or 0.0) >= DRIVING_A)


def _behind(open_v: float, ohm: float, lamp_v: float) -> float:
    circuit = Circuit((Battery("open", "pin", "minus", open_v, max(ohm, 1e-5)), Lamp("lamp", "pin", "minus", LAMP_W, lamp_v)), "minus")
    result = solve(circuit, {})
    assert isinstance(result, Solution)
    return result.voltages["pin"]
