"""The contacts whose reading hangs on a pull-up of which the description says nothing.

Takes an Operation, and a Solved that has a solution; gives addresses, reckoned once a state. A kind of input that its own
device pulls up (``trade/data/signals.csv``) has a resistor inside; where neither `pull-up:` nor `pull-down:` is
written, the copper on it is solved without one. Its volts are known all the same where the device has no supply, or where
the point is held to a pole so firmly that no pull-up moves it.
"""

from __future__ import annotations

from ..electric.solve import resistances
from ..model.harness import Contact
from ..trade.signals import signals
from .moved import STEP_V
from .operate import Operation, Solved

LEAST_PULL_UP_OHM = 1000.0
"""The strongest that an input has; common practice."""
_DEAD_V = 0.5
"""A supply pin below it feeds no pull-up. Design choice."""


def unsaid_pull_ups(operation: Operation) -> tuple[Contact, ...]:
    """The pins that their device pulls up, and nobody says how strongly; pins at which a load is described are what that is."""
    return operation.kept("unsaid pull-ups", lambda: _unsaid(operation))


def unsaid_in(operation: Operation, solved: Solved) -> frozenset[str]:
    """The addresses on the copper of such pins, of which this state does not know the volts."""
    if solved.solution is None or not unsaid_pull_ups(operation):
        return frozenset()
    is_visited = operation.solved.get(solved.case.name) is solved
    return operation.kept(f"unsaid in {solved.case.name}", lambda: _in(operation, solved)) if is_visited else _in(operation, solved)


def _unsaid(operation: Operation) -> tuple[Contact, ...]:
    wiring = operation.wiring
    loaded = {end for load in wiring.loads for end in (load.a, load.b)}
    inside = {kind for kind, signal in signals().items() if signal.direction == "in" and signal.supplied_by == "this device"}
    return tuple(pin for address, pin in wiring.harness.contacts.items() if pin.signal in inside and address not in wiring.nodes.off and address not in loaded
                 and wiring.harness.wires_at.get(address) and (pin.inside is None or pin.inside.pull_up is None and pin.inside.pull_down is None))


def _in(operation: Operation, solved: Solved) -> frozenset[str]:
    assert solved.solution is not None
    wiring = operation.wiring
    feed_of = {pin.address: unit.feed for unit in wiring.units.values() for pin in unit.pins}
    feeds = operation.read(solved, [feed for pin in unsaid_pull_ups(operation) if (feed := feed_of.get(pin.address))])
    pulled = [pin for pin in unsaid_pull_ups(operation) if not (feed := feed_of.get(pin.address)) or (feeds.get(feed) or 0.0) > _DEAD_V]
    if not pulled:
        return frozenset()
    ohms = resistances(solved.circuit, solved.solution)
    held_ohm = LEAST_PULL_UP_OHM * STEP_V / max(map(abs, solved.solution.voltages.values()))
    loose = {node for pin in pulled if ohms.get(node := wiring.nodes.of[pin.address], held_ohm) >= held_ohm}
    # Along the wires the volts are the same: next to no current flows into an input.
    queue = list(loose)
    near: dict[str, list[str]] = {}
    for wire in wiring.conductors:
        stated = wiring.harness.wires[wire]
        a, b = wiring.nodes.of[stated.from_], wiring.nodes.of[stated.to]
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    for node in queue:
        for other in near.get(node, ()):
            if other not in loose and ohms.get(other, held_ohm) >= held_ohm:
                loose.add(other)
                queue.append(other)
    return frozenset(address for address, node in wiring.nodes.of.items() if node in loose and address not in wiring.nodes.off)
