"""The most that each load gets that is rated at a voltage, in the states that last.

Takes an Operation; gives a Got for each such load that takes current in some state. Made once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..model.electric import Load
    from ..operation.operate import Operation
    from ..operation.wiring import LoadPoint

_IS_ON = 0.1
"""Share of its rated voltage from which a load is on. Design choice."""


@dataclass(frozen=True, slots=True)
class Got:
    """load: the point; words: ``heater of device E1``; at_v, ohm: its rated point; volts: the most across it, in ``state``."""

    load: LoadPoint
    words: str
    at_v: float
    ohm: float
    volts: float
    state: str


def most_volts(operation: Operation) -> tuple[Got, ...]:
    """In the order of the description."""
    return operation.kept("most volts", lambda: tuple(_most_volts(operation)))


def _most_volts(operation: Operation) -> Iterator[Got]:
    from ..model.electric import Engine     # a file without a supply starts without its classes

    lasting = [solved for solved in operation.solved.values() if solved.solution is not None and solved.case.engine is not Engine.CRANKING]
    for point in operation.wiring.loads:
        load = _load(operation, point)
        if load is None or load.rating is None or load.rating.at is None or not point.element or point.pulsed:
            continue
        best = None
        for solved in lasting:
            assert solved.solution is not None
            amps = abs(solved.solution.currents.get(point.element, 0.0))
            # over the contact of its solenoid too: nothing flows where that is open
            volts = abs(solved.solution.across(point.node_a, point.node_b)) if amps else 0.0
            if best is None or volts > best[0] * (1 + 1e-9):
                best = (volts, solved.case.name)
        if best is not None and best[0] > _IS_ON * load.rating.at.value:
            name = point.id.removeprefix(point.owner).strip()
            words = f"{load.kind} of load {name} of device {point.owner}" if name else f"{load.kind} of device {point.owner}"
            yield Got(point, words, load.rating.at.value, load.rating.ohm, *best)


def _load(operation: Operation, point: LoadPoint) -> Load | None:
    device = operation.wiring.harness.devices.get(point.owner)
    if device is None or point.kind == "draws":
        return None
    name = point.id.removeprefix(point.owner).strip()
    return device.loads[name].load if name in device.loads else device.load
