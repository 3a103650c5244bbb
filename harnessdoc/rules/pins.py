"""Whose pins are whose, and which device is a control unit.

Takes a harness; gives pins by device, and the kinds of signal that rules on control units and outputs ask for.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..model.harness import Contact, Harness

ENGINE_OUTPUTS = ("output-injector", "output-injector-boosted", "output-ignition-trigger", "coil-driver", "output-fuel-pump", "output-glow", "output-stop")
_SIGNS = ("reference-5v", "output-relay-low", "output-fan", "output-clutch", *ENGINE_OUTPUTS)


def pins_by_device(harness: Harness) -> dict[str, list[Contact]]:
    """Device -> its contacts, those of its connectors too, in the order of the description."""
    pins: dict[str, list[Contact]] = {}
    for pin in harness.contacts.values():
        connector = harness.connectors.get(pin.owner)
        device = (connector.device or "") if connector else pin.owner
        if device in harness.devices:
            pins.setdefault(device, []).append(pin)
    return pins


def control_units(harness: Harness) -> dict[str, list[Contact]]:
    """Of those the devices that command something or give a 5 V reference; a switch is none, whatever its contacts are called."""
    return {id: pins for id, pins in pins_by_device(harness).items()
            if not harness.devices[id].closes and any(pin.signal in _SIGNS for pin in pins)}


def outputs(harness: Harness) -> Iterator[Contact]:
    """The outputs of devices; a contact of a switch is none, whatever it commands."""
    for id, pins in pins_by_device(harness).items():
        if not harness.devices[id].closes:
            yield from (pin for pin in pins if pin.signal.startswith("output-") or pin.signal == "coil-driver")
