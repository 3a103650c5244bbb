"""The supplies of the harness: what kind each is, its elements, what it gives in a solved state.

Takes a supply; gives words, ids of elements, amps.
"""

from __future__ import annotations

from math import fsum

from ..electric import Solution
from ..model import electric as said
from ..model.harness import Device


def kind_of(supply: Device) -> str:
    """What kind of supply a device is, in words."""
    match supply.supply:
        case said.Battery():
            return "battery"
        case said.Alternator():
            return "alternator"
    return "test supply"


def supply_element(supply: Device) -> str:
    """``battery G1``: its own element, and what it is called."""
    return f"{kind_of(supply)} {supply.id}"


def battery_elements(id: str) -> tuple[str, str]:
    """What gives, and what it takes while it is charged."""
    return f"battery {id}", f"battery {id} charging"


def alternator_elements(id: str) -> tuple[str, str, str]:
    """Its main output, its charge lamp terminal while it turns, its field while it does not."""
    return f"alternator {id}", f"alternator {id} charge lamp", f"alternator {id} field"


def elements_of(device: Device) -> tuple[str, ...]:
    """The elements by which a supply gives, whatever the engine does; none of anything else."""
    match device.supply:
        case said.Battery():
            return battery_elements(device.id)
        case said.Alternator():
            return alternator_elements(device.id)[:2]
        case said.TestSupply():
            return (supply_element(device),)
    return ()


def given_a(device: Device, solution: Solution) -> float:
    """What a supply gives in A; of a battery that is charged it is below 0."""
    return -fsum(solution.currents.get(id, 0.0) for id in elements_of(device))
