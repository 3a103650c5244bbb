"""What the solved circuit rests on besides what is stated, in few words; and what it leaves out.

Takes a Wiring; gives words fit for a sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..model.electric import Alternator, Battery
from ..model.given import Given, alternator_given, battery_given, battery_v, nominal_v
from ..trade.tables import factors
from .wiring import Wiring

ALWAYS_TYPICAL = ("terminals", "contacts of switches")
"""Nobody states them: of good order, common practice."""
MOST_NAMED = 30


def typical_kinds(wiring: Wiring) -> tuple[str, ...]:
    """``fuses``, ``relays``: the kinds of thing of which values are typical, in the order of the file."""
    return (*dict.fromkeys(_kind(wiring, aside.thing) for aside in wiring.typical), *ALWAYS_TYPICAL)


def typical_things(wiring: Wiring) -> tuple[str, ...]:
    """The things themselves, as they are called in the file; of more than MOST_NAMED of one kind only how many: ``312 wires``."""
    kinds: dict[str, dict[str, None]] = {}
    for aside in wiring.typical:
        kinds.setdefault(_kind(wiring, aside.thing), {})[aside.thing] = None
    return tuple(words for kind, things in kinds.items() for words in (things if len(things) <= MOST_NAMED else (f"{len(things)} {kind}",)))


def supplies_in_words(wiring: Wiring) -> Iterator[str]:
    """``battery G1 12.6 V behind 8 mohm``: what the supplies are solved with, typical values marked."""
    harness = wiring.harness
    supply_v = nominal_v(harness)
    has_alternator = any(isinstance(harness.devices[id].supply, Alternator) for id in harness.supplies)
    for id in harness.supplies:
        match harness.devices[id].supply:
            case Battery() as battery:
                given = battery_given(battery, battery_v(harness, id))
                charging = factors()["battery-charging"]
                charged = f", {charging.value:g} ohm while it is charged (typical)" if has_alternator else ""
                yield f"battery {id} {_said(given.emf_v, 'V')} behind {_said(given.ohm, 'mohm', 1000)}{charged}"
            case Alternator() as alternator:
                yield f"alternator {id} {_said(alternator_given(alternator, supply_v).voltage_v, 'V')}"
            case supply:
                yield f"test supply {id} {supply}".rstrip()


def pulsed_circuits(wiring: Wiring) -> tuple[str, ...]:
    """The circuits that pulse and are no part of what is solved."""
    return tuple(circuit.id for circuit in wiring.harness.circuits.values() if circuit.pulsed)


def _kind(wiring: Wiring, thing: str) -> str:
    parts = wiring.harness.parts
    return f"{parts[thing].kind}s" if thing in parts else "wires" if thing.startswith("wire ") else "grounds" if thing in wiring.harness.grounds else "devices"


def _said(given: Given, unit: str, times: float = 1.0) -> str:
    return f"{given.value * times:g} {unit}{' (typical)' if given.typical else ''}"
