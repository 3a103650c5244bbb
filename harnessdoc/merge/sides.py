"""What of a vehicle goes with the engine and what with the body.

Takes a harness; gives for each owner of contacts (device, part, ground, splice) a Side. A host keeps its body and loses its
engine; a donor gives its engine. It is a judgement by what is said, in this order: signals that only the one side has,
the words of the title, the zone of the place. What is not known belongs to neither.
"""

from __future__ import annotations

from enum import Enum

from ..model.electric import Alternator, Battery
from ..model.harness import Harness
from .plan import Role
from .wordings import understood


class Side(Enum):
    """Where a thing belongs."""

    ENGINE = "engine"
    BODY = "body"
    NEITHER = ""                # a splice, an in-line half, what is not known


ENGINE_KINDS = frozenset((
    "output-injector", "output-injector-boosted", "output-ignition-trigger", "coil-driver", "input-ignition-trigger", "ignition-primary", "injector",
    "input-inductive-plus", "input-inductive-minus", "inductive-sensor-plus", "inductive-sensor-minus", "input-hall", "hall-sensor", "input-knock", "knock-sensor",
    "input-oxygen", "oxygen-sensor", "oxygen-pump", "oxygen-heater", "air-mass-sensor", "input-throttle-track", "throttle-track", "input-pedal-track", "pedal-track",
    "starter-control", "starter-motor", "charge-lamp", "alternator-sense", "alternator-control", "alternator-load", "alternator-phase", "source-alternator",
    "output-fuel-pump", "output-start", "output-glow", "output-tachometer", "output-fan", "output-clutch", "output-stop", "output-relay-low", "input-start",
    "glow", "stop-solenoid", "stepper", "output-stepper",
))
"""Signals of the engine, its control unit and what belongs to it."""
BODY_KINDS = frozenset(("lamp", "gauge", "tachometer", "horn", "buzzer", "brake-switch", "audio", "antenna", "airbag", "brake-control", "steering-control", "wheel-speed", "fuel-pump"))
"""Signals of the body: instruments, lights, horn, tank."""
ENGINE_MEANINGS = frozenset((
    "alternator output", "alternator sense", "start", "ignition coil", "injector", "oil pressure", "oil pressure lamp", "oil pressure gauge", "oil temperature", "coolant temperature",
    "coolant temperature gauge", "overheat lamp", "coolant temperature switch", "choke", "fuel cut-off", "glow plugs", "crankshaft sensor", "camshaft sensor",
    "throttle position", "manifold pressure", "air mass", "intake air temperature", "oxygen sensor", "knock sensor", "idle control", "canister purge", "charging", "reverse lamp",
))
"""Functions whose sender, switch or winding sits on the engine or its gearbox."""
BODY_MEANINGS = frozenset((
    "horn", "wiper", "washer", "direction indicators", "direction indicators left", "direction indicators right", "main beam", "dipped beam", "headlamp", "side lamp", "fog lamp", "interior lamp",
    "heater blower", "heated screen", "cigar lighter", "radio", "clock", "trailer", "leisure battery", "fridge", "instrument illumination", "stop lamp", "handbrake", "fuel level",
))
"""Functions whose parts belong to the body, wherever they sit."""
_TAKEN_ALONG = frozenset(("k-line", "l-line"))
"""A socket with these is taken along from the donor: without it the control unit cannot be asked."""
_ENGINE_ZONES, _BODY_ZONES = ("engine", "hot", "flexing"), ("cabin",)
_BY_TITLE = 0.7
"""How sure a title must be understood to say where its device belongs."""
_UNIT_PINS = 3
"""A device with so many inputs and outputs is a control unit."""


