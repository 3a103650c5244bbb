"""The contacts at which a reading would mean nothing: their circuit pulses, or copper joins them to what pulses above 60 V.

Takes an Operation; gives addresses, reckoned once.
"""

from __future__ import annotations

from ..model.harness import Harness
from ..network.islands import connect
from ..trade.signals import signals
from .operate import Operation

_ABOVE_60_V = "above 60 V"
"""The rail of such a signal."""


def pulsed_contacts(operation: Operation) -> frozenset[str]:
    """Their addresses."""
    return operation.kept("pulsed", lambda: _pulsed(operation.wiring.harness))


def _pulsed(harness: Harness) -> frozenset[str]:
    above = {kind for kind, signal in signals().items() if signal.rail == _ABOVE_60_V}
    sources = [address for address, contact in harness.contacts.items() if contact.signal in above]
    network = connect(harness) if sources else None
    joined = {address for source in sources for address in network.islands[network.island_of[source]]} if network else set()
    return frozenset(address for address in harness.contacts if address in joined or _is_on_pulsed(harness, address))


def _is_on_pulsed(harness: Harness, address: str) -> bool:
    """True where every wire at an address belongs to a circuit that pulses."""
    circuits = [harness.circuits.get(harness.wires[wire].circuit) for wire in harness.wires_at.get(address, ())]
    return bool(circuits) and all(circuit is not None and circuit.pulsed for circuit in circuits)
