"""Which wires are replaced where they do not reach, and never extended.

Takes a Comparison and a wire of its new version. No joint is put into a cable of 10 mm²
and more, nor into a circuit of starter, battery, alternator, fuel, brake, steering,
ignition or airbag (common practice; ``trade/signals.py`` says which kinds of signal
carry a caution).
"""

from __future__ import annotations

from collections.abc import Iterator

from ..model.harness import Wire
from ..trade.signals import signals
from .compare import Comparison

THICK_MM2 = 10.0
"""From this size on a cable is replaced: common practice."""
_WORDS = ("starter", "battery", "alternator", "charging", "fuel", "brake", "steering", "airbag")
"""In the name of a circuit, or the title of what an end is at."""
_MAIN = ("source-battery", "source-alternator", "ground-battery")
"""Signals of the main cables."""


def is_kept_whole(comparison: Comparison, wire: Wire) -> bool:
    """Whether the wire is replaced and not extended."""
    if wire.size is not None and wire.size.area_mm2 >= THICK_MM2:
        return True
    if any(word in text.lower() for text in _named(comparison, wire) for word in _WORDS):
        return True
    new, kinds = comparison.new, signals()
    ends = [end for end in (wire.from_, wire.to) if end in new.harness.contacts]
    if any(new.harness.contacts[end].signal in _MAIN for end in ends):
        return True
    carried = (kinds.get(new.harness.contacts[address].signal) for end in ends for address in new.network.islands[new.network.island_of[end]])
    return any(kind is not None and kind.caution for kind in carried)


def _named(comparison: Comparison, wire: Wire) -> Iterator[str]:
    harness = comparison.new.harness
    circuit = harness.circuits.get(wire.circuit)
    yield wire.circuit
    yield circuit.title if circuit else ""
    for end in (wire.from_, wire.to):
        if end in harness.contacts:
            owner = harness.contacts[end].owner
            connector = harness.connectors.get(owner)
            device = harness.devices.get((connector.device or "") if connector else owner)
            yield device.title if device else ""