class Sides:
    """Side by owner of contacts, worked out when first asked."""

    def __init__(self, harness: Harness, role: Role, *, all_stays: bool = False) -> None:
        self._harness = harness
        self._role = role
        self._all_stays = all_stays
        self._kinds: dict[str, list[str]] = {}
        self._device_of = {connector.id: connector.device for connector in harness.connectors.values() if connector.device}
        for contact in harness.contacts.values():
            owner = self.device(contact.owner) or contact.owner
            self._kinds.setdefault(owner, []).append(contact.signal)
        self._zones = {segment_end: segment.zone for segment in reversed(tuple(harness.segments.values())) for segment_end in (segment.from_, segment.to) if segment.zone}
        self._zones |= {point.id: point.zone for point in harness.points.values() if point.zone}
        self._found: dict[str, Side] = {}

    def device(self, owner: str) -> str:
        """The device of a connector, or the owner itself where it is a device; "" where it is none."""
        return owner if owner in self._harness.devices else self._device_of.get(owner, "")

    def of(self, owner: str) -> Side:
        """The side of the owner of a contact."""
        if owner not in self._found:
            self._found[owner] = self._side(owner)
        return self._found[owner]

    def stays(self, owner: str) -> bool | None:
        """Whether it stays in the merged vehicle; None where it belongs to neither side."""
        if self._all_stays:
            return True
        side = self.of(owner)
        return None if side is Side.NEITHER else (side is Side.BODY) is (self._role is Role.HOST)

    def is_unit(self, device: str) -> bool:
        """Whether a device is a control unit: it has inputs and outputs of its own."""
        found = self._harness.devices.get(device)
        return found is not None and not found.closes and sum(kind.startswith(("input-", "output-")) for kind in self._kinds.get(device, ())) >= _UNIT_PINS

    def is_socket(self, connector: str) -> bool:
        """Whether a connector without a device is a socket of its own, for a tester or a trailer: an end, no half that lacks its other."""
        if any(kind in _TAKEN_ALONG for kind in self._kinds.get(connector, ())):
            return True
        return any(meaning in ("diagnostic line", "trailer") and sure > _BY_TITLE for meaning, sure in understood(self._harness.connectors[connector].title).functions.items())

    def zone(self, owner: str) -> str:
        """The zone of the place of an owner; "" where not said."""
        return self._zones.get(self._harness.place_of.get(owner, ""), "") or ""

    def _side(self, owner: str) -> Side:
        harness = self._harness
        if owner in harness.grounds:
            metal = harness.grounds[owner].metal
            return Side.ENGINE if metal == "engine" else Side.BODY if metal else Side.NEITHER
        device = self.device(owner)
        if device:
            return self._of_device(device)
        part = harness.parts.get(owner)
        if part is not None or owner in harness.boxes:
            # a box stays with its vehicle, but what a donor has in its cabin is left behind
            zone = self.zone(owner) or (self.zone(part.box) if part is not None and part.box else "")
            return Side.BODY if self._role is Role.HOST or zone in _BODY_ZONES else Side.ENGINE
        return Side.NEITHER

    def _of_device(self, device: str) -> Side:
        found = self._harness.devices[device]
        if isinstance(found.supply, Alternator):
            return Side.ENGINE
        if isinstance(found.supply, Battery) or device == self._harness.key_switch:
            return Side.BODY
        kinds = self._kinds.get(device, [])
        if any(kind in ENGINE_KINDS for kind in kinds) and not found.closes:
            return Side.ENGINE
        if any(kind in BODY_KINDS for kind in kinds):
            return Side.BODY
        if self._role is Role.DONOR and any(kind in _TAKEN_ALONG for kind in kinds):
            return Side.ENGINE
        meant = understood(found.title)
        if any(meaning in BODY_MEANINGS and sure > _BY_TITLE for meaning, sure in meant.functions.items()):
            return Side.BODY
        zones = [zone for owner in (device, *found.connectors) if (zone := self.zone(owner))]
        if any(zone in _BODY_ZONES for zone in zones):
            return Side.BODY
        if any(zone in _ENGINE_ZONES for zone in zones):
            return Side.ENGINE
        if any(meaning in ENGINE_MEANINGS and sure > _BY_TITLE for meaning, sure in meant.functions.items()) and not meant.things & {"lamp", "gauge"}:
            return Side.ENGINE
        return Side.NEITHER
