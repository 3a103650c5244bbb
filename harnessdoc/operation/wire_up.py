"""From the harness to its wiring: every wire, part, ground and device is put in, in the order of the description."""

from __future__ import annotations

from collections.abc import Mapping

from ..model.harness import Contact as Pin
from ..model.harness import Harness
from .conductors import Conductor
from .copper import put_ground, put_part, put_wire
from .device_loads import put_device
from .gathering import Gathering
from .in_state import entries_added
from .insides import put_inside
from .nodes import Nodes
from .units import Unit, unit_of
from .wiring import Wiring


def wire_up(harness: Harness, nodes: Nodes, found: Mapping[str, Conductor]) -> Wiring:
    """The wiring of a harness; ``found``: its conductors."""
    gathering = Gathering(harness, nodes)
    for conductor in found.values():
        put_wire(gathering, conductor)
    for part in harness.parts.values():
        put_part(gathering, part)
    for ground in harness.grounds.values():
        put_ground(gathering, ground)
    pins = _pins(harness)
    named_on = {address for state in harness.states.values() for address in state.commanded}
    units: dict[str, Unit] = {}
    for id, device in harness.devices.items():
        units[id] = unit_of(id, pins.get(id, ()), nodes)
        put_inside(gathering, device, units[id])
        put_device(gathering, device, units[id], named_on)
    return Wiring(harness, nodes, found, tuple(gathering.elements), tuple(gathering.relays), tuple(gathering.loads), units,
                  tuple(gathering.typical), tuple(gathering.left_out), {**dict(entries_added(harness, units)), **gathering.catalogue})


def _pins(harness: Harness) -> dict[str, list[Pin]]:
    """Device -> its contacts, those of its connectors too."""
    pins: dict[str, list[Pin]] = {}
    for pin in harness.contacts.values():
        connector = harness.connectors.get(pin.owner)
        device = (connector.device or "") if connector else pin.owner
        if device in harness.devices:
            pins.setdefault(device, []).append(pin)
    return pins
